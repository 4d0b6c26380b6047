//! The canonical layout of a spec: one fact a line, columns where a person would make them, nothing moved, nothing lost.
//!
//! [`format`] works on what the grammar understood and leaves every item with a mistake in it as it stands. What a person
//! decided by hand stays: the order, blank lines, line breaks within a statement that is not too long, blocks on one line.

mod block;
mod columns;
mod node;
mod page;
mod same;
mod spacing;
mod statement;

pub use same::{first_difference, same};

use crate::syntax::{self, Grammar, Rule};
use pest::Parser;
use unicode_width::UnicodeWidthStr;

/// Columns that a line may have before it is broken.
pub const WIDTH: usize = 120;

/// The same spec in its canonical layout. A text that can't be read at all comes back as it is.
pub fn format(text: &str) -> String {
    let parsed = syntax::parse(crate::source::FileId(0), text);
    let unreadable = parsed.mistakes.iter().any(|it| it.code.starts_with("text."));
    let Ok(pairs) = Grammar::parse(Rule::file, text) else { return text.to_owned() };
    if unreadable {
        return text.to_owned();
    }
    page::page(text, pairs, &parsed.mistakes)
}

/// Columns that a text takes on a screen.
fn width(text: &str) -> usize {
    UnicodeWidthStr::width(text)
}
