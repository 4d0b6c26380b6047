//! `cotter wheels`: spokes, tyres on their rims, the room round them, and a pressure to start with.

use super::figure::Figure;
use super::given::Given;
use super::page::{Cell, Column, Page, Section, figures, words};
use super::read::Reader;
use super::{air, write};
use crate::calc::spokes::{self, Lacing};
use crate::calc::{Answer, tyre};
use crate::model::{BuildId, Model};
use crate::sheets::Format;
use Given::Path;

const SPOKES: &[Column] = &[
    words("wheel", "wheel"),
    words("side", "side"),
    figures("spokes", "spokes", 0),
    figures("crossings", "crossings", 0),
    figures("spoke_mm", "length, mm", 1),
    figures("order_mm", "to order, mm", 0),
    figures("bracing_deg", "bracing, °", 1),
    figures("tension_percent", "tension, %", 0),
];

const TYRES: &[Column] = &[
    words("wheel", "wheel"),
    words("tyre", "tyre"),
    figures("width_on_rim_mm", "width on rim, mm", 1),
    figures("outer_diameter_mm", "must pass, mm", 0),
    figures("side_room_mm", "beside, mm", 1),
    figures("height_room_mm", "over it, mm", 1),
    figures("guard_room_mm", "in the guard, mm", 1),
];

/// The two wheels, with what stands round each.
pub(super) struct End {
    pub name: &'static str,
    pub rim: &'static str,
    hub: &'static str,
    pub tyre: &'static str,
    guard: &'static str,
    pub gap: &'static str,
    pub reach: &'static str,
}

pub(super) const ENDS: [End; 2] = [
    End {
        name: "front",
        rim: "front.rim",
        hub: "front.hub",
        tyre: "front.tyre",
        guard: "front.mudguard",
        gap: "fork.gap",
        reach: "fork.reach",
    },
    End {
        name: "rear",
        rim: "rear.rim",
        hub: "rear.hub",
        tyre: "rear.tyre",
        guard: "rear.mudguard",
        gap: "frame.rear.gap",
        reach: "frame.rear.reach",
    },
];

/// The page of a build.
pub fn page(model: &Model, build: BuildId) -> Page {
    let reader = Reader::of(model, build);
    let mut page = Page::of(&reader);
    let mut section = Section::new("spokes", "Spokes", SPOKES);
    for end in &ENDS {
        lacing(&reader, end, &mut section, &mut page);
    }
    page.push(section);
    let mut section = Section::new("tyres", "Tyres on their rims", TYRES);
    for end in &ENDS {
        tyres(&reader, end, &mut section, &mut page);
    }
    section.remarks.push("Room is on each side, and over the tyre; less than 4 mm is a clash.".to_owned());
    page.push(section);
    let mut section = Section::new("pressure", "Pressure to start with", air::PRESSURE);
    for end in &ENDS {
        air::row(&reader, end, &mut section, &mut page);
    }
    page.push(section);
    page.close(&reader, NOTES, CAUTIONS)
}

const NOTES: &[&str] = &[
    "Spoke length is from the elbow's seat in the flange to the bottom of the slot in the nipple. To order: the nearest whole millimetre, of two the shorter. Spokes of the nearest even length are often all that is sold; 1 mm matters little. Both sides are taken to have as many spokes and crossings.",
    "Tension is that of the slacker side against the tighter one, by balance of the sideways pull.",
    "A tyre's width is its nominal one, moved by 0.4 mm for each mm that the rim is wider than its measuring rim (from memory); where it was measured on the rim, that counts. What must pass is the wheel's diameter with the tyre at its tallest.",
    "The pressure is where a tyre is pressed in by 15 % of its height under this load; a beginning, not a rule: softer on rough ground, harder where the rim touches.",
];

const CAUTIONS: &[&str] = &[
    "Never above the lower of the limits of tyre and rim. A tyre that blows off at speed throws the rider.",
    "Measure hub and rim yourself before spokes are cut or ordered: a wrong ERD is the usual reason for wrong spokes. It is the circle on which spokes end, not the one on which nipples sit.",
];

