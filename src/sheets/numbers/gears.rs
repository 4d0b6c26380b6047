//! `cotter gears`: every gear of a build, what it is good for, and the gears of the bike that it comes from.

use super::chart::Chart;
use super::drive::{self, Drive};
use super::figure::Figure;
use super::page::{Cell, Column, Page, Section, figures, hidden, words};
use super::read::Reader;
use super::{chart, load, write};
use crate::calc::gearing::{self, Overlap};
use crate::calc::{Answer, Refused, climb};
use crate::model::{BuildId, Model};
use crate::sheets::Format;

/// Gears nearer to each other than this, in per cent, are one to the rider: common practice, no source.
const SAME: f64 = 3.0;

const GEARS: &[Column] = &[
    hidden("build"),
    words("gear", "gear"),
    figures("ratio", "ratio", 2),
    figures("development_m", "m", 2),
    figures("gear_inches", "inches", 1),
    figures("gain_ratio", "gain", 2),
    figures("step_percent", "step %", 1),
    figures("speed_low_kmh", "km/h from", 1),
    figures("speed_high_kmh", "to", 1),
    words("remark", "remark"),
];

const RANGE: &[Column] = &[
    words("what", "what"),
    figures("before", "before", 0),
    figures("now", "now", 0),
    figures("difference", "difference", 0),
];

/// The page of a build.
pub fn page(model: &Model, build: BuildId) -> Page {
    let reader = Reader::of(model, build);
    let mut page = Page::of(&reader);
    let now = Stage::read(&reader, &mut page);
    let before = model[build].from.map(|base| Reader::of(model, base));
    let before = before.as_ref().and_then(|reader| Stage::read(reader, &mut page));
    if let Some(stage) = &now {
        let mut section = stage.table("Gears", &mut page);
        section.chart = Some(chart(&[before.as_ref(), Some(stage)]));
        page.push(section);
    }
    summary(before.as_ref(), now.as_ref(), &mut page);
    if let Some(stage) = &before {
        let title = format!("Gears before: {}", stage.build);
        let section = stage.table(&title, &mut page);
        page.push(section);
    }
    page.close(&reader, NOTES, &[])
}

const NOTES: &[&str] = &[
    "Development is how far one turn of the crank goes: ratio x rolling circumference. Gear inches are the wheel of a high bicycle that goes as far; the gain ratio is how much further the bike goes than the pedal.",
    "The circumference is `rollout.rear` where it was measured, else pi x (bead seat + 2 x tyre width); published circumferences of laden wheels differ from that by a third of a per cent either way.",
    "Steps are to the next harder gear on the same ring. Crossed gears run, noisily, and wear the chain.",
    "The steepest climb is where the rider's `effort` just turns this gear at the lower `cadence`, without wind: gravity, rolling and air resistance, and what the chain loses. Below about 6 km/h balance, not power, is the limit.",
];

/// The gears of one bike.
struct Stage {
    build: String,
    rows: Vec<Row>,
    circumference: Option<Figure>,
    crank: Option<Figure>,
    cadence: Option<[Figure; 2]>,
    steepest: Option<Figure>,
    overlaps: Vec<String>,
}

/// A gear.
struct Row {
    line: String,
    name: String,
    /// Ring, cog and ratio of the hub, each with its place among them.
    parts: [(usize, Figure); 3],
    ratio: Figure,
    development: Option<Figure>,
    crossed: bool,
    remark: String,
}

impl Stage {
    fn read(reader: &Reader, page: &mut Page) -> Option<Stage> {
        let build = reader.name().to_owned();
        let (drive, hub) = (Drive::read(reader), drive::hub(reader));
        let circumference =
            drive::circumference(reader).and_then(|it| page.answer(&format!("{build}, rear wheel"), it));
        let crank = reader.figure("crank.length");
        let cadence = reader.range("cadence").map(|(low, high)| [low.scaled(60.0), high.scaled(60.0)]);
        let mass = load::whole_kg(reader);
        let effort = reader.figure("effort");
        page.account(reader);
        let (drive, hub) = (drive?, hub?);
        let mut rows = page.answer(&build, rows(&drive, &hub))?;
        for row in &mut rows {
            row.development = circumference.and_then(|around| {
                let way = Figure::of([row.ratio, around], |[ratio, around]| gearing::development_m(ratio, around));
                page.answer(&format!("{build}, {}", row.name), way)
            });
        }
        let overlaps = page.answer(&build, overlaps(&drive)).unwrap_or_default();
        let mut stage = Stage { build, rows, circumference, crank, cadence, steepest: None, overlaps };
        stage.mark_same();
        let lowest = stage.lowest().and_then(|it| it.development);
        if let (Some(way), Some(effort), Some(mass), Some([slow, _])) = (lowest, effort, mass, cadence) {
            let grade = Figure::of([way, effort.scaled(0.001), mass, slow], |[way, power_w, total_mass_kg, slow]| {
                let rider = climb::Rider { total_mass_kg, power_w, ..climb::Rider::default() };
                climb::steepest_grade(&rider, way, slow).map(|it| it * 100.0)
            });
            stage.steepest = page.answer(&format!("{}, steepest climb", stage.build), grade);
        }
        Some(stage)
    }

