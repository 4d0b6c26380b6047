//! Mistakes of names.

use super::codes::*;
use super::{Mistake, listed};
use crate::source::Span;

/// `name` was declared before, at `first`.
pub fn name_twice(at: Span, what: &str, name: &str, first: Span) -> Mistake {
    Mistake::new(&NAME_TWICE, at, format!("{what} `{name}` is declared twice"), "again here")
        .and(first, "first declared here")
        .help("give one of them another name")
}

/// No `what` (a part, a kind, a standard of …) is called `name`.
pub fn name_unknown<'a>(at: Span, what: &str, name: &str, known: impl IntoIterator<Item = &'a str> + Clone) -> Mistake {
    let near = super::nearest(name, known.clone()).is_some();
    let mistake = Mistake::new(&NAME_UNKNOWN, at, format!("there is no {what} `{name}`"), "not known").suggest(
        at,
        name,
        known.clone(),
    );
    let count = known.clone().into_iter().count();
    if near || count == 0 {
        return mistake;
    }
    if count <= 12 {
        mistake.help(format!("known: {}", listed(known)))
    } else {
        mistake.help(format!("`cotter explain` lists every {what}"))
    }
}

/// No type is called `name`.
pub fn type_unknown<'a>(at: Span, name: &str, known: impl IntoIterator<Item = &'a str>) -> Mistake {
    Mistake::new(&TYPE_UNKNOWN, at, format!("there is no type `{name}`"), "not known")
        .suggest(at, name, known)
        .help("a type is a dimension (`length`), `money`, `text`, `flag`, a choice, an interface, a kind, `count of …`, `list of …` or `range of …`")
}

/// `name` is not among `known`, the facts of a part of this kind.
pub fn fact_unknown<'a>(
    at: Span,
    name: &str,
    kind: &str,
    kind_at: Span,
    known: impl IntoIterator<Item = &'a str> + Clone,
) -> Mistake {
    let mistake =
        Mistake::new(&FACT_UNKNOWN, at, format!("`{name}` is not a fact of a `{kind}`"), "not a fact of this kind")
            .and(kind_at, format!("its kind is `{kind}`"))
            .suggest(at, name, known);
    mistake.help(format!("`cotter explain {kind}` lists its facts"))
}

/// `name` is given a second time.
pub fn fact_twice(at: Span, name: &str, first: Span) -> Mistake {
    Mistake::new(&FACT_TWICE, at, format!("`{name}` is given twice"), "given again here")
        .and(first, "first given here")
        .help("keep one of them")
}

/// A standard has no field `name`.
pub fn field_unknown<'a>(
    at: Span,
    name: &str,
    standard: &str,
    known: impl IntoIterator<Item = &'a str> + Clone,
) -> Mistake {
    Mistake::new(&FIELD_UNKNOWN, at, format!("`{standard}` has no field `{name}`"), "no such field")
        .suggest(at, name, known.clone())
        .help(format!("its fields are {}", listed(known)))
}

/// A field of a standard is given twice.
pub fn field_twice(at: Span, name: &str, standard: &str) -> Mistake {
    Mistake::new(&FIELD_TWICE, at, format!("`{name}` of `{standard}` is given twice"), "given again here")
        .help("keep one of them")
}

/// A standard is given more values than it has fields.
pub fn field_count<'a>(at: Span, standard: &str, known: impl IntoIterator<Item = &'a str> + Clone) -> Mistake {
    let mistake = Mistake::new(&FIELD_COUNT, at, format!("`{standard}` has no place for this value"), "one too many");
    if known.clone().into_iter().count() == 0 {
        mistake.help(format!("`{standard}` has no fields: write it without brackets"))
    } else {
        mistake.help(format!("its fields are, in order, {}", listed(known)))
    }
}
