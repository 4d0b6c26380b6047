//! The list: how it looks, what stands on it, and in which order.

use super::Spec;
use crate::fixtures;
use cotter::Compiled;
use cotter::editing::Texts;
use cotter::judge::Verdict;
use cotter::model::State;
use cotter::sheets::Format;
use cotter::sheets::measure::{MeasureList, render};
use serde_json::Value as Json;
use std::collections::BTreeSet;
use std::path::Path;

const FORMATS: [(Format, &str); 4] =
    [(Format::Text, "text"), (Format::Markdown, "markdown"), (Format::Csv, "csv"), (Format::Json, "json")];

fn lists(compiled: &Compiled, only: &[&str]) -> Vec<MeasureList> {
    let all = compiled.builds.iter().map(|build| MeasureList::of(&compiled.model, build));
    all.filter(|it| only.is_empty() || only.contains(&it.build.as_str())).collect()
}

fn compiled(text: &str) -> Compiled {
    let compiled = Spec::of(&[("a.cotter", text)]).compiled(&Texts::new());
    let mistakes: Vec<&str> =
        compiled.diagnostics.iter().filter(|it| it.build.is_none()).map(|it| it.message.as_str()).collect();
    assert!(mistakes.is_empty(), "{mistakes:?}");
    compiled
}

#[test]
fn the_demos_look_as_they_should() {
    for (demo, builds) in [("heron", &["heron_as_bought", "heron_winter"][..]), ("curlew", &["curlew_as_bought"])] {
        let compiled = Spec::demo(demo).compiled(&Texts::new());
        let lists = lists(&compiled, builds);
        for (format, word) in FORMATS {
            let rendered = render(&lists, format);
            insta::with_settings!({
                description => format!("cotter measure specs/{demo} --format {word}, of {}", builds.join(" and ")),
                omit_expression => true,
                snapshot_path => "../snapshots",
            }, {
                insta::assert_snapshot!(format!("{demo}_{word}"), rendered);
            });
        }
    }
}

#[test]
fn choices_look_as_they_should() {
    let page = render(&lists(&compiled(RANKED), &["ranked", "settled", "wrong"]), Format::Text);
    insta::with_settings!({ omit_expression => true, snapshot_path => "../snapshots" }, {
        insta::assert_snapshot!(format!("{RANKED}───── cotter measure ─────\n{page}"));
    });
}

/// Facts `a` to `f`, with more or less hanging on each.
const RANKED: &str = r#"standalone
caution beware "It falls on a foot."
kind thing "a thing" {
  fact source? : from "where it is from"
  fact price? : money "what it costs"
  fact a : length 0 mm .. 100 mm "plain" { measure "across"; tool "calliper" }
  fact b : length 0 mm .. 100 mm "of two joints"
  fact c : length 0 mm .. 100 mm "with money"
  fact d : length 0 mm .. 100 mm "with more money"
  fact e : length 0 mm .. 100 mm "of safety"
  fact f : length 0 mm .. 100 mm "also plain" { measure "along with a rule"; tool "rule, plumb" }
  source practice
}
choice from "where" { donor; bin; buy; source practice }
joint plain "plain" { takes x : length; require x.plain "x is small" { that x < 10 mm; else "no"; why "so"; source practice } }
joint parts "with another" { takes x : length; takes y : thing; require x.parts "x is small beside y" { that x < 20 mm; else "no"; why "so"; source practice } }
joint wary "to beware of" { takes x : length; require x.wary "x is safe" { that x < 30 mm; else "no"; why "so"; caution beware; source practice } }
assembly lot "a lot" {
  slot one : thing "the one"
  slot two? : thing "the two"
  slot three? : thing "the three"
  slot four? : thing | other "the four"
  join one_a "a" = plain(x = one.a)
  join one_f "f" = plain(x = one.f)
  join one_b "b" = plain(x = one.b)
  join again_b "b again" = plain(x = one.b)
  join one_c "c" = parts(x = one.c, y = two)
  join one_d "d" = parts(x = one.d, y = three)
  join one_e "e" = wary(x = one.e)
  join four_a "four" = plain(x = four.a)
}
kind other "another" { fact a : length 0 mm .. 100 mm; source practice }
part it : thing "it" { a = ?; b = ~5 mm; d = 19 mm ± 2 mm; f = 9 mm .. 11 mm }
part cheap : thing { source = buy; price = 9.90 EUR; a = 1 mm }
part dear : thing { source = buy; price = ~100.05 EUR; a = 1 mm }
build ranked : lot "to be measured" { one = it; two = cheap; three = dear; four = ? }
build known : lot { one = cheap }
build settled : lot { one = sound }
part sound : thing { a = 1 mm; b = 1 mm; c = 1 mm; d = 1 mm; e = 1 mm; f = 1 mm }
build wrong : lot { one = large }
part large : thing { a = 90 mm; b = 1 mm; c = 1 mm; d = 1 mm; e = 1 mm; f = 1 mm }
"#;

