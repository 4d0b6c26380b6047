//! What would make a joint fit, in words: `53 mm or more`.

use super::FitsIf;
use crate::judge::{self, JudgedJoint, Values, WouldFit};
use crate::model::{BuildId, FactInfo, Model, State};
use crate::quantity::{Dimension, Interval, UNITS, Unit, show, shown_in};

/// Facts that are told of, at most.
const TOLD: usize = 4;
/// Names that are told, at most.
const NAMED: usize = 6;
/// What stands there now is told if it is no longer than this.
const SHORT: usize = 24;

/// For each fact that could make the joint fit by itself, the values that do.
pub(super) fn of(model: &Model, build: BuildId, joint: &JudgedJoint) -> Vec<FitsIf> {
    let asked = judge::asked_of(model, joint);
    let found = judge::would_fit(model, build, &joint.name, &asked, TOLD);
    found.iter().filter_map(|it| one(model, joint, it)).collect()
}

fn one(model: &Model, joint: &JudgedJoint, found: &WouldFit) -> Option<FitsIf> {
    let info = model.facts.get(found.fact)?;
    let values = in_words(info, &found.values);
    let fact = joint.path_of(model, found.fact);
    (!values.is_empty()).then(|| FitsIf { fact, values, so_far: so_far(info) })
}

/// What stands there now.
fn so_far(info: &FactInfo) -> String {
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

/// A set of values in words: `53 mm or more`; `open`, `thru`.
pub(super) fn in_words(info: &FactInfo, values: &Values) -> Vec<String> {
    match values {
        Values::Numbers(stretches, dimension) => {
            let unit = unit_of(&info.written, *dimension);
            stretches.iter().map(|it| stretch(*it, unit)).collect()
        }
        Values::Names(names) => {
            // The name that stands there already is not news: then one of its own measures is what decides.
            let own = info.written.split('(').next().unwrap_or_default().trim();
            let other = names.iter().filter(|(name, _)| name != own);
            let told = other.map(
                |(name, open)| {
                    if *open { format!("`{name}` with the right measures") } else { format!("`{name}`") }
                },
            );
            let mut told: Vec<String> = told.collect();
            if told.len() > NAMED {
                let more = told.len() - NAMED;
                told.truncate(NAMED);
                told.push(format!("one of {more} more"));
            }
            told
        }
    }
}

/// The unit that the fact is written in; the usual one, if it is not written yet.
fn unit_of(written: &str, dimension: Dimension) -> Option<Unit> {
    let last = written.rsplit(' ').next().unwrap_or_default();
    let own = UNITS.iter().copied().find(|unit| unit.name == last && unit.dimension == dimension && last != "in");
    own.or_else(|| shown_in(dimension))
}

fn stretch(stretch: Interval, unit: Option<Unit>) -> String {
    let number = |base: f64, up: bool| {
        let (factor, name) = unit.map_or((1.0, ""), |unit| (unit.factor, unit.name));
        // Inwards, so that no value that is told lies outside, at as many digits as are shown.
        let fine = if (base / factor).abs() < 1.0 { 1000.0 } else { 100.0 };
        let value = base / factor * fine;
        let value = if up { (value - 1e-6).ceil() } else { (value + 1e-6).floor() } / fine;
        let gap = if name.is_empty() { "" } else { " " };
        format!("{}{gap}{name}", show(value))
    };
    match (stretch.low().is_finite(), stretch.high().is_finite()) {
        (true, true) if stretch.is_exact() => number(stretch.low(), true),
        (true, true) => format!("{} to {}", number(stretch.low(), true), number(stretch.high(), false)),
        (true, false) => format!("{} or more", number(stretch.low(), true)),
        (false, true) => format!("{} or less", number(stretch.high(), false)),
        (false, false) => "known at all".to_owned(),
    }
}
