//! `cotter indexing`: where the rear derailleur stands after each click, against where the cogs are.

use super::figure::Figure;
use super::page::{Cell, Column, Page, Section, figures, words};
use super::read::Reader;
use super::write;
use crate::calc::indexing::{self, Indexing};
use crate::calc::{Answer, Refused};
use crate::model::{BuildId, Model};
use crate::sheets::Format;

const CLICKS: &[Column] = &[
    figures("cog", "cog", 0),
    figures("cog_teeth", "teeth", 0),
    figures("cog_at_mm", "cog at, mm", 2),
    figures("cage_at_mm", "cage at, mm", 2),
    figures("error_mm", "error, mm", 2),
    words("verdict", ""),
];

const FIGURES: &[Column] = &[words("what", "what"), figures("figure", "figure", 0), words("remark", "remark")];

/// The page of a build.
pub fn page(model: &Model, build: BuildId) -> Page {
    let reader = Reader::of(model, build);
    let mut page = Page::of(&reader);
    match reader.has("rear_derailleur") {
        Some(true) => derailleur(&reader, &mut page),
        Some(false) => page.nothing("There is no rear derailleur to index."),
        None => {}
    }
    page.close(&reader, &[], &[])
}

fn derailleur(reader: &Reader, page: &mut Page) {
    let [output, input] = ["right_shifter.output", "rear_derailleur.input"]
        .map(|path| reader.standard(path).or_else(|| reader.miss(path)));
    let (Some(output), Some(input)) = (output, input) else { return };
    match (output, input) {
        ("cable", "cable") => indexed(reader, page),
        ("friction", "cable") => friction(reader, page),
        ("cable" | "friction", _) | (_, "cable") => page.nothing(
            "Nothing can be indexed: the shifter and the rear derailleur do not work with each other, as `cotter check` says.",
        ),
        _ => page.nothing("No cable is indexed here: an electronic derailleur steps by itself."),
    }
}

/// Gaps from cog to cog: measured, or the usual ones of such a cassette.
fn gaps(reader: &Reader, cogs: usize, page: &mut Page) -> Option<Vec<Figure>> {
    if let Some(all) = reader.optional_list("rear.cogs.gaps") {
        if all.len() + 1 != cogs {
            page.refuse(
                "cassette",
                &format!("{cogs} cogs have {} gaps between them, {} are stated", cogs.saturating_sub(1), all.len()),
            );
            return None;
        }
        return Some(all);
    }
    let pitch = reader.figure("rear.cogs.pitch")?;
    Some(vec![pitch; cogs.saturating_sub(1)])
}

/// The cable of each click, the first one from slack first.
fn pulls(reader: &Reader) -> Option<Vec<Figure>> {
    if let Some(all) = reader.optional_list("right_shifter.output.pulls") {
        return Some(all);
    }
    let (pull, clicks) = (reader.figure("right_shifter.output.pull"), reader.figure("right_shifter.output.clicks"));
    let (pull, clicks) = (pull?, clicks?);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let count = clicks.value.round().clamp(0.0, 100.0) as usize;
    Some(vec![pull.resting_on(&[clicks]); count])
}

/// All that the indexing of a derailleur follows from.
struct Parts {
    /// Cable of each click, ratio of the derailleur, factor of a pulley, gaps from cog to cog: one after the other.
    inputs: Vec<Figure>,
    clicks: usize,
    tolerance: f64,
}

impl Parts {
    /// What follows from them.
    fn figure(&self, of: impl Fn(&[f64], f64, &[f64]) -> Answer) -> Answer<Figure> {
        Figure::of_all(&self.inputs, |values| {
            let (pulls, rest) = values.split_at_checked(self.clicks).unwrap_or_default();
            match rest {
                [ratio, factor, gaps @ ..] => of(pulls, ratio * factor, gaps),
                _ => Err(Refused("there is no derailleur".to_owned())),
            }
        })
    }

