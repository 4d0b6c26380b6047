//! The page of a joint: what meets, where, by which rules, and how it is made.

use super::paper::{Paper, joined};
use super::rules::texts;
use super::{Known, assemblies, facts, fastenings, source, works};
use crate::model::{Joint, JointId};
use crate::syntax::tree::JointBody;

pub(super) fn page(known: Known, id: JointId, paper: &mut Paper) {
    let model = known.model;
    let joint = &model[id];
    paper.title(&joint.name.text, &joint.about.doc, &known.declared("a joint", joint.name.span));
    if !joint.takes.is_empty() {
        paper.heading("What meets");
        let takes = joint.takes.iter().map(|it| {
            let mark = if it.optional { "?" } else { "" };
            let missing = if it.optional { "; may be missing" } else { "" };
            (format!("{}{mark}", it.name.text), vec![format!("{}{missing}", facts::in_words(model, &it.kind))])
        });
        paper.pairs(&takes.collect::<Vec<_>>());
    }
    for assembly in &model.assemblies {
        let joins: Vec<_> = assembly
            .joins
            .iter()
            .filter(|it| it.joint == id)
            .map(|it| (it.name.text.clone(), vec![it.doc.clone(), assemblies::bound(known, assembly, it)]))
            .collect();
        if !joins.is_empty() {
            paper.heading(&format!("Where `{}` has it", assembly.name.text));
            paper.pairs(&joins);
        }
    }
    rules(joint, paper);
    for (number, fastening) in joint.fastenings.iter().enumerate() {
        let title =
            if fastening.words.about.doc.is_empty() { &fastening.name.text } else { &fastening.words.about.doc };
        paper.heading(&format!("Fastening `{}`: {title}", fastening.name.text));
        if let Some(written) = source::fastening(known, fastening.name.span) {
            let mut pairs = fastenings::pairs(known, id, number, &written);
            pairs.push(("known from".to_owned(), vec![fastenings::known_from(fastening)]));
            paper.pairs(&pairs);
        }
    }
    let bodies = source::joint(known, &joint.name.text, joint.name.span);
    let works: Vec<_> = bodies.iter().flat_map(|it| it.works.clone()).collect();
    works::section(known, &works, paper);
    consumes(known, &bodies, paper);
    let of_rules = joint.rules.iter().flat_map(|it| &it.words.cautions);
    let of_fastenings = joint.fastenings.iter().flat_map(|it| &it.words.cautions);
    let of_works = joint.works.iter().flat_map(|it| &it.cautions);
    paper.cautions(&texts(model, joint.cautions.iter().chain(of_fastenings).chain(of_works).chain(of_rules)));
    if !joint.about.notes.is_empty() {
        paper.heading("Note");
        joint.about.notes.iter().for_each(|it| paper.text(it));
    }
    if !joint.about.sources.is_empty() {
        paper.sources(&joint.about.sources);
    }
    if !joint.rules.is_empty() {
        paper.paragraph(
            "Where each rule is known from, and what may be done, stands on its own page: `cotter explain CODE`",
        );
    }
}

fn rules(joint: &Joint, paper: &mut Paper) {
    for (required, heading) in [(true, "Must hold"), (false, "Advice")] {
        let rules: Vec<_> = joint
            .rules
            .iter()
            .filter(|it| it.required == required)
            .map(|it| (it.code.text.clone(), vec![it.words.about.doc.clone()]))
            .collect();
        if !rules.is_empty() {
            paper.heading(heading);
            paper.pairs(&rules);
        }
    }
}

fn consumes(known: Known, bodies: &[JointBody], paper: &mut Paper) {
    for (cut, heading) in [(false, "Uses up"), (true, "Cut to length")] {
        let used: Vec<String> = used(known, bodies, cut);
        if !used.is_empty() {
            paper.heading(heading);
            used.iter().for_each(|it| paper.item(it));
        }
    }
}

fn used(known: Known, bodies: &[JointBody], cut: bool) -> Vec<String> {
    bodies
        .iter()
        .flat_map(|it| &it.consumes)
        .filter(|it| it.cut == cut)
        .map(|it| {
            let mut words = source::template(known, &it.what);
            if let Some(count) = &it.count {
                words.push_str(&format!(": {}", source::written(known, count)));
            }
            if let Some(when) = &it.when {
                words.push_str(&format!("; when {}", source::written(known, when)));
            }
            words
        })
        .collect()
}

/// Joints that take a standard of some interface, in words.
pub(super) fn that_take(known: Known, test: impl Fn(&Joint) -> bool) -> String {
    let names: Vec<String> =
        known.model.joints.iter().filter(|it| test(it)).map(|it| format!("`{}`", it.name.text)).collect();
    joined(&names)
}
