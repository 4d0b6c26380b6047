//! Counts and measures in words, as all sheets say them.

use super::bill::{JointCounts, Mass};
use crate::model::Measured;
use crate::quantity::{Price, show};

/// `1 piece`, `2 pieces`.
pub(super) fn counted(count: impl TryInto<u64>, what: &str) -> String {
    match count.try_into() {
        Ok(1) => format!("1 {what}"),
        Ok(count) => format!("{count} {what}s"),
        Err(_) => format!("many {what}s"),
    }
}

/// Sums in as many currencies.
pub(super) fn sums(all: &[Price]) -> String {
    let all: Vec<String> = all.iter().map(ToString::to_string).collect();
    all.join(" and ")
}

/// Names in a sentence, each once: `a`, `a and b`, `a, b and c`.
pub(super) fn names<'n>(all: impl Iterator<Item = &'n str>) -> String {
    let mut names: Vec<&str> = Vec::new();
    all.for_each(|it| {
        if !names.contains(&it) {
            names.push(it)
        }
    });
    match names.split_last() {
        None => String::new(),
        Some((only, [])) => (*only).to_owned(),
        Some((last, others)) => format!("{} and {last}", others.join(", ")),
    }
}

/// What is wrong with the joints of a build, and what to do about it; nothing when all fit.
pub(super) fn joints(counts: &JointCounts, advice: &str) -> Option<String> {
    let clash = match counts.clashes {
        0 => None,
        1 => Some("1 joint CLASHES".to_owned()),
        more => Some(format!("{more} joints CLASH")),
    };
    let open = match counts.open {
        0 => None,
        1 => Some("1 joint is open".to_owned()),
        more => Some(format!("{more} joints are open")),
    };
    let both: Vec<String> = clash.into_iter().chain(open).collect();
    (!both.is_empty()).then(|| format!("{}: {advice}.", both.join(", ")))
}

/// A measure in a unit of so many base units: `2300 g`, `~2300 g`, `2250 to 2350 g`.
pub(super) fn measure(it: &Measured, factor: f64, unit: &str) -> String {
    let (low, high) = (show(it.low / factor), show(it.high / factor));
    let guess = if it.estimated { "~" } else { "" };
    if low == high { format!("{guess}{low} {unit}") } else { format!("{guess}{low} to {high} {unit}") }
}

/// The mass of a whole, never as if it were complete when it is not.
pub(super) fn mass(mass: &Mass) -> String {
    if mass.known == 0 {
        return "mass: of no part given".to_owned();
    }
    let sum = Measured { low: mass.low, high: mass.high, estimated: mass.estimated > 0, written: String::new() };
    let sum = measure(&sum, 1000.0, "kg");
    let guessed = match mass.estimated {
        0 => String::new(),
        count => format!(", {count} of them estimated"),
    };
    match mass.missing {
        0 => format!("mass: {sum} for {}{guessed}", counted(mass.known, "piece")),
        missing => format!(
            "mass: {sum} for {}{guessed}; the mass of {missing} more is not given",
            counted(mass.known, "piece")
        ),
    }
}
