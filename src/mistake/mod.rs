//! Mistakes in a text: what is wrong, where, and a way out. Named after what is wrong.
//!
//! A constructor per mistake takes what the caller has in hand and words it; each code has its page in `pages/`.

mod builds;
mod codes;
mod names;
mod nearest;
mod rules;
mod stock;
mod syntax;
mod uses;
mod values;

pub use builds::*;
pub use codes::{CODES, Code, code};
pub use names::*;
pub use nearest::{nearest, nearest_few};
pub use rules::*;
pub use stock::*;
pub use syntax::*;
pub use uses::*;
pub use values::*;

use crate::source::Span;
use indexmap::IndexSet;
use serde::{Deserialize, Serialize};

/// One mistake, as data; screens and editors only translate it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Mistake {
    /// Its stable code.
    pub code: String,
    /// The headline, which makes sense alone.
    pub message: String,
    /// Where; the first is the place of the mistake itself.
    pub labels: Vec<(Span, String)>,
    /// Ways out, in words.
    pub help: Vec<String>,
    /// Ways out that a machine can apply; any one of them.
    pub edits: Vec<Edit>,
}

/// A replacement of a stretch by other words.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Edit {
    /// What is replaced.
    pub span: Span,
    /// By what.
    pub text: String,
}

impl Mistake {
    fn new(code: &Code, at: Span, message: impl Into<String>, label: impl Into<String>) -> Mistake {
        Mistake {
            code: code.id.to_owned(),
            message: message.into(),
            labels: vec![(at, label.into())],
            help: Vec::new(),
            edits: Vec::new(),
        }
    }

    fn and(mut self, at: Span, label: impl Into<String>) -> Mistake {
        self.labels.push((at, label.into()));
        self
    }

    fn help(mut self, words: impl Into<String>) -> Mistake {
        self.help.push(words.into());
        self
    }

    /// Offers the nearest known name, in words and as an edit.
    fn suggest<'a>(mut self, at: Span, wrong: &str, known: impl IntoIterator<Item = &'a str>) -> Mistake {
        if let Some(near) = nearest(wrong, known) {
            self.help.push(format!("did you mean `{near}`?"));
            self.edits.push(Edit { span: at, text: near.to_owned() });
        }
        self
    }

    /// Offers the one of `takers` that what stands at `wrong` was meant for: the nearest by name, or the only one.
    /// `what` says what that is: `` `steel` ``, `` a `castor` ``.
    fn suggest_taker(mut self, at: Span, wrong: &str, what: &str, takers: &[&str]) -> Mistake {
        let only = if let [only] = takers { Some(*only) } else { None };
        match nearest(wrong, takers.iter().copied()).or(only) {
            Some(near) => {
                self.help.push(format!("did you mean `{near}`? It takes {what}"));
                self.edits.push(Edit { span: at, text: near.to_owned() });
            }
            None => self.help.push(format!("{what} is taken by {}", listed(takers.iter().copied()))),
        }
        self
    }

    /// The place of the mistake itself.
    pub fn at(&self) -> Option<Span> {
        self.labels.first().map(|(span, _)| *span)
    }
}

/// `a`, `a or b`, `a, b or c`, each in backticks; at most eight of them.
fn listed<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    joined(names, "or")
}

/// `a`, `a and b`, `a, b and c`, each in backticks; at most eight of them.
fn all_of<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    joined(names, "and")
}

fn joined<'a>(names: impl IntoIterator<Item = &'a str>, word: &str) -> String {
    // A price list may bring thousands of them.
    let all: IndexSet<String> = names.into_iter().map(|name| format!("`{name}`")).collect();
    let mut all: Vec<String> = all.into_iter().collect();
    let more = all.len().saturating_sub(8);
    all.truncate(8);
    if more > 0 {
        return format!("{} and {more} more", all.join(", "));
    }
    match all.pop() {
        None => String::new(),
        Some(last) if all.is_empty() => last,
        Some(last) => format!("{} {word} {last}", all.join(", ")),
    }
}

/// `a line`, `an edge`: the word with its article.
pub fn with_article(word: &str) -> String {
    let vowel = word.trim_start_matches('`').starts_with(['a', 'e', 'i', 'o', 'u']);
    format!("{} {word}", if vowel { "an" } else { "a" })
}
