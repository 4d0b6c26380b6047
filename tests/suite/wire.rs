//! The report as JSON: its form, held against `tests/check.schema.json`, and what it says, held against the compile.

use super::fixtures;
use cotter::Compiled;
use cotter::diagnose::wire;
use cotter::source::Memory;
use jsonschema::Validator;
use serde_json::{Value, json};
use std::path::Path;
use std::slice::from_ref;
use std::sync::OnceLock;

fn schema() -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/check.schema.json");
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn validator() -> Validator {
    jsonschema::draft202012::new(&schema()).unwrap()
}

/// Compiles the first of these texts; the others are there to be used.
fn compiled(texts: &[(&str, &str)]) -> Compiled {
    let sources =
        Memory { texts: texts.iter().map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec())).collect() };
    cotter::compile(&sources, texts[0].0, "").unwrap()
}

fn report(units: &[Compiled], only: Option<&str>) -> Value {
    serde_json::from_str(&wire::report(units, only)).unwrap()
}

/// Specs with something wrong in them, one kind of slip each.
pub const SLIPS: &[&str] = &[
    "",
    "part",
    "}{",
    "part f : frame { material = steal; rear.dropuot = open(126 mm); rear.gap = 46 g }",
    "part f : frame { rear.gap = 46; rear.gap = 47 mm }\npart f : frame { }",
    "part h : hub { axle = qr(1350 mm, 3, 4, 5, wide = 1 mm) }",
    "part p : seatpost { diameter = 26.8 mm .. 2 mm }",
    "build b : bicycle { }",
    "build b from c { }\nbuild c from b { }",
    "build b : bicycle { frame = nothing; wheel = nothing; remove chain }",
    "use \"other.cotter\"\nuse \"../secret.cotter\"",
    "part f : frame {\n  material = steel\n",
    "part a : fram { }\r\npart b : \u{1b}[31m { }\r\npart \u{202e} : frame { }\u{0}",
    "joint j { takes a : lenght; require j.x \"x\" { that a < 3 g; else \"no\" } }",
    "part f : frame { price = 1 EUR; mass = 99999999999999999999999 kg }",
];

/// Every fixture, every slip and a clash, compiled once for all tests that look through them.
pub fn everything() -> &'static [(String, Compiled)] {
    static ALL: OnceLock<Vec<(String, Compiled)>> = OnceLock::new();
    ALL.get_or_init(|| {
        let fixtures = fixtures::files("joints");
        let fixtures = fixtures.iter().map(|path| (path.display().to_string(), fixtures::compile(path)));
        let slips = SLIPS.iter().map(|text| ((*text).to_owned(), compiled(&[("slip.cotter", text)])));
        fixtures.chain(slips).chain([("a clash".to_owned(), clash_compiled())]).collect()
    })
}

const PAIR: &str = r#"# A hub in a frame, and no more.
assembly pair {
  slot frame : frame; slot rear.hub : hub
  join axle = axle_in_seat(axle = rear.hub.axle, seat = frame.rear.dropout, material = frame.material, hub = rear.hub, end = rear)
}
"#;

fn pair(parts: &str) -> String {
    format!("{PAIR}{parts}")
}

fn clash() -> Vec<(&'static str, String)> {
    let spec = format!(
        "use \"bin.cotter\"\n{}",
        pair(
            "part f : frame {\n  material     = steel\n  rear.dropout = open(126 mm)\n}\nbuild b : pair {\n  frame    = f\n  rear.hub = h\n}\n"
        )
    );
    vec![("spec.cotter", spec), ("bin.cotter", "part h : hub {\n  axle = qr(135 mm)\n}\n".to_owned())]
}

fn clash_compiled() -> Compiled {
    let texts = clash();
    let texts: Vec<(&str, &str)> = texts.iter().map(|(name, text)| (*name, text.as_str())).collect();
    compiled(&texts)
}

#[test]
fn a_clash_over_two_files() {
    let mut shown = String::new();
    for (name, text) in clash() {
        shown.push_str(&format!("───── {name} ─────\n{text}"));
    }
    shown.push_str(&format!("───── report ─────\n{}", wire::report(&[clash_compiled()], None)));
    insta::assert_snapshot!(shown);
}

/// Fails where a report does not keep to the schema.
pub fn keeps_to_the_schema(report: &Value) {
    let errors: Vec<String> = validator().iter_errors(report).map(|it| it.to_string()).collect();
    assert!(errors.is_empty(), "{errors:?}");
}

