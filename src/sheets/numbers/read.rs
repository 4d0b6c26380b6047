//! Facts of a build, read for a computation; what is not known is remembered with how to measure it.
//!
//! What is left out and what is not known are two things: `fact? ` that nobody wrote is not there, `fact = ?` is there and
//! nobody knows it. Nothing is ever computed as if the second were the first.

use super::figure::{Figure, Standing};
use super::lacks::{Assumed, Lacks, Missing};
use crate::model::{At, BuildId, DeclaredId, FactInfo, Model, Number, PartId, Slot, State, Type, Value, Valued};
use crate::quantity::Truth;
use std::cell::RefCell;

/// Reads one build.
pub struct Reader<'m> {
    /// What all builds stand in.
    pub model: &'m Model,
    /// The build.
    pub build: BuildId,
    lacks: RefCell<Lacks>,
}

/// What stands in a slot.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Stands {
    Part(PartId),
    /// It is left open: `slot = ?`.
    Undecided,
    Nothing,
}

impl<'m> Reader<'m> {
    /// A reader of this build.
    pub fn of(model: &'m Model, build: BuildId) -> Reader<'m> {
        Reader { model, build, lacks: RefCell::default() }
    }

    /// The build's name.
    pub fn name(&self) -> &'m str {
        &self.model[self.build].name.text
    }

    /// What was asked for and not found, and what was taken as the library has it, so far.
    pub fn lacks(&self) -> Lacks {
        self.lacks.borrow().clone()
    }

    /// Takes over what another reader lacked.
    pub fn also(&self, other: &Reader) {
        self.lacks.borrow_mut().take(other.lacks());
    }

    /// A number, in base units. One that is not known is remembered as missing.
    pub fn figure(&self, path: &str) -> Option<Figure> {
        self.found(path).or_else(|| self.miss(path))
    }

    /// A number that the sheet can do without where it is left out.
    pub fn optional(&self, path: &str) -> Option<Figure> {
        self.found(path).or_else(|| self.miss_if_open(path))
    }

    /// A number that is nothing where it is left out.
    pub fn or_nothing(&self, path: &str) -> Option<Figure> {
        self.optional(path).or_else(|| (!self.is_open(path)).then(|| Figure::exact(0.0)))
    }

    /// A number that nobody is asked for.
    pub fn if_known(&self, path: &str) -> Option<Figure> {
        self.found(path)
    }

    /// A fact of this kind of part, if the part is there and has it: what it lacks for good is not missed.
    pub fn if_it_has(&self, path: &str) -> Option<Figure> {
        match self.model.at(self.build, path) {
            At::Value(..) | At::Unknown(..) => self.figure(path),
            At::Empty | At::Lacking => self.miss_if_open(path),
        }
    }

    /// A list of numbers.
    pub fn list(&self, path: &str) -> Option<Vec<Figure>> {
        self.found_list(path).or_else(|| self.miss(path))
    }

    /// A list of numbers that the sheet can do without where it is left out.
    pub fn optional_list(&self, path: &str) -> Option<Vec<Figure>> {
        self.found_list(path).or_else(|| self.miss_if_open(path))
    }

    /// The ends of a range that the sheet can do without where it is left out.
    pub fn range(&self, path: &str) -> Option<(Figure, Figure)> {
        let found = match self.model.at(self.build, path) {
            At::Value(valued, id) => match &valued.value {
                Value::Range(Some((low, high))) => self
                    .standing(valued)
                    .and_then(|standing| number(*low, standing).zip(number(*high, standing)))
                    .inspect(|_| self.note_default(valued, path, id)),
                _ => None,
            },
            _ => None,
        };
        found.or_else(|| self.miss_if_open(path))
    }

