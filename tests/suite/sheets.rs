//! Bills of materials and torque sheets: how they look, and whether their sums and ranges are right.

use super::fixtures;
use cotter::Compiled;
use cotter::judge::{TorqueRange, Verdict};
use cotter::sheets::bill::Bill;
use cotter::sheets::torque::{Torque, TorqueSheet, in_units};
use cotter::sheets::{Format, bill, torque};
use cotter::source::Memory;
use proptest::prelude::*;
use serde_json::Value as Json;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

const FORMATS: [(Format, &str); 4] =
    [(Format::Text, "text"), (Format::Markdown, "markdown"), (Format::Csv, "csv"), (Format::Json, "json")];

fn fixture(name: &str) -> Compiled {
    fixtures::compile(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/sheets").join(name))
}

fn compiled(text: &str) -> Compiled {
    cotter::compile(&Memory::one("test.cotter", text), "test.cotter", "").unwrap()
}

fn bills(compiled: &Compiled, only: &[&str]) -> Vec<Bill> {
    let all = compiled.builds.iter().map(|build| Bill::of(&compiled.model, build));
    all.filter(|it| only.is_empty() || only.contains(&it.build.as_str())).collect()
}

fn sheets(compiled: &Compiled, only: &[&str]) -> Vec<TorqueSheet> {
    let all = compiled.builds.iter().map(|build| TorqueSheet::of(&compiled.model, build));
    all.filter(|it| only.is_empty() || only.contains(&it.build.as_str())).collect()
}

fn json(text: &str) -> Json {
    serde_json::from_str(text).unwrap()
}

/// Both sheets of some builds, in every format; a snapshot a format, with the spec it is made from named in it.
fn looks(spec: &str, what: &str, render: impl Fn(Format) -> String) {
    for (format, word) in FORMATS {
        let rendered = render(format);
        assert_eq!(rendered, render(format), "the same input gives the same bytes");
        insta::with_settings!({
            description => format!("cotter {what} {spec} --format {word}"),
            input_file => Path::new("tests/fixtures/sheets").join(spec),
            omit_expression => true,
        }, {
            insta::assert_snapshot!(format!("{}_{what}_{word}", spec.trim_end_matches(".cotter")), rendered);
        });
    }
}

#[test]
fn a_trolley_looks_as_it_should() {
    let compiled = fixture("trolley.cotter");
    looks("trolley.cotter", "bom", |format| bill::render(&bills(&compiled, &[]), format));
    looks("trolley.cotter", "torque", |format| torque::render(&sheets(&compiled, &[]), format));
}

#[test]
fn a_bicycle_looks_as_it_should() {
    let compiled = fixture("bicycle.cotter");
    looks("bicycle.cotter", "bom", |format| bill::render(&bills(&compiled, &["winter"]), format));
    let compiled = fixture("front_end.cotter");
    looks("front_end.cotter", "torque", |format| torque::render(&sheets(&compiled, &["turning"]), format));
}

#[test]
fn pages_keep_to_a_hundred_columns() {
    for name in ["trolley.cotter", "bicycle.cotter", "front_end.cotter"] {
        let compiled = fixture(name);
        let pages =
            [bill::render(&bills(&compiled, &[]), Format::Text), torque::render(&sheets(&compiled, &[]), Format::Text)];
        for line in pages.iter().flat_map(|it| it.lines()) {
            assert!(textwrap::core::display_width(line) <= 100, "{name}: {line}");
            assert!(!line.ends_with(' '), "{name}: {line:?}");
        }
    }
}

// ───── bills ─────

#[test]
fn a_piece_that_fills_two_slots_is_counted_once() {
    let trolley = fixture("trolley.cotter");
    let found = bills(&trolley, &["as_found"]);
    let line = |part: &str| found[0].lines.iter().find(|it| it.part == part).unwrap();
    assert_eq!((line("double_tray").quantity, line("double_tray").slots.len()), (1, 2));
    assert_eq!((line("caster_75").quantity, line("caster_75").slots.len()), (2, 2));
    let bicycle = fixture("bicycle.cotter");
    let winter = bills(&bicycle, &["winter"]);
    let line = |part: &str| winter[0].lines.iter().find(|it| it.part == part).unwrap();
    assert_eq!((line("control_right").quantity, line("control_right").slots.len()), (1, 2));
    assert_eq!((line("hub_dynamo").quantity, line("hub_dynamo").slots.len()), (1, 2));
    assert_eq!((line("rim_19").quantity, line("rim_19").slots.len()), (2, 2));
}

#[test]
fn every_slot_stands_on_the_bill() {
    for name in ["trolley.cotter", "bicycle.cotter"] {
        let compiled = fixture(name);
        for (bill, build) in bills(&compiled, &[]).iter().zip(&compiled.model.builds) {
            let slots = compiled.model[build.assembly].slots.keys().zip(&build.slots);
            let filled: BTreeSet<&str> = slots.filter(|(_, it)| it.is_some()).map(|(name, _)| name.as_str()).collect();
            let on_lines = bill.lines.iter().flat_map(|it| &it.slots).map(String::as_str);
            let undecided = bill.gaps.iter().filter(|it| it.undecided).map(|it| it.slot.as_str());
            let on_bill: Vec<&str> = on_lines.chain(undecided).collect();
            assert_eq!(on_bill.len(), filled.len(), "{}: none twice", bill.build);
            assert_eq!(on_bill.into_iter().collect::<BTreeSet<_>>(), filled, "{}", bill.build);
        }
    }
}

#[test]
fn what_has_no_place_any_more_is_left_over() {
    let compiled = fixture("trolley.cotter");
    let left = |build: &str| -> Vec<(u32, String)> {
        bills(&compiled, &[build])[0].left_over.iter().map(|it| (it.quantity, it.part.clone())).collect()
    };
    let named = |all: &[(u32, &str)]| all.iter().map(|(count, part)| (*count, (*part).to_owned())).collect::<Vec<_>>();
    assert_eq!(left("as_found"), []);
    assert_eq!(left("rolling"), named(&[(1, "caster_75"), (1, "loop"), (1, "double_tray")]));
    assert_eq!(left("stuck"), named(&[(2, "caster_75")]));
    // A part that only moves to another slot is not left over.
    let moved = compiled_moved();
    assert!(bills(&moved, &["after"])[0].left_over.is_empty());
}

fn compiled_moved() -> Compiled {
    compiled(&format!(
        "{}\npart a : thing {{ }}\nbuild before : lot {{ s0 = a }}\nbuild after from before {{ remove s0; s1 = a }}\n",
        lot(2)
    ))
}

#[test]
fn new_joints_are_told_from_those_that_stay() {
    let compiled = fixture("trolley.cotter");
    let needs = |build: &str, what: &str| {
        let bill = bills(&compiled, &[build]).remove(0);
        let used = bill.consumables.into_iter().find(|it| it.what == what).unwrap();
        let count = |it: cotter::sheets::bill::Needed| it.count.map(|it| (it.low(), it.high()));
        (count(used.all), used.new.map(count), used.all.some)
    };
    assert_eq!(needs("as_found", "locknut M10"), (Some((2.0, 2.0)), None, false));
    assert_eq!(needs("rolling", "locknut M10"), (Some((2.0, 2.0)), Some(Some((1.0, 1.0))), false));
    assert_eq!(needs("stuck", "bolt M6, left-hand"), (Some((2.0, 2.0)), Some(None), false));
    assert_eq!(needs("as_found", "threadlocker"), (None, None, true));
    // Whether the sleeves are needed hangs on what nobody has looked at.
    assert_eq!(needs("unsure", "sleeve"), (Some((0.0, 2.0)), Some(Some((0.0, 2.0))), false));
}

#[test]
fn an_empty_slot_that_must_be_filled_is_said() {
    let compiled = compiled(
        "standalone\nkind thing \"t\" { source practice }\nassembly lot \"l\" { slot one : thing \"the one\"; slot two? : thing }\npart a : thing { source = buy; price = 1 EUR }\nbuild b : lot { two = a }\n",
    );
    let bills = bills(&compiled, &[]);
    let gaps: Vec<(&str, bool)> = bills[0].gaps.iter().map(|it| (it.slot.as_str(), it.undecided)).collect();
    assert_eq!(gaps, [("one", false)]);
    let page = bill::render(&bills, Format::Text);
    assert!(page.contains("Empty, but must be filled: 1 slot") && page.contains("one (the one)"), "{page}");
}

/// An assembly with so many optional slots and no joint.
fn lot(slots: usize) -> String {
    let slots: Vec<String> = (0..slots).map(|it| format!("  slot s{it}? : thing\n")).collect();
    format!(
        "standalone\nkind thing \"a thing\" {{ source practice }}\nassembly lot \"a lot\" {{\n{}}}\n",
        slots.concat()
    )
}

/// A random part of a bill: hundredths of its currency or no price, by how much it may be more, how many, its source, its
/// currency.
#[derive(Clone, Debug)]
struct Thing {
    price: Option<i64>,
    more: i64,
    count: usize,
    source: Option<&'static str>,
    currency: &'static str,
    estimated: bool,
}

fn thing() -> impl Strategy<Value = Thing> {
    let price = prop_oneof![1 => Just(None), 5 => (0..10_000_000i64).prop_map(Some)];
    let source = prop_oneof![
        4 => Just(Some("buy")), 1 => Just(Some("bin")), 1 => Just(Some("donor")), 1 => Just(None)
    ];
    let currency = prop_oneof![6 => Just("EUR"), 1 => Just("CHF"), 1 => Just("JPY")];
    let more = prop_oneof![2 => Just(0), 1 => 0..500_000i64];
    (price, more, 1..4usize, source, currency, any::<bool>()).prop_map(
        |(price, more, count, source, currency, guess)| {
            // No hundredths of a yen.
            let whole = |it| if currency == "JPY" { it / 100 * 100 } else { it };
            let more = whole(more);
            // A guess is one amount.
            Thing { price: price.map(whole), more, count, source, currency, estimated: guess && more == 0 }
        },
    )
}

fn written(hundredths: i64, currency: &str) -> String {
    if currency == "JPY" {
        return format!("{}", hundredths / 100);
    }
    let sign = if hundredths < 0 { "-" } else { "" };
    format!("{sign}{}.{:02}", hundredths.abs() / 100, hundredths.abs() % 100)
}

/// Hundredths of a printed amount, by its digits alone.
fn hundredths(printed: &str) -> i64 {
    let (whole, part) = printed.split_once('.').unwrap_or((printed, "00"));
    assert_eq!(part.len(), 2, "{printed}");
    let sign = if printed.starts_with('-') { -1 } else { 1 };
    whole.parse::<i64>().unwrap() * 100 + sign * part.parse::<i64>().unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    #[test]
    fn printed_lines_add_up_to_printed_totals(
        things in prop::collection::vec(thing(), 0..9),
        budget in prop::option::of(0..30_000_000i64),
    ) {
        let mut text = lot(things.iter().map(|it| it.count).sum());
        let mut slots = String::new();
        let mut slot = 0;
        for (number, it) in things.iter().enumerate() {
            let guess = if it.estimated { "~" } else { "" };
            let amount = |hundredths: i64| format!("{} {}", written(hundredths, it.currency), it.currency);
            let range = if it.more == 0 { String::new() } else { format!(" .. {}", amount(it.price.unwrap_or(0) + it.more)) };
            let price = it.price.map_or(String::new(), |price| format!("price = {guess}{}{range}; ", amount(price)));
            let source = it.source.map_or(String::new(), |source| format!("source = {source}; "));
            text.push_str(&format!("part p{number} : thing {{ {price}{source}}}\n"));
            for _ in 0..it.count {
                slots.push_str(&format!("  s{slot} = p{number}\n"));
                slot += 1;
            }
        }
        let limit = budget.map_or(String::new(), |it| format!("  budget = {} EUR\n", written(it, "EUR")));
        text.push_str(&format!("build b : lot {{\n{limit}{slots}}}\n"));
        let compiled = compiled(&text);
        let bills = bills(&compiled, &[]);

        // By whole hundredths, from what was made up.
        let mut expected: BTreeMap<&str, (i64, i64, bool)> = BTreeMap::new();
        let (mut pieces, mut unpriced) = (0, 0);
        for it in things.iter().filter(|it| it.source == Some("buy")) {
            pieces += it.count as u64;
            match it.price {
                Some(price) => {
                    let sum = expected.entry(it.currency).or_default();
                    sum.0 += price * it.count as i64;
                    sum.1 += (price + it.more) * it.count as i64;
                    sum.2 |= it.estimated;
                }
                None => unpriced += it.count as u64,
            }
        }

        // From the printed rows.
        let csv = bill::render(&bills, Format::Csv);
        let mut printed: BTreeMap<String, (i64, i64)> = BTreeMap::new();
        for row in csv::Reader::from_reader(csv.as_bytes()).deserialize::<BTreeMap<String, String>>() {
            let row = row.unwrap();
            if row["group"] == "buy" && !row["price_min"].is_empty() {
                let digits = |end: &str| if row["currency"] == "JPY" { format!("{}.00", row[end]) } else { row[end].clone() };
                let sum = printed.entry(row["currency"].clone()).or_default();
                sum.0 += hundredths(&digits("price_min"));
                sum.1 += hundredths(&digits("price_max"));
            }
        }
        let sums: BTreeMap<String, (i64, i64)> =
            expected.iter().map(|(code, it)| ((*code).to_owned(), (it.0, it.1))).collect();
        prop_assert_eq!(&printed, &sums);

        // The printed totals.
        let data = json(&bill::render(&bills, Format::Json));
        let totals = &data["builds"][0]["totals"];
        let shown: Vec<(String, String, String, bool)> = totals["to_buy"].as_array().unwrap().iter().map(|it| {
            let text = |key: &str| it[key].as_str().unwrap().to_owned();
            (text("currency"), text("amount_min"), text("amount_max"), it["estimated"].as_bool().unwrap())
        }).collect();
        let wanted: Vec<(String, String, String, bool)> = expected.iter()
            .map(|(code, it)| ((*code).to_owned(), written(it.0, code), written(it.1, code), it.2)).collect();
        prop_assert_eq!(shown, wanted);
        prop_assert_eq!(totals["pieces_to_buy"].as_u64(), Some(pieces));
        prop_assert_eq!(totals["pieces_without_price"].as_u64(), Some(unpriced));
        let page = bill::render(&bills, Format::Text);
        let total = page.split("\nIn all\n").nth(1).unwrap().replace("\n  ", " ");
        for (code, (low, high, estimated)) in &expected {
            let guess = if *estimated { "~" } else { "" };
            let high = if low == high { String::new() } else { format!(" to {}", written(*high, code)) };
            let sum = format!("{guess}{}{high} {code}", written(*low, code));
            prop_assert!(total.contains(&sum), "{sum}\n{page}");
        }
        prop_assert_eq!(total.contains("no price"), unpriced > 0);
        prop_assert_eq!(total.contains("not added"), expected.len() > 1);

        // What is left of the budget, and what is said of it.
        let (least, most) = expected.get("EUR").map_or((0, 0), |it| (it.0, it.1));
        if let Some(budget) = budget {
            let left = |end: &str| hundredths(totals["budget_left"][end].as_str().unwrap());
            prop_assert_eq!((left("amount_min"), left("amount_max")), (budget - most, budget - least));
            prop_assert_eq!(page.contains("- OVER BUDGET"), least > budget);
            prop_assert_eq!(page.contains("- PERHAPS OVER BUDGET"), least <= budget && most > budget);
        }
        let said = |code: &str| compiled.diagnostics.iter().filter(|it| it.code == code).count();
        prop_assert_eq!(said("cost.over_budget") == 1, budget.is_some_and(|it| most > it));
        let mut currencies: BTreeSet<&str> = expected.keys().copied().collect();
        currencies.extend(budget.map(|_| "EUR"));
        prop_assert_eq!(said("money.mixed"), currencies.len().saturating_sub(1));
    }
}

#[test]
fn a_bill_over_its_budget_is_said_with_every_price() {
    let compiled = fixture("bicycle.cotter");
    let found: Vec<_> = compiled.diagnostics.iter().filter(|it| it.code == "cost.over_budget").collect();
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].build.as_deref(), Some("winter"));
    assert_eq!(found[0].severity, cotter::diagnose::Severity::Advice);
    let text = |span| compiled.files.text(span);
    assert_eq!(text(found[0].labels[0].span), "150 EUR");
    let prices: Vec<&str> = found[0].labels[1..].iter().map(|it| text(it.span)).collect();
    assert_eq!(prices, ["54.90 EUR", "21 EUR", "34.00 EUR", "9.90 EUR", "~24 EUR", "14.50 EUR", "39 EUR", "6.90 EUR"]);
    // 54.90 + 21 + 34 + 9.90 + 24 + 14.50 + 39 + twice 6.90
    assert_eq!(found[0].message, "`winter` costs about 211.10 EUR, which is 61.10 EUR more than its budget");
}

