//! Remedies, proven: other parts in the slots of a joint that does not fit, kept only where the joint then fits and
//! nothing else clashes that did not clash before.

use super::bind::{self, Bound};
use super::eval::Reading;
use super::verdict::{self, JudgedBuild, JudgedJoint, Judging, Verdict};
use crate::model::{Argument, Build, Filled, Ir, Join, KindId, Model, PartId, Rule, SlotId, Stock};
use crate::quantity::{Money, Truth};
use std::collections::BTreeMap;

/// A part put into a slot.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Change {
    /// The slot.
    pub slot: SlotId,
    /// The part that is to stand there.
    pub to: PartId,
}

/// Changes that together make a joint fit.
#[derive(Clone, Debug)]
pub struct Remedy {
    /// What is changed.
    pub changes: Vec<Change>,
    /// Joints that did not fit before and do now.
    pub mends: Vec<String>,
    /// Joints that are made anew, since they hold another part.
    pub makes: Vec<String>,
    /// Joints that become open by it.
    pub opens: Vec<String>,
    /// Joints of the exchanged parts that clash as they did before.
    pub still: usize,
    /// What the parts cost that must be bought, a sum a currency.
    pub price: Vec<Money>,
    /// Parts to buy whose price is not known.
    pub unpriced: usize,
}

/// Remedies that are told of a joint, at most.
const TOLD: usize = 3;
/// Joints that are tried for one remedy search, at most: a search ends, whatever the stock.
const TRIALS: usize = 60_000;
/// Parts that break just one other joint, of which a second change is looked for.
const NEAR: usize = 24;

/// Parts that may be put somewhere, by what they are, and which joints each slot takes part in.
pub struct Shelf<'m> {
    model: &'m Model,
    by_kind: BTreeMap<KindId, Vec<PartId>>,
    /// Joins by slot.
    touched: Vec<Vec<usize>>,
}

