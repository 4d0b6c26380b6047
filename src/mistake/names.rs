//! Mistakes of names.

use super::codes::*;
use super::{Mistake, all_of, listed, with_article};
use crate::source::Span;

/// `name` was declared before, at `first`.
pub fn name_twice(at: Span, what: &str, name: &str, first: Span) -> Mistake {
    Mistake::new(&NAME_TWICE, at, format!("{what} `{name}` is declared twice"), "again here")
        .and(first, "first declared here")
        .help("give one of them another name")
}

/// A type may not have the name that another kind of type has already.
pub fn type_twice(at: Span, what: &str, name: &str, other: &str, first: Option<Span>) -> Mistake {
    let message = format!("{what} `{name}` has the name of {}", with_article(other));
    let mistake = Mistake::new(&NAME_TWICE, at, message, "a type of this name is there already");
    let mistake = match first {
        Some(first) => mistake.and(first, "first declared here"),
        None => mistake,
    };
    mistake.help("choices, interfaces, kinds and dimensions share their names: give one of them another")
}

/// Words of which `cotter explain` lists all.
const EXPLAINED: &[&str] = &["kind", "interface", "joint", "table", "function", "caution", "assembly", "choice"];

/// No `what` (a part, a kind, a standard of …) is called `name`.
pub fn name_unknown<'a>(at: Span, what: &str, name: &str, known: impl IntoIterator<Item = &'a str> + Clone) -> Mistake {
    let mistake = Mistake::new(&NAME_UNKNOWN, at, format!("there is no {what} `{name}`"), "not known");
    if super::nearest(name, known.clone()).is_some() {
        return mistake.suggest(at, name, known);
    }
    let count = known.clone().into_iter().count();
    if count == 0 {
        mistake.help(format!("none is declared: write {} of this name, or correct it", with_article(what)))
    } else if count > 12 && EXPLAINED.contains(&what) {
        mistake.help(format!("`cotter explain` lists every {what}"))
    } else {
        mistake.help(format!("known: {}", listed(known)))
    }
}

/// No part is called `name`, which a slot for `kinds` is given; `fitting` are the parts that could stand there.
pub fn part_unknown<'a>(
    at: Span,
    name: &str,
    kinds: &[&str],
    fitting: impl IntoIterator<Item = &'a str> + Clone,
    others: impl IntoIterator<Item = &'a str> + Clone,
) -> Mistake {
    let mut mistake = Mistake::new(&NAME_UNKNOWN, at, format!("there is no part `{name}`"), "not known");
    if super::nearest(name, fitting.clone()).is_some() {
        return mistake.suggest(at, name, fitting);
    }
    if super::nearest(name, others.clone()).is_some() {
        mistake = mistake.suggest(at, name, others);
    } else if fitting.clone().into_iter().next().is_some() {
        mistake = mistake.help(format!("parts that go here: {}", listed(fitting)));
    }
    let kind = kinds.first().copied().unwrap_or("KIND");
    mistake.help(format!("declare it: `part {name} : {kind} {{ … }}`, or write `?` if it is not decided yet"))
}

/// No type is called `name`.
pub fn type_unknown<'a>(at: Span, name: &str, known: impl IntoIterator<Item = &'a str>) -> Mistake {
    Mistake::new(&TYPE_UNKNOWN, at, format!("there is no type `{name}`"), "not known")
        .suggest(at, name, known)
        .help("a type is a dimension (`length`), `money`, `text`, `flag`, a choice, an interface, a kind, `count of …`, `list of …` or `range of …`")
}

/// `name` is not among the facts of a part of this kind, but `word`, which is written for it, is what those of `takers`
/// take that are not given yet.
pub fn fact_misnamed(at: Span, name: &str, (kind, kind_at): (&str, Span), word: &str, takers: &[&str]) -> Mistake {
    let message = format!("`{name}` is not a fact of {}", with_article(&format!("`{kind}`")));
    Mistake::new(&FACT_UNKNOWN, at, message, "not a fact of this kind")
        .and(kind_at, format!("its kind is `{kind}`"))
        .suggest_taker(at, name, &format!("`{word}`"), takers)
        .help(format!("`cotter explain {kind}` lists its facts; what has no place there may stand in `note`"))
}

