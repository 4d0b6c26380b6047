//! The recipes that the README gives for git and for a pipeline, run as they stand there, in a real repository.

use std::path::Path;
use std::process::{Command, Output};

const FITS: &str = "part h : hub {\n  axle = qr(135 mm)\n}\n";

/// The blocks of shell in the README that hold `mark`.
fn recipe(mark: &str) -> String {
    let readme = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let blocks: Vec<&str> = readme.split("```sh\n").skip(1).filter_map(|it| it.split("```").next()).collect();
    let found: Vec<&&str> = blocks.iter().filter(|it| it.contains(mark)).collect();
    assert_eq!(found.len(), 1, "one recipe has `{mark}`");
    (*found[0]).to_owned()
}

/// Runs a program as somebody with `cotter` on the path would.
fn run(folder: &Path, program: &str, arguments: &[&str]) -> Output {
    let bin = Path::new(env!("CARGO_BIN_EXE_cotter")).parent().unwrap();
    let path = format!("{}:{}", bin.display(), std::env::var("PATH").unwrap_or_default());
    let mut command = Command::new(program);
    for (name, value) in [("NAME", "somebody"), ("EMAIL", "somebody@example.invalid")] {
        command.env(format!("GIT_AUTHOR_{name}"), value).env(format!("GIT_COMMITTER_{name}"), value);
    }
    command.env("PATH", path).env("GIT_CONFIG_NOSYSTEM", "1").env("HOME", folder);
    command.args(arguments).current_dir(folder).output().unwrap()
}

fn git(folder: &Path, arguments: &[&str]) -> Output {
    run(folder, "git", arguments)
}

fn done(output: &Output) {
    assert!(output.status.success(), "{}", said(output));
}

fn said(output: &Output) -> String {
    format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr))
}

fn repository() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    done(&git(folder.path(), &["init", "-q", "-b", "main"]));
    folder
}

#[test]
#[cfg(unix)]
fn the_hook_refuses_what_clashes_and_looks_at_what_is_committed() {
    use std::os::unix::fs::PermissionsExt;
    let folder = repository();
    let at = folder.path();
    let hook = at.join(".git/hooks/pre-commit");
    std::fs::write(&hook, recipe("checkout-index")).unwrap();
    std::fs::set_permissions(&hook, std::fs::Permissions::from_mode(0o755)).unwrap();
    let commit = |words: &str| git(at, &["commit", "-qm", words]);
    let write = |name: &str, text: &str| std::fs::write(at.join(name), text).unwrap();
    let pair = |width: u32| {
        format!(
            "use \"bin.cotter\"\n\nassembly pair {{\n  slot frame : frame\n  slot rear.hub : hub\n\n  \
             join axle = axle_in_seat(axle = rear.hub.axle, seat = frame.rear.dropout, material = frame.material, hub = rear.hub, end = rear)\n}}\n\n\
             part f : frame {{\n  material     = steel\n  rear.dropout = open({width} mm)\n}}\n\nbuild b : pair {{\n  frame    = f\n  rear.hub = h\n}}\n"
        )
    };

    // Without a spec there is nothing to look at.
    write("notes.txt", "bought a bike\n");
    done(&git(at, &["add", "."]));
    done(&commit("notes"));

    write("bin.cotter", FITS);
    write("pair.cotter", &pair(135));
    done(&git(at, &["add", "."]));
    done(&run(at, "cotter", &["fmt"]));
    done(&git(at, &["add", "."]));
    done(&commit("it fits"));

    // A clash is refused, with what it is; nothing is left lying about.
    write("pair.cotter", &std::fs::read_to_string(at.join("pair.cotter")).unwrap().replace("135 mm", "126 mm"));
    done(&git(at, &["add", "."]));
    let refused = commit("it clashes");
    assert!(!refused.status.success() && said(&refused).contains("clash[axle.spacing]"), "{}", said(&refused));
    let head = String::from_utf8(git(at, &["log", "-1", "--format=%s"]).stdout).unwrap();
    assert_eq!(head, "it fits\n");

    // What is mended in the folder, but not in what is committed, is still refused; the other way round is not.
    let clashing = std::fs::read_to_string(at.join("pair.cotter")).unwrap();
    write("pair.cotter", &clashing.replace("126 mm", "135 mm"));
    assert!(!commit("mended, not added").status.success());
    let mended = std::fs::read_to_string(at.join("pair.cotter")).unwrap();
    write("pair.cotter", &mended.replace("frame    = f", "frame    = f # mine"));
    done(&git(at, &["add", "pair.cotter"]));
    done(&run(at, "cotter", &["fmt"]));
    done(&git(at, &["add", "pair.cotter"]));
    write("pair.cotter", &clashing);
    done(&commit("mended, and broken again in the folder"));

    // A rough line and a slip are refused too.
    for (text, words) in [("part x : hub { axle=qr(135 mm) }\n", "would change"), ("prat x\n", "syntax.item")] {
        write("rough.cotter", text);
        done(&git(at, &["add", "rough.cotter"]));
        let refused = commit("rough");
        assert!(!refused.status.success() && said(&refused).contains(words), "{}", said(&refused));
    }
    done(&git(at, &["rm", "-qf", "rough.cotter"]));
    done(&git(at, &["rm", "-qf", "--cached", "pair.cotter", "bin.cotter"]));
    done(&commit("no specs any more"));
}

#[test]
#[cfg(unix)]
fn the_pipeline_hands_its_findings_on_and_fails() {
    let folder = repository();
    let at = folder.path();
    for entry in std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("specs/heron")).unwrap().flatten() {
        std::fs::copy(entry.path(), at.join(entry.file_name())).unwrap();
    }
    done(&git(at, &["add", "."]));
    done(&git(at, &["commit", "-qm", "heron"]));
    let text = std::fs::read_to_string(at.join("heron.cotter")).unwrap();
    let output = run(at, "sh", &["-c", &recipe("cotter.sarif")]);
    // The first try clashes.
    assert_eq!(output.status.code(), Some(1), "{}", said(&output));
    let sarif: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(at.join("cotter.sarif")).unwrap()).unwrap();
    assert!(sarif["runs"][0]["results"].as_array().unwrap().len() > 10);
    assert!(std::fs::read_to_string(at.join("changes.md")).unwrap().contains("Nothing differs."));
    // Without it, nothing does; what changed is told.
    let start = text.find("build heron_first_try").unwrap();
    let end = start + text[start..].find("\n}\n").unwrap() + 3;
    std::fs::write(at.join("heron.cotter"), format!("{}{}", &text[..start], &text[end..])).unwrap();
    done(&run(at, "cotter", &["fmt"]));
    let output = run(at, "sh", &["-c", &recipe("cotter.sarif").replace("--strict ", "")]);
    assert_eq!(output.status.code(), Some(0), "{}", said(&output));
    assert!(std::fs::read_to_string(at.join("changes.md")).unwrap().contains("heron_first_try"));
}
