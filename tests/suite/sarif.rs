//! The report as SARIF: its form, held against the standard's own schema, and what it says, held against the JSON report.

use super::wire::everything;
use cotter::Compiled;
use cotter::diagnose::{sarif, wire};
use cotter::source::Memory;
use jsonschema::Validator;
use serde_json::{Value, json};
use std::path::Path;
use std::process::Command;
use std::slice::from_ref;

/// The standard's schema; `tests/README.md` tells where it is from.
fn validator() -> Validator {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/sarif-2.1.0.schema.json");
    let schema: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    assert_eq!(schema["title"], "Static Analysis Results Format (SARIF) Version 2.1.0 JSON Schema");
    jsonschema::draft7::options().should_validate_formats(true).build(&schema).unwrap()
}

fn report(unit: &Compiled) -> Value {
    serde_json::from_str(&sarif::report(from_ref(unit), &[String::new()], None, &[])).unwrap()
}

fn compiled(text: &str) -> Compiled {
    cotter::compile(&Memory::one("ein rad/é.cotter", text), "ein rad/é.cotter", "").unwrap()
}

const SPEC: &str = "# é👼 counts three halves\npart f : frame \"👼\" { material = steal }\n";

#[test]
fn every_report_keeps_to_the_standard() {
    let validator = validator();
    let (mut results, mut related, mut fixes, mut rules) = (0, 0, 0, 0);
    for (name, unit) in everything() {
        let report = report(unit);
        let faults: Vec<String> =
            validator.iter_errors(&report).map(|it| format!("{it} at {}", it.instance_path)).collect();
        assert!(faults.is_empty(), "{name}:\n{}", faults.join("\n"));
        let driver = &report["runs"][0]["tool"]["driver"];
        for result in report["runs"][0]["results"].as_array().unwrap() {
            results += 1;
            related += usize::from(result.get("relatedLocations").is_some());
            fixes += usize::from(result.get("fixes").is_some());
            let rule = &driver["rules"][result["ruleIndex"].as_u64().unwrap() as usize];
            assert_eq!(rule["id"], result["ruleId"]);
            assert_eq!(result["locations"].as_array().unwrap().len(), 1, "{name}: each has its one place: {result}");
        }
        for rule in driver["rules"].as_array().unwrap() {
            rules += 1;
            assert_ne!(rule["shortDescription"]["text"], rule["id"], "{name}: says what it is about: {rule}");
            assert!(rule["help"]["markdown"].as_str().unwrap().len() > 60, "{name}: says more than its code: {rule}");
        }
    }
    assert!(results > 500 && related > 100 && fixes > 5 && rules > 300, "{results} {related} {fixes} {rules}");
}

#[test]
fn the_standard_refuses_what_is_broken() {
    let (validator, good) = (validator(), report(&compiled(SPEC)));
    assert!(validator.is_valid(&good));
    let location = "/runs/0/results/0/locations/0/physicalLocation";
    for (pointer, wrong) in [
        ("/version", json!("2.0.0")),
        ("/runs", json!({})),
        ("/runs/0/columnKind", json!("bytes")),
        ("/runs/0/tool", json!({})),
        ("/runs/0/results/0/level", json!("clash")),
        ("/runs/0/results/0/message", json!("words")),
        ("/runs/0/results/0/ruleIndex", json!(-2)),
        (&format!("{location}/region/startLine"), json!(0)),
        (&format!("{location}/region/startColumn"), json!(1.5)),
        (&format!("{location}/artifactLocation/uri"), json!("a b")),
        ("/runs/0/results/0/fixes/0/artifactChanges/0/replacements", json!([])),
    ] {
        let mut broken = good.clone();
        *broken.pointer_mut(pointer).unwrap_or_else(|| panic!("{pointer} is there")) = wrong.clone();
        assert!(!validator.is_valid(&broken), "{wrong} at {pointer}");
    }
}

#[test]
fn places_count_halves_of_utf_16_and_fixes_apply() {
    let result = &report(&compiled(SPEC))["runs"][0]["results"][0];
    let place = &result["locations"][0]["physicalLocation"];
    assert_eq!(place["artifactLocation"], json!({ "uri": "ein%20rad/%C3%A9.cotter", "uriBaseId": "%SRCROOT%" }));
    let region = &place["region"];
    assert_eq!(*region, json!({ "startLine": 2, "startColumn": 34, "endLine": 2, "endColumn": 39 }));
    let change = &result["fixes"][0]["artifactChanges"][0];
    assert_eq!(change["artifactLocation"], place["artifactLocation"]);
    let replacement = &change["replacements"][0];
    // The fix applied to the halves that the region counts.
    let line: Vec<u16> = SPEC.lines().nth(1).unwrap().encode_utf16().collect();
    let column = |name: &str| replacement["deletedRegion"][name].as_u64().unwrap() as usize - 1;
    let new: Vec<u16> = replacement["insertedContent"]["text"].as_str().unwrap().encode_utf16().collect();
    let fixed = [&line[..column("startColumn")], &new, &line[column("endColumn")..]].concat();
    let fixed = String::from_utf16(&fixed).unwrap();
    assert_eq!(fixed, "part f : frame \"👼\" { material = steel }");
    assert!(compiled(&fixed).diagnostics.is_empty());
}

