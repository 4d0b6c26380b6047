//! Broken stretches: parsed again with the rule that was meant, to say what was expected there.

use super::{Builder, Rule};
use crate::mistake::{self, Mistake};
use crate::source::Span;
use crate::syntax::rules::{self, Block, ITEMS};
use crate::syntax::{Grammar, expected, hints};
use pest::Parser;
use pest::iterators::Pair;

/// A broken stretch: its text, and the byte of the file that it begins at.
#[derive(Clone, Copy)]
pub(super) struct Stretch<'t> {
    text: &'t str,
    start: usize,
}

impl Builder<'_> {
    /// A stretch at file level that is no item, or several of them in a row.
    pub(super) fn broken_items(&mut self, pair: &Pair<Rule>) {
        let (text, start) = (pair.as_str(), pair.as_span().start());
        for (from, to) in pieces(text) {
            let piece = text.get(from..to).unwrap_or("");
            let lead = piece.len() - piece.trim_start().len();
            self.broken_item(Stretch { text: piece.trim(), start: start + from + lead });
        }
    }

    fn broken_item(&mut self, stretch: Stretch) {
        let first = first_word(stretch.text);
        let (start, file) = (stretch.start, self.file);
        if let Some((_, strict)) = ITEMS.iter().find(|(word, _)| *word == first) {
            self.mistakes.push(self.held_against(*strict, stretch));
        } else if stretch.text.starts_with('}') {
            self.mistakes.push(mistake::stray_close(Span::new(file, start, start + 1)));
        } else {
            let shown = if first.is_empty() { first_token(stretch.text) } else { first };
            let at = Span::new(file, start, start + shown.len());
            self.mistakes.push(mistake::broken_item(at, shown, ITEMS.iter().map(|(word, _)| *word)));
        }
    }

    /// What follows the item `before` on its line.
    pub(super) fn leftover(&mut self, pair: &Pair<Rule>, before: Option<(Rule, usize)>) {
        let end = pair.as_span().end();
        let (strict, start) = match before {
            // A function ends with an expression, which may be what is broken.
            Some((Rule::function, start)) => (Rule::whole_function, start),
            Some((Rule::use_item, start)) => (Rule::whole_use, start),
            _ => {
                let stretch = Stretch { text: pair.as_str(), start: pair.as_span().start() };
                self.mistakes.push(self.too_much(Rule::EOI, stretch, 0));
                return;
            }
        };
        let stretch = Stretch { text: self.text.get(start..end).unwrap_or(""), start };
        self.mistakes.push(self.held_against(strict, stretch));
    }

    /// A stretch in a block that is no statement of it.
    pub(super) fn broken_line(&mut self, pair: &Pair<Rule>, block: &Block) {
        let stretch = Stretch { text: pair.as_str().trim_end(), start: pair.as_span().start() };
        let first = first_word(stretch.text);
        let known = block.words.iter().find(|(word, _)| *word == first).map(|(_, rule)| *rule);
        let Some(strict) = known.or(block.other) else {
            let shown = if first.is_empty() { first_token(stretch.text) } else { first };
            let at = Span::new(self.file, stretch.start, stretch.start + shown.len());
            let words = block.words.iter().map(|(word, _)| *word);
            let elsewhere = rules::owners(first);
            self.mistakes.push(mistake::unknown_statement(at, shown, block.owner, words, &elsewhere));
            return;
        };
        self.mistakes.push(self.held_against(strict, stretch));
    }

    fn held_against(&self, strict: Rule, stretch: Stretch) -> Mistake {
        let text = stretch.text;
        match Grammar::parse(strict, text) {
            Err(error) => {
                let at = expected::position(&error).min(text.len());
                if let Some(slip) = self.slip(strict, stretch, at) {
                    return slip;
                }
                let (place, found, before) = self.place(stretch, at);
                let words = expected::words(&error);
                let hint = hints::hint(text, at, words.iter().any(|it| it == "a name"));
                mistake::broken_line(place, &words, found, before).with_hint(hint, rules::form(strict))
            }
            Ok(pairs) => self.too_much(strict, stretch, pairs.map(|pair| pair.as_span().end()).max().unwrap_or(0)),
        }
    }

    /// A statement is whole at byte `end` of the stretch, and goes on.
    fn too_much(&self, strict: Rule, stretch: Stretch, end: usize) -> Mistake {
        if let Some(slip) = self.slip(strict, stretch, end) {
            return slip;
        }
        let (place, found, before) = self.place(stretch, end);
        let words = [expected::LINE_END.to_owned()];
        mistake::broken_line(place, &words, found, before)
            .with_hint(hints::hint(stretch.text, end, false), rules::form(strict))
    }

    /// A slip with a mistake of its own, where byte `at` of the stretch could not be read.
    fn slip(&self, strict: Rule, stretch: Stretch, at: usize) -> Option<Mistake> {
        let span = |(from, to): (usize, usize)| Span::new(self.file, stretch.start + from, stretch.start + to);
        if let Some(place) = hints::open_text(stretch.text, at) {
            return Some(mistake::open_text(span(place)));
        }
        if let Some(place) = hints::open_bracket(stretch.text, at) {
            return Some(mistake::open_bracket(span(place), stretch.text.get(place.0..place.1)?));
        }
        if let Some((place, missing)) = hints::half_a_value(stretch.text, at) {
            let word = stretch.text.get(place.0..place.1);
            return Some(
                mistake::broken_line(span(place), &[missing.to_owned()], word, None)
                    .with_hint(None, rules::form(strict)),
            );
        }
        let place = hints::decimal_comma(stretch.text, at)?;
        Some(mistake::decimal_comma(span(place), stretch.text.get(place.0..place.1)?))
    }

    /// Where byte `at` of a stretch is shown: the token there, or the place right behind what was read when the line
    /// ends there; with that token, and the one before it.
    fn place<'t>(&self, stretch: Stretch<'t>, at: usize) -> (Span, Option<&'t str>, Option<&'t str>) {
        let (read, rest) = (stretch.text.get(..at).unwrap_or(stretch.text), stretch.text.get(at..).unwrap_or(""));
        let before = last_token(read);
        let on_line = rest.split(['\n', '\r']).next().unwrap_or("");
        let from = stretch.start + at + on_line.len() - on_line.trim_start().len();
        let on_line = on_line.trim_start();
        if on_line.is_empty() || on_line.starts_with('#') {
            let end = stretch.start + read.trim_end().len();
            return (Span::new(self.file, end, end), None, before);
        }
        let found = first_token(on_line);
        (Span::new(self.file, from, from + found.len()), Some(found), before)
    }

    /// A block that begins without its brace.
    pub(super) fn unopened(&mut self, pair: &Pair<Rule>, block: &Block) {
        let at = self.behind(pair);
        self.mistakes.push(mistake::unopened(at, block.owner));
    }

    /// A block that ends without its brace; `name` is that of its owner, where it has one.
    pub(super) fn unclosed(&mut self, pair: &Pair<Rule>, block: &Block, name: Option<&str>) {
        let at = self.behind(pair);
        // Of a block with neither brace one is said to be missing, not two.
        if self.mistakes.last().and_then(Mistake::at) != Some(at) {
            self.mistakes.push(mistake::unclosed(at, block.owner, name));
        }
    }

    /// The place right behind what stands before a pair: the end of a block's content, not the item that follows.
    fn behind(&self, pair: &Pair<Rule>) -> Span {
        let before = self.text.get(..self.span(pair).start as usize).unwrap_or("");
        let end = before.trim_end().len();
        Span::new(self.file, end, end)
    }
}

