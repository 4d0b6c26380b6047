//! Sheets made from a judged build: plain data first, then text, Markdown, CSV or JSON.

pub mod bill;
mod bill_data;
mod bill_page;
mod cautions;
pub mod diff;
mod diff_page;
pub mod measure;
mod measure_data;
mod measure_page;
pub mod mend;
pub mod numbers;
pub mod orders;
pub(crate) mod pages;
mod price_data;
pub(crate) mod render;
pub mod steps;
pub mod torque;
mod torque_data;
mod torque_page;
pub mod why;
mod words;

/// How a sheet is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// A table for a terminal.
    Text,
    /// A table for a forge or a printer.
    Markdown,
    /// Rows for a spreadsheet.
    Csv,
    /// Data with units in the names of its keys.
    Json,
}
