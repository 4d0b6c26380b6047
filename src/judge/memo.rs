//! Verdicts that are asked for again and again while parts are exchanged. What the rules of a joint do not read of a part
//! can't change its verdict: parts that agree in all that is read are of one class, and a joint is judged once for all
//! parts of the same classes.

use super::bind;
use super::verdict::{self, Verdict};
use crate::model::{Argument, Build, Builtin, Ir, Join, Model, Number, PartId, SlotId, Value, Valued};
use crate::quantity::Truth;
use rustc_hash::FxHashMap;
use std::rc::Rc;

/// The joints of one join, by name, each with its verdict.
pub(super) type Verdicts = Rc<[(String, Verdict)]>;

/// Verdicts of the joints of one build and of what becomes of it.
pub(super) struct Memo<'m> {
    model: &'m Model,
    joins: &'m [Join],
    /// By join: what it reads, once somebody asked.
    reads: Vec<Option<OfSlots>>,
    /// Classes of parts in a slot of a join.
    classes: FxHashMap<(usize, SlotId, PartId), u32>,
    /// Classes by all that is read of their parts.
    prints: FxHashMap<Print, u32>,
    verdicts: FxHashMap<Key, Verdicts>,
    /// What fails in those that clash.
    failing: FxHashMap<Key, Failing>,
}

/// A join, and the classes of the parts in its slots.
type Key = (usize, Vec<u32>);

/// The joints of one join, by name, each with the codes of the requirements that fail.
pub(super) type Failing = Rc<[(String, Vec<String>)]>;

/// All that a join reads of a part in a slot.
type Print = (usize, SlotId, Vec<u8>);

/// What a join reads, slot by slot.
type OfSlots = Rc<[(SlotId, Reads)]>;

/// What a join reads of the part in a slot.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct Reads {
    /// All there is.
    all: bool,
    /// Facts, by their paths.
    facts: Vec<String>,
}

impl Reads {
    fn add(&mut self, fact: &str) {
        if !self.facts.iter().any(|it| it == fact) {
            self.facts.push(fact.to_owned());
        }
    }

    /// Adds what an expression reads of a part, which some expressions are.
    fn collect(&mut self, ir: &Ir, is_part: &impl Fn(&Ir) -> bool) {
        match ir {
            Ir::Fact(base, name) if is_part(base) => self.add(name),
            // Of what kind a part is, and whether there is one, tells its class anyway.
            Ir::IsKind(base, _) if is_part(base) => {}
            Ir::Builtin(Builtin::Given, of) if of.first().is_some_and(is_part) => {}
            _ if is_part(ir) => self.all = true,
            _ => ir.children(&mut |it| self.collect(it, is_part)),
        }
    }
}

