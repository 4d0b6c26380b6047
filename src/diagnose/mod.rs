//! Mistakes and verdicts to diagnostics: one value, which screen, JSON and editor only translate.

mod diagnostic;
mod fit;
mod found;
mod from_cost;
mod from_mistake;
mod from_parts;
mod from_verdict;
mod mend;
pub mod sarif;
pub mod screen;
mod ways_out;
pub mod wire;

pub(crate) use mend::line as remedy_line;

pub use diagnostic::{Diagnostic, FitsIf, Label, Mend, Severity, put};

use crate::judge::JudgedBuild;
use crate::mistake::Mistake;
use crate::model::Model;

/// Every diagnostic of a compile: mistakes by place, then what is found of each build.
pub fn all(model: &Model, mistakes: &[Mistake], builds: &[JudgedBuild]) -> Vec<Diagnostic> {
    let mut diagnostics: Vec<Diagnostic> = mistakes.iter().map(from_mistake::diagnostic).collect();
    diagnostics.sort_by_key(|it| it.labels.first().map(|label| (label.span.file, label.span.start)));
    for (build, ways_out) in builds.iter().zip(ways_out::all(model, builds)) {
        let mut of_build = from_cost::diagnostics(model, build.build);
        of_build.extend(from_parts::diagnostics(model, build.build));
        of_build.extend(from_verdict::diagnostics(model, build, ways_out));
        // Errors first, then what is open, then advice; in each the order in which they were found.
        of_build.sort_by_key(|it| it.severity);
        diagnostics.append(&mut of_build);
    }
    diagnostics
}
