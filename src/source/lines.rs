//! From byte offsets to lines and columns.

/// A place as a person counts it: line and column from 1, columns in characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Line, from 1.
    pub line: usize,
    /// Column, from 1, in characters.
    pub column: usize,
}

/// Where the lines of a text begin. A line ends with `\n`, `\r\n` or a lone `\r`.
#[derive(Clone, Debug)]
pub struct Lines {
    starts: Vec<usize>,
}

impl Lines {
    /// Finds the lines of `text`, once.
    pub fn new(text: &str) -> Lines {
        let bytes = text.as_bytes();
        let mut starts = vec![0];
        for (at, byte) in bytes.iter().enumerate() {
            let ends = match byte {
                b'\n' => true,
                b'\r' => bytes.get(at + 1) != Some(&b'\n'),
                _ => false,
            };
            if ends {
                starts.push(at + 1);
            }
        }
        Lines { starts }
    }

    /// How many lines there are; an empty text has one.
    pub fn count(&self) -> usize {
        self.starts.len()
    }

    /// The place of byte `offset` in `text`, the text that the lines were found in.
    pub fn place(&self, text: &str, offset: usize) -> Place {
        let offset = offset.min(text.len());
        let line = self.starts.partition_point(|&start| start <= offset).max(1);
        let start = self.starts.get(line - 1).copied().unwrap_or(0);
        let before = text.get(start..offset).unwrap_or("");
        Place { line, column: before.chars().count() + 1 }
    }

    /// The same with the column in halves of UTF-16, as editors and exchange formats count.
    pub fn place_in_utf16(&self, text: &str, offset: usize) -> Place {
        let line = self.place(text, offset).line;
        let start = self.start(line).unwrap_or(0);
        let before = text.get(start..offset.min(text.len())).unwrap_or("");
        Place { line, column: before.encode_utf16().count() + 1 }
    }

    /// Byte offset of the beginning of `line`, counted from 1.
    pub fn start(&self, line: usize) -> Option<usize> {
        self.starts.get(line.checked_sub(1)?).copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_lines_by_every_line_end() {
        let text = "a\nb\r\nc\rd";
        let lines = Lines::new(text);
        assert_eq!(lines.count(), 4);
        assert_eq!(lines.place(text, 7), Place { line: 4, column: 1 });
    }

    #[test]
    fn counts_columns_in_characters() {
        let text = "é名x";
        assert_eq!(Lines::new(text).place(text, 5), Place { line: 1, column: 3 });
    }

    #[test]
    fn counts_columns_in_halves_of_utf_16() {
        let text = "x\r\né👼x";
        let lines = Lines::new(text);
        assert_eq!(lines.place_in_utf16(text, 9), Place { line: 2, column: 4 });
        assert_eq!(lines.place_in_utf16(text, 99), Place { line: 2, column: 5 });
    }
}