impl<'m> Shelf<'m> {
    /// All that the model has for builds of the assembly of this one.
    pub fn of(model: &'m Model, build: &Build) -> Shelf<'m> {
        let mut by_kind: BTreeMap<KindId, Vec<PartId>> = BTreeMap::new();
        for (number, part) in model.parts.iter().enumerate() {
            let id = PartId(number);
            if !part.undecided && model.stock_of(id).is_some() {
                by_kind.entry(part.kind).or_default().push(id);
            }
        }
        let assembly = &model[build.assembly];
        let mut touched = vec![Vec::new(); assembly.slots.len()];
        for (number, join) in assembly.joins.iter().enumerate() {
            for slot in slots_of(join) {
                if let Some(list) = touched.get_mut(slot.0) {
                    list.push(number);
                }
            }
        }
        Shelf { model, by_kind, touched }
    }
}

/// Slots on which a join hangs, each once.
fn slots_of(join: &Join) -> Vec<SlotId> {
    let mut slots = Vec::new();
    let mut add = |slot: SlotId| {
        if !slots.contains(&slot) {
            slots.push(slot);
        }
    };
    for argument in join.arguments.iter().flatten() {
        if let Argument::Slot(slot) | Argument::Fact(slot, _) = argument {
            add(*slot);
        }
    }
    if let Some(through) = &join.through {
        add(through.slot);
    }
    if let Some(when) = &join.when {
        when.each(&mut |ir| {
            if let Ir::Slot(slot) = ir {
                add(*slot);
            }
        });
    }
    slots
}

/// What would make a joint of a build fit: at most three remedies, those with nothing to buy first, then the cheapest,
/// then those with the fewest changes. Parts that clash elsewhere as those before them did come last, whatever they cost.
pub fn remedies(shelf: &Shelf, judged: &JudgedBuild, joint: &JudgedJoint) -> Vec<Remedy> {
    let model = shelf.model;
    let joins = &model[model[judged.build].assembly].joins;
    let named = |join: &Join| {
        joint.name.strip_prefix(join.name.text.as_str()).is_some_and(|it| it.is_empty() || it == ".adapter")
    };
    let Some(target) = joins.iter().position(named) else { return Vec::new() };
    let mut search = Search {
        shelf,
        judged,
        build: model[judged.build].clone(),
        target: &joint.name,
        join: target,
        failed: joint.findings.iter().filter(|it| it.required && it.fails).map(|it| it.code.as_str()).collect(),
        left: TRIALS,
        found: Vec::new(),
    };
    search.run();
    let mut found = search.found;
    found.sort_by_key(rank);
    found.truncate(TOLD);
    found
}

/// By what remedies are put in order.
fn rank(it: &Remedy) -> impl Ord + use<> {
    (it.still, it.unpriced, it.price.clone(), it.changes.len(), it.opens.len(), it.changes.clone())
}

/// What becomes of the joints that hang on a slot, if a part is put there.
pub struct WhatIf {
    /// Those joints, judged with the part in place.
    pub joints: Vec<JudgedJoint>,
    /// The fewest changes, this one first, with which nothing clashes that did not clash before; none if not even
    /// [`DEEP`] of them do.
    pub chain: Option<Remedy>,
}

/// Changes that are tried together, at most.
pub const DEEP: usize = 3;

/// What would happen if a part went into a slot.
pub fn what_if(shelf: &Shelf, judged: &JudgedBuild, change: Change) -> WhatIf {
    let model = shelf.model;
    let mut build = model[judged.build].clone();
    if let Some(place) = build.slots.get_mut(change.slot.0) {
        *place = Some(Filled { part: change.to, span: build.span });
    }
    let joins = &model[build.assembly].joins;
    let touched = shelf.touched.get(change.slot.0).into_iter().flatten().filter_map(|number| joins.get(*number));
    let bound = touched.flat_map(|join| bind::occurrences(model, &build, join));
    let joints = bound.map(|it| verdict::judge_joint(model, &build, it)).collect();
    WhatIf { joints, chain: chain(shelf, judged, change) }
}

/// The fewest further changes that undo what one breaks: of all that mend the first joint that is broken, then the next,
/// one change deeper at a time.
fn chain(shelf: &Shelf, judged: &JudgedBuild, first: Change) -> Option<Remedy> {
    let mut search = Search {
        shelf,
        judged,
        build: shelf.model[judged.build].clone(),
        target: "",
        join: usize::MAX,
        failed: Vec::new(),
        left: TRIALS,
        found: Vec::new(),
    };
    let mut level = vec![vec![first]];
    for depth in 1..=DEEP {
        let mut next = Vec::new();
        for changes in &level {
            match search.with(changes) {
                Outcome::Mends(remedy) => search.found.push(remedy),
                Outcome::Breaks(broken) if depth < DEEP => {
                    let Some((join, _)) = broken.first() else { continue };
                    for slot in search.slots_of_join(*join) {
                        if changes.iter().any(|it| it.slot == slot) {
                            continue;
                        }
                        for to in search.candidates(slot) {
                            next.push(changes.iter().copied().chain([Change { slot, to }]).collect());
                        }
                    }
                }
                Outcome::Breaks(_) | Outcome::No => {}
            }
        }
        if !search.found.is_empty() || next.is_empty() {
            break;
        }
        level = next;
    }
    search.found.sort_by_key(rank);
    search.found.into_iter().next()
}

/// What happens to one joint's neighbours when parts are exchanged.
struct Search<'s, 'm> {
    shelf: &'s Shelf<'m>,
    judged: &'s JudgedBuild,
    build: Build,
    target: &'s str,
    join: usize,
    /// Codes of the requirements that the joint fails.
    failed: Vec<&'s str>,
    left: usize,
    found: Vec<Remedy>,
}

/// What a set of changes does.
enum Outcome {
    /// The joint does not fit.
    No,
    /// It fits, and so does all else that did.
    Mends(Remedy),
    /// It fits, but these other joints clash that did not.
    Breaks(Vec<(usize, String)>),
}

impl Search<'_, '_> {
    fn run(&mut self) {
        let slots = self.slots_of_join(self.join);
        let mut near: Vec<(Change, usize)> = Vec::new();
        for slot in &slots {
            for to in self.candidates(*slot) {
                let change = Change { slot: *slot, to };
                match self.with(&[change]) {
                    Outcome::Mends(remedy) => self.found.push(remedy),
                    Outcome::Breaks(broken) => {
                        if let ([(join, _)], true) = (broken.as_slice(), near.len() < NEAR) {
                            near.push((change, *join));
                        }
                    }
                    Outcome::No => {}
                }
            }
        }
        if !self.found.is_empty() {
            return;
        }
        self.both_sides(&slots);
        for (first, broken) in near {
            self.with_a_second(first, broken);
        }
    }