    /// The name of the standard that stands at a port.
    pub fn standard(&self, path: &str) -> Option<&'m str> {
        match self.model.at(self.build, path) {
            At::Value(Valued { value: Value::Standard(Some(fitted)), .. }, _) => {
                Some(&self.model[fitted.standard].name.text)
            }
            _ => None,
        }
    }

    /// The name of the chosen member.
    pub fn member(&self, path: &str) -> Option<&'m str> {
        let At::Value(valued, id) = self.model.at(self.build, path) else { return None };
        let (Value::Member(Some(member)), Type::Choice(choice)) = (&valued.value, &self.model[id].kind) else {
            return None;
        };
        self.model[*choice].members.get(*member).map(|(name, _)| name.as_str())
    }

    /// Whether a flag is set; none where that is not known.
    pub fn flag(&self, path: &str) -> Option<bool> {
        match self.model.at(self.build, path) {
            At::Value(Valued { value: Value::Flag(Truth::Yes), .. }, _) => Some(true),
            At::Value(Valued { value: Value::Flag(Truth::No), .. }, _) => Some(false),
            _ => None,
        }
    }

    /// Whether something is there that nobody knows: a fact or port as `?`, or a slot left open.
    pub fn is_open(&self, path: &str) -> bool {
        match self.model.at(self.build, path) {
            At::Value(valued, _) => {
                self.standing(valued).is_none() && valued.value != Value::Absent || is_unknown(&valued.value)
            }
            At::Unknown(..) => true,
            At::Empty | At::Lacking => {
                self.slot_of(path).is_some_and(|(slot, _)| self.stands(slot) == Stands::Undecided)
            }
        }
    }

    /// Whether a part stands in the slot; none, and remembered as missing, where that is left open.
    pub fn has(&self, slot: &str) -> Option<bool> {
        match self.stands(slot) {
            Stands::Part(_) => Some(true),
            Stands::Nothing => Some(false),
            Stands::Undecided => self.miss(slot),
        }
    }

    /// Whether a fact of the whole was stated while the part stood in this slot that stands there now: in this build, or in
    /// one that it comes from and shares the part with.
    pub fn stated_with(&self, fact: &str, slot: &str) -> bool {
        let now = self.model.part_at(self.build, slot);
        let value = |build: BuildId| self.model[build].facts.get(fact).map(|it| &it.from);
        let mut stated = self.build;
        while let Some(before) = self.model[stated].from.filter(|before| value(*before) == value(self.build)) {
            stated = before;
        }
        self.model.part_at(stated, slot) == now
    }

    /// Whether a part stands in the slot, and it is known which.
    pub fn filled(&self, slot: &str) -> bool {
        self.model.part_at(self.build, slot).is_some()
    }

    /// The name of the part in the slot.
    pub fn part(&self, slot: &str) -> Option<&'m str> {
        self.model.part_at(self.build, slot).map(|part| self.model[part].name.text.as_str())
    }

    /// Remembers that this is not known. Gives nothing, for whoever wanted it.
    pub fn miss<T>(&self, path: &str) -> Option<T> {
        let slot = self.slot_of(path);
        let (path, what, measure, foreign) = match (self.model.at(self.build, path), slot) {
            (At::Value(_, id) | At::Unknown(_, id), _) => {
                let about = &self.model[id].about;
                (path, about.doc.clone(), about.measure.clone().unwrap_or_default(), false)
            }
            (_, Some((name, slot))) => match self.stands(name) {
                Stands::Part(_) => {
                    (path, "the part that stands there has no such fact".to_owned(), String::new(), false)
                }
                Stands::Undecided => (name, slot.doc.clone(), "not decided yet".to_owned(), false),
                Stands::Nothing => (name, slot.doc.clone(), "nothing stands there".to_owned(), false),
            },
            (_, None) => {
                let assembly = &self.model[self.model[self.build].assembly].name.text;
                (path, format!("there is no such thing in a `{assembly}`"), String::new(), true)
            }
        };
        let part = slot.and_then(|(name, _)| self.model.part_at(self.build, name));
        let (build, path) = (self.name().to_owned(), path.to_owned());
        self.lacks.borrow_mut().miss(Missing { build, path, what, measure, foreign, part });
        None
    }

    fn miss_if_open<T>(&self, path: &str) -> Option<T> {
        if self.is_open(path) { self.miss(path) } else { None }
    }

    fn found(&self, path: &str) -> Option<Figure> {
        let At::Value(valued, id) = self.model.at(self.build, path) else { return None };
        self.as_figure(valued, path, id)
    }

    fn found_list(&self, path: &str) -> Option<Vec<Figure>> {
        let At::Value(valued, id) = self.model.at(self.build, path) else { return None };
        match &valued.value {
            Value::List(Some(items)) => {
                let standing = self.standing(valued)?;
                let figure = |it: &Valued| match it.value {
                    Value::Number(it) => number(it, standing),
                    _ => None,
                };
                let found: Option<Vec<Figure>> = items.iter().map(figure).collect();
                found.inspect(|_| self.note_default(valued, path, id))
            }
            _ => None,
        }
    }

    /// The slot that a path leads through: the longest that begins it.
    pub(super) fn slot_of(&self, path: &str) -> Option<(&'m str, &'m Slot)> {
        let slots = &self.model[self.model[self.build].assembly].slots;
        let begins = |name: &str| path.strip_prefix(name).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'));
        let all = slots.iter().filter(|(name, _)| begins(name.as_str()));
        all.max_by_key(|(name, _)| name.len()).map(|(name, slot)| (name.as_str(), slot))
    }

    fn stands(&self, slot: &str) -> Stands {
        let build = &self.model[self.build];
        let number = self.model[build.assembly].slots.get_index_of(slot);
        match number.and_then(|it| build.slots.get(it).copied().flatten()) {
            Some(filled) if self.model[filled.part].undecided => Stands::Undecided,
            Some(filled) => Stands::Part(filled.part),
            None => Stands::Nothing,
        }
    }

    fn as_figure(&self, valued: &Valued, path: &str, id: DeclaredId) -> Option<Figure> {
        let Value::Number(it) = &valued.value else { return None };
        let figure = number(*it, self.standing(valued)?)?;
        self.note_default(valued, path, id);
        Some(figure)
    }

    /// How well a fact is known; none for one that is not.
    fn standing(&self, valued: &Valued) -> Option<Standing> {
        let info = valued.from.facts().first().and_then(|it| self.model.facts.get(*it));
        match info.map(|it| it.state) {
            Some(State::Unknown | State::Missing | State::Absent) => None,
            Some(State::Estimated) => Some(Standing::Estimated),
            Some(State::Default) => Some(Standing::Assumed),
            Some(State::Given) | None => Some(Standing::Known),
        }
    }

    fn note_default(&self, valued: &Valued, path: &str, id: DeclaredId) {
        let info = valued.from.facts().first().and_then(|it| self.model.facts.get(*it));
        if let Some(info) = info.filter(|it| it.state == State::Default) {
            self.assume(path.to_owned(), Some(id), info);
        }
    }

    pub(super) fn assume(&self, path: String, declared: Option<DeclaredId>, info: &FactInfo) {
        let what = declared.map(|id| self.model[id].about.doc.clone()).unwrap_or_default();
        let part = self.slot_of(&path).and_then(|(slot, _)| self.model.part_at(self.build, slot));
        let (build, value) = (self.name().to_owned(), info.written.clone());
        self.lacks.borrow_mut().assume(Assumed { build, path, what, value, part });
    }
}

/// A number of this standing; a guess is taken at its word.
fn number(number: Number, standing: Standing) -> Option<Figure> {
    if let Some(guess) = number.guess {
        return Some(Figure { standing: Standing::Estimated, ..Figure::exact(guess) });
    }
    // What was estimated and has no guess in it was not written as a number.
    let bounded = number.range.is_bounded() && standing != Standing::Estimated;
    bounded.then(|| Figure::between(number.range.low(), number.range.high(), standing))
}

fn is_unknown(value: &Value) -> bool {
    match value {
        Value::Member(None)
        | Value::Text(None)
        | Value::List(None)
        | Value::Range(None)
        | Value::Standard(None)
        | Value::Flag(Truth::Open) => true,
        Value::List(Some(items)) => items.iter().any(|it| is_unknown(&it.value)),
        Value::Number(number) => number.guess.is_none() && !number.range.is_bounded(),
        _ => false,
    }
}
