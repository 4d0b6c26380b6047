//! Steps as rows for a spreadsheet.

use super::data::loosens;
use super::{Becomes, Section, Step, Steps};
use crate::judge::{Todo, Verdict};
use crate::sheets::render;
use crate::sheets::torque::Row;
use crate::sheets::torque_page::how_tight;

const HEADER: &[&str] = &[
    "build",
    "no",
    "section",
    "group",
    "needs",
    "joints",
    "title",
    "certain",
    "verdict",
    "reasons",
    "parts",
    "photographs",
    "how",
    "loosen",
    "fasten",
    "prepare",
    "first",
    "tools",
    "if_seized",
    "bags_filled",
    "bags_emptied",
    "becomes",
    "uses_up",
    "cuts",
    "cautions",
    "done",
];

/// A row a step, with all cautions that hold for it in full: a table of rows has no other place for them.
pub(super) fn csv(sheets: &[Steps]) -> String {
    let mut rows = Vec::new();
    for sheet in sheets {
        rows.extend(sheet.steps.iter().enumerate().map(|(at, step)| cells(sheet, at + 1, step)));
    }
    render::csv(HEADER, &rows)
}

fn cells(sheet: &Steps, number: usize, step: &Step) -> Vec<String> {
    let taking = step.section == Section::Strip;
    let texts = |all: &[Todo]| all.iter().map(with_doubt).collect::<Vec<_>>().join("; ");
    let fastenings = |wanted: bool, said: fn(&Row) -> String| {
        let all = step.fastenings.iter().filter(|_| wanted).map(said).filter(|it| !it.is_empty());
        all.collect::<Vec<_>>().join("; ")
    };
    let cautions: Vec<&str> = sheet
        .cautions
        .iter()
        .filter(|it| it.standing || step.cautions.contains(&it.number))
        .map(|it| it.text.as_str())
        .collect();
    let parts = step.parts.iter().map(|it| format!("{} = {}", it.slot, it.part.as_deref().unwrap_or("?")));
    let numbers = |all: &[usize]| all.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ");
    vec![
        sheet.build.clone(),
        number.to_string(),
        step.section.word().to_owned(),
        step.group.to_string(),
        numbers(&step.needs),
        step.joints.join(" "),
        step.title.clone(),
        if step.certain { "yes" } else { "if so made" }.to_owned(),
        step.verdict.map_or("", Verdict::word).to_owned(),
        step.reasons.join("; "),
        parts.collect::<Vec<_>>().join("; "),
        texts(&step.photographs),
        texts(&step.how),
        fastenings(taking, |it| format!("{}: to the {}", it.fastening, loosens(it))),
        fastenings(!taking, |it| {
            format!("{}: {}{}", it.fastening, how_tight(it).0, if it.left { ", LEFT" } else { "" })
        }),
        fastenings(!taking, |it| it.prepare.clone()),
        fastenings(!taking, |it| it.before.clone()),
        step.tools().join("; "),
        texts(&step.seized),
        step.bags.iter().map(|it| format!("{}: {}", it.number, it.text)).collect::<Vec<_>>().join("; "),
        numbers(&step.from_bags.iter().map(|(bag, _)| *bag).collect::<Vec<_>>()),
        step.becomes.iter().map(becomes_cell).collect::<Vec<_>>().join("; "),
        step.uses_up.join("; "),
        step.cuts.join("; "),
        cautions.join(" / "),
        String::new(),
    ]
}

fn with_doubt(it: &Todo) -> String {
    format!("{}{}", if it.certain { "" } else { "if so made: " }, it.text)
}

fn becomes_cell(it: &Becomes) -> String {
    let part = it.piece.part.as_deref().unwrap_or("?");
    format!("{} = {part}: {}", it.slots.join(", "), if it.left_over { "left over" } else { "kept" })
}
