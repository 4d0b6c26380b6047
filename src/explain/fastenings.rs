//! The page of a fastening, and its lines on the page of its joint.

use super::paper::{Paper, how_sure};
use super::rules::texts;
use super::{Known, looks, source};
use crate::judge;
use crate::model::{Fastening, JointId};
use crate::quantity::show;
use crate::syntax::tree::{self, Expr, Torque};

pub(super) fn page(known: Known, id: JointId, number: usize, paper: &mut Paper) {
    let joint = &known.model[id];
    let Some(fastening) = joint.fastenings.get(number) else { return };
    let name = format!("{}.{}", joint.name.text, fastening.name.text);
    let what = format!("a fastening of the joint `{}`: {}", joint.name.text, joint.about.doc);
    paper.title(&name, &fastening.words.about.doc, &known.declared(&what, fastening.name.span));
    let Some(written) = source::fastening(known, fastening.name.span) else { return };
    paper.heading("How it is made");
    let bodies = source::joint(known, &joint.name.text, joint.name.span);
    let mut exprs: Vec<&Expr> = written.when.iter().collect();
    let mut all = exprs.clone();
    if let Some(Torque::Range(ends)) = &written.torque {
        all.extend(ends.iter());
    }
    let mut pairs = pairs(known, id, number, &written);
    let lets = looks::lets(&bodies, &all).into_iter();
    pairs.extend(lets.map(|(name, expr)| (format!("{name} ="), vec![source::written(known, expr)])));
    paper.pairs(&pairs);
    paper.cautions(&texts(known.model, fastening.words.cautions.iter().chain(&joint.cautions)));
    if judge::asked_torque(known.model, id, number).is_none() {
        exprs = all;
    }
    let looks = looks::pairs(known, id, &bodies, &exprs);
    if !looks.is_empty() {
        paper.heading("It looks at");
        paper.pairs(&looks);
    }
    notes(fastening, paper);
    paper.sources(&fastening.words.about.sources);
}

fn notes(fastening: &Fastening, paper: &mut Paper) {
    if !fastening.words.about.notes.is_empty() {
        paper.heading("Note");
        fastening.words.about.notes.iter().for_each(|it| paper.text(it));
    }
}

/// Everything of a fastening but its cautions, in two columns.
pub(super) fn pairs(known: Known, id: JointId, number: usize, written: &tree::Fasten) -> Vec<(String, Vec<String>)> {
    let mut pairs: Vec<(String, Vec<String>)> = Vec::new();
    let mut pair = |name: &str, said: Vec<String>| {
        if said.iter().any(|it| !it.is_empty()) {
            pairs.push((name.to_owned(), said));
        }
    };
    let text = |it: &Option<tree::Template>| it.iter().map(|it| source::template(known, it)).collect();
    pair("when", written.when.iter().map(|it| source::written(known, it)).collect());
    pair("thread", text(&written.thread));
    pair("tool", text(&written.tool));
    pair("torque", torque(known, id, number, written));
    let printed: Vec<String> = written.printed.iter().map(|it| it.text.clone()).collect();
    pair("printed on", vec![printed.join(", ")]);
    pair("prepare", text(&written.prepare));
    let uses: Vec<&str> = written.uses.iter().map(|it| it.text.as_str()).collect();
    pair("takes", if uses.is_empty() { Vec::new() } else { vec![uses.join(", ")] });
    pair("turn", written.turn.iter().map(|it| direction(&it.text)).collect());
    pair("before", text(&written.before));
    pair("settles", written.settles.iter().map(|_| "it is tightened again after the first use".to_owned()).collect());
    pairs
}

fn direction(turn: &str) -> String {
    match turn {
        "left" => "LEFT: it tightens anticlockwise".to_owned(),
        _ => "right: it tightens clockwise".to_owned(),
    }
}

fn torque(known: Known, id: JointId, number: usize, written: &tree::Fasten) -> Vec<String> {
    let Some(torque) = &written.torque else { return Vec::new() };
    let Torque::Range(ends) = torque else { return vec!["by hand".to_owned()] };
    let [low, high] = &**ends;
    let as_written = format!("{} .. {}", source::written(known, low), source::written(known, high));
    let Some(range) = judge::asked_torque(known.model, id, number) else { return vec![as_written] };
    // Newton metres and inch pounds, both from N·mm.
    let unit = |name: &str| crate::quantity::unit(name).map_or(1.0, |it| it.factor);
    let in_unit = |name: &str, places: fn(f64) -> String| {
        let (low, high) = (places(range.low / unit(name)), places(range.high / unit(name)));
        if low == high { format!("{low} {name}") } else { format!("{low} to {high} {name}") }
    };
    let figures = format!("{} ({})", in_unit("N·m", show), in_unit("in·lb", |it| format!("{it:.0}")));
    let fixed = matches!((&low.node, &high.node), (tree::ExprNode::Quantity(_), tree::ExprNode::Quantity(_)));
    if fixed { vec![figures] } else { vec![figures, format!("unless something else is printed: {as_written}")] }
}

/// The sources of a fastening in one line.
pub(super) fn known_from(fastening: &Fastening) -> String {
    let all: Vec<String> = fastening.words.about.sources.iter().map(how_sure).collect();
    if all.is_empty() { "nothing is said of that".to_owned() } else { all.join("; ") }
}
