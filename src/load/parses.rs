//! Texts that were parsed before: what did not change is not parsed again, however many compiles read it.

use crate::mistake::Mistake;
use crate::source::FileId;
use crate::syntax::Parsed;
use crate::syntax::tree::Tree;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// The last text of each file, parsed. A tree knows the number of its file, so a file that stands under several numbers is
/// kept once for each.
#[derive(Default)]
pub struct Parses {
    known: Mutex<Texts>,
}

type Texts = BTreeMap<(String, FileId), Known>;

/// A text and what it was parsed to.
#[derive(Clone)]
pub(super) struct Known {
    text: Arc<str>,
    /// What could be understood.
    pub tree: Arc<Tree>,
    /// What could not.
    pub mistakes: Arc<[Mistake]>,
}

impl Parses {
    /// What a file was parsed to, if its text is still the same.
    pub(super) fn known(&self, path: &str, id: FileId, text: &str) -> Option<Known> {
        self.texts().get(&(path.to_owned(), id)).filter(|it| *it.text == *text).cloned()
    }

    /// Keeps what a file was parsed to.
    pub(super) fn keep(&self, path: &str, id: FileId, text: Arc<str>, parsed: Parsed) -> Known {
        let known = Known { text, tree: Arc::new(parsed.tree), mistakes: parsed.mistakes.into() };
        self.texts().insert((path.to_owned(), id), known.clone());
        known
    }

    /// Whoever failed while holding them left them whole: they are only ever replaced.
    fn texts(&self) -> MutexGuard<'_, Texts> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Forgets files that are not there any more.
    pub fn retain(&self, mut stays: impl FnMut(&str) -> bool) {
        self.texts().retain(|(path, _), _| stays(path));
    }
}
