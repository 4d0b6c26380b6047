//! Files written whole or not at all.

use std::io::Write;
use std::path::Path;

/// Writes `text` to `path` by way of a temporary file beside it. A file that is there already is only replaced if
/// `overwrite` says so; then it keeps its permissions, and a link stays a link to the file it names.
pub fn whole(path: &Path, text: &str, overwrite: bool) -> Result<(), String> {
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
    let folder = target.parent().filter(|it| !it.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let failed = |error: std::io::Error| format!("`{shown}` can't be written: {error}");
    let mut file = tempfile::NamedTempFile::new_in(folder).map_err(failed)?;
    file.write_all(text.as_bytes()).map_err(failed)?;
    file.as_file().sync_all().map_err(failed)?;
    let permissions = if exists { std::fs::metadata(&target).ok().map(|it| it.permissions()) } else { ordinary() };
    if let Some(permissions) = permissions {
        file.as_file().set_permissions(permissions).map_err(failed)?;
    }
    if exists {
        file.persist(&target).map_err(|error| failed(error.error))?;
    } else {
        // Someone may have made the file in the meantime: then theirs stays.
        file.persist_noclobber(&target).map_err(|error| failed(error.error))?;
    }
    Ok(())
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
