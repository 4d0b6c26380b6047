//! Trail and its kin, and small functions on single measures.

use super::ANGLES;
use crate::calc::check::{above_zero, number, shown, within};
use crate::calc::{Answer, refused};

/// Trail, in mm: how far the front wheel's contact lies behind where the head axis meets the ground.
///
/// `(R cos θ − o) / sin θ` for head angle θ (degrees, to the ground), fork offset `o` and the tyre's outer radius `R`
/// (mm). Negative where the contact lies ahead.
///
/// Source: encyclopaedia article "Bicycle and motorcycle geometry"; the same as `R/tan θ − o/sin θ` in framebuilders'
/// notes. Radius, not diameter, as one forum copy has it. Assumes a round, thin wheel straight ahead on level ground:
/// a tyre pressed flat has a smaller radius.
///
/// # Errors
/// Where the head axis does not cross the ground (0° or 180°), or the radius is no length.
pub fn trail_mm(head_angle: f64, offset: f64, radius: f64) -> Answer {
    Ok(normal_trail_mm(head_angle, offset, radius)? / libm::sin(head_angle.to_radians()))
}

/// Normal (mechanical) trail, in mm: how far the front wheel's contact lies behind the head axis, square to the axis.
///
/// `R cos θ − o`; parameters, source and limits as for [`trail_mm`].
///
/// # Errors
/// As [`trail_mm`].
pub fn normal_trail_mm(head_angle: f64, offset: f64, radius: f64) -> Answer {
    above_zero("the front wheel's radius", radius, " mm")?;
    number("the fork's offset", offset, " mm")?;
    if !(head_angle > 0.01 && head_angle < 179.99) {
        return refused(format!(
            "with a head angle of {}° the head axis does not cross the ground: no trail",
            shown(head_angle)
        ));
    }
    Ok(radius * libm::cos(head_angle.to_radians()) - offset)
}

/// Wheel flop, in mm: `trail · sin θ · cos θ`; parameters as for [`trail_mm`].
///
/// Source: encyclopaedia article "Bicycle and motorcycle geometry" (after a bicycle magazine). An index for comparing
/// bikes: it is the height over the ground of the foot of the square from the contact to the head axis. The front of a
/// real bike does not sink by so much when the bar is turned.
///
/// # Errors
/// As [`trail_mm`].
pub fn flop_mm(head_angle: f64, offset: f64, radius: f64) -> Answer {
    Ok(normal_trail_mm(head_angle, offset, radius)? * libm::cos(head_angle.to_radians()))
}

/// Effective top tube, in mm: from the seat tube's line to the head tube's upper end, level. `reach + stack /
/// tan(seat)`.
///
/// Source: geometry. The seat tube's line runs through the bottom bracket; a bent or shifted tube wants the angle that
/// its chart calls effective.
///
/// # Errors
/// Where a measure is no number or the angle is outside 45° to 90°.
pub fn effective_top_tube_mm(stack: f64, reach: f64, seat_angle: f64) -> Answer {
    above_zero("the stack", stack, " mm")?;
    number("the reach", reach, " mm")?;
    within("the seat angle", seat_angle, ANGLES, "°")?;
    let seat = seat_angle.to_radians();
    Ok(reach + stack * libm::cos(seat) / libm::sin(seat))
}

/// A bike on equal wheels, and what is changed on it; lengths in mm, the angle in degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// Of the head axis to the ground, before.
    pub head_angle: f64,
    /// From axle to axle, before.
    pub wheelbase: f64,
    /// From the bottom bracket to the rear axle in a straight line.
    pub chainstay: f64,
    /// Of the bottom bracket below the axles, before.
    pub drop: f64,
    /// By how much the fork (with the lower headset) becomes longer along the steerer.
    pub fork_change: f64,
    /// By how much the fork's offset grows.
    pub offset_change: f64,
    /// By how much the front wheel's radius grows.
    pub front_radius_change: f64,
    /// By how much the rear wheel's radius grows.
    pub rear_radius_change: f64,
}

/// A bike after a [`Change`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Changed {
    /// By how much the frame turned, in degrees; + = front up. Head and seat angle become smaller by it.
    pub tilt: f64,
    /// Of the head axis to the ground, in degrees.
    pub head_angle: f64,
    /// From axle to axle, level, in mm.
    pub wheelbase: f64,
    /// By how much the bottom bracket rose over the ground, in mm.
    pub bb_rise: f64,
}

/// What a change of fork, headset or wheels does to a bike of which only four measures are known.
///
/// A rigid turn of the frame about the rear axle until the front axle stands at its new height, see
/// [`stand`](super::stand). The wheels before are taken as equal: where their radii differ by `d`, the angle is wrong
/// by about `d / wheelbase` of the change, which is nothing to be measured.
///
/// # Errors
/// Where a measure is no number, an angle is or ends outside 45° to 90°, the chainstay is not longer than the drop, or
/// the axles would come nearer to each other than half of what they were.
pub fn change(of: &Change) -> Answer<Changed> {
    within("the head angle", of.head_angle, ANGLES, "°")?;
    above_zero("the wheelbase", of.wheelbase, " mm")?;
    above_zero("the chainstay", of.chainstay, " mm")?;
    number("the bottom bracket's drop", of.drop, " mm")?;
    number("the change of the fork's length", of.fork_change, " mm")?;
    number("the change of the fork's offset", of.offset_change, " mm")?;
    number("the change of the front wheel's radius", of.front_radius_change, " mm")?;
    number("the change of the rear wheel's radius", of.rear_radius_change, " mm")?;
    if of.chainstay <= of.drop.abs() {
        return refused(format!(
            "the chainstay, {} mm, is not longer than the bottom bracket's drop, {} mm",
            shown(of.chainstay),
            shown(of.drop)
        ));
    }
    let (sin, cos) = (libm::sin(of.head_angle.to_radians()), libm::cos(of.head_angle.to_radians()));
    // The way from the rear axle to the front one with the frame still in its old pose.
    let x = of.wheelbase + of.fork_change * cos + of.offset_change * sin;
    let y = -of.fork_change * sin + of.offset_change * cos;
    let apart = libm::hypot(x, y);
    let higher = of.front_radius_change - of.rear_radius_change;
    // Square to the head axis. Beyond this the head angle would no longer follow each measure one way only.
    let across = of.wheelbase * sin + of.offset_change;
    if x < of.wheelbase / 2.0 || x.min(across) <= higher.abs() {
        return refused(format!(
            "so large a change leaves the axles no room: {} mm apart, {} mm of difference in height",
            shown(apart),
            shown(higher)
        ));
    }
    let turn = libm::asin(higher / apart) - libm::atan2(y, x);
    let rear_centre = libm::sqrt(of.chainstay * of.chainstay - of.drop * of.drop);
    let head_angle = of.head_angle - turn.to_degrees();
    within("the head angle after the change", head_angle, ANGLES, "°")?;
    Ok(Changed {
        tilt: turn.to_degrees(),
        head_angle,
        wheelbase: libm::sqrt(apart * apart - higher * higher),
        bb_rise: rear_centre * libm::sin(turn) + of.drop * (1.0 - libm::cos(turn)) + of.rear_radius_change,
    })
}

/// Head angle after a change, in degrees; see [`change`].
///
/// # Errors
/// As [`change`].
pub fn tilted_head_angle_deg(of: &Change) -> Answer {
    change(of).map(|changed| changed.head_angle)
}
