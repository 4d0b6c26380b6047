//! Whatever numbers stand in a spec: no sheet panics, none shows a number that is none, all data can be read.
//!
//! `COTTER_MUTATIONS=100000 cargo test --release numbers::mutated` runs as many; without it a few hundred are run.

use super::super::robust::Dice;
use super::*;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// What a number is written as instead.
const INSTEAD: &[&str] = &[
    "0",
    "-0",
    "-1",
    "-7.5",
    "1",
    "2",
    "999999999",
    "100000000000000000000",
    "0.000001",
    "0.0000000000001",
    "?",
    "-999999999",
];

/// Stretches of a text that are numbers: digits with a point, outside of words, comments and quotes.
fn numbers(text: &str) -> Vec<std::ops::Range<usize>> {
    let mut found = Vec::new();
    let (mut quoted, mut comment, mut before, mut start) = (false, false, ' ', None);
    for (at, c) in text.char_indices() {
        match c {
            '\n' => comment = false,
            '"' if !comment => quoted = !quoted,
            '#' if !quoted => comment = true,
            _ => {}
        }
        let digit = c.is_ascii_digit() || c == '.' && start.is_some();
        if digit
            && start.is_none()
            && !quoted
            && !comment
            && !before.is_alphanumeric()
            && before != '_'
            && before != '.'
        {
            start = Some(at);
        } else if !digit && let Some(from) = start.take() {
            let length = text[from..at].trim_end_matches('.').len();
            found.push(from..from + length);
        }
        before = c;
    }
    found
}

fn mutated(text: &str, dice: &mut Dice) -> String {
    let places = numbers(text);
    let mut out = text.to_owned();
    let mut chosen: Vec<usize> = (0..=dice.roll(3)).map(|_| dice.roll(places.len())).collect();
    chosen.sort_unstable();
    chosen.dedup();
    for place in chosen.into_iter().rev() {
        let range = places[place].clone();
        let number: f64 = text[range.clone()].parse().unwrap_or(1.0);
        // What the library thinks impossible does not reach a computation: so half of them are only moved.
        let instead = match dice.roll(10) {
            0..=3 => INSTEAD[dice.roll(INSTEAD.len())].to_owned(),
            4 => format!("~{number}"),
            5 => format!("{}", (number * 2.0).round()),
            6 => format!("{}", (number / 2.0).round()),
            7 => format!("{}", number * 1.5),
            8 => format!("{}", number + 1.0),
            _ => format!("{}", number * 0.75),
        };
        out.replace_range(range, &instead);
    }
    out
}

/// What is wrong with the sheets of these texts.
fn fault(texts: BTreeMap<String, Vec<u8>>, entry: &str, validator: &jsonschema::Validator) -> Result<usize, String> {
    let run = || {
        let compiled = compiled(texts, entry);
        let mut refused = 0;
        for sheet in SHEETS {
            let pages = sheet.pages(&compiled);
            for (format, word) in FORMATS {
                let page = (sheet.render)(&pages, format);
                super::refused::sound(&format!("{}, {word}", sheet.name), &page);
                if format == Format::Json {
                    let data: Json = serde_json::from_str(&page).unwrap();
                    let faults = super::schema::faults(validator, &data);
                    assert!(faults.is_empty(), "{}: {faults:?}\n{page}", sheet.name);
                    refused +=
                        data["builds"].as_array().unwrap().iter().map(|it| strings(it, "refused").len()).sum::<usize>();
                }
                if format == Format::Text {
                    for line in page.lines() {
                        assert!(textwrap::core::display_width(line) <= 100, "{}: {line}", sheet.name);
                    }
                }
            }
        }
        refused
    };
    catch_unwind(AssertUnwindSafe(run)).map_err(|panic| {
        let words = panic.downcast_ref::<String>().cloned();
        words.or_else(|| panic.downcast_ref::<&str>().map(|it| (*it).to_owned())).unwrap_or_default()
    })
}

#[test]
fn mutated_numbers_end_in_words() {
    let wanted: usize = std::env::var("COTTER_MUTATIONS").ok().and_then(|it| it.parse().ok()).unwrap_or(60);
    let demos = [("heron", demo("heron")), ("curlew", demo("curlew"))];
    let validator = super::schema::validator();
    let (mut failures, mut refused) = (Vec::new(), 0);
    for seed in 0..wanted {
        let mut dice = Dice(0x9E37_79B9_7F4A_7C15 ^ (seed as u64 + 1).wrapping_mul(0x2545_F491_4F6C_DD1D));
        let (name, texts) = &demos[seed % demos.len()];
        let mut texts = texts.clone();
        for text in texts.values_mut() {
            *text = mutated(&String::from_utf8(text.clone()).unwrap(), &mut dice).into_bytes();
        }
        match fault(texts, &format!("{name}.cotter"), &validator) {
            Ok(found) => refused += usize::from(found > 0),
            Err(panic) => failures.push(format!("seed {seed} ({name}): {panic}")),
        }
    }
    assert!(failures.is_empty(), "{} of {wanted}:\n{}", failures.len(), failures.join("\n"));
    assert!(refused * 20 > wanted, "only {refused} of {wanted} reached a computation that refused them");
}

#[test]
fn numbers_are_found_where_they_stand() {
    let text = "part a : b \"12 mm\" { x = 4.5 mm; cogs = 11-13; t32 = up to 6 N·m } # 99\n";
    let found: Vec<&str> = numbers(text).into_iter().map(|it| &text[it]).collect();
    assert_eq!(found, ["4.5", "11", "13", "6"]);
}
