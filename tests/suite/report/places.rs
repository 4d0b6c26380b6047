//! Places on the drawings against the figures of the sheets.

use super::{ROOT, demo, report, sound, spec};
use cotter::sheets::{Format, numbers};
use dom_query::Document;
use serde_json::Value;

/// How far a place may be off, in mm.
const OFF: f64 = 0.1;

/// The middle of a place on the side view, forward and up, and its radius.
fn place(page: &Document, name: &str) -> (f64, f64, f64) {
    let found = page.select(&format!("svg [data-place=\"{name}\"]"));
    assert_eq!(found.length(), 1, "{name}");
    let number = |key: &str| found.attr(key).unwrap().parse::<f64>().unwrap();
    (number("cx"), -number("cy"), number("r"))
}

/// What `cotter geometry` says of the build as it is now, by measure.
fn geometry(unit: &cotter::Compiled, build: &str) -> impl Fn(&str) -> f64 + use<> {
    let id = unit.model.build_named(build).unwrap();
    let text = numbers::geometry::render(&[numbers::geometry::page(&unit.model, id)], Format::Json);
    let data: Value = serde_json::from_str(&text).unwrap();
    move |measure: &str| {
        let rows = data["builds"][0]["geometry"].as_array().unwrap();
        let row = rows.iter().find(|it| it["measure"] == measure).unwrap_or_else(|| panic!("{measure}"));
        row.get("now_mm").or_else(|| row.get("now_deg")).and_then(Value::as_f64).unwrap_or_else(|| panic!("{measure}"))
    }
}

#[test]
fn the_side_view_is_that_of_the_geometry_sheet() {
    for (name, builds) in [
        ("heron", &["heron_as_bought", "heron_first_try", "heron_winter"][..]),
        ("curlew", &["curlew_as_bought", "curlew_tourer"]),
    ] {
        let unit = demo(name);
        for build in builds {
            let page = sound(&report(&unit, build).html());
            let says = geometry(&unit, build);
            let near = |what: &str, drawn: f64| {
                let told = says(what);
                assert!((drawn - told).abs() <= OFF, "{build}, {what}: drawn {drawn}, told {told}");
            };
            let (bracket, rear, front) =
                (place(&page, "bottom bracket"), place(&page, "rear axle"), place(&page, "front axle"));
            near("wheelbase", front.0 - rear.0);
            near("front centre", (front.0 - bracket.0).hypot(front.1 - bracket.1));
            near("bottom bracket height", bracket.1);
            near("bottom bracket drop", rear.1 - bracket.1);
            let (top, bottom) = (place(&page, "head tube, top"), place(&page, "head tube, bottom"));
            near("stack", top.1 - bracket.1);
            near("reach", top.0 - bracket.0);
            let angle = (top.1 - bottom.1).atan2(bottom.0 - top.0).to_degrees();
            assert!((angle - says("head angle")).abs() < 0.05, "{build}: {angle}");
            for (tyre, axle) in [("rear tyre", rear), ("front tyre", front)] {
                let tyre = place(&page, tyre);
                assert!((tyre.1 - tyre.2).abs() <= OFF, "{build}: the tyre stands on the ground");
                assert_eq!((tyre.0, tyre.1), (axle.0, axle.1));
            }
            let (hands, saddle, nose) = (place(&page, "hands"), place(&page, "saddle"), place(&page, "saddle's nose"));
            near("hands ahead of bottom bracket", hands.0 - bracket.0);
            near("hands above bottom bracket", hands.1 - bracket.1);
            near("hands below saddle", saddle.1 - hands.1);
            near("saddle's nose to hands", hands.0 - nose.0);
            let seat = (saddle.1 - bracket.1).atan2(bracket.0 - saddle.0).to_degrees();
            assert!((seat - says("seat angle")).abs() < 0.05, "{build}: {seat}");
        }
    }
}

#[test]
fn every_gear_is_on_the_chart_at_its_development() {
    let unit = demo("curlew");
    let id = unit.model.build_named("curlew_tourer").unwrap();
    let text = numbers::gears::render(&[numbers::gears::page(&unit.model, id)], Format::Json);
    let data: Value = serde_json::from_str(&text).unwrap();
    let rows = data["builds"][0]["gears"].as_array().unwrap();
    let mut sizes: Vec<f64> = rows.iter().map(|it| it["development_m"].as_f64().unwrap()).collect();
    let page = sound(&report(&unit, "curlew_tourer").html());
    let dots = page.select("svg[aria-labelledby='gears-chart-title'] circle");
    let mut places: Vec<f64> = dots.iter().map(|it| it.attr("cx").unwrap().parse().unwrap()).collect();
    assert_eq!(sizes.len(), places.len(), "both bikes, every gear");
    sizes.sort_by(f64::total_cmp);
    places.sort_by(f64::total_cmp);
    let (low, high) = (sizes[0], sizes[sizes.len() - 1]);
    let wide = places[places.len() - 1] - places[0];
    for (size, place) in sizes.iter().zip(&places) {
        let told = places[0] + (size / low).ln() / (high / low).ln() * wide;
        assert!((told - place).abs() < 0.2, "{size} m stands at {place}, not at {told}");
    }
}

