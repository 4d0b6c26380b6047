//! The computations of the trade: pure functions on plain numbers, called by name from rules of the library.
//!
//! [`FUNCTIONS`] is the one table; a rule knows a function only by its name there.

mod rings;

use crate::quantity::{Dimension, Interval};

/// A function as a rule may call it. Lengths are in mm, angles in degrees.
pub struct Function {
    /// Its name in rules.
    pub name: &'static str,
    /// What it computes.
    pub doc: &'static str,
    /// Names and dimensions of its parameters.
    pub parameters: &'static [(&'static str, Dimension)],
    /// Dimension of its result.
    pub result: Dimension,
    /// Where the formula is from.
    pub source: &'static str,
    /// The function on exact numbers. It must be monotone in each parameter within physical bounds, so that an
    /// interval's image is found at its corners.
    pub compute: fn(&[f64]) -> f64,
}

impl Function {
    /// The function on intervals: the hull of its values at every corner.
    pub fn on(&self, arguments: &[Interval]) -> Interval {
        let mut corners: Vec<Vec<f64>> = vec![Vec::new()];
        for argument in arguments {
            let ends = if argument.is_exact() { vec![argument.low()] } else { vec![argument.low(), argument.high()] };
            corners = corners
                .iter()
                .flat_map(|corner| ends.iter().map(move |end| corner.iter().copied().chain([*end]).collect()))
                .collect();
        }
        let values: Vec<f64> = corners.iter().map(|corner| (self.compute)(corner)).collect();
        if values.iter().any(|value| value.is_nan()) { Interval::ALL } else { Interval::around(&values) }
    }
}

/// Every function that rules may call.
pub const FUNCTIONS: &[Function] = &[rings::ROOT_CIRCLE];
