//! Mistakes of values.

use super::codes::*;
use super::{Edit, Mistake};
use crate::quantity::FigureError;
use crate::source::Span;

/// The value is not what `name` takes; `expected` says what is, with an example, and `way_out` how it is written.
pub fn fact_type(at: Span, name: &str, expected: &str, way_out: &str, declared: Span) -> Mistake {
    let short = expected.split(", such as").next().unwrap_or(expected);
    Mistake::new(&FACT_TYPE, at, format!("`{name}` takes {short}"), format!("expected {expected}"))
        .and(declared, "declared here")
        .help(way_out)
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
        .help(format!("it is one of {}, or `?` if it is not known yet", super::listed(known)))
}

/// A count that is no whole number.
pub fn not_whole(at: Span, name: &str, written: &str, declared: Span) -> Mistake {
    Mistake::new(&FACT_TYPE, at, format!("`{name}` is counted, but `{written}` is no whole number"), "count again")
        .and(declared, "declared here")
        .help("write a whole number, or `?` if nobody has counted yet")
}

/// A number stands without a unit; `unit` is the one that is meant, if only one makes sense, and `units` are those of
/// its dimension.
pub fn unit_missing<'a>(
    at: Span,
    name: &str,
    written: &str,
    dimension: &str,
    unit: Option<&str>,
    units: impl IntoIterator<Item = &'a str>,
) -> Mistake {
    let message = format!("`{name}` takes {dimension}, but `{written}` has no unit");
    let Some(unit) = unit else {
        return Mistake::new(&FACT_UNIT, at, message, "in which unit?")
            .help(format!("write its unit behind it: {}", super::listed(units)));
    };
    let label = format!("expected {dimension}, such as `{written} {unit}`");
    let mut mistake = Mistake::new(&FACT_UNIT, at, message, label);
    mistake.edits.push(Edit { span: at, text: format!("{written} {unit}") });
    mistake.help(format!("write `{written} {unit}` if you mean {unit}"))
}

/// An amount stands without its currency.
pub fn currency_missing(at: Span, name: &str, written: &str) -> Mistake {
    let message = format!("`{name}` takes an amount of money, but `{written}` has no currency");
    Mistake::new(&FACT_UNIT, at, message, format!("expected an amount, such as `{written} EUR`"))
        .help("write the three letters of the currency behind it (ISO 4217): `EUR`, `GBP`, `USD`")
}

/// A number has a unit of another dimension; `units` are those of the dimension that is wanted.
pub fn unit_wrong<'a>(
    at: Span,
    name: &str,
    found: &str,
    unit: &str,
    wanted: &str,
    example: &str,
    units: impl IntoIterator<Item = &'a str>,
) -> Mistake {
    let mistake = Mistake::new(
        &FACT_UNIT,
        at,
        format!("`{name}` takes {wanted}, but `{unit}` is for {found}"),
        format!("expected {wanted}, such as `{example}`"),
    );
    let units = super::listed(units);
    if units.is_empty() {
        mistake.help(format!("write it without a unit: `{example}`"))
    } else {
        mistake.help(format!("{wanted} is written in {units}"))
    }
}

/// No unit is called `unit`.
pub fn unit_unknown<'a>(at: Span, unit: &str, known: impl IntoIterator<Item = &'a str> + Clone) -> Mistake {
    Mistake::new(&FACT_UNIT, at, format!("there is no unit `{unit}`"), "not a unit")
        .suggest(at, unit, known.clone())
        .help(format!("units that fit here: {}", super::listed(known)))
}

/// A count has a word behind it that is neither a unit nor what is counted.
pub fn count_unit(at: Span, unit: &str, word: &str) -> Mistake {
    Mistake::new(&FACT_UNIT, at, format!("there is no unit `{unit}`, and this counts {word}"), "not a unit")
        .suggest(at, unit, [word])
        .help(format!("write the number alone, or `{word}` behind it"))
}

/// No currency is called `code`.
pub fn currency_unknown<'a>(at: Span, code: &str, known: impl IntoIterator<Item = &'a str> + Clone) -> Mistake {
    Mistake::new(&FACT_UNIT, at, format!("there is no currency `{code}`"), "not a currency")
        .suggest(at, code, known.clone())
        .help(format!("currencies are written by their three letters (ISO 4217): {}", super::listed(known)))
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

/// Two figures of a notation stand the wrong way round: `mended` is the right one.
pub fn turned_round(at: Span, name: &str, written: &str, mended: &str, order: &str, declared: Span) -> Mistake {
    let message = format!("`{name}` = `{written}` stands the wrong way round");
    let mut mistake = Mistake::new(&FACT_IMPLAUSIBLE, at, message, order).and(declared, "declared here");
    mistake.edits.push(Edit { span: at, text: mended.to_owned() });
    mistake.help(format!("did you mean `{mended}`?"))
}

/// A number that can't be read.
pub fn number_unreadable(at: Span, written: &str, why: FigureError) -> Mistake {
    let shown: String = if written.chars().count() > 20 {
        written.chars().take(12).chain("…".chars()).collect()
    } else {
        written.to_owned()
    };
    let (message, help) = match why {
        FigureError::TooLarge if written.len() > 30 => ("has too many digits", "no gauge reads that many: round it"),
        FigureError::TooLarge => ("is too large a number", "no part has such a measure; look for a key that stuck"),
        FigureError::ZeroBelow => ("has a zero below the line", "write a fraction like `9/16 in`"),
        FigureError::NotANumber => ("is no number", "write it like `26.8` or `1 1/8`"),
    };
    Mistake::new(&NUMBER_UNREADABLE, at, format!("`{shown}` {message}"), "can't be read").help(help)
}

/// An amount of money that is a fraction.
pub fn money_fraction(at: Span, written: &str) -> Mistake {
    Mistake::new(&NUMBER_UNREADABLE, at, format!("`{written}` is no amount of money"), "can't be read")
        .help("write it with a decimal point: `12.50 EUR`")
}

/// A number in a list of values is written with a comma, and so was taken for two.
pub fn comma_in_list(at: Span, mended: &str) -> Mistake {
    let message = format!("`{}` is written with a comma, and so stands for two values", mended.replace('.', ","));
    let mut mistake = Mistake::new(&NUMBER_UNREADABLE, at, message, format!("write `{mended}`"));
    mistake.edits.push(Edit { span: at, text: mended.to_owned() });
    mistake.help("a decimal point is a point: `26.8 mm`")
}

/// A range begins above its end; `low` and `high` are its ends in their right order.
pub fn range_reversed(at: Span, low: &str, high: &str) -> Mistake {
    let message = format!("`{high} .. {low}` begins above its end");
    let mut mistake = Mistake::new(&RANGE_REVERSED, at, message, "lowest first");
    mistake.edits.push(Edit { span: at, text: format!("{low} .. {high}") });
    mistake.help(format!("write it from low to high: `{low} .. {high}`"))
}

/// Amounts in two currencies meet.
pub fn money_mixed(at: Span, one: &str, other: &str, first: Span) -> Mistake {
    Mistake::new(&MONEY_MIXED, at, format!("amounts in `{other}` and `{one}` can't be added"), format!("in `{other}`"))
        .and(first, format!("in `{one}`"))
        .help("write all prices of a build in one currency, at the rate you pay")
}
