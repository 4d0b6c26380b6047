//! `cotter gears`: every gear of a build, what it is good for, and the gears of the bike that it comes from.

use super::drive::{self, Drive};
use super::figure::Figure;
use super::page::{Cell, Column, Page, Section, figures, hidden, words};
use super::read::Reader;
use super::{chart, write};
use crate::calc::{Answer, climb, gearing};
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
        let mut section = stage.table("Gears");
        section.chart = Some(chart(&[before.as_ref(), Some(stage)]));
        page.push(section);
    }
    summary(before.as_ref(), now.as_ref(), &mut page);
    if let Some(stage) = &before {
        let title = format!("Gears before: {}", stage.build);
        page.push(stage.table(&title));
    }
    page.notes = NOTES.to_vec();
    page
}

const NOTES: &[&str] = &[
    "Development is how far one turn of the crank goes: ratio x rolling circumference. Gear inches are the wheel of a high bicycle that goes as far; the gain ratio is how much further the bike goes than the pedal.",
    "The circumference is `rollout.rear` where it was measured, else pi x (bead seat + 2 x tyre width); a loaded tyre rolls up to 2 % less.",
    "Steps are to the next harder gear on the same ring. Crossed gears run, noisily, and wear the chain.",
    "The steepest climb is where the rider's `effort` just turns this gear at the lower `cadence`, without wind: gravity, rolling and air resistance, and what the chain loses. Below about 6 km/h balance, not power, is the limit.",
];

/// The gears of one bike.
struct Stage {
    build: String,
    rows: Vec<Row>,
    circumference: Option<Figure>,
    crank: Option<Figure>,
    cadence: (f64, f64),
    steepest: Option<Figure>,
    overlaps: Vec<String>,
}

/// A gear.
struct Row {
    line: String,
    name: String,
    ratio: f64,
    crossed: bool,
    remark: String,
}

impl Stage {
    fn read(reader: &Reader, page: &mut Page) -> Option<Stage> {
        let build = reader.model[reader.build].name.text.clone();
        let drive = Drive::read(reader);
        let circumference =
            drive::circumference(reader).and_then(|it| page.answer(&format!("{build}, rear wheel"), it));
        let crank = reader.figure("crank.length");
        let cadence = reader.range("cadence").map_or((60.0, 90.0), |(low, high)| (low * 60.0, high * 60.0));
        let masses = ["rider", "bike_mass", "luggage"].map(|it| reader.figure(it));
        let loads = ["front_load", "rear_load"].map(|it| reader.optional(it));
        let effort = reader.figure("effort");
        page.account(reader);
        let drive = drive?;
        let rows = page.answer(&build, rows(&drive))?;
        let mass = masses.iter().chain(&loads).flatten().map(|it| it.value).sum::<f64>() / 1000.0;
        let mut stage =
            Stage { build, rows, circumference, crank, cadence, steepest: None, overlaps: overlaps(&drive) };
        stage.mark_same();
        if let (Some(lowest), Some(effort)) = (stage.development(stage.lowest()), effort) {
            let watts = effort.value / 1000.0;
            let grade = |[metres]: [f64; 1]| {
                let rider = climb::Rider { total_mass_kg: mass, power_w: watts, ..climb::Rider::default() };
                climb::steepest_grade(&rider, metres, cadence.0).map(|it| it * 100.0)
            };
            let words = format!("{}, steepest climb", stage.build);
            let grade = Figure::of([lowest], grade);
            stage.steepest = page.answer(&words, grade);
        }
        Some(stage)
    }

    fn ratios(&self) -> impl Iterator<Item = f64> {
        self.rows.iter().map(|it| it.ratio)
    }

    fn lowest(&self) -> f64 {
        self.ratios().fold(f64::INFINITY, f64::min)
    }

    fn highest(&self) -> f64 {
        self.ratios().fold(0.0, f64::max)
    }

    fn development(&self, ratio: f64) -> Option<Figure> {
        Figure::of([self.circumference?], |[around]| gearing::development_m(ratio, around)).ok()
    }

    /// Gears that the rider can tell from each other, crossed ones left out.
    fn different(&self) -> usize {
        let mut all: Vec<f64> = self.rows.iter().filter(|it| !it.crossed).map(|it| it.ratio).collect();
        all.sort_by(f64::total_cmp);
        all.dedup_by(|next, kept| (*next / *kept - 1.0) * 100.0 < SAME);
        all.len()
    }

    fn mark_same(&mut self) {
        let all: Vec<(String, String, f64)> =
            self.rows.iter().map(|it| (it.line.clone(), it.name.clone(), it.ratio)).collect();
        for row in &mut self.rows {
            let like = all.iter().filter(|(line, ..)| *line != row.line);
            let near = like.map(|(_, name, ratio)| (name, (ratio / row.ratio - 1.0).abs() * 100.0));
            let near = near.filter(|(_, off)| *off < SAME).min_by(|a, b| a.1.total_cmp(&b.1));
            let same = near.map(|(name, _)| format!("as {name}"));
            let crossed = row.crossed.then(|| "crossed".to_owned());
            row.remark = crossed.into_iter().chain(same).collect::<Vec<_>>().join(", ");
        }
    }

