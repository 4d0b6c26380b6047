//! A price list cut into rows and cells, each with its place. Who cuts it makes sure that every row is as long as the
//! header; what could not be cut so is kept beside it.

use crate::source::{Content, FileId, Span};
use std::collections::BTreeMap;
use std::sync::Arc;

/// The price lists of a compile by the place where a `stock` names its file; none for one that can't be read.
pub type Lists = BTreeMap<Span, Arc<Rows>>;

/// A price list.
#[derive(Clone, Debug)]
pub struct Rows {
    /// The file it stands in.
    pub file: FileId,
    /// Its name, as one opens it.
    pub name: String,
    /// What could not be read, in order.
    pub bad: Vec<BadRow>,
    text: Content,
    columns: usize,
    /// The header, then row by row.
    cells: Vec<RowCell>,
}

/// A cell: the text between two separators, without its quotes and the spaces around it.
#[derive(Clone, Debug, PartialEq)]
pub struct RowCell {
    /// Where.
    pub span: Span,
    /// What it says, if the file has it in other letters (a quote in quotes is doubled there).
    pub other: Option<Box<str>>,
}

/// A row that can't be read.
#[derive(Clone, Debug, PartialEq)]
pub struct BadRow {
    /// Where it begins.
    pub span: Span,
    /// Why.
    pub fault: Fault,
}

/// Why a row can't be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// It has so many cells, and the header another number.
    Ragged(usize),
    /// A quote opens a cell and is not closed, or something follows the one that closes it.
    Quote,
    /// It comes after the last row that is read.
    TooMany,
}

/// A row, or the header.
#[derive(Clone, Copy, Debug)]
pub struct Row<'r> {
    rows: &'r Rows,
    cells: &'r [RowCell],
}

impl Rows {
    /// A list whose first `columns` cells are its header.
    pub fn new(
        file: FileId,
        name: String,
        text: Content,
        columns: usize,
        cells: Vec<RowCell>,
        bad: Vec<BadRow>,
    ) -> Rows {
        Rows { file, name, bad, text, columns: columns.max(1), cells }
    }

    /// The header.
    pub fn header(&self) -> Row<'_> {
        Row { rows: self, cells: self.cells.get(..self.columns).unwrap_or(&self.cells) }
    }

    /// The rows below it that could be read, in order.
    pub fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.cells.chunks_exact(self.columns).skip(1).map(|cells| Row { rows: self, cells })
    }

    /// The whole text.
    pub fn text(&self) -> &str {
        &self.text
    }
}

impl<'r> Row<'r> {
    /// What a cell says; nothing if there is no such cell.
    pub fn text(self, column: usize) -> &'r str {
        let Some(cell) = self.cells.get(column) else { return "" };
        match &cell.other {
            Some(other) => other,
            None => self.rows.text.get(cell.span.range()).unwrap_or(""),
        }
    }

    /// Where a cell is.
    pub fn span(self, column: usize) -> Span {
        self.cells.get(column).map_or_else(|| self.whole(), |it| it.span)
    }

    /// Whether the file has a cell in just the letters that it says.
    pub fn is_plain(self, column: usize) -> bool {
        self.cells.get(column).is_some_and(|it| it.other.is_none())
    }

    /// From its first cell to its last.
    pub fn whole(self) -> Span {
        match (self.cells.first(), self.cells.last()) {
            (Some(first), Some(last)) => first.span.to(last.span),
            _ => Span::new(self.rows.file, 0, 0),
        }
    }

    /// What its cells say, in order.
    pub fn texts(self) -> impl Iterator<Item = &'r str> {
        (0..self.cells.len()).map(move |column| self.text(column))
    }

    /// Whether nothing stands in it.
    pub fn is_blank(self) -> bool {
        self.cells.iter().all(|it| it.span.start == it.span.end)
    }
}
