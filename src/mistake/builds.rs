//! Mistakes of builds: slots and where a build comes from.

use super::codes::*;
use super::{Edit, Mistake, listed, with_article};
use crate::source::Span;

/// The assembly has no slot `name`.
pub fn slot_unknown<'a>(
    at: Span,
    name: &str,
    assembly: &str,
    known: impl IntoIterator<Item = &'a str> + Clone,
) -> Mistake {
    Mistake::new(
        &SLOT_UNKNOWN,
        at,
        format!("{} has no slot `{name}`", with_article(&format!("`{assembly}`"))),
        "no such slot",
    )
    .suggest(at, name, known)
    .help(format!("`cotter explain {assembly}` lists its slots"))
}

/// The assembly has no slot `name`, but a part of this kind, as is put there, goes into those of `takers`, which the
/// build does not fill.
pub fn slot_misnamed(at: Span, name: &str, assembly: &str, kind: &str, takers: &[&str]) -> Mistake {
    let message = format!("{} has no slot `{name}`", with_article(&format!("`{assembly}`")));
    Mistake::new(&SLOT_UNKNOWN, at, message, "no such slot")
        .suggest_taker(at, name, &with_article(&format!("`{kind}`")), takers)
        .help(format!("`cotter explain {assembly}` lists its slots"))
}

/// A part of the wrong kind stands in a slot; `meant` are the slots that take its kind.
pub fn slot_kind<'a>(
    at: Span,
    slot: &str,
    (part, kind, part_at): (&str, &str, Span),
    takes: impl IntoIterator<Item = &'a str> + Clone,
    meant: impl IntoIterator<Item = &'a str> + Clone,
) -> Mistake {
    let message = format!("`{slot}` takes {}, but `{part}` is {}", with_article(&listed(takes)), a_kind(kind));
    let mistake = Mistake::new(&SLOT_KIND, at, message, format!("this is {}", a_kind(kind)))
        .and(part_at, format!("declared {} here", a_kind(kind)));
    let slots = listed(meant);
    if slots.is_empty() {
        mistake.help("take another part, or correct the kind of this one")
    } else {
        mistake.help(format!("{} goes into {slots}; or correct the kind of this part", a_kind(kind)))
    }
}

fn a_kind(kind: &str) -> String {
    with_article(&format!("`{kind}`"))
}

/// Slots that must be filled are empty: each with what it is for. `first` is where the first statement of the build
/// begins, if it has any.
pub fn slots_missing(at: Span, build: &str, missing: &[(&str, String)], first: Option<Span>) -> Mistake {
    let names = missing.iter().map(|(slot, _)| *slot);
    let label = match missing {
        [(only, _)] => format!("`{only}` is not filled"),
        _ => format!("{} slots are not filled", missing.len()),
    };
    let mut mistake = Mistake::new(&SLOT_MISSING, at, format!("`{build}` has no {}", listed(names.clone())), label);
    if let Some(first) = first {
        let text: String = names.map(|slot| format!("{slot} = ?\n  ")).collect();
        mistake.edits.push(Edit { span: Span { end: first.start, ..first }, text });
    }
    let shown: Vec<String> = missing.iter().map(|(slot, what)| format!("`{slot}` ({what})")).collect();
    let example = missing.first().map_or("", |(slot, _)| slot);
    mistake
        .help(format!("not filled: {}", shown.join(", ")))
        .help(format!("write `{example} = ?` for what is not decided yet"))
}

/// A slot that must be filled is emptied.
pub fn slot_emptied(at: Span, build: &str, slot: &str, what: &str) -> Mistake {
    let message = format!("`{build}` removes `{slot}` ({what}), which it can't do without");
    Mistake::new(&SLOT_MISSING, at, message, "nothing takes its place")
        .help(format!("name the part that replaces it instead, or write `{slot} = ?` if it is not decided yet"))
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
    .help("one of them must begin with `: ASSEMBLY` and name its parts itself")
}
