//! Changes of files on the disk, told as they happen. Folders are watched, not files: an editor that saves by renaming puts
//! another file in the place of the old one, and a file that is not there yet has nothing that could be watched.

use crate::source::folders_below;
use notify::event::ModifyKind;
use notify::{Event, EventKind, RecommendedWatcher, RecursiveMode, Watcher};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, Sender, channel};
use std::time::{Duration, Instant};

/// So long nothing more must happen before a change counts as over: a save is several steps.
const QUIET: Duration = Duration::from_millis(60);
/// What never comes to rest is told after this time all the same.
const MOST: Duration = Duration::from_secs(1);

/// Files and folders that are being watched.
pub struct Watch {
    watcher: RecommendedWatcher,
    send: Sender<Heard>,
    receive: Receiver<Heard>,
    /// Folders that the system was asked to watch.
    folders: BTreeSet<PathBuf>,
    /// Files by every path that may be told of them, with the names that they were asked for by.
    files: BTreeMap<PathBuf, String>,
    /// A folder, in every way that may be told of it, all of whose specs count.
    below: Vec<PathBuf>,
}

enum Heard {
    Event(notify::Result<Event>),
    End,
}

impl Watch {
    /// Watches nothing yet.
    ///
    /// # Errors
    /// When the system can't watch files, in words.
    pub fn new() -> Result<Watch, String> {
        let (send, receive) = channel();
        let hear = send.clone();
        let watcher = notify::recommended_watcher(move |event| {
            // Nobody listens any more: the end is near.
            let _ = hear.send(Heard::Event(event));
        });
        let watcher = watcher.map_err(|error| format!("files can't be watched here: {error}"))?;
        Ok(Watch { watcher, send, receive, folders: BTreeSet::new(), files: BTreeMap::new(), below: Vec::new() })
    }

    /// What ends the wait of [`change`](Watch::change) for good, from any thread.
    pub fn ender(&self) -> impl Fn() + Send + 'static {
        let send = self.send.clone();
        move || {
            let _ = send.send(Heard::End);
        }
    }

    /// Watches these files, there or not, and nothing else; with `below`, also every spec of that folder. Says whether
    /// something is watched that was not before: that may have changed unseen since it was read.
    ///
    /// # Errors
    /// When a folder can't be watched, in words.
    pub fn follow(&mut self, files: &BTreeSet<String>, below: Option<&str>) -> Result<bool, String> {
        let both = |name: &str| {
            let real = Path::new(name).canonicalize().ok();
            std::path::absolute(name).into_iter().chain(real)
        };
        self.files = files.iter().flat_map(|name| both(name).map(|path| (path, name.clone()))).collect();
        self.below = below.into_iter().flat_map(both).collect();
        let mut wanted: BTreeSet<PathBuf> = self.files.keys().filter_map(|it| nearest(it.parent()?)).collect();
        for folder in &self.below {
            wanted.extend(nearest(folder));
            wanted.extend(folders_below(folder));
        }
        for gone in self.folders.difference(&wanted) {
            // One that is not there any more is not watched any more either.
            let _ = self.watcher.unwatch(gone);
        }
        self.folders.retain(|it| wanted.contains(it));
        let mut more = false;
        for folder in wanted {
            if self.folders.contains(&folder) {
                continue;
            }
            match self.watcher.watch(&folder, RecursiveMode::NonRecursive) {
                Ok(()) => {
                    self.folders.insert(folder);
                    more = true;
                }
                Err(_) if !folder.is_dir() => more = true,
                Err(error) => return Err(format!("the folder `{}` can't be watched: {error}", folder.display())),
            }
        }
        Ok(more)
    }

    /// Waits for the next change that matters; the names of what changed, each once, in order. None when it is to end.
    pub fn change(&mut self) -> Option<Vec<String>> {
        let mut changed = BTreeSet::new();
        let mut since: Option<Instant> = None;
        loop {
            let heard = match since {
                None => self.receive.recv().ok()?,
                Some(start) if start.elapsed() >= MOST => break,
                Some(_) => match self.receive.recv_timeout(QUIET) {
                    Ok(heard) => heard,
                    Err(_) => break,
                },
            };
            let Heard::Event(event) = heard else { return None };
            if self.take(event, &mut changed) {
                since = since.or_else(|| Some(Instant::now()));
            }
        }
        Some(changed.into_iter().collect())
    }

    /// Takes the names out of an event; whether it matters.
    fn take(&mut self, event: notify::Result<Event>, changed: &mut BTreeSet<String>) -> bool {
        // What was lost on the way may have been anything.
        let Ok(event) = event else { return true };
        if event.need_rescan() {
            return true;
        }
        if !alters(event.kind) {
            return false;
        }
        let mut matters = false;
        for path in &event.paths {
            // A folder that came, went or was moved: another may stand in its place, which is not watched.
            let moved: Vec<PathBuf> = self.folders.iter().filter(|it| it.starts_with(path)).cloned().collect();
            for folder in moved {
                let _ = self.watcher.unwatch(&folder);
                self.folders.remove(&folder);
                matters = true;
            }
            let names = self.names(path);
            matters |= !names.is_empty();
            changed.extend(names);
        }
        matters
    }

    /// What a path means to the person: a file that was asked for, those below a folder, or a spec of the folder.
    fn names(&self, path: &Path) -> Vec<String> {
        if let Some(name) = self.files.get(path) {
            return vec![name.clone()];
        }
        let within = self.files.iter().filter(|(file, _)| file.starts_with(path));
        let mut names: Vec<String> = within.map(|(_, name)| name.clone()).collect();
        for inner in self.below.iter().filter_map(|it| path.strip_prefix(it).ok()) {
            let hidden = inner.components().any(|it| it.as_os_str().to_string_lossy().starts_with('.'));
            let counts = path.extension().is_some_and(|it| it == "cotter") || path.is_dir();
            if counts && !hidden && names.is_empty() {
                names.push(inner.to_string_lossy().replace('\\', "/"));
            }
        }
        names
    }
}

/// Whether something is another after an event than before: reading, which this program does itself, alters nothing.
fn alters(kind: EventKind) -> bool {
    !matches!(kind, EventKind::Access(_) | EventKind::Modify(ModifyKind::Metadata(_)))
}

/// A folder, or what of the way to it is there.
fn nearest(folder: &Path) -> Option<PathBuf> {
    folder.ancestors().find(|it| it.is_dir()).map(Path::to_owned)
}
