//! Mistakes of a text, as small specs that say which they raise and on which line.
//!
//! A file of `tests/fixtures/mistakes/` holds many small tests:
//!
//! ```text
//! What stands before the first header is for people.
//! #--- a misspelt fact ---
//! use "trolley.cotter"
//! part d : deck { laod = 3 kg }      #! fact.unknown
//! #--- a fact that is there ---
//! #! nothing of fact.unknown
//! use "trolley.cotter"
//! part d : deck { load = 3 kg }
//! #--- a used file ---
//! use "shelf.cotter"
//! #-- shelf.cotter (crlf)
//! part d : dekc { }                  #! name.unknown
//! ```
//!
//! - `#--- name ---` begins a test, `#-- path` a further file of it. The first file is `main.cotter`; it is compiled.
//! - `#! code, code` at the end of a line: these diagnostics have their first label on that line. Everything found must
//!   be expected, and the other way round. The mark is taken off before the text is compiled.
//! - `#! nothing of code, code` as the first line of a test: it comes near to these codes and raises nothing at all.
//! - In brackets behind a name stands how the file is written (`crlf`, `cr`, `bom`, `no last newline`, `latin-1`), or what
//!   the disk answers instead of a text (`too large`, `a folder`, `not readable`, `leads outside`).
//! - `<<x * 300>>` stands for 300 times `x`.
//! - Files of `shared/` may be used by every test.

mod case;
mod robust;

use case::{Case, cases};
use cotter::Compiled;
use cotter::diagnose::Diagnostic;
use cotter::mistake::{CODES, Edit};
use cotter::source::Disk;
use std::collections::BTreeSet;
use std::path::PathBuf;

fn fixtures() -> Vec<PathBuf> {
    let all = super::fixtures::files("mistakes");
    all.into_iter().filter(|path| !path.components().any(|it| it.as_os_str() == "shared")).collect()
}

fn all_cases() -> Vec<Case> {
    fixtures().iter().flat_map(|path| cases(path)).collect()
}

fn compiled(case: &Case) -> Compiled {
    cotter::compile(case, case.entry(), "").unwrap_or_else(|error| panic!("{}: {error:?}", case.name))
}

/// Where a diagnostic points: the file, and the line and column of its first label's beginning.
fn place(compiled: &Compiled, diagnostic: &Diagnostic) -> Option<(String, usize, usize)> {
    let span = diagnostic.labels.first()?.span;
    let file = compiled.files.get(span.file)?;
    let place = file.lines().place(&file.text, span.start as usize);
    Some((file.name.clone(), place.line, place.column))
}

