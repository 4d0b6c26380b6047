//! What a compile has to say, as the protocol puts it.

use super::convert;
use super::workspace::{Unit, Workspace};
use crate::diagnose::{Diagnostic, Severity};
use crate::source::Span;
use lsp_types::{DiagnosticRelatedInformation, DiagnosticSeverity, NumberOrString};
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// The diagnostics of some files by their paths, each once however many units and builds have it.
pub fn of_files(workspace: &mut Workspace, paths: &BTreeSet<String>) -> BTreeMap<String, Vec<lsp_types::Diagnostic>> {
    let mut by_file: BTreeMap<String, Vec<lsp_types::Diagnostic>> =
        paths.iter().map(|path| (path.clone(), Vec::new())).collect();
    let units: Vec<Rc<Unit>> = workspace.units().cloned().collect();
    for unit in units {
        let said = unit.said.get_or_init(|| {
            let all = unit.compiled.diagnostics.iter();
            all.filter_map(|it| translated(workspace, &unit, it)).collect()
        });
        for (path, diagnostic) in said {
            if let Some(of_file) = by_file.get_mut(path)
                && !of_file.contains(diagnostic)
            {
                of_file.push(diagnostic.clone());
            }
        }
    }
    by_file
}

/// A diagnostic and the path of the file that it is shown in: that of its
/// build, or of its first label outside of the library.
pub fn translated(
    workspace: &mut Workspace,
    unit: &Unit,
    diagnostic: &Diagnostic,
) -> Option<(String, lsp_types::Diagnostic)> {
    let files = &unit.compiled.files;
    let own = |span: Span| files.get(span.file).is_some_and(|file| !file.name.starts_with("library:"));
    // What is found of a joint is shown where the build puts it together, and points at the facts from there.
    let slot = put_together(unit, diagnostic).filter(|it| own(*it));
    let main = diagnostic.labels.iter().position(|label| own(label.span)).filter(|_| slot.is_none());
    let place = slot.or_else(|| main.and_then(|it| diagnostic.labels.get(it)).map(|it| it.span));
    let (path, range) = match place {
        Some(span) => {
            let file = files.get(span.file)?;
            (file.name.clone(), convert::range(file, span, workspace.units_of_text))
        }
        None => (unit.entry.clone(), lsp_types::Range::default()),
    };
    let others = diagnostic.labels.iter().enumerate().filter(|(number, _)| Some(*number) != main);
    let related: Vec<DiagnosticRelatedInformation> = others
        .filter_map(|(_, label)| {
            let location = convert::location(files, label.span, workspace.units_of_text, &mut workspace.library)?;
            Some(DiagnosticRelatedInformation { location, message: label.text.clone() })
        })
        .collect();
    let severity = match diagnostic.severity {
        Severity::Error => DiagnosticSeverity::ERROR,
        Severity::Warning => DiagnosticSeverity::WARNING,
        Severity::Advice => DiagnosticSeverity::INFORMATION,
    };
    let translated = lsp_types::Diagnostic {
        range,
        severity: Some(severity),
        code: Some(NumberOrString::String(diagnostic.code.clone())),
        source: Some("cotter".to_owned()),
        message: message(unit, diagnostic),
        related_information: (!related.is_empty()).then_some(related),
        ..lsp_types::Diagnostic::default()
    };
    Some((path, translated))
}

/// The slot of the build that brought the joint of a diagnostic about: the last that the build itself fills, else that of
/// a build which it comes from.
fn put_together(unit: &Unit, diagnostic: &Diagnostic) -> Option<Span> {
    let model = &unit.compiled.model;
    let id = model.build_named(diagnostic.build.as_deref()?)?;
    let name = diagnostic.joint.as_deref()?;
    let judged = unit.compiled.builds.iter().find(|it| it.build == id)?;
    let joint = judged.joints.iter().find(|it| it.name == name)?;
    let build = &model[id];
    let slots = &model[build.assembly].slots;
    let spans: Vec<Span> = joint
        .uses
        .iter()
        .filter_map(|it| build.slots.get(slots.get_index_of(&it.slot)?).copied().flatten())
        .map(|filled| filled.span)
        .collect();
    let here = |span: &&Span| span.file == build.span.file && build.span.range().contains(&(span.start as usize));
    spans.iter().find(here).or_else(|| spans.first()).copied()
}

/// The headline, and below it what it rests on, what there is to know and to do.
fn message(unit: &Unit, diagnostic: &Diagnostic) -> String {
    let mut lines = vec![diagnostic.message.clone()];
    if diagnostic.joint.is_some() {
        lines.extend(diagnostic.labels.iter().filter_map(|label| {
            let file = unit.compiled.files.get(label.span.file)?;
            let line = file.lines().place(&file.text, label.span.start as usize).line;
            let name = file.name.rsplit('/').next().unwrap_or(&file.name);
            Some(format!("{name}:{line}: `{}` {}", unit.compiled.files.text(label.span), label.text))
        }));
    }
    lines.extend(diagnostic.further());
    lines.join("\n")
}
