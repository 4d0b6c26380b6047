//! Readings written back: a value set in the text of a spec, and everything round it left as it stands.
//!
//! Texts in, texts out: [`edited`] finds what is to be set, changes it, and compiles what comes of it; nothing is written
//! here, and nothing is kept of it unless all of it is sound.

mod change;
mod inserted;
mod outcome;
mod typed;
mod written;

pub use change::{Change, Setting};
pub use outcome::report;

use crate::Compiled;
use crate::diagnose::Diagnostic;
use std::collections::BTreeMap;

/// Texts that are not as they stand on the disk yet, by the name of their file.
pub type Texts = BTreeMap<String, String>;

/// Why nothing is set.
pub enum Refused<E> {
    /// What is to be set is not there, or can't be written.
    Place(String),
    /// What it is to be set to is no single value.
    Value(String),
    /// The text would have mistakes that it has not now: the units with only those.
    Mistakes(Vec<Compiled>),
    /// It could not be compiled.
    Failed(E),
}

/// What comes of some settings.
pub struct Edited {
    /// The spec with them.
    pub after: Vec<Compiled>,
    /// What was changed, in the order of the settings.
    pub changes: Vec<Change>,
    /// The texts that are changed.
    pub texts: Texts,
}

/// A stretch of a file's text, and what is to stand there instead; empty where something is put in.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Edit {
    /// The name of the file.
    pub file: String,
    /// Its first character.
    pub start: Spot,
    /// Behind its last character.
    pub end: Spot,
    /// The new text.
    pub text: String,
}

/// Line and column, from 1, the column in characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Spot {
    /// The line.
    pub line: usize,
    /// The column.
    pub column: usize,
}

/// The edits that settings ask for, each in the text as it stands; none where one of them can't be made. Nothing is
/// compiled: whoever applies them checks what comes of it.
pub fn planned(units: &[Compiled], settings: &[Setting]) -> Option<Vec<Edit>> {
    let edit = |setting: &Setting| {
        let change = change::of::<()>(units, setting).ok()?;
        let (_, file) = units.iter().find_map(|unit| unit.files.iter().find(|(_, file)| file.name == change.file))?;
        let (at, text) = change.stretch();
        let place = |offset: usize| {
            let place = file.lines().place(&file.text, offset);
            Spot { line: place.line, column: place.column }
        };
        Some(Edit { file: change.file.clone(), start: place(at.start), end: place(at.end), text: text.to_owned() })
    };
    settings.iter().map(edit).collect()
}

/// Sets what the settings say, all of it or nothing. `compile` compiles the same spec with some texts replaced.
///
/// # Errors
/// When something can't be set, or would be a mistake.
pub fn edited<E>(
    before: &[Compiled],
    settings: &[Setting],
    compile: impl Fn(&Texts) -> Result<Vec<Compiled>, E>,
) -> Result<Edited, Refused<E>> {
    for (number, setting) in settings.iter().enumerate() {
        if let Some(first) = settings.iter().take(number).find(|it| it.touches(setting)) {
            return Err(Refused::Place(first.collides(setting)));
        }
    }
    let mut texts = Texts::new();
    let mut changes: Vec<Change> = Vec::new();
    let mut after: Option<Vec<Compiled>> = None;
    for setting in settings {
        let units = after.as_deref().unwrap_or(before);
        let change = change::of(units, setting)?;
        let old = units.iter().find_map(|unit| unit.files.iter().find(|(_, file)| file.name == change.file));
        let text = change.applied(old.map_or("", |(_, file)| &file.text));
        changes.iter_mut().filter(|it| it.file == change.file).for_each(|it| it.move_for(&change));
        texts.insert(change.file.clone(), text);
        let now = compile(&texts).map_err(Refused::Failed)?;
        let units = after.as_deref().unwrap_or(before);
        let faults = faulty(units, &now, &change);
        if !faults.is_empty() {
            return Err(Refused::Mistakes(only(now, &faults)));
        }
        changes.push(change);
        after = Some(now);
    }
    let after = match after {
        Some(after) => after,
        None => compile(&texts).map_err(Refused::Failed)?,
    };
    Ok(Edited { after, changes, texts })
}

/// Mistakes that were not there before, or that lie in what was set: numbers of units and of their diagnostics.
fn faulty(before: &[Compiled], after: &[Compiled], change: &Change) -> Vec<(usize, usize)> {
    let mut known: Vec<(&str, &str)> =
        mistakes(before).map(|(.., it)| (it.code.as_str(), it.message.as_str())).collect();
    let mut faults = Vec::new();
    for (unit, number, it) in mistakes(after) {
        let old = known.iter().position(|known| *known == (it.code.as_str(), it.message.as_str()));
        if let Some(old) = old {
            known.swap_remove(old);
        }
        let here = it.labels.first().filter(|label| {
            let file = after.get(unit).and_then(|unit| unit.files.get(label.span.file));
            file.is_some_and(|file| file.name == change.file) && change.covers(label.span)
        });
        if old.is_none() || here.is_some() {
            faults.push((unit, number));
        }
    }
    faults
}

fn mistakes(units: &[Compiled]) -> impl Iterator<Item = (usize, usize, &Diagnostic)> {
    units.iter().enumerate().flat_map(|(unit, compiled)| {
        let all = compiled.diagnostics.iter().enumerate();
        all.filter(|(_, it)| it.build.is_none()).map(move |(number, it)| (unit, number, it))
    })
}

fn only(units: Vec<Compiled>, faults: &[(usize, usize)]) -> Vec<Compiled> {
    let kept = units.into_iter().enumerate().map(|(unit, mut compiled)| {
        let mut number = 0;
        compiled.diagnostics.retain(|_| {
            number += 1;
            faults.contains(&(unit, number - 1))
        });
        compiled
    });
    kept.collect()
}
