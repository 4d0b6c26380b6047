//! `cotter watch`: the check, painted anew whenever a file is saved that it read or would read.

use super::units::compiled_asking;
use super::{Done, Failure, compare, human, known_build};
use cotter::diagnose::screen;
use cotter::source::input_is_a_pipe;
use cotter::watching::Watch;
use std::io::{ErrorKind, Read, Write};
use std::path::Path;
use std::process::ExitCode;
use std::time::Duration;

/// Names told of what changed at once.
const TOLD: usize = 3;
/// What is being printed when the end comes may take so long.
const GRACE: Duration = Duration::from_secs(1);

/// Checks until it is told to end, or nobody reads any more.
pub fn watch(spec: &str, build: Option<&str>) -> Done {
    if spec == "-" {
        return Err(Failure("standard input can't be watched: name the file or folder of the spec".to_owned()));
    }
    let mut watch = Watch::new().map_err(Failure)?;
    end_with_signals(&watch)?;
    end_with_input(&watch);
    let clears = super::clears();
    let mut changed = None;
    loop {
        let Settled { report, count } = settled(&mut watch, spec, build)?;
        let report = match report {
            Ok(report) => report,
            // What can't be read at the start is a slip of the command line; later it is a file that will be back.
            Err(failure) if changed.is_none() => return Err(failure),
            Err(Failure(words)) => format!("cotter: {words}\n"),
        };
        let foot = screen::notice(&foot(changed.as_deref(), count), super::look());
        let clear = if clears { "\x1b[H\x1b[2J" } else { "" };
        if !painted(&format!("{clear}{report}\n{foot}"))? {
            break;
        }
        changed = watch.change();
        if changed.is_none() {
            break;
        }
    }
    if clears {
        // The mark of Ctrl-C stands on the line of the foot.
        painted("\n")?;
    }
    Ok(ExitCode::SUCCESS)
}

/// A report, and how many files it rests on.
struct Settled {
    report: Result<String, Failure>,
    count: usize,
}

/// The check as `cotter check` prints it, made again until all that it reads or would read is watched.
fn settled(watch: &mut Watch, spec: &str, build: Option<&str>) -> Result<Settled, Failure> {
    loop {
        let (units, mut asked) = compiled_asking(spec);
        let count = asked.len();
        // A witness that stands beside a spec is read too.
        asked.extend(units.iter().flatten().map(compare::witness_of));
        let report = units.and_then(|units| {
            known_build(&units, build)?;
            human(&units, build)
        });
        let below = Path::new(spec).is_dir().then_some(spec);
        if !watch.follow(&asked, below).map_err(Failure)? {
            return Ok(Settled { report, count });
        }
    }
}

/// The last line: what brought this report about, and how to leave.
fn foot(changed: Option<&[String]>, count: usize) -> String {
    let files = if count == 1 { "1 file".to_owned() } else { format!("{count} files") };
    let watching = format!("watching {files}; Ctrl-C ends");
    match changed {
        None => watching,
        Some([]) => format!("changed: something; {watching}"),
        Some(names) => {
            let told: Vec<&str> = names.iter().take(TOLD).map(String::as_str).collect();
            let more = names.len().saturating_sub(TOLD);
            let more = if more > 0 { format!(" and {more} more") } else { String::new() };
            format!("changed: {}{more}; {watching}", told.join(", "))
        }
    }
}

/// Ends with Ctrl-C, with the terminal, or when the system asks for it.
fn end_with_signals(watch: &Watch) -> Result<(), Failure> {
    let end = watch.ender();
    let handler = move || {
        end();
        // A report that nobody takes holds the end back no longer than this.
        std::thread::sleep(GRACE);
        std::process::exit(0);
    };
    ctrlc::set_handler(handler).map_err(|error| Failure(format!("signals can't be heard here: {error}")))
}

/// Where standard input is a pipe, whoever holds its other end keeps this going. A terminal's going away is a signal.
fn end_with_input(watch: &Watch) {
    if !input_is_a_pipe() {
        return;
    }
    let end = watch.ender();
    std::thread::spawn(move || {
        let (mut input, mut some) = (std::io::stdin().lock(), [0; 256]);
        loop {
            match input.read(&mut some) {
                Err(error) if error.kind() == ErrorKind::Interrupted => {}
                Ok(count) if count > 0 => {}
                _ => return end(),
            }
        }
    });
}

/// Prints; whether somebody still reads.
fn painted(text: &str) -> Result<bool, Failure> {
    let mut out = std::io::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Ok(()) => Ok(true),
        // The pipe is closed, or the terminal is gone.
        Err(error) if error.kind() == ErrorKind::BrokenPipe || error.raw_os_error() == Some(5) => Ok(false),
        Err(error) => Err(Failure(format!("the output can't be written: {error}"))),
    }
}
