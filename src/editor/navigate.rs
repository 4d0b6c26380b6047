//! From a name to where it is declared, and to every other place where it stands.

use super::index::{Occurrence, Symbol};
use super::workspace::{Unit, Workspace};
use super::{convert, documents};
use crate::source::{self, Span};
use lsp_types::{Location, Position, Range, Uri};
use std::rc::Rc;

/// What stands at a position, in the first unit that knows it.
pub fn found(workspace: &Workspace, path: &str, position: Position) -> Option<(Rc<Unit>, Occurrence)> {
    // A file of the library is part of every unit, under its own name.
    let name = workspace.library.name(path);
    let name = name.as_deref().unwrap_or(path);
    let units: Vec<Rc<Unit>> = workspace.units_with(name).cloned().collect();
    units.into_iter().find_map(|unit| {
        let id = unit.file(name)?;
        let file = unit.compiled.files.get(id)?;
        let at = documents::offset(&file.text, file.lines(), position, workspace.units_of_text);
        let occurrence = unit.index().at(id, at)?.clone();
        Some((unit, occurrence))
    })
}

/// Where the name at a position is declared.
pub fn definition(workspace: &mut Workspace, path: &str, position: Position) -> Option<Location> {
    let (unit, occurrence) = found(workspace, path, position)?;
    if let Symbol::File(used) = &occurrence.symbol {
        let file = unit.compiled.files.get(occurrence.span.file)?;
        let uri: Uri = convert::uri(&source::join(source::folder_of(&file.name), used))?;
        return Some(Location { uri, range: Range::default() });
    }
    let span = unit.index().declaration(&occurrence.symbol)?;
    convert::location(&unit.compiled.files, span, workspace.units_of_text, &mut workspace.library)
}

/// Every place where the name at a position stands, in all units; the declaration too if `declarations` says so.
pub fn references(workspace: &mut Workspace, path: &str, position: Position, declarations: bool) -> Vec<Location> {
    let Some((unit, occurrence)) = found(workspace, path, position) else { return Vec::new() };
    let mut all = Vec::new();
    for (unit, place) in places(workspace, &unit, &occurrence) {
        if place.declares && !declarations {
            continue;
        }
        let location =
            convert::location(&unit.compiled.files, place.span, workspace.units_of_text, &mut workspace.library);
        all.extend(location.filter(|it| !all.contains(it)));
    }
    all
}

/// Every occurrence of the same thing in every unit. Units number things each in its own way: what is declared at the same
/// place is the same.
pub fn places(workspace: &Workspace, unit: &Rc<Unit>, occurrence: &Occurrence) -> Vec<(Rc<Unit>, Occurrence)> {
    let Some(declared) = unit.index().declaration(&occurrence.symbol) else { return Vec::new() };
    let Some(file) = unit.compiled.files.get(declared.file) else { return Vec::new() };
    let mut all = Vec::new();
    for other in workspace.units() {
        let Some(id) = other.file(&file.name) else { continue };
        let at = Span { file: id, ..declared };
        let index = other.index();
        let Some(own) = index.all.iter().find(|it| it.declares && it.span == at) else { continue };
        let same = index.all.iter().filter(|it| it.symbol == own.symbol);
        all.extend(same.map(|it| (Rc::clone(other), it.clone())));
    }
    all
}
