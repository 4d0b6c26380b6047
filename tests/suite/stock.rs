//! Price lists: whatever stands in one, each row becomes a part or is told, and no price is guessed.

use cotter::Compiled;
use cotter::diagnose::{Severity, screen, wire};
use cotter::model::{PartId, Value};
use cotter::sheets::{Format, bill};
use cotter::source::{Disk, Memory};
use proptest::prelude::*;
use std::collections::BTreeMap;

const BLOCK: &str = r#"
stock shop : tyre "shop.csv" {
  name      = column "article"
  text      = column "words"
  size      = column "size"
  mass      = column "weight" g
  price     = column "price" EUR
  lead_time = column "days" d
  available = column "left" is not "0"
}
"#;

fn compiled(spec: &str, list: impl Into<Vec<u8>>) -> Compiled {
    let texts =
        BTreeMap::from([("a.cotter".to_owned(), spec.as_bytes().to_vec()), ("shop.csv".to_owned(), list.into())]);
    cotter::compile(&Memory { texts }, "a.cotter", "").unwrap()
}

fn shown(compiled: Compiled, width: usize) -> String {
    screen::report(&[compiled], None, screen::Look { color: false, width })
}

/// What is known of each part, in a line.
fn parts(compiled: &Compiled) -> Vec<String> {
    let model = &compiled.model;
    let line = |number: usize| {
        let (id, part) = (PartId(number), &model.parts[number]);
        let kind = &model[part.kind];
        let fact = |name: &str| {
            let valued = &part.facts[kind.facts.get_index_of(name).unwrap()];
            match valued.value {
                Value::Absent => "not stated".to_owned(),
                _ => valued.written.as_deref().unwrap_or("not known").to_owned(),
            }
        };
        format!(
            "{} ({}): size {}, mass {}, price {}, in {}, from {}, {:?} {:?}",
            part.name.text,
            part.doc,
            fact("size"),
            fact("mass"),
            model.price_of(id).map_or("not stated".to_owned(), |it| it.price.to_string()),
            fact("lead_time"),
            fact("supplier"),
            model.stock_of(id),
            model.is_available(id),
        )
    };
    (0..model.parts.len()).map(line).collect()
}

fn codes(compiled: &Compiled) -> Vec<&str> {
    compiled.diagnostics.iter().map(|it| it.code.as_str()).collect()
}

/// Rows that are told to be left out, one by one or counted.
fn left_out(compiled: &Compiled) -> usize {
    let counted = |it: &cotter::diagnose::Diagnostic| match it.code.as_str() {
        "stock.more" => it.message.split(' ').next().unwrap().parse().unwrap(),
        "stock.row" | "stock.cell" | "stock.decimal" | "stock.twice" => 1,
        other => panic!("{other}: {}", it.message),
    };
    compiled.diagnostics.iter().map(counted).sum()
}

#[test]
fn rows_become_parts_with_their_facts() {
    let list = "article,words,size,weight,price,days,left\n\
                AB 123-4,soft,47-584,560,\"1,012.50\",2,7\n\
                12345,,,1.2 kg,,,\n\
                Größe 5,\"with a \"\" in it\",-,~600,12.5 CHF,3,0\n";
    let compiled = compiled(BLOCK, list);
    assert_eq!(codes(&compiled), [] as [&str; 0]);
    assert_eq!(
        parts(&compiled),
        [
            "shop.ab_123_4 (soft): size 47-584, mass 560 g, price 1012.50 EUR, in 2 d, from shop, Some(Buy) Some(true)",
            "shop.12345 (): size not known, mass 1.2 kg, price not stated, in not stated, from shop, Some(Buy) None",
            "shop.größe_5 (with a \" in it): size not known, mass ~600 g, price 12.50 CHF, in 3 d, from shop, Some(Buy) Some(false)",
        ]
    );
}

