//! A torque sheet for people.

use super::render::{Block, Table, Words, column, numbers, plain, strong};
use super::torque::{Caution, Row, Torque, TorqueSheet, Unsettled, Work, in_units};
use super::words::{counted, joints};
use crate::judge::{TorqueRange, Verdict};
use crate::quantity::show;

/// The page of one sheet.
pub(super) fn blocks(sheet: &TorqueSheet) -> Vec<Block> {
    let mut page = vec![Block::Title(format!("{}: torque sheet", sheet.build))];
    if !sheet.description.is_empty() {
        page.push(Block::Text(plain(sheet.description.clone())));
    }
    if let Some(words) = joints(&sheet.joints, "settle that before anything is tightened (cotter check)") {
        page.push(Block::Text(strong(words)));
        page.push(Block::Items(sheet.unsettled.iter().map(unsettled).collect()));
    }
    let (standing, others): (Vec<&Caution>, Vec<&Caution>) = sheet.cautions.iter().partition(|it| it.standing);
    cautions(&mut page, "First of all", &standing);
    if sheet.rows.is_empty() {
        page.push(Block::Text(plain("No fastening is known for the joints of this build.")));
        return page;
    }
    let words = "Torques suit the joint and what is printed on its parts, with the preparation that stands beside \
                 them. Everything tightens to the right (clockwise) but what is marked LEFT. Write what you set in \
                 the last column.";
    page.push(Block::Text(plain(words)));
    match &sheet.from {
        None => page.push(table(sheet, |_| true)),
        Some(from) => {
            let untouched = |row: &Row| row.work == Some(Work::Untouched);
            let count =
                |test: &dyn Fn(&Row) -> bool| counted(sheet.rows.iter().filter(|it| test(it)).count(), "fastening");
            page.push(Block::Heading(format!("Joints that are made: {}", count(&|row| !untouched(row)))));
            page.push(table(sheet, |row| !untouched(row)));
            page.push(Block::Heading(format!("Left as they were in {from}, to be checked: {}", count(&untouched))));
            let words = "Nothing was loosened here, and nobody knows who tightened it last. Before the first ride try each: it \
                         holds at the low end of its range, and nothing about it is cracked, worn through or corroded. What \
                         moves is taken apart, looked at and made anew.";
            page.push(Block::Text(plain(words)));
            page.push(table(sheet, untouched));
        }
    }
    cautions(&mut page, "Beware", &others);
    page.push(Block::Heading("More on each, by its number".to_owned()));
    let standing: Vec<usize> = standing.iter().map(|it| it.number).collect();
    let columns = vec![numbers("no", 5), column("before it is tightened", 44), column("parts and figures", 47)];
    let rows = sheet
        .rows
        .iter()
        .enumerate()
        .map(|(number, row)| vec![vec![plain((number + 1).to_string())], before(row, &standing), background(row)]);
    page.push(Block::Table(Table { columns, rows: rows.collect(), ruled: true }));
    page
}

/// The fastenings that pass a test, each with its number on the sheet.
fn table(sheet: &TorqueSheet, test: impl Fn(&Row) -> bool) -> Block {
    let rows = sheet.rows.iter().enumerate().filter(|(_, row)| test(row)).map(|(number, row)| {
        let [what, how, metric, inch, set] = figures(row);
        vec![vec![plain((number + 1).to_string())], what, how, metric, inch, set]
    });
    let columns = vec![
        numbers("no", 5),
        column("fastening", 36),
        column("thread, tool", 19),
        numbers("N·m", 14),
        numbers("in·lb", 12),
        column("set", 7),
    ];
    Block::Table(Table { columns, rows: rows.collect(), ruled: true })
}

pub(super) fn unsettled(it: &Unsettled) -> Words {
    let reasons = it.reasons.join("; ");
    match it.verdict {
        Verdict::Clashes => strong(format!("CLASHES, do not assemble: {}: {reasons}", it.joint)),
        Verdict::Open | Verdict::Fits => plain(format!("open: {}: hangs on {reasons}", it.joint)),
    }
}

fn cautions(page: &mut Vec<Block>, title: &str, cautions: &[&Caution]) {
    if !cautions.is_empty() {
        page.push(Block::Heading(title.to_owned()));
        page.push(Block::Items(cautions.iter().map(|it| caution(it)).collect()));
    }
}

/// A caution with its number.
pub(super) fn caution(it: &Caution) -> Words {
    plain(format!("({}) {}", it.number, it.text))
}

/// What it is, with what it is made, how tight in both units, and room for the value that was set.
fn figures(row: &Row) -> [Vec<Words>; 5] {
    let mut what = vec![strong(row.fastening.clone())];
    if row.title != row.fastening {
        what.push(plain(&row.title));
    }
    if !row.prepare.is_empty() && row.work != Some(Work::Untouched) {
        what.push(plain(format!("prepare: {}", row.prepare)));
    }
    if row.work == Some(Work::Again) {
        what.push(plain("was there: taken apart on the way, and made again"));
    }
    if row.settles && row.work != Some(Work::Untouched) {
        what.push(plain("tighten it again after the first use"));
    }
    let mut marks = Vec::new();
    if !row.certain {
        marks.push(strong("IF SO MADE"));
    }
    if row.verdict == Verdict::Open {
        marks.push(strong("OPEN"));
        what.push(strong(format!("open: hangs on {}", row.hangs_on.join(", "))));
    }
    if row.torque != Torque::Withheld {
        for limit in row.printed.iter().filter(|it| it.range.is_none()) {
            what.push(strong(format!("read what is printed on {} first", limit.on)));
        }
        if row.printed.iter().any(|it| it.range.is_none()) {
            marks.push(strong("READ FIRST"));
        }
    }
    let mut how: Vec<Words> = [&row.thread, &row.tool].into_iter().filter(|it| !it.is_empty()).map(plain).collect();
    if row.left {
        how.insert(0, strong("LEFT: tightens anticlockwise"));
    }
    let (metric, inch) = match row.torque {
        Torque::Range(range) => {
            let [metric, inch] = in_units(range);
            (strong(ends_words(metric)), vec![plain(ends_words(inch))])
        }
        other => {
            let (words, loud) = without_figure(other);
            (if loud { strong(words) } else { plain(words) }, Vec::new())
        }
    };
    marks.push(metric);
    [what, how, marks, inch, Vec::new()]
}

