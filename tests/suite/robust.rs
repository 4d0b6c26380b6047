//! Whatever a text says, it ends in diagnostics: never in a panic, a hang or a lost report.
//!
//! `COTTER_MUTATIONS=100000 cargo test --release mutated` runs as many mutations of the demo specs; without it a few
//! hundred are run. A mutation that ever failed is kept in `tests/fixtures/mutations/` and run again each time.

use cotter::diagnose::{screen, wire};
use cotter::source::Memory;
use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};

/// A small generator of numbers: the same seed gives the same texts on every machine.
pub struct Dice(pub u64);

impl Dice {
    pub fn roll(&mut self, sides: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % sides.max(1) as u64) as usize
    }
}

const SCRAPS: &[&str] = &[
    "{",
    "}",
    "(",
    ")",
    "[",
    "]",
    "\"",
    "#",
    "=",
    "?",
    "~",
    "±",
    "..",
    "-",
    "|",
    ";",
    "\n",
    "\r",
    "\r\n",
    "\t",
    "\u{feff}",
    "\0",
    "\u{1b}[31m",
    "\u{202e}",
    "👼🏼",
    "é",
    "名",
    " mm",
    " EUR",
    " N·m",
    " deg",
    "1e999",
    "nan",
    "999999999999999999999999999999999",
    "-0",
    "1/0 in",
    "1 1/8 in",
    "0.0000000000000000000000000001",
    "584x23",
    "11-13-15",
    "47-584",
    "open(",
    "thru(142 mm, ",
    "part a : frame {",
    "build b from b {",
    "build c from d {",
    "use \"a.cotter\"",
    "remove frame",
    "standalone",
    "joint x { takes a : length",
    "require a.b \"{",
    "if a then b else ",
    "up to ",
    "yes",
    "steel",
    "a.b.c.d",
    "extend kind frame { fact x : length }",
    "stock s : tyre \"shop.csv\" {",
    "column \"size\" mm",
    "1.234,5",
];

pub fn mutated(text: &str, dice: &mut Dice) -> String {
    let mut chars: Vec<char> = text.chars().collect();
    for _ in 0..=dice.roll(4) {
        let at = dice.roll(chars.len() + 1);
        let most = if dice.roll(5) == 0 { 400 } else { 12 };
        let length = dice.roll(most);
        let end = (at + length).min(chars.len());
        match dice.roll(5) {
            0 => drop(chars.drain(at..end)),
            1 => {
                let copy: Vec<char> = chars[at..end].to_vec();
                let to = dice.roll(chars.len() + 1);
                chars.splice(to..to, copy);
            }
            2 => drop(chars.splice(at..at, SCRAPS[dice.roll(SCRAPS.len())].chars())),
            3 => drop(chars.splice(at..end, SCRAPS[dice.roll(SCRAPS.len())].chars())),
            _ if at < chars.len() => {
                let other = dice.roll(chars.len());
                chars.swap(at, other);
            }
            _ => {}
        }
    }
    chars.into_iter().collect()
}

fn specs() -> Vec<(PathBuf, BTreeMap<String, Vec<u8>>)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut folders: Vec<PathBuf> =
        std::fs::read_dir(root.join("specs")).unwrap().flatten().map(|it| it.path()).collect();
    folders.retain(|it| it.is_dir() && !it.ends_with("library") && it.read_dir().unwrap().next().is_some());
    folders.push(root.join("tests/trolley"));
    folders.sort();
    folders
        .into_iter()
        .map(|folder| {
            let mut files = cotter::source::spec_files(&folder.to_string_lossy()).unwrap();
            let lists = folder.read_dir().unwrap().flatten().map(|it| it.path().to_string_lossy().into_owned());
            files.extend(lists.filter(|it| it.ends_with(".csv")));
            let texts = files.iter().map(|file| {
                (Path::new(file).file_name().unwrap().to_string_lossy().into_owned(), std::fs::read(file).unwrap())
            });
            (folder, texts.collect())
        })
        .collect()
}

