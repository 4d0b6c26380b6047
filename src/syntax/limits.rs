//! What a text may not exceed, looked at before it is parsed.

use crate::mistake::{self, Mistake};
use crate::source::{FileId, Span};

/// Brackets within brackets; deeper ones would cost stack and nobody writes them.
const DEEPEST: usize = 64;
/// Bytes in a line; longer ones can't be shown with a mark under them.
const LONGEST: usize = 4000;

/// The first limit that `text` exceeds.
pub fn exceeded(file: FileId, text: &str) -> Option<Mistake> {
    let bytes = text.as_bytes();
    let (mut depth, mut line_start) = (0usize, 0usize);
    let (mut in_text, mut in_comment, mut escaped) = (false, false, false);
    for (at, &byte) in bytes.iter().enumerate() {
        if byte == b'\n' || byte == b'\r' {
            (in_text, in_comment, escaped) = (false, false, false);
            line_start = at + 1;
            continue;
        }
        if at - line_start >= LONGEST {
            return Some(mistake::long_line(Span::new(file, line_start, line_start), LONGEST));
        }
        if in_comment {
            continue;
        }
        if in_text {
            match byte {
                _ if escaped => escaped = false,
                b'\\' => escaped = true,
                b'"' => in_text = false,
                _ => {}
            }
            continue;
        }
        match byte {
            b'"' => in_text = true,
            b'#' => in_comment = true,
            b'(' | b'[' | b'{' => {
                depth += 1;
                if depth > DEEPEST {
                    return Some(mistake::too_deep(Span::new(file, at, at + 1)));
                }
            }
            b')' | b']' | b'}' => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    None
}
