//! Rules to verdicts: every joint of every build judged, with the facts that each answer rests on.

mod bind;
mod call;
mod cost;
mod eval;
mod fasten;
mod memo;
mod mend;
mod numbers;
mod plain;
mod show;
mod solve;
mod told;
mod verdict;

pub use call::call;
pub use cost::{Cost, Price, Priced};
pub use fasten::{JudgedFastening, Printed, TorqueRange};
pub use mend::{Change, DEEP, Mender, Remedy, Shelf, WhatIf, what_if};
pub use plain::asked_torque;
pub use show::shown;
pub use solve::{Values, WouldFit, asked_of, would_clash, would_fit, would_fit_first};
pub use told::{so_far, unit_of};
pub use verdict::{Finding, JudgedBuild, JudgedJoint, Use, UsedUp, Verdict};

use crate::model::{BuildId, Model};

/// Judges every build of the model, in the order of the text.
pub fn judge(model: &Model) -> Vec<JudgedBuild> {
    let joints: usize = model.builds.iter().map(|build| model[build.assembly].joins.len()).sum();
    let workers = std::thread::available_parallelism().map_or(1, usize::from).min(model.builds.len());
    if joints < WORTH_SHARING || workers < 2 {
        return (0..model.builds.len()).map(|number| judge_one(model, BuildId(number))).collect();
    }
    // Builds do not know of each other: every worker judges each so many-th of them.
    let mut judged: Vec<JudgedBuild> = std::thread::scope(|scope| {
        let work = |first: usize| (first..model.builds.len()).step_by(workers).map(|it| judge_one(model, BuildId(it)));
        let others: Vec<_> = (1..workers).map(|first| scope.spawn(move || work(first).collect::<Vec<_>>())).collect();
        let mut all: Vec<JudgedBuild> = work(0).collect();
        for (first, other) in (1..workers).zip(others) {
            // A worker that failed leaves its builds to this one, where the failure is seen.
            all.extend(other.join().unwrap_or_else(|_| work(first).collect()));
        }
        all
    });
    judged.sort_by_key(|it| it.build);
    judged
}

/// Joints from which on it pays to share the work: starting a thread costs as much as judging a dozen.
const WORTH_SHARING: usize = 100;

/// Judges one build.
pub fn judge_one(model: &Model, build: BuildId) -> JudgedBuild {
    verdict::judge_build(model, build)
}