/// How tight in words where that is no range, and whether nobody may overlook it.
fn without_figure(torque: Torque) -> (&'static str, bool) {
    match torque {
        Torque::Range(_) => ("", false),
        Torque::ByHand => ("by hand", false),
        Torque::MakersFigure => ("by its maker's figure", false),
        Torque::NotKnown => ("NOT KNOWN yet", true),
        Torque::Conflict => ("CONFLICT: no torque suits, do not assemble", true),
        Torque::Withheld => ("CLASHES: do not assemble", true),
    }
}

/// How tight, in a line with both units, and whether nobody may overlook it.
pub(super) fn how_tight(row: &Row) -> (String, bool) {
    match row.torque {
        Torque::Range(range) => {
            let [metric, inch] = in_units(range);
            (format!("{} N·m ({} in·lb)", ends_words(metric), ends_words(inch)), false)
        }
        other => {
            let (words, loud) = without_figure(other);
            (words.to_owned(), loud)
        }
    }
}

/// What comes first, and what to beware of besides what stands at the top.
fn before(row: &Row, standing: &[usize]) -> Vec<Words> {
    let numbers: Vec<String> =
        row.cautions.iter().filter(|it| !standing.contains(it)).map(|it| format!("({it})")).collect();
    let mut lines = vec![strong(row.fastening.clone())];
    if !row.before.is_empty() {
        lines.push(plain(&row.before));
    }
    if !numbers.is_empty() {
        lines.push(plain(format!("beware: {}", numbers.join(" "))));
    }
    lines
}

/// Which parts it joins, and where its figures are from.
fn background(row: &Row) -> Vec<Words> {
    let parts = row.parts.iter().map(|it| format!("{} {}", it.slot, it.part.as_deref().unwrap_or("(not decided)")));
    let mut lines = vec![plain(parts.collect::<Vec<_>>().join(", "))];
    for (title, text) in [("limits", limits(row)), ("source", row.sources.join("; "))] {
        if !text.is_empty() {
            lines.push(plain(format!("{title}: {text}")));
        }
    }
    lines
}

/// A range; one that begins at nothing is a ceiling.
fn ends_words((low, high): (f64, f64)) -> String {
    if low <= 0.0 {
        format!("up to {}", show(high))
    } else if low == high {
        show(high)
    } else {
        format!("{} to {}", show(low), show(high))
    }
}

/// What sets the ends of the range, or keeps there from being one; nothing for what is made by hand.
pub(super) fn limits(row: &Row) -> String {
    let metric = |range: TorqueRange| format!("{} N·m", ends_words(in_units(range)[0]));
    let known: Vec<(&str, TorqueRange)> =
        row.printed.iter().filter_map(|it| Some((it.on.as_str(), it.range?))).collect();
    let printed = || known.iter().map(|(on, range)| format!("{} printed on {on}", metric(*range)));
    let unread = row.printed.iter().filter(|it| it.range.is_none()).map(|it| format!("what is printed on {}", it.on));
    let missing: Vec<String> = unread.collect();
    let mut words = match row.torque {
        Torque::Range(range) => match row.joint_torque {
            None => printed().collect::<Vec<_>>().join(", "),
            Some(_) if known.is_empty() => "the joint's own".to_owned(),
            Some(own) => ends(own, range, &known),
        },
        Torque::Conflict => {
            let own = row.joint_torque.map(|it| format!("{} for the joint", metric(it)));
            own.into_iter().chain(printed()).collect::<Vec<_>>().join(", but ")
        }
        Torque::NotKnown => "hang on facts that are not known".to_owned(),
        Torque::ByHand | Torque::MakersFigure | Torque::Withheld => return String::new(),
    };
    if row.unsure && row.torque != Torque::NotKnown {
        words.push_str("; the joint's own hang on facts that are not known");
    }
    if !missing.is_empty() {
        words.push_str(&format!("; {} is not known yet", missing.join(" and ")));
    }
    words
}

/// Which of the joint and the printed limits sets which end.
fn ends(own: TorqueRange, range: TorqueRange, known: &[(&str, TorqueRange)]) -> String {
    let on = |all: Vec<&str>| format!("printed on {}", all.join(" and "));
    let sets = |joint: bool, end: fn(TorqueRange) -> f64| {
        if joint {
            return "the joint's own".to_owned();
        }
        on(known.iter().filter(|(_, limit)| end(*limit) == end(range)).map(|(on, _)| *on).collect())
    };
    let (low, high) = (sets(range.low <= own.low, |it| it.low), sets(range.high >= own.high, |it| it.high));
    let all = on(known.iter().map(|(on, _)| *on).collect());
    match low == high {
        true if low == "the joint's own" => format!("the joint's own, within what is {all}"),
        true => low,
        false => format!("low end {low}, high end {high}"),
    }
}
