//! Mistakes of price lists, and of the blocks that say how they are read.
//!
//! A row that is left out is told as a warning: the list is somebody else's as often as not, and what is used of it is
//! sound without that row.

use super::codes::*;
use super::{Edit, Mistake, listed};
use crate::source::Span;

/// Codes that only tell of rows left out.
const LEAVE_OUT: &[&super::Code] = &[&STOCK_EMPTY, &STOCK_ROW, &STOCK_CELL, &STOCK_DECIMAL, &STOCK_TWICE, &STOCK_MORE];

impl Mistake {
    /// Whether all else is as sound as without it.
    pub fn only_warns(&self) -> bool {
        LEAVE_OUT.iter().any(|it| it.id == self.code)
    }
}

/// A text as it is shown in a message: its beginning, on one line, and no backticks to pair with those around it.
fn shown(text: &str) -> String {
    let line: String = text.chars().take(31).map(|it| if it == '`' { '\'' } else { it }).collect();
    let line = line.split_whitespace().collect::<Vec<_>>().join(" ");
    if text.chars().count() > 31 { line.chars().take(30).chain(['…']).collect() } else { line }
}

/// The file of a stock can't be read; `reason` says why, `way_out` what helps.
pub fn stock_file(at: Span, file: &str, reason: &str, way_out: &str) -> Mistake {
    Mistake::new(&STOCK_FILE, at, format!("the price list `{}` {reason}", shown(file)), "named here").help(way_out)
}

/// A stock names no file.
pub fn stock_no_file(at: Span) -> Mistake {
    Mistake::new(&STOCK_FILE, at, "this stock names no price list", "an empty name")
        .help("write the path of a CSV file between the quotes, as seen from this file")
}

/// The bytes of a list are not in its encoding from `at` on.
pub fn stock_encoding(at: Span, file: &str, byte: u8, from: Span) -> Mistake {
    let message = format!("the price list `{}` is not UTF-8 text", shown(file));
    Mistake::new(&STOCK_ENCODING, at, message, format!("the byte {byte:#04x} stands here"))
        .and(from, "read by this block")
        .help("say how it is written, `encoding = latin_1` (most spreadsheets of western Europe), or save it as UTF-8")
}

/// A list holds bytes that no text has.
pub fn stock_binary(at: Span, file: &str, from: Span) -> Mistake {
    let message = format!("the price list `{}` is no plain text", shown(file));
    Mistake::new(&STOCK_ENCODING, at, message, "the byte 0x00 stands here").and(from, "read by this block").help(
        "export it as CSV in UTF-8: a spreadsheet's own file, or text in UTF-16 (\"Unicode text\"), can't be read",
    )
}

/// Two marks might separate the cells of a header.
pub fn stock_separator(at: Span, marks: &[&str], from: Span) -> Mistake {
    let message = format!("the cells of this header may be separated by {}", listed(marks.iter().copied()));
    let example = marks.first().copied().unwrap_or(";");
    Mistake::new(&STOCK_HEADER, at, message, "which one is it?")
        .and(from, "read by this block")
        .help(format!("say it in the block, for instance `separator = \"{example}\"`"))
}

/// A header can't be cut into names; `reason` says why.
pub fn stock_header(at: Span, reason: &str, from: Span) -> Mistake {
    Mistake::new(&STOCK_HEADER, at, format!("the header of this price list {reason}"), "here")
        .and(from, "read by this block")
        .help("the first line holds the names of the columns; take out what stands above it")
}

/// A list has no rows.
pub fn stock_empty(at: Span, file: &str, header: bool) -> Mistake {
    let what = if header { "has a header and no rows" } else { "is empty" };
    Mistake::new(&STOCK_EMPTY, at, format!("the price list `{}` {what}", shown(file)), "nothing to read")
        .help("export it again: the first line holds the names of the columns, and each row below it is a part")
}

/// No row of a list is chosen; `words` are what the column says instead.
pub fn stock_none_chosen<'a>(at: Span, file: &str, column: &str, words: impl IntoIterator<Item = &'a str>) -> Mistake {
    let words: Vec<String> = words.into_iter().map(shown).collect();
    let message = format!("no row of `{}` is chosen", shown(file));
    Mistake::new(&STOCK_EMPTY, at, message, format!("no cell of `{}` is so", shown(column))).help(if words.is_empty() {
        "the column is empty".to_owned()
    } else {
        format!("its cells are {}", super::all_of(words.iter().map(String::as_str)))
    })
}

