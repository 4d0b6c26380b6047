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
    let mut all: Vec<(usize, Compiled)> = Vec::new();
    // Whether some unit so far has read a file under whatever name: it is judged there.
    let read = |all: &[(usize, Compiled)], but: usize, spec: &str| {
        let own = disk.same(spec);
        let units = all.iter().filter(|(other, _)| *other != but);
        units.flat_map(|(_, unit)| unit.files.iter()).any(|(_, file)| disk.same(&file.name) == own)
    };
    for number in tops_first(&disk, &specs) {
        let Some(spec) = specs.get(number) else { continue };
        // The library's own texts are in every compile already.
        let embedded = |bytes: Vec<u8>| cotter::library::TEXTS.iter().any(|(_, text)| text.as_bytes() == bytes);
        if !read(&all, number, spec) && !disk.read(spec).is_ok_and(embedded) {
            all.push((number, unit(&disk, spec, &root)?));
        }
    }
    // One that was compiled before those that use it.
    let keep: Vec<bool> =
        all.iter().map(|(number, _)| specs.get(*number).is_some_and(|spec| !read(&all, *number, spec))).collect();
    let mut kept: Vec<(usize, Compiled)> =
        all.into_iter().zip(keep).filter_map(|(it, keep)| keep.then_some(it)).collect();
    kept.sort_by_key(|(number, _)| *number);
    Ok(kept.into_iter().map(|(_, unit)| unit).collect())
}

/// Specs by their numbers, those first that no other one seems to use: compiled first, they spare the compile of what
/// they use. A guess from the looks of lines does, since what it misses is only compiled in vain.
fn tops_first(disk: &dyn Sources, specs: &[String]) -> Vec<usize> {
    let mut used = Vec::new();
    for spec in specs {
        let text = disk.read(spec).unwrap_or_default();
        let folder = cotter::source::folder_of(spec);
        for line in String::from_utf8_lossy(&text).lines() {
            let target = line.trim_start().strip_prefix("use").and_then(|it| it.trim_start().strip_prefix('"'));
            if let Some((target, _)) = target.and_then(|it| it.split_once('"')) {
                used.push(disk.same(&cotter::source::join(folder, target)));
            }
        }
    }
    let (tops, others): (Vec<usize>, Vec<usize>) =
        (0..specs.len()).partition(|number| specs.get(*number).is_some_and(|spec| !used.contains(&disk.same(spec))));
    tops.into_iter().chain(others).collect()
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
