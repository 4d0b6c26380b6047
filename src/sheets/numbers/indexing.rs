//! `cotter indexing`: where the rear derailleur stands after each click, against where the cogs are.

use super::figure::Figure;
use super::page::{Cell, Column, Page, Section, figures, words};
use super::read::{Given, Reader};
use super::write;
use crate::calc::indexing;
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
    let (output, input) = (reader.standard("right_shifter.output"), reader.standard("rear_derailleur.input"));
    match (output, input) {
        (Some("cable"), Some("cable")) => indexed(&reader, &mut page),
        (Some("friction"), Some("cable")) => friction(&reader, &mut page),
        (Some(_), Some(_)) => {
            page.notes = vec!["Nothing is indexed by a cable here: an electronic derailleur steps by itself."]
        }
        _ if !reader.filled("rear_derailleur") => page.notes = vec!["There is no rear derailleur to index."],
        _ => ["right_shifter.output", "rear_derailleur.input"].iter().for_each(|path| reader.miss(path)),
    }
    page.account(&reader);
    page
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

fn indexed(reader: &Reader, page: &mut Page) {
    let Some(cogs) = reader.list("rear.cogs.cogs") else { return };
    let pulls = match reader.optional_list("right_shifter.output.pulls") {
        Some(all) => Some(all),
        None => {
            let (pull, clicks) =
                (reader.figure("right_shifter.output.pull"), reader.figure("right_shifter.output.clicks"));
            pull.zip(clicks).map(|(pull, clicks)| {
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
                let count = clicks.value.round().clamp(0.0, 30.0) as usize;
                vec![pull; count]
            })
        }
    };
    let ratio = reader.figure("rear_derailleur.input.ratio");
    let factor =
        if reader.filled("pull_converter") { reader.figure("pull_converter.factor") } else { Some(Figure::exact(1.0)) };
    let gaps = gaps(reader, cogs.len(), page);
    let (Some(pulls), Some(ratio), Some(factor), Some(gaps)) = (pulls, ratio, factor, gaps) else { return };
    if gaps.is_empty() {
        page.notes = vec!["There is one cog: nothing to index."];
        return;
    }
    let standing = pulls.iter().chain([&ratio, &factor]).chain(&gaps).map(|it| it.standing).max();
    let marked = |value: f64| Figure { standing: standing.unwrap_or(ratio.standing), ..Figure::exact(value) };
    let values = |all: &[Figure]| all.iter().map(|it| it.value).collect::<Vec<f64>>();
    #[allow(clippy::cast_precision_loss)]
    let mean = values(&gaps).iter().sum::<f64>() / gaps.len() as f64;
    let Some(tolerance) = page.answer("cassette", indexing::default_tolerance_mm(mean)) else { return };
    let k = ratio.value * factor.value;
    let found = indexing::indexing(&values(&pulls), k, &values(&gaps), tolerance);
    let Some(found) = page.answer("indexing", found) else { return };

    let mut section = Section::new("clicks", "Click by click, at the best setting of the cable", CLICKS);
    let mut place = 0.0;
    for (at, (teeth, error)) in cogs.iter().zip(&found.per_click).enumerate() {
        section.rows.push(vec![
            Cell::count(at + 1),
            Cell::Figure(*teeth),
            Cell::Figure(marked(place)),
            Cell::Figure(marked(place + error)),
            Cell::Figure(marked(*error)),
            Cell::words(if error.abs() <= tolerance + 1e-9 { "good" } else { "off" }),
        ]);
        place += gaps.get(at).map_or(0.0, |it| it.value);
    }
    section.remarks.push(
        "From the smallest cog, which the slack cable gives, inwards; more than nothing: the cage stands too far in."
            .to_owned(),
    );
    page.push(section);

    let mut section = Section::new("indexing", "Indexing", FIGURES);
    let mut row = |what: &str, figure: Figure, unit, decimals, remark: &str| {
        section.rows.push(vec![Cell::words(what), Cell::Of(figure, unit, decimals), Cell::words(remark)]);
    };
    #[allow(clippy::cast_precision_loss)]
    let travel = values(&pulls).iter().sum::<f64>() / pulls.len().max(1) as f64 * k;
    row("cage moves, a click", marked(travel), "mm", 2, "cable x ratio, on the average");
    row("cogs stand apart", marked(mean), "mm", 2, "on the average");
    row("drift over the cassette", marked(found.drift), "mm", 2, "first to last cog");
    row("worst error", marked(found.worst), "mm", 2, "with the cable set at its best");
    row("allowed", Figure::exact(tolerance), "mm", 2, "0.15 x pitch, common practice");
    #[allow(clippy::cast_precision_loss)]
    row(
        "cogs that it reaches",
        marked(found.reached as f64),
        "",
        0,
        &format!("of {}, one after the other", cogs.len()),
    );
    let converter = indexing::converter_factor(travel / k, k, mean);
    if let Some(exact) = page.answer("converter", converter)
        && found.reached < cogs.len()
    {
        row("a pulley that would mend it", marked(exact * factor.value), "", 2, "cable out for cable in");
    }
    page.push(section);
    if found.reached < cogs.len() {
        page.concerns.push(format!("it indexes over {} of {} cogs", found.reached, cogs.len()));
    }
    page.notes = vec![
        "Cable pull times the derailleur's ratio must be the distance from cog to cog. What is off adds up from click to click; the barrel adjuster shares it between both ends.",
        "An error of up to 0.15 of the pitch is taken up by the play of the upper pulley: common practice, no source. All native pairs of lever and derailleur lie within it.",
    ];
}

fn friction(reader: &Reader, page: &mut Page) {
    let Some(cogs) = reader.list("rear.cogs.cogs") else { return };
    let (stroke, ratio) = (reader.figure("right_shifter.output.stroke"), reader.figure("rear_derailleur.input.ratio"));
    #[allow(clippy::cast_precision_loss)]
    let count = cogs.len() as f64;
    let usual = || reader.library("usual_pitch", &[Given::Number(count), Given::Path("rear.cogs.mount")]);
    let pitch = reader.optional("rear.cogs.pitch").filter(|it| it.value > 0.0).or_else(usual);
    let (Some(stroke), Some(ratio), Some(pitch)) = (stroke, ratio, pitch) else { return };
    let needed = Figure::of([pitch, ratio], |[pitch, ratio]| {
        if ratio > 0.0 {
            Ok((count - 1.0) * pitch / ratio)
        } else {
            Err(crate::calc::Refused("the derailleur does not move".to_owned()))
        }
    });
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
    page.notes = vec!["Without clicks any pitch will do; the lever must only move enough cable."];
}

/// The sheet of these builds.
pub fn render(pages: &[Page], format: Format) -> String {
    write::sheet("indexing", "Indexing", pages, format)
}
