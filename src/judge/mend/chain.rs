//! What would happen if a part went into a slot, and the fewest further changes that would make it go.

use super::{Change, Mender, NEAR, Outcome, Remedy, Search, Shelf, TRIALS, put};
use crate::judge::bind;
use crate::judge::verdict::{self, JudgedBuild, JudgedJoint};
use crate::model::{Filled, Model, PartId};

/// What becomes of the joints that hang on a slot, if a part is put there.
pub struct WhatIf {
    /// Those joints, judged with the part in place.
    pub joints: Vec<JudgedJoint>,
    /// The fewest changes, this one first, with which nothing clashes that did not clash before; none if not even
    /// [`DEEP`] of them do.
    pub chain: Option<Remedy>,
    /// Whether the search for one was given up before all was tried.
    pub given_up: bool,
}

/// Changes that are tried together, at most.
pub const DEEP: usize = 3;

/// What would happen if a part went into a slot.
pub fn what_if(model: &Model, judged: &JudgedBuild, change: Change) -> WhatIf {
    let mut build = model[judged.build].clone();
    let span = build.span;
    put(&mut build, change.slot, Some(Filled { part: change.to, span }));
    let joins = &model[build.assembly].joins;
    let shelf = Shelf::of(model, &build);
    let touched = shelf.touched.get(change.slot.0).into_iter().flatten().filter_map(|number| joins.get(*number));
    let bound = touched.flat_map(|join| bind::occurrences(model, &build, join));
    let joints = bound.map(|it| verdict::judge_joint(model, &build, it)).collect();
    let (chain, given_up) = chain(model, judged, change);
    WhatIf { joints, chain, given_up }
}

/// The fewest further changes that undo what one breaks: of all that mend the first joint that is broken, then the next,
/// one change deeper at a time.
fn chain(model: &Model, judged: &JudgedBuild, first: Change) -> (Option<Remedy>, bool) {
    let mut mender = Mender::of(model, judged);
    let mut search = Search { mender: &mut mender, target: None, left: TRIALS, found: Vec::new() };
    let mut level = vec![vec![first]];
    for depth in 1..=DEEP {
        let mut next = Vec::new();
        for changes in &level {
            if let Outcome::Breaks(broken) = search.with(changes)
                && depth < DEEP
                && let Some(join) = broken.first()
            {
                for slot in search.slots_of_join(*join) {
                    if changes.iter().any(|it| it.slot == slot) {
                        continue;
                    }
                    for class in search.classes(*join, slot) {
                        let with = |to: &PartId| -> Vec<Change> {
                            changes.iter().copied().chain([Change { slot, to: *to }]).collect()
                        };
                        // Of a class, all mend the joint or none does.
                        if class.first().is_some_and(|to| search.clears(*join, &with(to))) {
                            next.extend(class.iter().take(NEAR).map(with));
                        }
                    }
                }
            }
        }
        if !search.found.is_empty() || next.is_empty() {
            break;
        }
        level = next;
    }
    let given_up = search.left == 0;
    let mut found = search.found.into_iter().next();
    if let Some(remedy) = &mut found {
        remedy.advises = mender.advises(&remedy.changes);
    }
    (found, given_up)
}
