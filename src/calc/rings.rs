//! Toothed rings and the circles of their bolts.

use super::check::{whole, within};
use super::{Answer, refused};
use std::f64::consts::PI;

/// Pitch of every bicycle chain, in mm: half an inch.
pub const PITCH: f64 = 12.7;
/// Diameter of the chain's roller, in mm.
const ROLLER: f64 = 7.75;
/// More teeth than this have no ring.
const MOST_TEETH: f64 = 500.0;

/// Diameter of the circle through the roller centres on a ring of so many teeth, in mm: `p / sin(180°/N)`.
///
/// The centres are the corners of a regular polygon whose sides are one pitch long. Source: the table "Pitch diameter
/// of roller chain wheels" at tandwiel.info; bikes and industrial drives share the geometry.
///
/// # Errors
/// Below 5 teeth, where there is no room for a roller between them, and above 500.
pub fn pitch_diameter_mm(teeth: f64) -> Answer {
    pitch_circle("the number of teeth", teeth)
}

/// The same, with a name for what has the teeth.
pub(super) fn pitch_circle(name: &str, teeth: f64) -> Answer {
    within(name, teeth, 5.0..=MOST_TEETH, "")?;
    Ok(PITCH / libm::sin(PI / teeth))
}

/// Diameter of the circle through the tooth roots of a ring, in mm: pitch diameter `p / sin(180°/N)` less the roller.
///
/// A ring can't be bolted to a spider whose bolt heads reach beyond this circle: a lower bound of its teeth, not the
/// smallest ring that anybody makes. Source: velo.outsideonline.com, Technical FAQ on chainring and cog compatibility.
///
/// # Errors
/// Below 5 teeth, where the formula means nothing, and above 500.
pub fn root_diameter_mm(teeth: f64) -> Answer {
    Ok(pitch_diameter_mm(teeth)? - ROLLER)
}

/// Distance between the centres of two neighbouring bolts, in mm: `BCD · sin(180°/n)`.
///
/// For evenly spaced bolts only: spiders with unequal angles, and one 5 × 110 pattern with a displaced hole, are not
/// measured so. Source: modernbike.com help page 117; sheldonbrown.com, BCD crib sheet (tables of both).
///
/// # Errors
/// Fewer than 3 bolts or more than 12, a broken number of them, or a circle that is none.
pub fn adjacent_bolts_mm(bcd: f64, bolts: f64) -> Answer {
    chord(bcd, bolts, 1.0)
}

/// Distance from a bolt to the next but one, in mm: `BCD · sin(2 · 180°/n)`. With 5 bolts it tells circles apart better
/// than [`adjacent_bolts_mm`]; with 4 it is the bolt circle itself.
///
/// Source: sheldonbrown.com, BCD crib sheet, column "between non-adjacent holes".
///
/// # Errors
/// As [`adjacent_bolts_mm`], and with 3 bolts, where there is no such pair.
pub fn nonadjacent_bolts_mm(bcd: f64, bolts: f64) -> Answer {
    if bolts == 3.0 {
        return refused("with 3 bolts each is the neighbour of both others");
    }
    chord(bcd, bolts, 2.0)
}

/// Bolt circle diameter from the distance between neighbouring bolts, in mm: `a / sin(180°/n)`.
///
/// Measure from the right edge of one hole to the right edge of the next: that is centre to centre. Evenly spaced bolts
/// only. Source: as [`adjacent_bolts_mm`].
///
/// # Errors
/// As [`adjacent_bolts_mm`].
pub fn circle_from_adjacent_mm(adjacent: f64, bolts: f64) -> Answer {
    within("the distance between two bolts", adjacent, 1.0..=500.0, " mm")?;
    let bolts = whole("the number of bolts", bolts, 3.0..=12.0)?;
    Ok(adjacent / libm::sin(PI / bolts))
}

/// Distance between bolts that are so many places apart.
fn chord(bcd: f64, bolts: f64, places: f64) -> Answer {
    within("the bolt circle", bcd, 1.0..=500.0, " mm")?;
    let bolts = whole("the number of bolts", bolts, 3.0..=12.0)?;
    Ok(bcd * libm::sin(places * PI / bolts))
}