#[test]
fn what_is_not_known_is_not_drawn_and_said() {
    let text = |file: &str| std::fs::read_to_string(format!("{ROOT}/specs/heron/{file}.cotter")).unwrap();
    let all: String = ["bin", "donor", "to_buy", "heron"].map(text).concat();
    let all: String = all.lines().filter(|it| !it.starts_with("use ")).map(|it| format!("{it}\n")).collect();
    let whole = sound(&report(&spec(&all), "heron_winter").html());
    assert!(whole.select("#side svg").exists());
    // Without an angle the bike does not stand; without a stem's length only its bar is left out.
    let without = |from: &str, to: &str| {
        assert!(all.contains(from), "{from}");
        sound(&report(&spec(&all.replace(from, to)), "heron_winter").html())
    };
    let page = without("head.angle         = 71.5 deg ± 0.3 deg", "head.angle         = ?");
    assert!(!page.select("#side svg").exists());
    let said = page.select("#side").text().to_string();
    assert!(said.contains("can't be drawn yet") && said.contains("frame.head.angle"), "{said}");
    let page = without("seat.length        = 580 mm", "seat.length        = ?");
    assert!(page.select("#side svg").exists());
    assert!(page.select("#side").text().contains("frame.seat.length"));
    let page = without("saddle_setback   = 55 mm", "saddle_setback   = ?");
    assert!(page.select("#side [data-place=saddle]").exists());
    assert!(!page.select("#side [data-place=\"saddle's nose\"]").exists());
    assert!(page.select("#side").text().contains("saddle_setback"));
}

#[test]
fn the_room_round_a_tyre_is_that_of_the_sheet() {
    for (name, build) in [("heron", "heron_winter"), ("heron", "heron_first_try"), ("curlew", "curlew_tourer")] {
        let unit = demo(name);
        let id = unit.model.build_named(build).unwrap();
        let text = numbers::wheels::render(&[numbers::wheels::page(&unit.model, id)], Format::Json);
        let data: Value = serde_json::from_str(&text).unwrap();
        let page = sound(&report(&unit, build).html());
        for row in data["builds"][0]["tyres"].as_array().unwrap() {
            let told = |key: &str| row[key].as_f64().unwrap();
            let drawing = page.select(&format!("svg[aria-labelledby='room-{}-title']", row["wheel"].as_str().unwrap()));
            let half: f64 = drawing.select("circle.bold").attr("r").unwrap().parse().unwrap();
            assert!((2.0 * half - told("width_on_rim_mm")).abs() <= OFF, "{build}: {half}");
            // The walls stand left and right, each with its inner face towards the tyre.
            let faces = drawing.select("path.plain").iter().take(2).map(|it| {
                let places = it.attr("d").unwrap().replace(['M', 'L', 'Z'], " ");
                let all: Vec<f64> = places.split_whitespace().map(|it| it.parse().unwrap()).collect();
                all.iter().step_by(2).map(|x| x.abs()).fold(f64::INFINITY, f64::min)
            });
            let faces: Vec<f64> = faces.collect();
            assert_eq!(faces.len(), 2);
            for face in faces {
                let room = face - half;
                assert!((room - told("side_room_mm")).abs() <= OFF, "{build}: {room} mm drawn, {row}");
            }
        }
    }
}

#[test]
fn a_guess_stays_one_on_a_drawing() {
    // The spindle of the old bracket is guessed, so that every place of its rings is.
    let page = sound(&report(&demo("heron"), "heron_as_bought").html());
    let drawing = page.select("svg[aria-labelledby='chainline-title'] text");
    let places: Vec<String> = drawing.iter().map(|it| it.text().to_string()).filter(|it| it.contains(" at ")).collect();
    assert!(places.iter().any(|it| it.starts_with("48 at ~")), "{places:?}");
    assert!(places.iter().any(|it| it.contains(" at ") && !it.contains('~')), "its cogs are measured: {places:?}");
}
