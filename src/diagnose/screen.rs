//! Diagnostics for a screen, by miette.

use super::{Diagnostic, Severity};
use crate::source::Files;

/// All diagnostics, plain for now.
pub fn render(files: &Files, diagnostics: &[Diagnostic]) -> String {
    let mut out = String::new();
    for it in diagnostics {
        let word = match it.severity { Severity::Error => "error", Severity::Warning => "open", Severity::Advice => "advice" };
        out.push_str(&format!("{word}[{}] {} ({:?} {:?})\n", it.code, it.message, it.build, it.joint));
        for label in &it.labels {
            if let Some(file) = files.get(label.span.file) {
                let place = file.lines().place(&file.text, label.span.start as usize);
                out.push_str(&format!("    {}:{}:{} {}\n", file.name, place.line, place.column, label.text));
            }
        }
        for help in &it.help { out.push_str(&format!("    help: {help}\n")); }
    }
    out
}
