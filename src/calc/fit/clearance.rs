//! How far the bike leans before a pedal touches, and how near the toe comes to the front wheel.

use crate::calc::check::{above_zero, number, shown, within, zero_or_more};
use crate::calc::geometry::{ANGLES, Point, Stance, steerer};
use crate::calc::{Answer, refused};

/// The lean at which the pedal touches the ground, in degrees from upright, crank plumb down and tread level.
///
/// `bb_height` over the ground, `crank` length, `pedal_depth` from the spindle's axis to the pedal's underside,
/// `half_width` from the bike's middle to the pedal's outer edge; all in mm. `atan((bb_height − crank − pedal_depth) /
/// half_width)`.
///
/// Source: plane trigonometry, as at bostonbiker.org, 13 June 2008 (on filing pedals). The condition (crank down, tread
/// level, no other part touching) is that of 16 CFR 1512.17(c), which asks for 25°. Assumes wheels as thin discs that
/// touch the ground in their plane, steering straight ahead: a round tyre also rolls sideways and lifts the bike, which
/// gives a little more lean than this.
///
/// # Errors
/// Where the pedal is in the ground with the bike upright, or a measure is no length.
pub fn lean_deg(bb_height: f64, crank: f64, pedal_depth: f64, half_width: f64) -> Answer {
    above_zero("the bottom bracket's height", bb_height, " mm")?;
    above_zero("the crank's length", crank, " mm")?;
    zero_or_more("the pedal's depth", pedal_depth, " mm")?;
    above_zero("the distance from the bike's middle to the pedal's outer edge", half_width, " mm")?;
    let over_ground = bb_height - crank - pedal_depth;
    if over_ground < 0.0 {
        return refused(format!(
            "the pedal touches the ground with the bike upright: crank {} mm and pedal {} mm reach lower than the bottom \
             bracket is high, {} mm",
            shown(crank),
            shown(pedal_depth),
            shown(bb_height)
        ));
    }
    Ok(libm::atan2(over_ground, half_width).to_degrees())
}

/// From the pedal's axis, crank level and forward, straight ahead to the tyre, in mm; − = it overlaps.
///
/// `front_centre` from the bottom bracket to the front axle in a straight line, `drop` of the bottom bracket below that
/// axle, `radius` of the tyre or mudguard, `crank` length: `√(FC² − D²) − √(R² − D²) − L`, which is the way at the
/// height of the bottom bracket, wheel straight.
///
/// Source: geometry; the measure (pedal's centre, forward and parallel to the bike's middle, to the tyre or mudguard)
/// is that of 16 CFR 1512.17(d), which asks for 89 mm at any steering angle of a bike without foot retention. A turned
/// wheel comes nearer, see [`toe_clearance_steered`].
///
/// # Errors
/// Where the drop is not less than the front centre and the radius.
pub fn toe_clearance_mm(front_centre: f64, drop: f64, radius: f64, crank: f64) -> Answer {
    above_zero("the front centre", front_centre, " mm")?;
    above_zero("the front wheel's radius", radius, " mm")?;
    above_zero("the crank's length", crank, " mm")?;
    number("the bottom bracket's drop", drop, " mm")?;
    if drop.abs() >= radius.min(front_centre) {
        return refused(format!(
            "the bottom bracket's drop, {} mm, is not less than the front wheel's radius, {} mm, and the front centre, {} mm",
            shown(drop),
            shown(radius),
            shown(front_centre)
        ));
    }
    let level = |far: f64| libm::sqrt(far * far - drop * drop);
    Ok(level(front_centre) - level(radius) - crank)
}

/// A foot on a crank, and the front wheel that it may meet; lengths in mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Toe {
    /// Length of the crank.
    pub crank: f64,
    /// How far the toe reaches beyond the pedal's axis; 0 for the axis itself.
    pub beyond_spindle: f64,
    /// From the bike's middle to the part of the shoe that comes nearest to the wheel.
    pub lateral: f64,
    /// Outer radius of the front tyre, or of a mudguard that turns with it.
    pub tyre_radius: f64,
    /// Width of that tyre or mudguard.
    pub tyre_width: f64,
    /// How far the bar turns to each side, in degrees, at most 90.
    pub most_steering: f64,
}

