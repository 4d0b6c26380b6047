//! The bill and the torque sheet of a conversion: what is ordered of whom, what is left over, cut, made and left alone.

use super::fixtures;
use cotter::Compiled;
use cotter::judge::JudgedBuild;
use cotter::sheets::bill::Bill;
use cotter::sheets::steps::Steps;
use cotter::sheets::torque::{TorqueSheet, Work};
use cotter::sheets::{Format, bill, torque};
use cotter::source::Memory;
use serde_json::Value as Json;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

/// A shelf with a list of orders. What it is made of is invented.
const SHELF: &str = r#"
standalone
kind thing "a thing" { fact width : length 1 mm .. 90 mm "w"; source practice }
assembly shelf "a shelf" {
  slot a? : thing
  slot b? : thing
  slot c? : thing
  slot d? : thing
  slot e? : thing
  slot f? : thing
  fact reach? : length 1 mm .. 9000 mm "from a to b"
  fact slack? : length 1 mm .. 900 mm "what hangs loose"
  join first "a to b" = tied(one = a, other = b, reach = reach, slack = slack)
  join second "c to d" = tied(one = c, other = d, reach = reach, slack = slack)
}
joint tied "two things tied" {
  takes one    : thing
  takes other  : thing
  takes reach? : length
  takes slack? : length
  require tied.width "as wide" { that one.width == other.width; else "no"; source practice }
  fasten knot "knot" { torque hand; uses "wax", "chalk"; source practice }
  fasten bolt "bolt" { when one.width > 20 mm; tool "key"; torque 4 N·m .. 6 N·m; uses "wax"; source practice }
  consumes "cord" : reach + slack when given(reach) and given(slack)
  consumes "cord, not measured yet" when not given(reach)
  cut "cord, the way" : reach when given(reach)
  cut "cord, the loop" : slack when given(slack)
}
part quick : thing { width = 9 mm; source = buy; price = 10.10 EUR; supplier = "far"; lead_time = 2 d }
part slow  : thing { width = 9 mm; source = buy; price = 5 EUR .. 6.50 EUR; supplier = "far"; lead_time = 8 d .. 12 d }
part near  : thing { width = 9 mm; source = buy; price = ~3 EUR; supplier = "near"; lead_time = 1 d }
part gone  : thing { width = 9 mm; source = buy; supplier = "near"; available = no }
part plain : thing { width = 9 mm; source = buy; price = 1 EUR }
part old   : thing { width = 9 mm; source = donor; afterwards = keep }
part spare : thing { width = 9 mm; source = donor; afterwards = sell; worth = 2 EUR .. 3 EUR }
part odd   : thing { width = 9 mm; source = donor; afterwards = sell }
part dead  : thing { width = 9 mm; source = donor; afterwards = scrap; worth = 100 EUR }
part dull  : thing { width = 9 mm; source = donor }
build before : shelf { a = old; b = spare; c = odd; d = dead; e = dull; f = spare; reach = 100 mm }
build after from before {
  budget = 40 EUR
  a = quick
  b = slow
  e = near
  f = gone
  slack = 7 mm ± 1 mm
}
build all from before { a = quick; b = slow; c = near; d = gone; e = plain; remove f }
"#;

fn shelf() -> Compiled {
    cotter::compile(&Memory::one("test.cotter", SHELF), "test.cotter", "").unwrap()
}

fn heron() -> Compiled {
    fixtures::compile(&Path::new(env!("CARGO_MANIFEST_DIR")).join("specs/heron/heron.cotter"))
}

fn judged<'c>(compiled: &'c Compiled, build: &str) -> &'c JudgedBuild {
    compiled.builds.iter().find(|it| compiled.model[it.build].name.text == build).unwrap()
}

fn bill_of(compiled: &Compiled, build: &str) -> Bill {
    Bill::of(&compiled.model, judged(compiled, build))
}

fn data(text: &str) -> Json {
    let mut all: Json = serde_json::from_str(text).unwrap();
    all["builds"][0].take()
}

