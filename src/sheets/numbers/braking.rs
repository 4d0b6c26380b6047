//! `cotter braking`: what levers, brakes and rotors multiply, and how hard the bike can be braked before it tips.

use super::figure::{Figure, Standing};
use super::given::Given::Path;
use super::page::{Cell, Column, Page, Section, figures, words};
use super::read::Reader;
use super::stance;
use super::write;
use crate::calc::{Answer, braking};
use crate::model::{BuildId, Model};
use crate::sheets::Format;

const LINES: &[Column] = &[
    words("measure", "measure"),
    figures("before", "before", 0),
    figures("now", "now", 0),
    figures("difference", "difference", 0),
    words("remark", "remark"),
];

/// Way of the finger that is looked at, in mm.
const FINGER: f64 = 30.0;
/// The stop that 16 CFR 1512.5(b) asks of hand brakes: from 24 km/h (15 mph) within 4.57 m (15 ft).
const ASKED: (f64, f64) = (24.0, 4.57);

/// The page of a build.
pub fn page(model: &Model, build: BuildId) -> Page {
    let reader = Reader::of(model, build);
    let mut page = Page::of(&reader);
    let now = found(&reader, &mut page);
    let before = model[build].from.map(|base| found(&Reader::of(model, base), &mut page)).unwrap_or_default();
    let mut section = Section::new("braking", "Braking", LINES);
    let mut keys: Vec<&str> = now.iter().chain(&before).map(|it| it.what.as_str()).collect();
    let mut seen: Vec<&str> = Vec::new();
    keys.retain(|key| {
        !seen.contains(key) && {
            seen.push(key);
            true
        }
    });
    for key in keys {
        let find = |side: &[Found]| side.iter().find(|it| it.what == key).map(|it| (it.figure, it.unit, it.decimals));
        let (old, new) = (find(&before), find(&now));
        let cell = |it: Option<(Figure, &'static str, usize)>| {
            it.map_or(Cell::Nothing, |(it, unit, at)| Cell::Of(it, unit, at))
        };
        let change = old.zip(new).map(|((old, ..), (new, unit, decimals))| (Figure::change(old, new), unit, decimals));
        let remark = now.iter().chain(&before).find(|it| it.what == key).map_or("", |it| it.remark);
        section.rows.push(vec![Cell::words(key), cell(old), cell(new), cell(change), Cell::words(remark)]);
    }
    for end in ["front", "rear"] {
        let rotor = |side: &[Found]| side.iter().find(|it| it.what == format!("{end} rotor")).map(|it| it.figure);
        if let (Some(old), Some(new)) = (rotor(&before), rotor(&now))
            && let Some(ratio) = page.answer(
                &format!("{end} rotor"),
                Figure::of([new, old], |[new, old]| braking::rotor_torque_ratio(new, old)),
            )
            && (ratio.value - 1.0).abs() > 0.001
        {
            let (mark, percent) = (ratio.mark(), (ratio.value - 1.0) * 100.0);
            section.remarks.push(format!("{end} rotor: {mark}{percent:+.0} % torque at the same clamping force, and as much more or less load on the caliper's mount."));
        }
    }
    page.push(section);
    page.close(&reader, NOTES, CAUTIONS)
}

const NOTES: &[&str] = &[
    "A lever multiplies force by pivot to finger over pivot to cable, and divides way by the same. Where nobody measured it, the range of its class stands there: short pull 4.5 to 5.1, long pull 1.6 to 2.6 (bicycles.stackexchange.com 71954; urbanvelo.org issue 21).",
    "At the same clamping force a rotor's braking torque grows with its radius.",
    "The rear wheel lifts where the deceleration is g x (centre of mass behind the front contact) / (its height); from there on no brake stops the bike sooner. Sitting back and low helps. What is on a rack is not in it.",
    "No figure is given for a hydraulic brake's volumes: pistons of lever and caliper belong together by family, not by arithmetic.",
];

const CAUTIONS: &[&str] = &[
    "Numbers do not stop a bike. Before the first ride both brakes must lock a pushed wheel; then try them on a slope on foot. A qualified mechanic looks at them before the road.",
];

struct Found {
    what: String,
    figure: Figure,
    unit: &'static str,
    decimals: usize,
    remark: &'static str,
}

