//! The ways out of every joint that does not fit: values that would make it fit, and remedies.

use super::{FitsIf, Mend, fit, mend};
use crate::judge::{JudgedBuild, JudgedJoint, Mender, Verdict};
use crate::model::Model;
use crate::share;
use std::collections::BTreeMap;

/// Ways out of one joint.
#[derive(Clone, Debug, Default)]
pub(super) struct WaysOut {
    /// Values of its facts.
    pub fits_if: Vec<FitsIf>,
    /// Other parts.
    pub mends: Vec<Mend>,
}

/// Joints from which on it pays to start another worker: that costs as much as one or two of them.
const WORTH_SHARING: usize = 4;

/// Of each build, the ways out of each of its joints that does not fit, in order.
pub(super) fn all(model: &Model, builds: &[JudgedBuild]) -> Vec<Vec<WaysOut>> {
    let unsettled: Vec<(usize, &JudgedBuild, &JudgedJoint)> = builds
        .iter()
        .enumerate()
        .flat_map(|(number, build)| build.joints.iter().map(move |joint| (number, build, joint)))
        .filter(|(_, _, joint)| joint.verdict != Verdict::Fits)
        .collect();
    // What a worker learns of one joint of a build it remembers for the next.
    let found = share::among_workers(&unsettled, WORTH_SHARING, BTreeMap::new, |menders, (number, build, joint)| {
        let mender = menders.entry(*number).or_insert_with(|| Mender::of(model, build));
        WaysOut { fits_if: fit::of(model, build.build, joint), mends: mend::of(model, mender, build, joint) }
    });
    let mut all = vec![Vec::new(); builds.len()];
    for ((number, ..), it) in unsettled.iter().zip(found) {
        if let Some(of_build) = all.get_mut(*number) {
            of_build.push(it);
        }
    }
    all
}
