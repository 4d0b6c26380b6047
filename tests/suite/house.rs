//! The rules of the house: what must not stand where, and what must be complete.

use super::fixtures;
use cotter::judge::Verdict;
use cotter::model::Model;
use cotter::source::Memory;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn rust_files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_owned()];
    while let Some(here) = open.pop() {
        for entry in std::fs::read_dir(here).unwrap().flatten() {
            let path = entry.path();
            if path.is_dir() {
                open.push(path);
            } else if path.extension().is_some_and(|it| it == "rs") {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

fn shown(path: &Path) -> String {
    path.strip_prefix(root()).unwrap_or(path).to_string_lossy().into_owned()
}

pub fn library() -> Model {
    cotter::compile(&Memory::one("nothing.cotter", ""), "nothing.cotter", "").unwrap().model
}

/// Words that only the trade has: names of kinds, slots and interfaces of the library, cut at their dots and underscores.
fn words_of_the_trade() -> BTreeSet<String> {
    // Words that are also words of programming, of writing or of any workshop; the compiler may use them.
    let common = [
        "adapter", "angle", "binding", "fit", "single", "stay", "top", "bar", "below", "body", "bolts", "bottom",
        "bracket", "brackets", "bush", "cable", "cap", "chain", "clamp", "control", "core", "down", "driver", "end",
        "ends", "fluid", "foot", "frame", "front", "handle", "head", "input", "kit", "left", "line", "lower", "middle",
        "mount", "output", "part", "place", "plate", "port", "post", "power", "quill", "range", "rear", "right",
        "ring", "route", "run", "seat", "shell", "shift", "shim", "size", "small", "source", "stem", "tape", "thread",
        "tool", "tube", "upper", "big", "pads", "set",
    ];
    let model = library();
    let mut words = BTreeSet::new();
    let kinds = model.kinds.iter().map(|it| it.name.text.clone());
    let slots = model.assemblies.iter().flat_map(|it| it.slots.keys().cloned().collect::<Vec<_>>());
    let interfaces = model.interfaces.iter().map(|it| it.name.text.clone());
    let assemblies = model.assemblies.iter().map(|it| it.name.text.clone());
    for name in kinds.chain(slots).chain(interfaces).chain(assemblies) {
        words.extend(name.split(['.', '_']).filter(|it| it.len() > 2).map(str::to_lowercase));
    }
    words.retain(|word| !common.contains(&word.as_str()));
    words
}

/// The few words that stand for the trade whatever the list above lets pass.
const ALWAYS: &[&str] =
    &["bicycle", "bike", "hub", "tyre", "wheel", "brake", "derailleur", "crank", "fork", "saddle", "pedal", "spoke"];

#[test]
fn the_compiler_knows_no_word_of_the_trade() {
    let mut words = words_of_the_trade();
    words.extend(ALWAYS.iter().map(|it| (*it).to_owned()));
    assert!(words.len() > 40, "the list is taken from the library and can't be this short: {words:?}");
    let mut found = Vec::new();
    for path in rust_files(&root().join("src")) {
        let name = shown(&path);
        // `calc` computes the trade's formulas, `sheets/numbers` shows them; the crate's own first lines and the command
        // line's help name the job.
        if name.starts_with("src/calc/")
            || name.starts_with("src/sheets/numbers/")
            || name == "src/lib.rs"
            || name == "src/args.rs"
            || name == "src/main.rs"
        {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        for (number, line) in text.lines().enumerate() {
            // Tests at the end of a file may use any example.
            if line.trim() == "#[cfg(test)]" {
                break;
            }
            for word in line.to_lowercase().split(|c: char| !c.is_alphanumeric()) {
                let single = word.strip_suffix('s').unwrap_or(word);
                if words.contains(word) || words.contains(single) {
                    found.push(format!("{name}:{}: {word}", number + 1));
                }
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn something_that_is_no_bicycle_compiles_with_its_own_library() {
    let path = root().join("tests/trolley/trolley.cotter");
    let compiled = fixtures::compile(&path);
    let mistakes: Vec<&str> =
        compiled.diagnostics.iter().filter(|it| it.build.is_none()).map(|it| it.message.as_str()).collect();
    assert!(mistakes.is_empty(), "{mistakes:?}");
    let verdicts: Vec<String> = compiled
        .builds
        .iter()
        .map(|build| {
            let joints: Vec<String> = build
                .joints
                .iter()
                .map(|joint| {
                    let codes: Vec<&str> =
                        joint.findings.iter().filter(|it| it.required).map(|it| it.code.as_str()).collect();
                    let hangs: Vec<String> =
                        joint.hangs_on.iter().map(|it| joint.path_of(&compiled.model, *it)).collect();
                    format!("{} {} {codes:?} {hangs:?}", joint.name, joint.verdict.word())
                })
                .collect();
            format!("{}: {}", compiled.model[build.build].name.text, joints.join("; "))
        })
        .collect();
    assert_eq!(
        verdicts,
        [
            "as_drawn: castor fits [] []",
            "thin_stem: castor clashes [\"castor.bore\", \"torque.conflict\"] []",
            "with_sleeve: castor.adapter clashes [\"torque.conflict\"] []; castor clashes [\"torque.conflict\"] []",
            "by_plate: castor clashes [\"castor.form\"] []",
            "not_seen: castor open [\"castor.bore\", \"castor.length\"] [\"castor.foot.thread\", \"castor.foot.length\"]",
            "not_chosen: castor open [\"castor.form\", \"castor.bore\", \"castor.length\", \"torque.conflict\"] [\"castor\"]",
        ]
    );
    assert!(compiled.model.kind_named("frame").is_none(), "the library of bicycles is not loaded");
}

#[test]
fn the_library_has_no_mistake() {
    let mistakes: Vec<String> = cotter::library::mistakes().into_iter().map(|it| it.message).collect();
    assert!(mistakes.is_empty(), "{mistakes:#?}");
}

#[test]
fn every_source_says_how_it_is_known() {
    let model = library();
    let abouts = model
        .choices
        .iter()
        .filter(|it| !["source", "afterwards"].contains(&it.name.text.as_str()))
        .map(|it| (&it.name, &*it.about))
        .chain(model.interfaces.iter().map(|it| (&it.name, &*it.about)))
        .chain(model.standards.iter().map(|it| (&it.name, &*it.about)))
        .chain(model.kinds.iter().map(|it| (&it.name, &*it.about)))
        .chain(model.tables.iter().map(|it| (&it.name, &*it.about)))
        .chain(model.joints.iter().flat_map(|it| &it.rules).map(|it| (&it.code, &it.words.about)))
        .chain(model.joints.iter().flat_map(|it| &it.fastenings).map(|it| (&it.name, &it.words.about)));
    let mut faults = Vec::new();
    for (name, about) in abouts {
        if about.doc.is_empty() {
            faults.push(format!("{} says not what it is", name.text));
        }
        if about.sources.is_empty() {
            faults.push(format!("{} has no source", name.text));
        }
        for source in &about.sources {
            let text = source.text.as_ref().map_or("", |it| it.text.as_str());
            match source.standing.text.as_str() {
                "published" | "derived" | "memory" if text.is_empty() => {
                    faults.push(format!("{}: {} of what?", name.text, source.standing.text))
                }
                "published" | "practice" | "memory" | "derived" => {}
                other => faults.push(format!("{}: `{other}` is no way to know", name.text)),
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_joint_and_standard_is_seen_fitting_clashing_and_open() {
    let model = library();
    let mut joints: [BTreeSet<String>; 3] = Default::default();
    let mut codes: BTreeSet<String> = BTreeSet::new();
    let mut standards: BTreeSet<(String, String)> = BTreeSet::new();
    for path in fixtures::files("joints") {
        let compiled = fixtures::compile(&path);
        for joint in compiled.builds.iter().flat_map(|it| &it.joints) {
            let place = match joint.verdict {
                Verdict::Fits => 0,
                Verdict::Clashes => 1,
                Verdict::Open => 2,
            };
            joints[place].insert(compiled.model[joint.joint].name.text.clone());
            codes.extend(joint.findings.iter().filter(|it| it.fails).map(|it| it.code.clone()));
        }
        for part in &compiled.model.parts {
            for fact in &part.facts {
                if let cotter::model::Value::Standard(Some(fitted)) = &fact.value {
                    let standard = &compiled.model[fitted.standard];
                    standards
                        .insert((compiled.model[standard.interface].name.text.clone(), standard.name.text.clone()));
                }
            }
        }
    }
    let mut faults = Vec::new();
    for joint in &model.joints {
        for (set, word) in joints.iter().zip(["fitting", "clashing", "open"]) {
            if !set.contains(&joint.name.text) {
                faults.push(format!("{} is never seen {word}", joint.name.text));
            }
        }
        faults.extend(
            joint
                .rules
                .iter()
                .filter(|it| !codes.contains(&it.code.text))
                .map(|it| format!("{} never fails", it.code.text)),
        );
    }
    for standard in &model.standards {
        let key = (model[standard.interface].name.text.clone(), standard.name.text.clone());
        if !standards.contains(&key) {
            faults.push(format!("{}.{} stands on no part", key.0, key.1));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn rooms_import_only_what_they_may() {
    // The disk is read in one file, the screen and the protocols stay where they belong.
    let only: &[(&str, &[&str])] = &[
        ("std::fs", &["src/source/disk.rs", "src/source/process.rs", "src/write.rs"]),
        ("miette", &["src/diagnose/"]),
        ("comfy_table", &["src/sheets/", "src/diagnose/", "src/explain"]),
        ("std::env", &["src/main.rs", "src/library.rs"]),
        ("lsp_types", &["src/editor"]),
        ("lsp_server", &["src/editor"]),
        ("notify", &["src/watching.rs"]),
        ("SystemTime", &[]),
        ("maud", &["src/report", "src/drawing"]),
    ];
    let may: &[(&str, &[&str])] = &[
        ("source", &["source"]),
        ("quantity", &["quantity"]),
        ("mistake", &["mistake", "source", "quantity"]),
        ("syntax", &["syntax", "mistake", "source", "quantity"]),
        ("format", &["format", "syntax", "mistake", "source", "quantity"]),
        ("calc", &["calc", "quantity"]),
        ("model", &["model", "syntax", "mistake", "source", "quantity", "calc"]),
        ("watching", &["watching", "source"]),
        ("drawing", &["drawing", "judge", "clean"]),
        ("report", &["Compiled", "report", "drawing", "sheets", "diagnose", "judge", "model", "clean"]),
        ("judge", &["judge", "model", "syntax", "mistake", "source", "quantity", "calc", "share"]),
    ];
    let mut faults = Vec::new();
    for path in rust_files(&root().join("src")) {
        let (name, text) = (shown(&path), std::fs::read_to_string(&path).unwrap());
        let text = text.split("#[cfg(test)]").next().unwrap_or("");
        if !text.starts_with("//!") && !text.starts_with("#!") {
            faults.push(format!("{name} does not begin with its one job"));
        }
        for (word, rooms) in only {
            let code = text.lines().filter(|line| !line.trim_start().starts_with("//"));
            if code.clone().any(|line| line.contains(word)) && !rooms.iter().any(|room| name.starts_with(room)) {
                faults.push(format!("{name} uses {word}"));
            }
        }
        for (room, rooms) in may {
            if !name.starts_with(&format!("src/{room}/")) && name != format!("src/{room}.rs") {
                continue;
            }
            for (at, _) in text.match_indices("crate::") {
                let used: String = text[at + 7..].chars().take_while(|it| it.is_alphanumeric() || *it == '_').collect();
                if !rooms.contains(&used.as_str()) && !used.is_empty() {
                    faults.push(format!("{name} imports {used}"));
                }
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
