//! The page of a kind: where its parts go, and their ports and facts.

use super::paper::{Paper, joined};
use super::{Known, facts};
use crate::model::{Declared, KindId};

pub(super) fn page(known: Known, id: KindId, paper: &mut Paper) {
    let model = known.model;
    let kind = &model[id];
    paper.title(&kind.name.text, &kind.about.doc, &known.declared("a kind of part", kind.name.span));
    for assembly in &model.assemblies {
        let slots: Vec<_> = assembly
            .slots
            .values()
            .filter(|it| it.kinds.contains(&id))
            .map(|it| (it.name.text.clone(), vec![it.doc.clone()]))
            .collect();
        if !slots.is_empty() {
            paper.heading(&format!("Slots of `{}` that take it", assembly.name.text));
            paper.pairs(&slots);
        }
    }
    let own = kind.facts.values().filter(|it| !model.common.contains(it)).map(|it| &model[*it]);
    let (ports, others): (Vec<&Declared>, Vec<&Declared>) = own.partition(|it| it.port);
    facts::section(known, "Ports, where it meets others", &ports, paper);
    facts::section(known, "Facts", &others, paper);
    let common: Vec<String> =
        model.common.iter().map(|it| &model[*it]).map(|it| format!("`{}`", it.name.text)).collect();
    paper.paragraph(&format!("Like every part it may also say its {}.", joined(&common)));
    if !kind.about.notes.is_empty() {
        paper.heading("Note");
        kind.about.notes.iter().for_each(|it| paper.text(it));
    }
    paper.sources(&kind.about.sources);
}