/// `name` is not among `known`, the facts of a part of this kind.
pub fn fact_unknown<'a>(
    at: Span,
    name: &str,
    kind: &str,
    kind_at: Span,
    known: impl IntoIterator<Item = &'a str> + Clone,
) -> Mistake {
    let message = format!("`{name}` is not a fact of {}", with_article(&format!("`{kind}`")));
    Mistake::new(&FACT_UNKNOWN, at, message, "not a fact of this kind")
        .and(kind_at, format!("its kind is `{kind}`"))
        .suggest(at, name, known)
        .help(format!("`cotter explain {kind}` lists its facts; what has no place there may stand in `note`"))
}

/// `name` is given a second time.
pub fn fact_twice(at: Span, name: &str, first: Span) -> Mistake {
    Mistake::new(&FACT_TWICE, at, format!("`{name}` is given twice"), "given again here")
        .and(first, "first given here")
        .help("keep one of them")
}

/// A standard has two notations with the same mark.
pub fn notation_twice(at: Span, standard: &str, mark: &str, first: Span) -> Mistake {
    Mistake::new(&FACT_TWICE, at, format!("`{standard}` is written with `{mark}` in two ways"), "given again here")
        .and(first, "first given here")
        .help("keep one of them: nobody could tell which is meant")
}

/// A standard has no field `name`.
pub fn field_unknown(at: Span, name: &str, standard: &str, fields: &[(&str, &str)]) -> Mistake {
    let message = format!("`{standard}` has no field `{name}`");
    let names = fields.iter().map(|(field, _)| *field);
    let mistake = Mistake::new(&FIELD_UNKNOWN, at, message, "no such field").suggest(at, name, names.clone());
    // What a field is tells more than its name: the trade has several words for most measures.
    let meant: Vec<String> = fields.iter().map(|(field, what)| format!("`{field}`, {what}")).collect();
    match meant.len() {
        1..=4 if fields.iter().all(|(_, what)| !what.is_empty()) => {
            mistake.help(format!("its fields are {}", meant.join("; ")))
        }
        _ => with_fields(mistake, standard, names),
    }
}

/// No standard of an interface has a field `name`, which a rule asks for.
pub fn field_of_none<'a>(
    at: Span,
    name: &str,
    interface: &str,
    known: impl IntoIterator<Item = &'a str> + Clone,
) -> Mistake {
    let message = format!("no standard of `{interface}` has a field `{name}`");
    let mistake = Mistake::new(&FIELD_UNKNOWN, at, message, "no such field").suggest(at, name, known.clone());
    with_fields(mistake, interface, known)
}

fn with_fields<'a>(mistake: Mistake, owner: &str, known: impl IntoIterator<Item = &'a str> + Clone) -> Mistake {
    if known.clone().into_iter().next().is_none() {
        return mistake.help(format!("`{owner}` has no fields"));
    }
    mistake.help(format!("its fields are {}", all_of(known)))
}

/// A field of a standard is given twice.
pub fn field_twice(at: Span, name: &str, standard: &str, first: Span) -> Mistake {
    Mistake::new(&FIELD_TWICE, at, format!("`{name}` of `{standard}` is given twice"), "given again here")
        .and(first, "first given here")
        .help("keep one of them")
}

/// A standard is given more values than it has fields.
pub fn field_count<'a>(at: Span, standard: &str, known: impl IntoIterator<Item = &'a str> + Clone) -> Mistake {
    let mistake = Mistake::new(&FIELD_COUNT, at, format!("`{standard}` has no place for this value"), "one too many");
    if known.clone().into_iter().next().is_none() {
        mistake.help(format!("`{standard}` has no fields: write it without brackets"))
    } else {
        mistake.help(format!("its fields are, in order, {}", all_of(known)))
    }
}
