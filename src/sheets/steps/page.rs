//! Steps for people: a list to tick off at the stand.

use super::card::{check, if_so, numbered, piece, said};
use super::{Photograph, Section, Step, Steps, ToolUse, Untouched};
use crate::judge::Verdict;
use crate::model::Stock;
use crate::sheets::bill::{Consumable, Gap, Line};
use crate::sheets::bill_page::needed_words;
use crate::sheets::cautions::Caution;
use crate::sheets::render::{Block, Check, Words, plain, strong};
use crate::sheets::torque::{Row, Torque};
use crate::sheets::torque_page::{caution, how_tight, unsettled};
use crate::sheets::words::{counted, joints};

/// The page of one build.
pub(in crate::sheets) fn blocks(sheet: &Steps) -> Vec<Block> {
    let mut page = vec![Block::Title(format!("{}: steps", sheet.build))];
    if !sheet.description.is_empty() {
        page.push(Block::Text(plain(sheet.description.clone())));
    }
    page.push(Block::Text(plain(overview(sheet))));
    if let Some(words) = joints(&sheet.joints, "settle that before anything is ordered or taken apart (cotter check)") {
        page.push(Block::Text(strong(words)));
        page.push(Block::Items(sheet.unsettled.iter().map(unsettled).collect()));
    }
    before_you_begin(&mut page, sheet);
    for section in Section::ALL {
        steps(&mut page, sheet, section);
        if section == Section::Proof {
            left_alone(&mut page, &sheet.untouched);
        }
    }
    left_over(&mut page, sheet);
    page
}

/// What the sheet is, in a sentence or two.
fn overview(sheet: &Steps) -> String {
    let count = |section: Section| sheet.section(section).count();
    let (strip, assemble) = (count(Section::Strip), count(Section::Assemble));
    if let Some(from) = sheet.from.as_ref().filter(|_| sheet.steps.is_empty()) {
        return format!("As {from}: nothing is taken apart, and nothing put together.");
    }
    let from = match &sheet.from {
        Some(from) if strip == 0 => format!("Made of {from}, of which nothing is taken apart: "),
        Some(from) => format!("Made of {from}: {} of strip-down, ", counted(strip, "step")),
        None => "Made of its parts alone: ".to_owned(),
    };
    let ready = match count(Section::Ready) {
        0 => String::new(),
        some => format!("{} of preparation, ", counted(some, "step")),
    };
    let alone = match sheet.untouched.len() {
        0 => String::new(),
        1 => "; 1 joint is left alone".to_owned(),
        more => format!("; {more} joints are left alone"),
    };
    let order = if strip + assemble > 0 {
        " Steps of one group may be done in any order; what a step needs first stands behind it."
    } else {
        ""
    };
    format!("{from}{ready}{} of assembly{alone}.{order}", counted(assemble, "step"))
}

fn before_you_begin(page: &mut Vec<Block>, sheet: &Steps) {
    if sheet.steps.is_empty() && sheet.cautions.is_empty() {
        return;
    }
    page.push(Block::Chapter("Before you begin".to_owned()));
    let (standing, others): (Vec<&Caution>, Vec<&Caution>) = sheet.cautions.iter().partition(|it| it.standing);
    warn(page, "First of all", &standing);
    warn(page, "Beware, where a step gives the number", &others);
    photographs(page, &sheet.photographs);
    comes(page, &sheet.comes, sheet.from.is_some());
    gaps(page, &sheet.gaps);
    uses_up(page, &sheet.uses_up);
    if !sheet.tools.is_empty() {
        page.push(Block::Sub("Tools, with the steps that need them".to_owned()));
        page.push(Block::Checks(sheet.tools.iter().map(tool).collect()));
    }
    if !sheet.throughout.is_empty() {
        page.push(Block::Sub("While things are taken apart".to_owned()));
        page.push(Block::Items(sheet.throughout.iter().map(|it| plain(said(it))).collect()));
    }
}

