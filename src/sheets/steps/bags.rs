//! What comes off in the strip-down and goes on again: parts, the small things kept with them, and the pictures of how
//! all was.

use super::plan::{Draft, Site, step_of};
use super::{Bag, Becomes, Photograph, Section, parts};
use crate::judge::{Apart, Fate, Handwork, JudgedJoint, Todo, Use};
use crate::model::{PartId, SlotId, Task};
use crate::sheets::torque::{self, Row};

impl Site<'_> {
    /// Bags, filled in the strip-down and emptied in the assembly.
    pub(super) fn bags(&self, drafts: &mut [Draft]) {
        let Some(base) = self.base else { return };
        let mut filled: Vec<(usize, Bag)> = Vec::new();
        for (at, draft) in drafts.iter().enumerate().filter(|(_, it)| it.step.section == Section::Strip) {
            let Some(joint) = draft.of.first().and_then(|it| base.joints.get(*it)) else { continue };
            let whole = self.conversion.joined(joint).all(|it| self.leaves(it).is_none());
            let emptied = self.emptied_in(joint, whole, drafts);
            for todo in self.works_of(draft).iter().flat_map(|it| it.of(Task::Keep)) {
                let (number, emptied) = (filled.len() + 1, emptied.clone());
                let bag = Bag { number, text: todo.text.clone(), certain: todo.certain, emptied, whole };
                filled.push((at, bag));
            }
        }
        for (at, bag) in filled {
            for step in &bag.emptied {
                if let Some(draft) = drafts.get_mut(step - 1) {
                    draft.step.from_bags.push((bag.number, at + 1));
                }
            }
            if let Some(draft) = drafts.get_mut(at) {
                draft.step.bags.push(bag);
            }
        }
    }

    /// Whether a joint that is taken apart may as well stay together: all its parts are left over, and what it stands
    /// upon is not wanted either.
    pub(super) fn may_stay(&self, joint: &JudgedJoint, work: &Handwork) -> bool {
        let goes = |it: &JudgedJoint| {
            self.conversion.joined(it).all(|used| self.leaves(used).is_some_and(|fate| fate.enters.is_empty()))
        };
        let joints = self.base.iter().flat_map(|it| &it.joints).zip(&self.conversion.before);
        let mut wanted =
            joints.filter(|(other, it)| it.by_hand && !matches!(it.fate, Apart::Untouched(_)) && !goes(other));
        goes(joint) && !wanted.any(|(_, it)| self.sequence.stands_upon(work.join, it.work.join))
    }

    /// What becomes of that part, if some of its pieces are left over and may be the ones in this slot.
    fn leaves(&self, used: &Use) -> Option<&Fate> {
        let slots = &self.model[self.model[self.judged.build].assembly].slots;
        let slot = slots.get_index_of(&used.slot).map(SlotId)?;
        self.conversion.fate_of(used.part).filter(|it| it.left_over > 0 && it.leaves.contains(&slot))
    }

    /// Steps of the assembly that want the small things of a joint that was taken apart: those that join again, in the
    /// same way, a part that came off and goes on; any of its parts if the `whole` of it stays. At the same place if
    /// there is such a one.
    fn emptied_in(&self, joint: &JudgedJoint, whole: bool, drafts: &[Draft]) -> Vec<usize> {
        let becomes = || drafts.iter().flat_map(|it| &it.step.becomes);
        let aside = |slot: &String| becomes().any(|it| !it.left_over && it.slots.contains(slot));
        let again = |other: &JudgedJoint| {
            let wanted = self.conversion.joined(joint).filter(|it| whole || aside(&it.slot));
            let wanted: Vec<PartId> = wanted.map(|it| it.part).collect();
            other.joint == joint.joint && self.conversion.joined(other).any(|it| wanted.contains(&it.part))
        };
        let made = drafts.iter().enumerate().filter(|(_, it)| it.step.section == Section::Assemble);
        let made = made.filter_map(|(at, it)| Some((at + 1, self.judged.joints.get(*it.of.first()?)?)));
        let all: Vec<(usize, &JudgedJoint)> = made.filter(|(_, it)| again(it)).collect();
        let here = all.iter().find(|(_, it)| it.name == joint.name);
        here.map_or_else(|| all.iter().map(|(at, _)| *at).collect(), |(at, _)| vec![*at])
    }

    /// What becomes of the parts that come off, told in the last step of each.
    pub(super) fn pieces(&self, drafts: &mut [Draft]) {
        let Some(base) = self.base else { return };
        let goes_on = |slot: &str| {
            let mut made = drafts.iter().enumerate().filter(|(_, it)| it.step.section == Section::Assemble);
            made.find(|(_, it)| it.step.parts.iter().any(|it| it.joined && it.slot == slot)).map(|(at, _)| at + 1)
        };
        let strip = drafts.iter().filter(|it| it.step.section == Section::Strip);
        let strip: Vec<(usize, bool)> =
            strip.filter_map(|it| Some((*it.of.first()?, it.step.fastenings.iter().any(Row::is_held)))).collect();
        let told: Vec<(usize, Becomes)> = parts::becomes(self.model, base, self.conversion, &strip, goes_on);
        for (number, becomes) in told {
            let at = step_of(drafts, Section::Strip, number);
            if let Some(draft) = at.and_then(|it| drafts.get_mut(it - 1)) {
                draft.step.becomes.push(becomes);
            }
        }
    }

    /// Photographs: of the whole first, then in the order of the steps, then those that go with no step.
    pub(super) fn photographs(&self, drafts: &[Draft], whole: &[Todo]) -> Vec<Photograph> {
        let photograph = |todo: &Todo, of: &str, step: Option<usize>| Photograph {
            text: todo.text.clone(),
            of: of.to_owned(),
            certain: todo.certain,
            step,
        };
        let mut all: Vec<Photograph> =
            whole.iter().filter(|it| it.task == Task::Photo).map(|it| photograph(it, "", None)).collect();
        for (at, draft) in drafts.iter().enumerate() {
            all.extend(draft.step.photographs.iter().map(|it| photograph(it, &draft.step.title, Some(at + 1))));
        }
        let joints = self.base.iter().flat_map(|it| &it.joints);
        for (joint, before) in joints.zip(&self.conversion.before) {
            if !before.by_hand && before.fate == Apart::Broken {
                all.extend(before.work.of(Task::Photo).map(|it| photograph(it, torque::title_of(joint), None)));
            }
        }
        all
    }
}