#[test]
fn every_way_to_write_a_list_says_the_same() {
    let rows = [
        ["article", "words", "size", "weight", "price", "days", "left"],
        ["A 1", "grün", "47-584", "560", "1012.50", "2", "7"],
        ["A 2", "½", "", "", "12.00", "", "0"],
    ];
    let mut wanted = None;
    for mark in [",", ";", "\t", "|"] {
        for end in ["\n", "\r\n", "\r"] {
            for quoted in [false, true] {
                for last in [false, true] {
                    let cell = |it: &&str| if quoted { format!("\"{it}\"") } else { (*it).to_owned() };
                    let line = |row: &[&str; 7]| row.iter().map(cell).collect::<Vec<_>>().join(mark);
                    let mut text = rows.iter().map(line).collect::<Vec<_>>().join(end);
                    text.push_str(if last { end } else { "" });
                    let latin: Vec<u8> = text.chars().map(|it| u8::try_from(it).unwrap()).collect();
                    let stated = BLOCK.replace("  name ", "  encoding = latin_1\n  name ");
                    for (spec, bytes) in [
                        (BLOCK, text.clone().into_bytes()),
                        (BLOCK, format!("\u{feff}{text}").into_bytes()),
                        (&stated, latin),
                    ] {
                        let compiled = compiled(spec, bytes);
                        assert_eq!(codes(&compiled), [] as [&str; 0], "{text:?}");
                        let found = parts(&compiled);
                        assert_eq!(found.len(), 2);
                        assert_eq!(&found, wanted.get_or_insert_with(|| found.clone()), "{text:?}");
                    }
                }
            }
        }
    }
}

#[test]
fn a_million_characters_in_a_cell_cost_their_row_at_most() {
    let long = "x".repeat(1_000_000);
    let list = |words: &str, size: &str, other: &str| {
        format!(
            "article,words,size,weight,price,days,left,other\nA 1,,47-584,,,,,\nA 2,{words},{size},,,,,{other}\nA 3,,,,,,,\n"
        )
    };
    for (text, out) in [(list("", &long, ""), 1), (list(&long, "", ""), 1), (list("", "", &long), 0)] {
        let compiled = compiled(BLOCK, text);
        assert_eq!(compiled.model.parts.len(), 3 - out);
        assert_eq!(left_out(&compiled), out);
        let json = wire::report(std::slice::from_ref(&compiled), None);
        assert!(json.len() < 10_000, "the report repeats the cell");
        let shown = shown(compiled, 80);
        assert!(shown.len() < 5_000 && !shown.contains("Failed to read"), "{}", shown.len());
    }
    // A quote that nobody closes does not swallow the million characters below it, nor the rows.
    let text = list("\"soft", "", &long);
    let compiled = compiled(BLOCK, text);
    assert_eq!((compiled.model.parts.len(), left_out(&compiled)), (2, 1));
    assert!(!shown(compiled, 80).contains("Failed to read"));
}

#[test]
fn what_is_no_text_is_said_to_be_none() {
    let utf_16: Vec<u8> = "\u{feff}article;size\nA;47-584\n".encode_utf16().flat_map(u16::to_le_bytes).collect();
    for bytes in [utf_16, b"PK\x03\x04\x14\x00\x06\x00".to_vec(), b"article\n\0\n".to_vec(), vec![0; 1000]] {
        let compiled = compiled("stock shop : tyre \"shop.csv\" { name = column \"article\" }", bytes);
        assert_eq!(codes(&compiled), ["stock.encoding"]);
        assert!(compiled.diagnostics[0].help[0].contains("export it as CSV"));
        assert_eq!(compiled.diagnostics[0].severity, Severity::Error);
    }
}

#[test]
fn a_list_with_everything_wrong() {
    let mut spec = BLOCK.replace("  name ", "  rows      = column \"group\" is \"tyres\"\n  name ");
    spec.push_str(
        "stock shop : hub \"shop.csv\" {\n  rows  = column \"group\" is \"hubs\"\n  holes = column \"size\"\n}\n",
    );
    let list = "article;group;words;size;weight;price;days;left\n\
                A 1;tyres;soft;47-584;560;21,50;2;7\n\
                A 2;tyres;28 in;28 x 1.75;560;21,50;2;7\n\
                A 3;tyres;soft; black;47-584;560;21,50;2;7\n\
                A 4;tyres;heavy;47-584;56000000 g;1.234;2;7\n\
                a-1;tyres;again;47-584;560;21,50;2;7\n\
                A 5;tyres;\"open;47-584;560;21,50;2;7\n\
                A 6;tyres;cheap;47-584;560;cheap;2;7\n\
                A 7;tyres;late;47-584;560;2,50;soon;7\n\
                H 1;hubs;;36;;;;\n\
                H 2;hubs;;thirty-six;;;;\n";
    insta::assert_snapshot!(shown(compiled(&spec, list), 100));
}

