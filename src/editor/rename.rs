//! A name changed wherever it stands. What the library declares keeps its name.

use super::actions::{self, Edits};
use super::index::Symbol;
use super::workspace::Workspace;
use super::{convert, navigate};
use crate::syntax;
use lsp_types::{Position, PrepareRenameResponse, WorkspaceEdit};

/// The name that would be changed; an error says why none would.
pub fn prepare(workspace: &Workspace, path: &str, position: Position) -> Result<PrepareRenameResponse, String> {
    let (unit, occurrence) =
        navigate::found(workspace, path, position).ok_or_else(|| "no name stands here".to_owned())?;
    let declared =
        unit.index().declaration(&occurrence.symbol).filter(|_| !matches!(occurrence.symbol, Symbol::File(_)));
    let file = declared.and_then(|it| unit.compiled.files.get(it.file));
    match file {
        None => Err("this is no name that can be changed".to_owned()),
        Some(file) if file.name.starts_with("library:") => Err("the library's names stay as they are".to_owned()),
        Some(file) if !file.name.ends_with(".cotter") && file.name.contains('/') => {
            Err("this name stands in a price list".to_owned())
        }
        Some(_) => {
            let own = unit.compiled.files.get(occurrence.span.file).ok_or_else(String::new)?;
            let range = convert::range(own, occurrence.span, workspace.units_of_text);
            let placeholder = unit.compiled.files.text(occurrence.span).to_owned();
            Ok(PrepareRenameResponse::RangeWithPlaceholder { range, placeholder })
        }
    }
}

/// The edits that change it.
pub fn rename(workspace: &Workspace, path: &str, position: Position, name: &str) -> Result<WorkspaceEdit, String> {
    prepare(workspace, path, position)?;
    let (unit, occurrence) =
        navigate::found(workspace, path, position).ok_or_else(|| "no name stands here".to_owned())?;
    let dotted = matches!(occurrence.symbol, Symbol::Declared(_) | Symbol::Slot(..));
    let names: Vec<&str> = if dotted { name.split('.').collect() } else { vec![name] };
    if names.iter().any(|it| syntax::is_reserved(it)) {
        return Err(format!("`{name}` can't be a name: letters, digits and `_`, and no word of the language"));
    }
    let model = &unit.compiled.model;
    let taken = match occurrence.symbol {
        Symbol::Part(_) => model.part_named(name).is_some(),
        Symbol::Build(_) => model.build_named(name).is_some(),
        Symbol::Kind(_) => model.kind_named(name).is_some(),
        _ => false,
    };
    if taken {
        return Err(format!("something is called `{name}` already"));
    }
    let mut edits = Edits::new();
    for (unit, place) in navigate::places(workspace, &unit, &occurrence) {
        let Some(own) = actions::spliced(workspace, &unit, place.span, name) else { continue };
        for (file, new) in own {
            let so_far = edits.entry(file).or_default();
            so_far.extend(new.into_iter().filter(|it| !so_far.contains(it)).collect::<Vec<_>>());
        }
    }
    actions::workspace_edit(edits).ok_or_else(|| "these files have no address".to_owned())
}
