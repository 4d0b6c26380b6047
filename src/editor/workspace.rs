//! Which specs there are, which of them are compiled, and what came of each: a file that another one uses is judged there,
//! and only what a change can reach is compiled again.

use super::convert::LibraryFolder;
use super::documents::{Document, Units};
use super::index::Index;
use crate::share;
use crate::source::{self, Disk, FileId, ReadError, Sources};
use crate::syntax::{self, tree::Item};
use crate::{Compiled, Earlier, compile_with};
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;
use std::sync::OnceLock;

/// A spec that no other one uses, compiled with all that it uses.
pub struct Unit {
    /// Its path.
    pub entry: String,
    /// What came of it.
    pub compiled: Compiled,
    /// Every file that it reads or would read.
    reach: BTreeSet<String>,
    index: OnceLock<Index>,
    /// What there is to say of it as the editor gets it, each with the path of its file; made when first asked for.
    pub said: OnceLock<Vec<(String, lsp_types::Diagnostic)>>,
}

impl Unit {
    /// Where every name in its texts stands, found when first asked for.
    pub fn index(&self) -> &Index {
        self.index.get_or_init(|| Index::of(&self.compiled))
    }

    /// The number of a file in it.
    pub fn file(&self, name: &str) -> Option<FileId> {
        self.compiled.files.iter().find(|(_, file)| file.name == name).map(|(id, _)| id)
    }
}

/// Specs from which on it pays to start another worker.
const WORTH_SHARING: usize = 2;

/// All that the server knows.
pub struct Workspace {
    /// The project folder; none when a single file was opened.
    pub root: Option<String>,
    /// Texts that the editor has open, by path.
    pub open: BTreeMap<String, Document>,
    /// What positions count.
    pub units_of_text: Units,
    /// Whether lengths are told in inches too.
    pub inches: bool,
    /// Where the library's texts can be opened.
    pub library: LibraryFolder,
    /// Specs of the project folder.
    specs: BTreeSet<String>,
    /// What each spec uses, by path.
    uses: BTreeMap<String, Vec<String>>,
    units: BTreeMap<String, Rc<Unit>>,
    /// What was compiled before and is not any more: taking it apart takes a third as long as making it, and can wait.
    gone: Vec<Rc<Unit>>,
    /// Texts and parts as they were last: a shelf that twenty specs use is parsed, and its parts made, once a change.
    earlier: Earlier,
    /// Files changed since the last refresh; none for all.
    stale: BTreeSet<String>,
    all_stale: bool,
}

impl Workspace {
    /// The specs of a folder, not read yet.
    pub fn new(root: Option<String>, units_of_text: Units) -> Workspace {
        let mut workspace = Workspace {
            root,
            open: BTreeMap::new(),
            units_of_text,
            inches: false,
            library: LibraryFolder::default(),
            specs: BTreeSet::new(),
            uses: BTreeMap::new(),
            units: BTreeMap::new(),
            gone: Vec::new(),
            earlier: Earlier::default(),
            stale: BTreeSet::new(),
            all_stale: true,
        };
        workspace.look();
        workspace
    }

    /// Looks for the specs of the project folder.
    fn look(&mut self) {
        let found = self.root.as_deref().and_then(|root| source::spec_files(root).ok());
        self.specs = found.into_iter().flatten().collect();
        self.uses.clear();
        self.all_stale = true;
    }

    /// A file changed in the editor.
    pub fn changed(&mut self, path: &str) {
        self.uses.remove(path);
        self.stale.insert(path.to_owned());
    }

    /// A file changed on the disk, came or went.
    pub fn changed_on_disk(&mut self, path: &str) {
        match path.ends_with(".cotter") {
            true if self.specs.contains(path) == std::path::Path::new(path).exists() => self.changed(path),
            _ => self.look(),
        }
    }

    /// Whether something changed since the last refresh.
    pub fn is_stale(&self) -> bool {
        self.all_stale || !self.stale.is_empty()
    }

    /// Compiles what changes can have reached; the paths of all files that were in a unit before or are now.
    pub fn refresh(&mut self) -> BTreeSet<String> {
        let mut touched = BTreeSet::new();
        let stale = std::mem::take(&mut self.stale);
        let all = std::mem::take(&mut self.all_stale);
        let tops = self.tops();
        let gone: Vec<String> = self.units.keys().filter(|it| !tops.contains_key(*it)).cloned().collect();
        for entry in gone {
            let before = self.units.remove(&entry);
            touched.extend(before.iter().flat_map(|it| names(it)));
            self.gone.extend(before);
        }
        let mut changed: Vec<(String, BTreeSet<String>)> = Vec::new();
        for (entry, reach) in tops {
            let same =
                self.units.get(&entry).is_some_and(|it| !all && it.reach == reach && it.reach.is_disjoint(&stale));
            if !same {
                changed.push((entry, reach));
            }
        }
        // One spec is compiled at once, many side by side: a shelf that all of them use has changed.
        let compiled = share::among_workers(
            &changed,
            WORTH_SHARING,
            || (),
            |(), (entry, _)| {
                let root = root_of(self.root.as_deref(), entry);
                let sources = Buffers { open: &self.open, disk: Disk::below(&root) };
                compile_with(&sources, entry, &root, &self.earlier).ok()
            },
        );
        for ((entry, reach), compiled) in changed.into_iter().zip(compiled) {
            let before = self.units.remove(&entry);
            touched.extend(before.iter().flat_map(|it| names(it)));
            self.gone.extend(before);
            let Some(compiled) = compiled else { continue };
            let unit = Unit { entry: entry.clone(), compiled, reach, index: OnceLock::new(), said: OnceLock::new() };
            touched.extend(names(&unit));
            self.units.insert(entry, Rc::new(unit));
        }
        let read: BTreeSet<&String> = self.units.values().flat_map(|it| &it.reach).collect();
        self.earlier.retain(|path| read.contains(&path.to_owned()));
        touched
    }

