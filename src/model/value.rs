//! Values with where they came from.

use super::{FactId, PartId, StandardId};
use crate::quantity::{Interval, Price, Truth};
use serde::{Deserialize, Serialize};
use smallvec::{SmallVec, smallvec};
use std::sync::Arc;

/// The facts that a value was computed from, in order, each once.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Trail(SmallVec<[FactId; 6]>);

impl Trail {
    /// From one fact.
    pub fn one(fact: FactId) -> Trail {
        Trail(smallvec![fact])
    }

    /// Takes in another trail.
    pub fn join(&mut self, other: &Trail) {
        if self.0.is_empty() {
            self.0.clone_from(&other.0);
            return;
        }
        for fact in &other.0 {
            if let Err(at) = self.0.binary_search(fact) {
                self.0.insert(at, *fact);
            }
        }
    }

    /// Its facts.
    pub fn facts(&self) -> &[FactId] {
        &self.0
    }
}

/// A value, the facts it came from, and how it was written if it is one fact as it stands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Valued {
    /// The value.
    pub value: Value,
    /// Where it came from.
    pub from: Trail,
    /// As written.
    pub written: Option<Arc<str>>,
}

impl Valued {
    /// A computed value.
    pub fn computed(value: Value, from: Trail) -> Valued {
        Valued { value, from, written: None }
    }

    /// A value from nowhere: a figure of the library.
    pub fn plain(value: Value) -> Valued {
        Valued::computed(value, Trail::default())
    }
}

/// What a value may be. `None` within means: of this type, but not known.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Value {
    /// A number, in base units.
    Number(Number),
    /// An amount of money.
    Money(Option<Price>),
    /// Yes or no.
    Flag(Truth),
    /// A member of a choice, by number.
    Member(Option<usize>),
    /// Words.
    Text(Option<Arc<str>>),
    /// Several values.
    List(Option<Arc<[Valued]>>),
    /// From and to.
    Range(Option<(Number, Number)>),
    /// A standard with its fields.
    Standard(Option<Arc<Fitted>>),
    /// A part.
    Part(PartId),
    /// Not there, for good.
    Absent,
}

/// A number that a rule computes with.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Number {
    /// All that it may be.
    pub range: Interval,
    /// What a person guessed, within that.
    pub guess: Option<f64>,
}

impl Number {
    /// Exactly this.
    pub fn exact(value: f64) -> Number {
        Number::of(Interval::exact(value))
    }

    /// All of this, and no guess.
    pub fn of(range: Interval) -> Number {
        Number { range, guess: None }
    }
}

/// A standard as it stands on a part: which one, and its fields.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Fitted {
    /// Which.
    pub standard: StandardId,
    /// Its fields, in the order of the standard.
    pub fields: Vec<Valued>,
}
