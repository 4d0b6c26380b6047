//! Torque sheet.

use super::Format;
use crate::judge::JudgedBuild;
use crate::model::Model;

/// The torque sheet of one build.
#[derive(Clone, Debug)]
pub struct TorqueSheet;

impl TorqueSheet {
    /// Makes the sheet of a judged build.
    pub fn of(_model: &Model, _build: &JudgedBuild) -> TorqueSheet {
        TorqueSheet
    }
}

/// Sheets of several builds in one format.
pub fn render(_sheets: &[TorqueSheet], _format: Format) -> String {
    String::new()
}
