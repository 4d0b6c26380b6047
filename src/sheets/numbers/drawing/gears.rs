//! The gears as a chart: development on a scale where equal steps are equally wide, both bikes below each other, and where
//! neighbouring rings overlap.

use crate::drawing::{Align, Drawing, Ink};
use crate::sheets::numbers::chart::{Chart, Line};
use crate::sheets::numbers::page::Page;
use crate::sheets::render::Block;

/// Ends of the scale, height of a row, and of words.
const LEFT: f64 = 92.0;
const RIGHT: f64 = 980.0;
const ROW: f64 = 46.0;
const WORDS: f64 = 15.0;
const SMALL: f64 = 12.0;

/// The chart of a page of gears, taken off it; in letters too.
pub(super) fn drawing(page: &mut Page) -> Option<(Drawing, Vec<Block>)> {
    let chart = page.sections.iter_mut().find_map(|it| it.chart.take())?;
    let (low, high) = chart.ends()?;
    let span = libm::log(high / low).max(1e-9);
    let x = |size: f64| LEFT + libm::log(size / low) / span * (RIGHT - LEFT);
    let mut drawing = Drawing::new("gears-chart", "Gears by development", description(&chart));
    let mut y = 0.0;
    for (at, line) in chart.lines.iter().enumerate() {
        if line.gears.is_empty() {
            y += ROW * 0.9;
            drawing.strong((0.0, y), line.name.clone(), WORDS, Align::Start);
            continue;
        }
        // What this ring and the next share.
        if let Some((from, to)) = chart.lines.get(at + 1).and_then(|next| shared(line, next)) {
            drawing.rectangle((x(from), y + ROW * 0.35), (x(to), y + ROW * 2.25), Ink::Shade);
        }
        y += ROW;
        drawing.strong((LEFT - 26.0, y + WORDS * 0.36), line.name.trim(), WORDS, Align::End);
        if let Some((from, to)) = ends(line) {
            drawing.line((x(from), y), (x(to), y), Ink::Fine);
        }
        for gear in &line.gears {
            let place = (x(gear.size), y);
            drawing.circle(place, 7.0, if gear.crossed { Ink::Fine } else { Ink::Solid });
            if gear.crossed {
                for side in [-1.0, 1.0] {
                    drawing.line((place.0 - 9.0, y - 9.0 * side), (place.0 + 9.0, y + 9.0 * side), Ink::Fine);
                }
            }
        }
        labels(&mut drawing, line, y, x);
    }
    let bottom = y + ROW * 0.75;
    drawing.line((LEFT, bottom), (RIGHT, bottom), Ink::Plain);
    let mut free = 0.0;
    for tick in chart.ticks() {
        let place = x(tick);
        drawing.line((place, bottom), (place, bottom + 6.0), Ink::Plain);
        if place >= free {
            drawing.text((place, bottom + 22.0), tick.to_string(), WORDS, Align::Middle);
            free = place + WORDS * 2.4;
        }
    }
    drawing.text((RIGHT, bottom + 42.0), "m for one turn of the crank", WORDS, Align::End);
    drawing.caption = vec![
        "A full dot is a gear, with the teeth of its cog (of a hub gear, its number) above it; a ring struck through is a gear with the chain across. Shaded: what neighbouring rings share."
            .to_owned(),
    ];
    Some((drawing, vec![Block::Verbatim(chart.text())]))
}

/// Names of gears above their dots, as many as have room.
fn labels(drawing: &mut Drawing, line: &Line, y: f64, x: impl Fn(f64) -> f64) {
    let mut free = f64::NEG_INFINITY;
    for gear in &line.gears {
        let label = gear.label.rsplit(", ").next().unwrap_or_default();
        let place = x(gear.size);
        if place >= free {
            drawing.text((place, y - 13.0), label, SMALL, Align::Middle);
            free = place + SMALL * 0.62 * 2.4;
        }
    }
}

fn ends(line: &Line) -> Option<(f64, f64)> {
    Some((line.gears.first()?.size, line.gears.last()?.size))
}

/// The stretch that two neighbouring rings of one bike share.
fn shared(one: &Line, next: &Line) -> Option<(f64, f64)> {
    let ((from, to), (low, high)) = (ends(one)?, ends(next)?);
    let (from, to) = (from.max(low), to.min(high));
    (from < to).then_some((from, to))
}

fn description(chart: &Chart) -> String {
    let mut all = Vec::new();
    for line in &chart.lines {
        match ends(line) {
            None => all.push(format!("{}:", line.name)),
            Some((from, to)) => {
                all.push(format!("ring {}: {} gears from {from:.2} to {to:.2} m.", line.name.trim(), line.gears.len()))
            }
        }
    }
    format!("How far each gear goes for one turn of the crank, on a logarithmic scale. {}", all.join(" "))
}