#[test]
fn every_report_keeps_to_the_schema() {
    assert!(jsonschema::meta::is_valid(&schema()), "the schema is a schema");
    let validator = validator();
    let (mut builds, mut diagnostics) = (0, 0);
    for (name, unit) in everything() {
        let report = report(from_ref(unit), None);
        let faults: Vec<String> =
            validator.iter_errors(&report).map(|it| format!("{} at {}", it, it.instance_path)).collect();
        assert!(faults.is_empty(), "{name}:\n{}", faults.join("\n"));
        builds += report["builds"].as_array().unwrap().len();
        diagnostics += report["diagnostics"].as_array().unwrap().len();
    }
    assert!(builds > 500 && diagnostics > 500, "{builds} builds and {diagnostics} diagnostics are too few to show it");
}

#[test]
fn the_schema_refuses_what_is_broken() {
    let validator = validator();
    let good = report(&[clash_compiled()], None);
    assert!(validator.is_valid(&good));
    // Every object of the report in turn: a key too many, and each key left out.
    let mut objects = Vec::new();
    let mut open = vec![String::new()];
    while let Some(pointer) = open.pop() {
        match good.pointer(&pointer).unwrap() {
            Value::Object(map) => {
                open.extend(map.keys().map(|key| format!("{pointer}/{key}")));
                objects.push(pointer);
            }
            Value::Array(items) => open.extend((0..items.len()).map(|at| format!("{pointer}/{at}"))),
            _ => {}
        }
    }
    assert!(objects.len() > 8, "{objects:?}");
    for pointer in &objects {
        let mut more = good.clone();
        more.pointer_mut(pointer).unwrap().as_object_mut().unwrap().insert("more".to_owned(), json!(1));
        assert!(!validator.is_valid(&more), "a key too many at {pointer}");
        for key in good.pointer(pointer).unwrap().as_object().unwrap().keys() {
            let mut less = good.clone();
            less.pointer_mut(pointer).unwrap().as_object_mut().unwrap().remove(key);
            assert!(!validator.is_valid(&less), "{key} left out at {pointer}");
        }
    }
    for (pointer, wrong) in [
        ("/schema", json!("cotter.check/2")),
        ("/builds/0/joints/0/verdict", json!("perhaps")),
        ("/builds/0/joints/0/codes", json!([])),
        ("/builds/0/joints/0/ports", json!(["a", "a"])),
        ("/builds/0/clashes", json!(-1)),
        ("/builds/0/clashes", json!("1")),
        ("/builds/0/name", json!(null)),
        ("/diagnostics/0/severity", json!("clash")),
        ("/diagnostics/0/build", json!(3)),
        ("/diagnostics/0/help", json!("take another")),
        ("/diagnostics/0/labels/0/start/line", json!(0)),
        ("/diagnostics/0/labels/0/end/column", json!(1.5)),
        ("/diagnostics/0/code", json!("a b")),
    ] {
        let mut broken = good.clone();
        *broken.pointer_mut(pointer).unwrap() = wrong.clone();
        assert!(!validator.is_valid(&broken), "{wrong} at {pointer}");
    }
}

#[test]
fn counts_and_verdicts_agree() {
    for (_, unit) in everything() {
        let report = report(from_ref(unit), None);
        for build in report["builds"].as_array().unwrap() {
            let joints = build["joints"].as_array().unwrap();
            for verdict in ["fits", "clashes", "open"] {
                let count = joints.iter().filter(|it| it["verdict"] == verdict).count();
                assert_eq!(build[verdict], count, "{verdict} of {}", build["name"]);
            }
            for joint in joints {
                let told: Vec<&Value> = report["diagnostics"]
                    .as_array()
                    .unwrap()
                    .iter()
                    .filter(|it| it["build"] == build["name"] && it["joint"] == joint["joint"])
                    .collect();
                let has = |severity: &str| told.iter().any(|it| it["severity"] == severity);
                assert_eq!(joint["verdict"] == "clashes", has("error"), "{build} {joint}");
                assert_eq!(joint["verdict"] == "open", has("warning"), "{build} {joint}");
                for it in told.iter().filter(|it| it["severity"] != "warning") {
                    assert!(joint["codes"].as_array().unwrap().contains(&it["code"]), "{it}");
                }
                if joint["verdict"] == "fits" {
                    let codes = joint["codes"].as_array().unwrap();
                    assert!(codes.iter().all(|code| told.iter().any(|it| it["code"] == *code)), "{joint}");
                }
            }
        }
    }
}

