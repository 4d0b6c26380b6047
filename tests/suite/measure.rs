//! Measuring lists, and readings written back into the text.

mod decides;
mod list;
mod set;

use super::fixtures;
use cotter::Compiled;
use cotter::editing::{self, Edited, Refused, Setting, Texts};
use cotter::model::BuildId;
use cotter::source::{Memory, folder_of};
use std::path::Path;

/// A spec with all that it uses, in memory.
pub struct Spec {
    sources: Memory,
    entry: String,
}

impl Spec {
    fn of(texts: &[(&str, &str)]) -> Spec {
        let all = texts.iter().map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec()));
        Spec { sources: Memory { texts: all.collect() }, entry: texts[0].0.to_owned() }
    }

    /// What stands on the disk, under the names that it has there.
    fn read(path: &Path) -> Spec {
        let compiled = fixtures::compile(path);
        let own = compiled.files.iter().filter(|(_, file)| !file.name.starts_with("library:"));
        let texts = own.map(|(_, file)| (file.name.clone(), file.text.as_bytes().to_vec())).collect();
        Spec { sources: Memory { texts }, entry: path.to_string_lossy().into_owned() }
    }

    fn demo(name: &str) -> Spec {
        Spec::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("specs/{name}/{name}.cotter")))
    }

    fn text(&self, name: &str) -> &str {
        std::str::from_utf8(&self.sources.texts[name]).unwrap()
    }

    fn compiled(&self, changed: &Texts) -> Compiled {
        let mut sources = self.sources.clone();
        sources.texts.extend(changed.iter().map(|(name, text)| (name.clone(), text.clone().into_bytes())));
        cotter::compile(&sources, &self.entry, folder_of(&self.entry)).unwrap()
    }

    /// The same spec without the builds that this one does not come from.
    fn only(&self, compiled: &Compiled, build: BuildId) -> Spec {
        let mut needed = vec![build];
        while let Some(from) = needed.last().and_then(|it| compiled.model[*it].from) {
            needed.push(from);
        }
        let mut sources = self.sources.clone();
        let others = (0..compiled.model.builds.len()).map(BuildId).filter(|it| !needed.contains(it));
        for span in others.map(|it| compiled.model[it].span) {
            // Spaces in its place, so that everything else stays where it is.
            let bytes = sources.texts.get_mut(&compiled.files.get(span.file).unwrap().name).unwrap();
            bytes[span.range()].iter_mut().filter(|it| !matches!(it, b'\n' | b'\r')).for_each(|it| *it = b' ');
        }
        Spec { sources, entry: self.entry.clone() }
    }

    fn set(&self, settings: &[&str]) -> Result<Edited, Refused<()>> {
        self.set_on(&self.compiled(&Texts::new()), settings)
    }

    fn set_on(&self, before: &Compiled, settings: &[&str]) -> Result<Edited, Refused<()>> {
        let settings: Vec<Setting> = settings.iter().map(|it| Setting::read(it).unwrap()).collect();
        editing::edited(std::slice::from_ref(before), &settings, |texts| Ok(vec![self.compiled(texts)]))
    }

    /// The entry's text with these settings.
    fn after(&self, settings: &[&str]) -> String {
        match self.set(settings) {
            Ok(edited) => edited.texts[&self.entry].clone(),
            Err(refused) => panic!("{settings:?}: {}", said(&refused)),
        }
    }

    /// Why these settings are refused.
    fn refusal(&self, settings: &[&str]) -> String {
        match self.set(settings) {
            Ok(edited) => panic!("{settings:?} gives {:?}", edited.texts),
            Err(refused) => said(&refused),
        }
    }
}

fn said(refused: &Refused<()>) -> String {
    match refused {
        Refused::Place(words) => format!("place: {words}"),
        Refused::Value(words) => format!("value: {words}"),
        Refused::Mistakes(units) => {
            let all = units.iter().flat_map(|it| &it.diagnostics).map(|it| format!("{}: {}", it.code, it.message));
            format!("mistake: {}", all.collect::<Vec<_>>().join("; "))
        }
        Refused::Failed(()) => "failed".to_owned(),
    }
}

/// The same dice for the same number.
pub struct Dice(u64);

impl Dice {
    fn below(&mut self, count: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        usize::try_from(self.0 % count.max(1) as u64).unwrap()
    }

    fn of<'t, T>(&mut self, all: &'t [T]) -> &'t T {
        &all[self.below(all.len())]
    }
}