    /// Two sides of the joint exchanged at once.
    fn both_sides(&mut self, slots: &[SlotId]) {
        for (at, one) in slots.iter().enumerate() {
            for other in slots.iter().skip(at + 1) {
                let others = self.candidates(*other);
                for first in self.candidates(*one) {
                    for second in &others {
                        if self.left == 0 {
                            return;
                        }
                        let changes = [Change { slot: *one, to: first }, Change { slot: *other, to: *second }];
                        if let Outcome::Mends(remedy) = self.with(&changes) {
                            self.found.push(remedy);
                        }
                    }
                }
            }
        }
    }

    /// A change that breaks one other joint, with another one that mends that.
    fn with_a_second(&mut self, first: Change, broken: usize) {
        for slot in self.slots_of_join(broken).into_iter().filter(|slot| *slot != first.slot) {
            for to in self.candidates(slot) {
                if let Outcome::Mends(remedy) = self.with(&[first, Change { slot, to }]) {
                    self.found.push(remedy);
                }
            }
        }
    }

    fn joins(&self) -> &[Join] {
        &self.shelf.model[self.build.assembly].joins
    }

    fn slots_of_join(&self, join: usize) -> Vec<SlotId> {
        let join = self.joins().get(join);
        let Some(join) = join else { return Vec::new() };
        // A condition only says whether the joint is there; exchanging what it asks about is no remedy.
        let mut slots = Vec::new();
        for argument in join.arguments.iter().flatten() {
            if let Argument::Slot(slot) | Argument::Fact(slot, _) = argument
                && !slots.contains(slot)
            {
                slots.push(*slot);
            }
        }
        slots.extend(join.through.as_ref().map(|it| it.slot));
        slots
    }

    /// Parts that could stand in a slot instead of what does.
    fn candidates(&self, slot: SlotId) -> Vec<PartId> {
        let model = self.shelf.model;
        let Some((_, declared)) = model[self.build.assembly].slots.get_index(slot.0) else { return Vec::new() };
        let now = self.part(slot);
        let all = declared.kinds.iter().filter_map(|kind| self.shelf.by_kind.get(kind)).flatten();
        all.copied().filter(|part| Some(*part) != now && self.to_be_had(*part, slot)).collect()
    }

    /// Whether a piece of this part is free: one can be bought, what lies in the bin must not be in the build already,
    /// and what came with it must have come with this one.
    fn to_be_had(&self, part: PartId, slot: SlotId) -> bool {
        let model = self.shelf.model;
        let stands = |build: &Build, but: Option<SlotId>| {
            (0..)
                .zip(&build.slots)
                .any(|(number, it)| it.is_some_and(|it| it.part == part) && Some(SlotId(number)) != but)
        };
        match model.stock_of(part) {
            Some(Stock::Buy) => model.is_available(part) != Some(false),
            Some(Stock::Bin) => !stands(&self.build, Some(slot)),
            Some(Stock::Donor) => {
                let mut before = self.build.from;
                while let Some(base) = before {
                    if stands(&model[base], None) {
                        return !stands(&self.build, Some(slot));
                    }
                    before = model[base].from;
                }
                false
            }
            None => false,
        }
    }

    fn part(&self, slot: SlotId) -> Option<PartId> {
        self.build.slots.get(slot.0).copied().flatten().map(|it| it.part)
    }

    /// Tries changes, and leaves the build as it was.
    fn with(&mut self, changes: &[Change]) -> Outcome {
        let before: Vec<Option<Filled>> =
            changes.iter().map(|it| self.build.slots.get(it.slot.0).copied().flatten()).collect();
        for it in changes {
            self.put(it.slot, Some(Filled { part: it.to, span: self.build.span }));
        }
        let outcome = self.judged(changes);
        for (it, before) in changes.iter().zip(before) {
            self.put(it.slot, before);
        }
        outcome
    }

