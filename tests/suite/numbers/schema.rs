//! The sheets as JSON, held against `tests/numbers.schema.json`.

use super::*;
use jsonschema::Validator;
use serde_json::json;

fn schema() -> Json {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/numbers.schema.json");
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

pub fn validator() -> Validator {
    jsonschema::draft202012::new(&schema()).unwrap()
}

/// What is wrong with the form of a sheet.
pub fn faults(validator: &Validator, data: &Json) -> Vec<String> {
    let mut faults: Vec<String> =
        validator.iter_errors(data).map(|it| format!("{it} at {}", it.instance_path)).collect();
    for build in data["builds"].as_array().into_iter().flatten() {
        let tables = build.as_object().unwrap().values().filter_map(Json::as_array);
        for row in tables.flatten().filter_map(Json::as_object) {
            for (key, value) in row {
                // The companions of a figure stand beside it, both or none, and it lies between them.
                let beside = |end: &str| row.get(&format!("{key}_{end}")).map(|it| it.as_f64().unwrap());
                match (beside("low"), beside("high"), value.as_f64()) {
                    (None, None, _) => {}
                    (Some(low), Some(high), Some(value)) if low <= value && value <= high => {}
                    other => faults.push(format!("{key}: {other:?}")),
                }
                let companion = ["_low", "_high", "_estimated"].iter().find_map(|it| key.strip_suffix(it));
                if companion.is_some_and(|of| !row.get(of).is_some_and(Json::is_number)) {
                    faults.push(format!("{key} stands beside no figure"));
                }
            }
        }
    }
    faults
}

#[test]
fn every_sheet_keeps_to_the_schema() {
    assert!(jsonschema::meta::is_valid(&schema()), "the schema is a schema");
    let validator = validator();
    let demos = [heron(&[]), curlew(&[]), super::unknown::undecided(), super::unknown::trolley()];
    let (mut rows, mut ends, mut guesses) = (0, 0, 0);
    for compiled in &demos {
        for sheet in SHEETS {
            let text = sheet.of_all(compiled, Format::Json);
            let data: Json = serde_json::from_str(&text).unwrap();
            let faults = faults(&validator, &data);
            assert!(faults.is_empty(), "{}:\n{}", sheet.name, faults.join("\n"));
            assert_eq!(data["schema"], format!("cotter.{}/1", sheet.name));
            assert_eq!(data["builds"].as_array().unwrap().len(), compiled.builds.len());
            rows += text.matches('{').count();
            ends += text.matches("_low\"").count();
            guesses += text.matches("_estimated\": true").count();
        }
    }
    assert!(
        rows > 300 && ends > 50 && guesses > 20,
        "{rows} rows, {ends} tolerances, {guesses} guesses show too little"
    );
}

#[test]
fn the_schema_refuses_what_is_broken() {
    let validator = validator();
    let compiled = heron(&[]);
    let good: Json = serde_json::from_str(&sheet("geometry").written(&compiled, "heron_winter", Format::Json)).unwrap();
    assert_eq!(faults(&validator, &good), [""; 0]);
    let broken = |change: &dyn Fn(&mut Json)| {
        let mut data = good.clone();
        change(&mut data);
        assert_ne!(data, good, "nothing was broken");
        assert!(!faults(&validator, &data).is_empty(), "{data}");
    };
    broken(&|it| it["schema"] = json!("cotter.geometry/2"));
    broken(&|it| it["schema"] = json!("cotter.check/1"));
    broken(&|it| it["builds"][0]["unknown"][0]["measure"] = Json::Null);
    broken(&|it| drop(it["builds"][0]["unknown"][0].as_object_mut().unwrap().remove("build")));
    broken(&|it| drop(it["builds"][0].as_object_mut().unwrap().remove("refused")));
    broken(&|it| it["builds"][0]["geometry"] = json!([]));
    broken(&|it| it["builds"][0]["other"] = json!([]));
    broken(&|it| it["builds"][0]["geometry"][0]["now"] = json!("71.5"));
    broken(&|it| it["builds"][0]["geometry"][0]["now_furlongs"] = json!(1));
    broken(&|it| it["builds"][0]["geometry"][0]["now_deg_estimated"] = json!(false));
    broken(&|it| it["builds"][0]["geometry"][0]["now_mm_estimated"] = json!(true));
    broken(&|it| it["builds"][0]["geometry"][0]["now_deg_low"] = json!(80));
    broken(&|it| drop(it["builds"][0]["geometry"][0].as_object_mut().unwrap().remove("now_deg_low")));
    broken(&|it| it["builds"][0]["assumed"][0]["value"] = json!(110));
}
