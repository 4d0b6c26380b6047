//! The files of one compile, and where their texts come from.

use super::Lines;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

/// Number of a file within one compile.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct FileId(pub u32);

/// One text with its name.
#[derive(Clone, Debug)]
pub struct File {
    /// As a person may open it: `specs/mine.cotter`, or `library:NAME.cotter` for an embedded one.
    pub name: String,
    /// The whole text.
    pub text: Content,
    lines: OnceLock<Lines>,
}

impl File {
    /// A file from its name and text.
    pub fn new(name: impl Into<String>, text: impl Into<Content>) -> File {
        File { name: name.into(), text: text.into(), lines: OnceLock::new() }
    }

    /// Its lines, found when first asked for.
    pub fn lines(&self) -> &Lines {
        self.lines.get_or_init(|| Lines::new(&self.text))
    }
}

/// A text that many may hold: embedded in the program, or read from somewhere.
#[derive(Clone, Debug)]
pub enum Content {
    /// Part of the program.
    Embedded(&'static str),
    /// Read.
    Read(Arc<str>),
}

impl std::ops::Deref for Content {
    type Target = str;

    fn deref(&self) -> &str {
        match self {
            Content::Embedded(text) => text,
            Content::Read(text) => text,
        }
    }
}

impl From<String> for Content {
    fn from(text: String) -> Content {
        Content::Read(text.into())
    }
}

/// All files of one compile.
#[derive(Clone, Debug, Default)]
pub struct Files {
    all: Vec<File>,
}

impl Files {
    /// Adds a file and gives it a number.
    pub fn add(&mut self, file: File) -> FileId {
        let id = FileId(u32::try_from(self.all.len()).unwrap_or(u32::MAX));
        self.all.push(file);
        id
    }

    /// The file with this number.
    pub fn get(&self, id: FileId) -> Option<&File> {
        self.all.get(id.0 as usize)
    }

    /// Every file with its number, in order.
    pub fn iter(&self) -> impl Iterator<Item = (FileId, &File)> {
        (0u32..).map(FileId).zip(&self.all)
    }

    /// The text under `span`; empty if it lies outside of its file.
    pub fn text(&self, span: super::Span) -> &str {
        self.get(span.file).and_then(|file| file.text.get(span.range())).unwrap_or("")
    }
}

/// Why a file could not be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ReadError {
    /// There is no such file.
    NotFound,
    /// It is a folder, a device or a pipe.
    NotAFile,
    /// It is larger than [`MAX_BYTES`](super::Disk::MAX_BYTES).
    TooLarge,
    /// A link leads out of the project folder.
    Outside,
    /// The system said no; its words.
    Refused(String),
}

/// Where texts come from: the disk, memory in tests, or open buffers over the disk.
pub trait Sources {
    /// The bytes of the file at `path`.
    fn read(&self, path: &str) -> Result<Vec<u8>, ReadError>;

    /// One spelling for every way to name the same file.
    fn same(&self, path: &str) -> String {
        path.to_owned()
    }
}

/// Texts held in memory, by path.
#[derive(Clone, Debug, Default)]
pub struct Memory {
    /// Path to bytes.
    pub texts: BTreeMap<String, Vec<u8>>,
}

impl Memory {
    /// One text under one path.
    pub fn one(path: &str, text: impl Into<Vec<u8>>) -> Memory {
        Memory { texts: BTreeMap::from([(path.to_owned(), text.into())]) }
    }
}

impl Sources for Memory {
    fn read(&self, path: &str) -> Result<Vec<u8>, ReadError> {
        self.texts.get(path).cloned().ok_or(ReadError::NotFound)
    }
}
