//! What it takes to make one build of another: joints that are taken apart, made or left alone, and pieces that stay or
//! are left over.

use super::sequence::Sequence;
use super::verdict::{JudgedBuild, JudgedJoint, Use};
use super::work::{self, Handwork};
use crate::model::{Model, PartId, Pieces, SlotId, Task};
use std::collections::BTreeSet;

/// A conversion. A build that comes from no other is one too, with nothing before it.
#[derive(Clone, Debug)]
pub struct Conversion {
    /// One for each joint of the base build, in its order; none without such a build.
    pub before: Vec<Before>,
    /// One for each joint of the finished build, in its order.
    pub after: Vec<After>,
    /// Every part of either build.
    pub pieces: Vec<Fate>,
    /// Slots whose parts some joint made by hand, in either build, could not do without.
    held: BTreeSet<String>,
}

/// A joint of the base build.
#[derive(Clone, Debug)]
pub struct Before {
    /// What becomes of it.
    pub fate: Apart,
    /// What there is to do by hand.
    pub work: Handwork,
    /// Whether it is made by hand at all; otherwise it is a matter of sizes, and nothing is to be done.
    pub by_hand: bool,
}

/// What becomes of a joint of the base build.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Apart {
    /// It is left alone. Its number among the joints of the finished build.
    Untouched(usize),
    /// Its parts meet no more, or not in this way.
    Broken,
    /// It stays, but stands upon others that don't: it is taken apart on the way and made again.
    Undone {
        /// Its number among the joints of the finished build.
        after: usize,
        /// Joints of the base build right below it that are taken apart, by their numbers.
        for_old: Vec<usize>,
        /// Joints of the finished build right below it that are made, where nothing was taken apart, by their numbers.
        for_new: Vec<usize>,
    },
}

/// A joint of the finished build.
#[derive(Clone, Debug)]
pub struct After {
    /// Where it comes from.
    pub origin: Made,
    /// What there is to do by hand.
    pub work: Handwork,
    /// Whether it is made by hand at all; otherwise it is a matter of sizes, and nothing is to be done.
    pub by_hand: bool,
}

/// Whether a joint of the finished build is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Made {
    /// It is left alone. Its number among the joints of the base build.
    Untouched(usize),
    /// It is new: it was not there, or of other parts.
    New,
    /// It was there, was taken apart on the way to another, and is made again. Its number in the base build.
    Again(usize),
}

impl Made {
    /// Whether it is made, newly or again.
    pub fn is_made(self) -> bool {
        !matches!(self, Made::Untouched(_))
    }
}

/// What becomes of the pieces of a part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fate {
    /// The part.
    pub part: PartId,
    /// Pieces that were there and stay, in their slots or in others.
    pub stays: u32,
    /// Pieces that were there and are left over.
    pub left_over: u32,
    /// Pieces that come in.
    pub comes: u32,
    /// Slots that it filled and fills no more.
    pub leaves: Vec<SlotId>,
    /// Slots that it fills and did not fill before.
    pub enters: Vec<SlotId>,
    /// Slots that it fills as before.
    pub keeps: Vec<SlotId>,
}

impl Conversion {
    /// What it takes to make a build of the one before it, if there is one. Both are of one assembly.
    pub fn of(model: &Model, before: Option<&JudgedBuild>, after: &JudgedBuild) -> Conversion {
        let sequence = Sequence::of(&model[model[after.build].assembly]);
        let old: &[JudgedJoint] = before.map_or(&[], |it| &it.joints);
        let old_work = before.map(|it| work::handwork(model, it.build)).unwrap_or_default();
        let mut apart: Vec<Before> = old_work
            .into_iter()
            .zip(old)
            .map(|(work, _)| Before { fate: Apart::Broken, by_hand: by_hand(&work), work })
            .collect();
        let mut made: Vec<After> = work::handwork(model, after.build)
            .into_iter()
            .zip(&after.joints)
            .map(|(work, _)| After { origin: Made::New, by_hand: by_hand(&work), work })
            .collect();
        let old_by_hand = old.iter().zip(&apart).filter(|(_, it)| it.by_hand).map(|(joint, _)| joint);
        let new_by_hand = after.joints.iter().zip(&made).filter(|(_, it)| it.by_hand).map(|(joint, _)| joint);
        let held: BTreeSet<String> = old_by_hand
            .chain(new_by_hand)
            .flat_map(|it| &it.uses)
            .filter(|it| !it.optional)
            .map(|it| it.slot.clone())
            .collect();
        for (number, (joint, after)) in after.joints.iter().zip(&mut made).enumerate() {
            // What is made by hand in one of them only is not the same work, whatever parts meet.
            let same =
                |(it, before): (&JudgedJoint, &Before)| before.by_hand == after.by_hand && is_same(it, joint, &held);
            let Some(same) = old.iter().zip(&apart).position(same) else { continue };
            after.origin = Made::Untouched(same);
            apart.iter_mut().skip(same).take(1).for_each(|it| it.fate = Apart::Untouched(number));
        }
        undo_what_stands_upon(&sequence, &mut apart, &mut made);
        let pieces = fates(before.map(|it| model.pieces(it.build)).unwrap_or_default(), model.pieces(after.build));
        Conversion { before: apart, after: made, pieces, held }
    }

    /// Whether a joint of the finished build is made, by its number there.
    pub fn is_made(&self, joint: usize) -> bool {
        self.after.get(joint).is_none_or(|it| it.origin.is_made())
    }

