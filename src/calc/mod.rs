//! The computations of the trade: pure functions on plain numbers.
//!
//! A length is in mm and an angle in degrees; a number in another unit has it in its name (`load_kg`, `speed_kmh`), and
//! so has every function that gives a number with a unit (`trail_mm`, `angle_deg`). A function that has no answer says
//! why ([`Refused`]) and never gives a number that is none. [`FUNCTIONS`] are those that rules of the library may call
//! by name.

pub mod braking;
pub mod chain;
pub mod chainline;
mod check;
pub mod climb;
pub mod fit;
mod functions;
pub mod gearing;
pub mod geometry;
pub mod indexing;
pub mod pressure;
mod ranges;
pub mod rings;
pub mod spokes;
pub mod tyre;

pub use functions::{FUNCTIONS, Function, Image, Parameter};

/// Why a computation has no answer, in words for a person: `a cog has no teeth`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused(pub String);

/// What a computation gives.
pub type Answer<T = f64> = Result<T, Refused>;

/// Standard gravity, in m/s².
pub const GRAVITY: f64 = 9.806_65;
/// An inch, in mm.
const INCH: f64 = 25.4;

/// Refuses with these words.
pub(crate) fn refused<T>(words: impl Into<String>) -> Answer<T> {
    Err(Refused(words.into()))
}
