//! Which parts could stand in a slot, and what would come of each.

use crate::judge::{self, Verdict};
use crate::model::{BuildId, Filled, Model, PartId, SlotId};

/// What a part would do in a slot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Would {
    /// All its joints fit.
    Fit,
    /// Nothing clashes; some joint of it stays open.
    BeOpen,
    /// So many joints of it clash.
    Clash(usize),
    /// Not looked at: there are too many parts.
    Unknown,
}

impl Would {
    /// In a word or two.
    pub fn words(self) -> String {
        match self {
            Would::Fit => "would fit".to_owned(),
            Would::BeOpen => "would be open".to_owned(),
            Would::Clash(1) => "would clash".to_owned(),
            Would::Clash(count) => format!("would clash at {count} joints"),
            Would::Unknown => "not tried".to_owned(),
        }
    }
}

/// Parts that are tried out, at most: an answer must come while somebody types.
const TRIED: usize = 200;

/// The parts that a slot of a build takes, with what each would do there, best first.
pub fn candidates(model: &Model, build: BuildId, slot: SlotId) -> Vec<(PartId, Would)> {
    let Some((_, declared)) = model[model[build].assembly].slots.get_index(slot.0) else { return Vec::new() };
    let of_kind =
        model.parts.iter().enumerate().filter(|(_, part)| declared.kinds.contains(&part.kind) && !part.undecided);
    let parts: Vec<PartId> = of_kind.map(|(number, _)| PartId(number)).collect();
    let mut tried = model.clone();
    let mut found: Vec<(PartId, Would)> = parts
        .into_iter()
        .enumerate()
        .map(|(number, part)| {
            (part, if number < TRIED { would(&mut tried, build, slot, part) } else { Would::Unknown })
        })
        .collect();
    found.sort_by_key(|(_, would)| *would);
    found
}

/// Judges the build with the part in the slot.
fn would(model: &mut Model, build: BuildId, slot: SlotId, part: PartId) -> Would {
    let Some(own) = model.builds.get_mut(build.0) else { return Would::Unknown };
    let span = own.span;
    let Some(place) = own.slots.get_mut(slot.0) else { return Would::Unknown };
    *place = Some(Filled { part, span });
    let judged = judge::judge_one(model, build);
    let own = judged.joints.iter().filter(|joint| joint.uses.iter().any(|it| it.part == part));
    let verdicts: Vec<Verdict> = own.map(|joint| joint.verdict).collect();
    match verdicts.iter().filter(|it| **it == Verdict::Clashes).count() {
        0 if verdicts.contains(&Verdict::Open) => Would::BeOpen,
        0 => Would::Fit,
        count => Would::Clash(count),
    }
}
