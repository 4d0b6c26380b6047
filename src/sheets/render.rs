//! Pages in text and Markdown, rows in CSV: what all sheets share.

use crate::clean;
use comfy_table::{CellAlignment, ColumnConstraint, ContentArrangement, Table as Drawn, Width, presets};
use textwrap::{Options, WrapAlgorithm};

/// Columns of a page in text.
const WIDTH: u16 = 100;

/// A piece of a page.
#[derive(Clone)]
pub(crate) enum Block {
    /// What the page is.
    Title(String),
    /// What follows.
    Heading(String),
    /// A part of a long page, with headings of its own.
    Chapter(String),
    /// What follows within a chapter.
    Sub(String),
    /// A paragraph.
    Text(Words),
    /// A list.
    Items(Vec<Words>),
    /// A table.
    Table(Table),
    /// Things to tick off.
    Checks(Vec<Check>),
    /// A table whose columns are as wide as what stands in them.
    Grid(Grid),
    /// Lines that keep their spaces.
    Verbatim(String),
}

/// Something to tick off, with room for what was found.
#[derive(Clone)]
pub(crate) struct Check {
    pub head: Words,
    /// The room.
    pub blank: String,
    /// What there is to know of it.
    pub lines: Vec<Words>,
}

/// A table of short cells.
#[derive(Clone)]
pub(crate) struct Grid {
    /// Titles of its columns, and whether each is of numbers.
    pub titles: Vec<(String, bool)>,
    pub rows: Vec<Vec<String>>,
}

/// Words of one weight.
#[derive(Clone)]
pub(crate) struct Words {
    pub text: String,
    pub strong: bool,
}

/// Words as they are.
pub(crate) fn plain(text: impl Into<String>) -> Words {
    Words { text: text.into(), strong: false }
}

/// Words that nobody may overlook.
pub(crate) fn strong(text: impl Into<String>) -> Words {
    Words { text: text.into(), strong: true }
}

/// A table; a cell is a list of lines.
#[derive(Clone)]
pub(crate) struct Table {
    pub columns: Vec<Column>,
    pub rows: Vec<Vec<Vec<Words>>>,
    /// With a rule between rows, for rows of several lines.
    pub ruled: bool,
}

/// A column of a table.
#[derive(Clone)]
pub(crate) struct Column {
    pub title: &'static str,
    /// Its share of the width in text, padding included; the widths and a border each make up the whole.
    pub width: u16,
    /// For numbers.
    pub right: bool,
}

/// A column of words.
pub(crate) const fn column(title: &'static str, width: u16) -> Column {
    Column { title, width, right: false }
}

/// A column of numbers.
pub(crate) const fn numbers(title: &'static str, width: u16) -> Column {
    Column { title, width, right: true }
}

/// A page as text, a hundred columns wide.
pub(super) fn text(blocks: &[Block]) -> String {
    let width = Options::new(usize::from(WIDTH)).wrap_algorithm(WrapAlgorithm::FirstFit);
    let mut out = String::new();
    for block in blocks {
        if !out.is_empty() && !matches!(block, Block::Table(_) | Block::Grid(_)) {
            out.push('\n');
        }
        match block {
            Block::Title(title) => out.push_str(&underlined(title, "=", &width)),
            Block::Chapter(title) => out.push_str(&underlined(title, "-", &width)),
            Block::Heading(heading) | Block::Sub(heading) => {
                out.push_str(&format!("{}\n", textwrap::fill(&clean::words(heading), &width)));
            }
            Block::Text(words) => out.push_str(&format!("{}\n", textwrap::fill(&clean::words(&words.text), &width))),
            Block::Items(items) => {
                let options = width.clone().initial_indent("- ").subsequent_indent("  ");
                for item in items {
                    out.push_str(&format!("{}\n", textwrap::fill(&clean::words(&item.text), &options)));
                }
            }
            Block::Checks(checks) => {
                // Short ones stand close together.
                let between = if checks.iter().all(|it| it.lines.is_empty()) { "" } else { "\n" };
                out.push_str(&checks.iter().map(|it| checked(it, &width)).collect::<Vec<_>>().join(between));
            }
            Block::Table(table) => out.push_str(&format!("{}\n", drawn(table))),
            Block::Grid(grid) => out.push_str(&format!("{}\n", gridded(grid))),
            Block::Verbatim(lines) => lines.lines().for_each(|it| out.push_str(&format!("{}\n", clean::words(it)))),
        }
    }
    out
}

fn underlined(title: &str, mark: &str, width: &Options) -> String {
    let title = textwrap::fill(&clean::words(title), width);
    let longest = title.lines().map(textwrap::core::display_width).max().unwrap_or(0);
    format!("{title}\n{}\n", mark.repeat(longest))
}

