//! Checks of what a computation is asked, the words that refuse it, and the root finder they share.

use super::{Answer, refused};
use std::ops::RangeInclusive;

/// A number as a person reads it: at most three decimals, never a hundred digits.
pub(super) fn shown(value: f64) -> String {
    let size = value.abs();
    if size < 0.0005 && size > 0.0 || size >= 1e9 {
        return format!("{value:.3e}");
    }
    let text = format!("{value:.3}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// The number, if it is one and lies within these bounds; `unit` is empty or begins with its space.
pub(super) fn within(name: &str, value: f64, bounds: RangeInclusive<f64>, unit: &str) -> Answer {
    if !value.is_finite() {
        return refused(format!("{name} is not a finite number"));
    }
    if bounds.contains(&value) {
        return Ok(value);
    }
    let (low, high) = (shown(*bounds.start()), shown(*bounds.end()));
    refused(format!("{name} is {}{unit}; only {low} to {high}{unit} can be computed with", shown(value)))
}

/// A whole number within bounds, which are not negative.
pub(super) fn whole(name: &str, value: f64, bounds: RangeInclusive<f64>) -> Answer<usize> {
    let value = within(name, value, bounds, "")?;
    if value != value.floor() {
        return refused(format!("{name} is {}, which is not a whole number", shown(value)));
    }
    // Bounded above and whole, so nothing is lost.
    Ok(value as usize)
}

/// Every number of a list within bounds; there are one to a hundred of them, called `many` together and `name` each.
pub(super) fn each(many: &str, name: &str, values: &[f64], bounds: &RangeInclusive<f64>, unit: &str) -> Answer<()> {
    if values.is_empty() {
        return refused(format!("there are no {many}"));
    }
    if values.len() > 100 {
        return refused(format!("there are {} {many}; only 1 to 100 can be computed with", values.len()));
    }
    for value in values {
        within(name, *value, bounds.clone(), unit)?;
    }
    Ok(())
}

/// Where a rising function passes zero, given that it is negative at `low` and positive at `high`: bisection down to
/// neighbouring numbers.
pub(super) fn rising_root(mut low: f64, mut high: f64, function: impl Fn(f64) -> f64) -> f64 {
    loop {
        let middle = low + (high - low) / 2.0;
        if middle <= low || middle >= high {
            return middle;
        }
        if function(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
}
