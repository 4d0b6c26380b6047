//! Computations that rules may call: one table, by name.

use super::{Answer, rings};
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
    /// It has a turning point in some parameter: it is looked at in so many steps between the ends, corners included.
    Steps(u32),
}

/// More combinations than this are not tried; the answer is then anything.
const MOST: usize = 1 << 14;

impl Function {
    /// The function on intervals: the hull of what it gives over them. Anything, where it gives no number somewhere.
    pub fn on(&self, arguments: &[Vec<Interval>]) -> Interval {
        let between = match self.image {
            Image::Corners => 1,
            Image::Steps(steps) => steps.max(1),
        };
        let shape: Vec<usize> = arguments.iter().map(Vec::len).collect();
        let mut points: Vec<Vec<f64>> = vec![Vec::new()];
        for argument in arguments.iter().flatten() {
            let values = along(*argument, between);
            let Some(values) = values.filter(|values| values.len() * points.len() <= MOST) else {
                return Interval::ALL;
            };
            points = points
                .iter()
                .flat_map(|point| values.iter().map(move |end| point.iter().copied().chain([*end]).collect()))
                .collect();
        }
        let mut values = Vec::with_capacity(points.len());
        for point in &points {
            let mut rest = point.as_slice();
            let mut given: Vec<&[f64]> = Vec::with_capacity(shape.len());
            for count in &shape {
                let (own, later) = rest.split_at(*count);
                given.push(own);
                rest = later;
            }
            match (self.compute)(&given) {
                Ok(value) if !value.is_nan() => values.push(value),
                _ => return Interval::ALL,
            }
        }
        Interval::around(&values)
    }
}

fn along(argument: Interval, steps: u32) -> Option<Vec<f64>> {
    if argument.is_exact() {
        return Some(vec![argument.low()]);
    }
    argument.is_bounded().then(|| {
        let way = (argument.high() - argument.low()) / f64::from(steps);
        let inside = (1..steps).map(|step| argument.low() + way * f64::from(step));
        std::iter::once(argument.low()).chain(inside).chain([argument.high()]).collect()
    })
}

const fn one(name: &'static str, dimension: Dimension) -> Parameter {
    Parameter { name, dimension, list: false }
}

/// The only number of each parameter, in order; the caller's types were checked.
fn numbers<const N: usize>(arguments: &[&[f64]]) -> [f64; N] {
    std::array::from_fn(|at| arguments.get(at).and_then(|it| it.first()).copied().unwrap_or(f64::NAN))
}

/// Every function that rules may call.
pub const FUNCTIONS: &[Function] = &[Function {
    name: "root_diameter",
    doc: "diameter of the circle through the tooth roots of a ring with so many teeth",
    parameters: &[one("teeth", Dimension::NONE)],
    result: Dimension::LENGTH,
    source: "velo.outsideonline.com, Technical FAQ on chainring and cog compatibility: 36 teeth give 137 to 138 mm",
    compute: |given| {
        let [teeth] = numbers(given);
        rings::root_diameter(teeth)
    },
    image: Image::Corners,
}];