#[test]
fn safety_comes_first_then_joints_then_money_then_order() {
    let compiled = compiled(RANKED);
    let all = lists(&compiled, &["ranked"]);
    let list = &all[0];
    let order: Vec<&str> = list.readings.iter().map(|it| it.fact.as_str()).collect();
    assert_eq!(order, ["e", "b", "d", "c", "a", "f"]);
    let money: Vec<Vec<String>> =
        list.readings.iter().map(|it| it.stake.money.iter().map(|it| it.to_string()).collect()).collect();
    assert_eq!(money, [vec![], vec![], vec!["~100.05 EUR".to_owned()], vec!["9.90 EUR".to_owned()], vec![], vec![]]);
    let states: Vec<State> = list.readings.iter().map(|it| it.state).collect();
    use State::{Estimated, Given, Missing, Unknown};
    assert_eq!(states, [Missing, Estimated, Given, Missing, Unknown, Given]);
    let fits: Vec<&str> = list.readings.iter().map(|it| it.joints[0].fits[0].as_str()).collect();
    assert!(fits[0].starts_with("29.9") && fits[0].ends_with(" mm or less"), "{fits:?}");
    let tools: Vec<(Option<&str>, Vec<usize>)> = list.tools();
    assert_eq!(
        tools,
        [(Some("calliper"), vec![5]), (Some("rule"), vec![6]), (Some("plumb"), vec![6]), (None, vec![1, 2, 3, 4])]
    );
    assert_eq!(list.choices.len(), 1);
    assert_eq!((list.choices[0].slot.as_str(), list.choices[0].joints.len()), ("four", 1));
    assert_eq!(list.choices[0].kinds, ["thing", "other"]);
}

#[test]
fn a_build_with_nothing_to_measure_says_so_in_a_line() {
    let compiled = compiled(RANKED);
    let page = |build: &str| render(&lists(&compiled, &[build]), Format::Text);
    let last = |build: &str| page(build).lines().last().unwrap().to_owned();
    assert_eq!(last("settled"), "No joint is open: all joints fit.");
    assert_eq!(
        last("wrong"),
        "No joint is open: nothing is left to measure. 1 joint CLASHES whatever is measured (cotter check)."
    );
}

#[test]
fn every_fact_that_an_open_joint_hangs_on_stands_there_once() {
    for path in fixtures::files("joints").iter().step_by(3) {
        let compiled = fixtures::compile(path);
        for (list, judged) in lists(&compiled, &[]).iter().zip(&compiled.builds) {
            let open = judged.joints.iter().filter(|it| it.verdict == Verdict::Open);
            let hangs: BTreeSet<String> = open
                .flat_map(|joint| joint.hangs_on.iter().map(|fact| joint.path_of(&compiled.model, *fact)))
                .collect();
            let readings = list.readings.iter().flat_map(|it| it.paths.clone());
            let told: Vec<String> = readings.chain(list.choices.iter().map(|it| it.slot.clone())).collect();
            assert_eq!(told.iter().cloned().collect::<BTreeSet<_>>(), hangs, "{}", list.build);
            assert_eq!(told.len(), hangs.len(), "{}: none twice", list.build);
        }
    }
}

fn schema() -> Json {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/measure.schema.json");
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

#[test]
fn json_keeps_to_its_schema() {
    assert!(jsonschema::meta::is_valid(&schema()), "the schema is a schema");
    let validator = jsonschema::draft202012::new(&schema()).unwrap();
    let mut all: Vec<Compiled> = ["heron", "curlew"].iter().map(|it| Spec::demo(it).compiled(&Texts::new())).collect();
    all.push(compiled(RANKED));
    all.extend(fixtures::files("joints").iter().step_by(5).map(|it| fixtures::compile(it)));
    let mut readings = 0;
    for compiled in &all {
        let data: Json = serde_json::from_str(&render(&lists(compiled, &[]), Format::Json)).unwrap();
        let faults: Vec<String> =
            validator.iter_errors(&data).map(|it| format!("{it} at {}", it.instance_path)).collect();
        assert!(faults.is_empty(), "{}", faults.join("\n"));
        let builds = data["builds"].as_array().unwrap();
        readings += builds.iter().map(|it| it["readings"].as_array().unwrap().len()).sum::<usize>();
    }
    assert!(readings > 50, "{readings}");
}

#[test]
fn the_schema_refuses_what_is_broken() {
    let validator = jsonschema::draft202012::new(&schema()).unwrap();
    let good: Json = serde_json::from_str(&render(&lists(&compiled(RANKED), &[]), Format::Json)).unwrap();
    assert!(validator.is_valid(&good));
    let broken = |change: &dyn Fn(&mut Json)| {
        let mut data = good.clone();
        change(&mut data);
        !validator.is_valid(&data)
    };
    assert!(broken(&|it| it["schema"] = "cotter.measure/2".into()));
    assert!(broken(&|it| it["builds"][0]["readings"][0]["state"] = "fine".into()));
    assert!(broken(&|it| it["builds"][0]["readings"][0]["no"] = 0.into()));
    assert!(broken(&|it| it["builds"][0]["readings"][2]["money_waiting"][0]["amount"] = 1.5.into()));
    assert!(broken(&|it| drop(it["builds"][0]["readings"][0].as_object_mut().unwrap().remove("set"))));
    assert!(broken(&|it| it["builds"][0]["more"] = true.into()));
}

#[test]
fn csv_has_a_row_a_fact_and_a_blank_for_each() {
    let page = render(&lists(&compiled(RANKED), &[]), Format::Csv);
    let mut reader = csv::Reader::from_reader(page.as_bytes());
    let header = reader.headers().unwrap().clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert!(rows.iter().all(|it| it.len() == header.len()));
    let at = |name: &str| header.iter().position(|it| it == name).unwrap();
    let own: Vec<&csv::StringRecord> = rows.iter().filter(|it| &it[0] == "ranked").collect();
    assert_eq!(own.iter().filter(|it| &it[at("asks")] == "measure").count(), 6);
    assert_eq!(own.iter().filter(|it| &it[at("asks")] == "choose").count(), 1);
    assert!(rows.iter().all(|it| it[at("reading")].is_empty()));
    assert_eq!(&own[2][at("money_waiting")], "~100.05 EUR");
}