#[test]
fn two_currencies_in_one_build_are_a_mistake_of_that_build() {
    let compiled = fixture("trolley.cotter");
    let found: Vec<_> = compiled.diagnostics.iter().filter(|it| it.code == "money.mixed").collect();
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].build.as_deref(), Some("rolling"));
    assert_eq!(found[0].severity, cotter::diagnose::Severity::Error);
    let labels: Vec<&str> = found[0].labels.iter().map(|it| compiled.files.text(it.span)).collect();
    assert_eq!(labels, ["18 CHF", "30 EUR"]);
}

// ───── torque sheets ─────

#[test]
fn units_agree_with_a_published_pair_and_another_library() {
    use uom::si::f64::Torque as Uom;
    use uom::si::torque::{newton_meter, pound_force_inch};
    // 434 in·lb = 49.0 N·m, as torque tables convert it; 49.035 exactly.
    let pair = Uom::new::<pound_force_inch>(434.0).get::<newton_meter>();
    assert!((pair - 49.035).abs() < 0.0005, "{pair}");
    let [metric, inch] = in_units(TorqueRange { low: 0.0, high: pair * 1000.0 });
    assert_eq!((metric.1, inch.1), (49.03, 434.0));
    // Written in one unit, it comes back as written.
    let unit = cotter::quantity::unit("in·lb").unwrap();
    for written in 1..2000 {
        let one = f64::from(written) * unit.factor;
        assert_eq!(in_units(TorqueRange { low: one, high: one })[1], (f64::from(written), f64::from(written)));
        let one = f64::from(written) * 100.0;
        assert_eq!(in_units(TorqueRange { low: one, high: one })[0].1, f64::from(written) / 10.0);
    }
}