    fn put(&mut self, slot: SlotId, filled: Option<Filled>) {
        if let Some(place) = self.build.slots.get_mut(slot.0) {
            *place = filled;
        }
    }

    fn judged(&mut self, changes: &[Change]) -> Outcome {
        if self.fails_still() {
            return Outcome::No;
        }
        // The joint that is to be mended first, if there is one: most parts do not even mend that.
        let own = self.verdicts(self.join);
        if self.join != usize::MAX && !own.iter().any(|(name, _)| name == self.target)
            || own.iter().any(|(_, it)| *it != Verdict::Fits)
        {
            return Outcome::No;
        }
        let mut joins: Vec<usize> =
            changes.iter().filter_map(|it| self.shelf.touched.get(it.slot.0)).flatten().copied().collect();
        joins.sort_unstable();
        joins.dedup();
        let before = |name: &str| self.judged.joints.iter().find(|it| it.name == name).map(|it| it.verdict);
        let mut remedy = Remedy {
            changes: changes.to_vec(),
            mends: Vec::new(),
            makes: Vec::new(),
            opens: Vec::new(),
            still: 0,
            price: Vec::new(),
            unpriced: 0,
        };
        let mut broken = Vec::new();
        for join in joins {
            for (name, verdict) in self.verdicts(join) {
                let was = before(&name);
                match verdict {
                    Verdict::Clashes if was != Some(Verdict::Clashes) => broken.push((join, name.clone())),
                    Verdict::Clashes => remedy.still += 1,
                    Verdict::Open if was != Some(Verdict::Open) => remedy.opens.push(name.clone()),
                    Verdict::Fits if was.is_some_and(|was| was != Verdict::Fits) => remedy.mends.push(name.clone()),
                    _ => {}
                }
                remedy.makes.push(name);
            }
        }
        if !broken.is_empty() {
            return Outcome::Breaks(broken);
        }
        self.price(&mut remedy);
        Outcome::Mends(remedy)
    }

    /// Whether the joint that is to be mended fails one of the requirements that it failed before: most parts are told by
    /// that, at the cost of one rule.
    fn fails_still(&self) -> bool {
        let model = self.shelf.model;
        let Some(join) = model[self.build.assembly].joins.get(self.join) else { return false };
        let rules = model[join.joint].rules.iter();
        let failed: Vec<&Rule> = rules.filter(|rule| self.failed.contains(&rule.code.text.as_str())).collect();
        let bound = bind::occurrences(model, &self.build, join);
        bound.iter().filter(|it| it.name == self.target && it.doubt.is_none()).any(|it| {
            let judging = Judging::of(model, &self.build, it);
            let eval = judging.under(Reading::default());
            failed.iter().any(|rule| verdict::holds(&eval, rule).0 == Truth::No)
        })
    }

    /// The joints of one join as the build now is.
    fn verdicts(&mut self, join: usize) -> Vec<(String, Verdict)> {
        if self.left == 0 {
            return Vec::new();
        }
        self.left -= 1;
        let model = self.shelf.model;
        let Some(join) = model[self.build.assembly].joins.get(join) else { return Vec::new() };
        let bound = bind::occurrences(model, &self.build, join);
        bound.iter().map(|it: &Bound| (it.name.clone(), verdict::only(model, &self.build, it))).collect()
    }

    fn price(&self, remedy: &mut Remedy) {
        let model = self.shelf.model;
        for part in remedy.changes.iter().map(|it| it.to).filter(|it| model.stock_of(*it) == Some(Stock::Buy)) {
            let Some(price) = model.price_of(part) else {
                remedy.unpriced += 1;
                continue;
            };
            match remedy.price.iter_mut().find(|it| it.currency == price.money.currency) {
                Some(sum) => {
                    if let Some(more) = sum.plus(price.money) {
                        *sum = more;
                    }
                }
                None => remedy.price.push(price.money),
            }
        }
    }
}
