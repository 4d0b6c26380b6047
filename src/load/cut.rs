//! The text of a price list cut into rows and cells, each with its place.
//!
//! `csv-core` says where a cell ends; that a cell in quotes is whole is looked at here. Where it is not, only the line
//! on which its row begins is given up: a quote that nobody closed must not swallow the rest of the list.

use crate::source::{Content, FileId, Span};
use crate::syntax::{BadRow, Fault, RowCell, Rows};
use csv_core::{ReadFieldResult, Reader, ReaderBuilder};

/// Columns that are read; a spreadsheet that has more is no price list.
pub(super) const MOST_COLUMNS: usize = 500;
/// Rows that are read of one list.
pub(super) const MOST_ROWS: usize = 20_000;

/// Why a list can't be cut at all.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum NoHeader {
    /// Nothing stands in it.
    Empty,
    /// A quote in the header is not closed.
    Quote(usize),
    /// It has more columns than are read.
    TooWide,
}

/// Cuts `text` from byte `start` on.
pub(super) fn rows(file: FileId, name: &str, text: &Content, start: usize, separator: u8) -> Result<Rows, NoHeader> {
    let mut cutter = Cutter {
        text,
        file,
        at: start,
        reader: ReaderBuilder::new().delimiter(separator).build(),
        buffer: vec![0; 256],
        row: Vec::new(),
    };
    let columns = match cutter.next_row() {
        None => return Err(NoHeader::Empty),
        Some(Err(at)) => return Err(NoHeader::Quote(at)),
        Some(Ok(())) => cutter.row.len(),
    };
    if columns > MOST_COLUMNS {
        return Err(NoHeader::TooWide);
    }
    let mut cells = std::mem::take(&mut cutter.row);
    let (mut bad, mut count) = (Vec::new(), 0);
    while let Some(cut) = cutter.next_row() {
        count += 1;
        let first = cutter.row.first().map(|it| it.span);
        match (cut, first) {
            // What comes after is only counted: one place for all of it.
            (Ok(()), Some(first)) if count > MOST_ROWS => bad.push(BadRow { span: first, fault: Fault::TooMany }),
            (Ok(()), _) if cutter.row.len() == columns => cells.append(&mut cutter.row),
            (Ok(()), Some(first)) => {
                let whole = cutter.row.last().map_or(first, |last| first.to(last.span));
                // A row over several lines can't be underlined as one.
                let broken = text.get(whole.range()).is_some_and(|it| it.contains(['\n', '\r']));
                let blank = cutter.row.iter().all(|it| it.span.start == it.span.end);
                if !blank {
                    let span = if broken { first } else { whole };
                    bad.push(BadRow { span, fault: Fault::Ragged(cutter.row.len()) });
                }
            }
            (Ok(()), None) => {}
            (Err(at), _) => bad.push(BadRow { span: Span::new(file, at, at + 1), fault: Fault::Quote }),
        }
    }
    Ok(Rows::new(file, name.to_owned(), text.clone(), columns, cells, bad))
}

struct Cutter<'t> {
    text: &'t str,
    file: FileId,
    /// The byte that is read next.
    at: usize,
    reader: Reader,
    buffer: Vec<u8>,
    /// Cells of the row in hand.
    row: Vec<RowCell>,
}

