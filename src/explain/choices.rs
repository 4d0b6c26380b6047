//! Pages of choices and cautions.

use super::Known;
use super::paper::{Paper, joined};
use crate::model::{CautionRef, ChoiceId, DeclaredId, Type};

pub(super) fn choice(known: Known, id: ChoiceId, paper: &mut Paper) {
    let model = known.model;
    let it = &model[id];
    paper.title(&it.name.text, &it.about.doc, &known.declared("a choice: a closed list of names", it.name.span));
    paper.heading("One of");
    paper.pairs(&it.members.iter().map(|(name, doc)| (name.clone(), vec![doc.clone()])).collect::<Vec<_>>());
    let takes = |it: &&DeclaredId| model[**it].kind == Type::Choice(id);
    let mut facts: Vec<String> =
        model.common.iter().filter(takes).map(|it| format!("`{}`", model[*it].name.text)).collect();
    for kind in &model.kinds {
        let own = kind.facts.values().filter(takes).filter(|it| !model.common.contains(it));
        facts.extend(own.map(|it| format!("`{}.{}`", kind.name.text, model[*it].name.text)));
    }
    for standard in &model.standards {
        let whole = format!("{}.{}", model[standard.interface].name.text, standard.name.text);
        facts.extend(standard.fields.iter().filter(takes).map(|it| format!("`{whole}.{}`", model[*it].name.text)));
    }
    if !facts.is_empty() {
        paper.heading("Facts that take it");
        paper.text(&joined(&facts));
    }
    if !it.about.notes.is_empty() {
        paper.heading("Note");
        it.about.notes.iter().for_each(|it| paper.text(it));
    }
    // What the compiler itself declares comes from nowhere else.
    if known.place(it.name.span).is_some() {
        paper.sources(&it.about.sources);
    }
}

pub(super) fn caution(known: Known, name: &str, paper: &mut Paper) {
    let model = known.model;
    let Some(caution) = model.cautions.get(name) else { return };
    paper.title(name, "", &known.declared("a caution", caution.span));
    paper.heading("Beware");
    paper.text(&caution.text);
    let has = |called: &[CautionRef]| called.iter().any(|it| it.name == name);
    let mut used: Vec<String> = Vec::new();
    for joint in &model.joints {
        if has(&joint.cautions) {
            used.push(format!("`{}`", joint.name.text));
        }
        used.extend(joint.rules.iter().filter(|it| has(&it.words.cautions)).map(|it| format!("`{}`", it.code.text)));
        let fastenings = joint.fastenings.iter().filter(|it| has(&it.words.cautions));
        used.extend(fastenings.map(|it| format!("`{}.{}`", joint.name.text, it.name.text)));
    }
    used.extend(model.assemblies.iter().filter(|it| has(&it.cautions)).map(|it| format!("`{}`", it.name.text)));
    if !used.is_empty() {
        paper.heading("Said by");
        paper.text(&joined(&used));
    }
}
