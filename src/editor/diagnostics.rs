//! What a compile has to say, as the protocol puts it.

use super::convert;
use super::workspace::{Unit, Workspace};
use crate::diagnose::{Diagnostic, Severity};
use lsp_types::{DiagnosticRelatedInformation, DiagnosticSeverity, NumberOrString};
use std::collections::BTreeMap;
use std::rc::Rc;

/// Every diagnostic by the path of its file, each once however many units and builds have it.
pub fn all(workspace: &mut Workspace) -> BTreeMap<String, Vec<lsp_types::Diagnostic>> {
    let mut by_file: BTreeMap<String, Vec<lsp_types::Diagnostic>> = BTreeMap::new();
    let units: Vec<Rc<Unit>> = workspace.units().cloned().collect();
    for unit in units {
        for diagnostic in &unit.compiled.diagnostics {
            let Some((path, translated)) = translated(workspace, &unit, diagnostic) else { continue };
            let of_file = by_file.entry(path).or_default();
            if !of_file.contains(&translated) {
                of_file.push(translated);
            }
        }
    }
    by_file
}

/// A diagnostic and the path of the file that it is shown in: that of its first label outside of the library.
pub fn translated(
    workspace: &mut Workspace,
    unit: &Unit,
    diagnostic: &Diagnostic,
) -> Option<(String, lsp_types::Diagnostic)> {
    let files = &unit.compiled.files;
    let own = |span| files.get(span).is_some_and(|file| !file.name.starts_with("library:"));
    let main = diagnostic.labels.iter().position(|label| own(label.span.file));
    let (path, range) = match main.and_then(|it| diagnostic.labels.get(it)) {
        Some(label) => {
            let file = files.get(label.span.file)?;
            (file.name.clone(), convert::range(file, label.span, workspace.units_of_text))
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
        message: message(diagnostic),
        related_information: (!related.is_empty()).then_some(related),
        ..lsp_types::Diagnostic::default()
    };
    Some((path, translated))
}

/// The headline, and below it what there is to know and to do.
fn message(diagnostic: &Diagnostic) -> String {
    let mut lines = vec![diagnostic.message.clone()];
    if !diagnostic.why.is_empty() {
        lines.push(diagnostic.why.clone());
    }
    for it in &diagnostic.fits_if {
        lines.push(format!("fits if `{}` is {}", it.fact, it.values.join(" or ")));
    }
    for mend in &diagnostic.mends {
        lines.push(format!("mended by {}", put(&mend.changes)));
    }
    lines.extend(diagnostic.help.iter().map(|it| format!("help: {it}")));
    lines.extend(diagnostic.cautions.iter().map(|it| format!("caution: {it}")));
    lines.join("\n")
}

/// `slot = part` for each change.
pub fn put(changes: &[(String, String)]) -> String {
    let all: Vec<String> = changes.iter().map(|(slot, part)| format!("`{slot} = {part}`")).collect();
    all.join(" and ")
}
