//! Which joints become steps of the strip-down and of the assembly, in groups that need nothing of each other.

use super::plan::Site;
use crate::judge::{self, Apart, Arranged, Before, Handwork, JudgedFastening, Use};
use crate::model::Task;

impl Site<'_> {
    /// Joints of the base build that are taken apart by hand, in groups, those first that are taken apart first.
    pub(super) fn strip(&self) -> Vec<Vec<usize>> {
        let opened: Vec<(usize, &Handwork)> = self
            .conversion
            .before
            .iter()
            .enumerate()
            .filter(|(number, it)| it.by_hand && !matches!(it.fate, Apart::Untouched(_)) && self.wants_a_step(*number))
            .map(|(number, it)| (number, &it.work))
            .collect();
        grouped(&opened, |first, then| self.is_before(then, first))
    }

    /// Whether there is anything to do in taking a joint of the base build apart: something to loosen, or a part that
    /// would come off in no other step.
    fn wants_a_step(&self, number: usize) -> bool {
        let joints = || self.base.iter().flat_map(|it| &it.joints).zip(&self.conversion.before);
        let taken = |it: &Before| it.by_hand && !matches!(it.fate, Apart::Untouched(_));
        let Some((joint, before)) = joints().nth(number) else { return false };
        let elsewhere = |used: &Use| {
            joints().any(|(other, it)| {
                taken(it) && is_held(it) && self.conversion.joined(other).any(|it| it.slot == used.slot)
            })
        };
        is_held(before)
            || before.work.making.fastenings.iter().any(lets_go)
                && self.conversion.joined(joint).any(|it| !elsewhere(it))
    }

    /// Joints of the finished build that are made by hand, in groups, those first that are made first.
    pub(super) fn assemble(&self) -> Vec<Vec<usize>> {
        let made: Vec<(usize, &Handwork)> = self
            .conversion
            .after
            .iter()
            .enumerate()
            .filter(|(_, it)| it.by_hand && it.origin.is_made())
            .map(|(number, it)| (number, &it.work))
            .collect();
        grouped(&made, |first, then| self.is_before(first, then))
    }

    /// Whether a joint is made before another; the adapter comes before what it carries.
    pub(super) fn is_before(&self, first: &Handwork, then: &Handwork) -> bool {
        match first.join == then.join {
            true => first.adapter && !then.adapter,
            false => self.sequence.is_before(first.join, then.join),
        }
    }
}

/// Joints in groups, by what comes before what.
fn grouped(joints: &[(usize, &Handwork)], comes_before: impl Fn(&Handwork, &Handwork) -> bool) -> Vec<Vec<usize>> {
    let mut pairs = Vec::new();
    for (first, (_, a)) in joints.iter().enumerate() {
        let later = joints.iter().enumerate().filter(|(then, (_, b))| *then != first && comes_before(a, b));
        pairs.extend(later.map(|(then, _)| (first, then)));
    }
    let Arranged { groups, .. } = judge::arranged(joints.len(), &pairs);
    let numbers = |group: Vec<usize>| group.into_iter().filter_map(|it| Some(joints.get(it)?.0)).collect();
    groups.into_iter().map(numbers).collect()
}

/// Whether something that a hand has put together comes apart with what it belongs to: nothing is said of a thread or of
/// a tool.
fn lets_go(fastening: &JudgedFastening) -> bool {
    fastening.by_hand && fastening.thread.is_empty() && fastening.tool.is_empty()
}

/// Whether there is something to loosen or to do in taking a joint apart.
fn is_held(before: &Before) -> bool {
    let said = |task: Task| matches!(task, Task::Photo | Task::Undo | Task::Seized | Task::Keep);
    before.work.making.fastenings.iter().any(|it| !lets_go(it)) || before.work.todos.iter().any(|it| said(it.task))
}