    /// Lets go of what is not needed any more, once there is time for it.
    pub fn tidy(&mut self) {
        self.gone.clear();
    }

    /// What is compiled, by entry.
    pub fn units(&self) -> impl Iterator<Item = &Rc<Unit>> {
        self.units.values()
    }

    /// The units that a file is part of.
    pub fn units_with<'w>(&'w self, path: &'w str) -> impl Iterator<Item = &'w Rc<Unit>> {
        self.units.values().filter(move |it| it.file(path).is_some())
    }

    /// The project folder of a file: that of the editor, or the file's own if it lies elsewhere.
    pub fn root_of(&self, path: &str) -> String {
        root_of(self.root.as_deref(), path)
    }

    /// The text of a file as it stands now.
    pub fn text(&self, path: &str) -> Option<String> {
        if let Some(document) = self.open.get(path) {
            return Some(document.text.clone());
        }
        let bytes = Disk::below(&self.root_of(path)).read(path).ok()?;
        String::from_utf8(bytes).ok()
    }

    /// Specs that no other one uses, each with all that it reaches.
    fn tops(&mut self) -> BTreeMap<String, BTreeSet<String>> {
        let library = |path: &str| self.library.name(path).is_some();
        let files: Vec<String> = self.specs.iter().chain(self.open.keys()).filter(|it| !library(it)).cloned().collect();
        let files: BTreeSet<String> = files.into_iter().collect();
        for path in &files {
            self.look_into(path);
        }
        let embedded: BTreeSet<&String> = files.iter().filter(|it| self.is_embedded(it)).collect();
        let files: BTreeSet<&String> = files.iter().filter(|it| !embedded.contains(it)).collect();
        let used: BTreeSet<&String> = files
            .iter()
            .flat_map(|path| self.uses.get(*path).into_iter().flatten().filter(move |it| it != path))
            .collect();
        let mut tops: Vec<&String> = files.iter().filter(|it| !used.contains(*it)).copied().collect();
        if tops.is_empty() {
            tops = files.iter().copied().collect();
        }
        let tops: Vec<String> = tops.into_iter().cloned().collect();
        tops.into_iter().map(|top| (top.clone(), self.reach(&top))).collect()
    }

    /// Whether a file is one of the embedded library's: that is in every compile already.
    fn is_embedded(&self, path: &str) -> bool {
        let name = path.rsplit('/').next().unwrap_or(path);
        let known = crate::library::TEXTS.iter().find(|(known, _)| *known == name);
        known.is_some_and(|(_, text)| self.text(path).as_deref() == Some(*text))
    }

    /// All files that a spec uses, by whichever way, and itself.
    fn reach(&mut self, top: &str) -> BTreeSet<String> {
        let mut reach = BTreeSet::new();
        let mut open = vec![top.to_owned()];
        while let Some(path) = open.pop() {
            if reach.insert(path.clone()) {
                self.look_into(&path);
                open.extend(self.uses.get(&path).into_iter().flatten().cloned());
            }
        }
        reach
    }

    /// Finds out what a file uses, unless that is known.
    fn look_into(&mut self, path: &str) {
        if self.uses.contains_key(path) {
            return;
        }
        let text = self.text(path).unwrap_or_default();
        // Most files use nothing, or say so in their first lines: only what has the word is parsed.
        let items = if text.contains("use") { syntax::parse(FileId(0), &text).tree.items } else { Vec::new() };
        let folder = source::folder_of(path);
        let used = items.iter().filter_map(|item| match item {
            Item::Use(used) if !used.text.is_empty() => Some(source::join(folder, &used.text)),
            _ => None,
        });
        let used = used.collect();
        self.uses.insert(path.to_owned(), used);
    }
}

fn root_of(root: Option<&str>, path: &str) -> String {
    match root {
        Some(root) if !source::leaves(path, root) => root.to_owned(),
        _ => source::folder_of(path).to_owned(),
    }
}

/// The names of the files that belong to the person, not the library.
fn names(unit: &Unit) -> Vec<String> {
    let files = unit.compiled.files.iter().map(|(_, file)| file.name.clone());
    files.filter(|name| !name.starts_with("library:")).collect()
}

/// Open texts over the disk.
struct Buffers<'w> {
    open: &'w BTreeMap<String, Document>,
    disk: Disk,
}

impl Sources for Buffers<'_> {
    fn read(&self, path: &str) -> Result<Vec<u8>, ReadError> {
        match self.open.get(path) {
            Some(document) if document.text.len() as u64 > Disk::MAX_BYTES => Err(ReadError::TooLarge),
            Some(document) => Ok(document.text.clone().into_bytes()),
            None => self.disk.read(path),
        }
    }

    fn same(&self, path: &str) -> String {
        self.disk.same(path)
    }
}
