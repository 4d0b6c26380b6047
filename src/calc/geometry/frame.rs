//! The frame and the fork as they were measured.

use super::{ANGLES, Point, steerer};
use crate::calc::check::{above_zero, number, shown, within, zero_or_more};
use crate::calc::{Answer, refused};

/// A fork.
///
/// A sprung fork that gives way by so many mm is a shorter fork, see [`ForkShape::sagged`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ForkShape {
    /// From the axle to the seat of the crown race, measured along the steerer, in mm.
    pub axle_to_crown: f64,
    /// From the head axis to the axle, square to the axis, in mm; + = the axle lies ahead of it.
    pub offset: f64,
}

impl ForkShape {
    /// The fork pressed together by so many mm along the steerer.
    ///
    /// Assumes legs parallel to the steerer, as telescopic forks have them, so that the offset stays.
    ///
    /// ```
    /// # use cotter::calc::geometry::{Built, ForkShape, FrameShape, Wheelbase, stand};
    /// let free = ForkShape { axle_to_crown: 480.0, offset: 44.0 };
    /// let frame = FrameShape::from_wheelbase(&Wheelbase {
    ///     chainstay: 440.0, drop: 45.0, head_angle: 69.0, seat_angle: Some(73.0), head_length: 110.0,
    ///     wheelbase: 1080.0, lower_stack: 12.0, fork: free, rear_radius: 370.0, front_radius: 370.0,
    /// })?;
    /// let mut built = Built { frame, fork: free, lower_stack: 12.0, front_radius: 370.0, rear_radius: 370.0 };
    /// assert!((stand(&built)?.head_angle - 69.0).abs() < 1e-9);
    /// built.fork = free.sagged(25.0)?;
    /// assert!((stand(&built)?.head_angle - 70.25).abs() < 0.01);
    /// # Ok::<(), cotter::calc::Refused>(())
    /// ```
    ///
    /// # Errors
    /// Where nothing of the fork would be left, or it would grow.
    pub fn sagged(self, by: f64) -> Answer<ForkShape> {
        zero_or_more("the sag", by, " mm")?;
        let sagged = ForkShape { axle_to_crown: self.axle_to_crown - by, ..self };
        sagged.check()?;
        Ok(sagged)
    }

    /// Refuses forks that cannot be.
    pub(super) fn check(&self) -> Answer<()> {
        above_zero("the fork's length from axle to crown", self.axle_to_crown, " mm")?;
        number("the fork's offset", self.offset, " mm")?;
        if self.axle_to_crown > self.offset.abs() {
            return Ok(());
        }
        refused(format!(
            "the fork is {} mm long from axle to crown, which is not more than its offset, {} mm",
            shown(self.axle_to_crown),
            shown(self.offset)
        ))
    }

    /// The axle of this fork below a crown race's seat, with a steerer at this head angle.
    pub(super) fn axle(&self, crown: Point, head_angle: f64) -> Point {
        let (up, forward) = steerer(head_angle);
        crown.along(up, -self.axle_to_crown).along(forward, self.offset)
    }
}

/// A rigid frame in the pose that it was measured in, relative to its bottom bracket.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FrameShape {
    /// Of the head axis to the horizontal, in degrees.
    pub head_angle: f64,
    /// Of the seat tube to the horizontal, in degrees, where known; the tube's line runs through the bottom bracket.
    pub seat_angle: Option<f64>,
    /// The rear axle.
    pub rear_axle: Point,
    /// The middle of the head tube's upper end.
    pub head_top: Point,
    /// Of the head tube, from end to end, in mm.
    pub head_length: f64,
}

/// A frame known by the wheelbase of a whole bike; lengths in mm, angles in degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wheelbase {
    /// From the bottom bracket to the rear axle in a straight line.
    pub chainstay: f64,
    /// How far the bottom bracket lies below the rear axle; − = above it.
    pub drop: f64,
    /// Of the head axis to the horizontal.
    pub head_angle: f64,
    /// Of the seat tube to the horizontal, where known.
    pub seat_angle: Option<f64>,
    /// Of the head tube, from end to end.
    pub head_length: f64,
    /// From axle to axle, level.
    pub wheelbase: f64,
    /// From the crown race's seat to the lower end of the head tube.
    pub lower_stack: f64,
    /// The fork that the bike was measured with.
    pub fork: ForkShape,
    /// Of the rear wheel with its tyre, as measured.
    pub rear_radius: f64,
    /// Of the front wheel with its tyre, as measured.
    pub front_radius: f64,
}

