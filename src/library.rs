//! The embedded library: its texts, and their trees as they were parsed when the program was built.

use crate::mistake::Mistake;
use crate::model::{self, Base};
use crate::syntax::tree::Tree;
use std::sync::{Arc, OnceLock};

/// Names and texts of the library's files, in the order of their numbers.
pub const TEXTS: &[(&str, &str)] = include!(concat!(env!("OUT_DIR"), "/library_texts.rs"));

static PREPARED: &[u8] = include_bytes!(concat!(env!("OUT_DIR"), "/library_trees.bin"));

/// Trees of the library's files with the mistakes in each; file numbers are those of [`TEXTS`].
pub fn trees() -> &'static [(Tree, Vec<Mistake>)] {
    static TREES: OnceLock<Vec<(Tree, Vec<Mistake>)>> = OnceLock::new();
    // The bytes were written by the same build: that they can't be read back would be a fault of the build itself,
    // and a test looks for it.
    TREES.get_or_init(|| postcard::from_bytes(PREPARED).unwrap_or_default())
}

/// What the library declares, made once. It has no mistake of its own: a test looks for that.
pub fn base() -> Arc<Base> {
    static BASE: OnceLock<Arc<Base>> = OnceLock::new();
    let made = BASE.get_or_init(|| model::base(&trees().iter().map(|(tree, _)| tree).collect::<Vec<_>>()).0);
    Arc::clone(made)
}

#[cfg(test)]
mod tests {
    #[test]
    fn every_text_has_its_tree() {
        assert!(!super::TEXTS.is_empty());
        assert_eq!(super::trees().len(), super::TEXTS.len());
    }
}
