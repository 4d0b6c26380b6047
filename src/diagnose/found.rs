//! What the units of one check have to say, each thing once: specs that use the same file find the same in it.

use super::wire::{self, Said};
use super::{Diagnostic, Label, Severity};
use crate::Compiled;
use crate::judge::JudgedBuild;
use crate::source::Files;
use indexmap::{IndexMap, IndexSet};

/// A diagnostic and where it is from.
pub(super) struct Found<'c> {
    /// The files that its labels lie in.
    pub files: &'c Files,
    /// Itself.
    pub diagnostic: &'c Diagnostic,
    /// Its labels; where it points at its builds, at all of them.
    pub labels: Vec<Label>,
    /// As it is written; no two of a check are the same.
    pub said: Said,
    /// The builds that it was found in, in order; none for a mistake in the text.
    pub builds: Vec<&'c str>,
    /// The number of the unit that it was found in.
    pub unit: usize,
}

impl Found<'_> {
    /// Whether its only label is the name of its build, there being nothing else to point at.
    fn points_at_build(&self, units: &[Compiled]) -> bool {
        let model = units.get(self.unit).map(|it| &it.model);
        let build = model.zip(self.builds.first()).and_then(|(model, name)| Some(&model[model.build_named(name)?]));
        matches!((build, self.diagnostic.labels.as_slice()), (Some(build), [only]) if only.span == build.name.span)
    }
}

/// Every diagnostic of a check; with `only`, those of that build and of none.
pub(super) fn diagnostics<'c>(units: &'c [Compiled], only: Option<&str>) -> Vec<Found<'c>> {
    let mut seen: IndexSet<(Option<&str>, Said)> = IndexSet::new();
    let mut all = Vec::new();
    for (number, unit) in units.iter().enumerate() {
        for diagnostic in &unit.diagnostics {
            let build = diagnostic.build.as_deref();
            if only.is_some() && build.is_some() && build != only {
                continue;
            }
            let said = wire::said(&unit.files, diagnostic);
            if seen.insert((build.map(|name| file_of(unit, name)), said.clone())) {
                let builds = build.into_iter().collect();
                let labels = diagnostic.labels.clone();
                all.push(Found { files: &unit.files, diagnostic, labels, said, builds, unit: number });
            }
        }
    }
    all
}

/// The same, with what several builds of one spec have in common told once: a build that comes from another has most of
/// its joints, and all that is to say of them.
pub(super) fn merged<'c>(units: &'c [Compiled], only: Option<&str>) -> Vec<Found<'c>> {
    let mut merged: IndexMap<(usize, Said), Found> = IndexMap::new();
    for found in diagnostics(units, only) {
        let unlabelled = found.points_at_build(units);
        let key = (found.unit, found.said.clone().of_no_build(unlabelled));
        match merged.get_mut(&key) {
            Some(same) => {
                same.builds.extend(found.builds);
                if unlabelled {
                    same.labels.extend(found.labels);
                }
            }
            None => {
                merged.insert(key, found);
            }
        }
    }
    merged.into_values().collect()
}

/// Every build of a check, or the one called `only`; one that was reached from several units once.
pub(super) fn builds<'c>(units: &'c [Compiled], only: Option<&str>) -> Vec<(&'c Compiled, &'c JudgedBuild)> {
    let mut seen: IndexSet<(&str, &str)> = IndexSet::new();
    let mut all = Vec::new();
    for unit in units {
        for build in &unit.builds {
            let name = unit.model[build.build].name.text.as_str();
            if only.is_none_or(|only| only == name) && seen.insert((file_of(unit, name), name)) {
                all.push((unit, build));
            }
        }
    }
    all
}

/// How many diagnostics of this severity a build of this unit has.
pub(super) fn count(unit: &Compiled, build: &str, severity: Severity) -> usize {
    let own = unit.diagnostics.iter().filter(|it| it.build.as_deref() == Some(build));
    own.filter(|it| it.severity == severity).count()
}

/// The name of the file that a build stands in.
fn file_of<'c>(unit: &'c Compiled, build: &str) -> &'c str {
    let id = unit.model.build_named(build);
    id.and_then(|id| unit.files.get(unit.model[id].name.span.file)).map_or("", |file| file.name.as_str())
}
