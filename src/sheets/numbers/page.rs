//! What a sheet of numbers consists of, whatever it is about.

use super::chart::Chart;
use super::figure::Figure;
use super::lacks::Lacks;
use super::read::Reader;
use crate::calc::Answer;

/// One build's part of a sheet.
pub struct Page {
    /// The build.
    pub build: String,
    /// What it is.
    pub description: String,
    /// The build that it comes from.
    pub before: Option<String>,
    /// Its tables.
    pub sections: Vec<Section>,
    /// What nobody may overlook: what can't be, and what is likely to go wrong.
    pub concerns: Vec<String>,
    /// Computations that have no answer, each with why.
    pub refused: Vec<String>,
    /// Facts that it lacked, and facts that it took as the library has them.
    pub lacks: Lacks,
    /// How it was computed, and where that ends; or why there is nothing to compute.
    pub notes: Vec<String>,
    /// Warnings of the trade.
    pub cautions: Vec<&'static str>,
}

impl Page {
    /// An empty page for this build.
    pub fn of(reader: &Reader) -> Page {
        let build = &reader.model[reader.build];
        Page {
            build: build.name.text.clone(),
            description: build.doc.clone(),
            before: build.from.map(|it| reader.model[it].name.text.clone()),
            sections: Vec::new(),
            concerns: Vec::new(),
            refused: Vec::new(),
            lacks: Lacks::default(),
            notes: Vec::new(),
            cautions: Vec::new(),
        }
    }

    /// Takes over what a reader lacked and assumed.
    pub fn account(&mut self, reader: &Reader) {
        self.lacks.take(reader.lacks());
    }

    /// Finishes the page with how it was computed and what to beware of, so far as there is anything to say it of.
    pub fn close(mut self, reader: &Reader, notes: &[&str], cautions: &[&'static str]) -> Page {
        self.account(reader);
        let computed = !self.sections.is_empty();
        if !computed && !self.lacks.missing.is_empty() && self.lacks.missing.iter().all(|it| it.foreign) {
            let assembly = &reader.model[reader.model[reader.build].assembly].name.text;
            self.lacks.missing.clear();
            self.notes =
                vec![format!("There is nothing to compute here: a `{assembly}` has none of what this sheet is about.")];
        } else if self.notes.is_empty() {
            self.notes = notes.iter().map(|it| (*it).to_owned()).collect();
        }
        if computed {
            self.cautions = cautions.to_vec();
        } else {
            // Nothing was computed from them.
            self.lacks.assumed.clear();
        }
        self
    }

    /// Says why there is nothing to compute.
    pub fn nothing(&mut self, why: &str) {
        self.notes = vec![why.to_owned()];
    }

    /// What was computed; why not, if there is no answer.
    pub fn answer<T>(&mut self, of: &str, answer: Answer<T>) -> Option<T> {
        answer.map_err(|why| self.refuse(of, &why.0)).ok()
    }

    /// Remembers why something can't be computed.
    pub fn refuse(&mut self, of: &str, why: &str) {
        let words = format!("{of}: {why}");
        if !self.refused.contains(&words) {
            self.refused.push(words);
        }
    }

    /// Adds a table, unless it is empty.
    pub fn push(&mut self, section: Section) {
        if !section.rows.is_empty() {
            self.sections.push(section);
        }
    }
}

/// A table of a sheet.
pub struct Section {
    /// Its key in data.
    pub key: &'static str,
    /// What it shows.
    pub title: String,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows, a cell a column.
    pub rows: Vec<Vec<Cell>>,
    /// What is drawn beside it.
    pub chart: Option<Chart>,
    /// What is worth saying of it.
    pub remarks: Vec<String>,
}

impl Section {
    /// A table without rows yet.
    pub fn new(key: &'static str, title: impl Into<String>, columns: &[Column]) -> Section {
        let (title, columns) = (title.into(), columns.to_vec());
        Section { key, title, columns, rows: Vec::new(), chart: None, remarks: Vec::new() }
    }
}

/// A column of a table.
#[derive(Clone, Copy)]
pub struct Column {
    /// Its key in data, with the unit: `development_m`.
    pub key: &'static str,
    /// Its title, with the unit where it has one.
    pub title: &'static str,
    /// Digits after the point, for figures.
    pub decimals: usize,
    /// Whether it holds figures.
    pub figures: bool,
    /// Whether it is for data only: text says it in the title.
    pub hidden: bool,
}

/// A column of figures.
pub const fn figures(key: &'static str, title: &'static str, decimals: usize) -> Column {
    Column { key, title, decimals, figures: true, hidden: false }
}

/// A column of words.
pub const fn words(key: &'static str, title: &'static str) -> Column {
    Column { key, title, decimals: 0, figures: false, hidden: false }
}

/// A column of words that text leaves out.
pub const fn hidden(key: &'static str) -> Column {
    Column { key, title: "", decimals: 0, figures: false, hidden: true }
}

/// A cell of a table.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// A figure, in the unit of its column.
    Figure(Figure),
    /// A figure with its unit, and as many digits after the point: for a column whose rows measure different things.
    Of(Figure, &'static str, usize),
    /// Words.
    Words(String),
    /// Yes or no; in text, the column's title or nothing.
    Flag(bool),
    /// Not known, or nothing to say.
    Nothing,
}

impl Cell {
    /// A whole number that is known.
    pub fn count(count: usize) -> Cell {
        #[allow(clippy::cast_precision_loss)]
        Cell::Figure(Figure::exact(count as f64))
    }

    /// A figure, or nothing.
    pub fn maybe(figure: Option<Figure>) -> Cell {
        figure.map_or(Cell::Nothing, Cell::Figure)
    }

    /// Words.
    pub fn words(words: impl Into<String>) -> Cell {
        Cell::Words(words.into())
    }
}
