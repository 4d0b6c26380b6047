//! Refusing measures that no bike has, in words.

use super::Point;
use crate::calc::{Answer, refused};

/// No measure of a bike is longer, in mm.
const LONGEST: f64 = 100_000.0;
/// Head and seat angles of bikes that stand on two wheels in line, in degrees.
const ANGLES: (f64, f64) = (45.0, 90.0);

/// A number for a person: two digits behind the point at most.
pub fn shown(value: f64) -> String {
    let rounded = (value * 100.0).round() / 100.0 + 0.0;
    format!("{rounded}")
}

/// A measure in mm, of either sign.
pub fn number(what: &str, value: f64) -> Answer<()> {
    if value.abs() <= LONGEST { Ok(()) } else { refused(format!("{what} is no length of a bike: {value} mm")) }
}

/// A measure in mm that is more than nothing.
pub fn length(what: &str, value: f64) -> Answer<()> {
    number(what, value)?;
    if value > 0.0 { Ok(()) } else { refused(format!("{what}, {} mm, has to be more than 0 mm", shown(value))) }
}

/// A measure in mm that is nothing or more.
pub fn length_or_none(what: &str, value: f64) -> Answer<()> {
    number(what, value)?;
    if value >= 0.0 { Ok(()) } else { refused(format!("{what}, {} mm, cannot be less than 0 mm", shown(value))) }
}

/// A head or seat angle in degrees.
pub fn angle(what: &str, value: f64) -> Answer<()> {
    let (low, high) = ANGLES;
    if value >= low && value <= high {
        Ok(())
    } else if value.is_finite() {
        refused(format!("{what}, {}°, is not between {low}° and {high}°", shown(value)))
    } else {
        refused(format!("{what} is no angle: {value}"))
    }
}

/// An angle in degrees that lies between two others, both included.
pub fn angle_within(what: &str, value: f64, low: f64, high: f64) -> Answer<()> {
    if value >= low && value <= high {
        Ok(())
    } else {
        refused(format!("{what}, {value}°, is not between {low}° and {high}°"))
    }
}

/// A point of a bike.
pub fn point(what: &str, value: Point) -> Answer<()> {
    number(what, value.x)?;
    number(what, value.y)
}
