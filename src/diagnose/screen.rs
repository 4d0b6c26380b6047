//! Diagnostics for a screen, by miette.

use super::{Diagnostic, Severity};
use crate::source::Files;

/// How a screen shows.
#[derive(Clone, Copy, Debug)]
pub struct Look {
    /// With colours.
    pub color: bool,
    /// So many columns.
    pub width: usize,
}

/// A check for the screen: diagnostics, then a line for each build.
pub fn report(units: &[crate::Compiled], only: Option<&str>, _look: Look) -> String {
    let mut out = String::new();
    for unit in units {
        out.push_str(&render(&unit.files, &unit.diagnostics));
        for build in &unit.builds {
            let name = &unit.model[build.build].name.text;
            if only.is_some_and(|only| only != name) {
                continue;
            }
            use crate::judge::Verdict;
            out.push_str(&format!(
                "{name}: {} fit, {} clash, {} open\n",
                build.count(Verdict::Fits),
                build.count(Verdict::Clashes),
                build.count(Verdict::Open)
            ));
        }
    }
    out
}

fn render(files: &Files, diagnostics: &[Diagnostic]) -> String {
    let mut out = String::new();
    for it in diagnostics {
        let word = match it.severity {
            Severity::Error => "error",
            Severity::Warning => "open",
            Severity::Advice => "advice",
        };
        out.push_str(&format!("{word}[{}] {} ({:?} {:?})\n", it.code, it.message, it.build, it.joint));
        for label in &it.labels {
            if let Some(file) = files.get(label.span.file) {
                let place = file.lines().place(&file.text, label.span.start as usize);
                out.push_str(&format!("    {}:{}:{} {}\n", file.name, place.line, place.column, label.text));
            }
        }
        for help in &it.help {
            out.push_str(&format!("    help: {help}\n"));
        }
    }
    out
}
