//! Text to tree, with every mistake on the way.
//!
//! [`parse`] never fails: the grammar is total, broken stretches become mistakes, and every sound neighbour becomes a node.

mod build;
mod expected;
mod hints;
mod limits;
mod rows;
mod rules;
pub mod tree;

pub use rows::{BadRow, Fault, Lists, Row, RowCell, Rows};

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

/// Parses a value that stands alone at byte `offset` of a file; none if it is no value, or more than that.
pub fn value(file: FileId, offset: usize, text: &str) -> Option<tree::Value> {
    if limits::exceeded(file, text).is_some() {
        return None;
    }
    let pairs = Grammar::parse(Rule::whole_value, text).ok()?;
    build::value(file, offset, text, pairs)
}

/// Any text as the second half of the name of a part of a stock: small letters, digits and `_` for all else. Empty if
/// there is no letter or digit in it.
pub fn row_name(text: &str) -> String {
    let mut name = String::with_capacity(text.len());
    for mark in text.chars().flat_map(char::to_lowercase) {
        let plain = mark.is_ascii_alphanumeric()
            || !mark.is_ascii() && Grammar::parse(Rule::row_name, mark.encode_utf8(&mut [0; 4])).is_ok();
        if plain {
            name.push(mark);
        } else if !name.is_empty() && !name.ends_with('_') {
            name.push('_');
        }
    }
    name.truncate(name.trim_end_matches('_').len());
    name
}

/// Whether a word can't be a name because expressions use it.
pub fn is_reserved(word: &str) -> bool {
    Grammar::parse(Rule::name, word).map_or(true, |pairs| pairs.as_str().len() != word.len())
}
