//! Remedies, proven: other parts in the slots of a joint that does not fit, kept only where the joint then fits and no rule
//! clashes that did not clash before.

mod chain;

use super::bind;
use super::memo::Memo;
use super::verdict::{self, JudgedBuild, JudgedJoint, Verdict};
use crate::model::{Argument, Build, Filled, Ir, Join, KindId, Model, PartId, SlotId, Stock};
use crate::quantity::Price;
use rustc_hash::FxHashMap;
use std::collections::BTreeMap;
use std::rc::Rc;

pub use chain::{DEEP, WhatIf, what_if};

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
    /// Joints of the exchanged parts that clash as they did before, and for no other reason.
    pub still: Vec<String>,
    /// Advice that is not followed with it and was before, by code.
    pub advises: Vec<String>,
    /// What the parts cost that must be bought, a sum a currency.
    pub price: Vec<Price>,
    /// Parts to buy whose price is not known.
    pub unpriced: usize,
}

/// Remedies that are told of a joint, at most.
const TOLD: usize = 3;
/// Sets of changes that are tried for one joint, at most: a search ends, whatever the stock.
const TRIALS: usize = 10_000;
/// Parts that break just one other joint, of which a second change is looked for.
const NEAR: usize = 24;

/// Parts that may be put somewhere, by what they are, and which joints each slot takes part in.
struct Shelf<'m> {
    model: &'m Model,
    by_kind: BTreeMap<KindId, Vec<PartId>>,
    /// Joins by slot.
    touched: Vec<Vec<usize>>,
}