#[test]
fn orders_go_to_suppliers_the_one_that_takes_longest_first() {
    let compiled = shelf();
    let bill = bill_of(&compiled, "all");
    let order = |it: &cotter::sheets::orders::Order| {
        let parts: Vec<String> = it.parts.iter().map(|it| it.part.clone()).collect();
        let price: Vec<String> = it.price.iter().map(ToString::to_string).collect();
        (it.supplier.clone(), parts.join(" "), price.join(" "), it.unpriced)
    };
    let expected = [
        ("far", "quick slow", "15.10 to 16.60 EUR", 0),
        ("near", "near gone", "~3.00 EUR", 1),
        ("", "plain", "1.00 EUR", 0),
    ];
    let expected = expected.map(|(a, b, c, d)| (a.to_owned(), b.to_owned(), c.to_owned(), d));
    assert_eq!(bill.orders.iter().map(order).collect::<Vec<_>>(), expected);
    let page = bill::render(std::slice::from_ref(&bill), Format::Text);
    assert!(page.contains("the build waits longest for slow from far: 8 d .. 12 d; order it first"), "{page}");
    assert!(page.contains("the build waits for what is not to be had: gone"), "{page}");
    assert!(page.contains("nobody says how long it takes: plain"), "{page}");
    let json = data(&bill::render(&[bill], Format::Json));
    assert_eq!(json["waits_longest_for"], "slow");
    assert_eq!(json["orders"][0]["lead_time_min_days"], 8);
    assert_eq!(json["orders"][0]["lead_time_max_days"], 12);
}

#[test]
fn orders_hold_just_what_is_to_be_bought() {
    let (heron, shelf) = (heron(), shelf());
    for (compiled, build) in [(&heron, "heron_winter"), (&heron, "heron_first_try"), (&shelf, "after"), (&shelf, "all")]
    {
        let bill = bill_of(compiled, build);
        let pieces: u32 = bill.orders.iter().map(|it| it.pieces).sum();
        assert_eq!(pieces, bill.totals.pieces_to_buy, "{build}");
        assert_eq!(bill.orders.iter().map(|it| it.unpriced).sum::<u32>(), bill.totals.unpriced, "{build}");
        let mut sums = Vec::new();
        bill.orders.iter().flat_map(|it| &it.price).for_each(|it| assert!(it.add_to(&mut sums)));
        assert_eq!(sums, bill.totals.to_buy, "{build}");
    }
}

#[test]
fn what_is_left_over_is_kept_sold_or_thrown_away() {
    let compiled = shelf();
    let bill = bill_of(&compiled, "all");
    let left: Vec<(&str, Option<&str>)> =
        bill.left_over.iter().map(|it| (it.part.as_str(), it.afterwards.map(|it| it.word()))).collect();
    let sell = Some("sell");
    assert_eq!(left, [("old", Some("keep")), ("spare", sell), ("odd", sell), ("dead", Some("scrap")), ("dull", None)]);
    // Twice the spare one; what the dead one may be worth is no matter.
    let totals = &bill.totals;
    assert_eq!(totals.to_sell.iter().map(ToString::to_string).collect::<Vec<_>>(), ["4.00 to 6.00 EUR"]);
    assert_eq!((totals.pieces_to_sell, totals.unvalued), (3, 1));
    let page = bill::render(&[bill], Format::Text).replace("\n  ", " ");
    let words = "to sell: 4.00 to 6.00 EUR for 3 pieces; 1 of them without a worth; no other sum counts on that";
    assert!(page.contains(words), "{page}");
}

#[test]
fn what_is_cut_is_told_for_joints_that_are_made() {
    let compiled = shelf();
    let cuts = |build: &str| -> Vec<(String, f64, f64, String)> {
        let cut = |it: &bill::Cut| (it.what.clone(), it.length.low(), it.length.high(), it.joint.clone());
        bill_of(&compiled, build).cuts.iter().map(cut).collect()
    };
    let way = |joint: &str| ("cord, the way".to_owned(), 100.0, 100.0, joint.to_owned());
    let loose = ("cord, the loop".to_owned(), 6.0, 8.0, "first".to_owned());
    assert_eq!(cuts("before"), [way("first"), way("second")], "a build of its own makes all of its joints");
    assert_eq!(cuts("after"), [way("first"), loose], "the second joint is left alone");
    assert_eq!(cuts("all"), [way("first"), way("second")]);
    // As much cord as the pieces of it, of both joints and of the new one.
    let bill = bill_of(&compiled, "after");
    let cord = bill.consumables.iter().find(|it| it.what == "cord").unwrap();
    let ends = |it: &bill::Needed| it.count.map(|it| (it.low(), it.high())).unwrap();
    assert_eq!(ends(&cord.all), (212.0, 216.0));
    assert_eq!(ends(cord.new.as_ref().unwrap()), (106.0, 108.0));
    // What prepares fastenings is there once, however many of a joint take it, and in no count.
    let wax = bill.consumables.iter().find(|it| it.what == "wax").unwrap();
    assert!(wax.all.some && wax.all.count.is_none());
    assert_eq!(wax.joints, ["first", "second"]);
}

