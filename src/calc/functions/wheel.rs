//! What rules may ask of spokes and tyres.

use super::{ANGLE, Function, Image, LENGTH, NUMBER, Parameter, numbers, one};
use crate::calc::spokes::{self, Lacing};
use crate::calc::{pressure, ranges, tyre};
use crate::quantity::Dimension;

/// A [`Lacing`] in a rim whose holes stand in its middle.
const LACING: &[Parameter] = &[
    one("erd", LENGTH),
    one("circle", LENGTH),
    one("offset", LENGTH),
    one("holes", NUMBER),
    one("crossings", NUMBER),
    one("hole", LENGTH),
];

fn lacing(given: &[&[f64]]) -> Lacing {
    let [erd, circle, offset, holes, crossings, hole] = numbers(given);
    Lacing { erd, circle, offset, holes, crossings, hole, rim_offset: 0.0 }
}

pub const SPOKE_LENGTH: Function = Function {
    name: "spoke_length",
    doc: "length of a spoke, from the elbow's seat to the nipple's",
    parameters: LACING,
    result: LENGTH,
    source: "tristable.net/bike/spoke_length.txt",
    compute: |given| spokes::length_mm(&lacing(given)),
    image: Image::Own(ranges::spoke_length),
};

pub const SPOKE_EXIT: Function = Function {
    name: "spoke_exit",
    doc: "angle between a spoke and the radius of its hole in the flange, seen along the axle: above 90 deg it leaves past the tangent",
    parameters: LACING,
    result: ANGLE,
    source: "plane geometry",
    compute: |given| spokes::exit_angle_deg(&lacing(given)),
    image: Image::Corners,
};

pub const TYRE_ON_RIM: Function = Function {
    name: "tyre_on_rim",
    doc: "width of a tyre on another rim than the one that it is measured on: 0.4 mm more for each mm that the rim is wider inside",
    parameters: &[one("width", LENGTH), one("measuring_rim", LENGTH), one("inner", LENGTH)],
    result: LENGTH,
    source: "from memory: 0.35 to 0.5 are told",
    compute: |given| {
        let [width, measuring, inner] = numbers(given);
        tyre::width_on_rim_mm(width, measuring, inner)
    },
    image: Image::Corners,
};

pub const START_PRESSURE: Function = Function {
    name: "start_pressure",
    doc: "pressure at which a tyre of this width is pressed in by 15 % of its height, by the mass on its wheel",
    parameters: &[one("mass", Dimension::MASS), one("width", LENGTH)],
    result: Dimension::PRESSURE,
    source: "a curve through F. Berto's chart (All about tire inflation), its numbers from memory",
    compute: |given| {
        let [grams, width] = numbers(given);
        pressure::start_bar(grams / 1000.0, width).map(|bar| bar * 0.1)
    },
    image: Image::Corners,
};
