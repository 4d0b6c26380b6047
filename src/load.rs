//! Files to trees: reads what is asked for and all that it uses, once each, then the price lists that these name.

mod ahead;
mod cut;
mod decode;
mod lists;
mod parses;

use crate::library;
use crate::mistake::{self, Mistake};
use crate::source::{self, Content, File, FileId, Files, ReadError, Sources, Span};
use crate::syntax::Lists;
use crate::syntax::tree::{Item, Text, Tree};
pub use parses::Parses;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Everything that one compile reads.
pub struct Loaded {
    /// Files by number: the library's first.
    pub files: Files,
    /// A tree for each file that is not the library's, in the same order.
    pub trees: Vec<Arc<Tree>>,
    /// Whether some file says that it does without the embedded library.
    pub standalone: bool,
    /// Price lists, cut into rows.
    pub lists: Lists,
    /// What is wrong with the texts.
    pub mistakes: Vec<Mistake>,
    /// The file that was asked for; none if it could not be read.
    pub entry: Result<FileId, ReadError>,
}

/// Reads `entry` and all that it uses; nothing outside of `root` is read.
pub fn load(sources: &dyn Sources, entry: &str, root: &str) -> Loaded {
    load_with(sources, entry, root, &Parses::default())
}

/// The same, parsing only what was not parsed before.
pub fn load_with(sources: &dyn Sources, entry: &str, root: &str, parses: &Parses) -> Loaded {
    let mut loader = Loader {
        sources,
        root,
        parses,
        loaded: Loaded {
            files: Files::default(),
            trees: Vec::new(),
            lists: Lists::new(),
            mistakes: Vec::new(),
            standalone: false,
            entry: Err(ReadError::NotFound),
        },
        numbers: BTreeMap::new(),
        ahead: BTreeMap::new(),
    };
    for (name, text) in library::TEXTS {
        loader.loaded.files.add(File::new(format!("library:{name}"), Content::Embedded(text)));
    }
    loader.all(entry);
    // Last, so that the specs' numbers follow each other.
    lists::read(sources, root, &mut loader.loaded);
    let mut loaded = loader.loaded;
    if !loaded.standalone {
        loaded.mistakes.splice(0..0, library::mistakes());
    }
    loaded
}

struct Loader<'s> {
    sources: &'s dyn Sources,
    root: &'s str,
    parses: &'s Parses,
    loaded: Loaded,
    /// Files by the one spelling of their path; none while they could not be read.
    numbers: BTreeMap<String, Option<FileId>>,
    /// Files that were read before their turn, by their paths.
    ahead: BTreeMap<String, Vec<u8>>,
}

/// A file whose uses are being followed.
struct Open {
    key: String,
    name: String,
    uses: std::vec::IntoIter<Text>,
}

impl Loader<'_> {
    /// Follows uses depth first, on a list instead of the stack: a chain of files may be long.
    fn all(&mut self, entry: &str) {
        let mut open: Vec<Open> = Vec::new();
        match self.sources.read(entry) {
            Ok(bytes) => {
                let (id, uses) = self.take(entry, &bytes);
                self.loaded.entry = Ok(id);
                let key = self.sources.same(entry);
                self.numbers.insert(key.clone(), Some(id));
                let next = FileId(id.0.saturating_add(1));
                self.ahead = ahead::read((self.sources, self.parses), self.root, source::folder_of(entry), &uses, next);
                open.push(Open { key, name: entry.to_owned(), uses: uses.into_iter() });
            }
            Err(error) => {
                self.loaded.entry = Err(error);
                return;
            }
        }
        while let Some(current) = open.last_mut() {
            let Some(used) = current.uses.next() else {
                open.pop();
                continue;
            };
            let path = source::join(source::folder_of(&current.name), &used.text);
            if used.text.is_empty() {
                self.loaded.mistakes.push(mistake::use_empty(used.span));
                continue;
            }
            if source::leaves(&path, self.root) {
                self.loaded.mistakes.push(mistake::use_outside(used.span, &used.text));
                continue;
            }
            let key = self.sources.same(&path);
            if let Some(start) = open.iter().position(|it| it.key == key) {
                let mut chain: Vec<String> = open.iter().skip(start).map(|it| it.name.clone()).collect();
                chain.push(path);
                self.loaded.mistakes.push(mistake::use_loop(used.span, &chain));
                continue;
            }
            if self.numbers.contains_key(&key) {
                continue;
            }
            match self.ahead.remove(&path).map_or_else(|| self.sources.read(&path), Ok) {
                Ok(bytes) => {
                    let (id, uses) = self.take(&path, &bytes);
                    self.numbers.insert(key.clone(), Some(id));
                    open.push(Open { key, name: path, uses: uses.into_iter() });
                }
                Err(error) => {
                    self.numbers.insert(key, None);
                    self.loaded.mistakes.push(unread(used.span, &used.text, &path, &error));
                }
            }
        }
    }

    /// Parses a file; gives its number and what it uses.
    fn take(&mut self, path: &str, bytes: &[u8]) -> (FileId, Vec<Text>) {
        let text: Arc<str> = String::from_utf8_lossy(bytes).into();
        let id = self.loaded.files.add(File::new(path, Content::Read(Arc::clone(&text))));
        let tree = match std::str::from_utf8(bytes) {
            Err(error) => {
                // The replacement mark stands where the first wrong byte was.
                let at = error.valid_up_to();
                let byte = bytes.get(at).copied().unwrap_or_default();
                self.loaded.mistakes.push(mistake::not_utf8(Span::new(id, at, at), byte));
                Arc::default()
            }
            Ok(_) => {
                let parsed = self.parses.parsed(path, id, &text);
                self.loaded.mistakes.extend(parsed.mistakes.iter().cloned());
                parsed.tree
            }
        };
        let mut uses = Vec::new();
        for item in &tree.items {
            match item {
                Item::Use(used) => uses.push(used.clone()),
                Item::Standalone(_) => self.loaded.standalone = true,
                _ => {}
            }
        }
        self.loaded.trees.push(tree);
        (id, uses)
    }
}

fn unread(at: Span, used: &str, path: &str, error: &ReadError) -> Mistake {
    match error {
        ReadError::NotFound => mistake::use_not_found(at, used, path),
        ReadError::TooLarge => mistake::too_large(at, used),
        ReadError::Outside => mistake::use_outside(at, used),
        ReadError::NotAFile => mistake::use_unreadable(at, used, "it is no plain file"),
        ReadError::Refused(reason) => mistake::use_unreadable(at, used, reason),
    }
}
