//! Sets of values in words: `53 mm or more`, `open` with the right measures; and what stands there so far.

use super::Values;
use crate::model::{FactInfo, State};
use crate::quantity::{Dimension, Interval, UNITS, Unit, show, shown_in};

/// Names that are told, at most.
const NAMED: usize = 6;
/// What stands there now is told if it is no longer than this.
const SHORT: usize = 24;

impl Values {
    /// The values in words, a stretch or a name each, numbers in the unit that the fact is written in.
    pub fn in_words(&self, info: &FactInfo) -> Vec<String> {
        match self {
            Values::Numbers(stretches, dimension) => {
                let unit = unit_of(&info.written, *dimension);
                stretches.iter().map(|it| stretch(*it, unit)).collect()
            }
            Values::Names(names) => {
                // The name that stands there already is not news: then one of its own measures is what decides.
                let own = info.written.split('(').next().unwrap_or_default().trim();
                let other = names.iter().filter(|(name, _)| name != own);
                let told =
                    other.map(
                        |(name, open)| {
                            if *open { format!("`{name}` with the right measures") } else { format!("`{name}`") }
                        },
                    );
                few(told.collect())
            }
        }
    }

    /// Values at which something goes wrong, in words. Stretches are told by where they end: `less than 53 mm`.
    pub fn beyond_in_words(&self, info: &FactInfo) -> Vec<String> {
        match self {
            Values::Numbers(stretches, dimension) => {
                let unit = unit_of(&info.written, *dimension);
                let whole = *dimension == Dimension::NONE;
                stretches.iter().map(|it| if whole { stretch(*it, unit) } else { beyond(*it, unit) }).collect()
            }
            Values::Names(names) => few(names.iter().map(|(name, _)| format!("`{name}`")).collect()),
        }
    }
}

fn few(mut names: Vec<String>) -> Vec<String> {
    if names.len() > NAMED {
        let more = names.len() - NAMED;
        names.truncate(NAMED);
        names.push(format!("one of {more} more"));
    }
    names
}

/// What stands there now; nothing if that says nothing, or is too long to be told.
pub fn so_far(info: &FactInfo) -> String {
    let written = info.written.trim_start_matches('~').trim();
    if written.is_empty() || written.chars().count() > SHORT {
        return String::new();
    }
    match info.state {
        State::Estimated => format!("you estimated about {written}"),
        State::Given => format!("it is {written}"),
        State::Default => format!("it is taken as {written}"),
        State::Unknown | State::Missing | State::Absent => String::new(),
    }
}

/// The unit that the fact is written in; the usual one, if it is not written yet.
pub fn unit_of(written: &str, dimension: Dimension) -> Option<Unit> {
    let last = written.rsplit(' ').next().unwrap_or_default();
    let own = UNITS.iter().copied().find(|unit| unit.name == last && unit.dimension == dimension && last != "in");
    own.or_else(|| shown_in(dimension))
}

fn in_unit(value: f64, unit: Option<Unit>) -> String {
    let name = unit.map_or("", |unit| unit.name);
    let gap = if name.is_empty() { "" } else { " " };
    format!("{}{gap}{name}", show(value))
}

fn stretch(stretch: Interval, unit: Option<Unit>) -> String {
    let factor = unit.map_or(1.0, |unit| unit.factor);
    let number = |base: f64, up: bool| {
        // Inwards, so that no value that is told lies outside, at as many digits as are shown.
        let fine = if (base / factor).abs() < 1.0 { 1000.0 } else { 100.0 };
        let value = base / factor * fine;
        let value = if up { (value - 1e-6).ceil() } else { (value + 1e-6).floor() } / fine;
        in_unit(value, unit)
    };
    match (stretch.low().is_finite(), stretch.high().is_finite()) {
        (true, true) if stretch.is_exact() => number(stretch.low(), true),
        (true, true) => format!("{} to {}", number(stretch.low(), true), number(stretch.high(), false)),
        (true, false) => format!("{} or more", number(stretch.low(), true)),
        (false, true) => format!("{} or less", number(stretch.high(), false)),
        (false, false) => "known at all".to_owned(),
    }
}

fn beyond(stretch: Interval, unit: Option<Unit>) -> String {
    let factor = unit.map_or(1.0, |unit| unit.factor);
    // Away from what is still right, so that whatever is told is surely wrong.
    let number = |base: f64, up: bool| {
        let value = base / factor * 100.0;
        in_unit(if up { (value - 0.01).ceil() } else { (value + 0.01).floor() } / 100.0, unit)
    };
    match (stretch.low().is_finite(), stretch.high().is_finite()) {
        (true, true) => format!("{} to {}", number(stretch.low(), true), number(stretch.high(), false)),
        (true, false) => format!("more than {}", number(stretch.low(), true)),
        (false, true) => format!("less than {}", number(stretch.high(), false)),
        (false, false) => "anything".to_owned(),
    }
}
