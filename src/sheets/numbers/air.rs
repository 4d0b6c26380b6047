//! The pressure that a wheel's load asks for, and what tyre and rim allow.

use super::figure::{Figure, values};
use super::given::Given::Path;
use super::load;
use super::page::{Cell, Column, Page, Section, figures, words};
use super::read::Reader;
use super::wheels::End;
use crate::calc::pressure::{self, Limit};

/// Columns of the table.
pub(super) const PRESSURE: &[Column] = &[
    words("wheel", "wheel"),
    figures("load_kg", "carries, kg", 0),
    figures("start_bar", "start with, bar", 1),
    words("held_by", "held by"),
    figures("most_bar", "at most, bar", 1),
];

/// The row of a wheel, where its load, its tyre and all limits are known.
pub(super) fn row(reader: &Reader, end: &End, section: &mut Section, page: &mut Page) {
    if !reader.filled(end.tyre) {
        return;
    }
    let (name, front) = (end.name, end.name == "front");
    let load = load::on_wheel_kg(reader, front);
    let (width, inner) = (format!("{}.size.width", end.tyre), format!("{}.size.inner", end.rim));
    let wide = reader.optional(&format!("{}.measured_width", end.tyre));
    let wide = wide.or_else(|| reader.library("width_on_rim", &[Path(&width), Path(&inner)]));
    let edge = format!("{}.edge", end.rim);
    // What is printed on tyre and rim may be left out; what is there and not known may be the lowest limit.
    let (tyre, rim) = (format!("{}.pressure", end.tyre), format!("{}.pressure_max", end.rim));
    let limits = (reader.range(&tyre).map(|(_, high)| high), reader.optional(&rim));
    if reader.is_open(&tyre) || reader.is_open(&rim) {
        return;
    }
    let Some(edge) = reader.member(&edge).or_else(|| reader.miss(&edge)) else { return };
    let hookless = edge == "hookless";
    if limits.0.is_none() && limits.1.is_none() && !hookless {
        // Without any limit a figure would only tempt: what is printed is asked for first.
        reader.miss::<()>(&tyre);
        return;
    }
    if edge == "straight" {
        page.concerns.push(format!(
            "{name} rim: walls without a hook let a tyre blow off; keep well below what the tyre says, at 5 bar or less unless the rim says more"
        ));
    }
    let (Some(load), Some(wide)) = (load, wide) else { return };
    let what = format!("{name} tyre, pressure");
    let start = Figure::of([load, wide], |[load, wide]| pressure::start_bar(load, wide));
    let Some(start) = page.answer(&what, start) else { return };
    let at = |start: Figure| {
        let known: Vec<Figure> = [Some(start), limits.0, limits.1].into_iter().flatten().collect();
        let limited = |values: &[f64]| {
            let mut rest = values.iter().skip(1).map(|it| it / BAR);
            let tyre = limits.0.and_then(|_| rest.next());
            pressure::capped(values.first().copied().unwrap_or(f64::NAN), tyre, rest.next(), hookless)
        };
        let figure = Figure::of_all(&known, |values| limited(values).map(|it| it.bar))?;
        Ok((figure, limited(&values(&known))?.by))
    };
    let (held, most) = (at(start), at(Figure::exact(NO_LIMIT)));
    let (Some((held, by)), Some((most, most_by))) = (page.answer(&what, held), page.answer(&what, most)) else {
        return;
    };
    let by = match by {
        Limit::Start => "",
        Limit::Tyre => "the tyre",
        Limit::Rim => "the rim",
        Limit::Hookless => "the hookless rim",
    };
    if !by.is_empty() {
        page.concerns.push(format!(
            "{name} tyre: this load wants {} bar, {by} allows {}: take a wider tyre, or carry less",
            start.shown(1),
            held.shown(1)
        ));
    }
    section.rows.push(vec![
        Cell::words(name),
        Cell::Figure(load),
        Cell::Figure(held),
        Cell::words(by),
        if most_by == Limit::Start { Cell::Nothing } else { Cell::Figure(most) },
    ]);
}

/// More than any tyre is pumped up to, in bar.
const NO_LIMIT: f64 = 1000.0;
/// A bar, in N/mm².
const BAR: f64 = 0.1;
