//! Texts from a revision of a git repository, by git itself.

use super::{Disk, ReadError, Sources, folder_of};
use std::path::Path;
use std::process::{Command, Stdio};

/// A revision of a repository; paths are those from its top.
#[derive(Clone, Debug)]
pub struct Revision {
    top: String,
    commit: String,
}

impl Revision {
    /// The revision called so of the repository that a folder lies in.
    ///
    /// # Errors
    /// When there is no git, no repository, or no such revision, in words.
    pub fn named(folder: &str, name: &str) -> Result<Revision, String> {
        let top = top_of(folder)?;
        let commit =
            asked(&top, &["rev-parse", "--verify", "--quiet", "--end-of-options", &format!("{name}^{{commit}}")]);
        let commit = commit.ok_or_else(|| format!("git knows no revision `{name}` here"))?;
        Ok(Revision { top, commit })
    }

    /// Where a content of a file was first recorded, and under which path: the oldest commit that brought it.
    pub fn of_content(folder: &str, file: &str) -> Option<(Revision, String)> {
        let top = top_of(folder).ok()?;
        let full = Path::new(file).canonicalize().ok()?;
        let hash = asked(&top, &["hash-object", "--no-filters", "--", full.to_str()?])?;
        let found = asked(
            &top,
            &["log", "--all", "--format=%H", "--no-abbrev", "--raw", "-m", &format!("--find-object={hash}")],
        )?;
        // Commits come youngest first, each with lines `:MODE MODE OLD NEW STATUS<tab>PATH`.
        let (mut commit, mut oldest) = ("", None);
        for line in found.lines() {
            match line.strip_prefix(':') {
                None if !line.is_empty() => commit = line,
                None => {}
                Some(raw) => {
                    let (states, path) = raw.split_once('\t')?;
                    if states.split(' ').nth(3) == Some(hash.as_str()) {
                        oldest = Some((commit.to_owned(), path.rsplit('\t').next().unwrap_or(path).to_owned()));
                    }
                }
            }
        }
        let (commit, path) = oldest?;
        Some((Revision { top, commit }, path))
    }
}

impl Sources for Revision {
    fn read(&self, path: &str) -> Result<Vec<u8>, ReadError> {
        let object = format!("{}:{}", self.commit, path.trim_start_matches('/'));
        let kind = asked(&self.top, &["cat-file", "-t", &object]).ok_or(ReadError::NotFound)?;
        if kind != "blob" {
            return Err(ReadError::NotAFile);
        }
        let size = asked(&self.top, &["cat-file", "-s", &object]).and_then(|it| it.parse::<u64>().ok());
        if size.is_none_or(|it| it > Disk::MAX_BYTES) {
            return Err(ReadError::TooLarge);
        }
        let out = git(&self.top, &["cat-file", "blob", &object]).ok_or(ReadError::NotFound)?;
        Ok(out)
    }
}

/// Where a file lies in its repository, from its top.
///
/// # Errors
/// When it lies in none, in words.
pub fn path_in_repository(file: &str) -> Result<String, String> {
    let folder = folder_of(file);
    let folder = if folder.is_empty() { "." } else { folder };
    top_of(folder)?;
    let prefix = asked(folder, &["rev-parse", "--show-prefix"]).unwrap_or_default();
    let name = file.rsplit('/').next().unwrap_or(file);
    Ok(format!("{prefix}{name}"))
}

fn top_of(folder: &str) -> Result<String, String> {
    let folder = if folder.is_empty() { "." } else { folder };
    if Command::new("git").arg("--version").stdout(Stdio::null()).stderr(Stdio::null()).status().is_err() {
        return Err("git is not to be found: is it installed?".to_owned());
    }
    asked(folder, &["rev-parse", "--show-toplevel"]).ok_or_else(|| format!("`{folder}` lies in no git repository"))
}

/// What git says, without the line end; nothing if it fails.
fn asked(folder: &str, arguments: &[&str]) -> Option<String> {
    let out = String::from_utf8(git(folder, arguments)?).ok()?;
    Some(out.trim_end_matches(['\n', '\r']).to_owned())
}

fn git(folder: &str, arguments: &[&str]) -> Option<Vec<u8>> {
    let out = Command::new("git")
        .args(["-C", folder, "--no-pager"])
        .args(arguments)
        .stdin(Stdio::null())
        .stderr(Stdio::null())
        .output()
        .ok()?;
    out.status.success().then_some(out.stdout)
}
