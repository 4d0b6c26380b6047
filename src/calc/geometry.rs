//! The bike as a plane linkage: a rigid frame, a fork that turns about the head axis, two wheels on level ground.
//!
//! Another fork, another headset or another wheel tilts the whole bike. [`stand`] finds that tilt exactly, in closed
//! form, and gives every measure of the bike as it then stands. The plane is that of the wheels, straight ahead.

mod frame;
mod stand;
mod steer;

pub use frame::{ForkShape, FrameShape, Wheelbase};
pub use stand::{Built, Stance, stand};
pub use steer::{
    Change, Changed, change, effective_top_tube_mm, flop_mm, normal_trail_mm, tilted_head_angle_deg, trail_mm,
};

use super::Answer;
use super::check::number;
use std::ops::RangeInclusive;

/// Head and seat angles of bikes that stand on two wheels in line.
pub(in crate::calc) const ANGLES: RangeInclusive<f64> = 45.0..=90.0;

/// A point in the plane of the wheels, in mm: `x` forward of the bottom bracket's axis, `y` above it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Forward of the bottom bracket.
    pub x: f64,
    /// Above the bottom bracket.
    pub y: f64,
}

impl Point {
    /// The point so far from this one along a direction of length one.
    pub(in crate::calc) fn along(self, direction: Point, far: f64) -> Point {
        Point { x: self.x + direction.x * far, y: self.y + direction.y * far }
    }

    /// The way from another point to this one.
    pub(in crate::calc) fn minus(self, other: Point) -> Point {
        Point { x: self.x - other.x, y: self.y - other.y }
    }

    /// Turned about the bottom bracket by an angle in radians; + lifts what is in front.
    pub(in crate::calc) fn turned(self, by: f64) -> Point {
        let (sin, cos) = (libm::sin(by), libm::cos(by));
        Point { x: self.x * cos - self.y * sin, y: self.x * sin + self.y * cos }
    }

    /// Refuses a point that none can be.
    pub(in crate::calc) fn check(self, what: &str) -> Answer<()> {
        number(what, self.x, " mm")?;
        number(what, self.y, " mm")?;
        Ok(())
    }

    /// Its distance from the bottom bracket, in mm.
    pub(in crate::calc) fn far(self) -> f64 {
        libm::hypot(self.x, self.y)
    }
}

/// Directions of length one of a steerer at this head angle: up along it, and square to it forward.
pub(in crate::calc) fn steerer(head_angle: f64) -> (Point, Point) {
    let (sin, cos) = (libm::sin(head_angle.to_radians()), libm::cos(head_angle.to_radians()));
    (Point { x: -cos, y: sin }, Point { x: sin, y: cos })
}
