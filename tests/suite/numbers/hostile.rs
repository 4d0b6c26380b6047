//! Words that are meant to act stay words, on every sheet and in every format.

use super::*;

/// Words as a person may write them between quotes, with nothing good in mind.
const HOSTILE: &[&str] = &[
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
];

/// A trade of its own that a sheet finds something in, and that says `words` wherever a person may say anything.
fn saying(words: &str) -> Compiled {
    let text = r##"standalone
caution beware "HOSTILE"
choice edges "HOSTILE" { hooked "HOSTILE"; hookless "HOSTILE"; source practice }
interface size "HOSTILE" { source practice }
standard iso : size "HOSTILE" {
  field bead  : length "HOSTILE" { measure "HOSTILE"; tool "HOSTILE" }
  field width : length "HOSTILE" { measure "HOSTILE" }
  field inner : length = 19 mm "HOSTILE"
  source practice
}
kind ring "HOSTILE" { fact teeth : count of teeth "HOSTILE" { measure "HOSTILE"; tool "HOSTILE" }; source practice }
kind cogs "HOSTILE" { fact cogs : list of count of teeth "HOSTILE" { measure "HOSTILE" }; source practice }
kind crank "HOSTILE" { fact length : length = 170 mm "HOSTILE"; source practice }
kind tyre "HOSTILE" { port size : size "HOSTILE"; source practice }
kind frame "HOSTILE" { fact chainstay.length : length "HOSTILE" { measure "HOSTILE" }; fact gap? : length "HOSTILE"; source practice }
assembly bicycle "HOSTILE" {
  slot ring.big   : ring "HOSTILE"
  slot rear.cogs  : cogs "HOSTILE"
  slot crank      : crank "HOSTILE"
  slot rear.tyre  : tyre "HOSTILE"
  slot front.tyre : tyre "HOSTILE"
  slot frame      : frame "HOSTILE"
  slot fork       : frame "HOSTILE"
  fact rider     : mass = 80 kg "HOSTILE" { measure "HOSTILE" }
  fact bike_mass : mass = 15 kg "HOSTILE"
  fact luggage   : mass = 0 kg "HOSTILE"
  fact effort    : power "HOSTILE" { measure "HOSTILE" }
  fact cadence   : range of rate = 60 rpm .. 90 rpm "HOSTILE"
}
part r : ring "HOSTILE" { teeth = 42 }
part c : cogs "HOSTILE" { cogs = [19, 21] }
part k : crank "HOSTILE" { }
part t : tyre "HOSTILE" { size = iso(622 mm, 32 mm) }
part u : tyre "HOSTILE" { size = iso(622 mm, ?) }
part f : frame "HOSTILE" { gap = 50 mm }
build before : bicycle "HOSTILE" { ring.big = r; rear.cogs = c; crank = k; rear.tyre = u; front.tyre = t; frame = f; fork = f }
build now from before "HOSTILE" { rear.tyre = t; effort = ? }
"##;
    let text = text.replace("HOSTILE", words);
    let all = compiled(BTreeMap::from([("trade.cotter".to_owned(), text.into_bytes())]), "trade.cotter");
    let faults: Vec<String> =
        all.diagnostics.iter().filter(|it| it.build.is_none()).map(|it| it.message.clone()).collect();
    assert!(faults.is_empty(), "{words}: {faults:?}");
    all
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

fn harmless(name: &str, page: &str, format: Format) {
    let acts = |c: char| c != '\n' && (c.is_control() || matches!(c, '\u{202e}' | '\u{200b}'));
    assert!(!page.contains(acts), "{name}: {page:?}");
    match format {
        Format::Text => {
            for line in page.lines() {
                assert!(textwrap::core::display_width(line) <= 100, "{name}: {line}");
            }
            // Every line of a table is as wide as its frame.
            let framed = |it: &&str| it.starts_with(['│', '├', '┌', '└', '╞']);
            let widths: Vec<usize> = page.lines().filter(framed).map(textwrap::core::display_width).collect();
            let tops: Vec<usize> =
                page.lines().filter(|it| it.starts_with('┌')).map(textwrap::core::display_width).collect();
            assert!(widths.iter().all(|it| tops.contains(it)), "{name}: {page}");
        }
        Format::Markdown => {
            let rows: Vec<&str> = page.lines().collect();
            for two in rows.windows(2).filter(|two| two.iter().all(|it| it.starts_with('|'))) {
                assert_eq!(cells(two[0]), cells(two[1]), "{name}: {page}");
            }
            assert!(!page.replace("\\<", "").contains('<'), "{name}: {page}");
            for line in page.lines() {
                let title =
                    ["# Gears: ", "# Chain: ", "# Indexing: ", "# Wheels: ", "# Geometry: ", "# Braking: ", "## "];
                assert!(!line.starts_with('#') || title.iter().any(|it| line.starts_with(it)), "{name}: {line}");
                assert!(!line.starts_with("12. ") && !line.starts_with("- # "), "{name}: {line}");
            }
        }
        Format::Csv => {
            let mut reader = csv::Reader::from_reader(page.as_bytes());
            let records: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
            for cell in records.iter().flat_map(csv::StringRecord::iter) {
                assert!(
                    cell.parse::<f64>().is_ok() || !cell.trim().starts_with(['=', '+', '-', '@']),
                    "{name}: {cell}"
                );
            }
            assert_eq!(page.lines().count(), 1 + records.len(), "{name}: {page}");
        }
        Format::Json => {
            let data: Json = serde_json::from_str(page).unwrap();
            let faults = super::schema::faults(&super::schema::validator(), &data);
            assert!(faults.is_empty(), "{name}: {faults:?}\n{page}");
        }
    }
}

#[test]
fn hostile_words_stay_words_in_every_format() {
    for words in HOSTILE {
        let compiled = saying(words);
        let said = compiled.model.builds[1].doc.clone();
        for sheet in SHEETS {
            for (format, word) in FORMATS {
                harmless(&format!("{}, {word}, {words:?}", sheet.name), &sheet.of_all(&compiled, format), format);
            }
            let data = sheet.data(&compiled, "now");
            assert_eq!(data["description"], said.as_str());
        }
        // There is something to see: gears, what they lack and what they take for granted are told in these words.
        let gears = sheet("gears").data(&compiled, "now");
        assert_eq!(gears["gears"].as_array().map(Vec::len), Some(4));
        assert_eq!(facts(&gears, "unknown"), ["effort", "rear.tyre.size.width of before"]);
        assert_eq!(
            (&gears["unknown"][1]["measure"], &gears["unknown"][1]["what"]),
            (&gears["description"], &gears["description"])
        );
        assert_eq!(facts(&gears, "assumed")[0], "crank.length");
        assert_eq!(gears["assumed"][0]["what"], said.as_str());
        assert_eq!(sheet("chain").data(&compiled, "now")["unknown"][0]["measure"], said.as_str());
    }
}

#[test]
fn a_hostile_description_does_not_break_a_whole_sheet() {
    for words in HOSTILE {
        let compiled = heron(&[("to work and back, December to March", words)]);
        for sheet in SHEETS {
            for (format, word) in FORMATS {
                let page = sheet.written(&compiled, "heron_winter", format);
                harmless(&format!("{}, {word}, {words:?}", sheet.name), &page, format);
            }
        }
    }
}