    fn lowest(&self) -> Option<&Row> {
        self.rows.iter().min_by(|a, b| a.ratio.value.total_cmp(&b.ratio.value))
    }

    fn highest(&self) -> Option<&Row> {
        self.rows.iter().max_by(|a, b| a.ratio.value.total_cmp(&b.ratio.value))
    }

    fn range(&self) -> Option<Answer<Figure>> {
        Some(self.lowest()?.against(self.highest()?, gearing::range_percent))
    }

    /// Gears that the rider can tell from each other, crossed ones left out.
    fn different(&self) -> usize {
        let mut all: Vec<f64> = self.rows.iter().filter(|it| !it.crossed).map(|it| it.ratio.value).collect();
        all.sort_by(f64::total_cmp);
        all.dedup_by(|next, kept| (*next / *kept - 1.0) * 100.0 < SAME);
        all.len()
    }

    fn mark_same(&mut self) {
        let all: Vec<(String, String, f64)> =
            self.rows.iter().map(|it| (it.line.clone(), it.name.clone(), it.ratio.value)).collect();
        for row in &mut self.rows {
            let like = all.iter().filter(|(line, ..)| *line != row.line);
            let near = like.map(|(_, name, ratio)| (name, (ratio / row.ratio.value - 1.0).abs() * 100.0));
            let near = near.filter(|(_, off)| *off < SAME).min_by(|a, b| a.1.total_cmp(&b.1));
            let same = near.map(|(name, _)| format!("as {name}"));
            let crossed = row.crossed.then(|| "crossed".to_owned());
            row.remark = crossed.into_iter().chain(same).collect::<Vec<_>>().join(", ");
        }
    }

    fn table(&self, title: &str, page: &mut Page) -> Section {
        let mut section = Section::new("gears", title, GEARS);
        for (at, row) in self.rows.iter().enumerate() {
            let mut answer = |it: Answer<Figure>| page.answer(&format!("{}, {}", self.build, row.name), it);
            let next = self.rows.get(at + 1).filter(|next| next.line == row.line);
            let step = next.and_then(|next| answer(row.against(next, gearing::step_percent)));
            let inches = self.circumference.and_then(|around| {
                answer(Figure::of([row.ratio, around], |[ratio, around]| gearing::gear_inches(ratio, around)))
            });
            let gain = self.circumference.zip(self.crank).and_then(|(around, crank)| {
                answer(Figure::of([row.ratio, around, crank], |[ratio, around, crank]| {
                    gearing::gain_ratio(ratio, around, crank)
                }))
            });
            let speeds = row.development.zip(self.cadence).map(|(way, ends)| {
                ends.map(|turns| answer(Figure::of([way, turns], |[way, turns]| gearing::speed_kmh(way, turns))))
            });
            let [slow, fast] = speeds.unwrap_or_default();
            section.rows.push(vec![
                Cell::words(&self.build),
                Cell::words(&row.name),
                Cell::Figure(row.ratio),
                Cell::maybe(row.development),
                Cell::maybe(inches),
                Cell::maybe(gain),
                Cell::maybe(step),
                Cell::maybe(slow),
                Cell::maybe(fast),
                Cell::words(&row.remark),
            ]);
        }
        section.remarks.clone_from(&self.overlaps);
        section
    }
}

impl Row {
    /// How the ratio of a gear compares with this one's. What both have in common takes no part in it.
    fn against(&self, other: &Row, how: fn(f64, f64) -> Answer) -> Answer<Figure> {
        let pairs = || self.parts.iter().zip(&other.parts);
        let of = |pick: fn(&(usize, Figure), &(usize, Figure)) -> Figure| {
            pairs().map(move |(own, other)| {
                let figure = pick(own, other);
                if own.0 == other.0 { Figure::exact(figure.value) } else { figure }
            })
        };
        let all: Vec<Figure> = of(|own, _| own.1).chain(of(|_, other| other.1)).collect();
        Figure::of_all(&all, |values| match values {
            [ring, cog, hub, other_ring, other_cog, other_hub] => {
                how(gearing::ratio(*ring, *cog)? * hub, gearing::ratio(*other_ring, *other_cog)? * other_hub)
            }
            _ => Err(Refused("there is no gear".to_owned())),
        })
    }
}

