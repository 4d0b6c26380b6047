//! `cotter geometry`: how the bike stands, as it was and as it is built, and what the difference means for the rider.

use super::figure::Figure;
use super::page::{Cell, Column, Page, Section, figures, words};
use super::read::Reader;
use super::stance::Lines;
use super::write;
use crate::calc::geometry::Stance;
use crate::calc::{Answer, Refused, fit};
use crate::model::{BuildId, Model};
use crate::sheets::Format;

const LINES: &[Column] = &[
    words("measure", "measure"),
    figures("before", "before", 0),
    figures("now", "now", 0),
    figures("difference", "difference", 0),
    words("meaning", "what it means"),
];

/// A lean at which no pedal may touch yet, in degrees: 16 CFR 1512.17(c).
const LEAN_LEAST: f64 = 25.0;

/// The page of a build.
pub fn page(model: &Model, build: BuildId) -> Page {
    let reader = Reader::of(model, build);
    let mut page = Page::of(&reader);
    let now = Side::read(&reader, &mut page);
    let before = model[build].from.map(|base| Reader::of(model, base));
    let before = before.map(|reader| Side::read(&reader, &mut page)).unwrap_or_default();
    let mut section = Section::new("geometry", "Geometry", LINES);
    for measure in MEASURES {
        let find = |side: &Side| side.found.iter().find(|(key, _)| *key == measure.key).map(|(_, figure)| *figure);
        let (old, new) = (find(&before), find(&now));
        if old.is_none() && new.is_none() {
            continue;
        }
        let cell = |it: Option<Figure>| it.map_or(Cell::Nothing, |it| Cell::Of(it, measure.unit, measure.decimals));
        let change = old.zip(new).map(|(old, new)| Figure::change(old, new));
        let meaning = change.map_or("", |change| {
            if change.value.abs() < measure.felt {
                "as before"
            } else if change.value > 0.0 {
                measure.more
            } else {
                measure.less
            }
        });
        section.rows.push(vec![Cell::words(measure.key), cell(old), cell(new), cell(change), Cell::words(meaning)]);
    }
    section.remarks.extend(now.remarks);
    page.push(section);
    page.concerns.extend(now.concerns);
    page.concerns.extend(before.concerns.into_iter().filter(|it| it.contains("do not agree")));
    page.close(&reader, NOTES, CAUTIONS)
}

const NOTES: &[&str] = &[
    "Frame, fork and wheels are taken as a plane linkage standing on level ground: another fork, headset or wheel tilts the whole bike, and that tilt is solved exactly.",
    "The frame's angles and places hold for the fork and tyres that it was measured on: those of the first build with this frame, or `axle_to_crown` and `fork_offset` of the frame where they are stated.",
    "A tyre's radius is half its bead seat and its width, unless it was measured. A suspension fork counts unloaded unless its length is stated with sag.",
    "Hands are at `reach` and `rise` of the bar from its clamped middle; the saddle is set anew to the same height and setback.",
    "The lean is that of thin wheels: a wide tyre leans a little more before the pedal touches.",
];

const CAUTIONS: &[&str] = &[
    "A bike that stands differently steers and leans differently: the first ride is slow, on open ground, and a qualified mechanic decides about forks much longer than the frame was made for.",
];

/// A measure of the sheet, and what more or less of it means.
struct Measure {
    key: &'static str,
    unit: &'static str,
    decimals: usize,
    /// A difference that a rider would notice: common practice, no source.
    felt: f64,
    more: &'static str,
    less: &'static str,
}

const fn measure(
    key: &'static str,
    unit: &'static str,
    decimals: usize,
    felt: f64,
    more: &'static str,
    less: &'static str,
) -> Measure {
    Measure { key, unit, decimals, felt, more, less }
}

