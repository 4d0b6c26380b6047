//! Quantities: dimensions, units, intervals, money, and the notations the trade reads aloud.

mod dimension;
mod figure;
mod interval;
mod money;
mod price;
mod truth;
mod unit;

pub use dimension::Dimension;
pub use figure::{FigureError, figure, show};
pub use interval::Interval;
pub use money::Money;
pub use price::Price;
pub use truth::Truth;
pub use unit::{UNITS, Unit, shown_in, unit};
