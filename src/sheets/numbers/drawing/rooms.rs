//! The room round the tyres: a section across each wheel where its tyre is widest, at full size, with the room left.

use crate::calc::tyre;
use crate::drawing::{Align, Drawing, Ink, Mark, Measure, joint_id};
use crate::judge::JudgedBuild;
use crate::model::Model;
use crate::sheets::numbers::figure::Figure;
use crate::sheets::numbers::read::Reader;
use crate::sheets::numbers::wheels::{ENDS, End, tyre_measures};

/// Height of the words, in mm.
const WORDS: f64 = 3.4;
/// How thick the stays are drawn: nobody measured them.
const STAY: f64 = 5.0;

/// A section for each wheel whose tyre and room are known.
pub(super) fn drawings(model: &Model, judged: &JudgedBuild) -> Vec<Drawing> {
    let reader = Reader::of(model, judged.build);
    ENDS.iter().filter_map(|end| section(&reader, end, judged)).collect()
}

fn section(reader: &Reader, end: &End, judged: &JudgedBuild) -> Option<Drawing> {
    let (wide, tall) = tyre_measures(reader, end);
    let (wide, gap) = (wide?, reader.figure(end.gap)?);
    let beside = Figure::of([gap, wide], |[gap, wide]| tyre::side_room_mm(gap, wide)).ok()?;
    let over = tall
        .zip(reader.figure(end.reach))
        .and_then(|(tall, reach)| Figure::of([reach, tall], |[reach, tall]| tyre::height_room_mm(reach, tall)).ok());
    let over_words = over.map_or("what is over it is not known".to_owned(), |it| format!("{} mm over it", it.shown(1)));
    let description = format!(
        "Tyre {} mm wide between walls {} mm apart: {} mm of room on each side, {over_words}.",
        wide.shown(1),
        gap.shown(1),
        beside.shown(1)
    );
    let title =
        format!("{} tyre in its place, seen along the bike", if end.name == "front" { "Front" } else { "Rear" });
    let mut drawing = Drawing::new(format!("room-{}", end.name), title, description);
    drawing.full_size = true;
    drawing.caption = vec![
        "At full size when it is printed at 100 %, where the tyre is widest. What holds the wheel is drawn as walls at the measured distance; how thick it is nobody measured. Shaded: where a wall may be, by the tolerance of its measure.".to_owned(),
    ];
    walls(&mut drawing, gap, wide.value);
    tyre_in(&mut drawing, wide.value);
    if let Some(over) = over {
        bridge(&mut drawing, over, gap.value, wide.value);
    }
    let half = wide.value / 2.0;
    let low = half * 0.9 + 6.0;
    let said = |what: &str, it: Figure| format!("{what} {} mm", it.shown(1));
    for (side, align) in [(-1.0, Align::End), (1.0, Align::Start)] {
        Measure {
            ends: [(side * half, 0.0), (side * gap.value / 2.0, 0.0)],
            off: (0.0, 0.0),
            words: format!("{} mm", beside.shown(1)),
            size: WORDS,
            beside: (side * (gap.value / 4.0 - half / 2.0 + STAY + 2.0), WORDS * 0.36),
            align,
        }
        .draw(&mut drawing);
    }
    for (at, words, ends) in [(0.0, said("tyre", wide), half), (1.0, said("between the walls", gap), gap.value / 2.0)] {
        Measure {
            ends: [(-ends, low), (ends, low)],
            off: (0.0, at * WORDS * 2.2),
            words,
            size: WORDS,
            beside: (0.0, -WORDS * 0.4),
            align: Align::Middle,
        }
        .draw(&mut drawing);
    }
    mark(&mut drawing, end, judged, (-gap.value / 2.0 - STAY, low + WORDS * 4.6));
    Some(drawing)
}

/// Both walls, from over the tyre down past its middle.
fn walls(drawing: &mut Drawing, gap: Figure, wide: f64) {
    let (top, bottom) = (-wide * 0.9, wide * 0.45);
    for side in [-1.0, 1.0] {
        let inner = side * gap.value / 2.0;
        drawing.rectangle((inner, top), (inner + side * STAY, bottom), Ink::Plain);
        if gap.high > gap.low {
            drawing.rectangle((side * gap.low / 2.0, top), (side * gap.high / 2.0, bottom), Ink::Shade);
        }
    }
}

/// The tyre as a round casing, cut where it runs into the rim.
fn tyre_in(drawing: &mut Drawing, wide: f64) {
    let half = wide / 2.0;
    drawing.circle((0.0, 0.0), half, Ink::Bold);
    drawing.line((0.0, -half * 1.15), (0.0, half * 0.8), Ink::Axis);
}

/// What stands over the tyre.
fn bridge(drawing: &mut Drawing, over: Figure, gap: f64, wide: f64) {
    let half = wide / 2.0;
    let y = -half - over.value;
    drawing.rectangle((-gap / 2.0 - STAY, y), (gap / 2.0 + STAY, y - STAY), Ink::Plain);
    if over.high > over.low {
        drawing.rectangle((-gap / 2.0, -half - over.low), (gap / 2.0, -half - over.high), Ink::Shade);
    }
    Measure {
        ends: [(0.0, -half), (0.0, y)],
        off: (0.0, 0.0),
        words: format!("{} mm", over.shown(1)),
        size: WORDS,
        beside: (2.0, WORDS * 0.36),
        align: Align::Start,
    }
    .draw(drawing);
}

/// What is found of the tyre in its place.
fn mark(drawing: &mut Drawing, end: &End, judged: &JudgedBuild, at: (f64, f64)) {
    let name = format!("{}.tyre_room", end.name);
    let Some((number, joint)) = judged.joints.iter().enumerate().find(|(_, it)| it.name == name) else { return };
    let words = format!("joint {}: {}", number + 1, joint.verdict.word());
    drawing.marks.push(Mark {
        at,
        size: 2.2,
        verdict: joint.verdict,
        said: format!("{words}, {}", joint.title),
        words,
        text: WORDS,
        leads: joint_id(number + 1),
    });
}
