//! Stretches of lines that can be folded away: blocks, and comments that go on.

use lsp_types::{FoldingRange, FoldingRangeKind};

/// The foldings of a text, found by its braces, so that a broken item folds too.
pub fn folding(text: &str) -> Vec<FoldingRange> {
    let (mut found, mut open) = (Vec::new(), Vec::new());
    let mut comment: Option<u32> = None;
    let mut last = 0;
    for (number, line) in (0u32..).zip(text.lines()) {
        last = number;
        let is_comment = line.trim_start().starts_with('#');
        match (comment, is_comment) {
            (None, true) => comment = Some(number),
            (Some(start), false) => {
                found.extend(fold(start, number.saturating_sub(1), Some(FoldingRangeKind::Comment)));
                comment = None;
            }
            _ => {}
        }
        for mark in code(line) {
            match mark {
                '{' => open.push(number),
                '}' => {
                    if let Some(start) = open.pop() {
                        found.extend(fold(start, number.saturating_sub(1), None));
                    }
                }
                _ => {}
            }
        }
    }
    if let Some(start) = comment {
        found.extend(fold(start, last, Some(FoldingRangeKind::Comment)));
    }
    found.sort_by_key(|it| (it.start_line, it.end_line));
    found
}

fn fold(start_line: u32, end_line: u32, kind: Option<FoldingRangeKind>) -> Option<FoldingRange> {
    (end_line > start_line).then(|| FoldingRange { start_line, end_line, kind, ..FoldingRange::default() })
}

/// The marks of a line outside of its strings and its comment.
fn code(line: &str) -> impl Iterator<Item = char> + '_ {
    let (mut quoted, mut escaped, mut ended) = (false, false, false);
    line.chars().filter(move |mark| {
        if ended {
            return false;
        }
        match mark {
            _ if escaped => escaped = false,
            '\\' if quoted => escaped = true,
            '"' => quoted = !quoted,
            '#' if !quoted => ended = true,
            _ => return !quoted,
        }
        false
    })
}