proptest! {
    #[test]
    fn no_printed_figure_lies_outside_of_its_range(low in 0.0..60_000.0f64, width in 0.0..40_000.0f64) {
        use uom::si::f64::Torque as Uom;
        use uom::si::torque::{newton_meter, pound_force_inch};
        let range = TorqueRange { low, high: low + width };
        let inch = |newton_mm: f64| Uom::new::<newton_meter>(newton_mm / 1000.0).get::<pound_force_inch>();
        let [(low_nm, high_nm), (low_inlb, high_inlb)] = in_units(range);
        // Too narrow for two decimals, or one of in·lb, it is rounded to the nearest instead. The library's pound-force inch
        // has seven digits only, which is too coarse for this: here it is by definition.
        let exactly = |newton_mm: f64| newton_mm / (25.4 * 0.453_592_37 * 9.806_65);
        if width > 20.0 {
            prop_assert!(low_nm >= low / 1000.0 - 1e-6 && high_nm <= range.high / 1000.0 + 1e-6);
            prop_assert!(low_inlb >= exactly(low) - 1e-5 && high_inlb <= exactly(range.high) + 1e-5);
        }
        prop_assert!(low_nm <= high_nm && low_inlb <= high_inlb);
        prop_assert!((low_nm - low / 1000.0).abs() <= 0.01 && (high_nm - range.high / 1000.0).abs() <= 0.01);
        prop_assert!((low_inlb - inch(low)).abs() <= 1.001 && (high_inlb - inch(range.high)).abs() <= 1.001);
    }
}

