//! The page of a rule: what must hold and why, what may be done about it, what it looks at, how sure it is.

use super::paper::Paper;
use super::{Known, looks, source};
use crate::model::{CautionRef, JointId, Model};
use crate::syntax::tree::Expr;

pub(super) fn page(known: Known, id: JointId, number: usize, paper: &mut Paper) {
    let joint = &known.model[id];
    let Some(rule) = joint.rules.get(number) else { return };
    let weight = if rule.required { "a clash when it does not hold" } else { "advice, no more" };
    let what = format!("a rule of the joint `{}`: {weight}", joint.name.text);
    paper.title(&rule.code.text, &rule.words.about.doc, &known.declared(&what, rule.code.span));
    let Some(written) = source::rule(known, rule.code.span) else { return };
    let bodies = source::joint(known, &joint.name.text, joint.name.span);

    let mut exprs: Vec<&Expr> = written.when.iter().chain(&written.that).collect();
    paper.heading("Must hold");
    let mut pairs: Vec<(String, Vec<String>)> = Vec::new();
    let mut pair = |name: &str, said: String| pairs.push((name.to_owned(), vec![said]));
    if let Some(when) = &written.when {
        pair("when", source::written(known, when));
    }
    if let Some(that) = &written.that {
        pair("that", source::written(known, that));
    }
    let said: Vec<&Expr> = written.otherwise.iter().flat_map(source::expressions).collect();
    let all: Vec<&Expr> = exprs.iter().copied().chain(said).collect();
    for (name, expr) in looks::lets(&bodies, &all) {
        pair(&format!("{name} ="), source::written(known, expr));
    }
    if let Some(otherwise) = &written.otherwise {
        pair("if not", source::template(known, otherwise));
    }
    paper.pairs(&pairs);

    if !rule.words.why.is_empty() {
        paper.heading("Why");
        paper.text(&rule.words.why);
    }
    if !written.may.is_empty() {
        paper.heading("What may be done");
        for (text, when) in &written.may {
            let words = source::template(known, text);
            match when {
                Some(when) => paper.item_when(&words, &source::written(known, when)),
                None => paper.item(&words),
            }
        }
        exprs.extend(written.may.iter().filter_map(|(_, when)| when.as_ref()));
    }
    paper.cautions(&texts(known.model, rule.words.cautions.iter().chain(&joint.cautions)));
    let looks = looks::pairs(known, id, &bodies, &exprs);
    if !looks.is_empty() {
        paper.heading("It looks at");
        paper.pairs(&looks);
    }
    if !rule.words.about.notes.is_empty() {
        paper.heading("Note");
        rule.words.about.notes.iter().for_each(|it| paper.text(it));
    }
    paper.sources(&rule.words.about.sources);
    let mut asked = Vec::new();
    exprs.iter().copied().chain(looks::lets(&bodies, &exprs).into_iter().map(|(_, it)| it)).for_each(|it| {
        source::asked(it, &mut asked);
    });
    asked.retain(|it| {
        known.model.functions.iter().any(|f| f.name.text == *it)
            || known.model.tables.iter().any(|t| t.name.text == *it)
    });
    if !asked.is_empty() {
        let asked: Vec<String> = asked.iter().map(|it| format!("`cotter explain {it}`")).collect();
        paper.paragraph(&format!("What it asks besides: {}", asked.join(", ")));
    }
}

/// The texts of some cautions, each once.
pub(super) fn texts<'m>(model: &'m Model, called: impl Iterator<Item = &'m CautionRef>) -> Vec<&'m str> {
    let mut texts: Vec<&str> = Vec::new();
    for it in called {
        if let Some(caution) = model.cautions.get(&it.name)
            && !texts.contains(&caution.text.as_str())
        {
            texts.push(&caution.text);
        }
    }
    texts
}
