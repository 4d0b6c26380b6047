//! Mistakes of the text itself.

use super::codes::*;
use super::{Mistake, listed};
use crate::source::Span;

/// The file's bytes are no UTF-8 from `at` on.
pub fn not_utf8(at: Span, byte: u8) -> Mistake {
    Mistake::new(&TEXT_NOT_UTF8, at, "this file is not UTF-8 text", format!("the byte {byte:#04x} stands here"))
        .help("save the file as UTF-8 in your editor")
}

/// The file is larger than any spec.
pub fn too_large(at: Span, name: &str) -> Mistake {
    Mistake::new(&TEXT_TOO_LARGE, at, format!("`{name}` is larger than 4 MiB"), "used here")
        .help("a spec is a text file; split it with `use`, or check that this is the right file")
}

/// A line has more than `limit` bytes.
pub fn long_line(at: Span, limit: usize) -> Mistake {
    Mistake::new(&TEXT_LONG_LINE, at, format!("a line is longer than {limit} bytes"), "this line")
        .help("write one fact a line; a long text may go on as a second string on the next line")
}

/// Brackets stand too deep in one another.
pub fn too_deep(at: Span) -> Mistake {
    Mistake::new(&TEXT_TOO_DEEP, at, "too many brackets within brackets", "no deeper than 64, please")
        .help("no spec needs this; look for a bracket that was typed many times")
}

/// Something at file level is no item.
pub fn broken_item<'a>(at: Span, found: &str, items: impl Iterator<Item = &'a str> + Clone) -> Mistake {
    let message = if found.is_empty() {
        "expected `part`, `build` or `use` at the left margin".to_owned()
    } else {
        format!("expected `part`, `build` or `use` at the left margin, found `{found}`")
    };
    Mistake::new(&SYNTAX_ITEM, at, message, "no item begins like this")
        .suggest(at, found, items)
        .help("an item looks like `part my_part : its_kind { diameter = 26.8 mm }`")
}

/// A line of a block begins with no word that the block knows.
pub fn unknown_statement<'a>(
    at: Span,
    found: &str,
    owner: &str,
    words: impl Iterator<Item = &'a str> + Clone,
) -> Mistake {
    let article = if owner.starts_with(['a', 'e', 'i', 'o']) { "an" } else { "a" };
    Mistake::new(
        &SYNTAX_STATEMENT,
        at,
        format!("a line of {article} {owner} can't begin with `{found}`"),
        format!("expected {}", listed(words.clone())),
    )
    .suggest(at, found, words)
}

/// A line that can't be read; `expected` in words.
pub fn broken_line(at: Span, message: &str, expected: &[String]) -> Mistake {
    let label = match expected {
        [] => "this is not understood".to_owned(),
        [only] => format!("expected {only}"),
        [front @ .., last] => format!("expected {} or {last}", front.join(", ")),
    };
    let message = if expected.is_empty() { message.to_owned() } else { format!("{message}: {label}") };
    Mistake::new(&SYNTAX_LINE, at, message, label)
}

impl Mistake {
    /// Adds a hint, where there is one.
    #[must_use]
    pub fn with_hint(self, hint: Option<String>) -> Mistake {
        match hint {
            Some(words) => self.help(words),
            None => self,
        }
    }
}

/// A block that is never closed.
pub fn unclosed(at: Span, owner: &str) -> Mistake {
    let article = if owner.starts_with(['a', 'e', 'i', 'o']) { "an" } else { "a" };
    let mut mistake = Mistake::new(
        &SYNTAX_UNCLOSED,
        at,
        format!("the block of {article} {owner} is not closed"),
        "a `}` is missing here",
    );
    mistake.edits.push(super::Edit { span: at, text: "\n}".to_owned() });
    mistake.help("write `}` on a line of its own")
}
