//! Sheets of the trade's own numbers, from `calc`: the one folder of sheets that knows what it shows.
//!
//! Each sheet reads facts by their path, computes, and fills a [`page::Page`]; how that is written is the same for all.

mod figure;
mod page;
mod read;
mod write;

pub use figure::{Figure, Standing};
