//! Mistakes of files that use each other.

use super::Mistake;
use super::codes::*;
use crate::source::Span;

/// `used` is not there.
pub fn use_not_found(at: Span, used: &str, looked_at: &str) -> Mistake {
    Mistake::new(&USE_NOT_FOUND, at, format!("`{used}` is not there"), format!("looked for `{looked_at}`"))
        .help("the path is seen from the folder of the file that uses it")
}

/// A `use` names no file.
pub fn use_empty(at: Span) -> Mistake {
    Mistake::new(&USE_NOT_FOUND, at, "this `use` names no file", "an empty name")
        .help("write the path of a spec between the quotes, as seen from this file")
}

/// `used` can't be read; `reason` says why.
pub fn use_unreadable(at: Span, used: &str, reason: &str) -> Mistake {
    Mistake::new(&USE_UNREADABLE, at, format!("`{used}` can't be read: {reason}"), "used here")
        .help("a used file is a plain text file that you may read")
}

/// Files use each other in a circle.
pub fn use_loop(at: Span, chain: &[String]) -> Mistake {
    if let [only, _] = chain {
        return Mistake::new(&USE_LOOP, at, format!("`{only}` uses itself"), "this is the file itself")
            .help("take this line out");
    }
    let message = format!("files use each other in a circle: {}", chain.join(" -> "));
    Mistake::new(&USE_LOOP, at, message, "this closes the circle")
        .help("move what both files need into a third one, and use that from both")
}

/// `used` lies outside the project folder.
pub fn use_outside(at: Span, used: &str) -> Mistake {
    Mistake::new(&USE_OUTSIDE, at, format!("`{used}` lies outside the project folder"), "used here")
        .help("run cotter in a folder that holds both files: the folder it runs in is the project folder")
}
