//! Code actions: the nearest name, the right unit, proven remedies, and missing facts filled in with `?`.

use super::workspace::{Unit, Workspace};
use super::{convert, diagnostics, documents};
use crate::diagnose::put;
use crate::editing::{self, Setting};
use crate::model::{Model, Type};
use crate::source::{File, Span};
use crate::syntax::tree::Item;
use lsp_types::{CodeAction, CodeActionKind, CodeActionOrCommand, Range, TextEdit, WorkspaceEdit};
use std::collections::BTreeMap;
use std::rc::Rc;

/// Edits by the path of their file.
pub type Edits = BTreeMap<String, Vec<TextEdit>>;

/// What may be done about a stretch of a file.
pub fn actions(workspace: &mut Workspace, path: &str, range: Range) -> Vec<CodeActionOrCommand> {
    let mut found: Vec<CodeAction> = Vec::new();
    let units: Vec<Rc<Unit>> = workspace.units_with(path).cloned().collect();
    for unit in &units {
        for diagnostic in &unit.compiled.diagnostics {
            let Some((file, translated)) = diagnostics::translated(workspace, unit, diagnostic) else { continue };
            if file != path || !touch(translated.range, range) {
                continue;
            }
            for edit in &diagnostic.edits {
                let title = match (unit.compiled.files.text(edit.span), edit.text.trim()) {
                    (old, "") => format!("take `{}` away", old.trim()),
                    ("", new) => format!("put `{new}` in"),
                    (old, new) => format!("change `{}` to `{new}`", old.trim()),
                };
                let edits = spliced(workspace, unit, edit.span, &edit.text);
                found.extend(edits.and_then(|edits| action(title, edits, Some(translated.clone()))));
            }
            for mend in &diagnostic.mends {
                let Some(build) = &diagnostic.build else { continue };
                let settings: Vec<Setting> =
                    mend.changes.iter().map(|(slot, part)| Setting::put(build, slot, part)).collect();
                let planned = editing::planned(std::slice::from_ref(&unit.compiled), &settings);
                let Some(edits) = planned.and_then(|it| planned_edits(workspace, unit, &it)) else { continue };
                let title = format!("in `{build}`: {}", put(&mend.changes));
                found.extend(action(title, edits, Some(translated.clone())));
            }
        }
        found.extend(missing(workspace, unit, path, range));
    }
    let mut all: Vec<CodeAction> = Vec::new();
    for action in found {
        if !all.iter().any(|it| it.title == action.title && it.edit == action.edit) {
            all.push(action);
        }
    }
    all.into_iter().map(CodeActionOrCommand::CodeAction).collect()
}

fn touch(one: Range, other: Range) -> bool {
    one.start <= other.end && other.start <= one.end
}

fn action(title: String, edits: Edits, of: Option<lsp_types::Diagnostic>) -> Option<CodeAction> {
    Some(CodeAction {
        title,
        kind: Some(if of.is_some() { CodeActionKind::QUICKFIX } else { CodeActionKind::REFACTOR }),
        diagnostics: of.map(|it| vec![it]),
        edit: Some(workspace_edit(edits)?),
        ..CodeAction::default()
    })
}

/// Edits as the protocol has them.
#[allow(clippy::mutable_key_type)]
pub fn workspace_edit(edits: Edits) -> Option<WorkspaceEdit> {
    let changes: Option<std::collections::HashMap<_, _>> =
        edits.into_iter().map(|(path, edits)| Some((convert::uri(&path)?, edits))).collect();
    Some(WorkspaceEdit { changes: Some(changes?), ..WorkspaceEdit::default() })
}

/// One replacement; none in the library, which may only be read.
pub fn spliced(workspace: &Workspace, unit: &Unit, span: Span, text: &str) -> Option<Edits> {
    let file = unit.compiled.files.get(span.file).filter(|it| !it.name.starts_with("library:"))?;
    let edit = TextEdit { range: convert::range(file, span, workspace.units_of_text), new_text: text.to_owned() };
    Some(Edits::from([(file.name.clone(), vec![edit])]))
}

fn planned_edits(workspace: &Workspace, unit: &Unit, planned: &[editing::Edit]) -> Option<Edits> {
    let mut edits = Edits::new();
    for it in planned {
        let file = unit.compiled.files.get(unit.file(&it.file)?)?;
        let (start, end) = (byte(file, it.start), byte(file, it.end));
        let range = documents::range(&file.text, file.lines(), start..end, workspace.units_of_text);
        edits.entry(it.file.clone()).or_default().push(TextEdit { range, new_text: it.text.clone() });
    }
    Some(edits)
}

fn byte(file: &File, spot: editing::Spot) -> usize {
    let start = file.lines().start(spot.line).unwrap_or(file.text.len());
    let rest = file.text.get(start..).unwrap_or("");
    rest.char_indices().nth(spot.column.saturating_sub(1)).map_or(file.text.len(), |(at, _)| start + at)
}

/// Facts that a part lacks, or slots that a build must fill and does not, put in with `?`.
fn missing(workspace: &Workspace, unit: &Unit, path: &str, range: Range) -> Option<CodeAction> {
    let id = unit.file(path)?;
    let file = unit.compiled.files.get(id)?;
    let at = documents::offset(&file.text, file.lines(), range.start, workspace.units_of_text);
    let (_, tree) = unit.index().trees.iter().find(|(tree, _)| *tree == id)?;
    let within = |span: Span| span.range().start <= at && at <= span.range().end;
    let model = &unit.compiled.model;
    let (span, names, what) = tree.items.iter().find_map(|item| match item {
        Item::Part(part) if within(part.span) => {
            let names = facts_missing(
                model,
                &part.kind.text,
                &part.facts.iter().map(|it| it.path.text.as_str()).collect::<Vec<_>>(),
            );
            Some((part.span, names, "facts"))
        }
        Item::Build(build) if within(build.span) => {
            let id = model.build_named(&build.name.text)?;
            let slots = model[model[id].assembly].slots.values().zip(&model[id].slots);
            let empty = slots.filter(|(slot, filled)| !slot.optional && filled.is_none());
            Some((build.span, empty.map(|(slot, _)| slot.name.text.clone()).collect(), "slots"))
        }
        _ => None,
    })?;
    let names: Vec<String> = names;
    // They go before the closing brace.
    let text = file.text.get(span.range())?;
    let close = text.rfind('}')?;
    if names.is_empty() || !text.trim_end().ends_with('}') {
        return None;
    }
    let added: String = names.iter().map(|name| format!("  {name} = ?\n")).collect();
    let before = text.get(..close)?;
    let lead = if before.ends_with('\n') { "" } else { "\n" };
    let changed = format!("{}{lead}{added}}}", before.trim_end_matches([' ', '\t']));
    // Laid out as `fmt` would have it, so that the columns fit.
    let changed = crate::format::format(&changed);
    let edits = spliced(workspace, unit, span, changed.trim_end())?;
    action(format!("fill in {} missing {what} with `?`", names.len()), edits, None)
}

/// Facts of a kind that decide joints, are neither optional nor given by default, and are not among those written.
pub fn facts_missing(model: &Model, kind: &str, written: &[&str]) -> Vec<String> {
    let Some(kind) = model.kind_named(kind) else { return Vec::new() };
    let facts = model[kind].facts.iter().filter(|(name, id)| {
        let declared = &model[**id];
        let needed = !declared.optional && declared.default.is_none() && declared.kind != Type::Any;
        needed && !model.common.contains(id) && !written.contains(&name.as_str())
    });
    facts.map(|(name, _)| name.clone()).collect()
}
