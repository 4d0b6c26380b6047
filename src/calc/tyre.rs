//! Tyres: how large they turn out, and how much room is left around them.
//!
//! Room is a signed number: negative where the tyre would stand in what surrounds it.

use super::Answer;
use super::check::above_zero;

/// How much wider a tyre turns out for each millimetre that the rim is wider than its measuring rim.
///
/// From memory (0.35 to 0.5 are told). A casing that keeps its length and stands as an arc of a circle on the rim
/// widens by 0.37 to 0.46. Real tyres have been seen to widen more: 0.78 measured by a rider (lfgss.com, comment
/// 14481850), and 1.0 in a tyre maker's drawing of 40 mm on rims of 19 and 25 mm. So a tyre may turn out **wider** than
/// computed here: measure before relying on the last millimetre of room.
pub const WIDENING: f64 = 0.4;

/// Width of a tyre on another rim than the one it is measured on, in mm: `nominal + 0.4 (inner − measuring)`.
///
/// From memory: see [`WIDENING`] for how far it can be trusted. Tolerance of a new tyre (±3 mm, says a tyre maker's
/// help page), pressure and age come on top.
///
/// # Errors
/// Measures that are not above zero, or so narrow a rim that nothing of the tyre is left.
pub fn width_on_rim_mm(nominal_width: f64, measuring_rim: f64, rim_inner: f64) -> Answer {
    let nominal = above_zero("the tyre's width", nominal_width, " mm")?;
    let measuring = above_zero("the measuring rim's inner width", measuring_rim, " mm")?;
    let inner = above_zero("the rim's inner width", rim_inner, " mm")?;
    above_zero("the tyre's width on that rim", nominal + WIDENING * (inner - measuring), " mm")
}

/// How far a tyre is wider than the rim's inside, in mm. At least 5 mm is asked of tyres on straight-sided (hookless)
/// rims.
///
/// Source of the 5 mm: Cycling Weekly, 15 June 2023.
///
/// # Errors
/// Measures that are not above zero.
pub fn rim_overlap_mm(width: f64, rim_inner: f64) -> Answer {
    Ok(above_zero("the tyre's width", width, " mm")? - above_zero("the rim's inner width", rim_inner, " mm")?)
}

/// Diameter of the tyre on the wheel, unloaded, in mm: bead seat diameter and twice the width.
///
/// Source: the encyclopaedia's article on ISO 5775: bead seat diameter and twice the section height, which is about the
/// width. The standard adds 2.5 mm to the height below 28 mm of width; tread and knobs add 2 to 4 mm to the diameter
/// (common practice). Neither is in here.
///
/// # Errors
/// Measures that are not above zero.
pub fn outer_diameter_mm(bead: f64, width: f64) -> Answer {
    let bead = above_zero("the bead seat diameter", bead, " mm")?;
    let width = above_zero("the tyre's width", width, " mm")?;
    Ok(bead + 2.0 * width)
}

/// Half of [`outer_diameter_mm`].
///
/// # Errors
/// Measures that are not above zero.
pub fn radius_mm(bead: f64, width: f64) -> Answer {
    Ok(outer_diameter_mm(bead, width)? / 2.0)
}

/// Room on each side of a tyre that stands in the middle of a gap, in mm.
///
/// # Errors
/// Measures that are not above zero.
pub fn side_room_mm(gap: f64, width_on_rim: f64) -> Answer {
    let gap = above_zero("the gap for the tyre", gap, " mm")?;
    Ok((gap - above_zero("the tyre's width", width_on_rim, " mm")?) / 2.0)
}

/// Room above a tyre, in mm: from the axle to the nearest thing above (`reach`) less the wheel's radius.
///
/// # Errors
/// Measures that are not above zero.
pub fn height_room_mm(reach: f64, radius: f64) -> Answer {
    let reach = above_zero("the distance from the axle to what is above the tyre", reach, " mm")?;
    Ok(reach - above_zero("the wheel's radius", radius, " mm")?)
}

/// How much further a rim brake must reach when the rim is changed, in mm: half the difference of the bead seat
/// diameters, + for a smaller rim.
///
/// Both rims are taken to have their braking track equally far inside the bead seat.
///
/// # Errors
/// Measures that are not above zero.
pub fn brake_reach_change_mm(bead_before: f64, bead_after: f64) -> Answer {
    let before = above_zero("the bead seat diameter of the old rim", bead_before, " mm")?;
    let after = above_zero("the bead seat diameter of the new rim", bead_after, " mm")?;
    Ok((before - after) / 2.0)
}
