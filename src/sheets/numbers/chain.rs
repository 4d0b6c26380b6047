//! `cotter chain`: its length, what takes up its slack, and how straight it runs.

use super::drive::Drive;
use super::figure::Figure;
use super::given::Given;
use super::page::{Cell, Column, Page, Section, figures, words};
use super::read::Reader;
use super::write;
use crate::calc::{Answer, Refused, chain, chainline};
use crate::model::{BuildId, Model};
use crate::sheets::Format;
use Given::Path;

const FIGURES: &[Column] = &[words("what", "what"), figures("figure", "figure", 0), words("remark", "remark")];

const FITS: &[Column] = &[
    figures("ring_teeth", "ring", 0),
    figures("cog_teeth", "cog", 0),
    figures("links", "links", 0),
    words("half_link", "half link"),
    figures("chainstay_mm", "chainstay, mm", 1),
    figures("moved_mm", "axle moved, mm", 1),
];

const LINES: &[Column] = &[
    words("gear", "gear"),
    figures("ring_line_mm", "ring at, mm", 1),
    figures("cog_line_mm", "cog at, mm", 1),
    figures("across_mm", "across, mm", 1),
    figures("angle_deg", "angle, °", 1),
    words("remark", "remark"),
];

/// The page of a build.
pub fn page(model: &Model, build: BuildId) -> Page {
    let reader = Reader::of(model, build);
    let mut page = Page::of(&reader);
    let (drive, stay) = (Drive::read(&reader), reader.figure("frame.chainstay.length"));
    let sprung = ["rear_derailleur", "chain_tensioner"].map(|slot| reader.has(slot));
    let caution = if sprung[0] == Some(false) { TOO_SLACK } else { TOO_SHORT };
    if let (Some(drive), Some(stay)) = (drive, stay) {
        // A slot that is left open may hold what takes up the slack, or not.
        if drive.cogs.len() > 1 || sprung.contains(&Some(true)) {
            length(&reader, &drive, stay, &mut page);
        } else if !sprung.contains(&None) {
            single(&reader, &drive, stay, &mut page);
        }
        line(&reader, &drive, stay, &mut page);
    }
    page.close(&reader, NOTES, &[caution])
}

const NOTES: &[&str] = &[
    "The length is that of the open loop round both sprockets, exactly, in half-inch links. With a derailleur it is rounded up to a whole pair of links, and one pair is added (big ring and biggest cog, past the derailleur, plus two links).",
    "Full suspension: the chainstay at its longest place of the travel counts.",
    "Angles are taken between the middles of ring and cog, over the length of the chainstay.",
];

const TOO_SHORT: &str = "Cut a chain only after it has been laid round biggest ring and biggest cog on this very bike: one that is too short tears the derailleur off.";

const TOO_SLACK: &str = "A chain that jumps off on one cog takes the back-pedal brake with it, or locks a fixed wheel: about 10 mm up and down at its tightest place, and a look again after the first ride.";

fn largest(all: &[Figure]) -> Option<Figure> {
    all.iter().copied().max_by(|a, b| a.value.total_cmp(&b.value))
}

fn smallest(all: &[Figure]) -> Option<Figure> {
    all.iter().copied().min_by(|a, b| a.value.total_cmp(&b.value))
}

/// A chain with a derailleur or a sprung arm.
fn length(reader: &Reader, drive: &Drive, stay: Figure, page: &mut Page) {
    let (Some(ring), Some(cog)) = (largest(&drive.rings), largest(&drive.cogs)) else { return };
    let (Some(small_ring), Some(small_cog)) = (smallest(&drive.rings), smallest(&drive.cogs)) else { return };
    let mut section = Section::new("length", "Chain length", FIGURES);
    let mut row = |page: &mut Page, what: &str, unit, decimals, remark: &str, answer: Answer<Figure>| {
        if let Some(figure) = page.answer(what, answer) {
            section.rows.push(vec![Cell::words(what), Cell::Of(figure, unit, decimals), Cell::words(remark)]);
        }
    };
    let of = |f: fn(f64, f64, f64) -> Answer| Figure::of([stay, ring, cog], |[stay, ring, cog]| f(stay, ring, cog));
    let gear = format!("round {} x {}", ring.value, cog.value);
    row(page, "exact length", "links", 2, &gear, of(chain::pitches_open));
    row(page, "by the usual series", "links", 2, "approximation", of(chain::pitches_series));
    let thumb = "2 x chainstay + ring / 4 + cog / 4 + 1 in, rounded up";
    row(page, "by the rule of thumb", "links", 0, thumb, of(chain::rule_of_thumb_links));
    let order = of(chain::derailleur_links);
    let wanted = order.as_ref().ok().copied();
    row(page, "links to use", "links", 0, "biggest to biggest, a pair more", order);
    let slack = Figure::of([stay, ring, small_ring, cog, small_cog], |[stay, ring, small_ring, cog, small_cog]| {
        chain::wrap_links(stay, ring, small_ring, cog, small_cog).map(|it| it.pitches)
    });
    row(page, "slack from big-big to small-small", "links", 1, "what the cage takes up", slack);
    let teeth = Figure::of([ring, small_ring, cog, small_cog], |[ring, small_ring, cog, small_cog]| {
        chain::capacity_teeth(ring, small_ring, cog, small_cog)
    });
    row(page, "the same as capacity", "teeth", 0, "differences of rings and of cogs, added", teeth);
    if let Some(own) = reader.optional("chain.links") {
        row(page, "links of this chain", "links", 0, "counted", Ok(own));
        if let Some(wanted) = wanted.filter(|wanted| own.value < wanted.low) {
            page.concerns.push(format!("the chain has {} links, {} are wanted", own.shown(0), wanted.shown(0)));
        }
    }
    page.push(section);
}