    fn table(&self, title: &str) -> Section {
        let mut section = Section::new("gears", title, GEARS);
        for (at, row) in self.rows.iter().enumerate() {
            let next = self.rows.get(at + 1).filter(|next| next.line == row.line);
            let step = next.and_then(|next| gearing::step_percent(row.ratio, next.ratio).ok()).map(Figure::exact);
            let by = |f: &dyn Fn(f64) -> Answer| Figure::of([self.circumference?], |[around]| f(around)).ok();
            let gain = match (self.circumference, self.crank) {
                (Some(around), Some(crank)) => {
                    Figure::of([around, crank], |[around, crank]| gearing::gain_ratio(row.ratio, around, crank)).ok()
                }
                _ => None,
            };
            let speed = |rpm: f64| by(&|around| gearing::speed_kmh(gearing::development_m(row.ratio, around)?, rpm));
            section.rows.push(vec![
                Cell::words(&self.build),
                Cell::words(&row.name),
                Cell::Figure(Figure::exact(row.ratio)),
                Cell::maybe(self.development(row.ratio)),
                Cell::maybe(by(&|around| gearing::gear_inches(row.ratio, around))),
                Cell::maybe(gain),
                Cell::maybe(step),
                Cell::maybe(speed(self.cadence.0)),
                Cell::maybe(speed(self.cadence.1)),
                Cell::words(&row.remark),
            ]);
        }
        section.remarks.clone_from(&self.overlaps);
        section
    }
}

/// Gears by ring, and on each ring from the easiest to the hardest.
fn rows(drive: &Drive) -> Answer<Vec<Row>> {
    let mut rows = Vec::new();
    for gear in gearing::gears(&drive.rings, &drive.cogs)? {
        for (number, hub) in (1..).zip(&drive.hub) {
            let base = format!("{} x {}", gear.ring_teeth, gear.cog_teeth);
            let name = if drive.has_hub_gear() { format!("{base}, {number}") } else { base };
            let line = gear.ring_teeth.to_string();
            rows.push(Row { line, name, ratio: gear.ratio * hub, crossed: gear.crossed, remark: String::new() });
        }
    }
    let ring = |row: &Row| drive.rings.iter().position(|it| it.to_string() == row.line);
    rows.sort_by(|a, b| ring(a).cmp(&ring(b)).then(a.ratio.total_cmp(&b.ratio)));
    Ok(rows)
}

fn overlaps(drive: &Drive) -> Vec<String> {
    let of = |ring: f64| {
        let cogs = drive.cogs.iter().map(|cog| ring / cog);
        cogs.fold((f64::INFINITY, 0.0_f64), |(low, high), ratio| (low.min(ratio), high.max(ratio)))
    };
    let pairs = drive.rings.iter().zip(drive.rings.iter().skip(1));
    let said = pairs.map(|(big, small)| {
        let ((from, _), (_, to)) = (of(*big), of(*small));
        let inside = |ring: f64| drive.cogs.iter().filter(|cog| (from..=to).contains(&(ring / **cog))).count();
        if from < to {
            let count = inside(*big) + inside(*small);
            format!("{big} and {small} overlap from {from:.2} to {to:.2}: {count} gears lie there")
        } else {
            format!("{big} and {small} do not overlap: between {to:.2} and {from:.2} there is no gear")
        }
    });
    said.collect()
}

fn chart(stages: &[Option<&Stage>]) -> String {
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
            let gears = own.map(|it| (it.ratio * around, if it.crossed { 'x' } else { 'o' })).collect();
            lines.push(chart::Line { name: format!("{name:>4}"), gears });
        }
    }
    chart::drawn(&lines)
}

fn summary(before: Option<&Stage>, now: Option<&Stage>, page: &mut Page) {
    let mut section = Section::new("range", "Range", RANGE);
    let mut row = |what: &str, unit: &'static str, decimals: usize, of: &dyn Fn(&Stage) -> Option<Figure>| {
        let [old, new] = [before, now].map(|stage| stage.and_then(of));
        if old.is_none() && new.is_none() {
            return;
        }
        let cell = |it: Option<Figure>| it.map_or(Cell::Nothing, |it| Cell::Of(it, unit, decimals));
        let change = old.zip(new).and_then(|(old, new)| Figure::of([old, new], |[old, new]| Ok(new - old)).ok());
        section.rows.push(vec![Cell::words(what), cell(old), cell(new), cell(change)]);
    };
    row("easiest gear", "m", 2, &|it| it.development(it.lowest()));
    row("hardest gear", "m", 2, &|it| it.development(it.highest()));
    row("hardest against easiest", "%", 0, &|it| {
        gearing::range_percent(it.lowest(), it.highest()).ok().map(Figure::exact)
    });
    #[allow(clippy::cast_precision_loss)]
    row("gears", "", 0, &|it| Some(Figure::exact(it.rows.len() as f64)));
    #[allow(clippy::cast_precision_loss)]
    row("of them different, none crossed", "", 0, &|it| Some(Figure::exact(it.different() as f64)));
    row("steepest climb in the easiest gear", "%", 1, &|it| it.steepest);
    page.push(section);
}

/// The sheet of these builds.
pub fn render(pages: &[Page], format: Format) -> String {
    write::sheet("gears", "Gears", pages, format)
}
