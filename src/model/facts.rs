//! Facts as they stand in the text: what a trail points to.

use super::{DeclaredId, FactId, PartId};
use crate::source::Span;
use std::sync::Arc;

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

/// All facts of one compile: first those of texts whose parts are shared with other compiles, then its own.
#[derive(Clone, Debug, Default)]
pub struct Facts {
    /// Stretches of facts in order, each with how many come before it.
    shared: Vec<(usize, Arc<Vec<FactInfo>>)>,
    /// How many facts those hold.
    before: usize,
    own: Vec<FactInfo>,
}

impl Facts {
    /// None yet, to be numbered behind so many others.
    pub(super) fn behind(before: usize) -> Facts {
        Facts { shared: Vec::new(), before, own: Vec::new() }
    }

    /// Adds a fact and gives it a number.
    pub fn add(&mut self, fact: FactInfo) -> FactId {
        let id = FactId(u32::try_from(self.len()).unwrap_or(u32::MAX));
        self.own.push(fact);
        id
    }

    /// Adds facts that were numbered behind as many as there are here; there must be none of its own yet.
    pub(super) fn share(&mut self, facts: &Arc<Vec<FactInfo>>) {
        debug_assert!(self.own.is_empty(), "what is shared comes first");
        self.shared.push((self.before, Arc::clone(facts)));
        self.before += facts.len();
    }

    /// Its own facts, for others to share.
    pub(super) fn into_own(self) -> Arc<Vec<FactInfo>> {
        Arc::new(self.own)
    }

    /// How many there are.
    pub(super) fn len(&self) -> usize {
        self.before + self.own.len()
    }

    /// Takes back its own facts that were added after the first `count` of all.
    pub(super) fn truncate(&mut self, count: usize) {
        self.own.truncate(count.saturating_sub(self.before));
    }

    /// The fact with this number.
    pub fn get(&self, id: FactId) -> Option<&FactInfo> {
        let number = id.0 as usize;
        if let Some(own) = number.checked_sub(self.before) {
            return self.own.get(own);
        }
        let stretch = self.shared.partition_point(|(before, _)| *before <= number).checked_sub(1)?;
        let (before, facts) = self.shared.get(stretch)?;
        facts.get(number - before)
    }

    /// Every fact with its number.
    pub fn iter(&self) -> impl Iterator<Item = (FactId, &FactInfo)> {
        let shared = self.shared.iter().flat_map(|(_, facts)| facts.iter());
        (0u32..).map(FactId).zip(shared.chain(&self.own))
    }
}