#[test]
fn it_tells_what_the_json_report_tells() {
    for (name, unit) in everything() {
        let other: Value = serde_json::from_str(&wire::report(from_ref(unit), None)).unwrap();
        let level = |severity: &Value| match severity.as_str().unwrap() {
            "advice" => "note".to_owned(),
            other => other.to_owned(),
        };
        let mut expected: Vec<(String, String, String)> = Vec::new();
        for it in other["diagnostics"].as_array().unwrap() {
            let build = it["build"].as_str().unwrap_or("").to_owned();
            expected.push((it["code"].as_str().unwrap().to_owned(), level(&it["severity"]), build));
        }
        let mut told = Vec::new();
        for it in report(unit)["runs"][0]["results"].as_array().unwrap() {
            let builds = it["properties"]["builds"].as_array().cloned().unwrap_or_else(|| vec![json!("")]);
            for build in builds {
                let build = build.as_str().unwrap().to_owned();
                told.push((it["ruleId"].as_str().unwrap().to_owned(), it["level"].as_str().unwrap().to_owned(), build));
            }
        }
        expected.sort();
        told.sort();
        assert_eq!(told, expected, "{name}");
    }
}

#[test]
fn a_clash_as_a_code_host_reads_it() {
    let (_, clash) = everything().iter().find(|(name, _)| name == "a clash").unwrap();
    insta::assert_snapshot!(sarif::report(from_ref(clash), &[String::new()], None, &[]));
}

#[test]
fn no_path_of_the_machine_is_told_wherever_the_spec_lies() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("bikes")).unwrap();
    let path = |name: &str| folder.path().join(name).to_string_lossy().into_owned();
    for name in ["a.cotter", "bikes/b.cotter"] {
        std::fs::write(path(name), format!("{SPEC}part h : hub {{ axle = qr(135 mm) }}\n")).unwrap();
    }
    // A witness that is out of date is told too.
    std::fs::write(path("a.witness"), "# cotter witness 1\n").unwrap();
    let run = |here: &Path, paths: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_cotter"));
        let output = command.arg("check").args(paths).args(["--format", "sarif"]).current_dir(here).output().unwrap();
        assert_eq!(output.status.code(), Some(1), "{}", String::from_utf8_lossy(&output.stderr));
        let text = String::from_utf8(output.stdout).unwrap();
        assert!(!text.contains(&*folder.path().to_string_lossy()), "{text}");
        let report: Value = serde_json::from_str(&text).unwrap();
        assert!(validator().is_valid(&report));
        let told = &report["runs"][0]["invocations"][0]["toolExecutionNotifications"][0];
        assert!(told["message"]["text"].as_str().unwrap().contains("out of date"), "{told}");
        assert_eq!(told["locations"][0]["physicalLocation"]["artifactLocation"]["uri"], "a.witness");
        let results = report["runs"][0]["results"].as_array().unwrap().clone();
        let places = results.iter().map(|it| {
            let it = &it["locations"][0]["physicalLocation"]["artifactLocation"];
            format!("{} {}", it["uriBaseId"].as_str().unwrap(), it["uri"].as_str().unwrap())
        });
        (places.collect::<Vec<_>>(), report["runs"][0]["originalUriBaseIds"].as_object().unwrap().len())
    };
    let elsewhere = tempfile::tempdir().unwrap();
    let both = vec!["%SRCROOT% a.cotter".to_owned(), "%SRCROOT% bikes/b.cotter".to_owned()];
    assert_eq!(run(folder.path(), &["."]), (both.clone(), 1));
    assert_eq!(run(elsewhere.path(), &[&path("")]), (both, 1));
    assert_eq!(
        run(elsewhere.path(), &[&path("a.cotter"), &path("bikes/b.cotter")]),
        (vec!["%SRCROOT% a.cotter".to_owned(), "%SRCROOT2% b.cotter".to_owned()], 2)
    );
}