    /// How far a click moves the cage, on the average.
    fn a_click(&self) -> Answer<Figure> {
        let moving = self.inputs.get(..self.clicks + 2).unwrap_or(&self.inputs);
        Figure::of_all(moving, |values| {
            let (pulls, rest) = values.split_at_checked(self.clicks).unwrap_or_default();
            Ok(mean(pulls) * rest.iter().product::<f64>())
        })
    }

    /// What is found of it.
    fn found(&self, of: impl Fn(&Indexing) -> Option<f64>) -> Answer<Figure> {
        self.figure(|pulls, ratio, gaps| {
            let found = indexing::indexing(pulls, ratio, gaps, self.tolerance)?;
            of(&found).ok_or_else(|| Refused("there is no such click".to_owned()))
        })
    }
}

fn mean(all: &[f64]) -> f64 {
    #[allow(clippy::cast_precision_loss)]
    let count = all.len().max(1) as f64;
    all.iter().sum::<f64>() / count
}

fn indexed(reader: &Reader, page: &mut Page) {
    let cogs = reader.list("rear.cogs.cogs");
    let pulls = pulls(reader);
    let ratio = reader.figure("rear_derailleur.input.ratio");
    let factor = reader
        .has("pull_converter")
        .and_then(|there| if there { reader.figure("pull_converter.factor") } else { Some(Figure::exact(1.0)) });
    let Some(cogs) = cogs else { return };
    let gaps = gaps(reader, cogs.len(), page);
    let (Some(pulls), Some(ratio), Some(factor), Some(gaps)) = (pulls, ratio, factor, gaps) else { return };
    if gaps.is_empty() {
        return page.nothing("There is one cog: nothing to index.");
    }
    let apart = Figure::of_all(&gaps, |all| Ok(mean(all)));
    let Some(apart) = page.answer("cassette", apart) else { return };
    let Some(tolerance) = page.answer("cassette", indexing::default_tolerance_mm(apart.value)) else { return };
    let inputs = [pulls.as_slice(), &[ratio, factor], gaps.as_slice()].concat();
    let parts = Parts { inputs, clicks: pulls.len(), tolerance };
    let reached = parts.found(|it| {
        #[allow(clippy::cast_precision_loss)]
        Some(it.reached as f64)
    });
    let Some(reached) = page.answer("indexing", reached) else { return };
    clicks(&parts, &cogs, &gaps, page);
    figures_of(&parts, apart, reached, cogs.len(), page);
    if reached.value < f64::from(u32::try_from(cogs.len()).unwrap_or(u32::MAX)) {
        page.concerns.push(format!("the shifting meets {} of {} cogs", reached.shown(0), cogs.len()));
    }
    if pulls.len() + 1 < cogs.len() {
        page.concerns.push(format!(
            "the shifter has {} clicks and {} cogs want {}: the largest cogs are never reached",
            pulls.len(),
            cogs.len(),
            cogs.len() - 1
        ));
    }
    page.notes = NOTES.iter().map(|it| (*it).to_owned()).collect();
}

const NOTES: &[&str] = &[
    "Cable pull times the derailleur's ratio must be the distance from cog to cog. What is off adds up from click to click; the barrel adjuster shares it between both ends.",
    "An error of up to 0.15 of the pitch is taken up by the play of the upper pulley: common practice, no source. The pulls and ratios that families of parts are told to have lie within it; the ratio is taken as the same all the way.",
];

/// The table of all clicks that there is a cog for.
fn clicks(parts: &Parts, cogs: &[Figure], gaps: &[Figure], page: &mut Page) {
    let mut section = Section::new("clicks", "Click by click, at the best setting of the cable", CLICKS);
    for (at, teeth) in cogs.iter().enumerate().take(parts.clicks + 1) {
        let error = parts.found(|it| it.per_click.get(at).copied());
        let place = Figure::of_all(gaps.get(..at).unwrap_or(gaps), |all| Ok(all.iter().sum()));
        let cage = parts.figure(|pulls, ratio, gaps| {
            let found = indexing::indexing(pulls, ratio, gaps, parts.tolerance)?;
            Ok(found.trim + pulls.iter().take(at).sum::<f64>() * ratio)
        });
        let mut answer = |it| page.answer("indexing", it);
        let (Some(error), Some(place), Some(cage)) = (answer(error), answer(place), answer(cage)) else { return };
        let good = error.value.abs() <= parts.tolerance + 1e-9;
        section.rows.push(vec![
            Cell::count(at + 1),
            Cell::Figure(*teeth),
            Cell::Figure(place),
            Cell::Figure(cage),
            Cell::Figure(error),
            Cell::words(if good { "good" } else { "off" }),
        ]);
    }
    section.remarks.push(
        "From the smallest cog, which the slack cable gives, inwards; more than nothing: the cage stands too far in."
            .to_owned(),
    );
    page.push(section);
}

