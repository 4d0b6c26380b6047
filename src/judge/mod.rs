//! Rules to verdicts: every joint of every build judged, with the facts that each answer rests on.

mod bind;
mod cost;
mod eval;
mod fasten;
mod numbers;
mod show;
mod verdict;

pub use cost::{Cost, Price, Priced};
pub use fasten::{JudgedFastening, Printed, TorqueRange};
pub use show::shown;
pub use verdict::{Finding, JudgedBuild, JudgedJoint, Use, UsedUp, Verdict};

use crate::model::Model;

/// Judges every build of the model, in the order of the text.
pub fn judge(model: &Model) -> Vec<JudgedBuild> {
    model
        .builds
        .iter()
        .enumerate()
        .map(|(number, _)| verdict::judge_build(model, crate::model::BuildId(number)))
        .collect()
}
