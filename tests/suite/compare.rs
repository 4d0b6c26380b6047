//! Differences between builds, specs and revisions, and witnesses: as sheets, and with a real git.

use cotter::judge::Verdict;
use cotter::sheets::Format;
use cotter::sheets::diff::{self, Change, Diff, Side};
use cotter::source::Disk;
use cotter::{Compiled, witness};
use std::path::Path;
use std::process::{Command, Output, Stdio};

fn compiled(path: &str) -> Compiled {
    cotter::compile(&Disk::below(""), path, "").expect("the spec is there")
}

fn side<'c>(unit: &'c Compiled, build: &str) -> Side<'c> {
    let judged = unit.builds.iter().find(|it| unit.model[it.build].name.text == build).expect("the build is there");
    Side { model: &unit.model, judged }
}

#[test]
fn a_conversion_looks_as_it_should_in_every_format() {
    let unit = compiled("specs/heron/heron.cotter");
    let all = [Diff::of(Some(side(&unit, "heron_as_bought")), Some(side(&unit, "heron_winter")))];
    let formats =
        [("text", Format::Text), ("markdown", Format::Markdown), ("csv", Format::Csv), ("json", Format::Json)];
    for (name, format) in formats {
        insta::assert_snapshot!(format!("diff_{name}"), diff::render(&all, format));
    }
}

#[test]
fn every_joint_of_both_sides_is_accounted_for() {
    for spec in ["specs/heron/heron.cotter", "specs/curlew/curlew.cotter"] {
        let unit = compiled(spec);
        for build in &unit.builds {
            let Some(base) = unit.model[build.build].from else { continue };
            let before = unit.builds.iter().find(|it| it.build == base).unwrap();
            let of = |it| Side { model: &unit.model, judged: it };
            let diff = Diff::of(Some(of(before)), Some(of(build)));
            for joint in &build.joints {
                let was = before.joints.iter().find(|it| it.name == joint.name);
                let listed = diff.joints.iter().find(|it| it.joint == joint.name);
                let wanted = match was {
                    None => Some(Change::Made),
                    Some(was) if was.uses != joint.uses => Some(Change::MadeAnew),
                    Some(was) if was.verdict != joint.verdict => Some(Change::Judged),
                    Some(_) => None,
                };
                assert_eq!(listed.map(|it| it.change), wanted, "{}", joint.name);
                assert!(listed.is_none_or(|it| it.after == Some(joint.verdict.word())));
            }
            let broken = before.joints.iter().filter(|it| build.joints.iter().all(|now| now.name != it.name)).count();
            assert_eq!(diff.joints.iter().filter(|it| it.change == Change::Broken).count(), broken);
            assert_eq!(diff.after.as_ref().unwrap().clashes, build.count(Verdict::Clashes));
        }
    }
}

#[test]
fn a_build_against_itself_differs_in_nothing() {
    let unit = compiled("specs/heron/heron.cotter");
    for build in &unit.builds {
        let side = Side { model: &unit.model, judged: build };
        assert!(Diff::of(Some(side), Some(side)).is_nothing());
    }
}

#[test]
fn a_witness_is_stale_when_a_verdict_or_a_fact_moves_and_not_before() {
    let unit = compiled("specs/heron/heron.cotter");
    let text = witness::text(&unit);
    assert_eq!(witness::stale(&unit, &text), Ok(None));
    assert_eq!(witness::stale(&unit, &text.replace('\n', "\r\n")), Ok(None), "line ends are git's business");
    let moved = text.replacen("  arms.pedals: fits", "  arms.pedals: open", 1);
    let stale = witness::stale(&unit, &moved).unwrap().expect("a verdict moved");
    assert_eq!(stale.moved.len(), 1);
    assert_eq!((stale.moved[0].joint.as_str(), stale.moved[0].before.as_deref()), ("arms.pedals", Some("open")));
    let fact = text.replacen("crank.pedal_hole = inch_9_16", "crank.pedal_hole = m14", 1);
    assert!(witness::stale(&unit, &fact).unwrap().expect("a fact moved").moved.is_empty());
    assert!(witness::stale(&unit, "something else").is_err());
    let joints: usize = unit.builds.iter().map(|it| it.joints.len()).sum();
    let lines = text.lines().filter(|it| it.starts_with("  ") && !it.starts_with("   ")).count();
    assert_eq!(lines, joints, "every joint stands there once");
}