/// A chain on one cog, with nothing sprung in it.
fn single(reader: &Reader, drive: &Drive, stay: Figure, page: &mut Page) {
    let (Some(&ring), Some(&cog)) = (drive.rings.first(), drive.cogs.first()) else { return };
    let mut section = Section::new("length", "Chain length", FIGURES);
    let exact = Figure::of([stay, ring, cog], |[stay, ring, cog]| chain::pitches_open(stay, ring, cog));
    if let Some(exact) = page.answer("chain", exact) {
        let remark = format!("round {} x {}, axle in the middle of its way", ring.value, cog.value);
        section.rows.push(vec![Cell::words("exact length"), Cell::Of(exact, "links", 2), Cell::Words(remark)]);
    }
    page.push(section);
    let Some(travel) = way(reader, page) else { return };
    let half = travel.value / 2.0;
    let fits = chain::single_speed_fits(stay.value, ring.value, cog.value, half, half);
    let Some(mut fits) = page.answer("chain", fits) else { return };
    fits.sort_by_key(|it| it.links);
    let mut section = Section::new("fits", "Where a whole number of links is tight", FITS);
    for fit in &fits {
        let links = Figure::exact(f64::from(fit.links));
        let tight = Figure::of([links, ring, cog], |[links, ring, cog]| chain::chainstay_for_mm(links, ring, cog));
        let moved = Figure::of([links, ring, cog, stay], |[links, ring, cog, stay]| {
            chain::chainstay_for_mm(links, ring, cog).map(|tight| tight - stay)
        });
        let (Some(tight), Some(moved)) = (page.answer("chain", tight), page.answer("chain", moved)) else { return };
        section.rows.push(vec![
            Cell::Figure(ring),
            Cell::Figure(cog),
            // Whether so many links will do at all rests on how far the axle may go.
            Cell::Figure(links.resting_on(&[ring, cog, stay, travel])),
            Cell::words(if fit.half_link { "one" } else { "" }),
            Cell::Figure(tight),
            Cell::Figure(moved),
        ]);
    }
    if fits.iter().all(|it| it.half_link) {
        let way = travel.shown(usize::from(travel.value.fract() > 0.0));
        let (ring, cog) = (ring.value, cog.value);
        let (none, instead) = if fits.is_empty() {
            ("number", "take other teeth, or a chain tensioner")
        } else {
            ("even number", "take a half link, or a tooth more or less")
        };
        page.concerns
            .push(format!("within {way} mm of axle way no {none} of links is tight on {ring} x {cog}: {instead}"));
    }
    section.remarks.push(
        match reader.member("frame.rear.dropout.opens") {
            Some("forward") => {
                "Less than nothing is forward, towards the open end: nut and washer must lie on the plate all round. As the \
                 chain wears the axle goes back, away from it."
            }
            _ => "Less than nothing is forward. As the chain wears the axle goes back: a place near the front end lasts longest.",
        }
        .to_owned(),
    );
    page.push(section);
}

/// How far the axle can be moved against the bottom bracket, from end to end: along its slots or sliders, and by whatever
/// turns off its middle, twice its throw.
fn way(reader: &Reader, page: &mut Page) -> Option<Figure> {
    let throws = ["rear.hub.throw", "bottom_bracket.throw", "bb_adapter.throw"].map(|it| reader.if_known(it));
    let throws: Vec<Figure> = throws.into_iter().flatten().collect();
    let along =
        if throws.is_empty() { reader.figure("frame.rear.travel") } else { reader.or_nothing("frame.rear.travel") };
    let all: Vec<Figure> = [along?].into_iter().chain(throws.into_iter().map(|it| it.scaled(2.0))).collect();
    page.answer("way of the axle", Figure::of_all(&all, |values| Ok(values.iter().sum())))
}

