//! Sheets of the trade's numbers: how they look, whether their figures are right, and what they say of what is not known.

mod estimates;
mod hostile;
mod looks;
mod mutated;
mod refused;
mod schema;
mod truth;
mod unknown;

use cotter::Compiled;
use cotter::model::{BuildId, Model};
use cotter::sheets::Format;
use cotter::sheets::numbers::{Page, braking, chain, gears, geometry, indexing, wheels};
use cotter::source::Memory;
use serde_json::{Map, Value as Json};
use std::collections::BTreeMap;
use std::path::Path;

const FORMATS: [(Format, &str); 4] =
    [(Format::Text, "text"), (Format::Markdown, "markdown"), (Format::Csv, "csv"), (Format::Json, "json")];

/// A sheet: its command, and what the command calls.
#[derive(Clone, Copy)]
struct Sheet {
    name: &'static str,
    page: fn(&Model, BuildId) -> Page,
    render: fn(&[Page], Format) -> String,
}

const SHEETS: [Sheet; 6] = [
    Sheet { name: "gears", page: gears::page, render: gears::render },
    Sheet { name: "chain", page: chain::page, render: chain::render },
    Sheet { name: "indexing", page: indexing::page, render: indexing::render },
    Sheet { name: "wheels", page: wheels::page, render: wheels::render },
    Sheet { name: "geometry", page: geometry::page, render: geometry::render },
    Sheet { name: "braking", page: braking::page, render: braking::render },
];

fn sheet(name: &str) -> Sheet {
    SHEETS.into_iter().find(|it| it.name == name).unwrap()
}

impl Sheet {
    /// Written for one build.
    fn written(self, compiled: &Compiled, build: &str, format: Format) -> String {
        let id = compiled.model.build_named(build).unwrap_or_else(|| panic!("there is no build {build}"));
        (self.render)(&[(self.page)(&compiled.model, id)], format)
    }

    fn pages(self, compiled: &Compiled) -> Vec<Page> {
        compiled.builds.iter().map(|it| (self.page)(&compiled.model, it.build)).collect()
    }

    /// Written for all builds.
    fn of_all(self, compiled: &Compiled, format: Format) -> String {
        (self.render)(&self.pages(compiled), format)
    }

    /// What it says of one build, as data.
    fn data(self, compiled: &Compiled, build: &str) -> Json {
        let mut all: Json = serde_json::from_str(&self.written(compiled, build, Format::Json)).unwrap();
        all["builds"][0].take()
    }
}

/// The texts of a demo.
fn demo(name: &str) -> BTreeMap<String, Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("specs").join(name);
    let mut files = cotter::source::spec_files(&folder.to_string_lossy()).unwrap();
    let lists = folder.read_dir().unwrap().flatten().map(|it| it.path().to_string_lossy().into_owned());
    files.extend(lists.filter(|it| it.ends_with(".csv")));
    let text = |file: &String| std::fs::read(file).unwrap();
    let name = |file: &String| Path::new(file).file_name().unwrap().to_string_lossy().into_owned();
    files.iter().map(|file| (name(file), text(file))).collect()
}

fn compiled(texts: BTreeMap<String, Vec<u8>>, entry: &str) -> Compiled {
    cotter::compile(&Memory { texts }, entry, "").unwrap()
}

/// A text without what only aligns it.
fn squeezed(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if c != ' ' || !out.ends_with(' ') {
            out.push(c);
        }
    }
    out
}

/// A demo with some stretches of its texts written otherwise; each of them stands there just once.
fn changed(name: &str, changes: &[(&str, &str)]) -> Compiled {
    let mut texts = demo(name);
    for (from, to) in changes {
        let mut found = 0;
        for text in texts.values_mut() {
            let now = squeezed(&String::from_utf8(text.clone()).unwrap());
            let from = squeezed(from);
            found += now.matches(&from).count();
            *text = now.replace(&from, to).into_bytes();
        }
        assert_eq!(found, 1, "`{from}` in {name}");
    }
    let all = compiled(texts, &format!("{name}.cotter"));
    let mistakes: Vec<&str> =
        all.diagnostics.iter().filter(|it| it.build.is_none()).map(|it| it.message.as_str()).collect();
    assert!(mistakes.is_empty(), "{changes:?}: {mistakes:?}");
    all
}

fn heron(changes: &[(&str, &str)]) -> Compiled {
    changed("heron", changes)
}

fn curlew(changes: &[(&str, &str)]) -> Compiled {
    changed("curlew", changes)
}

/// The row of a table with these words in it.
fn row<'d>(data: &'d Json, table: &str, words: &[&str]) -> &'d Map<String, Json> {
    let rows = data[table].as_array().unwrap_or_else(|| panic!("there is no table {table}: {data}"));
    let has = |row: &Json, word: &str| row.as_object().unwrap().values().any(|it| it.as_str() == Some(word));
    let found: Vec<&Json> = rows.iter().filter(|row| words.iter().all(|word| has(row, word))).collect();
    assert_eq!(found.len(), 1, "{words:?} in {table}: {rows:?}");
    found[0].as_object().unwrap()
}

/// A figure of it.
fn figure(data: &Json, table: &str, words: &[&str], key: &str) -> f64 {
    let row = row(data, table, words);
    row.get(key).and_then(Json::as_f64).unwrap_or_else(|| panic!("{words:?} has no {key}: {row:?}"))
}

/// That a figure is this one, to the three digits that data have.
#[track_caller]
fn assert_is(found: f64, expected: f64) {
    assert!((found - expected).abs() < 0.000_501, "{found} is not {expected}");
}

fn strings<'d>(data: &'d Json, key: &str) -> Vec<&'d str> {
    data[key].as_array().unwrap().iter().map(|it| it.as_str().unwrap()).collect()
}

/// Paths of the facts that are not known, or assumed; with the build, where it is not the page's own.
fn facts(data: &Json, key: &str) -> Vec<String> {
    let text = |it: &Json, key: &str| it[key].as_str().unwrap().to_owned();
    let one = |it: &Json| {
        let (fact, build) = (text(it, "fact"), text(it, "build"));
        if data["build"] == build.as_str() { fact } else { format!("{fact} of {build}") }
    };
    data[key].as_array().unwrap().iter().map(one).collect()
}
