//! What the first file uses, parsed side by side before it is asked for. That is a guess: the number of a file is only
//! right if none of those before it uses more. What was guessed wrong is parsed again.

use super::Parses;
use crate::share;
use crate::source::{self, FileId, Sources};
use crate::syntax::tree::Text;
use std::collections::BTreeMap;

/// Bytes from which on it pays to start a worker.
const WORTH_SHARING: usize = 10_000;

/// Reads what a file in this folder uses, and parses it, the first of it with this number; the bytes by path.
pub(super) fn read(
    (sources, parses): (&dyn Sources, &Parses),
    root: &str,
    folder: &str,
    uses: &[Text],
    first: FileId,
) -> BTreeMap<String, Vec<u8>> {
    let mut paths: Vec<String> = Vec::new();
    for used in uses.iter().filter(|it| !it.text.is_empty()) {
        let path = source::join(folder, &used.text);
        if !source::leaves(&path, root) && !paths.contains(&path) {
            paths.push(path);
        }
    }
    let read: Vec<(String, Vec<u8>)> =
        paths.into_iter().filter_map(|path| sources.read(&path).ok().map(|bytes| (path, bytes))).collect();
    let mut new: Vec<(FileId, &str, &str)> = Vec::new();
    for (number, (path, bytes)) in (first.0..).map(FileId).zip(&read) {
        if let Ok(text) = std::str::from_utf8(bytes)
            && !parses.has(path, number, text)
        {
            new.push((number, path, text));
        }
    }
    let bytes: usize = new.iter().map(|(_, _, text)| text.len()).sum();
    let least = if bytes < WORTH_SHARING { usize::MAX } else { 1 };
    share::among_workers(&new, least, || (), |(), (number, path, text)| drop(parses.parsed(path, *number, text)));
    read.into_iter().collect()
}