fn warn(page: &mut Vec<Block>, title: &str, cautions: &[&Caution]) {
    if !cautions.is_empty() {
        page.push(Block::Sub(title.to_owned()));
        page.push(Block::Items(cautions.iter().map(|it| caution(it)).collect()));
    }
}

fn tool(it: &ToolUse) -> Check {
    Check { head: plain(format!("{}: {}", it.tool, numbered(&it.steps))), blank: String::new(), lines: Vec::new() }
}

fn photographs(page: &mut Vec<Block>, all: &[Photograph]) {
    if all.is_empty() {
        return;
    }
    page.push(Block::Sub("Photographs and notes to take first".to_owned()));
    let checks = all.iter().map(|it| {
        let of = if it.of.is_empty() { String::new() } else { format!("{}: ", it.of) };
        let step = it.step.map_or(String::new(), |step| format!(" (before step {step})"));
        Check {
            head: plain(format!("{of}{}{}{step}", if_so(it.certain), it.text)),
            blank: String::new(),
            lines: Vec::new(),
        }
    });
    page.push(Block::Checks(checks.collect()));
}

/// Pieces that must be at hand, by where they come from.
fn comes(page: &mut Vec<Block>, all: &[Line], conversion: bool) {
    for source in [Some(Stock::Buy), Some(Stock::Bin), Some(Stock::Donor), None] {
        let title = match source {
            Some(Stock::Buy) => "Must have arrived",
            Some(Stock::Bin) => "From the bin",
            Some(Stock::Donor) if conversion => "From the donor, not on it before",
            Some(Stock::Donor) => "From the donor",
            None => "Must be there, no source said",
        };
        let lines: Vec<&Line> = all.iter().filter(|it| it.source == source).collect();
        if lines.is_empty() {
            continue;
        }
        let pieces: u32 = lines.iter().map(|it| it.quantity).sum();
        page.push(Block::Sub(format!("{title}: {}", counted(pieces, "piece"))));
        page.push(Block::Checks(lines.into_iter().map(arrives).collect()));
    }
}

fn arrives(line: &Line) -> Check {
    let mut lines = Vec::new();
    if !line.note.is_empty() {
        lines.push(plain(format!("note: {}", line.note)));
    }
    if line.available == Some(false) {
        lines.push(strong("not to be had"));
    }
    Check { head: plain(counted_part(line)), blank: String::new(), lines }
}

/// How many of which part, for which slots.
fn counted_part(line: &Line) -> String {
    let what = if line.description.is_empty() { &line.kind } else { &line.description };
    let count = if line.quantity > 1 { format!("{} x ", line.quantity) } else { String::new() };
    format!("{count}{what} ({}): {}", line.part, line.slots.join(", "))
}

fn gaps(page: &mut Vec<Block>, gaps: &[Gap]) {
    if gaps.is_empty() {
        return;
    }
    page.push(Block::Sub("Not decided, or missing".to_owned()));
    let gap = |it: &Gap| {
        let what = if it.description.is_empty() { it.kinds.join(" or ") } else { it.description.clone() };
        strong(format!("{} ({what}): {}", it.slot, if it.undecided { "not decided" } else { "must be filled" }))
    };
    page.push(Block::Items(gaps.iter().map(gap).collect()));
}

fn uses_up(page: &mut Vec<Block>, all: &[Consumable]) {
    let new = all.iter().filter_map(|it| Some((it, it.new?))).filter(|(_, new)| !new.is_nothing());
    let items: Vec<Words> =
        new.map(|(it, new)| plain(format!("{}: {}", it.what, needed_words(&new, it.dimension)))).collect();
    if !items.is_empty() {
        page.push(Block::Sub("Used up on the way".to_owned()));
        page.push(Block::Items(items));
    }
}

