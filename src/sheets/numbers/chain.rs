//! `cotter chain`: its length, what takes up its slack, and how straight it runs.

use super::drive::Drive;
use super::figure::Figure;
use super::page::{Cell, Column, Page, Section, figures, words};
use super::read::{Given, Reader};
use super::write;
use crate::calc::{Answer, chain, chainline, gearing};
use crate::model::{BuildId, Model};
use crate::sheets::Format;
use Given::{Number, Path};

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
    if let (Some(drive), Some(stay)) = (Drive::read(&reader), reader.figure("frame.chainstay.length")) {
        if drive.cogs.len() > 1 || reader.filled("rear_derailleur") || reader.filled("chain_tensioner") {
            length(&reader, &drive, stay, &mut page);
        } else {
            single(&reader, &drive, stay, &mut page);
        }
        line(&reader, &drive, stay, &mut page);
    }
    page.account(&reader);
    page.notes = NOTES.to_vec();
    page.cautions = vec![if reader.filled("rear_derailleur") { TOO_SHORT } else { TOO_SLACK }];
    page
}

const NOTES: &[&str] = &[
    "The length is that of the open loop round both sprockets, exactly, in half-inch links. With a derailleur it is rounded up to a whole pair of links, and one pair is added (big ring and biggest cog, past the derailleur, plus two links).",
    "Full suspension: the chainstay at its longest place of the travel counts.",
    "Angles are taken between the middles of ring and cog, over the length of the chainstay.",
];

const TOO_SHORT: &str = "Cut a chain only after it has been laid round biggest ring and biggest cog on this very bike: one that is too short tears the derailleur off.";

const TOO_SLACK: &str = "A chain that jumps off on one cog takes the back-pedal brake with it, or locks a fixed wheel: about 10 mm up and down at its tightest place, and a look again after the first ride.";

/// A chain with a derailleur or a sprung arm.
fn length(reader: &Reader, drive: &Drive, stay: Figure, page: &mut Page) {
    let big = |all: &[f64]| all.iter().copied().fold(0.0, f64::max);
    let small = |all: &[f64]| all.iter().copied().fold(f64::INFINITY, f64::min);
    let (ring, cog) = (big(&drive.rings), big(&drive.cogs));
    let mut section = Section::new("length", "Chain length", FIGURES);
    let mut row = |page: &mut Page, what: &str, unit, decimals, remark: &str, answer: Answer<Figure>| {
        if let Some(figure) = page.answer(what, answer) {
            section.rows.push(vec![Cell::words(what), Cell::Of(figure, unit, decimals), Cell::words(remark)]);
        }
    };
    let of = |f: &dyn Fn(f64) -> Answer| Figure::of([stay], |[stay]| f(stay));
    let gear = format!("round {ring} x {cog}");
    let exact = of(&|stay| chain::pitches_open(stay, ring, cog));
    row(page, "exact length", "links", 2, &gear, exact);
    let series = of(&|stay| chain::pitches_series(stay, ring, cog));
    row(page, "by the usual series", "links", 2, "approximation", series);
    let thumb = of(&|stay| chain::rule_of_thumb_links(stay, ring, cog));
    row(page, "by the rule of thumb", "links", 0, "2 x chainstay + ring / 4 + cog / 4 + 1 in, rounded up", thumb);
    let order = of(&|stay| chain::derailleur_links(stay, ring, cog));
    let wanted = order.as_ref().ok().copied();
    row(page, "links to use", "links", 0, "biggest to biggest, a pair more", order);
    let slack =
        of(&|stay| chain::wrap_links(stay, ring, small(&drive.rings), cog, small(&drive.cogs)).map(|it| it.pitches));
    row(page, "slack from big-big to small-small", "links", 1, "what the cage takes up", slack);
    let teeth = chain::capacity_teeth(ring, small(&drive.rings), cog, small(&drive.cogs)).map(Figure::exact);
    row(page, "the same as capacity", "teeth", 0, "differences of rings and of cogs, added", teeth);
    if let Some(own) = reader.optional("chain.links") {
        row(page, "links of this chain", "links", 0, "counted", Ok(own));
        if wanted.is_some_and(|wanted| own.value < wanted.low) {
            page.concerns.push(format!(
                "the chain has {} links, {} are wanted",
                own.shown(0),
                wanted.map_or(String::new(), |it| it.shown(0))
            ));
        }
    }
    page.push(section);
}

