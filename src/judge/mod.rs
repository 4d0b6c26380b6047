//! Rules to verdicts: every joint of every build judged, with the facts that each answer rests on.

mod bind;
mod cost;
mod eval;
mod fasten;
mod numbers;
mod plain;
mod show;
mod verdict;

pub use cost::{Cost, Price, Priced};
pub use fasten::{JudgedFastening, Printed, TorqueRange};
pub use plain::asked_torque;
pub use show::shown;
pub use verdict::{Finding, JudgedBuild, JudgedJoint, Use, UsedUp, Verdict};

use crate::model::{BuildId, Model};

/// Judges every build of the model, in the order of the text.
pub fn judge(model: &Model) -> Vec<JudgedBuild> {
    (0..model.builds.len()).map(|number| judge_one(model, BuildId(number))).collect()
}

/// Judges one build.
pub fn judge_one(model: &Model, build: BuildId) -> JudgedBuild {
    verdict::judge_build(model, build)
}
