//! Toothed rings and the circles of their bolts.

use super::{Answer, refused};
use std::f64::consts::PI;

/// Pitch of every bicycle chain, half an inch, in mm.
pub const PITCH: f64 = 12.7;
/// Diameter of the chain's roller, in mm.
const ROLLER: f64 = 7.75;

/// Diameter of the circle through the tooth roots of a ring, in mm: pitch diameter `p / sin(180°/N)` less the roller.
///
/// # Errors
/// Below 5 teeth, where the formula means nothing.
pub fn root_diameter(teeth: f64) -> Answer {
    if teeth >= 5.0 { Ok(PITCH / libm::sin(PI / teeth) - ROLLER) } else { refused("a ring has fewer than 5 teeth") }
}