/// A chain on one cog, with nothing sprung in it.
fn single(reader: &Reader, drive: &Drive, stay: Figure, page: &mut Page) {
    let (Some(&ring), Some(&cog)) = (drive.rings.first(), drive.cogs.first()) else { return };
    let mut section = Section::new("length", "Chain length", FIGURES);
    let exact = Figure::of([stay], |[stay]| chain::pitches_open(stay, ring, cog));
    if let Some(exact) = page.answer("chain", exact) {
        let remark = format!("round {ring} x {cog}, axle in the middle of its way");
        section.rows.push(vec![Cell::words("exact length"), Cell::Of(exact, "links", 2), Cell::Words(remark)]);
    }
    page.push(section);
    let Some(travel) = reader.figure("frame.rear.travel") else { return };
    let half = travel.value / 2.0;
    let fits = chain::single_speed_fits(stay.value, ring, cog, half, half);
    let Some(mut fits) = page.answer("chain", fits) else { return };
    fits.sort_by_key(|it| it.links);
    let mut section = Section::new("fits", "Where a whole number of links is tight", FITS);
    let mut one = |links: u32, half_link: bool, stay: f64, moved: f64| {
        section.rows.push(vec![
            Cell::Figure(Figure::exact(ring)),
            Cell::Figure(Figure::exact(cog)),
            Cell::Figure(Figure::exact(f64::from(links))),
            Cell::words(if half_link { "one" } else { "" }),
            Cell::Figure(Figure::exact(stay)),
            Cell::Figure(Figure::exact(moved)),
        ]);
    };
    fits.iter().for_each(|it| one(it.links, it.half_link, it.chainstay, it.moved));
    if fits.iter().all(|it| it.half_link) {
        let way = travel.shown(0);
        page.concerns.push(format!("within {way} mm of axle way no even number of links is tight on {ring} x {cog}: take a half link, or a tooth more or less"));
    }
    section.remarks.push("Less than nothing is forward. As the chain wears the axle goes back: a place near the front end lasts longest.".to_owned());
    page.push(section);
}

/// How straight the chain runs.
fn line(reader: &Reader, drive: &Drive, stay: Figure, page: &mut Page) {
    let Some(front) = reader.figure("crank.chainline") else { return };
    let shift = reader.library("spindle_shift", &[Path("bottom_bracket.spindle"), Path("crank.seat")]);
    let Some(width) = reader.library("core_width", &[Path("rear.hub.axle")]) else { return };
    let Some(front) = shift.and_then(|shift| Figure::of([front, shift], |[front, shift]| Ok(front + shift)).ok())
    else {
        return;
    };
    #[allow(clippy::cast_precision_loss)]
    let count = drive.cogs.len() as f64;
    let (cogs, pitch) = if drive.cogs.len() > 1 {
        let usual = || reader.library("usual_pitch", &[Number(count), Path("rear.cogs.mount")]);
        let Some(pitch) = reader.optional("rear.cogs.pitch").filter(|it| it.value > 0.0).or_else(usual) else { return };
        let thick = || reader.library("cog_thickness", &[Number(pitch.value)]);
        let (Some(gap), Some(thick)) =
            (reader.figure("rear.hub.cog_gap"), reader.optional("rear.cogs.thickness").or_else(thick))
        else {
            return;
        };
        let lines = |at: usize| {
            Figure::of([width, gap, pitch, thick], |[width, gap, pitch, thick]| {
                let all = chainline::cog_lines_mm(width, gap, pitch, thick, count)?;
                all.get(at).copied().ok_or_else(|| crate::calc::Refused("there is no such cog".to_owned()))
            })
        };
        ((0..drive.cogs.len()).map(lines).collect::<Answer<Vec<Figure>>>(), pitch)
    } else {
        let Some(inset) = reader.figure("rear.hub.cog_inset") else { return };
        let one = Figure::of([width, inset], |[width, inset]| chainline::single_cog_line_mm(width, inset));
        (one.map(|it| vec![it]), Figure::exact(0.0))
    };
    let Some(cogs) = page.answer("cogs", cogs) else { return };
    let Some(apart) = reader.library("ring_pitch", &[Number(pitch.value)]) else { return };
    #[allow(clippy::cast_precision_loss)]
    let ring_count = drive.rings.len() as f64;
    let rings = |at: usize| {
        Figure::of([front, apart], |[front, apart]| {
            let all = chainline::ring_lines_mm(front, apart, ring_count)?;
            // Computed from the inside out; the drivetrain's rings begin with the largest, outside.
            all.iter().rev().nth(at).copied().ok_or_else(|| crate::calc::Refused("there is no such ring".to_owned()))
        })
    };
    let mut section = Section::new("chainline", "Chainline", LINES);
    let crossed = |ring: usize, cog: usize| {
        let all = gearing::gears(&drive.rings, &drive.cogs).unwrap_or_default();
        all.iter().any(|it| it.ring == ring && it.cog == cog && it.crossed)
    };
    for (at, ring) in drive.rings.iter().enumerate() {
        let Some(place) = page.answer("rings", rings(at)) else { return };
        for (number, (cog, teeth)) in cogs.iter().zip(&drive.cogs).enumerate() {
            let across = Figure::of([place, *cog], |[ring, cog]| Ok(ring - cog));
            let angle = Figure::of([place, *cog, stay], |[ring, cog, stay]| chainline::angle_deg(ring, cog, stay));
            let (Some(across), Some(angle)) = (page.answer("chainline", across), page.answer("chainline", angle))
            else {
                return;
            };
            section.rows.push(vec![
                Cell::Words(format!("{ring} x {teeth}")),
                Cell::Figure(place),
                Cell::Figure(*cog),
                Cell::Figure(across),
                Cell::Figure(angle),
                Cell::words(if crossed(at, number) { "crossed" } else { "" }),
            ]);
        }
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
