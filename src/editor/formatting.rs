//! The canonical layout as edits: only the lines that change, so that the cursor stays where it is.

use super::documents::{self, Units};
use crate::format;
use crate::source::Lines;
use lsp_types::TextEdit;

/// The edits that lay a text out; none if it is laid out already.
pub fn formatting(text: &str, units: Units) -> Vec<TextEdit> {
    let laid_out = format::format(text);
    if laid_out == text || !format::same(text, &laid_out) {
        return Vec::new();
    }
    // What stays the same at both ends is left alone.
    let common = |one: &mut dyn Iterator<Item = &str>, other: &mut dyn Iterator<Item = &str>| -> usize {
        one.zip(other).take_while(|(one, other)| one == other).map(|(one, _)| one.len()).sum()
    };
    let start = common(&mut text.split_inclusive('\n'), &mut laid_out.split_inclusive('\n'));
    let (old, new) = (text.get(start..).unwrap_or(""), laid_out.get(start..).unwrap_or(""));
    let end = common(&mut old.split_inclusive('\n').rev(), &mut new.split_inclusive('\n').rev());
    let lines = Lines::new(text);
    let range = documents::range(text, &lines, start..text.len() - end, units);
    vec![TextEdit { range, new_text: new.get(..new.len() - end).unwrap_or("").to_owned() }]
}