/// Gears by ring, and on each ring from the easiest to the hardest.
fn rows(drive: &Drive, hub: &[Figure]) -> Answer<Vec<Row>> {
    if hub.is_empty() {
        return Err(Refused("the hub gear has no ratios".to_owned()));
    }
    let mut rows = Vec::new();
    for gear in drive.gears()? {
        let (Some(ring), Some(cog)) = (drive.rings.get(gear.ring), drive.cogs.get(gear.cog)) else { continue };
        for (place, own) in hub.iter().enumerate() {
            let base = format!("{} x {}", gear.ring_teeth, gear.cog_teeth);
            let name = if hub.len() > 1 { format!("{base}, {}", place + 1) } else { base };
            let ratio =
                Figure::of([*ring, *cog, *own], |[ring, cog, own]| gearing::ratio(ring, cog).map(|it| it * own))?;
            let parts = [(gear.ring, *ring), (gear.cog, *cog), (place, *own)];
            let (line, crossed) = (gear.ring_teeth.to_string(), gear.crossed);
            rows.push(Row { line, name, parts, ratio, development: None, crossed, remark: String::new() });
        }
    }
    let ring = |row: &Row| drive.rings.iter().position(|it| it.value.to_string() == row.line);
    rows.sort_by(|a, b| ring(a).cmp(&ring(b)).then(a.ratio.value.total_cmp(&b.ratio.value)));
    Ok(rows)
}

/// What each two neighbouring rings share, the largest rings first.
fn overlaps(drive: &Drive) -> Answer<Vec<String>> {
    let teeth = |place: usize| drive.rings.get(place).map_or(0.0, |it| it.value);
    let said = |it: &Overlap| {
        let (big, small, from, to) = (teeth(it.larger), teeth(it.smaller), it.from, it.to);
        if from < to {
            format!("{big} and {small} overlap from {from:.2} to {to:.2}: {} gears lie there", it.gears)
        } else {
            format!("{big} and {small} do not overlap: between {to:.2} and {from:.2} there is no gear")
        }
    };
    Ok(gearing::overlaps(&drive.gears()?)?.iter().rev().map(said).collect())
}

fn chart(stages: &[Option<&Stage>]) -> Chart {
    let around = |stage: &Stage| stage.circumference.map(|it| it.value / 1000.0);
    let mut lines = Vec::new();
    let several = stages.iter().flatten().count() > 1;
    for stage in stages.iter().flatten() {
        let Some(around) = around(stage) else { continue };
        if several {
            lines.push(chart::Line { name: stage.build.clone(), gears: Vec::new() });
        }
        let mut names: Vec<&str> = stage.rows.iter().map(|it| it.line.as_str()).collect();
        names.dedup();
        for name in names {
            let own = stage.rows.iter().filter(|it| it.line == name);
            let gears = own.map(|it| {
                let label = it.name.split_once(" x ").map_or(&*it.name, |(_, cog)| cog).to_owned();
                chart::Gear { size: it.ratio.value * around, crossed: it.crossed, label }
            });
            let gears = gears.collect();
            lines.push(chart::Line { name: format!("{name:>4}"), gears });
        }
    }
    Chart { lines }
}

fn summary(before: Option<&Stage>, now: Option<&Stage>, page: &mut Page) {
    let mut section = Section::new("range", "Range", RANGE);
    let mut row = |what: &str, unit: &'static str, decimals: usize, of: &mut dyn FnMut(&Stage) -> Option<Figure>| {
        let [old, new] = [before, now].map(|stage| stage.and_then(&mut *of));
        if old.is_none() && new.is_none() {
            return;
        }
        let cell = |it: Option<Figure>| it.map_or(Cell::Nothing, |it| Cell::Of(it, unit, decimals));
        let change = old.zip(new).map(|(old, new)| Figure::change(old, new));
        section.rows.push(vec![Cell::words(what), cell(old), cell(new), cell(change)]);
    };
    row("easiest gear", "m", 2, &mut |it| it.lowest()?.development);
    row("hardest gear", "m", 2, &mut |it| it.highest()?.development);
    row("hardest against easiest", "%", 0, &mut |it| page.answer(&format!("{}, range", it.build), it.range()?));
    #[allow(clippy::cast_precision_loss)]
    row("gears", "", 0, &mut |it| Some(Figure::exact(it.rows.len() as f64)));
    #[allow(clippy::cast_precision_loss)]
    row("of them different, none crossed", "", 0, &mut |it| {
        let ratios: Vec<Figure> = it.rows.iter().map(|it| it.ratio).collect();
        Some(Figure::exact(it.different() as f64).resting_on(&ratios))
    });
    row("steepest climb in the easiest gear", "%", 1, &mut |it| it.steepest);
    page.push(section);
}

/// The sheet of these builds.
pub fn render(pages: &[Page], format: Format) -> String {
    write::sheet("gears", "Gears", pages, format)
}
