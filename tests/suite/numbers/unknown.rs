//! What is not known, not there, or of another trade: said politely, and never guessed from.

use super::*;

/// A bicycle of which nothing is decided.
pub fn undecided() -> Compiled {
    let library = super::super::house::library();
    let bicycle = library.assemblies.iter().find(|it| it.name.text == "bicycle").unwrap();
    let slots: Vec<String> = bicycle.slots.keys().map(|it| format!("  {it} = ?\n")).collect();
    let facts: Vec<String> = bicycle
        .facts
        .iter()
        .filter(|(_, id)| library[**id].default.is_none())
        .map(|(name, _)| format!("  {name} = ?\n"))
        .collect();
    let text = format!(
        "build empty : bicycle {{\n{}{}}}\nbuild nothing_written : bicycle {{ }}\nbuild later from empty {{ rider = 80 kg }}\n",
        slots.concat(),
        facts.concat()
    );
    compiled(BTreeMap::from([("empty.cotter".to_owned(), text.into_bytes())]), "empty.cotter")
}

/// What is no bicycle.
pub fn trolley() -> Compiled {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/trolley/trolley.cotter");
    super::super::fixtures::compile(&path)
}

/// Tables of a sheet.
fn tables(data: &Json) -> Vec<&str> {
    let named = ["remarks", "concerns", "refused", "unknown", "assumed", "notes", "cautions"];
    let all = data.as_object().unwrap().iter().filter(|(key, it)| it.is_array() && !named.contains(&key.as_str()));
    all.map(|(key, _)| key.as_str()).collect()
}

#[test]
fn nothing_is_computed_of_a_bike_that_nobody_decided_on() {
    let compiled = undecided();
    for build in ["empty", "nothing_written", "later"] {
        for sheet in SHEETS {
            let data = sheet.data(&compiled, build);
            let name = format!("{} of {build}", sheet.name);
            assert_eq!(tables(&data), [""; 0], "{name}");
            for said in ["remarks", "concerns", "refused", "cautions", "assumed"] {
                assert_eq!(data[said].as_array().map(Vec::len), Some(0), "{name}: {}", data[said]);
            }
            let unknown = data["unknown"].as_array().unwrap();
            // Nothing asks for a derailleur where none is meant to be.
            let derailleur = sheet.name != "indexing" || build != "nothing_written";
            assert_eq!(!unknown.is_empty(), derailleur, "{name}");
            for it in unknown {
                let fact = it["fact"].as_str().unwrap();
                assert!(!it["what"].as_str().unwrap().is_empty(), "{name}: {fact}");
                assert!(!it["measure"].as_str().unwrap().is_empty() || fact.contains('_'), "{name}: {it}");
            }
            let page = sheet.written(&compiled, build, Format::Text);
            let words =
                if derailleur { "Nothing can be computed yet: " } else { "There is no rear derailleur to index." };
            assert!(page.contains(words), "{name}:\n{page}");
        }
    }
}

#[test]
fn of_a_trolley_there_is_nothing_to_compute() {
    let compiled = trolley();
    for sheet in SHEETS {
        for build in &compiled.model.builds {
            let data = sheet.data(&compiled, &build.name.text);
            assert_eq!(tables(&data), [""; 0], "{}", sheet.name);
            for said in ["remarks", "concerns", "refused", "cautions", "assumed", "unknown"] {
                assert_eq!(data[said].as_array().map(Vec::len), Some(0), "{}: {}", sheet.name, data[said]);
            }
            assert_eq!(strings(&data, "notes").len(), 1, "{}: {}", sheet.name, data["notes"]);
            for (format, _) in [FORMATS[0], FORMATS[1]] {
                let page = sheet.written(&compiled, &build.name.text, format);
                let lines: Vec<&str> = page.lines().filter(|it| !it.is_empty()).collect();
                assert!(lines.len() <= 4, "{page}");
                assert!(page.contains("here is no") || page.contains("nothing to compute here"), "{page}");
            }
        }
    }
}