#[test]
fn rows_that_are_left_out_warn_and_no_more() {
    let spec = format!(
        "{BLOCK}\nassembly wheel {{ slot tyre : tyre; join fit = lies(tyre = tyre) }}\n\
         joint lies {{ takes tyre : tyre\n  require lies.light \"it is light\" {{ that tyre.mass < 1 kg; else \"no\"; source practice }}\n  source practice }}\n\
         build w : wheel {{ tyre = shop.a_1 }}\n"
    );
    let list = "article;words;size;weight;price;days;left\nA 1;;47-584;560;;;\nA 2;;28 in;560;;;\n";
    let compiled = compiled(&spec, list);
    assert_eq!(codes(&compiled), ["stock.cell"]);
    assert_eq!(compiled.diagnostics[0].severity, Severity::Warning);
    let shown = shown(compiled, 100);
    assert!(shown.contains("its only joint fits") && !shown.contains("mistake"), "{shown}");
}

#[test]
fn the_shop_of_the_demo_mends_the_first_try() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/specs/heron");
    let spec = "use \"heron.cotter\"\n\
                build mended from heron_first_try {\n\
                  rear.hub  = corner_shop.h_126_36\n\
                  rear.cogs = old_freewheel\n\
                  rear.tyre = corner_shop.t_32_622_s\n\
                  right_shifter = corner_shop.s_7\n\
                }\n";
    struct Over(Memory, Disk);
    impl cotter::source::Sources for Over {
        fn read(&self, path: &str) -> Result<Vec<u8>, cotter::source::ReadError> {
            self.0.read(path).or_else(|_| self.1.read(path))
        }
    }
    let path = format!("{folder}/mine.cotter");
    let sources = Over(Memory::one(&path, spec), Disk::below(folder));
    let compiled = cotter::compile(&sources, &path, folder).unwrap();
    let stock: Vec<&str> = codes(&compiled).into_iter().filter(|it| it.starts_with("stock.")).collect();
    assert_eq!(stock, [] as [&str; 0]);
    let clashes = |name: &str| -> Vec<&str> {
        let id = compiled.model.build_named(name).unwrap();
        let joints = &compiled.builds.iter().find(|it| it.build == id).unwrap().joints;
        joints
            .iter()
            .flat_map(|it| &it.findings)
            .filter(|it| it.fails && it.required)
            .map(|it| it.code.as_str())
            .collect()
    };
    let (before, after) = (clashes("heron_first_try"), clashes("mended"));
    assert!(before.contains(&"axle.spacing") && !after.contains(&"axle.spacing"), "{after:?}");
    assert!(after.iter().all(|it| before.contains(it)), "{before:?} {after:?}");
    assert!(after.len() < before.len());
    // The tyre with studs is not to be had: the check advises, the bill marks it.
    let advice: Vec<&str> =
        compiled.diagnostics.iter().filter(|it| it.code == "part.unavailable").map(|it| it.message.as_str()).collect();
    assert_eq!(advice, ["`corner_shop.t_32_622_s` is not to be had"]);
    let judged = compiled.builds.iter().find(|it| compiled.model[it.build].name.text == "mended").unwrap();
    let bills = [bill::Bill::of(&compiled.model, judged)];
    let text = bill::render(&bills, Format::Text);
    assert!(text.contains("the build waits for what is not to be had: corner_shop.t_32_622_s"), "{text}");
    assert!(text.contains("corner_shop"));
    let csv = bill::render(&bills, Format::Csv);
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let column = reader.headers().unwrap().iter().position(|it| it == "available").unwrap();
    let said: Vec<String> = reader
        .records()
        .map(|it| it.unwrap())
        .filter(|it| &it[1] == "buy" && it[4].starts_with("corner_shop."))
        .map(|it| format!("{}: {}", &it[4], &it[column]))
        .collect();
    assert_eq!(said, ["corner_shop.h_126_36: yes", "corner_shop.s_7: yes", "corner_shop.t_32_622_s: no"]);
}

