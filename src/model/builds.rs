//! Builds: slots filled, and what is taken over from another build.

use super::*;
use crate::mistake;
use crate::source::Span;
use crate::syntax::tree::{self, Item, Origin, ValueNode};

impl Builder {
    /// Builds in the order of the text; each after the one that it comes from.
    pub(super) fn builds(&mut self, trees: &[Arc<tree::Tree>]) {
        let mut written: IndexMap<&str, &tree::Build> = IndexMap::default();
        for item in trees.iter().flat_map(|tree| &tree.items) {
            if let Item::Build(build) = item {
                if let Some(first) = written.get(build.name.text.as_str()) {
                    let name = &build.name;
                    self.mistakes.push(mistake::name_twice(name.span, "build", &name.text, first.name.span));
                } else {
                    written.insert(&build.name.text, build);
                }
            }
        }
        let mut made: IndexMap<String, Option<Build>> = IndexMap::default();
        for name in written.keys() {
            self.build_chain(name, &written, &mut made);
        }
        // In the order of the text, whatever order they came from each other in.
        let mut numbers: IndexMap<String, BuildId> = IndexMap::default();
        for name in written.keys() {
            if let Some(Some(_)) = made.get(*name) {
                numbers.insert((*name).to_owned(), BuildId(numbers.len()));
            }
        }
        for name in written.keys() {
            if let Some(mut build) = made.get_mut(*name).and_then(Option::take) {
                let from = match written.get(name).map(|it| &it.origin) {
                    Some(Origin::From(other)) => numbers.get(&other.text).copied(),
                    _ => None,
                };
                build.from = from;
                self.model.builds.push(build);
            }
        }
        self.model.build_names = numbers;
    }

