//! What it comes to: a line a build, the mistakes counted, and what to settle first.

use super::super::{Severity, found};
use super::ink::Ink;
use super::wrap;
use crate::Compiled;
use crate::clean;
use crate::judge::{JudgedBuild, Verdict};
use crate::model::{Model, Slot};
use comfy_table::{CellAlignment, ContentArrangement, Table, presets};
use indexmap::{IndexMap, IndexSet};

/// Facts that are named at the end, at most.
const FIRST: usize = 3;
/// Slots that an example fills.
const EXAMPLE: usize = 3;

/// The summary of a check; `mistakes` were found in the texts.
pub(super) fn summary(units: &[Compiled], only: Option<&str>, mistakes: usize, ink: &Ink, width: usize) -> String {
    let builds = found::builds(units, only);
    let mut paragraphs = match builds.as_slice() {
        [] if only.is_none() => units.first().map(|unit| without_build(unit, mistakes)).into_iter().collect(),
        [] => Vec::new(),
        [(unit, build)] => vec![ink.by(weight(build), &sentence(unit, build))],
        several => vec![table(several, ink)],
    };
    if mistakes > 0 && !builds.is_empty() {
        let count = counted(mistakes, "mistake", "mistakes");
        let it = if mistakes == 1 { "it touches" } else { "they touch" };
        paragraphs.push(format!("{count} in the text: what {it} counts as not known"));
    }
    paragraphs.extend(first_to_settle(&builds));
    let mut out = String::new();
    for paragraph in paragraphs {
        for line in paragraph.lines() {
            // What is set in is laid out already.
            let laid = line.starts_with(' ') || builds.len() > 1 && paragraph.lines().count() > 1;
            out.push_str(&if laid { line.to_owned() } else { wrap::filled(line, width, "", "  ") });
            out.push('\n');
        }
    }
    out
}

/// `1 joint`, `2 joints`.
fn counted(count: usize, one: &str, several: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { several })
}

/// How much there is to say of a build.
fn weight(build: &JudgedBuild) -> Option<Severity> {
    if build.count(Verdict::Clashes) > 0 {
        Some(Severity::Error)
    } else if build.count(Verdict::Open) > 0 {
        Some(Severity::Warning)
    } else {
        None
    }
}

/// One build in words.
fn sentence(unit: &Compiled, build: &JudgedBuild) -> String {
    let name = clean::words(&unit.model[build.build].name.text);
    let (fit, clash, open) = (build.count(Verdict::Fits), build.count(Verdict::Clashes), build.count(Verdict::Open));
    let all = build.joints.len();
    let advice = match found::count(unit, &unit.model[build.build].name.text, Severity::Advice) {
        0 => String::new(),
        count => format!("; {}", counted(count, "piece of advice", "pieces of advice")),
    };
    let verdicts = match (all, fit, clash) {
        (0, ..) => "nothing in it meets yet".to_owned(),
        (1, 1, _) => "its only joint fits".to_owned(),
        (1, _, 1) => "its only joint clashes".to_owned(),
        (1, ..) => "its only joint is open".to_owned(),
        _ if fit == all => format!("all {all} joints fit"),
        _ => {
            let mut parts = vec![if fit == 0 { "none fits".to_owned() } else { counted(fit, "fits", "fit") }];
            if clash > 0 {
                parts.push(counted(clash, "clashes", "clash"));
            }
            if open > 0 {
                parts.push(counted(open, "is open", "are open"));
            }
            format!("of {all} joints {}", parts.join(", "))
        }
    };
    format!("{name}: {verdicts}{advice}")
}

