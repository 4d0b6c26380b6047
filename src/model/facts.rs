//! Facts as they stand in the text: what a trail points to.

use super::{DeclaredId, FactId, PartId};
use crate::source::Span;

/// What is known of a fact.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// Written, exact or within a stated range.
    Given,
    /// Written with `~`.
    Estimated,
    /// Written with `?`.
    Unknown,
    /// Not written, and its kind gives no default.
    Missing,
    /// Not written; its kind's default holds.
    Default,
    /// Not written, and so not there at all.
    Absent,
}

/// A fact of a part, of a build, or a field of a standard on a part.
#[derive(Clone, Debug)]
pub struct FactInfo {
    /// The part it is a fact of; none for a fact of a whole build.
    pub part: Option<PartId>,
    /// Its name on the part: `rear.dropout`, `rear.dropout.spacing`.
    pub path: String,
    /// Its declaration.
    pub declared: Option<DeclaredId>,
    /// Where it is written; where its part is, if it is missing; where its default is.
    pub span: Span,
    /// What is known of it.
    pub state: State,
    /// Its value as written; empty if missing.
    pub written: String,
    /// Whether its range is more than a point.
    pub loose: bool,
}

impl FactInfo {
    /// Whether measuring it could change an answer.
    pub fn is_uncertain(&self) -> bool {
        match self.state {
            State::Estimated | State::Unknown | State::Missing => true,
            State::Given => self.loose,
            State::Default | State::Absent => false,
        }
    }
}

/// All facts of one compile.
#[derive(Clone, Debug, Default)]
pub struct Facts {
    all: Vec<FactInfo>,
}

impl Facts {
    /// Adds a fact and gives it a number.
    pub fn add(&mut self, fact: FactInfo) -> FactId {
        let id = FactId(u32::try_from(self.all.len()).unwrap_or(u32::MAX));
        self.all.push(fact);
        id
    }

    /// How many there are.
    pub(super) fn len(&self) -> usize {
        self.all.len()
    }

    /// Takes back the facts that were added after the first `count`.
    pub(super) fn truncate(&mut self, count: usize) {
        self.all.truncate(count);
    }

    /// The fact with this number.
    pub fn get(&self, id: FactId) -> Option<&FactInfo> {
        self.all.get(id.0 as usize)
    }

    /// Every fact with its number.
    pub fn iter(&self) -> impl Iterator<Item = (FactId, &FactInfo)> {
        (0u32..).map(FactId).zip(&self.all)
    }
}
