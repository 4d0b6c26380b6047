//! One step for people: what to tick off, and all that is to know of it.

use super::{Bag, Becomes, Piece, Section, Step, Steps};
use crate::judge::{Todo, Verdict};
use crate::sheets::render::{Check, Words, plain, strong};
use crate::sheets::torque::{Row, Torque};
use crate::sheets::torque_page::how_tight;

/// The card of a step.
pub(super) fn check(sheet: &Steps, number: usize, step: &Step) -> Check {
    let work = is_work(step);
    let clashes = step.verdict == Some(Verdict::Clashes);
    let mut lines = Vec::new();
    match step.verdict {
        Some(Verdict::Clashes) => {
            lines.push(strong(format!("CLASHES, must not be made as it stands: {}", step.reasons.join("; "))));
        }
        Some(Verdict::Open) if !step.reasons.is_empty() => {
            lines.push(strong(format!("OPEN, settle it first (cotter measure): hangs on {}", step.reasons.join(", "))));
        }
        _ => {}
    }
    if !step.cautions.is_empty() {
        let numbers: Vec<String> = step.cautions.iter().map(|it| format!("({it})")).collect();
        lines.push(strong(format!("beware: {}", numbers.join(" "))));
    }
    if work && !step.joints.is_empty() {
        lines.push(plain(format!("for: {}", step.title)));
    }
    lines.extend(why(sheet, step).map(plain));
    if step.may_stay {
        lines.push(plain("all of it is left over: it may stay together"));
    }
    if !work && step.section != Section::Again && !step.parts.is_empty() {
        let (joined, beside): (Vec<&Piece>, Vec<&Piece>) = step.parts.iter().partition(|it| it.joined);
        for (label, parts) in [("", joined), ("beside it: ", beside)] {
            let parts: Vec<String> = parts.into_iter().map(piece).collect();
            lines.extend((!parts.is_empty()).then(|| plain(format!("{label}{}", parts.join("; ")))));
        }
    }
    if !clashes {
        doing(step, &mut lines);
    }
    let loud = if clashes { "DO NOT MAKE, IT CLASHES: " } else { "" };
    // Where that is said of each fastening, once is enough.
    let told = work || step.fastenings.iter().any(|it| !it.certain);
    let head = if work { step.how.iter().map(said).collect() } else { step.title.clone() };
    let head = format!("{number}. {loud}{}{head}", if_so(step.certain || told));
    Check { head: strong(head), blank: needs(step), lines }
}

/// What is done in a step, in the order in which it is done.
fn doing(step: &Step, lines: &mut Vec<Words>) {
    step.photographs.iter().for_each(|it| told("photograph first", it, lines));
    lines.extend(step.from_bags.iter().map(|(bag, from)| plain(format!("take: bag {bag}, filled in step {from}"))));
    match is_work(step) {
        true => step.how.iter().for_each(|it| lines.extend(it.notes.iter().map(|it| plain(format!("note: {it}"))))),
        false => step.how.iter().for_each(|it| told("how", it, lines)),
    }
    if step.section == Section::Strip {
        lines.extend(step.fastenings.iter().map(loosened));
    } else {
        let mut told = Vec::new();
        step.fastenings.iter().for_each(|it| tightened(it, step.section, &mut told, lines));
    }
    step.seized.iter().for_each(|it| told("if it does not move", it, lines));
    lines.extend(step.bags.iter().map(bag));
    lines.extend(step.becomes.iter().map(|it| plain(becomes(it))));
    if !step.cuts.is_empty() {
        lines.push(plain(format!("cut: {}", step.cuts.join("; "))));
    }
    if !step.uses_up.is_empty() {
        lines.push(plain(format!("uses up: {}", step.uses_up.join("; "))));
    }
}

/// Something to do, with what else is to know of it.
fn told(label: &str, it: &Todo, lines: &mut Vec<Words>) {
    lines.push(plain(format!("{label}: {}", said(it))));
    lines.extend(it.notes.iter().map(|it| plain(format!("note: {it}"))));
}

/// Whether what is to be done heads the step, rather than the joint that it is done to.
fn is_work(step: &Step) -> bool {
    step.joints.is_empty() || matches!(step.section, Section::Ready | Section::Proof)
}

/// What must be done first.
fn needs(step: &Step) -> String {
    if step.after_all {
        return "(needs all of the assembly)".to_owned();
    }
    match step.needs.is_empty() {
        true => "(needs nothing first)".to_owned(),
        false => format!("(needs {})", ranges(&step.needs)),
    }
}

/// Why a joint that stays comes apart, or where that was done.
fn why(sheet: &Steps, step: &Step) -> Option<String> {
    let other = step.counterpart?;
    if step.section == Section::Assemble {
        return Some(format!("put back as it was; taken apart in step {other}"));
    }
    let titles: Vec<String> = step
        .to_get_at
        .iter()
        .filter_map(|it| Some(format!("{} (step {it})", sheet.steps.get(it.checked_sub(1)?)?.title)))
        .collect();
    Some(format!("only to get at: {}; put back in step {other}", titles.join("; ")))
}

