//! What the first file uses, parsed side by side before it is asked for. That is a guess: the number of a file is only
//! right if none of those before it uses more. What was guessed wrong is parsed again.

use super::Parses;
use crate::share;
use crate::source::{self, FileId, Sources};
use crate::syntax::tree::Text;
use crate::syntax::{self, Parsed};
use std::collections::BTreeMap;

/// Files by their paths.
#[derive(Default)]
pub(super) struct Ahead {
    files: BTreeMap<String, (Vec<u8>, Option<Numbered>)>,
}

/// A file parsed under a number.
type Numbered = (FileId, Parsed);

/// Bytes from which on it pays to start a worker.
const WORTH_SHARING: usize = 10_000;

impl Ahead {
    /// Reads and parses what a file in this folder uses, the first of it with this number, but for what was parsed before.
    pub fn of(
        (sources, parses): (&dyn Sources, &Parses),
        root: &str,
        folder: &str,
        uses: &[Text],
        first: FileId,
    ) -> Ahead {
        let mut paths: Vec<String> = Vec::new();
        for used in uses.iter().filter(|it| !it.text.is_empty()) {
            let path = source::join(folder, &used.text);
            if !source::leaves(&path, root) && !paths.contains(&path) {
                paths.push(path);
            }
        }
        let read: Vec<(String, Vec<u8>)> =
            paths.into_iter().filter_map(|path| sources.read(&path).ok().map(|bytes| (path, bytes))).collect();
        let mut numbered: Vec<(u32, Option<&str>)> = Vec::new();
        for (number, (path, bytes)) in (first.0..).zip(&read) {
            let text = std::str::from_utf8(bytes).ok();
            let new = text.filter(|it| parses.known(path, FileId(number), it).is_none());
            numbered.push((number, new));
        }
        let bytes: usize = numbered.iter().filter_map(|(_, text)| *text).map(str::len).sum();
        let least = if bytes < WORTH_SHARING { usize::MAX } else { 1 };
        let parsed = share::among_workers(
            &numbered,
            least,
            || (),
            |(), (number, text)| {
                let id = FileId(*number);
                Some((id, syntax::parse(id, (*text)?)))
            },
        );
        let files = read.into_iter().zip(parsed).map(|((path, bytes), parsed)| (path, (bytes, parsed)));
        Ahead { files: files.collect() }
    }

    /// The bytes of a file, if they were read.
    pub fn read(&mut self, path: &str) -> Option<Vec<u8>> {
        self.files.get_mut(path).map(|(bytes, _)| std::mem::take(bytes))
    }

    /// A file as it was parsed, if it was given its right number.
    pub fn parsed(&mut self, path: &str, id: FileId) -> Option<Parsed> {
        let (_, parsed) = self.files.remove(path)?;
        parsed.filter(|(guessed, _)| *guessed == id).map(|(_, parsed)| parsed)
    }
}