impl Cutter<'_> {
    /// Reads the next row into `row`. None at the end; the place of a quote that breaks the row, which is then skipped
    /// to the end of its first line.
    fn next_row(&mut self) -> Option<Result<(), usize>> {
        self.row.clear();
        let bytes = self.text.as_bytes();
        // What is left of the line before, and empty lines.
        self.at += bytes.iter().skip(self.at).take_while(|it| matches!(it, b'\n' | b'\r')).count();
        let (row_start, mut cell_start, mut written) = (self.at, self.at, 0);
        loop {
            let rest = bytes.get(self.at..).unwrap_or_default();
            let (result, read, wrote) =
                self.reader.read_field(rest, self.buffer.get_mut(written..).unwrap_or_default());
            self.at += read;
            written += wrote;
            match result {
                ReadFieldResult::InputEmpty => {}
                ReadFieldResult::OutputFull => self.buffer.resize(self.buffer.len() * 2, 0),
                ReadFieldResult::End => return None,
                ReadFieldResult::Field { record_end } => {
                    // At the end of the text nothing ends the last cell.
                    let end = if rest.is_empty() { self.at } else { self.at.saturating_sub(1) };
                    let Some(cell) = self.cell(cell_start, end.max(cell_start), written) else {
                        let line = bytes.iter().skip(row_start).take_while(|it| !matches!(it, b'\n' | b'\r')).count();
                        self.at = row_start + line;
                        self.reader.reset();
                        return Some(Err(cell_start));
                    };
                    // Cells past any header are counted, up to a point.
                    if self.row.len() <= MOST_COLUMNS {
                        self.row.push(cell);
                    }
                    if record_end {
                        return Some(Ok(()));
                    }
                    (cell_start, written) = (self.at, 0);
                }
            }
        }
    }

    /// The cell between two bytes, of which so many were written to the buffer; none if its quotes are not whole.
    fn cell(&self, start: usize, end: usize, written: usize) -> Option<RowCell> {
        let raw = self.text.get(start..end).unwrap_or("");
        let Some(quoted) = raw.strip_prefix('"') else { return Some(self.trimmed(start, raw)) };
        let inside = quoted.strip_suffix('"')?;
        if !inside.contains('"') {
            return Some(self.trimmed(start + 1, inside));
        }
        let doubled = inside.split("\"\"").all(|piece| !piece.contains('"'));
        let said = self.buffer.get(..written).and_then(|it| std::str::from_utf8(it).ok()).unwrap_or("");
        doubled.then(|| RowCell { span: Span::new(self.file, start + 1, end - 1), other: Some(said.trim().into()) })
    }

    fn trimmed(&self, start: usize, raw: &str) -> RowCell {
        let start = start + raw.len() - raw.trim_start().len();
        RowCell { span: Span::new(self.file, start, start + raw.trim().len()), other: None }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cut(text: &str) -> (Vec<Vec<String>>, Vec<(usize, Fault)>) {
        let rows = rows(FileId(0), "x", &Content::from(text.to_owned()), 0, b',').unwrap();
        let texts = |row: crate::syntax::Row| row.texts().map(str::to_owned).collect();
        let bad = rows.bad.iter().map(|it| (it.span.start as usize, it.fault)).collect();
        (rows.rows().map(texts).collect(), bad)
    }

    #[test]
    fn finds_cells_with_every_line_end_and_in_quotes() {
        let (rows, bad) = cut("a,b\r\n1, two \r\n\r\n\"3\",\"4 \"\"x\"\", y\n5\"\r\"6\n7\",8");
        assert_eq!(rows, [vec!["1", "two"], vec!["3", "4 \"x\", y\n5"], vec!["6\n7", "8"]]);
        assert!(bad.is_empty(), "{bad:?}");
    }

    #[test]
    fn gives_up_the_line_of_a_broken_quote_and_no_more() {
        let (rows, bad) = cut("a,b\n1,\"2\n3,4\n5,\"6\" x\n7,\"8\"\n9\n");
        assert_eq!(rows, [vec!["3", "4"], vec!["7", "8"]]);
        assert_eq!(bad, [(6, Fault::Quote), (15, Fault::Quote), (27, Fault::Ragged(1))]);
    }

    #[test]
    fn places_are_those_of_the_text() {
        let text = Content::from("a,b\nx, \"ü\" \n".to_owned());
        let list = rows(FileId(0), "x", &text, 0, b',').unwrap();
        // A quote behind a space opens nothing.
        let row = list.rows().next().unwrap();
        assert_eq!((row.text(1), &text[row.span(1).range()]), ("\"ü\"", "\"ü\""));
    }
}
