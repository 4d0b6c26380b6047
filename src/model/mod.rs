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
mod later;
mod order;
mod parts;
mod pieces;
mod reach;
mod stock;
mod tables;
mod types;
mod value;
mod values;
mod works;

pub use common::{Afterwards, Amount, Measured, Stock};
pub use facts::{FactInfo, Facts, State};
pub use ids::*;
pub use ir::{Builtin, Ir, Piece, Template};
pub use later::{Later, read_from, written};
pub use parts::Makes;
pub use pieces::Pieces;
pub use reach::At;
pub use types::*;
pub use value::{Fitted, Number, Trail, Value, Valued};
pub use works::{Task, Work};

use crate::mistake::Mistake;
use crate::syntax::Lists;
use crate::syntax::tree::{Item, Tree};
use rustc_hash::FxBuildHasher;
use std::sync::Arc;

/// Things by name, in the order of the text. Nobody's enemy chooses the names, so a quick hash does.
pub type IndexMap<K, V> = indexmap::IndexMap<K, V, FxBuildHasher>;

/// What the trees of a library declare.
pub fn base(trees: &[&Tree]) -> (Arc<Base>, Vec<Mistake>) {
    let mut builder = Builder::default();
    builder.declare(trees);
    builder.tables(trees);
    builder.joints(trees);
    builder.assemblies(trees);
    (builder.model.base, builder.mistakes)
}

/// The parts and builds of some trees and of the price lists that they name, upon what a library declares.
///
/// `makes` has the parts that earlier compiles upon the same library made.
pub fn build(base: Arc<Base>, trees: &[Arc<Tree>], lists: &Lists, makes: Option<&Makes>) -> (Model, Vec<Mistake>) {
    let mut builder = Builder { model: Model { base, ..Model::default() }, ..Builder::default() };
    builder.parts(trees, makes);
    builder.stocks(trees, lists);
    builder.builds(trees);
    (builder.model, builder.mistakes)
}

/// Whether a tree declares anything but parts, builds and stocks.
pub fn declares(tree: &Tree) -> bool {
    tree.items.iter().any(|item| !matches!(item, Item::Part(_) | Item::Build(_) | Item::Stock(_) | Item::Use(_)))
}

/// The model while it is being made.
#[derive(Default)]
struct Builder {
    model: Model,
    mistakes: Vec<Mistake>,
    /// Stocks by name.
    shelves: IndexMap<String, stock::Shelf>,
}

impl Builder {
    /// What the library declares, to be added to; nothing is shared yet while that goes on.
    fn base(&mut self) -> &mut Base {
        Arc::make_mut(&mut self.model.base)
    }
}
