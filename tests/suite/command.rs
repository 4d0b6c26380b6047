//! The program as a shell sees it: what it prints, where, with which exit code, and what it leaves on the disk.

use std::path::Path;
use std::process::{Command, Output, Stdio};

const FITS: &str = "assembly pair { slot frame : frame; slot rear.hub : hub; slot rear.axle? : wheel_axle\n  \
    join axle = axle_in_seat(axle = rear.hub.axle, seat = frame.rear.dropout, material = frame.material, hub = rear.hub, end = rear, own = rear.axle) }\n\
    part f : frame { material = steel; rear.dropout = open(135 mm) }\npart h : hub { axle = qr(135 mm); core = 10 mm }\n\
    build fitting : pair { frame = f; rear.hub = h }\n";

fn cotter(folder: &Path, arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_cotter"));
    command.args(arguments).current_dir(folder).stdin(Stdio::null()).env_remove("NO_COLOR").output().unwrap()
}

fn code(output: &Output) -> i32 {
    output.status.code().expect("no signal ends it")
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn folder(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in files {
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    folder
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        std::fs::read_dir(folder).unwrap().flatten().map(|it| it.file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

#[test]
fn exit_codes_tell_fit_from_clash_from_trouble() {
    let clashing = FITS.replace("qr(135 mm)", "qr(150 mm)").replace("fitting", "clashing");
    let open = FITS.replace("qr(135 mm)", "?").replace("fitting", "open_one");
    let here =
        folder(&[("fits.cotter", FITS), ("clash.cotter", &clashing), ("open.cotter", &open), ("slip.cotter", "prat")]);
    let run = |arguments: &[&str]| code(&cotter(here.path(), arguments));
    assert_eq!(run(&["check", "fits.cotter"]), 0);
    assert_eq!(run(&["check", "clash.cotter"]), 1);
    assert_eq!(run(&["check", "slip.cotter"]), 1);
    assert_eq!(run(&["check", "open.cotter"]), 0);
    assert_eq!(run(&["check", "--strict", "open.cotter"]), 1);
    assert_eq!(run(&["check", "."]), 1);
    assert_eq!(run(&["check", "missing.cotter"]), 2);
    assert_eq!(run(&["check", "--build", "nobody", "fits.cotter"]), 2);
    assert_eq!(run(&["check", "--format", "poem"]), 2);
    assert_eq!(run(&["explain", "no_such_thing_at_all"]), 2);
    assert_eq!(run(&["explain", "frame"]), 0);
}

#[test]
fn nothing_is_coloured_where_no_terminal_listens() {
    let here = folder(&[("clash.cotter", &FITS.replace("qr(135 mm)", "qr(150 mm)"))]);
    assert!(!out(&cotter(here.path(), &["check", "clash.cotter"])).contains('\u{1b}'));
}

#[test]
fn standard_input_is_a_spec_too() {
    let here = folder(&[]);
    let mut command = Command::new(env!("CARGO_BIN_EXE_cotter"));
    command
        .args(["check", "-", "--format", "json"])
        .current_dir(here.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped());
    let mut child = command.spawn().unwrap();
    std::io::Write::write_all(child.stdin.as_mut().unwrap(), FITS.as_bytes()).unwrap();
    let output = child.wait_with_output().unwrap();
    let report: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!((code(&output), report["builds"][0]["name"].as_str()), (0, Some("fitting")));
}

#[test]
fn a_sheet_is_written_whole_and_over_nothing_unasked() {
    let here = folder(&[("fits.cotter", FITS), ("mine.txt", "my own words")]);
    let run = |arguments: &[&str]| cotter(here.path(), arguments);
    let sheet = out(&run(&["torque", "fits.cotter"]));
    assert_eq!(code(&run(&["torque", "fits.cotter", "-o", "sheet.txt"])), 0);
    assert_eq!(std::fs::read_to_string(here.path().join("sheet.txt")).unwrap(), sheet);
    assert_eq!(code(&run(&["torque", "fits.cotter", "-o", "mine.txt"])), 2);
    assert_eq!(std::fs::read_to_string(here.path().join("mine.txt")).unwrap(), "my own words");
    assert_eq!(code(&run(&["torque", "fits.cotter", "-o", "mine.txt", "--overwrite"])), 0);
    assert_eq!(std::fs::read_to_string(here.path().join("mine.txt")).unwrap(), sheet);
    assert_eq!(code(&run(&["bom", "fits.cotter", "-o", "no/such/folder.txt"])), 2);
    assert_eq!(names(here.path()), ["fits.cotter", "mine.txt", "sheet.txt"], "no stray file is left");
}

/// Commands that print a sheet of numbers.
const NUMBERS: [&str; 6] = ["gears", "chain", "indexing", "wheels", "geometry", "braking"];

#[test]
fn a_sheet_of_numbers_is_written_as_the_others_are() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let here = tempfile::tempdir().unwrap();
    let (sheet, mine) = (here.path().join("sheet.json"), here.path().join("mine.txt"));
    for name in NUMBERS.into_iter().chain(["steps"]) {
        std::fs::write(&mine, "my own words").unwrap();
        let run = |more: &[&str]| {
            let arguments = [&[name, "specs/heron", "--build", "heron_winter", "--format", "json"], more].concat();
            cotter(root, &arguments)
        };
        let printed = run(&[]);
        assert_eq!((code(&printed), printed.stderr.is_empty()), (0, true), "{name}");
        let data: serde_json::Value = serde_json::from_str(&out(&printed)).unwrap();
        assert_eq!(
            (&data["builds"][0]["build"], data["builds"].as_array().unwrap().len()),
            (&"heron_winter".into(), 1)
        );
        let written = run(&["-o", &sheet.to_string_lossy()]);
        assert_eq!((code(&written), out(&written).is_empty()), (0, true), "{name}");
        assert_eq!(std::fs::read_to_string(&sheet).unwrap(), out(&printed), "{name}");
        let refused = run(&["-o", &mine.to_string_lossy()]);
        assert_eq!(code(&refused), 2, "{name}");
        assert!(String::from_utf8_lossy(&refused.stderr).contains("`--overwrite` replaces a file"), "{name}");
        assert_eq!(std::fs::read_to_string(&mine).unwrap(), "my own words", "{name}");
        assert_eq!(code(&run(&["-o", &mine.to_string_lossy(), "--overwrite"])), 0, "{name}");
        assert_eq!(std::fs::read_to_string(&mine).unwrap(), out(&printed), "{name}");
        assert_eq!(code(&run(&["--overwrite"])), 2, "{name}: over what?");
        assert_eq!(code(&cotter(root, &[name, "specs/heron", "--build", "heron_summer"])), 2, "{name}");
        assert_eq!(names(here.path()), ["mine.txt", "sheet.json"], "{name}: no stray file is left");
        std::fs::remove_file(&sheet).unwrap();
    }
}

#[test]
fn the_starter_compiles_to_open_joints_and_a_few_fits() {
    let here = folder(&[]);
    assert_eq!(code(&cotter(here.path(), &["new", "swift_one"])), 0);
    assert_eq!(code(&cotter(here.path(), &["new", "swift_one"])), 2, "a spec is never written over");
    assert_eq!(code(&cotter(here.path(), &["new", "no name"])), 2);
    let output = cotter(here.path(), &["check", "swift_one.cotter", "--format", "json"]);
    let report: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let build = &report["builds"][0];
    assert_eq!((code(&output), build["name"].as_str(), build["clashes"].as_u64()), (0, Some("swift_one"), Some(0)));
    assert!(build["fits"].as_u64() > Some(3) && build["open"].as_u64() > Some(20), "{build}");
    assert_eq!(names(here.path()), ["swift_one.cotter"]);
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    for arguments in [&["check", "specs"][..], &["bom", "specs/heron"], &["torque", "specs/curlew"], &["explain"]] {
        assert_eq!(out(&cotter(root, arguments)), out(&cotter(root, arguments)), "{arguments:?}");
    }
    for name in NUMBERS.into_iter().chain(["steps"]) {
        for format in ["text", "markdown", "csv", "json"] {
            let run = || out(&cotter(root, &[name, "specs/heron", "--format", format]));
            let first = run();
            assert!(!first.is_empty() && first == run(), "{name}, {format}");
        }
    }
}

#[test]
fn every_shell_gets_its_completions() {
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        assert!(out(&cotter(Path::new("."), &["completions", shell])).contains("torque"), "{shell}");
    }
}