const MEASURES: &[Measure] = &[
    measure("head angle", "°", 1, 0.3, "steeper: steers more quickly", "slacker: steers more slowly"),
    measure(
        "seat angle",
        "°",
        1,
        0.3,
        "saddle tips forward: set it further back",
        "saddle tips back: set it further forward",
    ),
    measure("trail", "mm", 1, 3.0, "steadier, heavier steering", "lighter, less steady steering"),
    measure(
        "wheel flop",
        "mm",
        1,
        1.5,
        "the bar falls to the side more at walking pace",
        "the bar falls to the side less",
    ),
    measure("wheelbase", "mm", 0, 8.0, "steadier, turns wider", "livelier, turns tighter"),
    measure("front centre", "mm", 0, 5.0, "more room for the toes", "less room for the toes"),
    measure(
        "bottom bracket height",
        "mm",
        0,
        4.0,
        "pedals clear more; further to the ground",
        "pedals strike sooner; nearer to the ground",
    ),
    measure("bottom bracket drop", "mm", 0, 4.0, "sits deeper between the wheels", "sits higher between the wheels"),
    measure("stack", "mm", 0, 4.0, "head tube higher over the pedals", "head tube lower over the pedals"),
    measure("reach", "mm", 0, 4.0, "head tube further ahead of the pedals", "head tube nearer to the pedals"),
    measure("effective top tube", "mm", 0, 5.0, "longer when seated", "shorter when seated"),
    measure(
        "lean before a pedal touches",
        "°",
        1,
        1.0,
        "leans further in bends",
        "leans less far in bends with a pedal down",
    ),
    measure("pedal to front tyre", "mm", 0, 5.0, "more room for the toes", "less room for the toes"),
    measure("hands ahead of bottom bracket", "mm", 0, 8.0, "more stretched", "more upright"),
    measure("hands above bottom bracket", "mm", 0, 8.0, "more upright", "lower in front"),
    measure("saddle's nose to hands", "mm", 0, 8.0, "more stretched", "shorter"),
    measure("hands below saddle", "mm", 0, 8.0, "lower in front", "more upright"),
];

