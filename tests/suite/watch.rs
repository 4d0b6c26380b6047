//! `cotter watch` as a person has it: a real process, files saved in the ways that editors save them, and every way to end.

use std::fs::File;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

const PAIR: &str = "use \"bin.cotter\"\nassembly pair { slot frame : frame; slot rear.hub : hub; slot rear.axle? : wheel_axle\n  \
    join axle = axle_in_seat(axle = rear.hub.axle, seat = frame.rear.dropout, material = frame.material, hub = rear.hub, end = rear, own = rear.axle) }\n\
    part f : frame { material = steel; rear.dropout = open(135 mm) }\nbuild mine : pair { frame = f; rear.hub = h }\n";

/// Longer than any save takes to be seen.
const LONG: Duration = Duration::from_secs(20);
/// Long enough that what does not come in it does not come.
const PAUSE: Duration = Duration::from_millis(700);

fn hub(width: u32) -> String {
    format!("part h : hub {{ axle = qr({width} mm); core = 10 mm }}\n")
}

/// A folder with a spec of two files.
fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("pair.cotter"), PAIR).unwrap();
    std::fs::write(folder.path().join("bin.cotter"), hub(135)).unwrap();
    folder
}

/// A running `cotter watch`, and what it has printed.
struct Watching {
    child: Child,
    printed: Receiver<Vec<u8>>,
    rest: String,
}

impl Watching {
    fn of(folder: &Path, spec: &str) -> Watching {
        let mut command = Command::new(env!("CARGO_BIN_EXE_cotter"));
        command.args(["watch", spec]).current_dir(folder).stdin(Stdio::null()).stdout(Stdio::piped());
        let mut child = command.spawn().unwrap();
        let output = child.stdout.take().unwrap();
        Watching::reading(child, output)
    }

    fn reading(child: Child, mut output: impl Read + Send + 'static) -> Watching {
        let (send, printed) = channel();
        std::thread::spawn(move || {
            let mut some = [0; 4096];
            while let Ok(count @ 1..) = output.read(&mut some) {
                if send.send(some[..count].to_vec()).is_err() {
                    return;
                }
            }
        });
        Watching { child, printed, rest: String::new() }
    }

    /// The next report, up to and with its last line.
    fn report(&mut self) -> String {
        let start = Instant::now();
        loop {
            if let Some(at) = self.rest.find("Ctrl-C ends") {
                let end = at + "Ctrl-C ends".len();
                return self.rest.drain(..end).collect();
            }
            let left = LONG.saturating_sub(start.elapsed());
            let some = self.printed.recv_timeout(left).unwrap_or_else(|_| panic!("no report after:\n{}", self.rest));
            self.rest.push_str(&String::from_utf8_lossy(&some));
        }
    }

    /// What is printed although nothing happens: nothing.
    fn quiet(&mut self) {
        std::thread::sleep(PAUSE);
        self.rest.extend(self.printed.try_iter().map(|it| String::from_utf8_lossy(&it).into_owned()));
        assert_eq!(self.rest.trim(), "", "nothing happened, and nothing is told");
    }

    fn signal(&self, signal: rustix::process::Signal) {
        let id = rustix::process::Pid::from_child(&self.child);
        rustix::process::kill_process(id, signal).unwrap();
    }

    /// The exit code, once it has ended.
    fn code(mut self) -> Option<i32> {
        let start = Instant::now();
        while start.elapsed() < LONG {
            if let Some(status) = self.child.try_wait().unwrap() {
                return status.code();
            }
            std::thread::sleep(Duration::from_millis(10));
        }
        self.child.kill().unwrap();
        panic!("it does not end");
    }
}