#[test]
fn a_range_satisfies_the_joint_and_all_that_is_printed() {
    let mut seen = 0;
    for name in ["trolley.cotter", "bicycle.cotter", "front_end.cotter"] {
        for row in sheets(&fixture(name), &[]).iter().flat_map(|it| &it.rows) {
            let Torque::Range(range) = row.torque else { continue };
            assert_ne!(row.verdict, Verdict::Clashes, "a joint that clashes is not to be tightened");
            let limits = row.printed.iter().filter_map(|it| it.range).chain(row.joint_torque);
            for limit in limits {
                seen += 1;
                assert!(limit.low <= range.low && range.high <= limit.high, "{name}: {}", row.fastening);
            }
        }
    }
    assert!(seen > 60, "{seen}");
}

fn row(build: &str, joint: &str, fastening: &str) -> cotter::sheets::torque::Row {
    let sheet = sheets(&fixture("trolley.cotter"), &[build]).remove(0);
    sheet.rows.into_iter().find(|it| it.joint == joint && it.fastening.contains(fastening)).unwrap()
}

#[test]
fn how_tight_is_said_without_doubt() {
    let range = |low: f64, high: f64| Torque::Range(TorqueRange { low: low * 1000.0, high: high * 1000.0 });
    // The joint asks for 20 to 30, one part prints 22 to 35, the other at most 25.
    assert_eq!(row("as_found", "one", "locknut").torque, range(22.0, 25.0));
    assert_eq!(row("as_found", "one", "sleeve").torque, Torque::ByHand);
    assert_eq!(row("as_found", "tray", "clips").torque, Torque::MakersFigure);
    assert_eq!(row("as_found", "push", "bolts").torque, range(3.0, 5.0));
    assert!(row("as_found", "push", "bolts").left);
    assert_eq!(row("rolling", "two", "locknut").torque, Torque::Conflict);
    assert_eq!(row("rolling", "two", "sleeve").torque, Torque::Withheld);
    assert_eq!(row("stuck", "one", "locknut").torque, Torque::Withheld);
    assert_eq!(row("stuck", "two", "locknut").hangs_on, ["caster.two"]);
    // 3 to 5 or 6 to 8, whichever the legs are: no figure is right for both.
    assert_eq!(row("unsure", "push", "bolts").torque, Torque::NotKnown);
    assert!(!row("unsure", "one", "sleeve").certain);
    let unread = row("unsure", "one", "locknut");
    assert_eq!(
        unread.printed.iter().filter(|it| it.range.is_none()).map(|it| &it.on).collect::<Vec<_>>(),
        ["found_deck"]
    );
    for format in [Format::Text, Format::Markdown] {
        let page = torque::render(&sheets(&fixture("trolley.cotter"), &[]), format);
        for loud in ["CONFLICT", "CLASHES", "OPEN", "LEFT: tightens", "IF SO MADE", "READ FIRST", "NOT KNOWN"] {
            assert!(page.contains(loud), "{loud}");
        }
    }
}

