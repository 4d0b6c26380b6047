//! Places of a compile as the protocol names them: files as URIs, spans as ranges.

use super::documents::{self, Units};
use crate::source::{File, Files, Span};
use lsp_types::{Location, Range, Uri};
use std::path::{Path, PathBuf};
use std::str::FromStr;

/// The path that a URI means: its own text for one that is no file.
pub fn path(uri: &Uri) -> String {
    let text = uri.as_str();
    let Some(rest) = text.strip_prefix("file://") else { return text.to_owned() };
    let rest = rest.strip_prefix("localhost").unwrap_or(rest);
    let decoded = decoded(rest);
    // `/c:/folder` is a path with a drive.
    let bytes = decoded.as_bytes();
    match (bytes.first(), bytes.get(2)) {
        (Some(b'/'), Some(b':')) => decoded.get(1..).unwrap_or("").to_owned(),
        _ => decoded,
    }
}

fn decoded(text: &str) -> String {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        let mut ahead = rest.clone();
        let digits = (byte == b'%').then(|| [ahead.next(), ahead.next()]);
        let value = digits.and_then(|it| match it {
            [Some(high), Some(low)] => {
                let digit = |byte: u8| (byte as char).to_digit(16);
                u8::try_from(digit(high)? * 16 + digit(low)?).ok()
            }
            _ => None,
        });
        match value {
            Some(value) => {
                bytes.push(value);
                rest = ahead;
            }
            None => bytes.push(byte),
        }
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

/// The URI of a path; none if it can't be one.
pub fn uri(path: &str) -> Option<Uri> {
    if !path.starts_with('/') && !path.get(1..3).is_some_and(|it| it.starts_with(":/")) {
        return Uri::from_str(path).ok();
    }
    let mut text = String::from(if path.starts_with('/') { "file://" } else { "file:///" });
    for byte in path.bytes() {
        match byte {
            b'/' | b':' | b'.' | b'-' | b'_' | b'~' | b'0'..=b'9' | b'a'..=b'z' | b'A'..=b'Z' => {
                text.push(byte as char)
            }
            _ => text.push_str(&format!("%{byte:02X}")),
        }
    }
    Uri::from_str(&text).ok()
}

/// Where the embedded library's texts stand for the editor to open: files of a folder that is gone with the server.
#[derive(Default)]
pub struct LibraryFolder {
    folder: Option<tempfile::TempDir>,
}

impl LibraryFolder {
    /// The path of `library:NAME` as a file that may only be read; made when first asked for.
    pub fn path(&mut self, name: &str) -> Option<String> {
        let name = name.strip_prefix("library:")?;
        let (_, text) = crate::library::TEXTS.iter().find(|(known, _)| *known == name)?;
        if self.folder.is_none() {
            self.folder = tempfile::Builder::new().prefix("cotter-library-").tempdir().ok();
        }
        let path: PathBuf = self.folder.as_ref()?.path().join(name);
        if !path.exists() {
            write_once(&path, text)?;
        }
        Some(path.to_string_lossy().replace('\\', "/"))
    }

    /// The name `library:NAME` of a file that was made so.
    pub fn name(&self, path: &str) -> Option<String> {
        let folder = self.folder.as_ref()?.path().to_string_lossy().replace('\\', "/");
        let name = path.strip_prefix(&folder)?.trim_start_matches('/');
        Some(format!("library:{name}"))
    }
}

fn write_once(path: &Path, text: &str) -> Option<()> {
    use std::io::Write;
    let mut file = tempfile::NamedTempFile::new_in(path.parent()?).ok()?;
    file.write_all(text.as_bytes()).ok()?;
    let mut permissions = file.as_file().metadata().ok()?.permissions();
    permissions.set_readonly(true);
    file.as_file().set_permissions(permissions).ok()?;
    file.persist(path).ok()?;
    Some(())
}

/// The range of a span in its file.
pub fn range(file: &File, span: Span, units: Units) -> Range {
    documents::range(&file.text, file.lines(), span.range(), units)
}

/// The place of a span.
pub fn location(files: &Files, span: Span, units: Units, library: &mut LibraryFolder) -> Option<Location> {
    let file = files.get(span.file)?;
    let path = if file.name.starts_with("library:") { library.path(&file.name)? } else { file.name.clone() };
    Some(Location { uri: uri(&path)?, range: range(file, span, units) })
}