/// Where the toe comes nearest to the front wheel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nearest {
    /// Their distance in mm; 0 = they touch.
    pub distance: f64,
    /// How far the bar is turned then, in degrees; + = towards the foot's own side. Where they touch: the least turn
    /// (to within a hundredth of a degree) at which they do.
    pub steering: f64,
    /// How far the crank stands over level and forward then, in degrees; − = below.
    pub crank: f64,
}

/// The least distance from the toe to the front tyre over all steering angles and all forward crank angles.
///
/// Source: geometry in space. The toe is a point on a circle of radius crank + `beyond_spindle` about the bottom
/// bracket, `lateral` to the side of the middle plane: the foot points along the crank, which is true where the crank
/// is level and a little on the careful side elsewhere. The wheel is a disc with a round rim (spokes and all), which
/// turns about the head axis of the bike as it stands. The least is looked for in steps and then narrowed down to below
/// 0.001 mm. 16 CFR 1512.17(d) measures straight forward from the pedal's centre: with `beyond_spindle` 0, that way is
/// never shorter than this one.
///
/// Limits: the frame is not tipped by the turned wheel (it sinks by a few mm); fork legs and mudguard stays that turn
/// with the wheel are not looked at; the foot does not yaw.
///
/// # Errors
/// Where a measure is no length, the tyre is wider than its diameter allows, or the bar turns by more than 90°.
pub fn toe_clearance_steered(stance: &Stance, toe: &Toe) -> Answer<Nearest> {
    let scene = Scene::new(stance, toe)?;
    let most = toe.most_steering;
    // From straight ahead outwards, so that the first touch found is the one at the least turn.
    let count = libm::ceil(most / STEERING_STEP);
    let mut best = scene.over_cranks(0.0);
    let mut previous = 0.0;
    let mut index = 1.0;
    while best.distance > 0.0 && index <= count {
        let turn = (index * STEERING_STEP).min(most);
        for side in [-turn, turn] {
            let found = scene.over_cranks(side);
            if found.distance <= 0.0 && best.distance > 0.0 {
                return Ok(scene.first_touch(previous * side.signum(), found));
            }
            if found.distance < best.distance {
                best = found;
            }
        }
        previous = turn;
        index += 1.0;
    }
    if best.distance <= 0.0 {
        return Ok(Nearest { distance: 0.0, ..best });
    }
    let (low, high) = ((best.steering - STEERING_STEP).max(-most), (best.steering + STEERING_STEP).min(most));
    let steering = narrowed(low, high, |steering| scene.over_cranks(steering).distance);
    let found = scene.over_cranks(steering);
    if found.distance <= 0.0 {
        return Ok(scene.first_touch(if steering < 0.0 { high.min(0.0) } else { low.max(0.0) }, found));
    }
    Ok(if found.distance < best.distance { found } else { best })
}

/// Steps in degrees between the steering and crank angles that are looked at first.
const STEERING_STEP: f64 = 2.0;
const CRANK_STEP: f64 = 6.0;

/// Everything that stays while bar and crank turn.
struct Scene {
    /// The point of the head axis beside the front axle.
    pivot: Point,
    /// From there to the axle, square to the head axis.
    offset: f64,
    /// Square to the head axis, forward.
    forward: Point,
    /// Radius of the toe's circle, and its distance from the middle plane.
    toe: f64,
    lateral: f64,
    /// Radius of the middle of the round rim, and half of its thickness.
    rim: f64,
    half_width: f64,
}

