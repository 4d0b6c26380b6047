//! What a computation lacked, and what it took for granted.

use crate::model::PartId;

/// A fact that a sheet needed and did not find.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// The build that it is of.
    pub build: String,
    /// Its path from the build; for an empty slot, the slot's.
    pub path: String,
    /// What it is.
    pub what: String,
    /// How to measure it.
    pub measure: String,
    /// Whether this kind of build has no place for it at all.
    pub foreign: bool,
    /// The part that it is of.
    pub part: Option<PartId>,
}

/// A fact that nobody stated and that was taken as the library has it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Assumed {
    /// The build that it is of.
    pub build: String,
    /// Its path from the build.
    pub path: String,
    /// What it is.
    pub what: String,
    /// The value that was taken, as the library writes it.
    pub value: String,
    /// The part that it is of.
    pub part: Option<PartId>,
}

/// Both, each once, in the order in which they were asked for.
#[derive(Clone, Debug, Default)]
pub struct Lacks {
    /// Facts that are not known.
    pub missing: Vec<Missing>,
    /// Facts that were taken as the library has them.
    pub assumed: Vec<Assumed>,
}

impl Lacks {
    /// Remembers a fact that is not known. The same fact of the same part, in another build, is not said again.
    pub fn miss(&mut self, it: Missing) {
        if !self.missing.iter().any(|own| (&own.path, own.part) == (&it.path, it.part)) {
            self.missing.push(it);
        }
    }

    /// Remembers a fact that was taken as the library has it.
    pub fn assume(&mut self, it: Assumed) {
        if !self.assumed.iter().any(|own| (&own.path, &own.value, own.part) == (&it.path, &it.value, it.part)) {
            self.assumed.push(it);
        }
    }

    /// Takes over all that another one remembers.
    pub fn take(&mut self, other: Lacks) {
        other.missing.into_iter().for_each(|it| self.miss(it));
        other.assumed.into_iter().for_each(|it| self.assume(it));
    }
}
