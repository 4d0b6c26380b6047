//! How a bike stands on level ground.

use super::steer::{effective_top_tube_mm, flop_mm, normal_trail_mm, trail_mm};
use super::{ANGLES, ForkShape, FrameShape, Point, steerer};
use crate::calc::check::{above_zero, number, shown, within};
use crate::calc::{Answer, refused};

/// A frame with what holds it off the ground; lengths in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Built {
    /// The frame, in the pose it was measured in.
    pub frame: FrameShape,
    /// The fork.
    pub fork: ForkShape,
    /// From the crown race's seat to the lower end of the head tube: the lower headset.
    pub lower_stack: f64,
    /// Of the front wheel with its tyre, laden as wished.
    pub front_radius: f64,
    /// Of the rear wheel with its tyre, laden as wished.
    pub rear_radius: f64,
}

/// A bike as it stands; lengths in mm, angles in degrees, points relative to the bottom bracket with `y` plumb.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stance {
    /// Against the pose that the frame was measured in; + = front up.
    pub tilt: f64,
    /// Of the head axis to the ground.
    pub head_angle: f64,
    /// Of the seat tube to the ground, where the frame's is known.
    pub seat_angle: Option<f64>,
    /// From axle to axle, level; the same as from contact to contact.
    pub wheelbase: f64,
    /// From the bottom bracket to the front axle in a straight line.
    pub front_centre: f64,
    /// From the bottom bracket to the front axle, level.
    pub front_centre_horizontal: f64,
    /// From the rear axle to the bottom bracket, level.
    pub rear_centre_horizontal: f64,
    /// Of the bottom bracket over the ground.
    pub bb_height: f64,
    /// Of the bottom bracket below the rear axle.
    pub bb_drop: f64,
    /// Of the front wheel's contact behind where the head axis meets the ground; − = ahead of it.
    pub trail: f64,
    /// Of the front wheel's contact behind the head axis, square to the axis.
    pub normal_trail: f64,
    /// The flop index, see [`flop_mm`].
    pub flop: f64,
    /// Of the head tube's upper end over the bottom bracket.
    pub stack: f64,
    /// Of the head tube's upper end ahead of the bottom bracket.
    pub reach: f64,
    /// From the seat tube's line to the head tube's upper end, level, where the seat angle is known.
    pub effective_top_tube: Option<f64>,
    /// The rear axle.
    pub rear_axle: Point,
    /// The front axle.
    pub front_axle: Point,
    /// The middle of the head tube's upper end.
    pub head_top: Point,
    /// The middle of the head tube's lower end.
    pub head_bottom: Point,
    /// The seat of the crown race.
    pub crown: Point,
    /// Where the head axis meets the ground.
    pub axis_ground: Point,
    /// Height of the ground, which is below nought.
    pub ground_y: f64,
    /// Of the front wheel.
    pub front_radius: f64,
    /// Of the rear wheel.
    pub rear_radius: f64,
}

/// How the bike stands: both wheels on level ground, the frame tilted as they ask.
///
/// The front axle has to lie higher than the rear one by the difference `h` of the radii. In the measured pose the way
/// from the rear axle to the front one is `(x, y)`, so the tilt is `asin(h / √(x² + y²)) − atan2(y, x)` exactly.
///
/// Source: plane trigonometry, a rigid turn of the frame with both wheels on the ground. The same condition is solved
/// for the steering axis alone by J. K. Moore, *Human Control of a Bicycle* (dissertation, Davis 2012), chapter
/// *Physical Parameters*, "Alternative Geometry Measurement Method".
///
/// Assumes a stiff frame, round wheels, steering straight ahead. No account is taken of springs that give way: shorten
/// the fork by its sag ([`ForkShape::sagged`]); a sprung rear end has to be given in the pose wished for.
/// Negative trail is given as it is: a bike can stand with it, though nobody should ride it.
///
/// # Errors
/// Where a part cannot be, the wheels would overlap, the bottom bracket would be in the ground, or an angle would end
/// outside 45° to 90°.
pub fn stand(built: &Built) -> Answer<Stance> {
    let Built { frame, fork, lower_stack, front_radius, rear_radius } = *built;
    frame.check()?;
    fork.check()?;
    number("the lower headset's height", lower_stack, " mm")?;
    above_zero("the front wheel's radius", front_radius, " mm")?;
    above_zero("the rear wheel's radius", rear_radius, " mm")?;

    let (up, _) = steerer(frame.head_angle);
    let crown = frame.head_bottom().along(up, -lower_stack);
    let front_axle = fork.axle(crown, frame.head_angle);
    let turn = turn(frame.rear_axle, front_axle, front_radius, rear_radius)?;

    let [rear_axle, front_axle, head_top, head_bottom, crown] =
        [frame.rear_axle, front_axle, frame.head_top, frame.head_bottom(), crown].map(|point| point.turned(turn));
    let tilt = turn.to_degrees();
    let head_angle = frame.head_angle - tilt;
    within("the head angle of the bike as it stands", head_angle, ANGLES, "°")?;
    let seat_angle = frame.seat_angle.map(|angle| angle - tilt);
    if let Some(seat_angle) = seat_angle {
        within("the seat angle of the bike as it stands", seat_angle, ANGLES, "°")?;
    }
    let ground_y = rear_axle.y - rear_radius;
    if ground_y >= 0.0 {
        return refused(format!("the bottom bracket would be {} mm under the ground", shown(ground_y)));
    }
    let trail = trail_mm(head_angle, fork.offset, front_radius)?;
    let effective_top_tube =
        seat_angle.map(|seat_angle| effective_top_tube_mm(head_top.y, head_top.x, seat_angle)).transpose()?;
    Ok(Stance {
        tilt,
        head_angle,
        seat_angle,
        wheelbase: front_axle.x - rear_axle.x,
        front_centre: front_axle.far(),
        front_centre_horizontal: front_axle.x,
        rear_centre_horizontal: -rear_axle.x,
        bb_height: -ground_y,
        bb_drop: rear_axle.y,
        trail,
        normal_trail: normal_trail_mm(head_angle, fork.offset, front_radius)?,
        flop: flop_mm(head_angle, fork.offset, front_radius)?,
        stack: head_top.y,
        reach: head_top.x,
        effective_top_tube,
        rear_axle,
        front_axle,
        head_top,
        head_bottom,
        crown,
        axis_ground: Point { x: front_axle.x + trail, y: ground_y },
        ground_y,
        front_radius,
        rear_radius,
    })
}

/// By how much the bike has to turn for both wheels to touch the ground, in radians; + = front up.
fn turn(rear_axle: Point, front_axle: Point, front_radius: f64, rear_radius: f64) -> Answer {
    let between = front_axle.minus(rear_axle);
    let apart = between.far();
    let radii = front_radius + rear_radius;
    if apart <= radii {
        return refused(format!(
            "the axles are {} mm apart, the wheels' radii add up to {} mm: the wheels overlap",
            shown(apart),
            shown(radii)
        ));
    }
    if between.x <= 0.0 {
        return refused("the front axle is not ahead of the rear one");
    }
    Ok(libm::asin((front_radius - rear_radius) / apart) - libm::atan2(between.y, between.x))
}
