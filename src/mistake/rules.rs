//! Mistakes of the library: expressions and definitions that do not add up.

use super::Mistake;
use super::codes::*;
use crate::source::Span;

/// An expression does not add up; `message` says how.
pub fn rule_type(at: Span, message: impl Into<String>) -> Mistake {
    Mistake::new(&RULE_TYPE, at, message, "here")
}

/// A definition lacks what it needs.
pub fn rule_incomplete(at: Span, message: impl Into<String>) -> Mistake {
    Mistake::new(&RULE_INCOMPLETE, at, message, "here")
}

/// Functions call each other in a circle.
pub fn rule_loop(at: Span, name: &str) -> Mistake {
    Mistake::new(&RULE_LOOP, at, format!("`{name}` calls itself, directly or by others"), "this closes the circle")
        .help("a function always ends: write it without calling itself")
}
