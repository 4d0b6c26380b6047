//! `cotter report` as a shell sees it: what it writes, and what it leaves alone.

use super::ROOT;
use std::path::Path;
use std::process::{Command, Output, Stdio};

const SPEC: &str = "assembly pair { slot frame : frame; slot rear.hub : hub; slot rear.axle? : wheel_axle\n\
    join axle = axle_in_seat(axle = rear.hub.axle, seat = frame.rear.dropout, material = frame.material, hub = rear.hub, end = rear, own = rear.axle) }\n\
    part f : frame { material = steel; rear.dropout = open(135 mm) }\npart h : hub { axle = qr(135 mm); core = 10 mm }\n\
    build one : pair { frame = f; rear.hub = h }\nbuild two : pair { frame = f; rear.hub = h }\n";

fn run(folder: &Path, arguments: &[&str], path: Option<&Path>) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_cotter"));
    command.args(arguments).current_dir(folder).stdin(Stdio::null());
    if let Some(path) = path {
        command.env("PATH", path);
    }
    command.output().unwrap()
}

fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).unwrap().flatten();
    let mut names: Vec<String> = entries.map(|it| it.file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

fn code(output: &Output) -> Option<i32> {
    output.status.code()
}

#[test]
fn it_writes_a_page_a_build_and_replaces_only_its_own() {
    let here = tempfile::tempdir().unwrap();
    std::fs::write(here.path().join("mine.cotter"), SPEC).unwrap();
    let report = |more: &[&str]| run(here.path(), &[&["report", "mine.cotter", "-o", "out/deep"], more].concat(), None);
    let first = report(&[]);
    assert_eq!(code(&first), Some(0), "{}", said(&first));
    let out = here.path().join("out/deep");
    assert_eq!(names(&out), ["one.html", "one.md", "two.html", "two.md"]);
    let read = |name: &str| std::fs::read_to_string(out.join(name)).unwrap();
    let before = read("one.html");
    assert_eq!(code(&report(&[])), Some(0), "an earlier report is replaced");
    assert_eq!(read("one.html"), before);
    // Somebody else's file is left alone, and then so are all.
    std::fs::write(out.join("two.md"), "my notes\n").unwrap();
    std::fs::write(out.join("one.md"), "<!-- cotter report -->\nold\n").unwrap();
    let refused = report(&[]);
    assert_eq!(code(&refused), Some(2));
    assert!(said(&refused).contains("two.md") && said(&refused).contains("--overwrite"), "{}", said(&refused));
    assert_eq!((read("two.md").as_str(), read("one.md").contains("old")), ("my notes\n", true));
    assert_eq!(code(&report(&["--build", "one"])), Some(0), "the other build is not in its way");
    assert_eq!(code(&report(&["--overwrite"])), Some(0));
    assert!(read("two.md").contains("# two"));
    assert_eq!(names(&out), ["one.html", "one.md", "two.html", "two.md"], "nothing else is left");
}

#[test]
fn it_says_what_is_in_the_way() {
    let here = tempfile::tempdir().unwrap();
    std::fs::write(here.path().join("mine.cotter"), SPEC).unwrap();
    std::fs::write(here.path().join("yours.cotter"), SPEC).unwrap();
    let same = run(here.path(), &["report", ".", "-o", "out"], None);
    assert_eq!(code(&same), Some(2));
    assert!(said(&same).contains("several builds called `one`"), "{}", said(&same));
    let file = run(here.path(), &["report", "mine.cotter", "-o", "yours.cotter"], None);
    assert_eq!(code(&file), Some(2));
    assert!(said(&file).contains("is a file"), "{}", said(&file));
    assert_eq!(code(&run(here.path(), &["report", "mine.cotter", "--build", "three", "-o", "out"], None)), Some(2));
    assert_eq!(code(&run(here.path(), &["report", "mine.cotter"], None)), Some(2), "a folder must be named");
    assert_eq!(names(here.path()), ["mine.cotter", "yours.cotter"], "nothing is written");
}

#[test]
fn without_a_browser_the_page_is_written_all_the_same() {
    let here = tempfile::tempdir().unwrap();
    std::fs::write(here.path().join("mine.cotter"), SPEC).unwrap();
    let empty = tempfile::tempdir().unwrap();
    let output =
        run(here.path(), &["report", "mine.cotter", "--build", "one", "-o", "out", "--pdf"], Some(empty.path()));
    assert_eq!(code(&output), Some(2));
    assert!(said(&output).contains("install Chromium"), "{}", said(&output));
    assert_eq!(names(&here.path().join("out")), ["one.html", "one.md"]);
}

#[test]
fn a_clash_is_a_failure_of_the_report_too() {
    let here = tempfile::tempdir().unwrap();
    let spec = format!("{ROOT}/specs/heron/heron.cotter");
    let out = here.path().join("out");
    let arguments = ["report", &spec, "--build", "heron_first_try", "-o", &out.to_string_lossy()];
    let output = run(here.path(), &arguments, None);
    assert_eq!(code(&output), Some(1), "{}", said(&output));
    let html = std::fs::read_to_string(out.join("heron_first_try.html")).unwrap();
    assert!(!html.contains(ROOT), "no path of this machine stands in it");
}
