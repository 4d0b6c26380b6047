//! Numbers that can't be: each ends in words that name them, with exit code 1, and never in a number that is none.

use super::*;
use std::process::{Command, Output};

/// That nothing on the sheet is a number that is none.
pub fn sound(name: &str, page: &str) {
    for word in page.split(|it: char| !it.is_alphanumeric()) {
        let bad = ["nan", "inf", "infinity"].contains(&word.to_lowercase().as_str());
        assert!(!bad, "{name}: `{word}`\n{page}");
    }
}

/// What can't be, on a sheet of a build; nothing else of any sheet may be a number that is none.
fn refused(compiled: &Compiled, name: &str, build: &str) -> Vec<String> {
    for sheet in SHEETS {
        for (format, word) in FORMATS {
            super::refused::sound(&format!("{}, {word}", sheet.name), &sheet.of_all(compiled, format));
        }
    }
    let data = sheet(name).data(compiled, build);
    let all: Vec<String> = strings(&data, "refused").into_iter().map(str::to_owned).collect();
    let page = sheet(name).written(compiled, build, Format::Text).replace("\n  ", " ");
    let csv = sheet(name).written(compiled, build, Format::Csv);
    for words in &all {
        assert!(page.contains(&format!("can't be computed: {words}")), "{words}\n{page}");
        assert!(csv.contains(&format!("{build},,,refused,")), "{csv}");
    }
    all
}

