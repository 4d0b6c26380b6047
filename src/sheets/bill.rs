//! Bill of materials.

use super::Format;
use crate::judge::JudgedBuild;
use crate::model::Model;

/// The bill of one build.
#[derive(Clone, Debug)]
pub struct Bill;

impl Bill {
    /// Makes the bill of a judged build.
    pub fn of(_model: &Model, _build: &JudgedBuild) -> Bill {
        Bill
    }
}

/// Bills of several builds in one format.
pub fn render(_bills: &[Bill], _format: Format) -> String {
    String::new()
}
