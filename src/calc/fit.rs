//! Where hands, seat and feet come to lie.

mod clearance;

pub use clearance::{Nearest, Toe, lean_deg, toe_clearance_mm, toe_clearance_steered};

use super::Answer;
use super::check::{above_zero, number, within, zero_or_more};
use super::geometry::{ANGLES, Point, Stance, steerer};

/// From the steerer's axis to the bar's centre, in mm, for a stem clamped on a steerer at this head angle (degrees).
///
/// `stem_length` runs along the stem, centre to centre; `stem_angle` (degrees) is against the perpendicular of the
/// steerer, + = up, so that a stem marked 84°/96° is ∓6. At a head angle of 90° these are the stem's rise and reach in
/// the frame of the steerer, as shops print them. Source: plane trigonometry. Assumes that the stem's line starts at
/// the middle of its steerer clamp.
///
/// # Errors
/// Where a measure is no length or an angle no angle of a stem.
pub fn stem_mm(head_angle: f64, stem_length: f64, stem_angle: f64) -> Answer<Point> {
    within("the head angle", head_angle, ANGLES, "°")?;
    zero_or_more("the stem's length", stem_length, " mm")?;
    within("the stem's angle", stem_angle, -90.0..=90.0, "°")?;
    let (up, forward) = steerer(head_angle);
    let (sin, cos) = (libm::sin(stem_angle.to_radians()), libm::cos(stem_angle.to_radians()));
    Ok(Point { x: 0.0, y: 0.0 }.along(forward, stem_length * cos).along(up, stem_length * sin))
}

/// The centre of the bar in a clamped stem.
///
/// `above_head_tube` (mm, along the steerer) leads from the head tube's upper end to the middle of the stem's clamp:
/// upper headset, spacers, half of the clamp's height. Stem as for [`stem_mm`].
///
/// # Errors
/// As [`stem_mm`].
pub fn bar_centre(stance: &Stance, above_head_tube: f64, stem_length: f64, stem_angle: f64) -> Answer<Point> {
    number("the stem clamp's height over the head tube", above_head_tube, " mm")?;
    stance.head_top.check("the head tube's upper end")?;
    let stem = stem_mm(stance.head_angle, stem_length, stem_angle)?;
    let (up, _) = steerer(stance.head_angle);
    let clamp = stance.head_top.along(up, above_head_tube);
    Ok(Point { x: clamp.x + stem.x, y: clamp.y + stem.y })
}

/// Where a hand lies on a bar: `reach` ahead of the bar's centre and `rise` plumb over it.
///
/// On a drop bar the hollow of the hood: the bar's own reach and what the lever's body adds before the hollow. On a
/// flat bar the middle of the grip, which lies behind the centre: its reach is negative. Backsweep, width and how the
/// bar is turned in its clamp all go into the two; measure them.
///
/// # Errors
/// Where a measure is no number.
pub fn hand_point(bar_centre: Point, reach: f64, rise: f64) -> Answer<Point> {
    bar_centre.check("the bar's centre")?;
    number("the hand's reach", reach, " mm")?;
    number("the hand's rise", rise, " mm")?;
    Ok(Point { x: bar_centre.x + reach, y: bar_centre.y + rise })
}

/// The point of the saddle that the rider sits on.
///
/// `saddle_height` (mm) leads from the bottom bracket along the seat tube's line to the height of that point; `setback`
/// (mm, level) is how far it lies behind the line, by the post's layback and the place on the rails; − = ahead.
///
/// # Errors
/// Where a measure is no number or the angle (degrees) is outside 45° to 90°.
pub fn saddle_point(seat_angle: f64, saddle_height: f64, setback: f64) -> Answer<Point> {
    within("the seat angle", seat_angle, ANGLES, "°")?;
    above_zero("the saddle's height", saddle_height, " mm")?;
    number("the saddle's setback", setback, " mm")?;
    let seat = seat_angle.to_radians();
    Ok(Point { x: -saddle_height * libm::cos(seat) - setback, y: saddle_height * libm::sin(seat) })
}