fn run(texts: &[(&str, &str)], arguments: &[&str]) -> Output {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in demo("heron") {
        let mut text = squeezed(&String::from_utf8(text).unwrap());
        texts.iter().for_each(|(from, to)| text = text.replace(&squeezed(from), to));
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    Command::new(env!("CARGO_BIN_EXE_cotter")).args(arguments).current_dir(folder.path()).output().unwrap()
}

#[test]
fn a_rim_smaller_than_the_flange() {
    let changes =
        [("erd          = 600 mm", "erd = 130 mm"), ("flange.left.circle  = 84 mm", "flange.left.circle = 140 mm")];
    let found = refused(&heron(&changes), "wheels", "heron_winter");
    let words = "the rim's effective diameter, 130 mm, is not larger than the flange's circle of holes, 140 mm";
    assert!(found.contains(&format!("rear wheel, left: {words}")), "{found:?}");
    assert!(found.contains(&format!("rear wheel, tension: {words}")), "{found:?}");
    // The other side is computed all the same, and the front wheel.
    let data = sheet("wheels").data(&heron(&changes), "heron_winter");
    assert!(row(&data, "spokes", &["rear", "right"])["spoke_mm"].is_number());
    assert_eq!(row(&data, "spokes", &["rear", "left"])["spoke_mm"], Json::Null);
    let output = run(&changes, &["wheels", "heron.cotter", "--build", "heron_winter"]);
    assert_eq!(output.status.code(), Some(1));
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(said.contains("of these numbers can't be computed: the sheet says why"), "{said}");
}

#[test]
fn crossings_that_no_wheel_has() {
    let changes = [(
        "holes               = 36\n  crossings           = 3\n  flange.left.circle  = 84",
        "holes = 36\n crossings = 5\n flange.left.circle = 84",
    )];
    let found = refused(&heron(&changes), "wheels", "heron_winter");
    assert_eq!(
        found,
        [
            "rear wheel, crossings: 5 crossings with 36 spokes put a spoke's ends 100° apart, so that it lies across the next head; at most 4 fit"
        ]
    );
    let odd = [(
        "holes               = 36\n  crossings           = 3\n  flange.left.circle  = 84",
        "holes = 35\n crossings = 3\n flange.left.circle = 84",
    )];
    let found = refused(&heron(&odd), "wheels", "heron_winter");
    assert_eq!(found, ["rear wheel, crossings: 35 spokes cannot be shared by two sides"]);
    assert_eq!(run(&odd, &["wheels", "heron.cotter", "--build", "heron_winter"]).status.code(), Some(1));
}

#[test]
fn a_chainstay_shorter_than_the_drop() {
    let changes =
        [("drop               = 62 mm", "drop = 120 mm"), ("chainstay.length   = 445 mm", "chainstay.length = 300 mm")];
    // The library knows no chainstay so short; the frame in which they are nearly as long is still none.
    let found = refused(&heron(&changes), "geometry", "heron_winter");
    assert!(found.is_empty(), "{found:?}");
    // What the library's own limits let pass is refused by the computation.
    let standing =
        cotter::calc::geometry::FrameShape::from_stack_and_reach(110.0, 120.0, 72.0, None, 150.0, 560.0, 390.0);
    let words = "the chainstay, 110 mm, is not longer than the bottom bracket's drop, 120 mm";
    assert_eq!(standing.unwrap_err().0, words);
}

#[test]
fn wheels_that_overlap() {
    let changes =
        [("wheelbase          = 1062 mm ± 2 mm", "wheelbase = 850 mm"), ("size     = 32-622", "size = 120-622")];
    let found = refused(&heron(&changes), "geometry", "heron_winter");
    assert_eq!(found.len(), 1, "said once, not for each measure: {found:?}");
    assert!(found[0].starts_with("heron_winter: the axles are 850 mm apart"), "{found:?}");
    assert!(found[0].ends_with("the wheels' radii add up to 862 mm: the wheels overlap"), "{found:?}");
    assert_eq!(run(&changes, &["geometry", "heron.cotter", "--build", "heron_winter"]).status.code(), Some(1));
}

#[test]
fn a_negative_trail_is_computed_and_warned_of() {
    let changes = [
        ("head.angle         = 71.5 deg ± 0.3 deg", "head.angle = 84 deg"),
        ("offset        = 47 mm", "offset = 60 mm"),
    ];
    let compiled = heron(&changes);
    assert_eq!(refused(&compiled, "geometry", "heron_winter"), [""; 0]);
    let data = sheet("geometry").data(&compiled, "heron_winter");
    let angle = 84.0_f64.to_radians();
    assert_is(figure(&data, "geometry", &["trail"], "now_mm"), (343.0 * angle.cos() - 60.0) / angle.sin());
    let concerns = strings(&data, "concerns");
    assert!(concerns.iter().any(|it| it.starts_with("the trail is negative") && it.ends_with("Not to be ridden")));
}

#[test]
fn gaps_of_the_wrong_number() {
    let changes = [("pitch  = 5.0 mm", "gaps = [5.0 mm, 5.0 mm, 5.0 mm]")];
    let found = refused(&heron(&changes), "indexing", "heron_as_bought");
    assert_eq!(found, ["cassette: 7 cogs have 6 gaps between them, 3 are stated"]);
    assert_eq!(run(&changes, &["indexing", "heron.cotter", "--build", "heron_as_bought"]).status.code(), Some(1));
}

#[test]
fn a_hub_gear_without_ratios() {
    let changes = [("  ratios              = [0.63, 0.74, 0.85, 1, 1.17, 1.35, 1.58]\n", "")];
    let compiled = heron(&changes);
    assert_eq!(refused(&compiled, "gears", "heron_winter"), [""; 0]);
    let data = sheet("gears").data(&compiled, "heron_winter");
    assert_eq!(facts(&data, "unknown"), ["rear.hub.ratios"]);
    assert!(data["unknown"][0]["measure"].as_str().unwrap().contains("count the wheel's turns"));
    assert!(data["gears"].as_array().unwrap().iter().all(|it| it["build"] == "heron_as_bought"), "none is made up");
    // One that is `?` among them, none at all, and those that no hub has.
    let with = |ratios: &str| heron(&[("[0.63, 0.74, 0.85, 1, 1.17, 1.35, 1.58]", ratios)]);
    let data = sheet("gears").data(&with("[0.63, ?, 0.85, 1, 1.17, 1.35, 1.58]"), "heron_winter");
    assert_eq!(facts(&data, "unknown"), ["rear.hub.ratios"]);
    for ratios in ["[0, 1]", "[-1, 1]", "[1, 100000]", "[0.0000001, 1]"] {
        let found = refused(&with(ratios), "gears", "heron_winter");
        assert!(!found.is_empty(), "{ratios}");
        assert!(found.iter().all(|it| it.starts_with("heron_winter, ")), "{found:?}");
    }
}

#[test]
fn a_single_cog_without_axle_way() {
    let compiled = heron(&[("  rear.travel        = 16 mm               # of the axle in its slots\n", "")]);
    let data = sheet("chain").data(&compiled, "heron_winter");
    assert_eq!(facts(&data, "unknown"), ["frame.rear.travel"]);
    assert!(data.get("fits").is_none() && data.get("length").is_some(), "{data}");
    // Hardly any way, and no even number of links within it.
    let compiled = heron(&[("rear.travel        = 16 mm", "rear.travel = 2 mm")]);
    let data = sheet("chain").data(&compiled, "heron_winter");
    let concern = strings(&data, "concerns").join("; ");
    assert_eq!(
        concern,
        "within 2 mm of axle way no even number of links is tight on 42 x 19: take a half link, or a tooth more or less"
    );
    let compiled = heron(&[("rear.travel        = 16 mm", "rear.travel = 0.1 mm")]);
    let data = sheet("chain").data(&compiled, "heron_winter");
    let concern = strings(&data, "concerns").join("; ");
    assert_eq!(
        concern,
        "within 0.1 mm of axle way no number of links is tight on 42 x 19: take other teeth, or a chain tensioner"
    );
}

#[test]
fn levers_and_derailleurs_that_are_not_indexed() {
    let note = |compiled: &Compiled, build: &str| {
        let data = sheet("indexing").data(compiled, build);
        assert!(data.get("clicks").is_none() && data.get("indexing").is_none(), "{data}");
        assert_eq!((strings(&data, "refused").len(), strings(&data, "notes").len()), (0, 1), "{data}");
        strings(&data, "notes")[0].to_owned()
    };
    let electronic = "No cable is indexed here: an electronic derailleur steps by itself.";
    assert_eq!(note(&curlew(&[]), "curlew_as_bought"), electronic);
    assert_eq!(note(&curlew(&[]), "curlew_tourer"), electronic);
    assert_eq!(note(&heron(&[]), "heron_winter"), "There is no rear derailleur to index.");
    let mixed =
        heron(&[("input       = cable(ratio = 1.7)", "input = wired(family = \"one\", line = road, speeds = 7)")]);
    assert!(note(&mixed, "heron_as_bought").starts_with("Nothing can be indexed: "));
}

#[test]
fn loads_and_tyres_beyond_the_curve() {
    let found = refused(
        &heron(&[("rear_load         = 12 kg", "rear_load = 120 kg; luggage = 100 kg")]),
        "wheels",
        "heron_winter",
    );
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].starts_with("rear tyre, pressure: the load on the wheel, 223.95 kg, "), "{found:?}");
}

