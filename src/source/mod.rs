//! Files, places in them, and lines: the only room that reads the disk.
//!
//! A [`Span`] is a pair of byte offsets in a file; lines and columns are made from it by [`Lines`] where a person reads them.

mod disk;
mod files;
mod git;
mod lines;
mod path;
mod process;
mod span;

pub use disk::{Disk, folders_below, input_is_a_pipe, spec_files};
pub use files::{Content, File, FileId, Files, Memory, ReadError, Sources};
pub use git::{Revision, path_in_repository};
pub use lines::{Lines, Place};
pub use path::{folder_of, join, leaves};
pub use process::{parent, runs};
pub use span::Span;