/// Where the items lie that follow each other in one broken stretch: one ends with the line on which its block ends,
/// or with its line if it has none. Comments and empty lines count to nobody.
fn pieces(text: &str) -> Vec<(usize, usize)> {
    let mut found = Vec::new();
    let (mut start, mut end, mut at, mut depth) = (None, 0, 0, 0usize);
    for line in text.split_inclusive(['\n', '\r']) {
        let bare = without_comment(line);
        let shown = bare.trim();
        let here = at;
        at += line.len();
        if shown.is_empty() {
            continue;
        }
        let from = *start.get_or_insert(here);
        end = here + bare.trim_end().len();
        let (mut closed, opened) = (false, depth > 0);
        for mark in without_strings(shown) {
            match mark {
                '{' => depth += 1,
                '}' => {
                    closed = true;
                    depth = depth.saturating_sub(1);
                }
                _ => {}
            }
        }
        let alone = !opened && matches!(first_word(shown), "use" | "standalone" | "caution");
        if depth == 0 && (closed || alone) {
            found.push((from, end));
            start = None;
        }
    }
    found.extend(start.map(|from| (from, end)));
    found
}

/// A line up to its comment.
fn without_comment(line: &str) -> &str {
    let (mut in_text, mut escaped) = (false, false);
    for (at, mark) in line.char_indices() {
        match mark {
            _ if escaped => escaped = false,
            '\\' if in_text => escaped = true,
            '"' => in_text = !in_text,
            '#' if !in_text => return line.get(..at).unwrap_or(line),
            _ => {}
        }
    }
    line
}

/// The marks of a line that stand in no text.
fn without_strings(line: &str) -> impl Iterator<Item = char> {
    let (mut in_text, mut escaped) = (false, false);
    line.chars().filter(move |mark| {
        let inside = in_text;
        match mark {
            _ if escaped => escaped = false,
            '\\' if in_text => escaped = true,
            '"' => in_text = !in_text,
            _ => {}
        }
        !inside
    })
}

fn first_word(text: &str) -> &str {
    let end = text.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(text.len());
    text.get(..end).unwrap_or("")
}

/// What stands between tokens, and is one itself.
const MARKS: &str = "(){}[],;=:\"";

/// The first token of a text that does not begin with a space: a string, a mark, or all up to a space or mark.
fn first_token(text: &str) -> &str {
    let string = text.strip_prefix('"').and_then(|inside| inside.find(['"', '\n', '\r']).map(|end| end + 1));
    if let Some(end) = string.filter(|end| text.get(*end..).is_some_and(|it| it.starts_with('"'))) {
        return text.get(..=end).unwrap_or(text);
    }
    let end = text.find(|c: char| c.is_whitespace() || MARKS.contains(c)).unwrap_or(text.len());
    let first = text.chars().next().map_or(0, char::len_utf8);
    text.get(..end.max(first)).unwrap_or(text)
}

/// The last token of a text.
fn last_token(text: &str) -> Option<&str> {
    let text = text.trim_end();
    let last = text.chars().next_back()?;
    if last == '"' {
        let from = text.get(..text.len() - 1)?.rfind('"')?;
        return text.get(from..).filter(|it| it.len() <= 40);
    }
    if let Some(mark) = ["==", "!=", "<=", ">="].into_iter().find(|it| text.ends_with(it)) {
        return Some(mark);
    }
    let from = text.rfind(|c: char| c.is_whitespace() || MARKS.contains(c));
    let from = from.map_or(0, |at| at + text.get(at..).and_then(|it| it.chars().next()).map_or(0, char::len_utf8));
    text.get(from.min(text.len() - last.len_utf8())..)
}