    /// What becomes of a part.
    pub fn fate_of(&self, part: PartId) -> Option<&Fate> {
        self.pieces.iter().find(|it| it.part == part)
    }

    /// What a joint of either build joins: all that it uses but its bystanders.
    pub fn joined<'j>(&self, joint: &'j JudgedJoint) -> impl Iterator<Item = &'j Use> {
        joint.uses.iter().filter(|it| !is_bystander(joint, it, &self.held))
    }
}

/// A part that a joint could do without, and that others are made to hold, only bears on the joint: whether that part is
/// another does not change what the joint itself joins.
fn is_bystander(joint: &JudgedJoint, used: &Use, held: &BTreeSet<String>) -> bool {
    joint.uses.iter().all(|it| it.slot != used.slot || it.optional) && held.contains(&used.slot)
}

/// Whether two joints of two builds are the same: the same parts in the same slots are joined.
fn is_same(one: &JudgedJoint, other: &JudgedJoint, held: &BTreeSet<String>) -> bool {
    let joined = |joint: &JudgedJoint| -> Vec<Use> {
        joint.uses.iter().filter(|it| !is_bystander(joint, it, held)).cloned().collect()
    };
    one.name == other.name && joined(one) == joined(other)
}

/// A joint is handwork when something is fastened, done or kept in making it or in taking it apart.
fn by_hand(work: &Handwork) -> bool {
    let done = |task: Task| !matches!(task, Task::Photo | Task::Proof);
    !work.making.fastenings.is_empty() || work.todos.iter().any(|it| done(it.task))
}

/// Joints that would stay, but stand upon some that are taken apart or made, are taken apart too, and made again.
fn undo_what_stands_upon(sequence: &Sequence, before: &mut [Before], after: &mut [After]) {
    let broken = |it: &Before| it.by_hand && it.fate == Apart::Broken;
    let new = |it: &After| it.by_hand && it.origin == Made::New;
    let opened: Vec<usize> = before
        .iter()
        .filter(|it| broken(it))
        .map(|it| it.work.join)
        .chain(after.iter().filter(|it| new(it)).map(|it| it.work.join))
        .collect();
    // What stands upon something that stands upon an opened joint stands upon that joint too.
    let undone = |it: &Before| {
        it.by_hand
            && matches!(it.fate, Apart::Untouched(_))
            && opened.iter().any(|lower| sequence.stands_upon(it.work.join, *lower))
    };
    let all: Vec<usize> =
        before.iter().enumerate().filter(|(_, it)| undone(it) || broken(it)).map(|(number, _)| number).collect();
    let mut found = Vec::new();
    for (number, it) in before.iter().enumerate().filter(|(_, it)| undone(it)) {
        let Apart::Untouched(same) = it.fate else { continue };
        let join = it.work.join;
        let old: Vec<usize> = all.iter().copied().filter(|lower| below(sequence, join, before, *lower)).collect();
        let lower_joins: Vec<usize> = old.iter().filter_map(|it| Some(before.get(*it)?.work.join)).collect();
        // The ones right below: none of the others stands between.
        let right_below = |lower: usize| {
            !lower_joins.iter().any(|between| *between != lower && sequence.stands_upon(*between, lower))
        };
        let for_old = old.iter().copied().filter(|it| before.get(*it).is_some_and(|it| right_below(it.work.join)));
        let for_new = after.iter().enumerate().filter(|(_, it)| {
            let lower = it.work.join;
            new(it) && sequence.stands_upon(join, lower) && !lower_joins.contains(&lower) && right_below(lower)
        });
        let for_new = for_new.map(|(number, _)| number).collect();
        found.push((number, Apart::Undone { after: same, for_old: for_old.collect(), for_new }));
    }
    for (number, fate) in found {
        if let Apart::Undone { after: same, .. } = fate
            && let Some(place) = after.get_mut(same)
        {
            place.origin = Made::Again(number);
        }
        if let Some(place) = before.get_mut(number) {
            place.fate = fate;
        }
    }
}

/// Whether a join stands upon a joint of the base build.
fn below(sequence: &Sequence, upper: usize, before: &[Before], lower: usize) -> bool {
    before.get(lower).is_some_and(|it| sequence.stands_upon(upper, it.work.join))
}

/// What becomes of the pieces of every part of either build, in the order of the base build's slots, then of the
/// finished one's.
fn fates(before: Vec<Pieces>, after: Vec<Pieces>) -> Vec<Fate> {
    let new = after.iter().filter(|it| before.iter().all(|old| old.part != it.part));
    let parts = before.iter().chain(new).map(|it| it.part);
    let of = |all: &[Pieces], part: PartId| {
        all.iter().find(|it| it.part == part).map_or((0, Vec::new()), |it| (it.count, it.slots.clone()))
    };
    let fate = |part: PartId| {
        let ((had, old), (has, new)) = (of(&before, part), of(&after, part));
        let stays = had.min(has);
        let without = |these: &[SlotId], those: &[SlotId]| -> Vec<SlotId> {
            these.iter().copied().filter(|it| !those.contains(it)).collect()
        };
        Fate {
            part,
            stays,
            left_over: had - stays,
            comes: has - stays,
            leaves: without(&old, &new),
            enters: without(&new, &old),
            keeps: old.iter().copied().filter(|it| new.contains(it)).collect(),
        }
    };
    parts.map(fate).collect()
}
