//! Mistakes of the library: expressions and definitions that do not add up.

use super::Mistake;
use super::codes::*;
use crate::source::Span;

/// An expression does not add up: `message` says how, `label` what stands at `at`, `help` what would do.
pub fn rule_type(at: Span, message: impl Into<String>, label: impl Into<String>, help: impl Into<String>) -> Mistake {
    Mistake::new(&RULE_TYPE, at, message, label).help(help)
}

/// A rule lacks what it must have.
pub fn rule_incomplete(at: Span, code: &str, lacks_that: bool, lacks_else: bool) -> Mistake {
    let (lacks, help) = match (lacks_that, lacks_else) {
        (true, true) => ("neither `that` nor `else`", "write what must hold, and what is said when it does not"),
        (true, false) => ("no `that`", "write what must hold: `that CONDITION`"),
        _ => ("no `else`", "write what is said when it does not hold: `else \"TEXT\"`"),
    };
    Mistake::new(&RULE_INCOMPLETE, at, format!("rule `{code}` has {lacks}"), "this rule judges nothing").help(help)
}

/// A row of a table has too many or too few values.
pub fn row_length(at: Span, table: &str, columns: usize, found: usize) -> Mistake {
    let message = format!("a row of `{table}` has {found} {}, not {columns}", values(found));
    Mistake::new(&RULE_INCOMPLETE, at, message, format!("the table has {columns} columns"))
        .help("give each column its value, in the order of the columns")
}

/// A join leaves out what its joint takes.
pub fn argument_missing(at: Span, join: &str, joint: &str, parameter: &str, declared: Span) -> Mistake {
    let message = format!("join `{join}` leaves out `{parameter}`, which `{joint}` takes");
    Mistake::new(&RULE_INCOMPLETE, at, message, format!("`{parameter}` is missing"))
        .and(declared, "taken here")
        .help(format!("add `{parameter} = SLOT.PORT`, or let the joint do without: `takes {parameter}? : …`"))
}

/// Functions call each other in a circle.
pub fn rule_loop(at: Span, chain: &[String]) -> Mistake {
    let alone = chain.len() <= 2;
    let (message, help) = match chain.first() {
        Some(only) if alone => (format!("function `{only}` calls itself"), "write it without calling itself"),
        _ => {
            let words = format!("functions call each other in a circle: {}", chain.join(" -> "));
            (words, "write one of them without calling the next")
        }
    };
    Mistake::new(&RULE_LOOP, at, message, if alone { "it would never end" } else { "this closes the circle" })
        .help(help)
}

/// Joins wait for each other in a circle: each join with the place where it names the one before it, the first one
/// last.
pub fn join_loop(steps: &[(&str, Span)]) -> Mistake {
    let at = steps.last().map_or(Span::new(crate::source::FileId(u32::MAX), 0, 0), |(_, span)| *span);
    let first = steps.last().map_or("", |(name, _)| *name);
    if steps.len() < 2 {
        let message = format!("join `{first}` waits for itself");
        return Mistake::new(&JOIN_LOOP, at, message, "it could never be made").help("take its own name out");
    }
    let chain: Vec<&str> = std::iter::once(first).chain(steps.iter().map(|(name, _)| *name)).collect();
    let message = format!("joins wait for each other in a circle: {}", chain.join(" -> "));
    let mut mistake = Mistake::new(&JOIN_LOOP, at, message, format!("`{first}` waits here, which closes the circle"));
    for (name, span) in steps.iter().take(steps.len() - 1) {
        mistake = mistake.and(*span, format!("`{name}` waits here"));
    }
    mistake.help("each arrow means \"is made before\": take one of these names out of its `upon` or `after`")
}

/// `1 value`, `2 values`: the word for so many.
pub fn values(count: usize) -> &'static str {
    if count == 1 { "value" } else { "values" }
}