pub(super) fn piece(it: &Piece) -> String {
    let mark = match (it.comes, it.moved_from.is_empty()) {
        (true, _) => " (NEW)".to_owned(),
        (false, false) => format!(" (from {})", it.moved_from.join(", ")),
        (false, true) => String::new(),
    };
    format!("{} = {}{mark}", it.slot, it.description)
}

/// With what, in brackets; nothing for a hand that says no more than that.
fn with(row: &Row) -> String {
    let tool = if row.by_hand_alone() { "" } else { row.tool.as_str() };
    let with: Vec<&str> = [tool, &row.thread].into_iter().filter(|it| !it.is_empty()).collect();
    if with.is_empty() { String::new() } else { format!(" ({})", with.join("; ")) }
}

fn loosened(row: &Row) -> Words {
    // What has no thread is not turned.
    let word = if row.thread.is_empty() { "undo" } else { "loosen" };
    let line = format!("{word}: {}{}{}", if_so(row.certain), row.fastening, with(row));
    match row.left {
        true => strong(format!("{line}: LEFT-HAND, loosens to the RIGHT (clockwise)")),
        false => plain(line),
    }
}

/// How something is fastened, in the order in which that is done. What several fastenings want first is told once.
fn tightened<'s>(row: &'s Row, section: Section, told: &mut Vec<&'s str>, lines: &mut Vec<Words>) {
    if section == Section::Assemble {
        if !row.prepare.is_empty() {
            lines.push(plain(format!("prepare: {}", row.prepare)));
        }
        if !row.before.is_empty() && !told.contains(&row.before.as_str()) {
            lines.push(plain(format!("first: {}", row.before)));
            told.push(&row.before);
        }
    }
    if row.torque != Torque::Withheld {
        for limit in row.printed.iter().filter(|it| it.range.is_none()) {
            lines.push(strong(format!("read what is printed on {} first", limit.on)));
        }
    }
    let (tight, loud) = how_tight(row);
    let left = if row.left { "; LEFT: tightens anticlockwise" } else { "" };
    let memory = matches!(row.torque, Torque::Range(_)) && row.sources.iter().any(|it| it.starts_with("memory"));
    let memory = remembered(memory);
    let line = format!("fasten: {}{}{}: {tight}{memory}{left}", if_so(row.certain), row.fastening, with(row));
    lines.push(if loud || row.left { strong(line) } else { plain(line) });
}

fn bag(it: &Bag) -> Words {
    let to = match it.emptied.as_slice() {
        [] => " (goes with what is left over)".to_owned(),
        steps if it.whole => format!(" (for {})", numbered(steps)),
        steps => format!(" (what still fits for {}; the rest goes with what is left over)", numbered(steps)),
    };
    plain(format!("bag {}: {}{}{to}", it.number, if_so(it.certain), it.text))
}

fn becomes(it: &Becomes) -> String {
    let what = format!("{} = {}", it.slots.join(", "), it.piece.description);
    let on = it.goes_on.map_or(String::new(), |step| format!(" in step {step}"));
    match (it.left_over, it.moves_to.is_empty()) {
        (true, true) => format!("left over: {what}"),
        (true, false) => format!("{what}: one of it is left over, another goes to {}{on}", it.moves_to.join(", ")),
        (false, false) => format!("keep aside: {what}: goes to {}{on}", it.moves_to.join(", ")),
        (false, true) => format!("keep aside: {what}: goes back on{on}"),
    }
}

pub(super) fn if_so(certain: bool) -> &'static str {
    if certain { "" } else { "if so made: " }
}

/// A mark for what nobody has seen in a text.
fn remembered(so: bool) -> &'static str {
    if so { " [from memory]" } else { "" }
}

/// What is to be done, and with what.
pub(super) fn said(it: &Todo) -> String {
    let tool = if it.tool.is_empty() { String::new() } else { format!(" (with: {})", it.tool) };
    let memory = it.sources.iter().any(|it| it.standing.text == "memory");
    format!("{}{}{tool}{}", if_so(it.certain), it.text, remembered(memory))
}

/// `step 3`, `steps 3, 5 to 8`.
pub(super) fn numbered(steps: &[usize]) -> String {
    match steps {
        [one] => format!("step {one}"),
        _ => format!("steps {}", ranges(steps)),
    }
}

/// `3, 5 to 8`.
fn ranges(numbers: &[usize]) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for number in numbers {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == *number => *last = *number,
            _ => runs.push((*number, *number)),
        }
    }
    let words = runs.iter().map(|(first, last)| match last - first {
        0 => first.to_string(),
        1 => format!("{first}, {last}"),
        _ => format!("{first} to {last}"),
    });
    words.collect::<Vec<_>>().join(", ")
}
