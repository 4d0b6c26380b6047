//! Texts that were parsed before: what did not change is not parsed again, however many compiles read it.

use crate::mistake::Mistake;
use crate::source::FileId;
use crate::syntax;
use crate::syntax::tree::Tree;
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};

/// The last text of each file, parsed. A tree knows the number of its file, so a file that stands under several numbers is
/// kept once for each.
#[derive(Default)]
pub struct Parses {
    known: Mutex<Texts>,
}

type Texts = BTreeMap<(String, FileId), Known>;

/// A text, and what it was parsed to as soon as it is.
type Known = (Arc<str>, Arc<OnceLock<Parsed>>);

/// What a text was parsed to.
#[derive(Clone)]
pub(super) struct Parsed {
    /// What could be understood.
    pub tree: Arc<Tree>,
    /// What could not.
    pub mistakes: Arc<[Mistake]>,
}

impl Parses {
    /// What a file comes to, parsed now unless its text was before. Who asks while another one parses it waits for that one.
    pub(super) fn parsed(&self, path: &str, id: FileId, text: &str) -> Parsed {
        let cell = self.cell(path, id, text);
        let parse = || {
            let syntax::Parsed { tree, mistakes } = syntax::parse(id, text);
            Parsed { tree: Arc::new(tree), mistakes: mistakes.into() }
        };
        cell.get_or_init(parse).clone()
    }

    /// Whether a file was parsed already.
    pub(super) fn has(&self, path: &str, id: FileId, text: &str) -> bool {
        self.cell(path, id, text).get().is_some()
    }

    fn cell(&self, path: &str, id: FileId, text: &str) -> Arc<OnceLock<Parsed>> {
        let mut texts = self.texts();
        let (known, cell) = texts.entry((path.to_owned(), id)).or_insert_with(|| (text.into(), Arc::default()));
        if **known != *text {
            (*known, *cell) = (text.into(), Arc::default());
        }
        Arc::clone(cell)
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