const SPEC: &str = "assembly pair {\n  slot frame : frame\n  slot rear.hub : hub\n  \
    join axle = axle_in_seat(axle = rear.hub.axle, seat = frame.rear.dropout, material = frame.material, hub = rear.hub, end = rear)\n}\n\
    use \"parts.cotter\"\nbuild one : pair {\n  frame = f\n  rear.hub = h\n}\n";
const PARTS: &str = "part f : frame {\n  material = steel\n  rear.dropout = open(135 mm)\n}\n\
    part h : hub {\n  axle = qr(135 mm)\n  core = 10 mm\n}\n";

fn ran(folder: &Path, program: &str, arguments: &[&str]) -> Output {
    let mut command = Command::new(program);
    let who = [("GIT_AUTHOR_NAME", "a"), ("GIT_AUTHOR_EMAIL", "a@b.invalid"), ("GIT_COMMITTER_NAME", "a")];
    command
        .args(arguments)
        .current_dir(folder)
        .stdin(Stdio::null())
        .envs(who)
        .env("GIT_COMMITTER_EMAIL", "a@b.invalid");
    command.env("GIT_CONFIG_GLOBAL", "/dev/null").env("GIT_CONFIG_SYSTEM", "/dev/null");
    command.output().unwrap()
}

fn said(folder: &Path, program: &str, arguments: &[&str]) -> String {
    let output = ran(folder, program, arguments);
    assert!(output.status.success(), "{program} {arguments:?}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

/// A repository with two revisions of a spec in a folder: in the second one the hub does not fit any more.
fn repository() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let at = folder.path();
    std::fs::create_dir(at.join("bikes")).unwrap();
    let git = |arguments: &[&str]| said(at, "git", arguments);
    git(&["init", "-q"]);
    git(&["config", "diff.cotter.textconv", &format!("'{}' witness --textconv", env!("CARGO_BIN_EXE_cotter"))]);
    std::fs::write(at.join(".gitattributes"), "*.cotter diff=cotter\n").unwrap();
    std::fs::write(at.join("bikes/pair.cotter"), SPEC).unwrap();
    std::fs::write(at.join("bikes/parts.cotter"), PARTS).unwrap();
    git(&["add", "."]);
    git(&["commit", "-qm", "first"]);
    std::fs::write(at.join("bikes/parts.cotter"), PARTS.replace("open(135 mm)", "open(126 mm)")).unwrap();
    std::fs::write(at.join("bikes/pair.cotter"), SPEC.replace("build one : pair {", "build one : pair \"narrow\" {"))
        .unwrap();
    git(&["commit", "-qam", "second"]);
    folder
}

#[test]
fn git_shows_what_a_change_means() {
    let folder = repository();
    let log = said(folder.path(), "git", &["log", "-p", "-1", "--", "bikes/pair.cotter"]);
    assert!(log.contains("-  axle: fits"), "{log}");
    assert!(log.contains("+  axle: clashes by axle.spacing"), "{log}");
    assert!(log.contains("+build one : pair \"narrow\" {"), "the text is there too: {log}");
    // What is not committed yet is held against the last commit.
    let pair = folder.path().join("bikes/pair.cotter");
    std::fs::write(&pair, SPEC.replace("rear.hub = h", "rear.hub = ?")).unwrap();
    let diff = said(folder.path(), "git", &["diff"]);
    assert!(diff.contains("-  axle: clashes by axle.spacing") && diff.contains("+  axle: open"), "{diff}");
}

#[test]
fn a_revision_is_held_against_the_spec_as_it_is() {
    let folder = repository();
    let at = folder.path();
    let cotter = env!("CARGO_BIN_EXE_cotter");
    let page = said(at, cotter, &["diff", "--git", "HEAD~1", "bikes/pair.cotter"]);
    assert!(page.contains("fits before, now CLASHES"), "{page}");
    assert!(page.contains("f.rear.dropout") && page.contains("open(126 mm)"), "{page}");
    // From within the folder, as from without.
    let inner = said(&at.join("bikes"), cotter, &["diff", "--git", "HEAD~1", "pair.cotter"]);
    assert_eq!(page, inner);
    assert!(said(at, cotter, &["diff", "--git", "HEAD", "bikes/pair.cotter"]).contains("Nothing differs."));
    for (arguments, words) in [
        (["diff", "--git", "nowhere", "bikes/pair.cotter"], "git knows no revision `nowhere` here"),
        (["diff", "--git", "HEAD", "bikes/none.cotter"], "there is no file"),
    ] {
        let output = ran(at, cotter, &arguments);
        assert_eq!(output.status.code(), Some(2));
        assert!(String::from_utf8_lossy(&output.stderr).contains(words), "{}", String::from_utf8_lossy(&output.stderr));
    }
}

#[test]
fn the_command_line_names_builds_of_one_file_and_of_two() {
    let cotter = env!("CARGO_BIN_EXE_cotter");
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let one = said(here, cotter, &["diff", "specs/heron/heron.cotter:heron_as_bought", "heron_winter"]);
    let two = said(
        here,
        cotter,
        &["diff", "specs/heron/heron.cotter:heron_as_bought", "specs/heron/heron.cotter:heron_winter"],
    );
    assert_eq!(one, two);
    let same = said(here, cotter, &["diff", "specs/heron/heron.cotter", "specs/heron/heron.cotter"]);
    assert_eq!(same.matches("Nothing differs.").count(), 3, "{same}");
    for arguments in [
        vec!["diff", "specs/heron/heron.cotter:heron_sold", "heron_winter"],
        vec!["diff", "specs/heron/heron.cotter", "heron_winter"],
        vec!["diff", "specs/heron/heron.cotter"],
        vec!["diff", "specs/heron/heron.cotter", "specs/heron/heron.cotter", "--build", "heron_sold"],
        vec!["diff", "specs/none.cotter", "specs/heron/heron.cotter"],
    ] {
        assert_eq!(ran(here, cotter, &arguments).status.code(), Some(2), "{arguments:?}");
    }
}

#[test]
fn a_witness_stands_beside_its_spec_and_check_says_when_it_is_stale() {
    let folder = repository();
    let at = folder.path();
    let cotter = env!("CARGO_BIN_EXE_cotter");
    assert_eq!(said(at, cotter, &["witness", "bikes/pair.cotter"]), "wrote bikes/pair.witness\n");
    let witness = std::fs::read_to_string(at.join("bikes/pair.witness")).unwrap();
    assert_eq!(said(at, cotter, &["witness", "--print", "bikes/pair.cotter"]), witness);
    let fresh = ran(at, cotter, &["check", "bikes/pair.cotter"]);
    assert!(!String::from_utf8_lossy(&fresh.stdout).contains("out of date"));
    std::fs::write(at.join("bikes/parts.cotter"), PARTS).unwrap();
    let page = said(at, cotter, &["check", "bikes/pair.cotter"]);
    assert!(page.contains("bikes/pair.witness is out of date"), "{page}");
    assert!(page.contains("one, axle: clashes by axle.spacing then, fits now"), "{page}");
    assert_eq!(ran(at, cotter, &["check", "--strict", "bikes/pair.cotter"]).status.code(), Some(1));
    let json: serde_json::Value =
        serde_json::from_str(&said(at, cotter, &["check", "--format", "json", "bikes/pair.cotter"])).unwrap();
    assert_eq!(json["stale"][0]["moved"][0]["now"], "fits");
    crate::wire::keeps_to_the_schema(&json);
    // What is no witness is left as it is.
    std::fs::write(at.join("bikes/pair.witness"), "my own notes\n").unwrap();
    assert_eq!(ran(at, cotter, &["witness", "bikes/pair.cotter"]).status.code(), Some(2));
    assert_eq!(std::fs::read_to_string(at.join("bikes/pair.witness")).unwrap(), "my own notes\n");
}