fn lacing(reader: &Reader, end: &End, section: &mut Section, page: &mut Page) {
    let open: Vec<&str> = [end.hub, end.rim].into_iter().filter(|slot| !reader.filled(slot)).collect();
    if !open.is_empty() {
        open.into_iter().for_each(|slot| {
            reader.miss::<()>(slot);
        });
        return;
    }
    // A wheel that came laced needs no spokes: what nobody measured of it is not asked for.
    let laced = reader.flag(&format!("{}.laced", end.hub)) == Some(true);
    let hub = |fact: &str| {
        let path = format!("{}.{fact}", end.hub);
        if laced { reader.if_known(&path) } else { reader.figure(&path) }
    };
    let rim = |fact: &str| format!("{}.{fact}", end.rim);
    let erd = if laced { reader.if_known(&rim("erd")) } else { reader.figure(&rim("erd")) };
    let shift = reader.or_nothing(&rim("offset"));
    let (holes, crossings, hole) = (hub("holes"), hub("crossings"), hub("flange.hole"));
    let sides =
        ["left", "right"].map(|side| (hub(&format!("flange.{side}.circle")), hub(&format!("flange.{side}.offset"))));
    let (Some(erd), Some(holes), Some(crossings), Some(hole), Some(shift)) = (erd, holes, crossings, hole, shift)
    else {
        return;
    };
    let [(Some(left), Some(left_offset)), (Some(right), Some(right_offset))] = sides else { return };
    let of = |page: &mut Page, what: &str, answer: Answer<Figure>| {
        let figure = page.answer(&format!("{} wheel, {what}", end.name), answer);
        figure.map(|it| it.resting_on(&[holes, crossings]))
    };
    // A rim with its holes off the middle is laced with them towards the side whose flange is further out.
    let (left_shift, right_shift) = if left_offset.value > right_offset.value { (1.0, -1.0) } else { (-1.0, 1.0) };
    let make = move |[erd, circle, offset, hole, shift]: [f64; 5], towards: f64| Lacing {
        erd,
        circle,
        offset,
        holes: holes.value,
        crossings: crossings.value,
        hole,
        rim_offset: towards * shift,
    };
    if of(page, "crossings", spokes::crossings_fit(holes.value, crossings.value).map(|()| holes)).is_none() {
        return;
    }
    let ratio = Figure::of(
        [erd, left, left_offset, right, right_offset, shift],
        move |[erd, left, left_offset, right, right_offset, shift]| {
            let left = make([erd, left, left_offset, hole.value, shift], left_shift);
            spokes::tension_ratio(&left, &make([erd, right, right_offset, hole.value, shift], right_shift))
        },
    );
    let ratio = of(page, "tension", ratio);
    let share = |it: f64| if it > 1.0 { [100.0, 100.0 / it] } else { [100.0 * it, 100.0] };
    for (side, circle, offset, towards, at) in
        [("left", left, left_offset, left_shift, 0_usize), ("right", right, right_offset, right_shift, 1)]
    {
        let inputs = [erd, circle, offset, hole, shift];
        let length = of(page, side, Figure::of(inputs, |it| spokes::length_mm(&make(it, towards))));
        // How wide the holes are moves the spoke's end only.
        let places = [erd, circle, offset, Figure::exact(hole.value), shift];
        let bracing = of(page, side, Figure::of(places, |it| spokes::bracing_angle_deg(&make(it, towards))));
        let straight = make(inputs.map(|it| it.value), towards);
        if spokes::past_tangent(&straight) == Ok(true) {
            page.concerns.push(format!(
                "{} wheel, {side}: the spokes leave the flange past its tangent and lie on their neighbours' heads: lace fewer crossings",
                end.name
            ));
        }
        if let Some(entry) = spokes::entry_angle_deg(&straight).ok().filter(|it| *it > spokes::MOST_ENTRY_DEG) {
            page.concerns.push(format!(
                "{} wheel, {side}: the spokes meet the rim {entry:.0}° askew and bend at the nipple: lace fewer crossings",
                end.name
            ));
        }
        let tension = ratio.and_then(|it| {
            let part = |value: f64| Ok(share(value).get(at).copied().unwrap_or(100.0));
            Figure::of([it], |[it]| part(it)).ok()
        });
        let least = reader.library("least_tension", &[]).map(|it| it.value * 100.0);
        if tension.zip(least).is_some_and(|(it, least)| it.value < least) {
            let words = tension.map_or(String::new(), |it| it.shown(0));
            page.concerns.push(format!(
                "{} wheel: the {side} spokes have only {words} % of the other side's tension: they may work loose; a rim with its holes off the middle evens it out",
                end.name
            ));
        }
        let order = length.and_then(|it| {
            let whole = spokes::to_order_mm(it.value).ok()?;
            Some(Figure { standing: it.standing, ..Figure::exact(whole) })
        });
        section.rows.push(vec![
            Cell::words(end.name),
            Cell::words(side),
            Cell::Figure(holes.scaled(0.5)),
            Cell::Figure(crossings),
            Cell::maybe(length),
            Cell::maybe(order),
            Cell::maybe(bracing),
            Cell::maybe(tension),
        ]);
    }
}

/// How wide and, from the axle, how tall a tyre is on its rim.
pub(super) fn tyre_measures(reader: &Reader, end: &End) -> (Option<Figure>, Option<Figure>) {
    let fact = |fact: &str| format!("{}.{fact}", end.tyre);
    let (bead, width) = (fact("size.bead"), fact("size.width"));
    let inner = format!("{}.size.inner", end.rim);
    let wide = reader.optional(&fact("measured_width"));
    let wide = wide.or_else(|| reader.library("width_on_rim", &[Path(&width), Path(&inner)]));
    let tall = reader.optional(&fact("measured_radius"));
    let tall = tall.or_else(|| reader.library("inflated_radius", &[Path(&bead), Path(&width)]));
    (wide, tall)
}

fn tyres(reader: &Reader, end: &End, section: &mut Section, page: &mut Page) {
    let Some(part) = reader.part(end.tyre).or_else(|| reader.miss(end.tyre)) else { return };
    let (wide, tall) = tyre_measures(reader, end);
    let of = |page: &mut Page, answer: Answer<Figure>| page.answer(&format!("{} tyre", end.name), answer);
    let (gap, reach) = (reader.figure(end.gap), reader.figure(end.reach));
    let guard = reader.has(end.guard) == Some(true);
    let guard = guard.then(|| reader.figure(&format!("{}.width", end.guard))).flatten();
    let side =
        gap.zip(wide).and_then(|it| of(page, Figure::of(it.into(), |[gap, wide]| tyre::side_room_mm(gap, wide))));
    let over = reach
        .zip(tall)
        .and_then(|it| of(page, Figure::of(it.into(), |[reach, tall]| tyre::height_room_mm(reach, tall))));
    let inside =
        guard.zip(wide).and_then(|it| of(page, Figure::of(it.into(), |[guard, wide]| tyre::side_room_mm(guard, wide))));
    section.rows.push(vec![
        Cell::words(end.name),
        Cell::words(part),
        Cell::maybe(wide),
        Cell::maybe(tall.map(|it| it.scaled(2.0))),
        Cell::maybe(side),
        Cell::maybe(over),
        Cell::maybe(inside),
    ]);
}

/// The sheet of these builds.
pub fn render(pages: &[Page], format: Format) -> String {
    write::sheet("wheels", "Wheels", pages, format)
}