/// Compiles and renders; what panicked, if something did.
fn survives(texts: BTreeMap<String, Vec<u8>>, entry: &str) -> Result<(), String> {
    let sources = Memory { texts };
    catch_unwind(AssertUnwindSafe(|| {
        let compiled = cotter::compile(&sources, entry, "").expect("the text is in memory");
        let units = [compiled];
        let shown = screen::report(&units, None, screen::Look { color: false, width: 80 });
        assert!(!shown.contains("Failed to read"), "a label was lost");
        let json: serde_json::Value = serde_json::from_str(&wire::report(&units, None)).expect("the report is JSON");
        assert!(json.is_object());
    }))
    .map_err(|panic| {
        panic
            .downcast_ref::<String>()
            .cloned()
            .or_else(|| panic.downcast_ref::<&str>().map(|it| (*it).to_owned()))
            .unwrap_or_default()
    })
}

#[test]
fn mutated_specs_end_in_diagnostics() {
    let wanted: usize = std::env::var("COTTER_MUTATIONS").ok().and_then(|it| it.parse().ok()).unwrap_or(300);
    let specs = specs();
    let mut failures = Vec::new();
    for seed in 0..wanted {
        let mut dice = Dice(0x9E37_79B9_7F4A_7C15 ^ (seed as u64 + 1).wrapping_mul(0x2545_F491_4F6C_DD1D));
        let (_, texts) = &specs[seed % specs.len()];
        let names: Vec<&String> = texts.keys().collect();
        let name = names[dice.roll(names.len())].clone();
        let mut texts = texts.clone();
        let text = String::from_utf8(texts[&name].clone()).unwrap();
        texts.insert(name.clone(), mutated(&text, &mut dice).into_bytes());
        let specs: Vec<&&String> = names.iter().filter(|it| it.ends_with(".cotter")).collect();
        let other = specs[dice.roll(specs.len())].to_string();
        let entry = if dice.roll(2) == 0 && name.ends_with(".cotter") { name } else { other };
        if let Err(panic) = survives(texts.clone(), &entry) {
            failures.push(format!("seed {seed} ({entry}): {panic}"));
        }
    }
    assert!(failures.is_empty(), "{} of {wanted}:\n{}", failures.len(), failures.join("\n"));
}

#[test]
fn what_once_failed_is_tried_again() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures/mutations");
    for file in cotter::source::spec_files(&folder.to_string_lossy()).unwrap_or_default() {
        let bytes = std::fs::read(&file).unwrap();
        survives(BTreeMap::from([("entry.cotter".to_owned(), bytes)]), "entry.cotter")
            .unwrap_or_else(|panic| panic!("{file}: {panic}"));
    }
}

/// Depth and length that would break a parser without limits, each on a thread with a small stack.
#[test]
fn deep_and_long_texts_end_in_diagnostics() {
    let n = 100_000;
    let deep = |open: &str, close: &str| format!("part a : frame {{ x = {}1 mm{} }}", open.repeat(n), close.repeat(n));
    let in_rule = |expr: &str| format!("standalone\njoint j {{ takes a : length\n let b = {expr}\n }}");
    let texts = [
        deep("open(", ")"),
        deep("[", "]"),
        deep("{", "}"),
        "(".repeat(n),
        "{\n".repeat(n),
        "part a : frame {\n".repeat(n),
        in_rule(&"-".repeat(3000)),
        in_rule(&format!("{}a", "-\n".repeat(n))),
        in_rule(&format!("a{}", "\n + a".repeat(n))),
        in_rule(&format!("{}a", "not\n".repeat(n))),
        in_rule(&format!("{}a", "if a > 1 mm then a else\n".repeat(n))),
        format!("# {}\n", "c".repeat(3000)).repeat(1000),
        "\n#\n".repeat(n),
        format!("part a : frame {{\n{}}}", "material = steel\n".repeat(n)),
        "standalone\nkind k { fact a : ".to_owned() + &"list of ".repeat(400) + "length }",
    ];
    for (number, text) in texts.into_iter().enumerate() {
        let worker = std::thread::Builder::new().stack_size(2 * 1024 * 1024);
        let run = worker.spawn(move || {
            let compiled =
                cotter::compile(&Memory::one("a.cotter", text), "a.cotter", "").expect("the text is in memory");
            compiled.diagnostics.len()
        });
        let found = run.unwrap().join();
        assert!(found.is_ok(), "text {number} brought the compiler down");
    }
}