impl FrameShape {
    /// The frame of a geometry chart: level axles, measures in mm, angles in degrees.
    ///
    /// `drop` is how far the bottom bracket lies below the rear axle, stack and reach lead from it to the middle of the
    /// head tube's upper end. Charts are drawn for one fork; [`FrameShape::drawn_for_mm`] says for how long a one.
    ///
    /// # Errors
    /// Where a measure is no number, an angle is outside 45° to 90°, or the chainstay is not longer than the drop.
    pub fn from_stack_and_reach(
        chainstay: f64,
        drop: f64,
        head_angle: f64,
        seat_angle: Option<f64>,
        head_length: f64,
        stack: f64,
        reach: f64,
    ) -> Answer<FrameShape> {
        above_zero("the stack", stack, " mm")?;
        number("the reach", reach, " mm")?;
        let rear_axle = rear_axle(chainstay, drop)?;
        let frame =
            FrameShape { head_angle, seat_angle, rear_axle, head_top: Point { x: reach, y: stack }, head_length };
        frame.check()?;
        Ok(frame)
    }

    /// The frame of a bike whose wheelbase was measured, with that fork and those wheels.
    ///
    /// The head axis passes the front axle at the fork's offset, square; the head tube's upper end lies on it by the
    /// fork's length, the lower headset's and the head tube's above that.
    ///
    /// # Errors
    /// As [`FrameShape::from_stack_and_reach`], and where the fork or a wheel cannot be, or the front axle would not
    /// lie ahead of the bottom bracket.
    pub fn from_wheelbase(measured: &Wheelbase) -> Answer<FrameShape> {
        within("the head angle", measured.head_angle, ANGLES, "°")?;
        above_zero("the wheelbase", measured.wheelbase, " mm")?;
        number("the lower headset's height", measured.lower_stack, " mm")?;
        above_zero("the rear wheel's radius", measured.rear_radius, " mm")?;
        above_zero("the front wheel's radius", measured.front_radius, " mm")?;
        measured.fork.check()?;
        let rear_axle = rear_axle(measured.chainstay, measured.drop)?;
        let front_axle = Point {
            x: rear_axle.x + measured.wheelbase,
            y: rear_axle.y + measured.front_radius - measured.rear_radius,
        };
        if front_axle.x <= 0.0 {
            return refused(format!(
                "the wheelbase, {} mm, is so short beside the chainstay, {} mm, that the front axle is not ahead of the \
                 bottom bracket",
                shown(measured.wheelbase),
                shown(measured.chainstay)
            ));
        }
        let (up, forward) = steerer(measured.head_angle);
        let above_axle = measured.fork.axle_to_crown + measured.lower_stack + measured.head_length;
        let head_top = front_axle.along(forward, -measured.fork.offset).along(up, above_axle);
        let frame = FrameShape {
            head_angle: measured.head_angle,
            seat_angle: measured.seat_angle,
            rear_axle,
            head_top,
            head_length: measured.head_length,
        };
        frame.check()?;
        Ok(frame)
    }

    /// The middle of the head tube's lower end.
    #[must_use]
    pub fn head_bottom(&self) -> Point {
        let (up, _) = steerer(self.head_angle);
        self.head_top.along(up, -self.head_length)
    }

    /// From axle to crown along the steerer, in mm: the fork that keeps this frame in the pose it was measured in.
    ///
    /// For a lower headset of that height, a fork of that offset, and a front wheel whose radius is larger than the
    /// rear one's by `front_radius_more` (0 for equal wheels). Solved from the height of the front axle over the rear
    /// one.
    ///
    /// # Errors
    /// Where no such fork can be.
    pub fn drawn_for_mm(&self, lower_stack: f64, offset: f64, front_radius_more: f64) -> Answer {
        self.check()?;
        number("the lower headset's height", lower_stack, " mm")?;
        number("the difference of the wheels' radii", front_radius_more, " mm")?;
        number("the fork's offset", offset, " mm")?;
        let (up, forward) = steerer(self.head_angle);
        let above_front_axle = self.head_bottom().y - (self.rear_axle.y + front_radius_more);
        let axle_to_crown = (above_front_axle + offset * forward.y) / up.y - lower_stack;
        ForkShape { axle_to_crown, offset }.check()?;
        Ok(axle_to_crown)
    }

    /// Refuses frames that cannot be.
    pub(super) fn check(&self) -> Answer<()> {
        within("the head angle", self.head_angle, ANGLES, "°")?;
        if let Some(seat_angle) = self.seat_angle {
            within("the seat angle", seat_angle, ANGLES, "°")?;
        }
        above_zero("the head tube's length", self.head_length, " mm")?;
        self.rear_axle.check("the rear axle's place")?;
        number("the reach", self.head_top.x, " mm")?;
        above_zero("the stack", self.head_top.y, " mm")?;
        if self.rear_axle.x < 0.0 { Ok(()) } else { refused("the rear axle is not behind the bottom bracket") }
    }
}

fn rear_axle(chainstay: f64, drop: f64) -> Answer<Point> {
    above_zero("the chainstay", chainstay, " mm")?;
    number("the bottom bracket's drop", drop, " mm")?;
    if chainstay > drop.abs() {
        return Ok(Point { x: -libm::sqrt(chainstay * chainstay - drop * drop), y: drop });
    }
    refused(format!(
        "the chainstay, {} mm, is not longer than the bottom bracket's drop, {} mm",
        shown(chainstay),
        shown(drop)
    ))
}
