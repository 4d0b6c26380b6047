//! The texts that an editor has open, as it has them: their versions, and places in them as the protocol counts.

use crate::source::Lines;
use lsp_types::{Position, Range, TextDocumentContentChangeEvent};

/// What a character of a position counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Units {
    /// Bytes.
    Utf8,
    /// Halves of UTF-16, which every editor speaks.
    Utf16,
}

/// A text with its lines.
#[derive(Clone, Debug)]
pub struct Document {
    /// The text.
    pub text: String,
    /// Its number, which rises with each change.
    pub version: i32,
    lines: Lines,
}

impl Document {
    /// A text as it was opened.
    pub fn new(text: String, version: i32) -> Document {
        let lines = Lines::new(&text);
        Document { text, version, lines }
    }

    /// Takes changes in; each speaks of the text that the one before left.
    pub fn change(&mut self, changes: Vec<TextDocumentContentChangeEvent>, version: i32, units: Units) {
        for change in changes {
            match change.range {
                None => self.text = change.text,
                Some(range) => {
                    let start = offset(&self.text, &self.lines, range.start, units);
                    let end = offset(&self.text, &self.lines, range.end, units).max(start);
                    self.text.replace_range(start..end, &change.text);
                }
            }
            self.lines = Lines::new(&self.text);
        }
        self.version = version;
    }
}

/// The byte that a position means. Past the end of a line it is that end; past the last line the end of the text.
pub fn offset(text: &str, lines: &Lines, position: Position, units: Units) -> usize {
    let Some(start) = lines.start(position.line as usize + 1) else { return text.len() };
    let end = lines.start(position.line as usize + 2).unwrap_or(text.len());
    let line = text.get(start..end).unwrap_or("").trim_end_matches(['\n', '\r']);
    let mut left = position.character as usize;
    for (at, mark) in line.char_indices() {
        let size = size(mark, units);
        if left < size {
            // Within a character: its beginning.
            return start + at;
        }
        left -= size;
    }
    start + line.len()
}

/// The position of a byte.
pub fn position(text: &str, lines: &Lines, offset: usize, units: Units) -> Position {
    let offset = offset.min(text.len());
    let line = lines.place(text, offset).line;
    let start = lines.start(line).unwrap_or(0);
    let before = text.get(start..offset).unwrap_or("").trim_end_matches(['\n', '\r']);
    let character = before.chars().map(|mark| size(mark, units)).sum::<usize>();
    Position { line: number(line.saturating_sub(1)), character: number(character) }
}

/// The range between two bytes.
pub fn range(text: &str, lines: &Lines, bytes: std::ops::Range<usize>, units: Units) -> Range {
    Range { start: position(text, lines, bytes.start, units), end: position(text, lines, bytes.end, units) }
}

fn size(mark: char, units: Units) -> usize {
    match units {
        Units::Utf8 => mark.len_utf8(),
        Units::Utf16 => mark.len_utf16(),
    }
}

fn number(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_and_bytes_belong_together() {
        let text = "é名👼🏼\r\nx\ry\u{2028}z\n";
        let lines = Lines::new(text);
        for units in [Units::Utf8, Units::Utf16] {
            for (at, mark) in text.char_indices().filter(|(_, mark)| !matches!(mark, '\n' | '\r')) {
                let there = position(text, &lines, at, units);
                assert_eq!(offset(text, &lines, there, units), at, "{mark:?} {units:?}");
            }
        }
        let far = Position { line: 0, character: 99 };
        assert_eq!(offset(text, &lines, far, Units::Utf16), "é名👼🏼".len());
        assert_eq!(offset(text, &lines, Position { line: 99, character: 0 }, Units::Utf16), text.len());
        // Half of a pair of halves is its beginning.
        assert_eq!(offset(text, &lines, Position { line: 0, character: 3 }, Units::Utf16), "é名".len());
    }
}