#[test]
fn places_are_those_of_an_editor() {
    // Lines end in three ways, and a column counts characters, however many bytes or columns each has.
    let text = "part a : frame { }\r\npart é名 : frame {\r  material = stéal\n}\n";
    let report = report(&[compiled(&[("a.cotter", text)])], None);
    let label = &report["diagnostics"][0]["labels"][0];
    assert_eq!(label["start"], json!({ "line": 3, "column": 14 }));
    assert_eq!(label["end"], json!({ "line": 3, "column": 19 }));
    assert_eq!(
        report["diagnostics"][0]["edits"][0],
        json!({
            "file": "a.cotter",
            "start": { "line": 3, "column": 14 },
            "end": { "line": 3, "column": 19 },
            "text": "steel",
        })
    );
    assert_eq!(report["diagnostics"][0]["build"], Value::Null);
}

#[test]
fn what_units_share_is_listed_once() {
    let bin = "part h : hub { axle = qr(135 mm); colour = red }\n";
    let own = |name: &str, build: &str| {
        let spec = format!(
            "use \"bin.cotter\"\n{}",
            pair(&format!(
                "part f : frame {{ material = steel; rear.dropout = open(126 mm) }}\nbuild {build} : pair {{ frame = f; rear.hub = h }}\n"
            ))
        );
        compiled(&[(name, &spec), ("bin.cotter", bin)])
    };
    let codes = |report: &Value| -> Vec<String> {
        report["diagnostics"].as_array().unwrap().iter().map(|it| it["code"].as_str().unwrap().to_owned()).collect()
    };
    // Two specs: the mistake in the file that both use is one, the clashes are two.
    let both = report(&[own("a.cotter", "one"), own("b.cotter", "two")], None);
    assert_eq!(
        codes(&both),
        ["fact.unknown", "axle.spacing", "axle.skewer_missing", "axle.spacing", "axle.skewer_missing"]
    );
    assert_eq!(both["builds"].as_array().unwrap().len(), 2);
    // The same spec twice says nothing twice.
    let same = report(&[own("a.cotter", "one"), own("a.cotter", "one")], None);
    assert_eq!(codes(&same), ["fact.unknown", "axle.spacing", "axle.skewer_missing"]);
    assert_eq!(same["builds"].as_array().unwrap().len(), 1);
    // Builds of one name in two files are two builds.
    let named = report(&[own("a.cotter", "one"), own("b.cotter", "one")], None);
    assert_eq!(
        codes(&named),
        ["fact.unknown", "axle.spacing", "axle.skewer_missing", "axle.spacing", "axle.skewer_missing"]
    );
    assert_eq!(named["builds"].as_array().unwrap().len(), 2);
    // One build of several: mistakes stay, what others have does not.
    let only = report(&[own("a.cotter", "one"), own("b.cotter", "two")], Some("two"));
    assert_eq!(codes(&only), ["fact.unknown", "axle.spacing", "axle.skewer_missing"]);
    assert_eq!(only["builds"][0]["name"], "two");
    assert_eq!(only["builds"].as_array().unwrap().len(), 1);
}

#[test]
fn hostile_text_stays_data_and_steers_no_terminal() {
    let text = "part f : frame { material = ste\u{9b}31mel }\npart g : frame \"\u{202e}\u{1b}\" { nothing\u{7f} = \u{2066} }\n";
    let json = wire::report(&[compiled(&[("\u{202e}\u{1b}a.cotter", text)])], None);
    let steering =
        |it: char| it != '\n' && it.is_control() || matches!(it, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    assert!(!json.chars().any(steering), "{json:?}");
    let report: Value = serde_json::from_str(&json).unwrap();
    assert_eq!(report["diagnostics"][0]["labels"][0]["file"], "\u{202e}\u{1b}a.cotter");
    assert!(json.ends_with("}\n"));
}

#[test]
fn same_spec_same_bytes() {
    assert_eq!(wire::report(&[clash_compiled()], None), wire::report(&[clash_compiled()], None));
    assert_eq!(report(&[], None), json!({ "schema": "cotter.check/1", "builds": [], "diagnostics": [] }));
}