/// Where the cogs stand, from the middle of the frame, and how far apart.
fn cog_lines(reader: &Reader, drive: &Drive, page: &mut Page) -> Option<(Vec<Figure>, Figure)> {
    let width = reader.library("core_width", &[Path("rear.hub.axle")]);
    if drive.cogs.len() < 2 {
        let inset = reader.figure("rear.hub.cog_inset");
        let one = Figure::of([width?, inset?], |[width, inset]| chainline::single_cog_line_mm(width, inset));
        return Some((vec![page.answer("cogs", one)?], Figure::exact(0.0)));
    }
    #[allow(clippy::cast_precision_loss)]
    let count = drive.cogs.len() as f64;
    let gap = reader.figure("rear.hub.cog_gap");
    let pitch = pitch(reader, count)?;
    let thick = reader.optional("rear.cogs.thickness");
    let thick = thick.or_else(|| reader.library("cog_thickness", &[Given::Figure(pitch)]));
    let inputs = [width?, gap?, pitch, thick?];
    let line = |at: usize| {
        Figure::of(inputs, |[width, gap, pitch, thick]| {
            let all = chainline::cog_lines_mm(width, gap, pitch, thick, count)?;
            all.get(at).copied().ok_or_else(|| Refused("there is no such cog".to_owned()))
        })
    };
    let all = (0..drive.cogs.len()).map(line).collect::<Answer<Vec<Figure>>>();
    Some((page.answer("cogs", all)?, pitch))
}

/// From cog to cog: as measured, or the usual one of so many cogs.
pub(super) fn pitch(reader: &Reader, count: f64) -> Option<Figure> {
    let usual = || reader.library("usual_pitch", &[Given::Figure(Figure::exact(count)), Path("rear.cogs.mount")]);
    reader.optional("rear.cogs.pitch").filter(|it| it.value > 0.0).or_else(usual)
}

/// How straight the chain runs.
fn line(reader: &Reader, drive: &Drive, stay: Figure, page: &mut Page) {
    let front = reader.figure("crank.chainline");
    let shift = reader.library("spindle_shift", &[Path("bottom_bracket.spindle"), Path("crank.seat")]);
    let cogs = cog_lines(reader, drive, page);
    let (Some(front), Some(shift), Some((cogs, pitch))) = (front, shift, cogs) else { return };
    let Some(apart) = reader.library("ring_pitch", &[Given::Figure(pitch)]) else { return };
    #[allow(clippy::cast_precision_loss)]
    let ring_count = drive.rings.len() as f64;
    let rings = |at: usize| {
        Figure::of([front, shift, apart], |[front, shift, apart]| {
            let all = chainline::ring_lines_mm(front + shift, apart, ring_count)?;
            // Computed from the inside out; the drivetrain's rings begin with the largest, outside.
            all.iter().rev().nth(at).copied().ok_or_else(|| Refused("there is no such ring".to_owned()))
        })
    };
    let Some(gears) = page.answer("gears", drive.gears()) else { return };
    let mut section = Section::new("chainline", "Chainline", LINES);
    for gear in gears {
        let Some(cog) = cogs.get(gear.cog).copied() else { return };
        let Some(ring) = page.answer("rings", rings(gear.ring)) else { return };
        let across = Figure::of([ring, cog], |[ring, cog]| Ok(ring - cog));
        let angle = Figure::of([ring, cog, stay], |[ring, cog, stay]| chainline::angle_deg(ring, cog, stay));
        let (Some(across), Some(angle)) = (page.answer("chainline", across), page.answer("chainline", angle)) else {
            return;
        };
        section.rows.push(vec![
            Cell::Words(format!("{} x {}", gear.ring_teeth, gear.cog_teeth)),
            Cell::Figure(ring),
            Cell::Figure(cog),
            Cell::Figure(across),
            Cell::Figure(angle),
            Cell::words(if gear.crossed { "crossed" } else { "" }),
        ]);
    }
    section.remarks.push(
        "Places are from the middle plane of the frame; more than nothing: the ring stands further out than the cog."
            .to_owned(),
    );
    if drive.rings.len() > 1 {
        section.remarks.push(format!("Rings are taken {} mm apart.", apart.shown(1)));
    }
    page.push(section);
}

/// The sheet of these builds.
pub fn render(pages: &[Page], format: Format) -> String {
    write::sheet("chain", "Chain", pages, format)
}