impl<'m> Shelf<'m> {
    /// All that the model has for builds of the assembly of this one.
    fn of(model: &'m Model, build: &Build) -> Shelf<'m> {
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

    /// Joins that hang on slots of some changes, each once.
    fn touched_by(&self, changes: &[Change]) -> Vec<usize> {
        let mut joins: Vec<usize> =
            changes.iter().filter_map(|it| self.touched.get(it.slot.0)).flatten().copied().collect();
        joins.sort_unstable();
        joins.dedup();
        joins
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

/// Looks for remedies in one build. What it learns of one joint it remembers for the next.
pub struct Mender<'s, 'm> {
    shelf: Shelf<'m>,
    /// The build; while something is tried, with that in place.
    build: Build,
    /// The build as it stands.
    stands: &'m Build,
    /// Its joints.
    before: FxHashMap<&'s str, &'s JudgedJoint>,
    memo: Memo<'m>,
    /// Parts that could stand in a slot instead of what does: those that cost nothing first, then the cheapest.
    candidates: FxHashMap<SlotId, Rc<[PartId]>>,
}

impl<'s, 'm> Mender<'s, 'm> {
    /// For a judged build of a model.
    pub fn of(model: &'m Model, judged: &'s JudgedBuild) -> Mender<'s, 'm> {
        let build = &model[judged.build];
        Mender {
            shelf: Shelf::of(model, build),
            build: build.clone(),
            stands: build,
            before: judged.joints.iter().map(|it| (it.name.as_str(), it)).collect(),
            memo: Memo::of(model, build),
            candidates: FxHashMap::default(),
        }
    }

    /// What would make a joint fit: at most three remedies, those with nothing to buy first, then the cheapest, then those
    /// with the fewest changes. Parts that clash elsewhere as those before them did come last, whatever they cost.
    pub fn remedies(&mut self, joint: &JudgedJoint) -> Vec<Remedy> {
        let joins = &self.shelf.model[self.build.assembly].joins;
        let named = |join: &Join| {
            joint.name.strip_prefix(join.name.text.as_str()).is_some_and(|it| it.is_empty() || it == ".adapter")
        };
        let Some(join) = joins.iter().position(named) else { return Vec::new() };
        let mut search = Search { mender: self, target: Some((join, &joint.name)), left: TRIALS, found: Vec::new() };
        search.run();
        let mut found = search.found;
        found.iter_mut().for_each(|it| it.advises = self.advises(&it.changes));
        found
    }

    /// Advice that is not followed with some changes and is without them, by code.
    fn advises(&mut self, changes: &[Change]) -> Vec<String> {
        let mut build = self.build.clone();
        let span = build.span;
        changes.iter().for_each(|it| put(&mut build, it.slot, Some(Filled { part: it.to, span })));
        let model = self.shelf.model;
        let joins = self.shelf.touched_by(changes);
        let joins = joins.into_iter().filter_map(|join| model[build.assembly].joins.get(join));
        let mut codes: Vec<String> = Vec::new();
        for bound in joins.flat_map(|join| bind::occurrences(model, &build, join)) {
            let was = self.before.get(bound.name.as_str());
            let anew = |code: &&str| was.is_none_or(|was| was.advice().all(|it| it.code != **code));
            for code in verdict::advised(model, &build, &bound).into_iter().filter(anew) {
                if !codes.iter().any(|it| it == code) {
                    codes.push(code.to_owned());
                }
            }
        }
        codes
    }
}

/// By what remedies are put in order.
fn rank(it: &Remedy) -> impl Ord + '_ {
    (it.still.len(), it.unpriced, &it.price, it.changes.len(), it.opens.len(), &it.changes)
}

/// What happens to one joint's neighbours when parts are exchanged.
struct Search<'a, 's, 'm> {
    mender: &'a mut Mender<'s, 'm>,
    /// The join and the name of the joint that is to be mended, if one is.
    target: Option<(usize, &'a str)>,
    left: usize,
    /// The best so far, in order.
    found: Vec<Remedy>,
}

/// What a set of changes does.
enum Outcome {
    /// The joint does not fit.
    No,
    /// As many remedies are known as are told, and all cost less; or enough was tried.
    Dear,
    /// It fits, and so does all else that did: it is among those found, or they are better.
    Mends,
    /// It fits, but joints of these joins clash that did not.
    Breaks(Vec<usize>),
}

impl Search<'_, '_, '_> {
    fn run(&mut self) {
        let Some((join, _)) = self.target else { return };
        let slots = self.slots_of_join(join);
        let mut near: Vec<(Change, usize)> = Vec::new();
        for slot in &slots {
            for class in self.classes(join, *slot) {
                // Of a class, all mend the joint or none does.
                for to in class {
                    let change = Change { slot: *slot, to };
                    match self.with(&[change]) {
                        Outcome::No | Outcome::Dear => break,
                        Outcome::Breaks(broken) => {
                            if let ([broken], true) = (broken.as_slice(), near.len() < NEAR) {
                                near.push((change, *broken));
                            }
                        }
                        Outcome::Mends => {}
                    }
                }
            }
        }
        if self.found.iter().any(|it| it.still.is_empty()) {
            return;
        }
        self.both_sides(join, &slots);
        for (first, broken) in near {
            self.with_a_second(first, broken);
        }
    }

    /// Two sides of the joint exchanged at once.
    fn both_sides(&mut self, join: usize, slots: &[SlotId]) {
        for (at, one) in slots.iter().enumerate() {
            for other in slots.iter().skip(at + 1) {
                let (ones, others) = (self.classes(join, *one), self.classes(join, *other));
                for (firsts, seconds) in ones.iter().flat_map(|it| others.iter().map(move |other| (it, other))) {
                    self.pairs((*one, firsts), (*other, seconds));
                }
            }
        }
    }

    /// Parts of one class of each of two slots.
    fn pairs(&mut self, (one, firsts): (SlotId, &[PartId]), (other, seconds): (SlotId, &[PartId])) {
        for first in firsts {
            for (number, second) in seconds.iter().enumerate() {
                let changes = [Change { slot: one, to: *first }, Change { slot: other, to: *second }];
                match self.with(&changes) {
                    // One pair tells of all whether they mend the joint, unless it is one part twice.
                    Outcome::No if first != second => return,
                    // Those that follow cost as much or more.
                    Outcome::Dear if number == 0 => return,
                    Outcome::Dear => break,
                    Outcome::No | Outcome::Mends | Outcome::Breaks(_) => {}
                }
            }
        }
    }

    /// A change that breaks one other joint, with another one that mends that.
    fn with_a_second(&mut self, first: Change, broken: usize) {
        for slot in self.slots_of_join(broken).into_iter().filter(|slot| *slot != first.slot) {
            for class in self.classes(broken, slot) {
                for to in class {
                    match self.with(&[first, Change { slot, to }]) {
                        Outcome::Dear => break,
                        Outcome::Breaks(still) if still.contains(&broken) => break,
                        Outcome::No | Outcome::Mends | Outcome::Breaks(_) => {}
                    }
                }
            }
        }
    }

    /// Parts that could stand in a slot, those together that are alike to a join.
    fn classes(&mut self, join: usize, slot: SlotId) -> Vec<Vec<PartId>> {
        let mut numbers: FxHashMap<u32, usize> = FxHashMap::default();
        let mut classes: Vec<Vec<PartId>> = Vec::new();
        for part in self.candidates(slot).iter() {
            let class = self.mender.memo.class(join, slot, *part);
            let at = *numbers.entry(class).or_insert(classes.len());
            match classes.get_mut(at) {
                Some(class) => class.push(*part),
                None => classes.push(vec![*part]),
            }
        }
        classes
    }

    fn slots_of_join(&self, join: usize) -> Vec<SlotId> {
        let model = self.mender.shelf.model;
        let Some(join) = model[self.mender.build.assembly].joins.get(join) else { return Vec::new() };
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

    fn candidates(&mut self, slot: SlotId) -> Rc<[PartId]> {
        if let Some(known) = self.mender.candidates.get(&slot) {
            return Rc::clone(known);
        }
        let found: Rc<[PartId]> = self.mender.candidates(slot).into();
        self.mender.candidates.insert(slot, Rc::clone(&found));
        found
    }

    /// Tries changes, and leaves the build as it was.
    fn with(&mut self, changes: &[Change]) -> Outcome {
        if self.left == 0 {
            return Outcome::Dear;
        }
        self.left -= 1;
        self.while_in(changes, |search| search.tried(changes))
    }

    /// Whether nothing clashes anew in the joints of a join with some changes.
    fn clears(&mut self, join: usize, changes: &[Change]) -> bool {
        if self.left == 0 {
            return false;
        }
        self.left -= 1;
        self.while_in(changes, |search| search.mender.clashing(join).is_empty())
    }

    /// Something done while changes are in place.
    fn while_in<T>(&mut self, changes: &[Change], work: impl FnOnce(&mut Self) -> T) -> T {
        let build = &mut self.mender.build;
        let stood: Vec<Option<Filled>> =
            changes.iter().map(|it| build.slots.get(it.slot.0).copied().flatten()).collect();
        let span = build.span;
        for it in changes {
            put(build, it.slot, Some(Filled { part: it.to, span }));
        }
        let outcome = work(self);
        for (it, stood) in changes.iter().zip(stood) {
            put(&mut self.mender.build, it.slot, stood);
        }
        outcome
    }

    fn tried(&mut self, changes: &[Change]) -> Outcome {
        // One piece can't lie in two places.
        if changes.len() > 1 && !changes.iter().all(|it| self.mender.is_enough(it.to, None)) {
            return Outcome::No;
        }
        // The joint that is to be mended first, if there is one: most parts do not even mend that.
        if let Some((join, name)) = self.target {
            let own = self.mender.memo.verdicts(join, &self.mender.build);
            if !own.iter().any(|(it, _)| it == name) || own.iter().any(|(_, it)| *it != Verdict::Fits) {
                return Outcome::No;
            }
        }
        let mut remedy = Remedy::of(self.mender.shelf.model, changes);
        if let Some(worst) = self.found.get(TOLD - 1)
            && (worst.still.len(), worst.unpriced, &worst.price) < (0, remedy.unpriced, &remedy.price)
        {
            return Outcome::Dear;
        }
        let joins = self.mender.shelf.touched_by(changes);
        let broken: Vec<usize> =
            joins.iter().flat_map(|join| self.mender.clashing(*join).into_iter().map(|_| *join)).collect();
        if !broken.is_empty() {
            return Outcome::Breaks(broken);
        }
        let Mender { build, before, memo, .. } = &mut *self.mender;
        for (name, verdict) in joins.iter().flat_map(|join| memo.verdicts(*join, build).to_vec()) {
            let was = before.get(name.as_str()).map(|it| it.verdict);
            match verdict {
                Verdict::Clashes => remedy.still.push(name.clone()),
                Verdict::Open if was != Some(Verdict::Open) => remedy.opens.push(name.clone()),
                Verdict::Fits if was.is_some_and(|was| was != Verdict::Fits) => remedy.mends.push(name.clone()),
                _ => {}
            }
            remedy.makes.push(name);
        }
        let at = self.found.partition_point(|it| rank(it) <= rank(&remedy));
        self.found.insert(at, remedy);
        self.found.truncate(TOLD);
        Outcome::Mends
    }
}

fn put(build: &mut Build, slot: SlotId, filled: Option<Filled>) {
    if let Some(place) = build.slots.get_mut(slot.0) {
        *place = filled;
    }
}

impl Mender<'_, '_> {
    /// Parts that could stand in a slot instead of what does: those that cost nothing first, then by what they cost.
    fn candidates(&self, slot: SlotId) -> Vec<PartId> {
        let model = self.shelf.model;
        let Some((_, declared)) = model[self.build.assembly].slots.get_index(slot.0) else { return Vec::new() };
        let now = self.build.slots.get(slot.0).copied().flatten().map(|it| it.part);
        let all = declared.kinds.iter().filter_map(|kind| self.shelf.by_kind.get(kind)).flatten();
        let mut all: Vec<PartId> =
            all.copied().filter(|part| Some(*part) != now && self.to_be_had(*part, slot)).collect();
        all.sort_by_cached_key(|part| {
            let remedy = Remedy::of(model, &[Change { slot, to: *part }]);
            (remedy.unpriced, remedy.price)
        });
        all
    }

    /// Whether a piece of this part is free: one can be bought, or is left over.
    fn to_be_had(&self, part: PartId, slot: SlotId) -> bool {
        let model = self.shelf.model;
        match model.stock_of(part) {
            Some(Stock::Buy) => model.is_available(part) != Some(false),
            Some(Stock::Bin | Stock::Donor) => self.is_enough(part, Some(slot)),
            None => false,
        }
    }

    /// Whether there are as many pieces of a part as the build takes with what is tried, if it stands in `also` too: of
    /// what lies in the bin one, or as many as the build had, of what was bought with the whole as many as came with it.
    fn is_enough(&self, part: PartId, also: Option<SlotId>) -> bool {
        let model = self.shelf.model;
        let there = match model.stock_of(part) {
            Some(Stock::Bin) => model.pieces_of(self.stands, part, None).max(1),
            Some(Stock::Donor) => {
                let bases = std::iter::successors(self.stands.from, |base| model[*base].from);
                bases.map(|base| model.pieces_of(&model[base], part, None)).max().unwrap_or(0)
            }
            Some(Stock::Buy) | None => return true,
        };
        model.pieces_of(&self.build, part, also) <= there
    }

    /// Joints of a join that clash as the build stands now and did not before, or clash for another reason than before.
    fn clashing(&mut self, join: usize) -> Vec<String> {
        let verdicts = self.memo.verdicts(join, &self.build);
        let mut anew = Vec::new();
        for (name, _) in verdicts.iter().filter(|(_, it)| *it == Verdict::Clashes) {
            let was = self.before.get(name.as_str()).filter(|it| it.verdict == Verdict::Clashes);
            let same = was.is_some_and(|was| {
                let failing = self.memo.failing(join, &self.build);
                let own = failing.iter().find(|(it, _)| it == name).map_or(&[][..], |(_, codes)| codes.as_slice());
                own.iter().all(|code| was.failing().any(|it| it.code == *code))
            });
            if !same {
                anew.push(name.clone());
            }
        }
        anew
    }
}

impl Remedy {
    /// Changes with what they cost; what they mend is still to be found out.
    fn of(model: &Model, changes: &[Change]) -> Remedy {
        let mut remedy = Remedy {
            changes: changes.to_vec(),
            mends: Vec::new(),
            makes: Vec::new(),
            opens: Vec::new(),
            still: Vec::new(),
            advises: Vec::new(),
            price: Vec::new(),
            unpriced: 0,
        };
        for part in changes.iter().map(|it| it.to).filter(|it| model.stock_of(*it) == Some(Stock::Buy)) {
            let Some(price) = model.price_of(part) else {
                remedy.unpriced += 1;
                continue;
            };
            if !price.price.add_to(&mut remedy.price) {
                remedy.unpriced += 1;
            }
        }
        remedy
    }
}