#[test]
fn an_undecided_part_leaves_its_joint_open() {
    let sheet = sheets(&fixture("front_end.cotter"), &["turning"]).remove(0);
    let axle = sheet.unsettled.iter().find(|it| it.joint == "hub in the fork ends").unwrap();
    assert_eq!((axle.verdict, axle.reasons.as_slice()), (Verdict::Open, ["hub".to_owned()].as_slice()));
}

#[test]
fn every_caution_stands_once_in_full() {
    for name in ["trolley.cotter", "bicycle.cotter"] {
        let compiled = fixture(name);
        for (sheet, build) in sheets(&compiled, &[]).iter().zip(&compiled.builds) {
            let whole = cotter::judge::whole_cautions(&compiled.model, build.build);
            let made = build.joints.iter().map(|it| cotter::judge::making(&compiled.model, build.build, it));
            let of_rows = made.flat_map(|it| it.fastenings).flat_map(|it| it.cautions);
            let carried: BTreeSet<String> = of_rows.chain(whole.iter().cloned()).collect();
            assert_eq!(carried.len(), sheet.cautions.len(), "{}", sheet.build);
            let page = torque::render(std::slice::from_ref(sheet), Format::Markdown);
            for caution in &sheet.cautions {
                let line = format!("- ({}) {}\n", caution.number, caution.text);
                assert_eq!(page.matches(&line).count(), 1, "{line}");
                let rows = sheet.rows.iter().filter(|it| it.cautions.contains(&caution.number)).count();
                let of_whole = whole.iter().any(|it| *compiled.model.cautions[it].text == caution.text);
                assert_eq!(caution.standing, of_whole || 2 * rows > sheet.rows.len(), "{line}");
                assert!(rows > 0 || of_whole, "{line}");
            }
        }
    }
}

