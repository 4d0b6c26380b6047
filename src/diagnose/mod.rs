//! Mistakes and verdicts to diagnostics: one value, which screen, JSON and editor only translate.

mod clean;
mod diagnostic;
mod found;
mod from_mistake;
mod from_verdict;
pub mod screen;
pub mod wire;

pub use diagnostic::{Diagnostic, Label, Severity};

use crate::judge::JudgedBuild;
use crate::mistake::Mistake;
use crate::model::Model;

/// Every diagnostic of a compile: mistakes by place, then findings by build and joint.
pub fn all(model: &Model, mistakes: &[Mistake], builds: &[JudgedBuild]) -> Vec<Diagnostic> {
    let mut diagnostics: Vec<Diagnostic> = mistakes.iter().map(from_mistake::diagnostic).collect();
    diagnostics.sort_by_key(|it| it.labels.first().map(|label| (label.span.file, label.span.start)));
    for build in builds {
        diagnostics.extend(from_verdict::diagnostics(model, build));
    }
    diagnostics
}
