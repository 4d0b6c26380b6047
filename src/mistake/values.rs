//! Mistakes of values.

use super::codes::*;
use super::{Edit, Mistake};
use crate::quantity::FigureError;
use crate::source::Span;

/// The value is not what `name` takes; `expected` says what is, with an example.
pub fn fact_type(at: Span, name: &str, expected: &str, declared: Span) -> Mistake {
    Mistake::new(&FACT_TYPE, at, format!("`{name}` takes {expected}"), format!("expected {expected}"))
        .and(declared, "declared here")
}

/// `word` is not among the names that `name` may be.
pub fn not_one_of<'a>(
    at: Span,
    name: &str,
    word: &str,
    what: &str,
    known: impl IntoIterator<Item = &'a str> + Clone,
    declared: Span,
) -> Mistake {
    Mistake::new(&FACT_TYPE, at, format!("`{word}` is not {what}"), format!("`{name}` can't be this"))
        .and(declared, "declared here")
        .suggest(at, word, known.clone())
        .help(format!("it is one of {}", super::listed(known)))
}

/// A number stands without a unit.
pub fn unit_missing(at: Span, name: &str, written: &str, dimension: &str, unit: &str) -> Mistake {
    let mut mistake = Mistake::new(
        &FACT_UNIT,
        at,
        format!("`{name}` takes {dimension}, but `{written}` has no unit"),
        format!("expected {dimension}, such as `{written} {unit}`"),
    );
    mistake.edits.push(Edit { span: at, text: format!("{written} {unit}") });
    mistake.help(format!("write `{written} {unit}` if you mean {unit}"))
}

/// A number has a unit of another dimension.
pub fn unit_wrong(at: Span, name: &str, found: &str, unit: &str, wanted: &str, example: &str) -> Mistake {
    Mistake::new(
        &FACT_UNIT,
        at,
        format!("`{name}` takes {wanted}, but `{unit}` measures {found}"),
        format!("expected {wanted}, such as `{example}`"),
    )
}

/// No unit is called `unit`.
pub fn unit_unknown<'a>(at: Span, unit: &str, known: impl IntoIterator<Item = &'a str> + Clone) -> Mistake {
    Mistake::new(&FACT_UNIT, at, format!("there is no unit `{unit}`"), "not a unit")
        .suggest(at, unit, known.clone())
        .help(format!("units here: {}", super::listed(known)))
}

/// A value is outside of what is plausible.
pub fn implausible(at: Span, name: &str, written: &str, limits: &str, declared: Span) -> Mistake {
    Mistake::new(
        &FACT_IMPLAUSIBLE,
        at,
        format!("`{name}` = `{written}` is not plausible"),
        format!("plausible is {limits}"),
    )
    .and(declared, "declared here")
    .help("look for a slipped decimal point or a wrong unit; if the part really is like this, measure it again first")
}

/// A number that can't be read.
pub fn number_unreadable(at: Span, why: FigureError) -> Mistake {
    let (message, help) = match why {
        FigureError::TooLarge => ("this number is too large", "no part has such a measure; look for a key that stuck"),
        FigureError::ZeroBelow => ("this fraction has a zero below the line", "write it like `9/16 in`"),
        FigureError::NotANumber => ("this is no number", "write it like `26.8` or `1 1/8`"),
    };
    Mistake::new(&NUMBER_UNREADABLE, at, message, "can't be read").help(help)
}

/// A range begins above its end.
pub fn range_reversed(at: Span) -> Mistake {
    Mistake::new(&RANGE_REVERSED, at, "this range begins above its end", "lowest first")
        .help("write it from low to high: `44 mm .. 48 mm`")
}

/// Amounts in two currencies meet.
pub fn money_mixed(at: Span, one: &str, other: &str, first: Span) -> Mistake {
    Mistake::new(&MONEY_MIXED, at, format!("amounts in `{other}` and `{one}` can't be added"), format!("in `{other}`"))
        .and(first, format!("in `{one}`"))
        .help("write all prices of a build in one currency, at the rate you pay")
}
