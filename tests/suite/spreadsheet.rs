//! Rows that a real spreadsheet opens as they are meant: LibreOffice, without a screen. It takes a while to start, so this
//! runs only when asked for (`cargo test --test suite spreadsheet -- --ignored`).

use super::fixtures;
use cotter::sheets::bill::Bill;
use cotter::sheets::steps::Steps;
use cotter::sheets::torque::TorqueSheet;
use cotter::sheets::{Format, bill, steps, torque};
use std::path::Path;
use std::process::Command;

/// Opens rows in the spreadsheet and lets it write them again: as rows, and as its own file with the type of every cell.
fn opened(folder: &Path, name: &str, rows: &str) -> (String, String) {
    let (here, there) = (folder.join(format!("{name}.csv")), folder.join("out"));
    std::fs::write(&here, rows).unwrap();
    // Commas, double quotes, UTF-8, from the first line on, and else what its dialogue offers by itself: plain numbers are
    // numbers, and nothing else is taken for a date.
    let filter = "44,34,76,1,,0,false,false";
    for to in [format!("csv:Text - txt - csv (StarCalc):{filter}"), "fods".to_owned()] {
        let output = Command::new("soffice")
            .arg(format!("-env:UserInstallation=file://{}", folder.join("profile").display()))
            .args(["--headless", "--norestore", "--convert-to", &to])
            .arg(format!("--infilter=CSV:{filter}"))
            .arg("--outdir")
            .args([&there, &here])
            .output()
            .expect("LibreOffice, as Debian's package libreoffice-calc has it");
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    }
    let read = |ending: &str| std::fs::read_to_string(there.join(format!("{name}.{ending}"))).unwrap();
    (read("csv"), read("fods"))
}

fn cells(rows: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(rows.as_bytes());
    reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect()
}

/// Numbers may lose zeros at their ends, and say as much.
fn same(ours: &str, theirs: &str) -> bool {
    match (ours.parse::<f64>(), theirs.parse::<f64>()) {
        (Ok(one), Ok(other)) => (one - other).abs() < 1e-9,
        _ => ours == theirs,
    }
}

#[test]
#[ignore = "starts a spreadsheet"]
fn a_spreadsheet_opens_what_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let heron = fixtures::compile(&Path::new(env!("CARGO_MANIFEST_DIR")).join("specs/heron/heron.cotter"));
    let winter = heron.builds.iter().find(|it| heron.model[it.build].name.text == "heron_winter").unwrap();
    let hostile = cotter::source::Memory::one("t.cotter", HOSTILE);
    let hostile = cotter::compile(&hostile, "t.cotter", "").unwrap();
    let sheets = [
        ("bill", bill::render(&[Bill::of(&heron.model, winter)], Format::Csv)),
        ("torque", torque::render(&[TorqueSheet::of(&heron.model, winter)], Format::Csv)),
        ("steps", steps::render(&[Steps::of(&heron.model, winter)], Format::Csv)),
        ("hostile", bill::render(&[Bill::of(&hostile.model, &hostile.builds[0])], Format::Csv)),
    ];
    for (name, rows) in &sheets {
        let (back, typed) = opened(folder.path(), name, rows);
        let (ours, theirs) = (cells(rows), cells(&back));
        assert_eq!(ours.len(), theirs.len(), "{name}");
        for (at, (one, other)) in ours.iter().zip(&theirs).enumerate() {
            let odd: Vec<_> = one.iter().zip(other).filter(|(one, other)| !same(one, other)).collect();
            assert!(odd.is_empty() && one.len() == other.len(), "{name}, row {}: {odd:?}", at + 1);
        }
        // Nothing is run, and amounts are numbers that can be added up.
        assert!(!typed.contains("table:formula"), "{name}: a cell is taken for a formula");
        if *name == "bill" {
            let column = ours[0].iter().position(|it| it == "price_max").unwrap();
            let prices: Vec<&String> = ours[1..].iter().map(|row| &row[column]).filter(|it| !it.is_empty()).collect();
            assert!(prices.len() > 10);
            for price in prices {
                let value = format!("office:value=\"{}\"", price.parse::<f64>().unwrap());
                assert!(typed.contains(&value), "{price} is no number");
            }
        }
    }
}

/// Names that a spreadsheet might take for something else.
const HOSTILE: &str = r#"
standalone
kind thing "a thing" { source practice }
assembly lot "a lot" { slot a? : thing; slot b? : thing; slot c? : thing }
part p : thing "=1+1, \"quoted\"; and a semicolon" { source = buy; price = 1234.50 EUR; supplier = "-2+3" ; note = "@SUM(A1)" }
part q : thing "a | bar, ünïcödé" { source = bin; note = "+49 30 1234" }
part r : thing "1/2" { source = donor; note = "2026-03-01 x" }
build b : lot { a = p; b = q; c = r }
"#;
