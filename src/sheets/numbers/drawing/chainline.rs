//! The chainline from above: rings and cogs at their distance from the middle of the bike, and the chain between them.

use crate::drawing::{Align, Drawing, Ink};
use crate::model::{BuildId, Model};
use crate::sheets::numbers::figure::Figure;
use crate::sheets::numbers::page::{Cell, Page, Section};
use crate::sheets::numbers::read::Reader;

/// Across is drawn this much larger than along: a chain is some ten times as long as it runs across.
const ACROSS: f64 = 3.0;
/// Height of the words, in mm along.
const WORDS: f64 = 9.0;
/// Half of what a ring, a cog is drawn as.
const RING: f64 = 32.0;
const COG: f64 = 18.0;

/// A gear of the chain's page.
struct Run {
    name: String,
    ring: Figure,
    cog: Figure,
    angle: Figure,
    crossed: bool,
}

/// The chainline of a build, where its page has it.
pub(super) fn drawing(model: &Model, build: BuildId, page: &Page) -> Option<Drawing> {
    let section = page.sections.iter().find(|it| it.key == "chainline")?;
    let stay = Reader::of(model, build).if_known("frame.chainstay.length")?;
    let runs: Vec<Run> = section.rows.iter().filter_map(|row| run(section, row)).collect();
    let steepest = runs.iter().max_by(|one, other| one.angle.value.abs().total_cmp(&other.angle.value.abs()))?;
    let slant = steepest.angle.scaled(if steepest.angle.value < 0.0 { -1.0 } else { 1.0 }).shown(1);
    let most = match runs.as_slice() {
        [_] => format!("The chain runs {slant}° across."),
        _ => format!("The chain runs most across on {}: {slant}°.", steepest.name),
    };
    let description = format!("From above, the rear wheel at the left, {} gears. {most}", runs.len());
    let mut drawing = Drawing::new("chainline", "Chainline, from above", description);
    let (left, right) = (0.0, stay.value);
    let y = |line: f64| line * ACROSS;
    drawing.line((left - 40.0, 0.0), (right + 60.0, 0.0), Ink::Axis);
    drawing.text((left - 40.0, -WORDS * 0.5), "middle of the bike", WORDS, Align::Start);
    for it in &runs {
        let ink = if it.crossed { Ink::Leader } else { Ink::Fine };
        drawing.line((left, y(it.cog.value)), (right, y(it.ring.value)), ink);
    }
    for (all, at, half, what) in [
        (lines(&runs, |it| (it.cog, 1)), left, COG, Align::End),
        (lines(&runs, |it| (it.ring, 0)), right, RING, Align::Start),
    ] {
        let ends = (all.first().map(|it| it.0), all.last().map(|it| it.0));
        for (line, name) in &all {
            drawing.line((at - half, y(*line)), (at + half, y(*line)), Ink::Bold);
            // Only the outermost are named where they lie close together.
            if Some(*line) == ends.0 || Some(*line) == ends.1 || all.len() <= 3 {
                let side = if what == Align::End { -1.0 } else { 1.0 };
                drawing.text((at + side * (half + 5.0), y(*line) + WORDS * 0.36), name.clone(), WORDS, what);
            }
        }
    }
    let crossed = if runs.iter().any(|it| it.crossed) { " In dots: gears with the chain across." } else { "" };
    drawing.caption = vec![
        format!(
            "Distances from the middle of the bike are drawn {ACROSS:.0} times as large as those along it.{crossed}"
        ),
        most,
    ];
    Some(drawing)
}

fn run(section: &Section, row: &[Cell]) -> Option<Run> {
    let cell = |key: &str| section.columns.iter().position(|it| it.key == key).and_then(|at| row.get(at));
    let figure = |key: &str| match cell(key) {
        Some(Cell::Figure(figure)) => Some(*figure),
        _ => None,
    };
    let words = |key: &str| match cell(key) {
        Some(Cell::Words(words)) => words.clone(),
        _ => String::new(),
    };
    Some(Run {
        name: words("gear"),
        ring: figure("ring_line_mm")?,
        cog: figure("cog_line_mm")?,
        angle: figure("angle_deg")?,
        crossed: !words("remark").is_empty(),
    })
}

/// Each ring or cog once, from the middle outwards, with its teeth and its place in words: a guess stays marked as one.
fn lines(runs: &[Run], of: impl Fn(&Run) -> (Figure, usize)) -> Vec<(f64, String)> {
    let mut all: Vec<(f64, String)> = Vec::new();
    for it in runs {
        let (line, which) = of(it);
        let teeth = it.name.split(" x ").nth(which).unwrap_or_default();
        let one = (line.value, format!("{teeth} at {} mm", line.shown(1)));
        if !all.contains(&one) {
            all.push(one);
        }
    }
    all.sort_by(|one, other| one.0.total_cmp(&other.0));
    all
}
