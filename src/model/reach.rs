//! A value by its path from a build: `slot.port.field`, `slot.fact`, or a fact of the whole.

use super::*;
use std::sync::Arc;

/// What stands at the end of a path.
#[derive(Clone, Debug)]
pub enum At<'m> {
    /// A value, known or not, and what it is declared as.
    Value(&'m Valued, DeclaredId),
    /// Nothing stands in the slot.
    Empty,
    /// A part stands there that has no such fact, or a standard that has no such field.
    Lacking,
    /// The standard itself is not known, so that nothing can be said of its field.
    Unknown(&'m Valued, DeclaredId),
}

impl Model {
    /// The part in a slot of a build; none where it is empty, left open, or there is no such slot.
    pub fn part_at(&self, build: BuildId, slot: &str) -> Option<PartId> {
        let number = self[self[build].assembly].slots.get_index_of(slot)?;
        let part = (*self[build].slots.get(number)?)?.part;
        (!self[part].undecided).then_some(part)
    }

    /// What stands at the end of a path from a build.
    pub fn at(&self, build: BuildId, path: &str) -> At<'_> {
        let assembly = &self[self[build].assembly];
        if let (Some(value), Some(id)) = (self[build].facts.get(path), assembly.facts.get(path)) {
            return At::Value(value, *id);
        }
        // The longest slot that begins the path: slots may be dotted, and so may facts.
        let cuts = path.match_indices('.').map(|(at, _)| at);
        let slot =
            cuts.filter_map(|at| path.split_at_checked(at)).rfind(|(slot, _)| assembly.slots.contains_key(*slot));
        let Some((slot, fact)) = slot else { return At::Lacking };
        match self.part_at(build, slot) {
            Some(part) => self.fact_at(part, fact.trim_start_matches('.')),
            None => At::Empty,
        }
    }

    fn fact_at(&self, part: PartId, path: &str) -> At<'_> {
        let facts = &self[self[part].kind].facts;
        let (head, field) = match path.rsplit_once('.') {
            Some((head, field)) if !facts.contains_key(path) => (head, Some(field)),
            _ => (path, None),
        };
        let found = facts.get_full(head).and_then(|(at, _, id)| Some((self[part].facts.get(at)?, *id)));
        let Some((value, id)) = found else { return At::Lacking };
        let Some(field) = field else { return At::Value(value, id) };
        let Value::Standard(fitted) = &value.value else { return At::Lacking };
        let Some(fitted) = fitted else { return At::Unknown(value, id) };
        let ids = &self[fitted.standard].fields;
        let at = ids.iter().position(|id| self[*id].name.text == field);
        match at.and_then(|at| Some((fitted.fields.get(at)?, *ids.get(at)?))) {
            Some((value, id)) => At::Value(value, id),
            None => At::Lacking,
        }
    }
}

impl Model {
    /// A standard of which only the name is known: its fields may be anything plausible, and what may be absent is.
    pub fn any_standard(&self, standard: StandardId) -> Value {
        let field = |id: &DeclaredId| {
            let declared = &self[*id];
            Valued::plain(if declared.optional { Value::Absent } else { declared.kind.unknown(declared.limits) })
        };
        let fields = self[standard].fields.iter().map(field).collect();
        Value::Standard(Some(Arc::new(Fitted { standard, fields })))
    }
}