impl Scene {
    fn new(stance: &Stance, toe: &Toe) -> Answer<Scene> {
        within("the head angle", stance.head_angle, ANGLES, "°")?;
        stance.front_axle.check("the front axle")?;
        stance.head_top.check("the head tube's upper end")?;
        above_zero("the crank's length", toe.crank, " mm")?;
        number("the toe's reach beyond the pedal's axis", toe.beyond_spindle, " mm")?;
        above_zero("the length from bottom bracket to toe", toe.crank + toe.beyond_spindle, " mm")?;
        zero_or_more("the toe's distance from the bike's middle", toe.lateral, " mm")?;
        above_zero("the tyre's radius", toe.tyre_radius, " mm")?;
        zero_or_more("the tyre's width", toe.tyre_width, " mm")?;
        within("the most that the bar turns", toe.most_steering, 0.0..=90.0, "°")?;
        let half_width = toe.tyre_width / 2.0;
        if half_width > toe.tyre_radius {
            return refused(format!(
                "a tyre of {} mm width does not fit a wheel of {} mm radius",
                shown(toe.tyre_width),
                shown(toe.tyre_radius)
            ));
        }
        let (_, forward) = steerer(stance.head_angle);
        let way = stance.front_axle.minus(stance.head_top);
        let offset = way.x * forward.x + way.y * forward.y;
        Ok(Scene {
            pivot: stance.front_axle.along(forward, -offset),
            offset,
            forward,
            toe: toe.crank + toe.beyond_spindle,
            lateral: toe.lateral,
            rim: toe.tyre_radius - half_width,
            half_width,
        })
    }

    /// From the toe to the tyre; below 0 inside it.
    fn distance(&self, steering: f64, crank: f64) -> f64 {
        let (sin, cos) = (libm::sin(steering.to_radians()), libm::cos(steering.to_radians()));
        let toe = Point { x: self.toe * libm::cos(crank.to_radians()), y: self.toe * libm::sin(crank.to_radians()) };
        let from_pivot = toe.minus(self.pivot);
        // Seen along the head axis: how far the toe is ahead of the axis and to the side.
        let ahead = from_pivot.x * self.forward.x + from_pivot.y * self.forward.y;
        let aside = self.lateral;
        // In the turned wheel's own frame: in its plane square to the head axis, along the head axis, off its plane.
        let in_plane = ahead * cos + aside * sin - self.offset;
        let along_axis = from_pivot.y * self.forward.x - from_pivot.x * self.forward.y;
        let off_plane = aside * cos - ahead * sin;
        let beyond_rim = (libm::hypot(in_plane, along_axis) - self.rim).max(0.0);
        libm::hypot(beyond_rim, off_plane) - self.half_width
    }

    /// The nearest over all forward crank angles at one steering angle.
    fn over_cranks(&self, steering: f64) -> Nearest {
        let mut crank = -90.0;
        let mut nearest = self.distance(steering, crank);
        let mut at = crank;
        while crank < 90.0 {
            crank += CRANK_STEP;
            let distance = self.distance(steering, crank);
            if distance < nearest {
                (nearest, at) = (distance, crank);
            }
        }
        let refined = narrowed(at - CRANK_STEP, at + CRANK_STEP, |crank| self.distance(steering, crank));
        let distance = self.distance(steering, refined);
        let (distance, crank) = if distance < nearest { (distance, refined) } else { (nearest, at) };
        Nearest { distance, steering, crank }
    }

    /// The least turn at which they touch, between a turn where they do not and one where they do.
    fn first_touch(&self, clear: f64, touching: Nearest) -> Nearest {
        let (mut clear, mut touching) = (clear, touching);
        while (touching.steering - clear).abs() > 0.01 {
            let middle = self.over_cranks((clear + touching.steering) / 2.0);
            if middle.distance > 0.0 { clear = middle.steering } else { touching = middle }
        }
        Nearest { distance: 0.0, ..touching }
    }
}

/// Where a function with one valley between two ends is least: golden section.
fn narrowed(low: f64, high: f64, of: impl Fn(f64) -> f64) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let (mut low, mut high) = (low, high);
    let (mut left, mut right) = (high - (high - low) * GOLDEN, low + (high - low) * GOLDEN);
    let (mut at_left, mut at_right) = (of(left), of(right));
    for _ in 0..40 {
        if at_left < at_right {
            (high, right, at_right) = (right, left, at_left);
            left = high - (high - low) * GOLDEN;
            at_left = of(left);
        } else {
            (low, left, at_left) = (left, right, at_right);
            right = low + (high - low) * GOLDEN;
            at_right = of(right);
        }
    }
    (low + high) / 2.0
}