/// With a condition, everywhere that a caution may be called for: of a whole, a joint, a fastening, a rule and handwork.
#[test]
fn a_caution_is_left_out_only_where_it_surely_does_not_hold() {
    const LIBRARY: &str = r#"standalone
choice matter "what it is of" {
  wood  "grain"
  glass "clear"
  source practice
}
caution whole "W."
caution joint "J."
caution fastening "F."
caution rule "R."
caution work "H."
caution always "A."
kind plate "a plate" { fact of : matter "what it is of" }
joint laid "a plate laid down" {
  takes plate : plate
  require plate.never "it never is" {
    that plate.of is wood and plate.of is glass
    else "no"
    why "so"
    caution always, rule when plate.of is glass
    source practice
  }
  fasten by_hand "by hand" {
    torque hand
    caution fastening when plate.of is glass
    caution always
    source practice
  }
  ready "wipe it" {
    caution work when plate.of is glass
  }
  caution joint when plate.of is glass
}
assembly table "a table" {
  slot top : plate
  join top.laid = laid(plate = top)
  caution whole when top.of is glass
}
"#;
    for (of, holds) in [("wood", false), ("glass", true), ("?", true)] {
        let compiled = compiled(&format!("{LIBRARY}part p : plate {{ of = {of} }}\nbuild b : table {{ top = p }}\n"));
        assert!(compiled.diagnostics.iter().all(|it| it.build.is_some()), "{:?}", compiled.diagnostics);
        let (model, judged) = (&compiled.model, &compiled.builds[0]);
        let joint = &judged.joints[0];
        let said =
            |name: &str, cautions: &[String]| assert_eq!(cautions.iter().any(|it| it == name), holds, "{name} {of}");
        said("whole", &cotter::judge::whole_cautions(model, judged.build));
        said("joint", &joint.cautions);
        said("rule", &joint.findings[0].cautions);
        let making = cotter::judge::making(model, judged.build, joint);
        said("fastening", &making.fastenings[0].cautions);
        said("joint", &making.fastenings[0].cautions);
        assert!(making.fastenings[0].cautions.iter().any(|it| it == "always"));
        said("work", &cotter::judge::handwork(model, judged.build)[0].todos[0].cautions);
        // A condition holds for its whole line.
        assert_eq!(joint.findings[0].cautions.len(), if holds { 2 } else { 0 });
    }
}

