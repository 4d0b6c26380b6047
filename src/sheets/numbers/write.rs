//! Sheets of numbers as text, Markdown, CSV and JSON.

use super::figure::{Figure, Standing};
use super::lacks::{Assumed, Missing};
use super::page::{Cell, Column, Page, Section};
use crate::sheets::Format;
use crate::sheets::render::{self, Block, Grid, plain, strong};
use serde_json::{Map, Value, json};

/// A whole sheet.
///
/// `name` is its command, and its schema's: `cotter.NAME/1`.
pub(super) fn sheet(name: &str, title: &str, pages: &[Page], format: Format) -> String {
    match format {
        Format::Text => render::text(&blocks(title, pages)),
        Format::Markdown => render::markdown(&blocks(title, pages)),
        Format::Csv => csv(pages),
        Format::Json => render::json(&data(name, pages)),
    }
}

/// Pages as blocks, each under its title.
pub(super) fn blocks(title: &str, pages: &[Page]) -> Vec<Block> {
    let mut out = Vec::new();
    for page in pages {
        let name = if page.description.is_empty() {
            format!("{title}: {}", page.build)
        } else {
            format!("{title}: {}, {}", page.build, page.description)
        };
        out.push(Block::Title(name));
        let list = |all: Vec<render::Words>| (!all.is_empty()).then_some(Block::Items(all));
        out.extend(list(page.cautions.iter().map(|it| strong(*it)).collect()));
        let cannot = page.refused.iter().map(|it| strong(format!("can't be computed: {it}")));
        out.extend(list(cannot.chain(page.concerns.iter().map(|it| strong(it.clone()))).collect()));
        for section in &page.sections {
            out.push(Block::Heading(section.title.clone()));
            out.push(Block::Grid(grid(section)));
            out.extend(section.chart.as_ref().map(|it| Block::Verbatim(it.text())));
            out.extend(list(section.remarks.iter().map(|it| plain(it.clone())).collect()));
        }
        let nothing = page.sections.is_empty();
        if nothing {
            out.push(Block::Text(plain(if page.lacks.missing.is_empty() {
                page.notes.join(" ")
            } else {
                "Nothing can be computed yet: what it takes stands below.".to_owned()
            })));
        }
        if !page.lacks.missing.is_empty() {
            out.push(Block::Heading("Not known yet".to_owned()));
            out.extend(list(page.lacks.missing.iter().map(|it| plain(to_measure(page, it))).collect()));
        }
        if !page.lacks.assumed.is_empty() {
            out.push(Block::Heading("Assumed, because nobody stated it".to_owned()));
            let words = page.lacks.assumed.iter().map(|it| plain(assumption(page, it)));
            out.extend(list(words.collect()));
        }
        if !nothing && !page.notes.is_empty() {
            out.push(Block::Heading("How it is computed".to_owned()));
            out.extend(list(page.notes.iter().map(|it| plain(it.clone())).collect()));
        }
    }
    out
}

/// A fact by its path; of which build, where it is not the page's own.
fn named(page: &Page, build: &str, path: &str) -> String {
    if page.build == build { format!("`{path}`") } else { format!("`{path}` of {build}") }
}

/// What is not known, and how it is measured.
pub(super) fn to_measure(page: &Page, it: &Missing) -> String {
    let measure = if it.measure.is_empty() { String::new() } else { format!(": {}", it.measure) };
    format!("{}, {}{measure}", named(page, &it.build, &it.path), it.what)
}

fn assumption(page: &Page, it: &Assumed) -> String {
    format!("{} = {}: {}", named(page, &it.build, &it.path), it.value, it.what)
}

fn grid(section: &Section) -> Grid {
    // A column in which nothing stands is left out.
    let filled: Vec<(usize, &Column)> = (0..)
        .zip(&section.columns)
        .filter(|(at, column)| {
            !column.hidden && section.rows.iter().any(|row| row.get(*at).is_some_and(says_something))
        })
        .collect();
    let titles = filled.iter().map(|(_, it)| (it.title.to_owned(), it.figures)).collect();
    let row = |cells: &Vec<Cell>| {
        filled.iter().map(|(at, column)| cells.get(*at).map_or(String::new(), |it| shown(it, column))).collect()
    };
    Grid { titles, rows: section.rows.iter().map(row).collect() }
}

fn says_something(cell: &Cell) -> bool {
    match cell {
        Cell::Figure(_) | Cell::Of(..) => true,
        Cell::Words(words) => !words.is_empty(),
        Cell::Flag(flag) => *flag,
        Cell::Nothing => false,
    }
}

fn shown(cell: &Cell, column: &Column) -> String {
    match cell {
        Cell::Figure(figure) => figure.shown(column.decimals),
        Cell::Of(figure, "", decimals) => figure.shown(*decimals),
        Cell::Of(figure, unit, decimals) => format!("{} {unit}", figure.shown(*decimals)),
        Cell::Words(words) => words.clone(),
        Cell::Flag(true) => column.title.to_owned(),
        Cell::Flag(false) | Cell::Nothing => String::new(),
    }
}

const HEADER: &[&str] = &["build", "section", "row", "what", "value", "low", "high", "estimated"];

