//! Mistakes of the text itself.

use super::codes::*;
use super::{Edit, Mistake, listed, with_article};
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
    let message = format!("expected `part`, `build` or `use` at the left margin, found `{found}`");
    Mistake::new(&SYNTAX_ITEM, at, message, "no item begins like this")
        .suggest(at, found, items)
        .help("an item looks like `part NAME : KIND { FACT = VALUE }`; a comment begins with `#`")
}

/// A brace at file level that closes nothing.
pub fn stray_close(at: Span) -> Mistake {
    let mut mistake = Mistake::new(&SYNTAX_ITEM, at, "this `}` closes nothing", "one too many");
    mistake.edits.push(Edit { span: at, text: String::new() });
    mistake.help("take it away, or look above for a block that was closed too early")
}

/// A line of a block begins with no word that the block knows; `elsewhere` are the owners of blocks that know it.
pub fn unknown_statement<'a>(
    at: Span,
    found: &str,
    owner: &str,
    words: impl Iterator<Item = &'a str> + Clone,
    elsewhere: &[&str],
) -> Mistake {
    let message = format!("a line of {} can't begin with `{found}`", with_article(owner));
    let mut mistake = Mistake::new(&SYNTAX_STATEMENT, at, message, "no line here begins like this");
    if elsewhere.is_empty() {
        mistake = mistake.suggest(at, found, words.clone());
    } else {
        let owners: Vec<String> = elsewhere.iter().map(|it| with_article(it)).collect();
        mistake = mistake.help(format!("it may in {}: is a `}}` missing above?", owners.join(" or ")));
    }
    mistake.help(format!("lines of {} begin with {}", with_article(owner), listed(words)))
}

/// A line that can't be read: what was `expected` there in words, the token that was `found`, and the one `before`.
pub fn broken_line(at: Span, expected: &[String], found: Option<&str>, before: Option<&str>) -> Mistake {
    let either = |all: &[String]| match all {
        [] => "something else".to_owned(),
        [only] => only.clone(),
        [front @ .., last] => format!("{} or {last}", front.join(", ")),
    };
    // Examples are for the label; the headline does without.
    let short: Vec<String> = expected.iter().map(|it| it.split(", such as").next().unwrap_or(it).to_owned()).collect();
    let place = match (found, before) {
        (Some(found), _) => format!(" before `{found}`"),
        (None, Some(before)) => format!(" after `{before}`"),
        (None, None) => String::new(),
    };
    let message = format!("expected {}{place}", either(&short));
    Mistake::new(&SYNTAX_LINE, at, message, format!("expected {}", either(expected)))
}

/// Between the braces of a text stands no expression, or more than one.
pub fn broken_piece(at: Span, expected: &[String]) -> Mistake {
    let label = match expected {
        [] => "this is more than one expression".to_owned(),
        [only] => format!("expected {only}"),
        [first, ..] => format!("expected {first}"),
    };
    Mistake::new(&SYNTAX_LINE, at, "between `{` and `}` in a text stands one expression", label)
        .help("write one value, such as `{a.width}` or `{a.width - b.width}`; a text with quotes needs a `let`")
}

/// A brace in a text opens an expression that does not end.
pub fn open_brace(at: Span) -> Mistake {
    Mistake::new(&SYNTAX_LINE, at, "a `{` in a text is not closed", "a `}` is missing here")
        .help("a value in a text stands between braces: `{a.width}`")
}

/// A text begins and does not end on its line.
pub fn open_text(at: Span) -> Mistake {
    let mut mistake = Mistake::new(&SYNTAX_LINE, at, "this text does not end", "a `\"` is missing on this line");
    mistake.edits.push(Edit { span: Span { start: at.end, ..at }, text: "\"".to_owned() });
    mistake.help("a text begins and ends on one line; a long one goes on as a second text in quotes on the next")
}

/// A bracket is opened and never closed.
pub fn open_bracket(at: Span, bracket: &str) -> Mistake {
    let other = if bracket == "[" { "]" } else { ")" };
    Mistake::new(&SYNTAX_LINE, at, format!("this `{bracket}` is not closed"), format!("its `{other}` is missing"))
        .help(format!("close it with `{other}` before the next statement begins"))
}

/// A number is written with a comma.
pub fn decimal_comma(at: Span, written: &str) -> Mistake {
    let mended = written.replace(',', ".");
    let mut mistake =
        Mistake::new(&SYNTAX_LINE, at, format!("`{written}` is written with a comma"), format!("write `{mended}`"));
    mistake.edits.push(Edit { span: at, text: mended });
    mistake.help("a decimal point is a point: `26.8 mm`")
}

impl Mistake {
    /// Adds a hint, where there is one, and otherwise how such a line is written.
    #[must_use]
    pub fn with_hint(self, hint: Option<String>, form: &str) -> Mistake {
        match hint {
            Some(words) => self.help(words),
            None if form.is_empty() => self.help("write one statement a line"),
            None => self.help(format!("it is written like {form}")),
        }
    }
}

/// A block that begins without its brace.
pub fn unopened(at: Span, owner: &str) -> Mistake {
    let message = format!("the block of {} is not opened", with_article(owner));
    let mut mistake = Mistake::new(&SYNTAX_LINE, at, message, "a `{` is missing here");
    mistake.edits.push(Edit { span: at, text: " {".to_owned() });
    mistake.help("write `{` at the end of this line, and `}` on a line of its own below its block")
}

/// A block that is never closed; `name` is that of its owner, where it has one.
pub fn unclosed(at: Span, owner: &str, name: Option<&str>) -> Mistake {
    let whose = match name {
        Some(name) => format!("{owner} `{name}`"),
        None => with_article(owner),
    };
    let message = format!("the block of {whose} is not closed");
    let mut mistake = Mistake::new(&SYNTAX_UNCLOSED, at, message, "a `}` is missing here");
    mistake.edits.push(Edit { span: at, text: "\n}".to_owned() });
    mistake.help("write `}` on a line of its own")
}
