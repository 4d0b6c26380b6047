//! What a computation may be given and may give back, with the words that refuse the rest; and the root finder.

use super::{Answer, refused};
use std::ops::RangeInclusive;

/// Nothing that is measured on a bike, in any of the units used here, is larger.
const LARGEST: f64 = 1e6;
/// A list is no longer: no bike has so many cogs.
const LONGEST: usize = 100;

/// A number as a person reads it: at most two digits behind the point, three where nothing stands before it.
pub(super) fn shown(value: f64) -> String {
    let size = value.abs();
    if size >= 1e9 || (size > 0.0 && size < 0.000_5) {
        return format!("{value:.1e}");
    }
    let text = if size < 1.0 { format!("{value:.3}") } else { format!("{value:.2}") };
    let text = text.trim_end_matches('0').trim_end_matches('.');
    // Nothing has no sign.
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// The number, of either sign, if it is one and no larger than anything that could be meant.
///
/// In all of these `unit` is empty or begins with its space, if it has one: ` mm`, `°`.
pub(super) fn number(what: &str, value: f64, unit: &str) -> Answer {
    if !value.is_finite() {
        refused(format!("{what} is no number"))
    } else if value.abs() > LARGEST {
        refused(format!("{what} is larger than anything that could be meant ({}{unit})", shown(value)))
    } else {
        Ok(value)
    }
}

/// The number, if it is above zero.
pub(super) fn above_zero(what: &str, value: f64, unit: &str) -> Answer {
    let value = number(what, value, unit)?;
    if value > 0.0 {
        Ok(value)
    } else {
        refused(format!("{what} must be more than 0{unit}, not {}{unit}", shown(value)))
    }
}

/// The number, if it is zero or more.
pub(super) fn zero_or_more(what: &str, value: f64, unit: &str) -> Answer {
    let value = number(what, value, unit)?;
    if value >= 0.0 {
        Ok(value)
    } else {
        refused(format!("{what} cannot be less than 0{unit}, and {}{unit} is", shown(value)))
    }
}

/// The number, if it lies within these bounds.
pub(super) fn within(what: &str, value: f64, bounds: RangeInclusive<f64>, unit: &str) -> Answer {
    let value = number(what, value, unit)?;
    if bounds.contains(&value) {
        return Ok(value);
    }
    let (value, least, most) = (shown(value), shown(*bounds.start()), shown(*bounds.end()));
    refused(format!("{what}, {value}{unit}, is outside {least} to {most}{unit}"))
}

/// The number, if it is a whole one within these bounds.
pub(super) fn whole(what: &str, value: f64, bounds: RangeInclusive<f64>) -> Answer {
    let value = within(what, value, bounds, "")?;
    if value == libm::floor(value) {
        Ok(value)
    } else {
        refused(format!("{what} must be a whole number, not {}", shown(value)))
    }
}

/// That all numbers of a list lie within these bounds, and that there are some; `many` is what they are together.
pub(super) fn each(many: &str, what: &str, values: &[f64], bounds: &RangeInclusive<f64>, unit: &str) -> Answer<()> {
    if values.is_empty() {
        return refused(format!("there are no {many}"));
    }
    if values.len() > LONGEST {
        return refused(format!("there are {} {many}, more than {LONGEST}", values.len()));
    }
    values.iter().try_for_each(|value| within(what, *value, bounds.clone(), unit).map(|_| ()))
}

/// What came out, if it is a number that can be used.
pub(super) fn sound(result: f64) -> Answer {
    if result.is_finite() { Ok(result) } else { refused("these numbers lie too far apart to compute with") }
}

/// Where a rising function passes zero, if it is negative at `low` and positive at `high`: bisection down to
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

#[cfg(test)]
mod tests {
    use super::shown;

    #[test]
    fn numbers_are_short_and_never_hide_that_they_are_some() {
        let cases = [
            (102.857_142, "102.86"),
            (0.005, "0.005"),
            (0.000_3, "3.0e-4"),
            (1e-320, "1.0e-320"),
            (-0.0, "0"),
            (100.0, "100"),
            (-70.0, "-70"),
            (0.999_999, "1"),
            (1.5e9, "1.5e9"),
        ];
        for (value, words) in cases {
            assert_eq!(shown(value), words);
        }
    }
}