#[test]
fn a_fact_that_is_only_missing_before_is_said_of_that_bike() {
    let compiled = heron(&[]);
    let data = sheet("geometry").data(&compiled, "heron_winter");
    assert_eq!(facts(&data, "unknown"), ["pedal_edge of heron_as_bought"]);
    let page = sheet("geometry").written(&compiled, "heron_winter", Format::Text);
    assert!(page.contains("- `pedal_edge` of heron_as_bought, from the middle of the bike"), "{page}");
    let csv = sheet("geometry").written(&compiled, "heron_winter", Format::Csv);
    assert!(csv.contains("heron_winter,,,unknown,pedal_edge of heron_as_bought,"), "{csv}");
    // What is missing of both is said once.
    let compiled = heron(&[("pedal_edge        = 165 mm", "")]);
    assert_eq!(facts(&sheet("geometry").data(&compiled, "heron_winter"), "unknown"), ["pedal_edge"]);
    // Two forks are two facts.
    let other = "part other_fork : fork { material = steel; steerer = threaded(1 in, length = 182 mm, thread = 30 mm, pitch = 1/24 in); crown_race = 26.4 mm; axle_to_crown = 425 mm; dropout = open(100 mm, slot = 9 mm, opens = down); gap = 52 mm; reach = 372 mm; brake = none }\nbuild other from heron_as_bought { fork = other_fork }\n";
    let mut texts = demo("heron");
    texts.get_mut("heron.cotter").unwrap().extend_from_slice(other.as_bytes());
    let donor = String::from_utf8(texts["donor.cotter"].clone()).unwrap().replace("offset        = 47 mm", "");
    texts.insert("donor.cotter".to_owned(), donor.into_bytes());
    let data = sheet("geometry").data(&compiled_heron(texts), "other");
    let forks: Vec<String> = facts(&data, "unknown").into_iter().filter(|it| it.starts_with("fork")).collect();
    assert_eq!(forks, ["fork.offset", "fork.offset of heron_as_bought"]);
}

fn compiled_heron(texts: BTreeMap<String, Vec<u8>>) -> Compiled {
    compiled(texts, "heron.cotter")
}

#[test]
fn a_default_is_assumed_and_what_is_stated_is_not() {
    let stated = heron(&[]);
    let left_out = heron(&[
        ("  bike_mass         = 17 kg\n", ""),
        ("  pedal_edge        = 165 mm", "  pedal_depth = 12 mm; pedal_edge = 165 mm"),
    ]);
    let assumed = |compiled: &Compiled, name: &str| facts(&sheet(name).data(compiled, "heron_winter"), "assumed");
    assert_eq!(assumed(&stated, "gears"), ["cadence", "luggage", "effort", "bike_mass of heron_as_bought"]);
    assert_eq!(assumed(&left_out, "gears"), ["cadence", "bike_mass", "luggage", "effort"]);
    assert_eq!(assumed(&stated, "wheels"), ["luggage", "front_share"]);
    assert_eq!(assumed(&left_out, "wheels"), ["bike_mass", "luggage", "front_share"]);
    assert_eq!(assumed(&stated, "braking"), ["front_share", "mass_height"]);
    assert_eq!(assumed(&stated, "geometry"), ["toe_beyond", "toe_aside", "pedal_depth"]);
    assert_eq!(assumed(&left_out, "geometry"), ["toe_beyond", "toe_aside", "pedal_depth of heron_as_bought"]);
    let data = sheet("wheels").data(&left_out, "heron_winter");
    let one = &data["assumed"][0];
    assert_eq!((one["fact"].as_str(), one["value"].as_str()), (Some("bike_mass"), Some("15 kg")));
    assert_is(figure(&data, "pressure", &["front"], "load_kg"), (72.0 + 15.0) * 0.45);
    // A default of a part, and of a field that a function of the library reads.
    let data = sheet("chain").data(&curlew(&[]), "curlew_tourer");
    assert_eq!(facts(&data, "assumed"), ["rear.hub.cog_gap"]);
    assert_eq!(data["assumed"][0]["value"], "3 mm");
    assert_eq!(figure(&data, "chainline", &["46 x 11"], "cog_line_mm"), 63.7);
}

