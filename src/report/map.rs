//! The joint map: parts on the left, joints on the right, a line from each joint to every part that meets in it, and what is
//! wrong written where it is wrong.

use super::entry::Entry;
use crate::drawing::{Align, Drawing, Ink, Mark, Shape, wrapped};
use crate::judge::{JudgedBuild, Verdict};
use crate::model::Model;

/// Height of a row, and of its words.
const ROW: f64 = 19.0;
const WORDS: f64 = 12.5;
/// Right end of the parts, where lines end at the joints, where the joints' words begin, and where they must end.
const PARTS: f64 = 330.0;
const MARKS: f64 = 560.0;
const TITLES: f64 = 571.25;
const END: f64 = 1000.0;
/// Rows of one drawing: as many as a page of paper holds.
const ROWS: usize = 52;

/// A row of the map: a joint with what is wrong with it, in lines.
struct Row<'e> {
    entry: &'e Entry,
    lines: Vec<String>,
}

impl Row<'_> {
    fn high(&self) -> usize {
        1 + self.lines.len()
    }
}

/// The map, in as many drawings as it takes.
pub(super) fn drawings(model: &Model, judged: &JudgedBuild, entries: &[Entry]) -> Vec<Drawing> {
    let mut chunks: Vec<Vec<Row>> = Vec::new();
    let mut high = 0;
    for entry in entries {
        let words = entry.messages().into_iter().map(|it| said(entry, it));
        let row = Row { entry, lines: words.flat_map(|it| wrapped(&it, WORDS, END - TITLES)).collect() };
        if high == 0 || high + row.high() > ROWS {
            chunks.push(Vec::new());
            high = 0;
        }
        high += row.high();
        if let Some(chunk) = chunks.last_mut() {
            chunk.push(row);
        }
    }
    let all = chunks.len();
    chunks.iter().enumerate().map(|(at, rows)| drawn(model, judged, rows, (at + 1, all))).collect()
}

fn drawn(model: &Model, judged: &JudgedBuild, rows: &[Row], (part, parts): (usize, usize)) -> Drawing {
    let numbers = |it: Option<&Row>| it.map_or(0, |it| it.entry.number);
    let (first, last) = (numbers(rows.first()), numbers(rows.last()));
    let joints = if first == last { format!("joint {first}") } else { format!("joints {first} to {last}") };
    let title = match parts {
        1 => "Joint map".to_owned(),
        _ => format!("Joint map, part {part} of {parts}: {joints}"),
    };
    let wrong: Vec<String> = rows
        .iter()
        .filter(|it| it.entry.verdict != Verdict::Fits)
        .map(|it| format!("joint {}, {}: {}", it.entry.number, it.entry.title, it.entry.verdict.word()))
        .collect();
    let wrong = if wrong.is_empty() { "All fit.".to_owned() } else { format!("{}.", wrong.join("; ")) };
    let description = format!(
        "Parts on the left, {joints} on the right, and a line from each joint to every part that meets in it. {wrong} The joints stand below in full."
    );
    let mut map = Drawing::new(format!("map-{part}"), title, description);
    let slots = slots(model, judged, rows);
    #[allow(clippy::cast_precision_loss)]
    let high = rows.iter().map(Row::high).sum::<usize>().max(slots.len()) as f64 * ROW;
    map.strong((PARTS, -ROW), "part", WORDS, Align::End);
    map.strong((TITLES, -ROW), "joint", WORDS, Align::Start);
    #[allow(clippy::cast_precision_loss)]
    let step = high / (slots.len().max(1) as f64);
    #[allow(clippy::cast_precision_loss)]
    let place = |at: usize| (at as f64 + 0.5) * step;
    #[allow(clippy::cast_precision_loss)]
    let spare = (high / ROW - rows.iter().map(Row::high).sum::<usize>() as f64) / rows.len().max(1) as f64;
    let mut y = (0.5 + spare / 2.0) * ROW;
    for row in rows {
        let entry = row.entry;
        for slot in entry.parts.iter().flat_map(|it| &it.slots) {
            if let Some(at) = slots.iter().position(|(name, _)| name == slot) {
                map.shapes.push(Shape::Curve {
                    from: (PARTS + 12.0, place(at)),
                    to: (MARKS - 9.0, y),
                    ink: Ink::Of(entry.verdict),
                });
            }
        }
        map.marks.push(Mark {
            at: (MARKS, y),
            size: 7.5,
            verdict: entry.verdict,
            words: clipped(&format!("{} {}", entry.number, entry.title), END - TITLES),
            text: WORDS,
            leads: entry.id(),
            said: format!("{} {}: {}", entry.number, entry.title, entry.verdict.word()),
        });
        for line in &row.lines {
            y += ROW;
            map.text((TITLES, y + WORDS * 0.36), line.clone(), WORDS, Align::Start);
        }
        y += (1.0 + spare) * ROW;
    }
    for (at, (slot, part)) in slots.iter().enumerate() {
        let y = place(at);
        map.circle((PARTS + 9.0, y), 3.0, Ink::Solid);
        map.text((PARTS, y + WORDS * 0.36), clipped(&format!("{slot} = {part}"), PARTS), WORDS, Align::End);
    }
    map
}

/// The slots that these joints use, with the parts in them, each near to its joints.
fn slots(model: &Model, judged: &JudgedBuild, rows: &[Row]) -> Vec<(String, String)> {
    let names = model[model[judged.build].assembly].slots.keys();
    let mut all: Vec<(f64, String, String)> = Vec::new();
    for name in names {
        let using = rows.iter().enumerate().filter_map(|(at, row)| {
            let part = row.entry.parts.iter().find(|it| it.slots.contains(name))?;
            Some((at, part.part.as_str()))
        });
        let using: Vec<(usize, &str)> = using.collect();
        let Some((_, part)) = using.first() else { continue };
        #[allow(clippy::cast_precision_loss)]
        let middle = using.iter().map(|(at, _)| *at as f64).sum::<f64>() / using.len() as f64;
        all.push((middle, name.clone(), (*part).to_owned()));
    }
    all.sort_by(|one, other| one.0.total_cmp(&other.0));
    all.into_iter().map(|(_, slot, part)| (slot, part)).collect()
}

/// What is wrong, below the joint's own words and without marks for code.
fn said(entry: &Entry, message: &str) -> String {
    let title = format!("{}: ", entry.title);
    message.strip_prefix(title.as_str()).unwrap_or(message).replace('`', "")
}

/// Words cut where their room ends.
fn clipped(words: &str, width: f64) -> String {
    let lines = wrapped(words, WORDS, width);
    match lines.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [first, ..] => format!("{first} …"),
    }
}