    /// Makes a build and all that it comes from, without recursion.
    fn build_chain<'t>(
        &mut self,
        name: &'t str,
        written: &IndexMap<&'t str, &'t tree::Build>,
        made: &mut IndexMap<String, Option<Build>>,
    ) {
        let mut chain: Vec<&tree::Build> = Vec::new();
        let mut next = name;
        while !made.contains_key(next) {
            let Some(build) = written.get(next) else { break };
            if let Some(start) = chain.iter().position(|it| it.name.text == next) {
                let mut circle: Vec<String> = chain.iter().skip(start).map(|it| it.name.text.clone()).collect();
                circle.push(next.to_owned());
                let at = chain.last().map_or(build.name.span, |it| origin_span(it));
                self.mistakes.push(mistake::build_loop(at, &circle));
                for build in chain.drain(..) {
                    made.insert(build.name.text.clone(), None);
                }
                return;
            }
            chain.push(build);
            match &build.origin {
                Origin::From(other) => next = &other.text,
                Origin::Assembly(_) => break,
            }
        }
        for build in chain.into_iter().rev() {
            let result = self.build(build, written, made);
            made.insert(build.name.text.clone(), result);
        }
    }

    fn build(
        &mut self,
        build: &tree::Build,
        written: &IndexMap<&str, &tree::Build>,
        made: &IndexMap<String, Option<Build>>,
    ) -> Option<Build> {
        let (assembly, mut slots, mut facts) = match &build.origin {
            Origin::Assembly(name) => {
                let Some(id) = self.model.names.assemblies.get(&name.text).copied() else {
                    let known: Vec<&str> = self.model.names.assemblies.keys().map(String::as_str).collect();
                    self.mistakes.push(mistake::name_unknown(name.span, "assembly", &name.text, known));
                    return None;
                };
                let count = self.model[id].slots.len();
                let facts: Vec<(String, DeclaredId)> =
                    self.model[id].facts.iter().map(|(name, id)| (name.clone(), *id)).collect();
                let facts =
                    facts.into_iter().map(|(name, id)| (name, self.fact(id, None, None, build.name.span))).collect();
                (id, vec![None; count], facts)
            }
            Origin::From(name) => match made.get(&name.text) {
                Some(Some(base)) => (base.assembly, base.slots.clone(), base.facts.clone()),
                // The build it comes from has its own mistake; a second one would say nothing new.
                Some(None) => return None,
                None => {
                    let known = written.keys().copied();
                    self.mistakes.push(mistake::name_unknown(name.span, "build", &name.text, known));
                    return None;
                }
            },
        };
        let inherited = matches!(build.origin, Origin::From(_));
        let emptied = self.removes(build, assembly, &mut slots);
        let mut given: Vec<&tree::Name> = Vec::new();
        for assign in &build.assigns {
            let name = &assign.path;
            if let Some(first) = given.iter().find(|it| it.text == name.text) {
                self.mistakes.push(mistake::fact_twice(name.span, &name.text, first.span));
                continue;
            }
            given.push(name);
            if let Some(removed) = build.removes.iter().find(|it| it.text == name.text) {
                self.mistakes.push(mistake::slot_removed(name.span, &name.text, removed.span));
            }
            if let Some(number) = self.model[assembly].slots.get_index_of(&name.text) {
                let filled = self.fill(assign, assembly, SlotId(number));
                if let (Some(filled), Some(place)) = (filled, slots.get_mut(number)) {
                    *place = Some(filled);
                }
            } else if let Some(id) = self.model[assembly].facts.get(&name.text).copied() {
                let value = self.fact(id, Some(&assign.value), None, build.name.span);
                facts.insert(name.text.clone(), value);
            } else {
                let mistake = self.slot_misnamed(build, assembly, assign);
                self.mistakes.push(mistake);
            }
        }
        self.missing_slots(build, assembly, &slots, inherited.then_some(emptied));
        let doc = build.doc.as_ref().map(|text| text.text.clone()).unwrap_or_default();
        Some(Build { name: build.name.clone(), doc, assembly, from: None, slots, facts, span: build.span })
    }

    /// What is put into a slot that the assembly does not have: a part that fits few slots tells which are meant.
    fn slot_misnamed(&self, build: &tree::Build, assembly: AssemblyId, assign: &tree::Assign) -> Mistake {
        /// Slots from which on the part tells too little.
        const MANY: usize = 4;
        let (name, assembly) = (&assign.path, &self.model[assembly]);
        if let ValueNode::Name(part) = &assign.value.node
            && let Some(id) = self.model.part_names.get(part)
        {
            let kind = self.model[*id].kind;
            let filled = |slot: &str| build.assigns.iter().any(|it| it.path.text == slot);
            let takers = assembly.slots.iter().filter(|(slot, it)| it.kinds.contains(&kind) && !filled(slot));
            let takers: Vec<&str> = takers.map(|(slot, _)| slot.as_str()).take(MANY).collect();
            if (1..MANY).contains(&takers.len()) {
                return mistake::slot_misnamed(
                    name.span,
                    &name.text,
                    &assembly.name.text,
                    &self.model[kind].name.text,
                    &takers,
                );
            }
        }
        let known = assembly.slots.keys().chain(assembly.facts.keys()).map(String::as_str);
        mistake::slot_unknown(name.span, &name.text, &assembly.name.text, known)
    }

    /// Empties slots; gives those that were filled before.
    fn removes<'t>(
        &mut self,
        build: &'t tree::Build,
        assembly: AssemblyId,
        slots: &mut [Option<Filled>],
    ) -> Vec<&'t tree::Name> {
        let mut emptied = Vec::new();
        for name in &build.removes {
            let found = self.model[assembly].slots.get_index_of(&name.text);
            let Some(number) = found else {
                let known: Vec<&str> = self.model[assembly].slots.keys().map(String::as_str).collect();
                let assembly = self.model[assembly].name.text.clone();
                self.mistakes.push(mistake::slot_unknown(name.span, &name.text, &assembly, known));
                continue;
            };
            match slots.get_mut(number) {
                Some(place) if place.is_some() => {
                    *place = None;
                    emptied.push(name);
                }
                _ => {
                    let names = self.model[assembly].slots.keys().zip(slots.iter());
                    let filled: Vec<String> =
                        names.filter(|(_, it)| it.is_some()).map(|(name, _)| name.clone()).collect();
                    self.mistakes.push(mistake::slot_empty(name.span, &name.text, filled.iter().map(String::as_str)));
                }
            }
        }
        emptied
    }

    fn fill(&mut self, assign: &tree::Assign, assembly: AssemblyId, slot: SlotId) -> Option<Filled> {
        let kinds = self.model[assembly].slots.get_index(slot.0)?.1.kinds.clone();
        let span = assign.value.span;
        match &assign.value.node {
            ValueNode::Unknown => {
                // Where several kinds may stand, the first stands for all: nothing of it is known anyway.
                let part = self.undecided(&assign.path, *kinds.first()?, span);
                Some(Filled { part, span })
            }
            ValueNode::Name(name) => {
                let Some(part) = self.model.part_names.get(name).copied() else {
                    if let Some((stock, row)) = name.split_once('.') {
                        return self.fill_from_stock(assign, (stock, row), *kinds.first()?);
                    }
                    let fitting = self.model.parts.iter().filter(|it| !it.undecided && kinds.contains(&it.kind));
                    let fitting: Vec<&str> = fitting.map(|it| it.name.text.as_str()).collect();
                    let all: Vec<&str> = self.model.part_names.keys().map(String::as_str).collect();
                    let kinds: Vec<&str> = kinds.iter().map(|id| self.model[*id].name.text.as_str()).collect();
                    self.mistakes.push(mistake::part_unknown(span, name, &kinds, fitting, all));
                    return None;
                };
                let (kind, part_at) = (self.model[part].kind, self.model[part].name.span);
                if !kinds.contains(&kind) {
                    let takes: Vec<&str> = kinds.iter().map(|id| self.model[*id].name.text.as_str()).collect();
                    let slots = self.model[assembly].slots.values().filter(|it| it.kinds.contains(&kind));
                    let meant: Vec<&str> = slots.map(|it| it.name.text.as_str()).collect();
                    let part = (name.as_str(), self.model[kind].name.text.as_str(), part_at);
                    self.mistakes.push(mistake::slot_kind(span, &assign.path.text, part, takes, meant));
                    return None;
                }
                Some(Filled { part, span })
            }
            _ => {
                let declared = self.model[assembly].slots.get_index(slot.0)?.1.name.span;
                let words = "the name of a part, or `?`";
                let way_out = "declare the part by name, and put that name here";
                self.mistakes.push(mistake::fact_type(span, &assign.path.text, words, way_out, declared));
                None
            }
        }
    }

    /// What a slot holds that is given a part which no stock has.
    fn fill_from_stock(&mut self, assign: &tree::Assign, (stock, row): (&str, &str), kind: KindId) -> Option<Filled> {
        let span = assign.value.span;
        let Some(shelf) = self.shelves.get(stock) else {
            let at = Span { end: span.start.saturating_add(u32::try_from(stock.len()).unwrap_or(0)), ..span };
            self.mistakes.push(mistake::name_unknown(at, "stock", stock, self.shelves.keys().map(String::as_str)));
            return None;
        };
        if shelf.unread {
            // Told already; what the part is like, nobody knows.
            return Some(Filled { part: self.undecided(&assign.path, kind, span), span });
        }
        let left_out = shelf.left_out.get(&format!("{stock}.{row}")).copied();
        let known = self.model.part_names.keys().map(String::as_str);
        let known: Vec<&str> = known.filter(|it| it.split('.').next() == Some(stock)).collect();
        self.mistakes.push(mistake::stock_part(span, row, stock, left_out, known));
        None
    }

    /// Slots that must be filled and are not: all of them in a build of its own, in a derived one those that it `emptied`.
    fn missing_slots(
        &mut self,
        build: &tree::Build,
        assembly: AssemblyId,
        slots: &[Option<Filled>],
        emptied: Option<Vec<&tree::Name>>,
    ) {
        let (mut missing, mut found) = (Vec::new(), Vec::new());
        for ((name, slot), filled) in self.model[assembly].slots.iter().zip(slots) {
            let named = build.assigns.iter().any(|it| it.path.text == *name);
            let removed = emptied.as_ref().map(|all| all.iter().find(|it| it.text == *name));
            if slot.optional || filled.is_some() || named || removed == Some(None) {
                continue;
            }
            let kinds: Vec<&str> = slot.kinds.iter().map(|id| self.model[*id].name.text.as_str()).collect();
            let what = if slot.doc.is_empty() { kinds.join(" or ") } else { slot.doc.clone() };
            match removed.flatten() {
                Some(removed) => found.push(mistake::slot_emptied(removed.span, &build.name.text, name, &what)),
                None => missing.push((name.as_str(), what)),
            }
        }
        if !missing.is_empty() {
            let first = build.assigns.iter().map(|it| it.path.span).min();
            found.push(mistake::slots_missing(build.name.span, &build.name.text, &missing, first));
        }
        self.mistakes.append(&mut found);
    }
}

fn origin_span(build: &tree::Build) -> Span {
    match &build.origin {
        Origin::Assembly(name) | Origin::From(name) => name.span,
    }
}
