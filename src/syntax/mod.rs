//! Text to tree, with every mistake on the way.
//!
//! [`parse`] never fails: the grammar is total, broken stretches become mistakes, and every sound neighbour becomes a node.

mod build;
mod expected;
mod hints;
mod limits;
mod rules;
pub mod tree;

use crate::mistake::{self, Mistake};
use crate::source::{FileId, Span};
use pest::Parser;
use tree::Tree;

/// The parser that pest makes of the grammar; its rules are documented there.
mod grammar {
    #![allow(missing_docs)]

    /// The parser of `grammar/cotter.pest`.
    #[derive(pest_derive::Parser)]
    #[grammar = "../grammar/cotter.pest"]
    pub struct Grammar;
}

pub use grammar::{Grammar, Rule};

/// A tree and the mistakes found while making it.
#[derive(Clone, Debug, Default)]
pub struct Parsed {
    /// What could be understood.
    pub tree: Tree,
    /// What could not.
    pub mistakes: Vec<Mistake>,
}

/// Parses one file.
pub fn parse(file: FileId, text: &str) -> Parsed {
    if let Some(mistake) = limits::exceeded(file, text) {
        return Parsed { tree: Tree::default(), mistakes: vec![mistake] };
    }
    match Grammar::parse(Rule::file, text) {
        Ok(pairs) => build::build(file, text, pairs),
        // The grammar takes every text, so what stops it is the stack guard.
        Err(error) => {
            let at = expected::position(&error).min(text.len());
            Parsed { tree: Tree::default(), mistakes: vec![mistake::too_deep(Span::new(file, at, at))] }
        }
    }
}

/// Whether a word can't be a name because expressions use it.
pub fn is_reserved(word: &str) -> bool {
    Grammar::parse(Rule::name, word).map_or(true, |pairs| pairs.as_str().len() != word.len())
}
