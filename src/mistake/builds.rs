//! Mistakes of builds: slots and where a build comes from.

use super::codes::*;
use super::{Mistake, listed};
use crate::source::Span;

/// The assembly has no slot `name`.
pub fn slot_unknown<'a>(
    at: Span,
    name: &str,
    assembly: &str,
    known: impl IntoIterator<Item = &'a str> + Clone,
) -> Mistake {
    Mistake::new(&SLOT_UNKNOWN, at, format!("a `{assembly}` has no slot `{name}`"), "no such slot")
        .suggest(at, name, known)
        .help(format!("`cotter explain {assembly}` lists its slots"))
}

/// A part of the wrong kind stands in a slot.
pub fn slot_kind<'a>(
    at: Span,
    slot: &str,
    part: &str,
    kind: &str,
    part_at: Span,
    takes: impl IntoIterator<Item = &'a str> + Clone,
) -> Mistake {
    Mistake::new(&SLOT_KIND, at, format!("`{slot}` takes a {}, but `{part}` is a `{kind}`", listed(takes)), "this part")
        .and(part_at, format!("`{part}` is declared a `{kind}` here"))
        .help("put the part into the slot that is meant for it, or correct its kind")
}

/// A slot that must be filled is empty.
pub fn slot_missing(at: Span, build: &str, slot: &str, doc: &str, kinds: &str) -> Mistake {
    let what = if doc.is_empty() { kinds } else { doc };
    Mistake::new(&SLOT_MISSING, at, format!("`{build}` has no `{slot}` ({what})"), format!("`{slot}` is not filled"))
        .help(format!("write `{slot} = ?` if it is not decided yet"))
}

/// A slot that is emptied is empty already.
pub fn slot_empty<'a>(at: Span, slot: &str, filled: impl IntoIterator<Item = &'a str> + Clone) -> Mistake {
    Mistake::new(&SLOT_EMPTY, at, format!("nothing stands in `{slot}` that could be removed"), "empty already")
        .suggest(at, slot, filled)
        .help("take it out of the `remove` line")
}

/// A slot is filled and emptied in one build.
pub fn slot_removed(at: Span, slot: &str, removed: Span) -> Mistake {
    Mistake::new(&SLOT_EMPTY, at, format!("`{slot}` is both filled and removed"), "filled here")
        .and(removed, "removed here")
        .help("to replace a part, only name the new one")
}

/// Builds come from each other in a circle.
pub fn build_loop(at: Span, chain: &[String]) -> Mistake {
    Mistake::new(
        &BUILD_LOOP,
        at,
        format!("builds come from each other in a circle: {}", chain.join(" -> ")),
        "this closes the circle",
    )
    .help("one of them must begin with `:` and the name of an assembly")
}
