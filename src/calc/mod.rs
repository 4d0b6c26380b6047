//! The computations of the trade: pure functions on plain numbers.
//!
//! Lengths are in mm, angles in degrees, masses in g, forces in N, times in s, unless a name says otherwise. A function
//! that has no answer says why ([`Refused`]) and never gives a number that is none. [`FUNCTIONS`] are those that rules
//! of the library may call by name.

mod asked;
pub mod braking;
pub mod chain;
pub mod chainline;
pub mod climb;
pub mod fit;
mod functions;
pub mod gearing;
pub mod geometry;
mod given;
pub mod indexing;
pub mod pressure;
mod ranges;
pub mod rings;
pub mod spokes;
pub mod tyre;

pub use functions::{FUNCTIONS, Function, Parameter};

/// Why a computation has no answer, in words for a person: `a cog has no teeth`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused(pub String);

/// What a computation gives.
pub type Answer<T = f64> = Result<T, Refused>;

/// Refuses with these words.
pub(crate) fn refused<T>(words: impl Into<String>) -> Answer<T> {
    Err(Refused(words.into()))
}
