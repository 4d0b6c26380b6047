//! Facts of a build, read for a computation; what is not known is remembered with how to measure it.

use super::figure::{Figure, Standing};
use crate::judge;
use crate::model::{At, BuildId, DeclaredId, Fitted, Model, Number, State, Value, Valued};
use crate::quantity::Truth;
use std::cell::RefCell;
use std::sync::Arc;

/// A fact that a sheet needed and did not find.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// Its path from the build; for an empty slot, the slot's.
    pub path: String,
    /// What it is.
    pub what: String,
    /// How to measure it.
    pub measure: String,
}

/// A fact that nobody stated and that was taken as the library has it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Assumed {
    /// Its path from the build.
    pub path: String,
    /// What it is.
    pub what: String,
    /// The value that was taken, as the library writes it.
    pub value: String,
}

/// Reads one build.
pub struct Reader<'m> {
    /// What all builds stand in.
    pub model: &'m Model,
    /// The build.
    pub build: BuildId,
    missing: RefCell<Vec<Missing>>,
    assumed: RefCell<Vec<Assumed>>,
}

impl<'m> Reader<'m> {
    /// A reader of this build.
    pub fn of(model: &'m Model, build: BuildId) -> Reader<'m> {
        Reader { model, build, missing: RefCell::default(), assumed: RefCell::default() }
    }

    /// What was asked for and not found so far, each once, in order.
    pub fn missing(&self) -> Vec<Missing> {
        self.missing.borrow().clone()
    }

    /// What was taken as the library has it, each once, in order.
    pub fn assumed(&self) -> Vec<Assumed> {
        self.assumed.borrow().clone()
    }

    /// A number, in base units. One that is not known is remembered as missing.
    pub fn figure(&self, path: &str) -> Option<Figure> {
        let found = self.optional(path);
        if found.is_none() {
            self.miss(path);
        }
        found
    }

    /// A number that the sheet can do without.
    pub fn optional(&self, path: &str) -> Option<Figure> {
        let At::Value(valued, id) = self.model.at(self.build, path) else { return None };
        self.as_figure(valued, path, id)
    }

    /// A fact of this kind of part, if the part is there and has it: what it lacks for good is not missed.
    pub fn if_it_has(&self, path: &str) -> Option<Figure> {
        match self.model.at(self.build, path) {
            At::Value(..) | At::Unknown(..) => self.figure(path),
            At::Empty | At::Lacking => None,
        }
    }

    /// A list of numbers.
    pub fn list(&self, path: &str) -> Option<Vec<Figure>> {
        let found = self.optional_list(path);
        if found.is_none() {
            self.miss(path);
        }
        found
    }

    /// A list of numbers that the sheet can do without.
    pub fn optional_list(&self, path: &str) -> Option<Vec<Figure>> {
        let At::Value(valued, id) = self.model.at(self.build, path) else { return None };
        match &valued.value {
            Value::List(Some(items)) => items.iter().map(|it| self.as_figure(it, path, id)).collect(),
            _ => None,
        }
    }

    /// The ends of a range.
    pub fn range(&self, path: &str) -> Option<(f64, f64)> {
        let At::Value(valued, id) = self.model.at(self.build, path) else { return None };
        let Value::Range(Some((low, high))) = &valued.value else { return None };
        self.note_default(valued, path, id);
        Some((low.range.low(), high.range.high()))
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
        let (Value::Member(Some(member)), crate::model::Type::Choice(choice)) = (&valued.value, &self.model[id].kind)
        else {
            return None;
        };
        self.model[*choice].members.get(*member).map(|(name, _)| name.as_str())
    }

    /// What a function of the library makes of these; none where one of them is not known.
    pub fn library(&self, function: &str, given: &[Given]) -> Option<Figure> {
        let mut standing = Standing::Known;
        let mut arguments = Vec::with_capacity(given.len());
        for it in given {
            let valued = match it {
                Given::Number(number) => Valued::plain(Value::Number(Number::exact(*number))),
                Given::Path(path) => {
                    let At::Value(valued, _) = self.model.at(self.build, path) else {
                        self.miss(path);
                        return None;
                    };
                    valued.clone()
                }
            };
            arguments.push(settled(&valued, &mut standing));
        }
        let range = judge::call(self.model, self.build, function, &arguments);
        if range.is_none() {
            given.iter().for_each(|it| {
                if let Given::Path(path) = it {
                    self.miss(path);
                }
            });
        }
        range.map(|it| Figure::between(it.low(), it.high(), standing))
    }

    /// Whether a flag is set; none where that is not known.
    pub fn flag(&self, path: &str) -> Option<bool> {
        match self.model.at(self.build, path) {
            At::Value(Valued { value: Value::Flag(Truth::Yes), .. }, _) => Some(true),
            At::Value(Valued { value: Value::Flag(Truth::No), .. }, _) => Some(false),
            _ => None,
        }
    }

    /// Whether a part stands in the slot.
    pub fn filled(&self, slot: &str) -> bool {
        self.model.part_at(self.build, slot).is_some()
    }

    /// The name of the part in the slot.
    pub fn part(&self, slot: &str) -> Option<&'m str> {
        self.model.part_at(self.build, slot).map(|part| self.model[part].name.text.as_str())
    }

