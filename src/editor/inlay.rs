//! Hints between the lines: the verdict beside each slot of a build, and on request inches beside millimetres.

use super::convert;
use super::workspace::{Unit, Workspace};
use crate::judge::Verdict;
use crate::source::Span;
use crate::syntax::tree::{Item, Quantity, Value, ValueNode};
use lsp_types::{InlayHint, InlayHintLabel, Position, Range};
use std::rc::Rc;

/// The hints of a stretch of a file.
pub fn hints(workspace: &Workspace, path: &str, range: Range, inches: bool) -> Vec<InlayHint> {
    let units: Vec<Rc<Unit>> = workspace.units_with(path).cloned().collect();
    let mut all: Vec<InlayHint> = Vec::new();
    for unit in &units {
        let Some(id) = unit.file(path) else { continue };
        let Some(file) = unit.compiled.files.get(id) else { continue };
        let Some((_, tree)) = unit.index().trees.iter().find(|(tree, _)| *tree == id) else { continue };
        let mut told: Vec<(Span, String)> = Vec::new();
        for item in &tree.items {
            match item {
                Item::Build(build) => {
                    for assign in &build.assigns {
                        let verdict = verdict(unit, &build.name.text, &assign.path.text);
                        told.extend(verdict.map(|it| (assign.value.span, it.word().to_owned())));
                    }
                }
                Item::Part(part) if inches => {
                    for fact in &part.facts {
                        told.extend(in_inches(&fact.value).map(|it| (fact.value.span, it)));
                    }
                }
                _ => {}
            }
        }
        for (span, words) in told {
            let position = convert::range(file, span, workspace.units_of_text).end;
            let hint = hint(position, &words);
            if range.start <= position && position <= range.end && !all.iter().any(|it| it.position == position) {
                all.push(hint);
            }
        }
    }
    all
}

/// The worst verdict of the joints that a slot's part has; none if it has none.
fn verdict(unit: &Unit, build: &str, slot: &str) -> Option<Verdict> {
    let id = unit.compiled.model.build_named(build)?;
    let judged = unit.compiled.builds.iter().find(|it| it.build == id)?;
    let own = judged.joints.iter().filter(|joint| joint.uses.iter().any(|it| it.slot == slot));
    own.map(|joint| joint.verdict).max()
}

fn hint(position: Position, words: &str) -> InlayHint {
    InlayHint {
        position,
        label: InlayHintLabel::String(words.to_owned()),
        kind: None,
        text_edits: None,
        tooltip: None,
        padding_left: Some(true),
        padding_right: None,
        data: None,
    }
}

/// A length in millimetres as inches.
fn in_inches(value: &Value) -> Option<String> {
    let (ValueNode::Quantity(quantity) | ValueNode::Estimate(quantity) | ValueNode::Tolerance(quantity, _)) =
        &value.node
    else {
        return None;
    };
    let Quantity { number, unit: Some(unit), .. } = quantity else { return None };
    let millimetres: f64 = number.parse().ok()?;
    (unit.text == "mm").then(|| format!("{:.3} in", millimetres / 25.4))
}
