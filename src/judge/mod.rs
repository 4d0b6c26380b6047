//! Rules to verdicts: every joint of every build judged, with the facts that each answer rests on.

mod bind;
mod call;
mod cautions;
mod conversion;
mod cost;
mod eval;
mod fasten;
mod memo;
mod mend;
mod numbers;
mod plain;
mod rests;
mod sequence;
mod show;
mod solve;
mod told;
mod verdict;
mod work;

pub use call::call;
pub use cautions::whole_cautions;
pub use conversion::{After, Apart, Before, Conversion, Fate, Made};
pub use cost::{Cost, Over, Priced};
pub use fasten::{JudgedFastening, Printed, TorqueRange};
pub use mend::{Change, DEEP, Mender, Remedy, WhatIf, what_if};
pub use plain::asked_torque;
pub use rests::rests_on;
pub use sequence::{Arranged, Sequence, arranged};
pub use show::shown;
pub use solve::{Values, WouldFit, asked_of, would_clash, would_fit, would_fit_first};
pub use told::{so_far, unit_of};
pub use verdict::{Finding, JudgedBuild, JudgedJoint, Making, Use, UsedUp, Verdict, making};
pub use work::{Handwork, Todo, handwork, whole_handwork};

use crate::model::{BuildId, Model};
use crate::share;

/// Judges every build of the model, in the order of the text.
pub fn judge(model: &Model) -> Vec<JudgedBuild> {
    let builds: Vec<BuildId> = (0..model.builds.len()).map(BuildId).collect();
    // Builds do not know of each other.
    share::among_workers(&builds, 1, || (), |(), build| judge_one(model, *build))
}

/// Judges one build.
pub fn judge_one(model: &Model, build: BuildId) -> JudgedBuild {
    verdict::judge_build(model, build)
}
