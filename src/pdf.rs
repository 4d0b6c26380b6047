//! A page printed by a browser.

use super::write;
use std::io::ErrorKind;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// Names that browsers which can print by themselves go by.
const BROWSERS: &[&str] =
    &["chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "headless_shell"];

/// What only makes the printing smaller: no network, no first questions, no header with date and address.
const SWITCHES: &[&str] = &[
    "--headless",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-extensions",
    "--no-pdf-header-footer",
];

/// The longest that a browser may take.
const PATIENCE: Duration = Duration::from_secs(120);

/// What stands in a printed report, by which it is known again: it is put at the end, where readers of PDF skip it.
pub const MARK: &[u8] = b"% cotter report\n";

/// The bytes of a page as PDF. `beside` is a folder for what only lives while it is printed.
pub fn printed(html: &Path, beside: &Path) -> Result<Vec<u8>, String> {
    let scratch = tempfile::tempdir_in(beside).map_err(|error| format!("no PDF: `{}`: {error}", beside.display()))?;
    let target = scratch.path().join("page.pdf");
    let page = write::address(html)?;
    for browser in BROWSERS {
        // Its own sandbox comes first; where the system has none to give, the page runs no script that it would hold.
        for sandbox in [true, false] {
            let mut command = Command::new(browser);
            command.args(SWITCHES).arg(format!("--user-data-dir={}", scratch.path().join("profile").display()));
            if !sandbox {
                command.arg("--no-sandbox");
            }
            command.arg(format!("--print-to-pdf={}", target.display())).arg(&page);
            command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
            let child = match command.spawn() {
                Ok(child) => child,
                Err(error) if error.kind() == ErrorKind::NotFound => break,
                Err(error) => return Err(format!("no PDF: `{browser}` can't be started: {error}")),
            };
            let done = finished(child).map_err(|words| format!("no PDF: `{browser}` {words}"))?;
            if let (true, Ok(bytes)) = (done, write::printed(&target)) {
                return Ok(timeless(bytes));
            }
            if !sandbox {
                return Err(format!("no PDF: `{browser}` printed none"));
            }
        }
    }
    Err(format!(
        "no PDF: there is no browser that prints by itself; install Chromium (`apt-get install chromium`) or Chrome, so \
         that one of `{}` is found",
        BROWSERS.join("`, `")
    ))
}

/// Whether a browser did what it was asked, once it is done.
fn finished(mut child: Child) -> Result<bool, String> {
    let begin = Instant::now();
    loop {
        match child.try_wait() {
            Ok(Some(status)) => return Ok(status.success()),
            Ok(None) if begin.elapsed() < PATIENCE => std::thread::sleep(Duration::from_millis(50)),
            Ok(None) => {
                let _ = child.kill();
                let _ = child.wait();
                return Err(format!("took longer than {} seconds", PATIENCE.as_secs()));
            }
            Err(error) => return Err(format!("was lost: {error}")),
        }
    }
}

/// The same page without the time at which it was printed, so that the same input gives the same bytes; with the mark.
/// The digits keep their places, which the table at the end of the file counts on.
fn timeless(mut bytes: Vec<u8>) -> Vec<u8> {
    for key in [b"/CreationDate (D:".as_slice(), b"/ModDate (D:"] {
        let Some(at) = bytes.windows(key.len()).position(|it| it == key) else { continue };
        let digits = bytes.iter_mut().skip(at + key.len());
        for (byte, fixed) in digits.take_while(|it| it.is_ascii_digit()).zip(b"20000101000000") {
            *byte = *fixed;
        }
    }
    if !bytes.ends_with(b"\n") {
        bytes.push(b'\n');
    }
    bytes.extend_from_slice(MARK);
    bytes
}
