//! What rules may ask of rings, chain and chainline.

use super::{ANGLE, Function, Image, LENGTH, NUMBER, numbers, one};
use crate::calc::{chain, chainline, rings};

pub const ROOT_DIAMETER: Function = Function {
    name: "root_diameter",
    doc: "diameter of the circle through the tooth roots of a ring with so many teeth",
    parameters: &[one("teeth", NUMBER)],
    result: LENGTH,
    source: "velo.outsideonline.com, Technical FAQ on chainring and cog compatibility: 36 teeth give 137 to 138 mm",
    compute: |given| {
        let [teeth] = numbers(given);
        rings::root_diameter_mm(teeth)
    },
    image: Image::Corners,
};

pub const CHAIN_PITCHES: Function = Function {
    name: "chain_pitches",
    doc: "exact length of a chain round ring and cog, in half-inch links, with the rear axle so far from the bottom bracket",
    parameters: &[one("chainstay", LENGTH), one("ring", NUMBER), one("cog", NUMBER)],
    result: NUMBER,
    source: "two arcs and two tangents: plane geometry",
    compute: |given| {
        let [chainstay, ring, cog] = numbers(given);
        chain::pitches_open(chainstay, ring, cog)
    },
    image: Image::Corners,
};

pub const CHAIN_LINKS: Function = Function {
    name: "chain_links",
    doc: "links of a chain for a derailleur: round biggest ring and biggest cog, rounded up to a pair, and a pair more",
    parameters: &[one("chainstay", LENGTH), one("ring", NUMBER), one("cog", NUMBER)],
    result: NUMBER,
    source: "askvity.info, bike chain; parkingday.org, chain sizing (biggest to biggest and two links)",
    compute: |given| {
        let [chainstay, ring, cog] = numbers(given);
        chain::derailleur_links(chainstay, ring, cog)
    },
    image: Image::Corners,
};

pub const CHAIN_ANGLE: Function = Function {
    name: "chain_angle",
    doc: "angle of a chain between a ring and a cog that stand so far out of line",
    parameters: &[one("across", LENGTH), one("chainstay", LENGTH)],
    result: ANGLE,
    source: "plane geometry",
    compute: |given| {
        let [across, chainstay] = numbers(given);
        chainline::angle_deg(across, 0.0, chainstay)
    },
    image: Image::Corners,
};