fn steps(page: &mut Vec<Block>, sheet: &Steps, section: Section) {
    let all: Vec<(usize, &Step)> = sheet.section(section).collect();
    let Some((_, first)) = all.first() else { return };
    let title = match section {
        Section::Strip => "Strip-down",
        Section::Ready => "Preparation",
        Section::Assemble => "Assembly",
        Section::Proof => "Checks before the first use",
        Section::Again => "After the first use: tighten again",
    };
    page.push(Block::Chapter(format!("{title}: {}", counted(all.len(), "step"))));
    let intro = match section {
        Section::Strip => {
            "Everything loosens to the left (anticlockwise) but what is marked LEFT-HAND, which loosens to the RIGHT \
             (clockwise)."
        }
        Section::Assemble => {
            "Everything tightens to the right (clockwise) but what is marked LEFT. A figure printed on a part \
             prevails over the one given here."
        }
        Section::Again => "Each with its torque once more; what has settled is loose.",
        Section::Ready | Section::Proof => "",
    };
    if !intro.is_empty() {
        page.push(Block::Text(plain(intro)));
    }
    let groups = all.last().map_or(first.group, |(_, it)| it.group);
    for group in 1..=groups {
        let steps: Vec<(usize, &Step)> = all.iter().copied().filter(|(_, it)| it.group == group).collect();
        if groups > 1 {
            page.push(Block::Sub(group_words(group, &steps)));
        }
        page.push(Block::Checks(steps.into_iter().map(|(number, it)| check(sheet, number, it)).collect()));
    }
}

fn group_words(group: usize, steps: &[(usize, &Step)]) -> String {
    match steps {
        [] | [_] => format!("Group {group}"),
        _ => format!("Group {group}: {} in any order", counted(steps.len(), "step")),
    }
}

fn left_alone(page: &mut Vec<Block>, all: &[Untouched]) {
    if all.is_empty() {
        return;
    }
    page.push(Block::Chapter(format!("Left alone, but checked: {}", counted(all.len(), "joint"))));
    let words = "They are not opened. See that each is whole and does not move; where a torque is given, it may be \
                 checked with a wrench set to its lower end.";
    page.push(Block::Text(plain(words)));
    page.push(Block::Checks(all.iter().map(alone).collect()));
}

fn alone(it: &Untouched) -> Check {
    let mut lines = Vec::new();
    match it.verdict {
        Verdict::Clashes => {
            lines.push(strong(format!("CLASHES, must not stay as it is: {}", it.reasons.join("; "))));
        }
        Verdict::Open => lines.push(strong(format!("OPEN: hangs on {}", it.reasons.join(", ")))),
        Verdict::Fits => {}
    }
    lines.push(plain(it.parts.iter().map(piece).collect::<Vec<_>>().join("; ")));
    // What does not settle is not touched: some things are spoilt by being tightened twice.
    let may = |it: &&Row| it.settles && matches!(it.torque, Torque::Range(_) | Torque::Conflict);
    for row in it.fastenings.iter().filter(may) {
        let (tight, _) = how_tight(row);
        let left = if row.left { "; LEFT: tightens anticlockwise" } else { "" };
        lines.push(plain(format!("{}{}: {tight}{left}", if_so(row.certain), row.fastening)));
    }
    lines.extend(it.proofs.iter().map(|it| plain(format!("check: {}", said(it)))));
    Check { head: strong(&it.title), blank: String::new(), lines }
}

fn left_over(page: &mut Vec<Block>, sheet: &Steps) {
    let Some(from) = &sheet.from else { return };
    if sheet.left_over.is_empty() {
        page.push(Block::Chapter(format!("Left over from {from}: nothing")));
        return;
    }
    let pieces: u32 = sheet.left_over.iter().map(|it| it.line.quantity).sum();
    page.push(Block::Chapter(format!("Left over from {from}: {}", counted(pieces, "piece"))));
    let items = sheet.left_over.iter().map(|it| {
        let off = match it.steps.as_slice() {
            [] => String::new(),
            steps => format!("; off in {}", numbered(steps)),
        };
        plain(format!("{}{off}", counted_part(&it.line)))
    });
    page.push(Block::Items(items.collect()));
}