/// A cell of a list: mostly what may stand there, and everything that a list may break on.
fn cell() -> impl Strategy<Value = String> {
    prop_oneof![
        4 => "[0-9]{1,5}",
        2 => "[0-9]{1,2}-[0-9]{3}",
        2 => "[0-9]{1,3}[.,][0-9]{1,3}",
        1 => "[ .,;|\t\"'\r\n#?~x€äß-]{0,4}",
        1 => "[a-z ]{0,8}",
        1 => any::<String>(),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn any_bytes_end_in_words(bytes in prop::collection::vec(any::<u8>(), 0..400), head in any::<bool>(), latin in any::<bool>()) {
        let mut list = if head { b"article,words,size,weight,price,days,left\n".to_vec() } else { Vec::new() };
        list.extend(bytes);
        let stated = BLOCK.replace("  name ", "  encoding = latin_1\n  name ");
        let compiled = compiled(if latin { &stated } else { BLOCK }, list);
        let json: serde_json::Value =
            serde_json::from_str(&wire::report(std::slice::from_ref(&compiled), None)).unwrap();
        prop_assert!(json.is_object());
        prop_assert!(!shown(compiled, 80).contains("Failed to read"));
    }

    #[test]
    fn every_row_is_a_part_or_told(rows in prop::collection::vec(prop::collection::vec(cell(), 6..9), 0..40), mark in prop::sample::select(vec![b',', b';', b'\t', b'|'])) {
        // What the csv library writes, and reads back, is the list.
        let mut writer = csv::WriterBuilder::new().delimiter(mark).flexible(true).from_writer(Vec::new());
        writer.write_record(["article", "words", "size", "weight", "price", "days", "left"]).unwrap();
        rows.iter().for_each(|row| writer.write_record(row).unwrap());
        let list = writer.into_inner().unwrap();
        prop_assume!(!list.contains(&0));
        let mut reader = csv::ReaderBuilder::new().delimiter(mark).flexible(true).from_reader(list.as_slice());
        let full = reader.records().filter(|row| row.as_ref().unwrap().iter().any(|cell| !cell.trim().is_empty())).count();
        let compiled = compiled(BLOCK, list.clone());
        if codes(&compiled) == ["stock.empty"] {
            prop_assert_eq!(rows.len(), 0);
        } else {
            let text = String::from_utf8_lossy(&list).into_owned();
            prop_assert_eq!(compiled.model.parts.len() + left_out(&compiled), full, "{}", text);
        }
    }

    #[test]
    fn a_name_of_any_list_can_be_written_in_a_build(name in "\\PC{1,12}") {
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(["article", "size"]).unwrap();
        writer.write_record([name.as_str(), ""]).unwrap();
        let list = writer.into_inner().unwrap();
        let block = "stock shop : tyre \"shop.csv\" { name = column \"article\" }\nassembly wheel { slot tyre : tyre; source practice }\n";
        let first = compiled(block, list.clone());
        if let Some(part) = first.model.parts.first() {
            let spec = format!("{block}build w : wheel {{ tyre = {} }}\n", part.name.text);
            let again = compiled(&spec, list);
            prop_assert_eq!(codes(&again), [] as [&str; 0], "{}", part.name.text);
        } else {
            prop_assert!(!name.contains(char::is_alphanumeric) || codes(&first) == ["stock.cell"], "{}", name);
        }
    }

    #[test]
    fn no_price_is_ever_read_as_another(
        amounts in prop::collection::vec((0u32..3_000_000, 0usize..4), 1..8),
        comma in any::<bool>(), parted in any::<bool>(), stated in any::<bool>(), sign in any::<bool>(),
    ) {
        let (decimal, gap) = if comma { (',', '.') } else { ('.', ',') };
        let written = |(amount, places): &(u32, usize)| {
            let (whole, part) = (amount / 1000, amount % 1000);
            let mut text = whole.to_string();
            if parted && text.len() > 3 {
                text.insert(text.len() - 3, gap);
            }
            if *places > 0 {
                text.push(decimal);
                text.push_str(&format!("{part:03}")[..*places]);
            }
            if sign { format!("{text} €") } else { text }
        };
        let true_price = |(amount, places): &(u32, usize)| {
            let unit = 10u32.pow(3 - u32::try_from(*places).unwrap());
            f64::from(amount / unit * unit) / 1000.0
        };
        let rows: String = amounts.iter().enumerate().map(|(at, it)| format!("p{at};{}\n", written(it))).collect();
        let said = if comma { "decimal = comma; " } else { "decimal = point; " };
        let spec = format!("stock shop : tyre \"shop.csv\" {{ {}name = column \"no\"; price = column \"price\" EUR }}", if stated { said } else { "" });
        let compiled = compiled(&spec, format!("no;price\n{rows}"));
        for (number, part) in compiled.model.parts.iter().enumerate() {
            let at: usize = part.name.text.trim_start_matches("shop.p").parse().unwrap();
            let read: f64 = compiled.model.price_of(PartId(number)).unwrap().price.low().amount.to_string().parse().unwrap();
            prop_assert_eq!(read, true_price(&amounts[at]), "{}", rows);
        }
        if stated {
            prop_assert_eq!(compiled.model.parts.len(), amounts.len(), "{:?}\n{}", codes(&compiled), rows);
        }
    }
}