fn found(reader: &Reader, page: &mut Page) -> Vec<Found> {
    let mut all = Vec::new();
    for end in ["front", "rear"] {
        lever(reader, end, page, &mut all);
        if let Some(figure) = reader.if_it_has(&format!("{end}.rotor.diameter")) {
            all.push(Found { what: format!("{end} rotor"), figure, unit: "mm", decimals: 0, remark: "" });
        }
    }
    stop(reader, page, &mut all);
    page.account(reader);
    all
}

fn lever(reader: &Reader, end: &str, page: &mut Page, all: &mut Vec<Found>) {
    let own = reader.optional(&format!("{end}.lever.advantage"));
    let pull = format!("{end}.lever.brake_output.pull");
    let class = |function| reader.member(&pull).and_then(|_| reader.library(function, &[Path(&pull)]));
    let usual = class("lever_least").zip(class("lever_most"));
    let usual = usual.map(|(low, high)| Figure::between(low.value, high.value, Standing::Assumed));
    let Some(lever) = own.or(usual) else {
        // What it gives may be a cable; whether there is a lever at all, nobody knows where the slot is left open.
        let output = format!("{end}.lever.brake_output");
        if reader.is_open(&output) {
            reader.miss::<()>(&output);
        }
        return;
    };
    let mut put = |page: &mut Page, what: String, answer: Answer<Figure>, unit, remark| {
        if let Some(figure) = page.answer(&what, answer) {
            all.push(Found { what, figure, unit, decimals: 1, remark });
        }
    };
    put(page, format!("{end} lever multiplies by"), Ok(lever), "", "");
    let cable = Figure::of([lever], |[lever]| braking::cable_travel_mm(FINGER, lever));
    put(page, format!("{end} cable moves"), cable, "mm", "for 30 mm at the finger");
    // A pulley in the cable multiplies way and divides force by a factor that nobody has stated.
    let pulley = reader.has(&format!("{end}.pull_adapter")) != Some(false);
    if let Some(brake) = reader.optional(&format!("{end}.brake.advantage")).filter(|_| !pulley) {
        let whole = Figure::of([lever, brake], |[lever, brake]| braking::system_advantage(lever, brake));
        put(page, format!("{end} finger to pads, force"), whole, "", "times, at all pads that move together");
        let pads = Figure::of([lever, brake], |[lever, brake]| {
            braking::pad_travel_mm(braking::cable_travel_mm(FINGER, lever)?, brake)
        });
        put(page, format!("{end} pads move"), pads, "mm", "for 30 mm at the finger; pads want 1.5 to 2 mm to the rim");
    }
}

fn stop(reader: &Reader, page: &mut Page, all: &mut Vec<Found>) {
    let (share, height) = (reader.figure("front_share"), reader.figure("mass_height"));
    let wheelbase = stance::wheelbase(reader).and_then(|it| page.answer("wheelbase", it));
    let (Some(wheelbase), Some(share), Some(height)) = (wheelbase, share, height) else { return };
    let inputs = [wheelbase, share, height];
    let asked = braking::deceleration_ms2(ASKED.0, ASKED.1);
    let Some(asked) = page.answer("stop", asked) else { return };
    let mut put = |page: &mut Page, what: &str, answer: Answer<Figure>, unit, remark| {
        let figure = page.answer(what, answer);
        let decimals = usize::from(unit != "%");
        all.extend(figure.map(|figure| Found { what: what.to_owned(), figure, unit, decimals, remark }));
    };
    let remark = "from 24 km/h within 4.57 m: 16 CFR 1512.5(b)";
    put(page, "stop that is asked", Ok(Figure::exact(asked)), "m/s²", remark);
    let most = Figure::of(inputs, |[wheelbase, share, height]| {
        braking::pitchover_deceleration_ms2(wheelbase * (1.0 - share), height)
    });
    let reaches = most.as_ref().is_ok_and(|it| it.low > asked);
    let remark = if reaches { "seated, on the level" } else { EARLY };
    put(page, "rear wheel lifts at", most, "m/s²", remark);
    if reaches {
        let carried = Figure::of(inputs, |[wheelbase, share, height]| {
            Ok(braking::front_wheel_share(wheelbase * (1.0 - share), height, wheelbase, asked)? * 100.0)
        });
        let remark = "of the weight: the front brake does that part of the work";
        put(page, "front wheel carries in that stop", carried, "%", remark);
    }
}

/// Said where the rear wheel lifts before the bike stops as it is asked.
const EARLY: &str = "seated, on the level: before the bike slows as is asked, unless the rider moves back and low";

/// The sheet of these builds.
pub fn render(pages: &[Page], format: Format) -> String {
    write::sheet("braking", "Braking", pages, format)
}