    /// The name of the kind of the part in the slot.
    pub fn kind(&self, slot: &str) -> Option<&'m str> {
        self.model.part_at(self.build, slot).map(|part| self.model[self.model[part].kind].name.text.as_str())
    }

    /// Remembers that this is not known.
    pub fn miss(&self, path: &str) {
        let (path, what, measure) = match self.model.at(self.build, path) {
            At::Value(_, id) | At::Unknown(_, id) => {
                let about = &self.model[id].about;
                (path.to_owned(), about.doc.clone(), about.measure.clone().unwrap_or_default())
            }
            At::Empty | At::Lacking => self.empty(path),
        };
        let missing = Missing { path, what, measure };
        let mut all = self.missing.borrow_mut();
        if !all.contains(&missing) {
            all.push(missing);
        }
    }

    /// The slot that a path begins with, as missing; the path itself where the part that stands there has no such fact.
    fn empty(&self, path: &str) -> (String, String, String) {
        let slots = &self.model[self.model[self.build].assembly].slots;
        let slot = slots.iter().filter(|(name, _)| path == *name || path.starts_with(&format!("{name}."))).next_back();
        match slot {
            Some((name, slot)) if !self.filled(name) => {
                (name.clone(), slot.doc.clone(), "nothing stands there".to_owned())
            }
            _ => (path.to_owned(), "the part that stands there has no such fact".to_owned(), String::new()),
        }
    }

    fn as_figure(&self, valued: &Valued, path: &str, id: DeclaredId) -> Option<Figure> {
        let Value::Number(number) = &valued.value else { return None };
        if let Some(guess) = number.guess {
            return Some(Figure { standing: Standing::Estimated, ..Figure::exact(guess) });
        }
        let state = valued.from.facts().first().and_then(|it| self.model.facts.get(*it)).map(|it| it.state);
        let standing = match state {
            Some(State::Unknown | State::Missing | State::Absent | State::Estimated) => return None,
            Some(State::Default) => Standing::Assumed,
            Some(State::Given) | None => Standing::Known,
        };
        self.note_default(valued, path, id);
        number.range.is_bounded().then(|| Figure::between(number.range.low(), number.range.high(), standing))
    }

    fn note_default(&self, valued: &Valued, path: &str, id: DeclaredId) {
        let info = valued.from.facts().first().and_then(|it| self.model.facts.get(*it));
        let Some(info) = info.filter(|it| it.state == State::Default) else { return };
        let what = self.model[id].about.doc.clone();
        let assumed = Assumed { path: path.to_owned(), what, value: info.written.clone() };
        let mut all = self.assumed.borrow_mut();
        if !all.contains(&assumed) {
            all.push(assumed);
        }
    }
}

/// An argument for a function of the library.
#[derive(Clone, Copy)]
pub enum Given<'p> {
    /// A fact, by its path.
    Path(&'p str),
    /// A number, in base units.
    Number(f64),
}

/// A value with every guess in it taken at its word.
fn settled(valued: &Valued, standing: &mut Standing) -> Valued {
    let mut out = valued.clone();
    match &valued.value {
        Value::Number(Number { guess: Some(guess), .. }) => {
            *standing = Standing::Estimated;
            out.value = Value::Number(Number::exact(*guess));
        }
        Value::Standard(Some(fitted)) => {
            let fields = fitted.fields.iter().map(|it| settled(it, standing)).collect();
            out.value = Value::Standard(Some(Arc::new(Fitted { standard: fitted.standard, fields })));
        }
        _ => {}
    }
    out
}