/// A list has no column `name`; `known` are those that it has.
pub fn stock_column<'a>(
    at: Span,
    name: &str,
    file: &str,
    header: Span,
    known: impl IntoIterator<Item = &'a str> + Clone,
) -> Mistake {
    let message = format!("`{}` has no column `{}`", shown(file), shown(name));
    let mut mistake = Mistake::new(&STOCK_COLUMN, at, message, "no such column").and(header, "the columns are these");
    if let Some(near) = super::nearest(name, known.clone()).filter(|it| !it.contains(['"', '\\', '`', '\n', '\r'])) {
        mistake.help.push(format!("did you mean `{near}`?"));
        mistake.edits.push(Edit { span: at, text: format!("\"{near}\"") });
    }
    let known: Vec<String> = known.into_iter().filter(|it| !it.is_empty()).map(shown).collect();
    mistake.help(format!("its columns are {}", super::all_of(known.iter().map(String::as_str))))
}

/// Two columns of a list have the same name.
pub fn stock_column_twice(at: Span, name: &str, file: &str, first: Span, second: Span) -> Mistake {
    let message = format!("`{}` has two columns `{}`", shown(file), shown(name));
    Mistake::new(&STOCK_COLUMN, at, message, "which of them?")
        .and(first, "the first")
        .and(second, "the second")
        .help("give one of them another name in the list")
}

/// A setting of a stock is not what it takes.
pub fn stock_setting(at: Span, name: &str, takes: &str) -> Mistake {
    let message = format!("`{name}` of a stock takes {takes}");
    Mistake::new(&STOCK_SETTING, at, message, "not this")
        .help("`cotter explain stock` shows how each setting is written")
}

/// A stock does not say what its parts are called.
pub fn stock_unnamed(at: Span, stock: &str) -> Mistake {
    Mistake::new(&STOCK_SETTING, at, format!("stock `{stock}` does not say what its parts are called"), "no `name`")
        .help("write which column names a part: `name = column \"HEADER\"`, one whose cells all differ")
}

/// A row is not as long as the header.
pub fn stock_ragged(at: Span, stock: &str, cells: usize, wanted: usize) -> Mistake {
    let counted = |count: usize| if count == 1 { "1 cell".to_owned() } else { format!("{count} cells") };
    let message = format!("a row of `{stock}` is left out: it has {}, the header has {}", counted(cells), wanted);
    let label = if cells > wanted { "too many" } else { "too few" };
    Mistake::new(&STOCK_ROW, at, message, label)
        .help("a cell that holds the separator wants quotes around it; an empty cell still has its separator")
}

/// A quote in a row is not closed.
pub fn stock_quote(at: Span, stock: &str) -> Mistake {
    let message = format!("a row of `{stock}` is left out: a quote in it is not closed");
    Mistake::new(&STOCK_ROW, at, message, "this one")
        .help("a cell in quotes ends with a quote right before the separator; one within it is doubled: `\"5/8\"\"\"`")
}

/// A row comes after the last one that is read.
pub fn stock_too_many(at: Span, stock: &str, limit: usize) -> Mistake {
    let message = format!("a row of `{stock}` is left out: it comes after the first {limit}");
    Mistake::new(&STOCK_ROW, at, message, "no further")
        .help("take the rows that no build can want out of the list, or cut it in two lists with a stock each")
}

/// A cell can't be read: `reason` says why, `way_out` what helps; `from` is where the block reads it.
pub fn stock_cell(at: Span, stock: &str, column: &str, reason: &str, from: Span, way_out: &[String]) -> Mistake {
    let message = format!("a row of `{stock}` is left out: {reason}");
    let mut mistake =
        Mistake::new(&STOCK_CELL, at, message, format!("column `{}`", shown(column))).and(from, "read by this");
    mistake.help.extend_from_slice(way_out);
    if mistake.help.is_empty() {
        mistake.help.push("mend the cell, or empty it: then the fact counts as not stated".to_owned());
    }
    mistake
}