impl<'m> Memo<'m> {
    /// For builds of the assembly of this one, with its facts of the whole.
    pub fn of(model: &'m Model, build: &Build) -> Memo<'m> {
        let joins = model[build.assembly].joins.as_slice();
        Memo {
            model,
            joins,
            reads: vec![None; joins.len()],
            classes: FxHashMap::default(),
            prints: FxHashMap::default(),
            verdicts: FxHashMap::default(),
            failing: FxHashMap::default(),
        }
    }

    /// The joints of one join in a build.
    pub fn verdicts(&mut self, join: usize, build: &Build) -> Verdicts {
        let Some(it) = self.joins.get(join) else { return Rc::from([]) };
        let key = self.key(join, it, build);
        if let Some(known) = self.verdicts.get(&key) {
            return Rc::clone(known);
        }
        let bound = bind::occurrences(self.model, build, it);
        let judged = bound.into_iter().map(|it| {
            let verdict = verdict::only(self.model, build, &it);
            (it.name, verdict)
        });
        let judged: Verdicts = judged.collect();
        self.verdicts.insert(key, Rc::clone(&judged));
        judged
    }

    /// What fails in the joints of one join in a build.
    pub fn failing(&mut self, join: usize, build: &Build) -> Failing {
        let Some(it) = self.joins.get(join) else { return Rc::from([]) };
        let key = self.key(join, it, build);
        if let Some(known) = self.failing.get(&key) {
            return Rc::clone(known);
        }
        let bound = bind::occurrences(self.model, build, it);
        let failing: Failing = bound
            .into_iter()
            .map(|it| {
                let codes = verdict::failing(self.model, build, &it);
                (it.name, codes)
            })
            .collect();
        self.failing.insert(key, Rc::clone(&failing));
        failing
    }

    fn key(&mut self, join: usize, it: &Join, build: &Build) -> Key {
        let parts: Vec<Option<PartId>> = self.reads(join, it).iter().map(|(slot, _)| part_in(build, *slot)).collect();
        let reads = self.reads(join, it);
        let mut key = Vec::with_capacity(2 * parts.len());
        for ((slot, _), part) in reads.iter().zip(&parts) {
            key.push(part.map_or(0, |part| self.class(join, *slot, part)));
            // One part in two slots is one thing with one set of facts, two of a class are not.
            key.push(parts.iter().position(|it| it == part).and_then(|it| u32::try_from(it).ok()).unwrap_or_default());
        }
        (join, key)
    }

    /// The class of a part in a slot: those of one class are alike to a join.
    pub fn class(&mut self, join: usize, slot: SlotId, part: PartId) -> u32 {
        if let Some(known) = self.classes.get(&(join, slot, part)) {
            return *known;
        }
        let Some(it) = self.joins.get(join) else { return 0 };
        let reads = self.reads(join, it);
        let mut print = Vec::new();
        if let Some((_, reads)) = reads.iter().find(|(it, _)| *it == slot) {
            self.print(part, reads, &mut print);
        }
        // 0 is the class of an empty slot.
        let next = u32::try_from(self.prints.len() + 1).unwrap_or(u32::MAX);
        let class = *self.prints.entry((join, slot, print)).or_insert(next);
        self.classes.insert((join, slot, part), class);
        class
    }

    fn reads(&mut self, number: usize, join: &Join) -> OfSlots {
        let model = self.model;
        match self.reads.get_mut(number) {
            Some(known) => Rc::clone(known.get_or_insert_with(|| read_by(model, join).into())),
            None => Rc::from([]),
        }
    }

    /// All that is read of a part, as bytes.
    fn print(&self, part: PartId, reads: &Reads, print: &mut Vec<u8>) {
        let own = &self.model[part];
        put(print, own.kind.0);
        print.push(u8::from(own.undecided));
        if reads.all || own.undecided {
            put(print, part.0);
            return;
        }
        for path in &reads.facts {
            let (head, _) = bind::split_field(self.model, part, path);
            let number = self.model[own.kind].facts.get_index_of(head);
            match number.and_then(|number| own.facts.get(number)) {
                Some(valued) => self.print_value(valued, print),
                None => print.push(u8::MAX),
            }
        }
    }

    fn print_value(&self, valued: &Valued, print: &mut Vec<u8>) {
        let state = match valued.from.facts() {
            [only] => self.model.facts.get(*only).map_or(0, |it| it.state as u8 + 1),
            _ => 0,
        };
        print.push(state);
        let number = |print: &mut Vec<u8>, number: &Number| {
            print.extend(number.range.low().to_bits().to_le_bytes());
            print.extend(number.range.high().to_bits().to_le_bytes());
            print.extend(number.guess.map_or(u64::MAX, f64::to_bits).to_le_bytes());
        };
        let count = |print: &mut Vec<u8>, count: Option<usize>| put(print, count.map_or(0, |it| it + 1));
        match &valued.value {
            Value::Number(it) => {
                print.push(1);
                number(print, it);
            }
            Value::Money(price) => {
                print.push(2);
                let words = price.map(|it| it.to_string()).unwrap_or_default();
                count(print, Some(words.len()));
                print.extend(words.bytes());
            }
            Value::Flag(truth) => print.extend([
                3,
                match truth {
                    Truth::No => 0,
                    Truth::Open => 1,
                    Truth::Yes => 2,
                },
            ]),
            Value::Member(member) => {
                print.push(4);
                count(print, *member);
            }
            Value::Text(text) => {
                print.push(5);
                count(print, text.as_ref().map(|it| it.len()));
                print.extend(text.iter().flat_map(|it| it.bytes()));
            }
            Value::List(items) => {
                print.push(6);
                count(print, items.as_ref().map(|it| it.len()));
                items.iter().flat_map(|it| it.iter()).for_each(|it| self.print_value(it, print));
            }
            Value::Range(ends) => {
                print.extend([7, u8::from(ends.is_some())]);
                ends.iter().for_each(|(low, high)| {
                    number(print, low);
                    number(print, high);
                });
            }
            Value::Standard(fitted) => {
                print.push(8);
                count(print, fitted.as_ref().map(|it| it.standard.0));
                fitted.iter().flat_map(|it| &it.fields).for_each(|it| self.print_value(it, print));
            }
            Value::Part(part) => {
                print.push(9);
                put(print, part.0);
            }
            Value::Absent => print.push(10),
        }
    }
}

fn put(print: &mut Vec<u8>, number: usize) {
    print.extend(number.to_le_bytes());
}

fn part_in(build: &Build, slot: SlotId) -> Option<PartId> {
    build.slots.get(slot.0).copied().flatten().map(|it| it.part)
}

/// What a join reads of the parts in its slots, as far as a verdict hangs on it.
fn read_by(model: &Model, join: &Join) -> Vec<(SlotId, Reads)> {
    let mut all: Vec<(SlotId, Reads)> = Vec::new();
    let mut of = |slot: SlotId, more: &mut dyn FnMut(&mut Reads)| {
        let at = all.iter().position(|(it, _)| *it == slot).unwrap_or_else(|| {
            all.push((slot, Reads::default()));
            all.len() - 1
        });
        if let Some((_, reads)) = all.get_mut(at) {
            more(reads);
        }
    };
    let joint = &model[join.joint];
    for (number, argument) in join.arguments.iter().enumerate() {
        match argument {
            Some(Argument::Fact(slot, path)) => of(*slot, &mut |reads| reads.add(path)),
            Some(Argument::Slot(slot)) => of(*slot, &mut |reads| {
                let is_part = |ir: &Ir| matches!(ir, Ir::Parameter(it) if *it == number);
                joint.decides(&mut |ir| reads.collect(ir, &is_part));
            }),
            Some(Argument::Whole(_) | Argument::Fixed(_)) | None => {}
        }
    }
    if let Some(through) = &join.through {
        of(through.slot, &mut |reads| {
            reads.add(&through.first.1);
            reads.add(&through.second.1);
        });
    }
    if let Some(when) = &join.when {
        let mut slots = Vec::new();
        when.each(&mut |ir| {
            if let Ir::Slot(slot) = ir {
                slots.push(*slot);
            }
        });
        for slot in slots {
            of(slot, &mut |reads| reads.collect(when, &|ir| matches!(ir, Ir::Slot(it) if *it == slot)));
        }
    }
    all
}
