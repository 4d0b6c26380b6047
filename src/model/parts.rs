//! Parts: facts held against their kind.

use super::values::Wanted;
use super::*;
use crate::mistake;
use crate::source::Span;
use crate::syntax::tree::{self, Item, Name};

impl Builder {
    pub(super) fn parts(&mut self, trees: &[&tree::Tree]) {
        for item in trees.iter().flat_map(|tree| &tree.items) {
            if let Item::Part(part) = item {
                self.part(part);
            }
        }
    }

    fn part(&mut self, part: &tree::Part) {
        let Some(kind) = self.model.names.kinds.get(&part.kind.text).copied() else {
            let known = self.model.names.kinds.keys().map(String::as_str);
            self.mistakes.push(mistake::name_unknown(part.kind.span, "kind", &part.kind.text, known));
            return;
        };
        let id = PartId(self.model.parts.len());
        let (names, parts) = (&mut self.model.part_names, &self.model.parts);
        let first = |id: PartId| parts.get(id.0).map_or(part.name.span, |it| it.name.span);
        if !Self::take_name(names, &mut self.mistakes, "part", &part.name, id, first) {
            return;
        }
        let mut given: Vec<&tree::Assign> = Vec::new();
        for assign in &part.facts {
            let name = &assign.path;
            if !self.model[kind].facts.contains_key(&name.text) {
                let known: Vec<&str> = self.model[kind].facts.keys().map(String::as_str).collect();
                let mistake = mistake::fact_unknown(name.span, &name.text, &part.kind.text, part.kind.span, known);
                self.mistakes.push(mistake);
            } else if let Some(first) = given.iter().find(|it| it.path.text == name.text) {
                self.mistakes.push(mistake::fact_twice(name.span, &name.text, first.path.span));
            } else {
                given.push(assign);
            }
        }
        let declared: Vec<DeclaredId> = self.model[kind].facts.values().copied().collect();
        let facts = declared.iter().map(|fact| {
            let value = given.iter().find(|it| it.path.text == self.model[*fact].name.text).map(|it| &it.value);
            self.fact(*fact, value, Some(id), part.name.span)
        });
        let facts = facts.collect();
        let doc = part.doc.as_ref().map(|text| text.text.clone()).unwrap_or_default();
        self.model.parts.push(Part { name: part.name.clone(), kind, doc, facts, span: part.span, undecided: false });
    }

    /// A fact from what is written, from its default, or unknown.
    pub(super) fn fact(
        &mut self,
        id: DeclaredId,
        value: Option<&tree::Value>,
        part: Option<PartId>,
        nowhere: Span,
    ) -> Valued {
        // Thousands of rows come by here: what is shared is held, not copied.
        let base = Arc::clone(&self.model.base);
        let Some(declared) = base.declared.get(id.0) else { return Valued::plain(Value::Absent) };
        let wanted = Wanted::of(id, declared, part);
        match (value, &declared.default) {
            // A value with a mistake in it counts as not known: the mistake is reported, and nothing hangs on it silently.
            (Some(value), _) => {
                self.value(value, &wanted).unwrap_or_else(|| self.missing(&wanted, value.span, State::Unknown))
            }
            (None, Some(default)) => {
                let by_default = Wanted { default: true, ..wanted };
                self.value(default, &by_default).unwrap_or_else(|| self.missing(&by_default, nowhere, State::Missing))
            }
            (None, None) if declared.optional => {
                Valued { value: Value::Absent, ..self.missing(&wanted, nowhere, State::Absent) }
            }
            (None, None) => self.missing(&wanted, nowhere, State::Missing),
        }
    }

    /// Holds the defaults of all that was declared from number `from` on against their types, once; one with a mistake in
    /// it is taken away, so that no part reports it again.
    pub(super) fn defaults(&mut self, from: usize) {
        for number in from..self.model.declared.len() {
            let id = DeclaredId(number);
            let declared = self.model[id].clone();
            let Some(default) = &declared.default else { continue };
            let sound = self.value(default, &Wanted::of(id, &declared, None)).is_some();
            if let Some(declared) = self.base().declared.get_mut(number).filter(|_| !sound) {
                declared.default = None;
            }
        }
    }

    /// A part that stands for one not decided on: nothing of it is known.
    pub(super) fn undecided(&mut self, slot: &Name, kind: KindId, span: Span) -> PartId {
        let id = PartId(self.model.parts.len());
        let declared: Vec<DeclaredId> = self.model[kind].facts.values().copied().collect();
        // All its facts are one: what is not known is which part it is.
        let fact = self.model.facts.add(FactInfo {
            part: None,
            path: slot.text.clone(),
            declared: None,
            span,
            state: State::Unknown,
            written: "?".to_owned(),
            loose: true,
        });
        let facts = declared.iter().map(|id| {
            let (kind, limits) = (self.model[*id].kind.clone(), self.model[*id].limits);
            Valued { value: self.unknown(&kind, limits), from: Trail::one(fact), written: None }
        });
        let facts = facts.collect();
        let name = Name { text: format!("{} (not decided)", slot.text), span };
        self.model.parts.push(Part { name, kind, doc: String::new(), facts, span, undecided: true });
        id
    }
}
