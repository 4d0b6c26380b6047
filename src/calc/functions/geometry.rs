//! What rules may ask of how a bike stands and steers.

use super::{ANGLE, Function, Image, LENGTH, numbers, one};
use crate::calc::geometry::{Change, tilted_head_angle_deg, trail_mm};
use crate::calc::ranges;

pub const TRAIL: Function = Function {
    name: "trail",
    doc: "how far the front wheel touches the ground behind the line of the steering",
    parameters: &[one("head_angle", ANGLE), one("offset", LENGTH), one("radius", LENGTH)],
    result: LENGTH,
    source: "trail = (radius x cos(head angle) - offset) / sin(head angle): roadbikereview.com, fork rake, 1563",
    compute: |given| {
        let [head_angle, offset, radius] = numbers(given);
        trail_mm(head_angle, offset, radius)
    },
    image: Image::Own(ranges::trail),
};

pub const TILTED_HEAD_ANGLE: Function = Function {
    name: "tilted_head_angle",
    doc: "head angle after fork and wheels are changed: the whole bike tilts until both wheels stand on the ground",
    parameters: &[
        one("head_angle", ANGLE),
        one("wheelbase", LENGTH),
        one("chainstay", LENGTH),
        one("drop", LENGTH),
        one("fork_change", LENGTH),
        one("offset_change", LENGTH),
        one("front_radius_change", LENGTH),
        one("rear_radius_change", LENGTH),
    ],
    result: ANGLE,
    source: "a rigid turn about the rear axle: plane geometry",
    compute: |given| {
        let [
            head_angle,
            wheelbase,
            chainstay,
            drop,
            fork_change,
            offset_change,
            front_radius_change,
            rear_radius_change,
        ] = numbers(given);
        tilted_head_angle_deg(&Change {
            head_angle,
            wheelbase,
            chainstay,
            drop,
            fork_change,
            offset_change,
            front_radius_change,
            rear_radius_change,
        })
    },
    image: Image::Corners,
};
