//! A fact that is not written yet: put in behind the others, laid out as they are.

use super::change::Splice;
use super::typed::Typed;
use crate::syntax::tree::Assign;
use std::ops::Range;

/// The block of a part or a build.
pub(super) struct Block<'t> {
    /// Where what stands before the opening brace ends.
    pub header: usize,
    /// From the first word to the closing brace.
    pub span: Range<usize>,
    /// What is assigned in it.
    pub assigns: &'t [Assign],
    /// Whether a name is that of a fact.
    pub is_fact: &'t dyn Fn(&str) -> bool,
}

/// `name = value` as a line, or as a further statement where the block is written in one line.
pub(super) fn line(text: &str, block: &Block, name: &str, value: &Typed) -> Result<Splice, String> {
    let put =
        |at: usize, words: String| Splice { at: at..at, text: words, old: None, new: value.text.clone(), kept: None };
    let whole = text.get(block.span.clone()).unwrap_or_default();
    if !whole.ends_with('}') {
        return Err("the block of it has no end: see `cotter check`".to_owned());
    }
    let facts = block.assigns.iter().filter(|it| (block.is_fact)(&it.path.text));
    let Some(last) = facts.last().or(block.assigns.last()) else {
        return empty(text, block, name, value).map(|(at, words)| put(at, words));
    };
    let end = last.value.span.range().end;
    let rest = rest_of_line(text, end);
    if ends_block(rest) {
        // Behind the last value, before the brace.
        return Ok(put(end, format!("; {name} = {}", value.text)));
    }
    let at = end + rest.len();
    let mark = line_end(text, at);
    let laid = format!("{}{}{}", indent(text, last), laid(text, block.assigns, last, name), value.text);
    Ok(if mark.is_empty() { put(at, format!("\n{laid}")) } else { put(at + mark.len(), format!("{laid}{mark}")) })
}

/// The first fact of a block.
fn empty(text: &str, block: &Block, name: &str, value: &Typed) -> Result<(usize, String), String> {
    let open = opening(text, block.header).ok_or("the block of it has no beginning: see `cotter check`")?;
    let inside = text.get(open..block.span.end.saturating_sub(1)).unwrap_or_default();
    let fact = format!("{name} = {}", value.text);
    if !inside.contains(['\n', '\r']) {
        // `{}`, `{ }`: in the middle, with a space on both sides.
        let tail = if inside.is_empty() { " " } else { "" };
        return Ok((open, format!(" {fact}{tail}")));
    }
    let rest = rest_of_line(text, open);
    let mark = line_end(text, open + rest.len());
    let start = text.get(..block.span.start).unwrap_or_default().rfind(['\n', '\r']).map_or(0, |at| at + 1);
    let margin: String =
        text.get(start..).unwrap_or_default().chars().take_while(|it| matches!(it, ' ' | '\t')).collect();
    let step = if margin.contains('\t') { "\t" } else { "  " };
    Ok((open + rest.len() + mark.len(), format!("{margin}{step}{fact}{mark}")))
}

/// Behind the opening brace; comments may stand before it.
fn opening(text: &str, from: usize) -> Option<usize> {
    let mut in_comment = false;
    for (at, it) in text.get(from..)?.char_indices() {
        match it {
            '\n' | '\r' => in_comment = false,
            '#' => in_comment = true,
            '{' if !in_comment => return Some(from + at + 1),
            _ => {}
        }
    }
    None
}

fn rest_of_line(text: &str, from: usize) -> &str {
    let rest = text.get(from..).unwrap_or_default();
    rest.split(['\n', '\r']).next().unwrap_or_default()
}

fn line_end(text: &str, at: usize) -> &str {
    let rest = text.get(at..).unwrap_or_default();
    ["\r\n", "\n", "\r"].into_iter().find(|it| rest.starts_with(it)).unwrap_or_default()
}

/// Whether the block ends in what is left of a line.
fn ends_block(rest: &str) -> bool {
    rest.split('#').next().unwrap_or_default().contains('}')
}

/// What the line of an assignment begins with.
fn indent(text: &str, assign: &Assign) -> String {
    let start = assign.path.span.range().start;
    let before = text.get(..start).unwrap_or_default();
    let line = before.rsplit(['\n', '\r']).next().unwrap_or_default();
    line.chars().take_while(|it| matches!(it, ' ' | '\t' | '\u{a0}')).collect()
}

/// The name and the sign, in columns as the neighbours have them.
fn laid(text: &str, assigns: &[Assign], last: &Assign, name: &str) -> String {
    let between =
        |it: &Assign| text.get(it.path.span.range().end..it.value.span.range().start).unwrap_or(" = ").to_owned();
    let gap = |it: &Assign| between(it).split('=').next().unwrap_or(" ").to_owned();
    let behind = between(last).split_once('=').map_or(" ".to_owned(), |(_, it)| it.to_owned());
    if gap(last).contains('\t') {
        return format!("{name}{}={behind}", gap(last));
    }
    let column = |it: &Assign| it.path.text.chars().count() + gap(it).chars().count();
    let columns: Vec<usize> = assigns.iter().map(column).collect();
    // The column that most signs stand in; of several, the one used last.
    let count = |wanted: usize| columns.iter().filter(|it| **it == wanted).count();
    let most = columns.iter().copied().max_by_key(|it| count(*it)).unwrap_or(0);
    let tight = assigns.iter().all(|it| gap(it).is_empty());
    let width = name.chars().count();
    let spaces = if tight { 0 } else { most.saturating_sub(width).max(1) };
    format!("{name}{}={behind}", " ".repeat(spaces))
}
