//! What a command line names, compiled: a file, a folder of specs, or standard input.

use super::Failure;
use cotter::Compiled;
use cotter::editing::Texts;
use cotter::source::{Disk, Memory, ReadError, Sources};
use std::cell::RefCell;
use std::collections::BTreeSet;
use std::io::Read;

/// Compiles what `path` names: a file, every spec of a folder that no other one uses, or standard input.
pub fn compiled(path: &str) -> Result<Vec<Compiled>, Failure> {
    compiled_with(path, &Texts::new())
}

/// The same with some texts as they are to be, whatever the disk has.
pub fn compiled_with(path: &str, texts: &Texts) -> Result<Vec<Compiled>, Failure> {
    gathered(path, texts, &Asked::default())
}

/// The same as [`compiled`], and every file that was asked for on the way, there or not.
pub fn compiled_asking(path: &str) -> (Result<Vec<Compiled>, Failure>, BTreeSet<String>) {
    let asked = Asked::default();
    (gathered(path, &Texts::new(), &asked), asked.into_inner())
}

/// Names of files.
type Asked = RefCell<BTreeSet<String>>;

fn gathered(path: &str, texts: &Texts, asked: &Asked) -> Result<Vec<Compiled>, Failure> {
    if path == "-" {
        let mut bytes = Vec::new();
        let limited = std::io::stdin().take(Disk::MAX_BYTES + 1).read_to_end(&mut bytes);
        limited.map_err(|error| Failure(format!("standard input can't be read: {error}")))?;
        if bytes.len() as u64 > Disk::MAX_BYTES {
            return Err(Failure("standard input is larger than 4 MiB".to_owned()));
        }
        let sources = Input { text: Memory::one("<standard input>", bytes), disk: Disk::below("") };
        return Ok(vec![unit(&sources, "<standard input>", "")?]);
    }
    let path = path.strip_prefix("./").filter(|rest| !rest.is_empty()).unwrap_or(path);
    if !std::path::Path::new(path).is_dir() {
        let root = root_of(path);
        return Ok(vec![unit(&Over { texts, asked, disk: Disk::below(&root) }, path, &root)?]);
    }
    let folder = path.trim_end_matches('/');
    let found = cotter::source::spec_files(if folder.is_empty() { "/" } else { folder });
    let specs = found.map_err(|error| Failure(format!("the folder `{path}` can't be read: {error}")))?;
    if specs.is_empty() {
        return Err(Failure(format!("there is no spec (`*.cotter`) in `{path}`: `cotter new NAME` writes one")));
    }
    let specs: Vec<String> = specs.iter().map(|it| it.strip_prefix("./").unwrap_or(it).to_owned()).collect();
    let root = root_of(path);
    let disk = Over { texts, asked, disk: Disk::below(&root) };
    let mut all: Vec<(String, Compiled)> = Vec::new();
    for spec in specs {
        // The library's own texts are in every compile already.
        let embedded = |bytes: Vec<u8>| cotter::library::TEXTS.iter().any(|(_, text)| text.as_bytes() == bytes);
        if disk.read(&spec).is_ok_and(embedded) {
            continue;
        }
        let unit = unit(&disk, &spec, &root)?;
        all.push((spec, unit));
    }
    // A file that another one uses is judged there.
    let used = |spec: &str| {
        let own = disk.same(spec);
        all.iter().any(|(other, unit)| other != spec && unit.files.iter().any(|(_, file)| disk.same(&file.name) == own))
    };
    let keep: Vec<bool> = all.iter().map(|(spec, _)| !used(spec)).collect();
    // Files that only use each other in a circle have no top: all of them stay, so that the circle is reported.
    let none = !keep.contains(&true);
    Ok(all.into_iter().zip(keep).filter(|(_, keep)| *keep || none).map(|((_, unit), _)| unit).collect())
}

/// The project folder of a file or folder: the one that the command runs in, or that folder or the file's own if it lies
/// elsewhere.
pub fn root_of(path: &str) -> String {
    let is_folder = std::path::Path::new(path).is_dir();
    let path = if is_folder && path != "/" { path.trim_end_matches('/') } else { path };
    let normal = cotter::source::join("", path);
    let normal = if path.starts_with('/') { path.to_owned() } else { normal.trim_start_matches('/').to_owned() };
    match cotter::source::leaves(&normal, "") {
        true if is_folder => path.to_owned(),
        true => cotter::source::folder_of(path).to_owned(),
        false => String::new(),
    }
}

pub fn unit(sources: &dyn Sources, path: &str, root: &str) -> Result<Compiled, Failure> {
    cotter::compile(sources, path, root).map_err(|error| Failure(unread(path, &error)))
}

/// Why a file can't be read.
pub fn unread(path: &str, error: &ReadError) -> String {
    match error {
        ReadError::NotFound => format!("there is no file `{path}`"),
        ReadError::NotAFile => format!("`{path}` is no plain file"),
        ReadError::TooLarge => format!("`{path}` is larger than 4 MiB: is it a spec?"),
        ReadError::Outside => format!("`{path}` is a link that leads out of the project folder"),
        ReadError::Refused(reason) => format!("`{path}` can't be read: {reason}"),
    }
}

/// Standard input, over the disk for what it uses.
struct Input {
    text: Memory,
    disk: Disk,
}

impl Sources for Input {
    fn read(&self, path: &str) -> Result<Vec<u8>, ReadError> {
        self.text.read(path).or_else(|_| self.disk.read(path))
    }

    fn same(&self, path: &str) -> String {
        if self.text.texts.contains_key(path) { path.to_owned() } else { self.disk.same(path) }
    }
}

/// Texts that are not on the disk yet, over those that are.
struct Over<'t> {
    texts: &'t Texts,
    /// What was asked for so far.
    asked: &'t Asked,
    disk: Disk,
}

impl Sources for Over<'_> {
    fn read(&self, path: &str) -> Result<Vec<u8>, ReadError> {
        self.asked.borrow_mut().insert(path.to_owned());
        // A file is named in more than one way where several specs use it.
        let own = self.disk.same(path);
        let text = self.texts.iter().find(|(name, _)| *name == path || self.disk.same(name) == own);
        text.map_or_else(|| self.disk.read(path), |(_, text)| Ok(text.clone().into_bytes()))
    }

    fn same(&self, path: &str) -> String {
        self.disk.same(path)
    }
}
