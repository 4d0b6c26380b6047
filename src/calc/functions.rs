//! Computations that rules may call: one table, by name.

use super::geometry::{self, Change};
use super::spokes::{self, Lacing};
use super::{Answer, chain, chainline, indexing, pressure, ranges, refused, rings};
use crate::quantity::{Dimension, Interval};

/// A function as a rule may call it.
pub struct Function {
    /// Its name in rules.
    pub name: &'static str,
    /// What it computes.
    pub doc: &'static str,
    /// Its parameters.
    pub parameters: &'static [Parameter],
    /// Dimension of its result.
    pub result: Dimension,
    /// Where the formula is from.
    pub source: &'static str,
    /// The function on exact numbers: a parameter that is a list is a slice of any length, any other one of length one.
    pub compute: fn(&[&[f64]]) -> Answer,
    /// How it is carried to intervals.
    pub image: Image,
}

/// A parameter of a function.
pub struct Parameter {
    /// Its name.
    pub name: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// Whether it is a list.
    pub list: bool,
}

/// How a function is carried from numbers to intervals.
pub enum Image {
    /// It rises or falls in each parameter within physical bounds: its extremes lie at the corners.
    Corners,
    /// It has turning points: bounds that surely hold, worked out for this function.
    Own(fn(&[Vec<Interval>]) -> Interval),
}

/// More corners than this are not tried; the answer is then anything.
const MOST: usize = 1 << 12;

impl Function {
    /// The function on intervals: at least all that it gives over them. Anything, where it gives no number somewhere.
    pub fn on(&self, arguments: &[Vec<Interval>]) -> Interval {
        match self.image {
            Image::Corners => self.corners(arguments).unwrap_or(Interval::ALL),
            Image::Own(image) => image(arguments),
        }
    }

    fn corners(&self, arguments: &[Vec<Interval>]) -> Option<Interval> {
        let mut points: Vec<Vec<f64>> = vec![Vec::new()];
        for argument in arguments.iter().flatten() {
            let ends = if argument.is_exact() { vec![argument.low()] } else { vec![argument.low(), argument.high()] };
            if points.len() * ends.len() > MOST {
                return None;
            }
            points = points
                .iter()
                .flat_map(|point| ends.iter().map(move |end| point.iter().copied().chain([*end]).collect()))
                .collect();
        }
        let values: Option<Vec<f64>> = points.iter().map(|point| self.at(point, arguments)).collect();
        values.map(|values| Interval::around(&values))
    }

    /// The function at one point: as many numbers as there are in all arguments together.
    fn at(&self, point: &[f64], arguments: &[Vec<Interval>]) -> Option<f64> {
        let mut rest = point;
        let mut given: Vec<&[f64]> = Vec::with_capacity(arguments.len());
        for argument in arguments {
            let (own, later) = rest.split_at_checked(argument.len())?;
            given.push(own);
            rest = later;
        }
        (self.compute)(&given).ok().filter(|value| !value.is_nan())
    }
}

const fn one(name: &'static str, dimension: Dimension) -> Parameter {
    Parameter { name, dimension, list: false }
}

/// The only number of each parameter, in order; the caller's types were checked.
fn numbers<const N: usize>(arguments: &[&[f64]]) -> [f64; N] {
    std::array::from_fn(|at| arguments.get(at).and_then(|it| it.first()).copied().unwrap_or(f64::NAN))
}

const fn list(name: &'static str, dimension: Dimension) -> Parameter {
    Parameter { name, dimension, list: true }
}

const LENGTH: Dimension = Dimension::LENGTH;
const NUMBER: Dimension = Dimension::NONE;
const ANGLE: Dimension = Dimension::ANGLE;

