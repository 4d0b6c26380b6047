//! Pages of tables, functions and types.

use super::paper::{Paper, WIDTH};
use super::{Known, facts, source};
use crate::calc;
use crate::clean;
use crate::judge;
use crate::model::{By, FunctionId, TableId};
use crate::quantity::{Dimension, UNITS};
use comfy_table::{ContentArrangement, presets};

/// The functions that every rule has, with what they give.
pub(super) const BUILTINS: &[(&str, &str)] = &[
    ("abs", "the size of a number without its sign"),
    ("min", "the smallest of several numbers of one dimension"),
    ("max", "the largest of several numbers of one dimension"),
    ("sum", "the sum of a list of numbers"),
    ("count", "how many values a list has"),
    ("smallest", "the smallest number of a list"),
    ("largest", "the largest number of a list"),
    ("first", "the first value of a list"),
    ("last", "the last value of a list"),
    ("low", "the lower end of a range"),
    ("high", "the upper end of a range"),
    ("round", "the nearest whole number"),
    ("floor", "the next whole number below"),
    ("ceil", "the next whole number above"),
    ("sqrt", "the square root of a number"),
    ("given", "whether a parameter, a slot or a fact that may be absent is there"),
    ("filled", "whether a slot has a part in it"),
];

pub(super) fn table(known: Known, id: TableId, paper: &mut Paper) {
    let model = known.model;
    let it = &model[id];
    paper.title(&it.name.text, &it.about.doc, &known.declared("a table", it.name.span));
    let key = it.columns.first().map_or("", |(name, _)| name.as_str());
    let how = match it.by {
        By::Exact => format!("looked up by `{key}`: the row where it is the same"),
        By::Floor => format!("looked up by `{key}`: the last row where it is not above"),
        By::Linear => format!("looked up by `{key}`: between two rows, in proportion"),
    };
    paper.heading("Rows");
    paper.text(&how);
    let mut drawn = comfy_table::Table::new();
    let width = u16::try_from(WIDTH - 2).unwrap_or(u16::MAX);
    drawn
        .load_preset(presets::UTF8_FULL_CONDENSED)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(width);
    drawn.set_header(it.columns.iter().map(|(name, _)| clean::words(name)));
    for row in &it.rows {
        let cells = row.iter().zip(&it.columns).map(|(cell, (_, kind))| judge::shown(model, cell, kind.dimension()));
        drawn.add_row(cells.map(|it| clean::words(&it)));
    }
    paper.lines(&drawn.to_string(), 2);
    if !it.about.notes.is_empty() {
        paper.heading("Note");
        it.about.notes.iter().for_each(|it| paper.text(it));
    }
    paper.sources(&it.about.sources);
}

pub(super) fn function(known: Known, id: FunctionId, paper: &mut Paper) {
    let model = known.model;
    let it = &model[id];
    paper.title(&it.name.text, &it.doc, &known.declared("a function of the library", it.name.span));
    takes(it.parameters.iter().map(|(name, kind)| (name.clone(), facts::in_words(model, kind))).collect(), paper);
    paper.heading("Gives");
    paper.text(&model.said(&it.result));
    if let Some(written) = source::function(known, it.name.span) {
        paper.text(&source::written(known, &written.body));
    }
}

pub(super) fn calc(number: usize, paper: &mut Paper) {
    let Some(it) = calc::FUNCTIONS.get(number) else { return };
    paper.title(it.name, it.doc, "a function of the compiler, for rules and functions");
    let words = |it: &calc::Parameter| match (it.list, it.dimension.words()) {
        (false, words) => words,
        (true, words) => format!("a list, each of them {words}"),
    };
    takes(it.parameters.iter().map(|it| (it.name.to_owned(), words(it))).collect(), paper);
    paper.heading("Gives");
    paper.text(&it.result.words());
    paper.heading("Known from");
    paper.text(it.source);
}

fn takes(parameters: Vec<(String, String)>, paper: &mut Paper) {
    if !parameters.is_empty() {
        paper.heading("Takes");
        paper.pairs(&parameters.into_iter().map(|(name, words)| (name, vec![words])).collect::<Vec<_>>());
    }
}

pub(super) fn builtin(name: &str, paper: &mut Paper) {
    let doc = BUILTINS.iter().find(|(known, _)| *known == name).map_or("", |(_, doc)| doc);
    paper.title(name, doc, "a function that every rule has");
    paper.heading("Written");
    paper.text(match name {
        "min" | "max" => "with two numbers or more: `min(a, b)`, `max(a, b, c)`",
        "given" => "with a name: `given(x)`, `given(x.fact)`",
        "filled" => "with a slot, in the condition of a join: `filled(slot)`",
        _ => "with one value",
    });
}

pub(super) fn type_of(name: &str, paper: &mut Paper) {
    let dimension = Dimension::NAMED.iter().find(|(known, _)| *known == name).map(|(_, it)| *it);
    let what = if dimension.is_some() { "a dimension: the type of a number" } else { "a type" };
    paper.title(name, &type_doc(name), what);
    let Some(dimension) = dimension else {
        paper.heading("Written");
        paper.text(match name {
            "money" => "by the letters of ISO 4217; two currencies are never added, an estimate has a `~` before it",
            "flag" => "`yes` or `no`, `true` or `false`",
            _ => "between two `\"`; a second text in quotes on the next line goes on where the first ends",
        });
        return;
    };
    let units = UNITS.iter().filter(|it| it.dimension == dimension).map(|it| format!("`{}`", it.name));
    let units: Vec<String> = units.collect();
    paper.heading("Units");
    paper.text(&match (dimension == Dimension::NONE, units.is_empty()) {
        (true, _) => format!("none, or {}", units.join(", ")),
        (false, false) => units.join(", "),
        (false, true) => "none".to_owned(),
    });
}

/// What a type that needs no declaration is, in a line.
pub(super) fn type_doc(name: &str) -> String {
    let fixed = match name {
        "ratio" => "a plain number, such as `1.7` or `3 %`",
        "number" => "a plain number",
        "money" => "an amount with its currency in three letters, such as `12.50 EUR`",
        "text" => "words in quotes",
        "flag" => "`yes` or `no`",
        _ => {
            let dimension = Dimension::NAMED.iter().find(|(known, _)| *known == name).map(|(_, it)| *it);
            let unit = dimension.and_then(crate::quantity::shown_in).map_or("", |it| it.name);
            return format!("a number with a unit such as `{unit}`");
        }
    };
    fixed.to_owned()
}