/// A row a cell: tables of different columns share one file, and a spreadsheet's pivot turns them back.
fn csv(pages: &[Page]) -> String {
    let mut rows = Vec::new();
    for page in pages {
        for (at, section) in page.sections.iter().enumerate() {
            // Two tables of one key are counted through, as they stand after each other in data.
            let before = page.sections.iter().take(at).filter(|it| it.key == section.key);
            let first = 1 + before.map(|it| it.rows.len()).sum::<usize>();
            for (number, cells) in (first..).zip(&section.rows) {
                for (column, cell) in section.columns.iter().zip(cells) {
                    let figure = |it: &Figure| {
                        let ends = [it.value, it.low, it.high].map(|it| render::figure_cell(Some(it)));
                        let guess = if it.standing == Standing::Estimated { "yes" } else { "no" };
                        [ends.as_slice(), &[guess.to_owned()]].concat()
                    };
                    let (what, value) = match cell {
                        Cell::Nothing => continue,
                        Cell::Figure(it) => (column.key.to_owned(), figure(it)),
                        Cell::Of(it, unit, _) => (key_with(column.key, unit), figure(it)),
                        Cell::Words(words) => (column.key.to_owned(), vec![words.clone()]),
                        Cell::Flag(flag) => (column.key.to_owned(), vec![if *flag { "yes" } else { "no" }.to_owned()]),
                    };
                    let mut row = vec![page.build.clone(), section.key.to_owned(), number.to_string(), what];
                    row.extend(value);
                    row.resize(HEADER.len(), String::new());
                    rows.push(row);
                }
            }
        }
        for section in &page.sections {
            for remark in &section.remarks {
                let mut row = [&page.build, section.key, "", "remark", remark].map(str::to_owned).to_vec();
                row.resize(HEADER.len(), String::new());
                rows.push(row);
            }
        }
        let concerns = page.concerns.iter().map(|it| ("concern", it.clone()));
        let refused = page.refused.iter().map(|it| ("refused", it.clone()));
        let of =
            |build: &str, path: &str| if page.build == build { path.to_owned() } else { format!("{path} of {build}") };
        let unknown = page.lacks.missing.iter().map(|it| ("unknown", of(&it.build, &it.path)));
        let assumed =
            page.lacks.assumed.iter().map(|it| ("assumed", format!("{} = {}", of(&it.build, &it.path), it.value)));
        for (what, words) in concerns.chain(refused).chain(unknown).chain(assumed) {
            let mut row = vec![page.build.clone(), String::new(), String::new(), what.to_owned(), words];
            row.resize(HEADER.len(), String::new());
            rows.push(row);
        }
    }
    render::csv(HEADER, &rows)
}

fn data(name: &str, pages: &[Page]) -> Value {
    let builds: Vec<Value> = pages.iter().map(page_data).collect();
    json!({ "schema": format!("cotter.{name}/1"), "builds": builds })
}

fn page_data(page: &Page) -> Value {
    let mut out = Map::new();
    out.insert("build".to_owned(), json!(page.build));
    out.insert("description".to_owned(), json!(page.description));
    out.insert("from".to_owned(), json!(page.before));
    for section in &page.sections {
        let rows = section.rows.iter().map(|cells| row_data(section, cells)).collect();
        // Two tables of one key follow each other, as for the bike before and after.
        match out.get_mut(section.key) {
            Some(Value::Array(all)) => all.extend::<Vec<Value>>(rows),
            _ => {
                out.insert(section.key.to_owned(), Value::Array(rows));
            }
        }
    }
    let lacks = &page.lacks;
    let unknown = lacks
        .missing
        .iter()
        .map(|it| json!({ "build": it.build, "fact": it.path, "what": it.what, "measure": it.measure }));
    let assumed = lacks
        .assumed
        .iter()
        .map(|it| json!({ "build": it.build, "fact": it.path, "what": it.what, "value": it.value }));
    let mut remarks: Vec<&str> = Vec::new();
    for remark in page.sections.iter().flat_map(|it| &it.remarks) {
        if !remarks.contains(&remark.as_str()) {
            remarks.push(remark);
        }
    }
    out.insert("remarks".to_owned(), json!(remarks));
    out.insert("concerns".to_owned(), json!(page.concerns));
    out.insert("refused".to_owned(), json!(page.refused));
    out.insert("unknown".to_owned(), unknown.collect());
    out.insert("assumed".to_owned(), assumed.collect());
    out.insert("notes".to_owned(), json!(page.notes));
    out.insert("cautions".to_owned(), json!(page.cautions));
    Value::Object(out)
}

fn row_data(section: &Section, cells: &[Cell]) -> Value {
    let mut out = Map::new();
    for (column, cell) in section.columns.iter().zip(cells) {
        let key = column.key.to_owned();
        match cell {
            Cell::Figure(it) => put(&mut out, &key, it),
            Cell::Of(it, unit, _) => put(&mut out, &key_with(&key, unit), it),
            Cell::Words(words) => {
                out.insert(key, json!(words));
            }
            Cell::Flag(flag) => {
                out.insert(key, json!(flag));
            }
            Cell::Nothing => {
                out.insert(key, Value::Null);
            }
        }
    }
    Value::Object(out)
}

/// A figure under its key; its bounds and that it is a guess beside it, where there is something to say.
fn put(out: &mut Map<String, Value>, key: &str, figure: &Figure) {
    let number = |value: f64| render::figure(value).map_or(Value::Null, Value::Number);
    let (low, high) = (number(figure.low), number(figure.high));
    out.insert(key.to_owned(), number(figure.value));
    // Bounds that the last digit hides are none.
    if low != high {
        out.insert(format!("{key}_low"), low);
        out.insert(format!("{key}_high"), high);
    }
    if figure.standing == Standing::Estimated {
        out.insert(format!("{key}_estimated"), json!(true));
    }
}

/// A key with its unit: `before_m`.
fn key_with(key: &str, unit: &str) -> String {
    let unit = match unit {
        "" => return key.to_owned(),
        "°" => "deg",
        "%" => "percent",
        "km/h" => "kmh",
        "m/s²" => "ms2",
        other => other,
    };
    format!("{key}_{unit}")
}
