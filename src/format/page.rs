//! A whole file: which items are laid out, and which stretches are left as they stand.

use super::Rule;
use super::block::Collector;
use super::columns;
use crate::mistake::Mistake;
use pest::iterators::{Pair, Pairs};
use std::ops::Range;

/// The file in its canonical layout.
pub fn page(text: &str, pairs: Pairs<Rule>, mistakes: &[Mistake]) -> String {
    let all: Vec<Pair<Rule>> = pairs.flat_map(Pair::into_inner).collect();
    let broken = broken(text, &all, mistakes);
    let mut collector = Collector::new(mark(text));
    let mut left = broken.iter().peekable();
    let mut until = 0;
    for pair in all {
        let start = pair.as_span().start();
        if let Some(range) = left.next_if(|range| range.start <= start) {
            collector.broken(text, range.clone());
            until = range.end;
        }
        if start >= until {
            collector.add(pair);
        }
    }
    let ending = line_ending(text);
    let mut out = String::with_capacity(text.len() + 64);
    if text.starts_with('\u{feff}') {
        out.push('\u{feff}');
    }
    let first = collector.first.is_some();
    let mut lines = collector.lines;
    if let Some(line) = lines.first_mut().filter(|_| !first) {
        line.blank = false;
    }
    let lines = columns::drawn(Rule::file, &lines, 0);
    for line in collector.first.into_iter().chain(lines.iter().map(String::as_str)) {
        out.push_str(line);
        out.push_str(ending);
    }
    out
}

/// Whole lines that hold something with a mistake in it, and what shares a line with that; in order, without overlap.
fn broken(text: &str, all: &[Pair<Rule>], mistakes: &[Mistake]) -> Vec<Range<usize>> {
    let trivia =
        |pair: &Pair<Rule>| matches!(pair.as_rule(), Rule::comment | Rule::byte_mark | Rule::separator | Rule::EOI);
    let lines = |start: usize, end: usize| {
        let filled = text.get(start..end).map_or(end, |it| start + it.trim_end().len());
        let from = text.get(..start).and_then(|it| it.rfind(['\n', '\r'])).map_or(mark(text), |at| at + 1);
        let to = text.get(filled..).and_then(|it| it.find(['\n', '\r'])).map_or(text.len(), |at| filled + at);
        from..to
    };
    let ranges: Vec<(bool, Range<usize>)> = all
        .iter()
        .filter(|pair| !trivia(pair))
        .map(|pair| {
            let span = pair.as_span();
            let mistaken = mistakes.iter().filter_map(Mistake::at).any(|at| {
                let (start, end) = (at.start as usize, at.end as usize);
                start < span.end() && end > span.start() || start == end && start >= span.start() && start <= span.end()
            });
            let bad = mistaken
                || is_bad(pair.as_rule())
                || pair.clone().into_inner().flatten().any(|it| is_bad(it.as_rule()));
            (bad, lines(span.start(), span.end()))
        })
        .collect();
    let mut found: Vec<Range<usize>> = Vec::new();
    let mut open: Option<(bool, Range<usize>)> = None;
    for (bad, range) in ranges {
        match &mut open {
            // They share a line.
            Some((any, so_far)) if range.start < so_far.end => {
                *any |= bad;
                so_far.end = so_far.end.max(range.end);
            }
            _ => {
                if let Some((true, range)) = open.replace((bad, range)) {
                    found.push(range);
                }
            }
        }
    }
    if let Some((true, range)) = open {
        found.push(range);
    }
    found
}

fn is_bad(rule: Rule) -> bool {
    matches!(
        rule,
        Rule::bad_item
            | Rule::bad_text
            | Rule::bad_line
            | Rule::bad_long
            | Rule::bad_wide
            | Rule::missing_open
            | Rule::missing_close
            | Rule::missing_inner
    )
}

fn mark(text: &str) -> usize {
    if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 }
}

/// The line ending that the text has most of.
fn line_ending(text: &str) -> &'static str {
    let windows = text.matches("\r\n").count();
    let unix = text.matches('\n').count() - windows;
    let old = text.matches('\r').count() - windows;
    if windows > unix && windows >= old {
        "\r\n"
    } else if old > unix {
        "\r"
    } else {
        "\n"
    }
}