#[test]
fn the_cuts_of_the_demo_stand_on_bill_and_steps_alike() {
    let compiled = heron();
    let bill = bill_of(&compiled, "heron_winter");
    let steps = Steps::of(&compiled.model, judged(&compiled, "heron_winter"));
    let told: Vec<(&str, &str)> = steps
        .steps
        .iter()
        .flat_map(|step| step.cuts.iter().map(|cut| (step.joints[0].as_str(), cut.rsplit_once(": ").unwrap().0)))
        .collect();
    let mut told = told;
    let mut expected: Vec<(&str, &str)> = bill.cuts.iter().map(|it| (it.joint.as_str(), it.what.as_str())).collect();
    told.sort_unstable();
    expected.sort_unstable();
    assert_eq!(told, expected);
    assert_eq!(expected.len(), 7);
}

#[test]
fn every_fastening_of_a_conversion_is_made_or_checked() {
    let compiled = heron();
    for build in ["heron_winter", "heron_first_try"] {
        let judged = judged(&compiled, build);
        let sheet = TorqueSheet::of(&compiled.model, judged);
        let steps = Steps::of(&compiled.model, judged);
        let of = |test: fn(Work) -> bool| -> BTreeSet<&str> {
            let rows = sheet.rows.iter().filter(|it| test(it.work.expect("a conversion says so of each")));
            rows.map(|it| it.joint.as_str()).collect()
        };
        let (made, untouched) = (of(|it| it != Work::Untouched), of(|it| it == Work::Untouched));
        assert!(made.is_disjoint(&untouched));
        let alone: BTreeSet<&str> = steps.untouched.iter().map(|it| it.joint.as_str()).collect();
        assert!(untouched.is_subset(&alone), "{untouched:?} {alone:?}");
        assert!(made.is_disjoint(&alone));
        // Those that are made stand first, and numbers run on.
        let rows: Vec<bool> = sheet.rows.iter().map(|it| it.work == Some(Work::Untouched)).collect();
        assert!(rows.is_sorted());
        let csv = torque::render(std::slice::from_ref(&sheet), Format::Csv);
        let mut words: BTreeMap<String, usize> = BTreeMap::new();
        for row in csv::Reader::from_reader(csv.as_bytes()).deserialize::<BTreeMap<String, String>>() {
            *words.entry(row.unwrap()["work"].clone()).or_default() += 1;
        }
        assert!(words.keys().all(|it| ["made_new", "made_again", "untouched"].contains(&it.as_str())), "{words:?}");
        assert_eq!(words.values().sum::<usize>(), sheet.rows.len());
    }
    // A build that comes from no other says nothing of that.
    let bought = TorqueSheet::of(&compiled.model, judged(&compiled, "heron_as_bought"));
    assert!(bought.from.is_none() && bought.rows.iter().all(|it| it.work.is_none()));
}

#[test]
fn a_budget_that_may_be_exceeded_is_told_so() {
    let spec = |budget: &str| SHELF.replace("budget = 40 EUR", &format!("budget = {budget}"));
    let told = |budget: &str| {
        let compiled = cotter::compile(&Memory::one("test.cotter", spec(budget)), "test.cotter", "").unwrap();
        let advice = compiled.diagnostics.iter().find(|it| it.code == "cost.over_budget").map(|it| it.message.clone());
        let page = bill::render(&[bill_of(&compiled, "after")], Format::Text);
        let line = page.lines().find(|it| it.contains("budget of") || it.contains("OVER BUDGET")).unwrap().to_owned();
        (advice, line)
    };
    // 10.10 + 5 .. 6.50 + about 3
    assert_eq!(told("19.60 EUR").0, None);
    let (advice, line) = told("19 EUR");
    let words = "`after` costs about 18.10 to 19.60 EUR, which may be as much as 0.60 EUR more than its budget";
    assert_eq!(advice.as_deref(), Some(words));
    assert!(line.starts_with("- PERHAPS OVER BUDGET, by 0.60 EUR at the most: the budget is 19.00 EUR"), "{line}");
    let (advice, line) = told("18 EUR");
    assert_eq!(
        advice.as_deref(),
        Some("`after` costs about 18.10 to 19.60 EUR, which is ~0.10 to 1.60 EUR more than its budget")
    );
    assert!(line.starts_with("- OVER BUDGET by ~0.10 to 1.60 EUR: the budget is 18.00 EUR"), "{line}");
}
