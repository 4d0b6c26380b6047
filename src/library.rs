//! The embedded library: its texts, and what they declare, as it was parsed and checked when the program was built.

use crate::mistake::Mistake;
use crate::model::Base;
use crate::syntax::tree::Tree;
use std::sync::{Arc, OnceLock};

/// Names and texts of the library's files, in the order of their numbers.
pub const TEXTS: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/library_texts.rs"));

static BASE: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/library_base.bin"));
static APART: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/library_apart.bin"));
static TREES: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/library_trees.bin"));
static MISTAKES: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/library_mistakes.bin"));

// The bytes below were written by the same build: that they can't be read back would be a fault of the build itself, and
// a test looks for it.

/// What the library declares, read back once a process.
pub fn base() -> Arc<Base> {
    static MADE: OnceLock<Arc<Base>> = OnceLock::new();
    Arc::clone(MADE.get_or_init(|| {
        crate::model::read_from(APART);
        Arc::new(postcard::from_bytes(BASE).unwrap_or_default())
    }))
}

/// Trees of the library's files, in the order of [`TEXTS`]: for a spec that declares something of its own.
pub fn trees() -> &'static [Tree] {
    static MADE: OnceLock<Vec<Tree>> = OnceLock::new();
    MADE.get_or_init(|| postcard::from_bytes(TREES).unwrap_or_default())
}

/// Mistakes in the library itself. There are none in a program that passed its tests.
pub fn mistakes() -> Vec<Mistake> {
    postcard::from_bytes(MISTAKES).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_prepared_can_be_read_back() {
        assert!(!TEXTS.is_empty());
        assert_eq!(trees().len(), TEXTS.len());
        let made = crate::model::base(&trees().iter().collect::<Vec<_>>()).0;
        assert_eq!(format!("{:?}", *made), format!("{:?}", *base()));
        assert!(postcard::from_bytes::<Vec<Mistake>>(MISTAKES).is_ok());
    }
}
