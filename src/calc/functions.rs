//! Computations that rules may call: one table, by name.

mod chain;
mod geometry;
mod indexing;
mod wheel;

use super::Answer;
use crate::quantity::{Dimension, Interval};

/// Every function that rules may call.
pub const FUNCTIONS: &[Function] = &[
    chain::ROOT_DIAMETER,
    chain::CHAIN_PITCHES,
    chain::CHAIN_LINKS,
    chain::CHAIN_ANGLE,
    indexing::INDEX_WORST,
    indexing::INDEX_REACH,
    wheel::SPOKE_LENGTH,
    wheel::SPOKE_EXIT,
    geometry::TRAIL,
    geometry::TILTED_HEAD_ANGLE,
    wheel::TYRE_ON_RIM,
    wheel::START_PRESSURE,
];

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
    /// It has turning points, or would have too many corners: bounds that surely hold, worked out for this function.
    Own(fn(&[Vec<Interval>]) -> Interval),
}

/// More corners than this are not tried; the answer is then anything.
const MOST: usize = 1 << 12;

impl Function {
    /// The function on intervals: at least all that it gives over them. Anything, where it gives no number somewhere.
    pub fn on(&self, arguments: &[Vec<Interval>]) -> Interval {
        let image = match self.image {
            Image::Corners => self.corners(arguments),
            Image::Own(image) => self.ends(arguments).then(|| image(arguments)),
        };
        image.unwrap_or(Interval::ALL)
    }

    /// Whether it gives a number where all arguments are least, and where all are greatest: what it takes then holds
    /// for each of them.
    fn ends(&self, arguments: &[Vec<Interval>]) -> bool {
        let all = || arguments.iter().flatten();
        let ends: [Vec<f64>; 2] = [all().map(|it| it.low()).collect(), all().map(|it| it.high()).collect()];
        ends.iter().all(|end| self.at(end, arguments).is_some())
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

const LENGTH: Dimension = Dimension::LENGTH;
const NUMBER: Dimension = Dimension::NONE;
const ANGLE: Dimension = Dimension::ANGLE;

const fn one(name: &'static str, dimension: Dimension) -> Parameter {
    Parameter { name, dimension, list: false }
}

const fn list(name: &'static str, dimension: Dimension) -> Parameter {
    Parameter { name, dimension, list: true }
}

/// The only number of the parameter in this place; the caller's types were checked.
fn first(given: &[&[f64]], place: usize) -> f64 {
    given.get(place).and_then(|it| it.first()).copied().unwrap_or(f64::NAN)
}

/// The only number of each parameter, in order.
fn numbers<const N: usize>(given: &[&[f64]]) -> [f64; N] {
    std::array::from_fn(|place| first(given, place))
}
