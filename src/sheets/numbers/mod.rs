//! Sheets of the trade's own numbers, from `calc`: the one folder of sheets that knows what it shows.
//!
//! Each sheet reads facts by their path, computes, and fills a [`Page`]; how that is written is the same for all.

mod air;
pub mod braking;
pub mod chain;
mod chart;
pub(crate) mod drawing;
mod drive;
mod figure;
pub mod gears;
pub mod geometry;
mod given;
mod hands;
mod headline;
pub mod indexing;
mod lacks;
mod load;
mod page;
mod read;
mod stance;
pub mod wheels;
mod write;

pub use figure::{Figure, Standing};
pub use headline::{Headline, headlines};
pub use lacks::{Assumed, Lacks, Missing};
pub use page::{Cell, Column, Page, Section};