/// Several builds, a row each.
fn table(builds: &[(&Compiled, &JudgedBuild)], ink: &Ink) -> String {
    let mut table = Table::new();
    table.load_preset(presets::NOTHING).set_content_arrangement(ContentArrangement::Disabled);
    table.set_header(["build", "joints", "fit", "clash", "open", "advice"]);
    for (unit, build) in builds {
        let name = &unit.model[build.build].name.text;
        let advice = found::count(unit, name, Severity::Advice);
        let verdicts = [Verdict::Fits, Verdict::Clashes, Verdict::Open].map(|it| build.count(it));
        let [fit, clash, open] = verdicts;
        let mut row = vec![clean::words(name)];
        row.extend([build.joints.len(), fit, clash, open, advice].map(|it| it.to_string()));
        table.add_row(row);
    }
    for column in table.column_iter_mut() {
        let right = column.index > 0;
        column.set_padding((0, 2));
        column.set_cell_alignment(if right { CellAlignment::Right } else { CellAlignment::Left });
    }
    let text = table.to_string();
    let weights = std::iter::once(None).chain(builds.iter().map(|(_, build)| weight(build)));
    let lines: Vec<String> = text.lines().zip(weights).map(|(line, weight)| ink.by(weight, line.trim_end())).collect();
    lines.join("\n")
}

/// What most open joints hang on.
fn first_to_settle(builds: &[(&Compiled, &JudgedBuild)]) -> Option<String> {
    let mut hang: IndexMap<String, IndexSet<&str>> = IndexMap::new();
    for (unit, build) in builds {
        for joint in &build.joints {
            for fact in &joint.hangs_on {
                let part = unit.model.facts.get(*fact).and_then(|it| it.part);
                let of = part.map_or(String::new(), |part| format!(" of {}", unit.model[part].name.text));
                let named = format!("`{}`{of}", joint.path_of(&unit.model, *fact));
                hang.entry(named).or_default().insert(&joint.name);
            }
        }
    }
    // Sorting keeps the order of the joints among equals.
    hang.sort_by(|_, one, _, other| other.len().cmp(&one.len()));
    let mut named = hang.iter().take(FIRST).map(|(fact, joints)| (clean::words(fact), joints.len()));
    let (fact, count) = named.next()?;
    let hangs =
        if count == 1 { "1 open joint hangs on it".to_owned() } else { format!("{count} open joints hang on it") };
    let others: Vec<String> = named.map(|(fact, count)| format!(", {fact} ({count})")).collect();
    Some(format!("settle first: {fact} ({hangs}){}", others.concat()))
}

/// What to do when there is nothing to judge.
fn without_build(unit: &Compiled, mistakes: usize) -> String {
    let own = unit.files.iter().map(|(_, file)| file.name.as_str()).find(|name| !name.starts_with("library:"));
    let name = clean::words(own.unwrap_or("this spec"));
    if mistakes > 0 {
        return format!("{name}: {} in the text, and no build to judge", counted(mistakes, "mistake", "mistakes"));
    }
    let head = format!("{name} has no build, so nothing meets. A build says which part stands where:");
    match example(unit) {
        Some(example) => format!("{head}\n\n{example}"),
        None => head,
    }
}

/// A build that could be written: of the assembly with most slots, with parts that are there.
fn example(unit: &Compiled) -> Option<String> {
    let model: &Model = &unit.model;
    let most = model.assemblies.iter().map(|it| it.slots.len()).max()?;
    let assembly = model.assemblies.iter().find(|it| it.slots.len() == most)?;
    let needed: Vec<&Slot> = assembly.slots.values().filter(|it| !it.optional).collect();
    // Only where there is no choice: which of two slots a part is for, its owner knows.
    let part_for = |slot: &Slot| {
        let part = model.parts.iter().find(|it| !it.undecided && slot.kinds.contains(&it.kind))?;
        let takers = needed.iter().filter(|it| it.kinds.contains(&part.kind)).count();
        (takers == 1).then_some(part.name.text.as_str())
    };
    let mut filled: Vec<(&str, String)> = needed
        .iter()
        .filter_map(|slot| Some((slot.name.text.as_str(), clean::words(part_for(slot)?))))
        .take(EXAMPLE)
        .collect();
    let open = needed.iter().filter(|slot| part_for(slot).is_none());
    filled.extend(open.map(|slot| (slot.name.text.as_str(), "?".to_owned())).take(EXAMPLE - filled.len()));
    let widest = filled.iter().map(|(slot, _)| slot.chars().count()).max()?;
    let lines: Vec<String> = filled.iter().map(|(slot, part)| format!("    {slot:widest$} = {part}\n")).collect();
    let name = clean::words(&assembly.name.text);
    Some(format!("  build mine : {name} {{\n{}    # and so on\n  }}\n\n  more: cotter explain {name}", lines.concat()))
}
