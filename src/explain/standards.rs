//! Pages of interfaces and their standards.

use super::paper::{Paper, joined};
use super::{Known, facts, joints};
use crate::model::{About, Declared, InterfaceId, Model, StandardId, Type};

pub(super) fn interface(known: Known, id: InterfaceId, paper: &mut Paper) {
    let model = known.model;
    let it = &model[id];
    let what = "an interface: the family of standards that can stand in one place";
    paper.title(&it.name.text, &it.about.doc, &known.declared(what, it.name.span));
    how_to_tell(&it.about, paper);
    if !it.standards.is_empty() {
        paper.heading("Standards");
        let standards = it.standards.iter().map(|id| {
            let written = notations(model, *id).into_iter().map(|(short, _)| format!("also written `{short}`"));
            let said = [model[*id].about.doc.clone(), format!("`{}`", model.standard_example(*id))];
            (model[*id].name.text.clone(), said.into_iter().chain(written).collect())
        });
        paper.pairs(&standards.collect::<Vec<_>>());
    }
    meets(known, id, paper);
    notes(&it.about, paper);
    paper.sources(&it.about.sources);
}

pub(super) fn standard(known: Known, id: StandardId, paper: &mut Paper) {
    let model = known.model;
    let it = &model[id];
    let family = &model[it.interface];
    let what = format!("a standard of `{}` ({})", family.name.text, family.about.doc);
    let name = format!("{}.{}", family.name.text, it.name.text);
    paper.title(&name, &it.about.doc, &known.declared(&what, it.name.span));
    paper.heading("Written");
    paper.text(&format!("`{}`", model.standard_example(id)));
    for (short, meaning) in notations(model, id) {
        paper.text(&format!("`{short}`: {meaning}"));
    }
    let fields: Vec<&Declared> = it.fields.iter().map(|field| &model[*field]).collect();
    facts::section(known, "Fields, in order", &fields, paper);
    if it.about.measure.is_some() {
        how_to_tell(&it.about, paper);
    } else {
        how_to_tell(&family.about, paper);
    }
    meets(known, it.interface, paper);
    notes(&it.about, paper);
    paper.sources(&it.about.sources);
}

/// The short ways to write a standard, with what they mean: `width-across`.
fn notations(model: &Model, id: StandardId) -> Vec<(String, String)> {
    let standard = &model[id];
    let field = |number: usize| standard.fields.get(number).map_or("", |id| model[*id].name.text.as_str());
    let notation = |(first, second, cross): &(usize, usize, bool)| {
        let mark = if *cross { "x" } else { "-" };
        let (first, second) = (field(*first), field(*second));
        (
            format!("{}{mark}{}", first.to_uppercase(), second.to_uppercase()),
            format!("first `{first}`, then `{second}`"),
        )
    };
    standard.written.iter().map(notation).collect()
}

fn how_to_tell(about: &About, paper: &mut Paper) {
    let Some(measure) = &about.measure else { return };
    paper.heading("How to tell");
    paper.text(&match &about.tool {
        Some(tool) => format!("{measure} ({tool})"),
        None => measure.clone(),
    });
}

/// The ports that have an interface, and the joints that take it.
fn meets(known: Known, id: InterfaceId, paper: &mut Paper) {
    let model = known.model;
    let mut ports: Vec<String> = Vec::new();
    for kind in &model.kinds {
        let own = kind.facts.iter().filter(|(_, fact)| model[**fact].kind == Type::Standard(id));
        ports.extend(own.map(|(name, _)| format!("`{}.{name}`", kind.name.text)));
    }
    if !ports.is_empty() {
        paper.heading("Stands on");
        paper.text(&joined(&ports));
    }
    let takes = joints::that_take(known, |joint| joint.takes.iter().any(|it| it.kind == Type::Standard(id)));
    if !takes.is_empty() {
        paper.heading("Joints that ask for it");
        paper.text(&takes);
    }
}

fn notes(about: &About, paper: &mut Paper) {
    if !about.notes.is_empty() {
        paper.heading("Note");
        about.notes.iter().for_each(|it| paper.text(it));
    }
}