/// A row has no name that a part could be called by.
pub fn stock_nameless(at: Span, stock: &str, column: &str, text: &str, from: Span) -> Mistake {
    let reason = match text {
        "" => "it has no name".to_owned(),
        _ if text.contains(char::is_alphanumeric) => "its name is longer than 200 characters".to_owned(),
        _ => format!("its name `{}` holds no letter and no digit", shown(text)),
    };
    let way_out = "give the row a name of its own, or take another column as `name`".to_owned();
    stock_cell(at, stock, column, &reason, from, &[way_out])
}

impl Mistake {
    /// Whether it says what a fact takes, and not what stands there instead.
    pub fn is_wrong_type(&self) -> bool {
        self.code == FACT_TYPE.id && self.message.contains("` takes ")
    }

    /// The ways out of a mistake in a value, for one that stands in a cell of `column`.
    pub fn in_a_cell(&self, column: &str) -> Vec<String> {
        let unit = match self.edits.first().and_then(|it| it.text.rsplit(' ').next()) {
            Some(unit) if self.message.ends_with("has no unit") => Some(unit),
            _ if self.message.ends_with("has no currency") => Some("EUR"),
            _ => None,
        };
        match unit {
            Some(unit) => {
                vec![format!("say what the column is in, such as `column \"{}\" {unit}`", shown(column))]
            }
            // Nothing is to be written into somebody else's list.
            None => self.help.iter().filter(|it| !it.starts_with("did you mean")).cloned().collect(),
        }
    }
}

/// What is wrong with a cell that no value was found in.
pub fn cell_words(text: &str, name: &str, takes: &str) -> String {
    format!("`{name}` takes {takes}, and `{}` is none", shown(text))
}

/// A cell is longer than any value.
pub fn cell_too_long(length: usize, limit: usize) -> String {
    format!("a cell of {length} characters, where {limit} are read")
}

/// A number in a cell may be read in two ways.
pub fn stock_decimal(at: Span, stock: &str, column: &str, text: &str, from: Span) -> Mistake {
    let message = format!("a row of `{stock}` is left out: `{}` may mean thousands or decimals", shown(text));
    Mistake::new(&STOCK_DECIMAL, at, message, format!("column `{}`", shown(column)))
        .and(from, "read by this")
        .help("say it in the block: `decimal = comma` or `decimal = point`; nothing else in the list tells which")
}

/// Two rows have the same name.
pub fn stock_twice(at: Span, name: &str, first: Span) -> Mistake {
    let message = format!("a row is left out: `{name}` is there already");
    Mistake::new(&STOCK_TWICE, at, message, "again here")
        .and(first, "first here")
        .help("take a column whose cells all differ as `name`, or the second row out of the list")
}

/// So many more rows are left out; `lines` are where the first of them stand.
pub fn stock_more(at: Span, stock: &str, count: usize, lines: &[usize]) -> Mistake {
    let (rows, are) = if count == 1 { ("row", "is") } else { ("rows", "are") };
    let named: Vec<String> = lines.iter().map(usize::to_string).collect();
    let more = count.saturating_sub(named.len());
    let rest = if more > 0 { format!(" and {more} more") } else { String::new() };
    let word = if count == 1 { "line" } else { "lines" };
    Mistake::new(&STOCK_MORE, at, format!("{count} more {rows} of `{stock}` {are} left out"), "the first of them").help(
        format!("{word} {}{rest}; mend those told above first: the same slip is often in many rows", named.join(", ")),
    )
}

/// A build names a part `row` that a stock does not have; `left_out` is its row, if it has one that can't be used, and
/// `known` are the full names of those that it has.
pub fn stock_part<'a>(
    at: Span,
    row: &str,
    stock: &str,
    left_out: Option<Span>,
    known: impl IntoIterator<Item = &'a str>,
) -> Mistake {
    let mistake = Mistake::new(&STOCK_PART, at, format!("stock `{stock}` has no part `{row}`"), "not in stock");
    if let Some(row) = left_out {
        return mistake.and(row, "its row is left out").help("mend that row: what is wrong with it is told there");
    }
    // Names of a list are numbers as often as not: the next one is no slip of the finger, but another part.
    let figures = |text: &str| text.chars().filter(char::is_ascii_digit).collect::<String>();
    let name = format!("{stock}.{row}");
    let own = figures(&name);
    mistake
        .suggest(at, &name, known.into_iter().filter(|it| figures(it) == own))
        .help("look whether the list still has it: a name is made of small letters, digits and `_`")
}
