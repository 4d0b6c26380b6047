//! What is to know of the parts of a build whatever they meet: that one is not to be had.

use super::{Diagnostic, Label, Severity};
use crate::model::{BuildId, Model, Pieces};

pub(super) fn diagnostics(model: &Model, build: BuildId) -> Vec<Diagnostic> {
    let missing = model.pieces(build).into_iter().filter(|it| model.is_available(it.part) == Some(false));
    missing.map(|it| unavailable(model, build, &it)).collect()
}

fn unavailable(model: &Model, build: BuildId, pieces: &Pieces) -> Diagnostic {
    let part = &model[pieces.part];
    let mut labels = Vec::new();
    if let Some(info) = model.available_fact(pieces.part).and_then(|fact| model.facts.get(fact)) {
        labels.push(Label { span: info.span, text: format!("`available` of {}", part.name.text) });
    }
    let slots = pieces.slots.iter().filter_map(|slot| {
        let (name, _) = model[model[build].assembly].slots.get_index(slot.0)?;
        Some((name, model[build].slots.get(slot.0)?.as_ref()?.span))
    });
    for (slot, span) in slots {
        labels.push(Label { span, text: format!("fills `{slot}`") });
    }
    let wait = match model.lead_time_of(pieces.part) {
        Some(time) => format!("ask for it: an order takes {} once it is to be had again", time.written),
        None => "ask when it will be to be had again".to_owned(),
    };
    Diagnostic {
        code: "part.unavailable".to_owned(),
        severity: Severity::Advice,
        message: format!("`{}` is not to be had", part.name.text),
        build: Some(model[build].name.text.clone()),
        joint: None,
        labels,
        why: "What is said of its joints holds only once it is there.".to_owned(),
        help: vec!["put another part in its place".to_owned(), wait],
        fits_if: Vec::new(),
        cautions: Vec::new(),
        edits: Vec::new(),
        waits: None,
        mends: Vec::new(),
    }
}