impl Drop for Watching {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Saved as most editors do it: beside the old file, then put in its place.
fn save_by_renaming(path: &Path, text: &str) {
    let beside: PathBuf = path.with_extension("tmp~");
    std::fs::write(&beside, text).unwrap();
    std::fs::rename(&beside, path).unwrap();
}

#[test]
fn it_checks_again_however_a_file_is_saved() {
    let folder = folder();
    let bin = folder.path().join("bin.cotter");
    let mut watching = Watching::of(folder.path(), "pair.cotter");
    let first = watching.report();
    assert!(first.contains("mine") && first.ends_with("watching 2 files; Ctrl-C ends"), "{first}");
    assert!(!first.contains("clash[") && !first.contains('\u{1b}'), "{first}");
    // The same as `cotter check` prints, and the last line.
    let mut check = Command::new(env!("CARGO_BIN_EXE_cotter"));
    let check = check.args(["check", "pair.cotter"]).current_dir(folder.path()).output().unwrap();
    let check = String::from_utf8(check.stdout).unwrap();
    assert!(first.starts_with(&check), "{first}");
    watching.quiet();

    std::fs::write(&bin, hub(150)).unwrap();
    let clash = watching.report();
    assert!(clash.contains("clash[axle.spacing]") && clash.contains("changed: bin.cotter; watching"), "{clash}");
    for width in [135, 150, 135] {
        save_by_renaming(&bin, &hub(width));
        let report = watching.report();
        assert_eq!(report.contains("clash["), width == 150, "{report}");
        assert!(report.contains("changed: bin.cotter;"), "{report}");
    }

    // Gone and back.
    std::fs::remove_file(&bin).unwrap();
    let gone = watching.report();
    assert!(gone.contains("use.not_found") && gone.contains("changed: bin.cotter;"), "{gone}");
    std::fs::write(&bin, hub(150)).unwrap();
    assert!(watching.report().contains("clash[axle.spacing]"));

    // What the spec does not use is nobody's business.
    std::fs::write(folder.path().join("other.cotter"), "nonsense").unwrap();
    std::fs::read(&bin).unwrap();
    watching.quiet();
    watching.signal(rustix::process::Signal::TERM);
    assert_eq!(watching.code(), Some(0));
}

#[test]
fn a_file_newly_used_is_watched_before_it_is_there() {
    let folder = folder();
    let mut watching = Watching::of(folder.path(), "pair.cotter");
    watching.report();
    // In a folder that does not exist yet.
    let text = PAIR.replace("bin.cotter", "shelf/deep/bin.cotter");
    save_by_renaming(&folder.path().join("pair.cotter"), &text);
    assert!(watching.report().contains("use.not_found"));
    std::fs::create_dir_all(folder.path().join("shelf/deep")).unwrap();
    std::fs::write(folder.path().join("shelf/deep/bin.cotter"), hub(150)).unwrap();
    // The folders may be told of one by one.
    while !watching.report().contains("clash[axle.spacing]") {}
    save_by_renaming(&folder.path().join("shelf/deep/bin.cotter"), &hub(135));
    while watching.report().contains("clash[") {}
    // The whole folder replaced by another one.
    std::fs::create_dir_all(folder.path().join("new/deep")).unwrap();
    std::fs::write(folder.path().join("new/deep/bin.cotter"), hub(150)).unwrap();
    std::fs::rename(folder.path().join("shelf"), folder.path().join("old")).unwrap();
    std::fs::rename(folder.path().join("new"), folder.path().join("shelf")).unwrap();
    while !watching.report().contains("clash[axle.spacing]") {}
    std::fs::write(folder.path().join("shelf/deep/bin.cotter"), hub(135)).unwrap();
    while watching.report().contains("clash[") {}
    // A price list is read like a spec.
    let list = "name,width\nh,150 mm\n";
    let text = PAIR.replace(
        "use \"bin.cotter\"",
        "stock s : hub \"list.csv\" { name = column \"name\"; axle = qr(column \"width\") }",
    );
    std::fs::write(folder.path().join("list.csv"), list).unwrap();
    save_by_renaming(&folder.path().join("pair.cotter"), &text.replace("rear.hub = h", "rear.hub = s.h"));
    while !watching.report().contains("clash[axle.spacing]") {}
    std::fs::write(folder.path().join("list.csv"), list.replace("150", "135")).unwrap();
    let mended = watching.report();
    assert!(!mended.contains("clash[") && mended.contains("changed: list.csv;"), "{mended}");
}

#[test]
fn a_folder_is_watched_for_new_specs_in_new_folders() {
    let folder = folder();
    let mut watching = Watching::of(folder.path(), ".");
    assert!(watching.report().contains("mine"));
    std::fs::create_dir(folder.path().join("more")).unwrap();
    std::fs::write(folder.path().join("more/slip.cotter"), "prat").unwrap();
    while !watching.report().contains("syntax.item") {}
    std::fs::remove_dir_all(folder.path().join("more")).unwrap();
    while watching.report().contains("syntax.item") {}
}

#[test]
fn it_does_nothing_while_nothing_happens() {
    let folder = folder();
    let mut watching = Watching::of(folder.path(), "pair.cotter");
    watching.report();
    // Reading, also by itself, and new times are no change.
    let used = |child: &Child| -> Option<u64> {
        let stat = std::fs::read_to_string(format!("/proc/{}/stat", child.id())).ok()?;
        let fields: Vec<&str> = stat.rsplit(')').next()?.split_whitespace().collect();
        Some(fields.get(11)?.parse::<u64>().ok()? + fields.get(12)?.parse::<u64>().ok()?)
    };
    let before = used(&watching.child);
    let bin = File::open(folder.path().join("bin.cotter")).unwrap();
    let now = std::time::SystemTime::now();
    bin.set_times(std::fs::FileTimes::new().set_accessed(now).set_modified(now)).unwrap();
    std::fs::read_to_string(folder.path().join("pair.cotter")).unwrap();
    watching.quiet();
    let after = used(&watching.child);
    // A tick is a hundredth of a second; where there is no `/proc`, the quiet alone tells.
    if let (Some(before), Some(after)) = (before, after) {
        assert!(after - before < 10, "{} ticks of work for nothing", after - before);
    }
}

#[test]
fn every_way_to_end_it_is_a_clean_one() {
    use rustix::process::Signal;
    for signal in [Signal::INT, Signal::TERM, Signal::HUP] {
        let folder = folder();
        let mut watching = Watching::of(folder.path(), "pair.cotter");
        watching.report();
        watching.signal(signal);
        assert_eq!(watching.code(), Some(0), "{signal:?}");
    }
    // Whoever holds the other end of standard input lets go.
    let folder = folder();
    let mut command = Command::new(env!("CARGO_BIN_EXE_cotter"));
    command.args(["watch", "pair.cotter"]).current_dir(folder.path()).stdin(Stdio::piped()).stdout(Stdio::piped());
    let mut child = command.spawn().unwrap();
    let (input, output) = (child.stdin.take(), child.stdout.take().unwrap());
    let mut watching = Watching::reading(child, output);
    watching.report();
    watching.quiet();
    drop(input);
    assert_eq!(watching.code(), Some(0));
}

#[test]
fn what_can_t_be_watched_is_refused() {
    let folder = folder();
    for (arguments, words) in [
        (&["watch", "missing.cotter"][..], "there is no file `missing.cotter`"),
        (&["watch", "-"], "name the file or folder of the spec"),
        (&["watch", "pair.cotter", "--build", "nine"], "did you mean `mine`?"),
        (&["watch"], "<SPEC>"),
    ] {
        let mut command = Command::new(env!("CARGO_BIN_EXE_cotter"));
        let output = command.args(arguments).current_dir(folder.path()).stdin(Stdio::null()).output().unwrap();
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(said.contains(words), "{said}");
    }
}

#[test]
fn a_terminal_is_painted_anew_and_left_as_it_was() {
    use rustix::pty::{OpenptFlags, grantpt, openpt, ptsname, unlockpt};
    let folder = folder();
    let bin = folder.path().join("bin.cotter");
    let open = || {
        let master = openpt(OpenptFlags::RDWR | OpenptFlags::NOCTTY | OpenptFlags::CLOEXEC).unwrap();
        grantpt(&master).unwrap();
        unlockpt(&master).unwrap();
        let name = ptsname(&master, Vec::new()).unwrap().into_string().unwrap();
        let slave = || File::options().read(true).write(true).open(&name).unwrap();
        // A session of its own, with this terminal.
        let mut command = Command::new("setsid");
        command.args(["--ctty", "--wait", env!("CARGO_BIN_EXE_cotter"), "watch", "pair.cotter"]);
        command.current_dir(folder.path()).env("TERM", "xterm").env_remove("NO_COLOR");
        command.stdin(slave()).stdout(slave()).stderr(slave());
        (File::from(master), command.spawn().unwrap())
    };
    const CLEAR: &str = "\u{1b}[H\u{1b}[2J";
    let (mut terminal, child) = open();
    let mut watching = Watching::reading(child, terminal.try_clone().unwrap());
    let first = watching.report();
    assert!(first.starts_with(CLEAR), "{first:?}");
    std::fs::write(&bin, hub(150)).unwrap();
    let second = watching.report();
    assert_eq!(second.matches(CLEAR).count(), 1, "{second:?}");
    assert!(second.contains("changed: bin.cotter"), "{second:?}");
    terminal.write_all(b"\x03").unwrap();
    let rest = |watching: &Watching| -> String {
        let some = watching.printed.iter();
        some.map(|it| String::from_utf8_lossy(&it).into_owned()).collect()
    };
    // The cursor is never hidden, no other screen is opened, and the shell's prompt gets a line of its own.
    let last = rest(&watching);
    assert!(last.ends_with('\n'), "{last:?}");
    for code in ["\u{1b}[?25l", "\u{1b}[?1049h"] {
        assert!(![&first, &second, &last].iter().any(|it| it.contains(code)), "{code:?}");
    }
    assert_eq!(watching.code(), Some(0));

    // The window is closed.
    let (mut terminal, child) = open();
    let (mut shown, mut some) = (String::new(), [0; 4096]);
    while !shown.contains("Ctrl-C ends") {
        let count = terminal.read(&mut some).unwrap();
        shown.push_str(&String::from_utf8_lossy(&some[..count]));
    }
    drop(terminal);
    assert_eq!(Watching::reading(child, std::io::empty()).code(), Some(0));
}
