//! What would make a joint fit, for a person to read.

use super::FitsIf;
use crate::judge::{self, JudgedJoint, WouldFit};
use crate::model::{BuildId, Model};

/// Facts that are told of, at most.
const TOLD: usize = 4;

/// For each fact that could make the joint fit by itself, the values that do.
pub(super) fn of(model: &Model, build: BuildId, joint: &JudgedJoint) -> Vec<FitsIf> {
    let asked = judge::asked_of(model, joint);
    let found = judge::would_fit_first(model, build, &joint.name, &asked, TOLD);
    found.iter().filter_map(|it| one(model, joint, it)).collect()
}

fn one(model: &Model, joint: &JudgedJoint, found: &WouldFit) -> Option<FitsIf> {
    let info = model.facts.get(found.fact)?;
    let values = found.values.in_words(info);
    let fact = joint.path_of(model, found.fact);
    (!values.is_empty()).then(|| FitsIf { fact, values, so_far: judge::so_far(info) })
}