#[test]
fn every_mistake_is_expected_on_its_line_and_every_expectation_is_met() {
    let mut faults = Vec::new();
    for case in all_cases() {
        if case.nothing != case.expected.is_empty() {
            faults.push(format!("{}: expects neither something nor nothing, or both", case.name));
        }
        let compiled = compiled(&case);
        let mut expected = case.expected.clone();
        for diagnostic in &compiled.diagnostics {
            let Some((file, line, _)) = place(&compiled, diagnostic) else {
                faults.push(format!("{}: {} points nowhere: {}", case.name, diagnostic.code, diagnostic.message));
                continue;
            };
            let wanted = expected.iter().position(|it| *it == (file.clone(), line, diagnostic.code.clone()));
            match wanted {
                Some(at) => {
                    expected.remove(at);
                }
                None => faults.push(format!(
                    "{}: {file}:{line}: not expected: {} {}",
                    case.name, diagnostic.code, diagnostic.message
                )),
            }
        }
        faults.extend(expected.iter().map(|(file, line, code)| format!("{}: {file}:{line}: no {code}", case.name)));
    }
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn every_code_is_raised_somewhere_and_missed_narrowly_elsewhere() {
    let (mut raised, mut missed) = (BTreeSet::new(), BTreeSet::new());
    for case in all_cases() {
        raised.extend(case.expected.into_iter().map(|(.., code)| code));
        missed.extend(case.near);
    }
    let mut faults = Vec::new();
    for code in CODES {
        if !raised.contains(code.id) {
            faults.push(format!("no fixture raises {}", code.id));
        }
        if !missed.contains(code.id) {
            faults.push(format!("no fixture comes near to {} without raising it", code.id));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_mistake_is_worded_as_the_house_words_them() {
    let mut faults = Vec::new();
    for case in all_cases() {
        let compiled = compiled(&case);
        for it in compiled.diagnostics.iter().filter(|it| it.joint.is_none()) {
            let mut fault = |what: &str| faults.push(format!("{}: {}: {what}: {it:#?}", case.name, it.code));
            let lines: Vec<&String> =
                [&it.message].into_iter().chain(it.labels.iter().map(|it| &it.text)).chain(&it.help).collect();
            for line in &lines {
                if line.is_empty() || line.starts_with(char::is_uppercase) || line.ends_with('.') {
                    fault(&format!("not in lower case without a full stop: {line:?}"));
                }
                if line.matches('`').count() % 2 == 1 {
                    fault(&format!("backticks that don't pair: {line:?}"));
                }
            }
            if it.help.is_empty() {
                fault("no way out");
            }
            if it.labels.iter().any(|label| label.text.chars().count() > 100) {
                fault("a label longer than a line");
            }
            if it.edits.len() > 1 || (it.edits.is_empty() && it.help.iter().any(|it| it.starts_with("did you mean"))) {
                fault("a near name without its edit, or several edits");
            }
        }
    }
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn every_offered_edit_mends_its_mistake_and_breaks_no_other_line() {
    let (mut faults, mut applied) = (Vec::new(), 0);
    for case in all_cases() {
        let before = compiled(&case);
        for diagnostic in &before.diagnostics {
            for edit in &diagnostic.edits {
                applied += 1;
                let Some(mended) = with_edit(&case, &before, edit) else {
                    faults.push(format!("{}: {}: the edit lies in no file of the test", case.name, diagnostic.code));
                    continue;
                };
                let after = compiled(&mended);
                let count = |compiled: &Compiled, code: &str| {
                    compiled.diagnostics.iter().filter(|it| it.code.starts_with(code)).count()
                };
                let gone = count(&after, &diagnostic.code) < count(&before, &diagnostic.code);
                let no_new = ["syntax.", "text.", "use."].iter().all(|it| count(&after, it) <= count(&before, it));
                if !gone || !no_new {
                    let found: Vec<&String> = after.diagnostics.iter().map(|it| &it.message).collect();
                    faults.push(format!("{}: {}: {edit:?} leaves {found:?}", case.name, diagnostic.message));
                }
            }
        }
    }
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
    assert!(applied >= 40, "only {applied} edits were offered");
}

/// The test with an edit applied.
fn with_edit(case: &Case, compiled: &Compiled, edit: &Edit) -> Option<Case> {
    let file = compiled.files.get(edit.span.file)?;
    case.files.get(&file.name)?;
    let mut text = file.text.to_string();
    text.replace_range(edit.span.range(), &edit.text);
    Some(case.with(&file.name, text.into_bytes()))
}

#[test]
fn the_disk_answers_as_the_fixtures_say() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    std::fs::create_dir(at("inside")).unwrap();
    std::fs::create_dir(at("inside/shelf")).unwrap();
    std::fs::write(at("inside/big.cotter"), vec![b'#'; 4 * 1024 * 1024 + 1]).unwrap();
    std::fs::write(at("inside/long.cotter"), [b"# so it goes on\n".repeat(1000), vec![b'\n'; 100_000]].concat())
        .unwrap();
    std::fs::write(at("inside/latin.cotter"), b"# gr\xfcn\n").unwrap();
    std::fs::write(at("outside.cotter"), "").unwrap();
    let used = ["big", "long", "latin", "missing", "shelf"].map(|it| format!("use \"{it}.cotter\"\n")).concat();
    let used = used.replace("shelf.cotter", "shelf") + "use \"../outside.cotter\"\n";
    #[cfg(unix)]
    let used = {
        std::os::unix::fs::symlink(at("outside.cotter"), at("inside/link.cotter")).unwrap();
        used + "use \"link.cotter\"\n"
    };
    std::fs::write(at("inside/main.cotter"), used).unwrap();
    let root = at("inside").to_string_lossy().into_owned();
    let compiled = cotter::compile(&Disk::below(&root), &format!("{root}/main.cotter"), &root).unwrap();
    let found: Vec<&str> = compiled.diagnostics.iter().map(|it| it.code.as_str()).collect();
    let wanted = ["text.too_large", "use.not_found", "use.unreadable", "use.outside"];
    let linked: &[&str] = if cfg!(unix) { &["use.outside"] } else { &[] };
    assert_eq!(found, [&wanted[..], linked, &["text.not_utf8"]].concat());
}

#[test]
fn messages_look_well() {
    for path in fixtures() {
        let mut shown = String::new();
        for case in cases(&path) {
            let compiled = compiled(&case);
            // What is said of joints is looked at elsewhere.
            let found: Vec<&Diagnostic> = compiled.diagnostics.iter().filter(|it| it.joint.is_none()).collect();
            if !found.is_empty() {
                shown.push_str(&format!("─── {}\n", case.name.split_once(": ").map_or("", |(_, name)| name)));
            }
            for it in found {
                shown.push_str(&format!("{}: {}\n", it.code, it.message));
                for label in &it.labels {
                    let Some(file) = compiled.files.get(label.span.file) else { continue };
                    let at = file.lines().place(&file.text, label.span.start as usize);
                    let text: String = compiled.files.text(label.span).chars().take(60).collect();
                    if !case.files.contains_key(&file.name) {
                        // Where a shared file has it may change.
                        shown.push_str(&format!("  {} {text:?}: {}\n", file.name, label.text));
                        continue;
                    }
                    shown.push_str(&format!("  {}:{}:{} {text:?}: {}\n", file.name, at.line, at.column, label.text));
                }
                shown.extend(it.help.iter().map(|help| format!("  help: {help}\n")));
                shown.extend(it.edits.iter().map(|edit| format!("  edit: {:?}\n", edit.text)));
            }
        }
        let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        insta::assert_snapshot!(format!("mistakes_{name}"), shown);
    }
}
