//! Files written whole or not at all; and whether one that is there may be written over.

use cotter::Compiled;
use cotter::editing::Texts;
use std::io::{Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use tempfile::NamedTempFile;

/// Makes a folder with all that it lies in, unless it is there.
pub fn folder(path: &Path) -> Result<(), String> {
    std::fs::create_dir_all(path).map_err(|error| match path.is_dir() || !path.exists() {
        true => format!("the folder `{}` can't be made: {error}", path.display()),
        false => format!("`{}` is a file: name a folder", path.display()),
    })
}

/// Whether nothing is lost by writing over a file: there is none, or the mark stands near its beginning or at its end.
pub fn is_ours(path: &Path, mark: &[u8]) -> bool {
    const LOOKED_AT: u64 = 4096;
    if path.symlink_metadata().is_err() {
        return true;
    }
    let mut bytes = Vec::new();
    let read = std::fs::File::open(path).and_then(|mut file| {
        (&mut file).take(LOOKED_AT).read_to_end(&mut bytes)?;
        let long = file.metadata()?.len();
        file.seek(SeekFrom::Start(long.saturating_sub(mark.len() as u64)))?;
        file.read_to_end(&mut bytes)
    });
    read.is_ok() && bytes.windows(mark.len()).any(|it| it == mark)
}

/// What another program has written to a file, and nobody else knows of.
pub fn printed(path: &Path) -> std::io::Result<Vec<u8>> {
    std::fs::read(path)
}

/// The address of a file for a browser.
pub fn address(path: &Path) -> Result<String, String> {
    let whole = path.canonicalize().map_err(|error| format!("`{}`: {error}", path.display()))?;
    let bytes = whole.as_os_str().as_encoded_bytes().iter();
    let letters = bytes.map(|it| match it {
        b'/' | b'.' | b'-' | b'_' | b'~' => char::from(*it).to_string(),
        it if it.is_ascii_alphanumeric() => char::from(*it).to_string(),
        it => format!("%{it:02X}"),
    });
    Ok(format!("file://{}", letters.collect::<String>()))
}

/// Writes `text` to `path` by way of a temporary file beside it. A file that is there already is only replaced if
/// `overwrite` says so; then it keeps its permissions, and a link stays a link to the file it names.
pub fn whole(path: &Path, text: impl AsRef<[u8]>, overwrite: bool) -> Result<(), String> {
    let shown = path.display();
    let exists = path.symlink_metadata().is_ok();
    if exists && !overwrite {
        return Err(format!("`{shown}` is there already, and is left as it is"));
    }
    let target =
        if exists { path.canonicalize().map_err(|error| format!("`{shown}`: {error}"))? } else { path.to_owned() };
    if target.is_dir() {
        return Err(format!("`{shown}` is a folder: name a file"));
    }
    let file = staged(&target, text, exists).map_err(|words| format!("`{shown}` {words}"))?;
    let failed = |error: std::io::Error| format!("`{shown}` can't be written: {error}");
    if exists {
        file.persist(&target).map_err(|error| failed(error.error))?;
    } else {
        // Someone may have made the file in the meantime: then theirs stays.
        file.persist_noclobber(&target).map_err(|error| failed(error.error))?;
    }
    Ok(())
}

/// Writes specs that were changed over those that they were made from, all of them or none.
pub fn changed(before: &[Compiled], texts: &Texts) -> Result<(), String> {
    let mut ready: Vec<(PathBuf, NamedTempFile, &str)> = Vec::new();
    for (name, text) in texts {
        let old = before.iter().find_map(|unit| unit.files.iter().find(|(_, file)| file.name == *name));
        let old: &str = old.map_or("", |(_, file)| &file.text);
        let target = Path::new(name).canonicalize().map_err(|error| format!("`{name}`: {error}"))?;
        let now = std::fs::read(&target).map_err(|error| format!("`{name}` can't be read: {error}"))?;
        if now != old.as_bytes() {
            return Err(format!("`{name}` was changed by someone else just now"));
        }
        if std::fs::metadata(&target).is_ok_and(|it| it.permissions().readonly()) {
            return Err(format!("`{name}` may only be read"));
        }
        let file = staged(&target, text, true).map_err(|words| format!("`{name}` {words}"))?;
        ready.push((target, file, old));
    }
    let mut done: Vec<(PathBuf, &str)> = Vec::new();
    for (target, file, old) in ready {
        if let Err(error) = file.persist(&target) {
            // What is written already is taken back.
            for (target, old) in done {
                let _ = staged(&target, old, true).map(|it| it.persist(&target));
            }
            return Err(format!("`{}` can't be written: {}", target.display(), error.error));
        }
        done.push((target, old));
    }
    Ok(())
}

/// A temporary file beside its target, with the text and the permissions that the target has or will have.
fn staged(target: &Path, text: impl AsRef<[u8]>, exists: bool) -> Result<NamedTempFile, String> {
    let failed = |error: std::io::Error| format!("can't be written: {error}");
    let folder = target.parent().filter(|it| !it.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut file = NamedTempFile::new_in(folder).map_err(failed)?;
    file.write_all(text.as_ref()).map_err(failed)?;
    file.as_file().sync_all().map_err(failed)?;
    let permissions = if exists { std::fs::metadata(target).ok().map(|it| it.permissions()) } else { ordinary() };
    if let Some(permissions) = permissions {
        file.as_file().set_permissions(permissions).map_err(failed)?;
    }
    Ok(file)
}

/// Temporary files are private; a sheet is an ordinary file.
#[cfg(unix)]
fn ordinary() -> Option<std::fs::Permissions> {
    use std::os::unix::fs::PermissionsExt;
    Some(std::fs::Permissions::from_mode(0o644))
}

#[cfg(not(unix))]
fn ordinary() -> Option<std::fs::Permissions> {
    None
}