#[test]
fn cogs_beyond_the_middle_of_the_bike() {
    let changes = [
        ("cog_gap     = 3.5 mm", "cog_gap = 10 mm"),
        ("pitch  = 5.0 mm", "pitch = 6.5 mm"),
        ("14-16-18-20-22-24-28", "14-15-16-17-18-19-20-21-22-23-24-28"),
    ];
    let found = refused(&heron(&changes), "chain", "heron_as_bought");
    assert_eq!(found.len(), 1, "{found:?}");
    assert!(found[0].starts_with("cogs: 12 cogs 6.5 mm apart, 10 mm in from the dropout, reach "), "{found:?}");
}

#[test]
fn a_sheet_that_can_be_computed_is_no_failure() {
    for (sheet, build) in [
        ("gears", "heron_winter"),
        ("geometry", "heron_winter"),
        ("indexing", "heron_winter"),
        ("braking", "heron_as_bought"),
    ] {
        let output = run(&[], &[sheet, "heron.cotter", "--build", build]);
        assert_eq!(output.status.code(), Some(0), "{}", String::from_utf8_lossy(&output.stderr));
    }
    // A clash in the spec is told, and the sheet is there all the same.
    let output = run(&[], &["gears", "heron.cotter", "--build", "heron_first_try"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stderr).contains("this sheet is of a spec with"));
    assert!(String::from_utf8_lossy(&output.stdout).contains("44 x 28"));
}
