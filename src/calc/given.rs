//! Checks of what a computation is given and of what it gives, in words for a mechanic.

use super::{Answer, refused};

/// Nothing that is measured on a bicycle, in any of the units used here, is larger.
const LARGEST: f64 = 1e9;

/// A number as a person would write it: at most two decimals.
pub(super) fn shown(value: f64) -> String {
    if value.abs() >= 1e6 {
        return format!("{value:e}");
    }
    let rounded = libm::round(value * 100.0) / 100.0;
    // A small number must not be shown as 0, and 0 has no sign.
    if rounded == 0.0 && value != 0.0 { format!("{value:e}") } else { format!("{}", rounded + 0.0) }
}

/// `value`, unless it is no number or larger than anything that could be meant.
pub(super) fn sensible(what: &str, value: f64, unit: &str) -> Answer {
    if value.is_nan() {
        refused(format!("{what} is no number"))
    } else if value.abs() > LARGEST {
        refused(format!("{what} is larger than anything that could be meant ({}{unit})", shown(value)))
    } else {
        Ok(value)
    }
}

/// `value`, if it is above zero.
pub(super) fn above_zero(what: &str, value: f64, unit: &str) -> Answer {
    let value = sensible(what, value, unit)?;
    if value > 0.0 {
        Ok(value)
    } else {
        refused(format!("{what} must be more than 0{unit}, not {}{unit}", shown(value)))
    }
}

/// `value`, if it is zero or more.
pub(super) fn zero_or_more(what: &str, value: f64, unit: &str) -> Answer {
    let value = sensible(what, value, unit)?;
    if value >= 0.0 {
        Ok(value)
    } else {
        refused(format!("{what} cannot be less than 0{unit}, and {}{unit} is", shown(value)))
    }
}

/// `value`, if it lies from `least` to `most`.
pub(super) fn between(what: &str, value: f64, least: f64, most: f64, unit: &str) -> Answer {
    let value = sensible(what, value, unit)?;
    if value >= least && value <= most {
        Ok(value)
    } else {
        let (value, least, most) = (shown(value), shown(least), shown(most));
        refused(format!("{what}, {value}{unit}, is outside {least} to {most}{unit}"))
    }
}

/// `value`, if it is a whole number of zero or more.
pub(super) fn whole(what: &str, value: f64) -> Answer {
    let value = zero_or_more(what, value, "")?;
    if value == libm::floor(value) {
        Ok(value)
    } else {
        refused(format!("{what} must be a whole number, not {}", shown(value)))
    }
}

/// What came out, if it is a number that can be used.
pub(super) fn sound(result: f64) -> Answer {
    if result.is_finite() { Ok(result) } else { refused("these numbers lie too far apart to compute with") }
}

/// `value`, if a rule that does not reach below `least` gave it.
pub(super) fn refuse_low(rule: &str, value: f64, least: f64, unit: &str) -> Answer {
    if value >= least {
        Ok(value)
    } else {
        refused(format!(
            "{rule} does not reach below {}{unit}, and these numbers give {}{unit}",
            shown(least),
            shown(value)
        ))
    }
}