// ───── hostile words ─────

/// Words as a person may write them between quotes, with nothing good in mind.
pub const HOSTILE: &[&str] = &[
    "=SUM(A1:A9)",
    "+1+cmd|' /C calc'!A0",
    "-2+3",
    "@now()",
    "\t=1",
    "a | b \\\\| c \\\\",
    "one\\ntwo\\r\\nthree",
    "say \\\"no\\\", twice",
    "<script>alert(1)</script> <!-- <br> &amp;",
    "**bold** [link](http://x) `code` _under_ ~~gone~~ $x$ $y$",
    "名前 と 表, ﾊﾝｶｸ",
    "\u{1b}[31mred\u{7}\u{202e}turned\u{200b}",
    "# heading",
    "12. item",
    "-5.50",
];

/// A spec that says `words` wherever a person may say anything.
fn saying(words: &str) -> String {
    let text = r##"standalone
caution beware "HOSTILE"
kind thing "HOSTILE" { source practice }
joint held "HOSTILE" {
  takes one : thing
  require held.one "HOSTILE" { that 1 == 2; else "HOSTILE"; why "HOSTILE"; source practice }
  consumes "HOSTILE" : 2
}
joint laid "HOSTILE" {
  takes one : thing
  fasten it "HOSTILE" {
    thread "HOSTILE"; tool "HOSTILE"; torque 1 N·m .. 2 N·m; prepare "HOSTILE"; before "HOSTILE"
    caution beware
    source memory "HOSTILE"
  }
}
assembly lot "HOSTILE" {
  slot one : thing "HOSTILE"
  slot two? : thing "HOSTILE"
  join held "HOSTILE" = held(one = one)
  join laid "HOSTILE" = laid(one = one)
}
part a : thing "HOSTILE" { source = buy; price = 2 EUR; supplier = "HOSTILE"; note = "HOSTILE" }
build b : lot "HOSTILE" { one = a; two = ? }
"##;
    text.replace("HOSTILE", words)
}

/// Cells of a Markdown row: cut at every `|` that no backslash takes the force of.
fn cells(row: &str) -> usize {
    let (mut escaped, mut bars) = (false, 0);
    for c in row.chars() {
        bars += usize::from(c == '|' && !escaped);
        escaped = c == '\\' && !escaped;
    }
    bars
}

