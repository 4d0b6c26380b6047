//! Trees to named, typed things: what a name means, what type a fact has, what a rule computes.
//!
//! [`build`] is the one door. It never fails: what can't be understood becomes a mistake and is left out.

mod assemblies;
mod builds;
mod check;
mod checker;
mod common;
mod declare;
mod facts;
mod ids;
mod ir;
mod joints;
mod parts;
mod pieces;
mod tables;
mod types;
mod value;
mod values;

pub use common::{Amount, Measured, Stock};
pub use facts::{FactInfo, Facts, State};
pub use ids::*;
pub use ir::{Builtin, Ir, Piece, Template};
pub use pieces::Pieces;
pub use types::*;
pub use value::{Fitted, Number, Trail, Value, Valued};

use crate::mistake::Mistake;
use crate::syntax::tree::Tree;

/// Builds the model of all trees of one compile, the library's first.
pub fn build(trees: &[&Tree]) -> (Model, Vec<Mistake>) {
    let mut builder = Builder::default();
    builder.declare(trees);
    builder.tables(trees);
    builder.joints(trees);
    builder.assemblies(trees);
    builder.parts(trees);
    builder.builds(trees);
    (builder.model, builder.mistakes)
}

/// The model while it is being made.
#[derive(Default)]
struct Builder {
    model: Model,
    mistakes: Vec<Mistake>,
}
