//! A stretch of a file, in bytes.

use super::FileId;
use serde::{Deserialize, Serialize};

/// Bytes `start..end` of one file. Both ends lie on character boundaries.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Span {
    /// The file that the stretch lies in.
    pub file: FileId,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// The stretch `start..end` of `file`; offsets past 4 GiB saturate (no file that large is read).
    pub fn new(file: FileId, start: usize, end: usize) -> Span {
        let narrow = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
        Span { file, start: narrow(start), end: narrow(end.max(start)) }
    }

    /// From the beginning of `self` to the end of `other`, which lies in the same file.
    pub fn to(self, other: Span) -> Span {
        Span { file: self.file, start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    /// The stretch as a range of byte offsets.
    pub fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }
}