#[test]
fn hostile_words_stay_words_in_every_format() {
    for words in HOSTILE {
        let compiled = compiled(&saying(words));
        let faults: Vec<&str> =
            compiled.diagnostics.iter().filter(|it| it.build.is_none()).map(|it| it.message.as_str()).collect();
        assert!(faults.is_empty(), "{words}: {faults:?}");
        let said = compiled.model.builds[0].doc.clone();
        let (bills, sheets) = (bills(&compiled, &[]), sheets(&compiled, &[]));
        for (format, name) in FORMATS {
            for page in [bill::render(&bills, format), torque::render(&sheets, format)] {
                let acts = |c: char| c != '\n' && (c.is_control() || matches!(c, '\u{202e}' | '\u{200b}'));
                assert!(!page.contains(acts), "{name}: {page:?}");
                match format {
                    Format::Text => {
                        for line in page.lines() {
                            assert!(textwrap::core::display_width(line) <= 100, "{line}");
                        }
                        // Every line of a table is as wide as its frame.
                        let framed = page.lines().filter(|it| it.starts_with(['│', '├', '┌', '└', '╞']));
                        assert!(framed.clone().count() > 4);
                        for line in framed {
                            assert_eq!(textwrap::core::display_width(line), 100, "{line}");
                        }
                    }
                    Format::Markdown => {
                        let rows: Vec<&str> = page.lines().filter(|it| it.starts_with('|')).collect();
                        for rows in rows.windows(2) {
                            // A new table begins with its own header, and the next line rules it.
                            if !rows[1].starts_with("| n") {
                                assert_eq!(cells(rows[0]), cells(rows[1]), "{page}");
                            }
                        }
                        // The only tag is our own line break.
                        let bare = page.replace("\\<", "").replace("<br>", "");
                        assert!(!bare.contains('<'), "{page}");
                        for line in page.lines().filter(|it| !it.starts_with('|')) {
                            let own = line.starts_with("# b: ") || line.starts_with("## ") || !line.starts_with('#');
                            assert!(own && !line.starts_with("12. "), "{line}");
                        }
                    }
                    Format::Csv => {
                        let mut reader = csv::Reader::from_reader(page.as_bytes());
                        for row in reader.records().map(Result::unwrap) {
                            for cell in row.iter() {
                                let number = cell.parse::<f64>().is_ok();
                                assert!(number || !cell.trim().starts_with(['=', '+', '-', '@']), "{cell}");
                            }
                        }
                        assert_eq!(
                            page.lines().count(),
                            1 + csv::Reader::from_reader(page.as_bytes()).records().count()
                        );
                    }
                    Format::Json => {
                        let data = json(&page);
                        assert_eq!(data["builds"][0]["description"].as_str(), Some(said.as_str()));
                    }
                }
            }
        }
    }
}

#[test]
fn json_says_its_schema_and_csv_its_columns() {
    let compiled = fixture("trolley.cotter");
    let (bills, sheets) = (bills(&compiled, &[]), sheets(&compiled, &[]));
    assert_eq!(json(&bill::render(&bills, Format::Json))["schema"], "cotter.bom/1");
    assert_eq!(json(&torque::render(&sheets, Format::Json))["schema"], "cotter.torque/1");
    let builds = |page: &str| -> Vec<String> {
        json(page)["builds"].as_array().unwrap().iter().map(|it| it["build"].as_str().unwrap().to_owned()).collect()
    };
    let names: Vec<String> = compiled.model.builds.iter().map(|it| it.name.text.clone()).collect();
    assert_eq!(builds(&bill::render(&bills, Format::Json)), names);
    assert_eq!(builds(&torque::render(&sheets, Format::Json)), names);
    for page in [bill::render(&bills, Format::Csv), torque::render(&sheets, Format::Csv)] {
        let mut reader = csv::Reader::from_reader(page.as_bytes());
        let header = reader.headers().unwrap().clone();
        assert_eq!(&header[0], "build");
        assert!(
            header
                .iter()
                .all(|it| it.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'_'))
        );
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        assert!(rows.iter().all(|it| it.len() == header.len()));
        let seen: BTreeSet<&str> = rows.iter().map(|it| &it[0]).collect();
        assert_eq!(seen, names.iter().map(String::as_str).collect());
    }
}
