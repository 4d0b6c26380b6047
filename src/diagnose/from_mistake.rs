//! A mistake as a diagnostic.

use super::{Diagnostic, Label, Severity};
use crate::mistake::Mistake;

pub(super) fn diagnostic(mistake: &Mistake) -> Diagnostic {
    let labels = mistake.labels.iter().filter(|(span, _)| span.file.0 != u32::MAX);
    Diagnostic {
        code: mistake.code.clone(),
        severity: if mistake.only_warns() { Severity::Warning } else { Severity::Error },
        message: mistake.message.clone(),
        build: None,
        joint: None,
        labels: labels.map(|(span, text)| Label { span: *span, text: text.clone() }).collect(),
        why: String::new(),
        help: mistake.help.clone(),
        fits_if: Vec::new(),
        mends: Vec::new(),
        cautions: Vec::new(),
        edits: mistake.edits.clone(),
        waits: None,
    }
}