/// Every function that rules may call.
pub const FUNCTIONS: &[Function] = &[
    Function {
        name: "root_diameter",
        doc: "diameter of the circle through the tooth roots of a ring with so many teeth",
        parameters: &[one("teeth", NUMBER)],
        result: LENGTH,
        source: "velo.outsideonline.com, Technical FAQ on chainring and cog compatibility: 36 teeth give 137 to 138 mm",
        compute: |given| {
            let [teeth] = numbers(given);
            rings::root_diameter(teeth)
        },
        image: Image::Corners,
    },
    Function {
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
    },
    Function {
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
    },
    Function {
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
    },
    Function {
        name: "index_worst",
        doc: "how far a derailleur stands off a cog at the worst, with its cable set at its best; a list of one holds for every click or gap",
        parameters: &[list("pulls", LENGTH), one("ratio", NUMBER), list("gaps", LENGTH), one("cogs", NUMBER)],
        result: LENGTH,
        source: "cable pull x ratio = cog pitch: Wikibooks, Gear-changing Dimensions; what is off adds up",
        compute: |given| {
            indexed(given).and_then(|it| indexing::indexing(&it.pulls, it.ratio, &it.gaps, 1.0)).map(|it| it.worst)
        },
        image: Image::Own(ranges::index_worst),
    },
    Function {
        name: "index_reach",
        doc: "how many neighbouring cogs a derailleur reaches within what is allowed, with its cable set for them; a list of one holds for every click or gap",
        parameters: &[
            list("pulls", LENGTH),
            one("ratio", NUMBER),
            list("gaps", LENGTH),
            one("cogs", NUMBER),
            one("allowed", LENGTH),
        ],
        result: NUMBER,
        source: "cable pull x ratio = cog pitch: Wikibooks, Gear-changing Dimensions; what is off adds up",
        compute: |given| {
            let allowed = given.get(4).and_then(|it| it.first()).copied().unwrap_or(f64::NAN);
            let it = indexed(given)?;
            #[allow(clippy::cast_precision_loss)]
            indexing::indexing(&it.pulls, it.ratio, &it.gaps, allowed).map(|it| it.reached as f64)
        },
        image: Image::Own(ranges::index_reach),
    },
    Function {
        name: "spoke_length",
        doc: "length of a spoke, from the elbow's seat to the nipple's",
        parameters: &[
            one("erd", LENGTH),
            one("circle", LENGTH),
            one("offset", LENGTH),
            one("holes", NUMBER),
            one("crossings", NUMBER),
            one("hole", LENGTH),
        ],
        result: LENGTH,
        source: "tristable.net/bike/spoke_length.txt",
        compute: |given| spokes::length_mm(&lacing(given)),
        image: Image::Own(ranges::spoke_length),
    },
    Function {
        name: "spoke_exit",
        doc: "angle between a spoke and the radius of its hole in the flange, seen along the axle: above 90 deg it leaves past the tangent",
        parameters: &[
            one("erd", LENGTH),
            one("circle", LENGTH),
            one("offset", LENGTH),
            one("holes", NUMBER),
            one("crossings", NUMBER),
            one("hole", LENGTH),
        ],
        result: ANGLE,
        source: "plane geometry",
        compute: |given| spokes::exit_angle_deg(&lacing(given)),
        image: Image::Corners,
    },
    Function {
        name: "trail",
        doc: "how far the front wheel touches the ground behind the line of the steering",
        parameters: &[one("head_angle", ANGLE), one("offset", LENGTH), one("radius", LENGTH)],
        result: LENGTH,
        source: "trail = (radius x cos(head angle) - offset) / sin(head angle): roadbikereview.com, fork rake, 1563",
        compute: |given| {
            let [head_angle, offset, radius] = numbers(given);
            geometry::trail_mm(head_angle, offset, radius)
        },
        image: Image::Corners,
    },
    Function {
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
            let [head_angle, wheelbase, chainstay, drop, fork, offset, front, rear] = numbers(given);
            geometry::tilted_head_angle(&Change {
                head_angle,
                wheelbase,
                chainstay,
                drop,
                fork_change: fork,
                offset_change: offset,
                front_radius_change: front,
                rear_radius_change: rear,
            })
        },
        image: Image::Corners,
    },
    Function {
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
    },
];

/// Clicks, ratio and gaps, a click and a gap for each step between cogs.
struct Indexed {
    pulls: Vec<f64>,
    ratio: f64,
    gaps: Vec<f64>,
}

fn indexed(given: &[&[f64]]) -> Answer<Indexed> {
    let at = |place: usize| given.get(place).copied().unwrap_or_default();
    let first = |place: usize| at(place).first().copied().unwrap_or(f64::NAN);
    let cogs = first(3);
    if !(2.0..=50.0).contains(&cogs) {
        return refused("there are not several cogs to step between");
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let steps = cogs as usize - 1;
    let each = |all: &[f64]| match all {
        [only] => vec![*only; steps],
        all => all.iter().copied().take(steps).collect(),
    };
    Ok(Indexed { pulls: each(at(0)), ratio: first(1), gaps: each(at(2)) })
}

fn lacing(given: &[&[f64]]) -> Lacing {
    let [erd, circle, offset, holes, crossings, hole] = numbers(given);
    Lacing { erd, circle, offset, holes, crossings, hole, rim_offset: 0.0 }
}