/// The room for what was found stands at the right, where it can be seen at a glance.
fn checked(check: &Check, width: &Options) -> String {
    let (head, blank) = (format!("[ ] {}", clean::words(&check.head.text)), clean::words(&check.blank));
    let used = textwrap::core::display_width(&head) + textwrap::core::display_width(&blank);
    let mut out = match width.width.checked_sub(used) {
        _ if blank.is_empty() => format!("{}\n", textwrap::fill(&head, width.clone().subsequent_indent("    "))),
        Some(room) if room > 0 => format!("{head}{}{blank}\n", " ".repeat(room)),
        _ => {
            let options = width.clone().subsequent_indent("    ");
            format!("{}\n    {blank}\n", textwrap::fill(&head, &options))
        }
    };
    let options = width.clone().initial_indent("    ").subsequent_indent("      ");
    for line in &check.lines {
        out.push_str(&format!("{}\n", textwrap::fill(&clean::words(&line.text), &options)));
    }
    out
}

fn drawn(table: &Table) -> Drawn {
    let mut drawn = Drawn::new();
    let preset = if table.ruled { presets::UTF8_FULL } else { presets::UTF8_FULL_CONDENSED };
    drawn.load_preset(preset).set_content_arrangement(ContentArrangement::Dynamic).set_width(WIDTH);
    drawn.set_header(table.columns.iter().map(|it| it.title));
    for row in &table.rows {
        drawn.add_row(row.iter().map(|lines| {
            let lines: Vec<String> = lines.iter().map(|words| clean::words(&words.text)).collect();
            lines.join("\n")
        }));
    }
    for (column, own) in drawn.column_iter_mut().zip(&table.columns) {
        column.set_constraint(ColumnConstraint::Absolute(Width::Fixed(own.width)));
        column.set_cell_alignment(if own.right { CellAlignment::Right } else { CellAlignment::Left });
    }
    drawn
}

fn gridded(grid: &Grid) -> Drawn {
    let mut drawn = Drawn::new();
    drawn.load_preset(presets::UTF8_FULL_CONDENSED).set_content_arrangement(ContentArrangement::Dynamic);
    drawn.set_width(WIDTH).set_header(grid.titles.iter().map(|(title, _)| title));
    for row in &grid.rows {
        drawn.add_row(row.iter().map(|cell| clean::words(cell)));
    }
    for (column, (_, numbers)) in drawn.column_iter_mut().zip(&grid.titles) {
        column.set_cell_alignment(if *numbers { CellAlignment::Right } else { CellAlignment::Left });
    }
    drawn
}

/// A page as Markdown, with the tables of a forge.
pub(crate) fn markdown(blocks: &[Block]) -> String {
    let mut out = String::new();
    for block in blocks {
        if !out.is_empty() {
            out.push('\n');
        }
        match block {
            Block::Title(title) => out.push_str(&format!("# {}\n", escaped(title))),
            Block::Heading(heading) | Block::Chapter(heading) => {
                out.push_str(&format!("## {}\n", escaped(heading)));
            }
            Block::Sub(heading) => out.push_str(&format!("### {}\n", escaped(heading))),
            Block::Text(words) => out.push_str(&format!("{}\n", marked(words, true))),
            Block::Items(items) => {
                items.iter().for_each(|item| out.push_str(&format!("- {}\n", marked(item, true))));
            }
            Block::Checks(checks) => {
                for it in checks {
                    let line = format!("- [ ] {} {}", marked(&it.head, false), clean::words(&it.blank));
                    out.push_str(&format!("{}\n", line.trim_end()));
                    it.lines.iter().for_each(|line| out.push_str(&format!("  - {}\n", marked(line, true))));
                }
            }
            Block::Table(table) => {
                let row = |cells: Vec<String>| format!("| {} |\n", cells.join(" | "));
                out.push_str(&row(table.columns.iter().map(|it| escaped(it.title)).collect()));
                let rule = |it: &Column| if it.right { "---:" } else { "---" }.to_owned();
                out.push_str(&row(table.columns.iter().map(rule).collect()));
                for cells in &table.rows {
                    let cell = |lines: &Vec<Words>| {
                        let lines: Vec<String> = lines.iter().map(|words| marked(words, false)).collect();
                        lines.join("<br>")
                    };
                    out.push_str(&row(cells.iter().map(cell).collect()));
                }
            }
            Block::Grid(grid) => {
                let row = |cells: Vec<String>| format!("| {} |\n", cells.join(" | "));
                out.push_str(&row(grid.titles.iter().map(|(title, _)| escaped(title)).collect()));
                out.push_str(&row(grid
                    .titles
                    .iter()
                    .map(|(_, right)| if *right { "---:" } else { "---" }.to_owned())
                    .collect()));
                for cells in &grid.rows {
                    out.push_str(&row(cells.iter().map(|cell| escaped(cell)).collect()));
                }
            }
            Block::Verbatim(lines) => {
                // Four spaces make it code, whatever stands in it.
                for line in lines.lines() {
                    out.push_str(format!("    {}", clean::words(line)).trim_end());
                    out.push('\n');
                }
            }
        }
    }
    out
}

