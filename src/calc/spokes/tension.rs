//! How hard the two sides of a wheel pull, and what a pull does to a spoke.

use super::{Lacing, Place, spokes_of_a_wheel};
use crate::calc::check::{above_zero, shown, sound};
use crate::calc::{Answer, refused};
use std::f64::consts::PI;

/// Stiffness (Young's modulus) of spoke steel, in GPa: stainless, from memory. Worked examples seen take 210 for plain
/// steel, which makes a spoke stretch a twentieth less.
pub const STEEL_GPA: f64 = 200.0;

/// Tension of a left spoke over that of a right one, in a wheel whose rim stands in the middle.
///
/// Sideways the two sides hold each other: `n T w / l` is the same on both, with `n` spokes on the side and `w / l` the
/// sideways part of a spoke's direction, rim offset included. Statics, as worked in a post at
/// weightweenies.starbike.com (p=938427) for equal numbers. All spokes of a side are taken as equally tight and the rim
/// as stiff; thickness of the spokes plays no part.
///
/// # Errors
/// As [`super::length_mm`]; a side whose spokes do not pull outwards, so that nothing holds the other one.
pub fn tension_ratio(left: &Lacing, right: &Lacing) -> Answer {
    let pull_of = |side: &str, lacing: &Lacing| -> Answer {
        let place = Place::of(lacing)?;
        if place.aside <= 0.0 {
            let aside = shown(-place.aside);
            return refused(format!(
                "the {side} flange lies {aside} mm inside of the rim's holes, and its spokes hold nothing"
            ));
        }
        let number = spokes_of_a_wheel(lacing.holes)? / 2.0;
        Ok(number * place.aside / place.span())
    };
    sound(pull_of("right", right)? / pull_of("left", left)?)
}

/// The same from a built wheel with equal numbers of spokes on both sides, measured: `(l/w)` left over `(l/w)` right.
///
/// Lengths and distances from flange to middle in mm, the rim's offset taken off. Source: as [`tension_ratio`].
///
/// # Errors
/// Measures that are not above zero.
pub fn tension_ratio_measured(left_offset: f64, left_length: f64, right_offset: f64, right_length: f64) -> Answer {
    let left = above_zero("the left spoke's length", left_length, " mm")?
        / above_zero("the left flange's distance from the middle", left_offset, " mm")?;
    let right = above_zero("the right spoke's length", right_length, " mm")?
        / above_zero("the right flange's distance from the middle", right_offset, " mm")?;
    sound(left / right)
}

/// How much a spoke of one thickness stretches under a force, in mm: `F l / (A E)`, with [`STEEL_GPA`] for its
/// stiffness.
///
/// Source: princeton.edu/~humcomp/bikes, "design 70", after McMahon and Graham (1992). Elastic only, with no part of
/// the rim's giving way or the elbow's bedding in; "as much as 1.5 mm", as one magazine has it, is more than twice
/// this. For a butted spoke add up its parts.
///
/// # Errors
/// Measures that are not above zero.
pub fn stretch_mm(length: f64, diameter: f64, force_n: f64, stiffness_gpa: f64) -> Answer {
    let length = above_zero("the spoke's length", length, " mm")?;
    let diameter = above_zero("the spoke's thickness", diameter, " mm")?;
    let force = above_zero("the force on the spoke", force_n, " N")?;
    let stiffness = above_zero("the steel's stiffness", stiffness_gpa, " GPa")? * 1000.0;
    let area = PI * diameter * diameter / 4.0;
    sound(force * length / (area * stiffness))
}
