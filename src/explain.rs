//! What a name means: codes, standards, kinds, joints and the rest of the library, as pages.

use crate::model::Model;
use crate::source::Files;

/// The page of `name`, or, when nothing is called that, the nearest known names.
pub fn page(_files: &Files, _model: &Model, _name: &str) -> Result<String, Vec<String>> {
    Err(Vec::new())
}

/// The list of everything that has a page.
pub fn list(_model: &Model) -> String {
    String::new()
}