/// A measure that every stance has.
type Plain = (&'static str, fn(&Stance) -> f64);

/// What one bike measures.
#[derive(Default)]
struct Side {
    found: Vec<(&'static str, Figure)>,
    concerns: Vec<String>,
    remarks: Vec<String>,
}

impl Side {
    fn read(reader: &Reader, page: &mut Page) -> Side {
        let mut side = Side::default();
        let lines = Lines::read(reader);
        if let Some(lines) = &lines {
            side.stand(reader, lines, page);
        }
        page.account(reader);
        side
    }

    fn put(&mut self, page: &mut Page, build: &str, key: &'static str, answer: Answer<Figure>) -> Option<Figure> {
        let figure = page.answer(&format!("{build}, {key}"), answer)?;
        self.found.push((key, figure));
        Some(figure)
    }

    fn stand(&mut self, reader: &Reader, lines: &Lines, page: &mut Page) {
        let build = reader.model[reader.build].name.text.as_str();
        // If the bike can't stand at all, that is said once and not for each of its measures.
        if page.answer(build, lines.figure(|it| Ok(it.wheelbase))).is_none() {
            return;
        }
        let plain: [Plain; 9] = [
            ("head angle", |it| it.head_angle),
            ("trail", |it| it.trail),
            ("wheel flop", |it| it.flop),
            ("wheelbase", |it| it.wheelbase),
            ("front centre", |it| it.front_centre),
            ("bottom bracket height", |it| it.bb_height),
            ("bottom bracket drop", |it| it.bb_drop),
            ("stack", |it| it.stack),
            ("reach", |it| it.reach),
        ];
        for (key, of) in plain {
            self.put(page, build, key, lines.figure(|it| Ok(of(it))));
        }
        if reader.figure("frame.seat.angle").is_some() {
            self.put(page, build, "seat angle", lines.figure(|it| known(it.seat_angle)));
            self.put(page, build, "effective top tube", lines.figure(|it| known(it.effective_top_tube)));
        }
        if self.of("trail").is_some_and(|it| it.value < 0.0) {
            self.concerns.push(
                "the trail is negative: the front wheel turns itself away from straight ahead. Not to be ridden"
                    .to_owned(),
            );
        }
        if let Some(tilt) = lines.disagreement().filter(|it| *it > AGREED) {
            self.concerns.push(format!(
                "{build}: the frame's lines do not agree with its fork and tyres, it would stand {tilt:.1}° off as it was measured: measure stack, drop, head tube and fork again"
            ));
        }
        self.feet(reader, lines, page, build);
        self.rider(reader, lines, page, build);
    }

    fn feet(&mut self, reader: &Reader, lines: &Lines, page: &mut Page, build: &str) {
        let Some(crank) = reader.figure("crank.length") else { return };
        let rule = |function| reader.library(function, &[]).map(|it| it.value);
        // A slot left open may hold a mudguard or not: then nobody knows how near the foot comes.
        let guard = match reader.has("front.mudguard") {
            Some(true) => rule("guard_height"),
            Some(false) => Some(0.0),
            None => None,
        };
        let (Some(guard), Some(least), Some(steering)) = (guard, rule("toe_least"), rule("most_steering")) else {
            return self.lean(reader, lines, page, build, crank);
        };
        let toe = lines.figure_with([crank], |it, [crank]| {
            let drop = it.ground_y + it.front_radius;
            fit::toe_clearance_mm(it.front_centre, drop, it.front_radius + guard, crank)
        });
        if guard > 0.0 {
            self.remarks.push(format!("The mudguard is taken to stand {guard:.0} mm over the tyre (common practice)."));
        }
        let held = reader.member("feet") == Some("held");
        let toe = self.put(page, build, "pedal to front tyre", toe);
        if let Some(toe) = toe.filter(|it| it.low < least && !held) {
            let near = if toe.low < 0.0 {
                format!("a pedal comes {} mm into the front tyre", toe.scaled(-1.0).shown(1))
            } else {
                format!("a pedal comes within {} mm of the front tyre", toe.shown(1))
            };
            self.concerns.push(format!(
                "{near}: shoes overlap it in slow bends (16 CFR 1512.17(d) asks {least:.0} mm where feet are not held)"
            ));
        }
        let shoe = (reader.figure("toe_beyond"), reader.figure("toe_aside"));
        let width = reader.figure("front.tyre.size.width");
        if let ((Some(beyond), Some(aside)), Some(width)) = (shoe, width) {
            let nearest = lines.stance_now().and_then(|stance| {
                let toe = fit::Toe {
                    crank: crank.value,
                    beyond_spindle: beyond.value,
                    lateral: aside.value,
                    tyre_radius: stance.front_radius + guard,
                    tyre_width: width.value,
                    most_steering: steering,
                };
                fit::toe_clearance_steered(&stance, &toe)
            });
            if let Some(nearest) = page.answer(&format!("{build}, toe"), nearest) {
                let mark = Figure::exact(nearest.distance).resting_on(&[crank, beyond, aside, width]);
                let places = ["head angle", "trail", "front centre", "bottom bracket height"];
                let places: Vec<Figure> = places.iter().filter_map(|key| self.of(key)).collect();
                let mark = mark.resting_on(&places).mark();
                self.remarks.push(if nearest.distance <= 0.0 {
                    let turned = nearest.steering.abs();
                    format!("The shoe touches the front tyre with the bar turned by {mark}{turned:.0}°.")
                } else {
                    let clear = nearest.distance;
                    format!("With the bar turned, the shoe stays {mark}{clear:.0} mm clear of the front tyre.")
                });
            }
        }
        self.lean(reader, lines, page, build, crank);
    }

    fn lean(&mut self, reader: &Reader, lines: &Lines, page: &mut Page, build: &str, crank: Figure) {
        if let (Some(edge), Some(depth)) = (reader.figure("pedal_edge"), reader.figure("pedal_depth")) {
            let lean = lines.figure_with([crank, depth, edge], |it, [crank, depth, edge]| {
                fit::lean_deg(it.bb_height, crank, depth, edge)
            });
            let lean = self.put(page, build, "lean before a pedal touches", lean);
            if let Some(lean) = lean.filter(|it| it.low < LEAN_LEAST) {
                self.concerns.push(format!(
                    "a pedal touches the ground at {}° of lean; 16 CFR 1512.17(c) asks {LEAN_LEAST:.0}°",
                    lean.shown(1)
                ));
            }
        }
    }

    fn rider(&mut self, reader: &Reader, lines: &Lines, page: &mut Page, build: &str) {
        let Some(hands) = lines.hands() else { return };
        let Some([ahead, above]) = page.answer(&format!("{build}, hands"), hands) else { return };
        self.found.push(("hands ahead of bottom bracket", ahead));
        self.found.push(("hands above bottom bracket", above));
        let (height, setback) = (reader.figure("saddle_height"), reader.figure("saddle_setback"));
        if let Some(setback) = setback {
            let reach = Figure::of([ahead, setback], |[ahead, setback]| Ok(ahead + setback));
            self.put(page, build, "saddle's nose to hands", reach);
        }
        if let (Some(height), Some(angle)) = (height, self.of("seat angle")) {
            let drop = Figure::of([height, angle, above], |[height, angle, above]| {
                Ok(fit::saddle_point(angle, height, 0.0)?.y - above)
            });
            self.put(page, build, "hands below saddle", drop);
        }
    }

    fn of(&self, key: &str) -> Option<Figure> {
        self.found.iter().find(|(own, _)| *own == key).map(|(_, figure)| *figure)
    }
}

/// How far a frame may stand off its own measures, in degrees, before that is told: as well as angles are measured.
const AGREED: f64 = 0.3;

fn known(value: Option<f64>) -> Answer {
    value.ok_or_else(|| Refused("the seat angle is not known".to_owned()))
}

/// The sheet of these builds.
pub fn render(pages: &[Page], format: Format) -> String {
    write::sheet("geometry", "Geometry", pages, format)
}