fn marked(words: &Words, begins_line: bool) -> String {
    let mut text = escaped(&words.text);
    if words.strong && !text.is_empty() {
        return format!("**{text}**");
    }
    if begins_line {
        // A line may not turn into a heading, a list or a quotation of its own.
        let digits = text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit()).len();
        if text.starts_with(['#', '+', '-', '=']) {
            text.insert(0, '\\');
        } else if digits > 0 && text.get(digits..).is_some_and(|rest| rest.starts_with(['.', ')'])) {
            text.insert(digits, '\\');
        }
    }
    text
}

/// Text that Markdown takes as it stands, on one line.
fn escaped(text: &str) -> String {
    let text = clean::words(text);
    let many = |mark: char| text.matches(mark).count() > 1;
    let (tildes, dollars) = (many('~'), many('$'));
    let mut out = String::with_capacity(text.len());
    let mut before = ' ';
    let mut chars = text.trim().chars().peekable();
    while let Some(c) = chars.next() {
        let after = chars.peek().copied().unwrap_or(' ');
        let special = match c {
            '\\' | '`' | '*' | '[' | ']' | '<' | '>' | '|' => true,
            // Within a word an underscore is only an underscore.
            '_' => !(before.is_alphanumeric() && after.is_alphanumeric()),
            '&' => after == '#' || after.is_alphabetic(),
            '~' => tildes,
            '$' => dollars,
            _ => false,
        };
        if special {
            out.push('\\');
        }
        out.push(c);
        before = c;
    }
    out
}

/// Rows for a spreadsheet, the header first.
pub(super) fn csv(header: &[&str], rows: &[Vec<String>]) -> String {
    // Writing to memory can't fail, and rows of unequal length would not be lost either.
    let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
    let mut written = writer.write_record(header);
    for row in rows {
        written = written.and_then(|()| writer.write_record(row.iter().map(|cell| disarmed(cell))));
    }
    match (written, writer.into_inner()) {
        (Ok(()), Ok(bytes)) => String::from_utf8_lossy(&bytes).into_owned(),
        (Err(error), _) => format!("{error}\n"),
        (_, Err(error)) => format!("{error}\n"),
    }
}

/// A cell that no spreadsheet takes for a formula.
fn disarmed(cell: &str) -> String {
    let cell = clean::words(cell);
    let formula = cell.trim_start().starts_with(['=', '+', '-', '@', '\u{FF1D}', '\u{FF0B}', '\u{FF0D}', '\u{FF20}']);
    if formula && !is_number(&cell) { format!("'{cell}") } else { cell }
}

fn is_number(cell: &str) -> bool {
    let digits = cell.strip_prefix(['+', '-']).unwrap_or(cell);
    let (whole, part) = digits.split_once('.').unwrap_or((digits, "0"));
    let all = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    all(whole) && all(part)
}

/// A number for JSON and CSV: whole where it is whole, otherwise to three decimals; nothing for one without end.
pub(super) fn figure(value: f64) -> Option<serde_json::Number> {
    let rounded = (value * 1000.0).round() / 1000.0;
    #[allow(clippy::cast_possible_truncation)]
    let whole = rounded as i64;
    #[allow(clippy::cast_precision_loss)]
    if rounded.is_finite() && (whole as f64 - rounded).abs() == 0.0 {
        return Some(whole.into());
    }
    serde_json::Number::from_f64(rounded)
}

/// [`figure`] as a cell; an empty one where there is none.
pub(super) fn figure_cell(value: Option<f64>) -> String {
    value.and_then(figure).map(|it| it.to_string()).unwrap_or_default()
}

/// Data as JSON text, with a line end.
pub(super) fn json(data: &impl serde::Serialize) -> String {
    // Structs of strings and finite numbers: nothing in them can fail.
    let text = serde_json::to_string_pretty(data).unwrap_or_else(|error| format!("{{\"error\": \"{error}\"}}"));
    format!("{}\n", clean::escaped_json(&text))
}