#[test]
fn a_slot_that_is_left_open_withholds_what_hangs_on_it() {
    let with = |more: &str| heron(&[("  pedal_edge        = 165 mm ", &format!("  {more}\n  pedal_edge = 165 mm "))]);
    // A second ring may be there or not.
    let compiled = heron(&[(
        "left_shifter, ring.middle, ring.small, rear.axle",
        "left_shifter, ring.middle, rear.axle\n ring.small = ?",
    )]);
    let data = sheet("gears").data(&compiled, "heron_winter");
    assert_eq!(facts(&data, "unknown"), ["ring.small"]);
    assert!(data["gears"].as_array().unwrap().iter().all(|it| it["build"] == "heron_as_bought"), "{}", data["gears"]);
    // Spacers may lift the bar or not.
    let data = sheet("geometry").data(&with("headset.spacers = ?"), "heron_winter");
    assert!(facts(&data, "unknown").contains(&"headset.spacers".to_owned()), "{}", data["unknown"]);
    assert_eq!(row(&data, "geometry", &["hands above bottom bracket"])["now"], Json::Null);
    assert!(row(&data, "geometry", &["stack"])["now_mm"].is_number());
    // A tensioner would take up the slack.
    let data = sheet("chain").data(&with("chain_tensioner = ?"), "heron_winter");
    assert_eq!(facts(&data, "unknown"), ["chain_tensioner"]);
    assert_eq!(tables(&data), ["chainline"]);
    // A guard may be there or not.
    let compiled = heron(&[("front.mudguard    = narrow_guard", "front.mudguard = ?")]);
    let data = sheet("wheels").data(&compiled, "heron_winter");
    assert_eq!(facts(&data, "unknown"), ["front.mudguard"]);
    // A pulley in the cable changes every click.
    let compiled =
        heron(&[("left_shifter     = thumb_shifter_left", "left_shifter = thumb_shifter_left\n pull_converter = ?")]);
    let data = sheet("indexing").data(&compiled, "heron_as_bought");
    assert_eq!((facts(&data, "unknown"), tables(&data).len()), (vec!["pull_converter".to_owned()], 0));
    // Which derailleur, or which lever.
    let compiled = heron(&[("rear_derailleur  = old_rear_derailleur", "rear_derailleur = ?")]);
    let data = sheet("indexing").data(&compiled, "heron_as_bought");
    assert_eq!((facts(&data, "unknown"), tables(&data).len()), (vec!["rear_derailleur".to_owned()], 0));
    let compiled = heron(&[("right_shifter    = thumb_shifter_right", "right_shifter = ?")]);
    let data = sheet("indexing").data(&compiled, "heron_as_bought");
    assert_eq!((facts(&data, "unknown"), tables(&data).len()), (vec!["right_shifter".to_owned()], 0));
}

#[test]
fn a_rider_who_is_not_known_weighs_not_nothing() {
    let compiled = heron(&[("rider            = 72 kg", "rider = ?")]);
    let data = sheet("wheels").data(&compiled, "heron_winter");
    assert_eq!((facts(&data, "unknown"), tables(&data)), (vec!["rider".to_owned()], vec!["spokes", "tyres"]));
    let data = sheet("gears").data(&compiled, "heron_winter");
    assert_eq!(facts(&data, "unknown"), ["rider"]);
    let rows = data["range"].as_array().unwrap();
    assert!(!rows.iter().any(|it| it["what"].as_str().unwrap().contains("climb")), "{rows:?}");
    // Nor does what is on the rack, and what holds the tyre is not taken for hooks.
    let compiled = heron(&[("rear_load         = 12 kg", "rear_load = ?")]);
    let data = sheet("wheels").data(&compiled, "heron_winter");
    assert_eq!(facts(&data, "unknown"), ["rear_load"]);
    assert_eq!(data["pressure"].as_array().unwrap().iter().map(|it| &it["wheel"]).collect::<Vec<_>>(), ["front"]);
    let compiled = heron(&[("edge         = hooked", "edge = ?")]);
    let data = sheet("wheels").data(&compiled, "heron_winter");
    assert_eq!(facts(&data, "unknown"), ["front.rim.edge", "rear.rim.edge"]);
    assert_eq!(tables(&data), ["spokes", "tyres"]);
}

#[test]
fn what_would_say_it_better_and_is_not_known_is_asked_for() {
    let compiled = heron(&[
        ("bike_mass         = 17 kg", "bike_mass = 17 kg; rollout.rear = ?"),
        ("wanted   = 4 bar", "wanted = 4 bar; measured_width = ?"),
    ]);
    let data = sheet("gears").data(&compiled, "heron_winter");
    assert_eq!(facts(&data, "unknown"), ["rollout.rear"]);
    assert_is(figure(&data, "gears", &["42 x 19, 4"], "development_m"), 42.0 / 19.0 * 0.686 * std::f64::consts::PI);
    let data = sheet("wheels").data(&compiled, "heron_winter");
    assert_eq!(facts(&data, "unknown"), ["front.tyre.measured_width", "rear.tyre.measured_width"]);
    assert_is(figure(&data, "tyres", &["front"], "width_on_rim_mm"), 31.2);
}

#[test]
fn a_field_that_is_not_known_is_named_and_its_plausible_range_is_no_figure() {
    let compiled = heron(&[("jis(~122 mm)", "jis(?)")]);
    let data = sheet("chain").data(&compiled, "heron_as_bought");
    assert_eq!(facts(&data, "unknown"), ["bottom_bracket.spindle.length"]);
    assert_eq!(tables(&data), ["length"]);
    let compiled = heron(&[("size     = 32-622", "size = iso(width = ?, bead = 622 mm)")]);
    for name in ["gears", "wheels", "geometry"] {
        let data = sheet(name).data(&compiled, "heron_winter");
        assert!(
            facts(&data, "unknown").iter().any(|it| it.ends_with("tyre.size.width")),
            "{name}: {}",
            data["unknown"]
        );
        assert!(!data.to_string().contains("outer_diameter_mm\":6"), "{name}");
    }
}
