//! Texts from the disk.

use super::{ReadError, Sources};
use std::collections::BTreeMap;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

/// The disk, read below one project folder.
#[derive(Clone, Debug)]
pub struct Disk {
    root: Option<PathBuf>,
    /// Paths that were found already, without their links: finding them costs a look at every folder on the way.
    real: Arc<Mutex<BTreeMap<String, PathBuf>>>,
}

impl Disk {
    /// The largest spec that is read: no workshop card is longer, and a device has no end.
    pub const MAX_BYTES: u64 = 4 * 1024 * 1024;

    /// Reads files below `root` only; links that lead out of it are refused.
    pub fn below(root: &str) -> Disk {
        let folder = if root.is_empty() { "." } else { root };
        Disk { root: Path::new(folder).canonicalize().ok(), real: Arc::default() }
    }

    fn real(&self, path: &str) -> std::io::Result<PathBuf> {
        let Ok(mut known) = self.real.lock() else { return Path::new(path).canonicalize() };
        if let Some(real) = known.get(path) {
            return Ok(real.clone());
        }
        let real = Path::new(path).canonicalize()?;
        known.insert(path.to_owned(), real.clone());
        Ok(real)
    }
}

fn refused(error: &std::io::Error) -> ReadError {
    match error.kind() {
        std::io::ErrorKind::NotFound => ReadError::NotFound,
        _ => ReadError::Refused(error.to_string()),
    }
}

impl Sources for Disk {
    fn read(&self, path: &str) -> Result<Vec<u8>, ReadError> {
        let real = self.real(path).map_err(|error| refused(&error))?;
        if self.root.as_ref().is_some_and(|root| !real.starts_with(root)) {
            return Err(ReadError::Outside);
        }
        // A pipe or device would block or never end: only plain files are opened.
        if !std::fs::metadata(&real).map_err(|error| refused(&error))?.is_file() {
            return Err(ReadError::NotAFile);
        }
        let file = std::fs::File::open(&real).map_err(|error| refused(&error))?;
        let mut bytes = Vec::new();
        file.take(Self::MAX_BYTES + 1).read_to_end(&mut bytes).map_err(|error| refused(&error))?;
        if bytes.len() as u64 > Self::MAX_BYTES { Err(ReadError::TooLarge) } else { Ok(bytes) }
    }

    fn same(&self, path: &str) -> String {
        self.real(path).map_or_else(|_| path.to_owned(), |real| real.to_string_lossy().into_owned())
    }
}

/// The spec files (`*.cotter`) below a folder, sorted by path; hidden folders are passed over.
pub fn spec_files(folder: &str) -> std::io::Result<Vec<String>> {
    let mut found = Vec::new();
    let spec = |path: &Path| path.extension().is_some_and(|ending| ending == "cotter");
    walk(Path::new(folder), &mut |path, is_folder| {
        if !is_folder && spec(path) {
            found.push(path.to_string_lossy().replace('\\', "/"));
        }
    })?;
    found.sort();
    Ok(found)
}

/// A folder and those below it, but for hidden ones, as far as they can be read.
pub fn folders_below(folder: &Path) -> Vec<PathBuf> {
    let mut found = vec![folder.to_owned()];
    let walked = walk(folder, &mut |path, is_folder| {
        if is_folder {
            found.push(path.to_owned());
        }
    });
    if walked.is_ok() { found } else { found.into_iter().filter(|it| it.is_dir()).collect() }
}

/// Goes through all that stands below a folder and is not hidden, telling of each whether it is a folder.
fn walk(folder: &Path, tell: &mut dyn FnMut(&Path, bool)) -> std::io::Result<()> {
    let mut open = vec![folder.to_owned()];
    while let Some(here) = open.pop() {
        for entry in std::fs::read_dir(&here)? {
            let entry = entry?;
            if entry.file_name().to_string_lossy().starts_with('.') {
                continue;
            }
            let (path, is_folder) = (entry.path(), entry.file_type()?.is_dir());
            tell(&path, is_folder);
            if is_folder {
                open.push(path);
            }
        }
    }
    Ok(())
}

/// Whether standard input is a pipe or a socket: somebody holds its other end, and may go away.
#[cfg(unix)]
pub fn input_is_a_pipe() -> bool {
    use std::os::fd::AsFd;
    use std::os::unix::fs::FileTypeExt;
    let Ok(input) = std::io::stdin().as_fd().try_clone_to_owned() else { return false };
    let kind = std::fs::File::from(input).metadata().map(|it| it.file_type());
    kind.is_ok_and(|it| it.is_fifo() || it.is_socket())
}

/// Whether standard input is a pipe or a socket; that can't be told here.
#[cfg(not(unix))]
pub fn input_is_a_pipe() -> bool {
    false
}