fn figures_of(parts: &Parts, apart: Figure, reached: Figure, cogs: usize, page: &mut Page) {
    let travel = parts.a_click();
    let drift = parts.found(|it| Some(it.drift));
    let worst = parts.found(|it| Some(it.worst));
    // The pulley that stands in the cable now, if there is one, is part of what the better one takes the place of.
    let factor = parts.inputs.get(parts.clicks + 1).map_or(1.0, |it| it.value);
    let mend = parts.figure(|pulls, ratio, gaps| indexing::converter_factor(mean(pulls), ratio / factor, mean(gaps)));
    let of = format!("of {cogs}, one after the other");
    let allowed = Figure::exact(parts.tolerance).resting_on(&[apart]);
    let mut rows = vec![
        ("cage moves, a click", travel, "mm", 2, "cable x ratio, on the average"),
        ("cogs stand apart", Ok(apart), "mm", 2, "on the average"),
        ("drift over the cassette", drift, "mm", 2, "first to last cog"),
        ("worst error", worst, "mm", 2, "with the cable set at its best"),
        ("allowed", Ok(allowed), "mm", 2, "0.15 x pitch, common practice"),
        ("cogs that it meets", Ok(reached), "", 0, of.as_str()),
    ];
    if reached.value < f64::from(u32::try_from(cogs).unwrap_or(u32::MAX)) {
        rows.push(("a pulley that would mend it", mend, "", 2, "cable out for cable in"));
    }
    let mut section = Section::new("indexing", "Indexing", FIGURES);
    for (what, answer, unit, decimals, remark) in rows {
        if let Some(figure) = page.answer(what, answer) {
            section.rows.push(vec![Cell::words(what), Cell::Of(figure, unit, decimals), Cell::words(remark)]);
        }
    }
    page.push(section);
}

fn friction(reader: &Reader, page: &mut Page) {
    let cogs = reader.list("rear.cogs.cogs");
    let (stroke, ratio) = (reader.figure("right_shifter.output.stroke"), reader.figure("rear_derailleur.input.ratio"));
    let Some(cogs) = cogs else { return };
    #[allow(clippy::cast_precision_loss)]
    let count = cogs.len() as f64;
    let pitch = super::chain::pitch(reader, count);
    let (Some(stroke), Some(ratio), Some(pitch)) = (stroke, ratio, pitch) else { return };
    if cogs.len() < 2 {
        return page.nothing("There is one cog: nothing to shift.");
    }
    let needed =
        Figure::of([pitch, ratio], |[pitch, ratio]| indexing::friction_stroke_mm(ratio, &vec![pitch; cogs.len() - 1]));
    let Some(needed) = page.answer("friction lever", needed) else { return };
    let mut section = Section::new("indexing", "Friction", FIGURES);
    section.rows.push(vec![
        Cell::words("cable wanted"),
        Cell::Of(needed, "mm", 1),
        Cell::words("from the first to the last cog"),
    ]);
    section.rows.push(vec![Cell::words("cable that the lever moves"), Cell::Of(stroke, "mm", 1), Cell::Nothing]);
    page.push(section);
    if stroke.high < needed.low {
        page.concerns.push("the lever does not move enough cable to reach the last cog".to_owned());
    }
    page.notes = vec!["Without clicks any pitch will do; the lever must only move enough cable.".to_owned()];
}

/// The sheet of these builds.
pub fn render(pages: &[Page], format: Format) -> String {
    write::sheet("indexing", "Indexing", pages, format)
}
