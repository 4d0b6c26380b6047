//! The one test binary: each module tests the whole compiler from one side.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, clippy::print_stdout)]

mod calc;
mod command;
mod compare;
mod editor;
mod explain;
mod fixtures;
mod format;
mod git;
mod grammar;
mod house;
mod knowledge;
mod measure;
mod mistakes;
mod numbers;
mod orders;
mod readme;
mod remedies;
mod report;
mod robust;
mod sarif;
mod screen;
mod sheets;
mod spreadsheet;
mod steps;
mod stock;
#[cfg(unix)]
mod watch;
mod wire;
