//! Broken stretches: parsed again with the rule that was meant, to say what was expected there.

use super::{Builder, Rule};
use crate::mistake;
use crate::source::Span;
use crate::syntax::rules::{Block, ITEMS};
use crate::syntax::{Grammar, expected};
use pest::Parser;
use pest::iterators::Pair;

impl Builder<'_> {
    /// A stretch at file level that is no item.
    pub(super) fn broken_item(&mut self, pair: &Pair<Rule>) {
        let text = pair.as_str();
        let lead = text.len() - text.trim_start().len();
        let start = pair.as_span().start() + lead;
        let text = text.trim_start();
        let first = first_word(text);
        let line = Span::new(self.file, start, start + text.lines().next().unwrap_or("").trim_end().len());
        let Some((_, strict)) = ITEMS.iter().find(|(word, _)| *word == first) else {
            let at = if first.is_empty() { line } else { Span::new(self.file, start, start + first.len()) };
            self.mistakes.push(mistake::broken_item(at, first, ITEMS.iter().map(|(word, _)| *word)));
            return;
        };
        self.mistakes.push(self.held_against(*strict, text, start, line, first));
    }

    /// What follows an item on its line.
    pub(super) fn leftover(&mut self, pair: &Pair<Rule>) {
        let span = self.span(pair);
        self.mistakes.push(mistake::broken_line(span, "nothing more is expected on this line", &[]));
    }

    /// A stretch in a block that is no statement of it.
    pub(super) fn broken_line(&mut self, pair: &Pair<Rule>, block: &Block) {
        let text = pair.as_str().trim_end();
        let start = pair.as_span().start();
        let line = Span::new(self.file, start, start + text.len());
        let first = first_word(text);
        let known = block.words.iter().find(|(word, _)| *word == first).map(|(_, rule)| *rule);
        let Some(strict) = known.or(block.other) else {
            let at = if first.is_empty() { line } else { Span::new(self.file, start, start + first.len()) };
            let words = block.words.iter().map(|(word, _)| *word);
            self.mistakes.push(mistake::unknown_statement(at, first, block.owner, words));
            return;
        };
        self.mistakes.push(self.held_against(strict, text, start, line, first));
    }

    fn held_against(&self, strict: Rule, text: &str, start: usize, line: Span, what: &str) -> mistake::Mistake {
        match Grammar::parse(strict, text) {
            Err(error) => {
                let at = expected::position(&error).min(text.len());
                let place = self.token_at(text, at, start, line);
                mistake::broken_line(place, &format!("this {} can't be read", said(what)), &expected::words(&error))
                    .with_hint(hint(text))
            }
            Ok(pairs) => {
                let end = pairs.map(|pair| pair.as_span().end()).max().unwrap_or(0);
                let rest = text.get(end..).unwrap_or("");
                let at = end + rest.len() - rest.trim_start().len();
                let place = self.token_at(text, at, start, line);
                let expected = ["the end of the line".to_owned()];
                mistake::broken_line(place, "something more stands on this line", &expected).with_hint(hint(text))
            }
        }
    }

    /// The word at `at` of a stretch that begins at byte `start` of the file, or the stretch's last place.
    fn token_at(&self, text: &str, at: usize, start: usize, line: Span) -> Span {
        let rest = text.get(at..).unwrap_or("");
        let on_line = rest.split(['\n', '\r']).next().unwrap_or("");
        let skipped = on_line.len() - on_line.trim_start().len();
        let on_line = on_line.trim_start();
        if on_line.is_empty() {
            // Nothing stands there: the mark goes right behind what was read.
            let end = start + text.get(..at).unwrap_or(text).trim_end().len();
            return if rest.is_empty() && end > line.start as usize { Span::new(self.file, end, end) } else { line };
        }
        let word = on_line.find(|c: char| c.is_whitespace() || "(){}[],;=".contains(c)).unwrap_or(on_line.len());
        let first = on_line.chars().next().map_or(0, char::len_utf8);
        let from = start + at + skipped;
        Span::new(self.file, from, from + word.max(first))
    }

    /// A block that ends without its brace.
    pub(super) fn unclosed(&mut self, pair: &Pair<Rule>, block: &Block) {
        let at = self.span(pair);
        // The mark goes to the end of what the block holds, not to the item that follows.
        let before = self.text.get(..at.start as usize).unwrap_or("").trim_end().len();
        self.mistakes.push(mistake::unclosed(Span::new(self.file, before, before), block.owner));
    }
}

fn first_word(text: &str) -> &str {
    let end = text.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(text.len());
    text.get(..end).unwrap_or("")
}

fn said(word: &str) -> String {
    if ITEMS.iter().any(|(item, _)| *item == word) { format!("`{word}`") } else { "line".to_owned() }
}

/// A slip that people make often, told from the look of the line.
fn hint(text: &str) -> Option<String> {
    let line = text.lines().next().unwrap_or("");
    let comma = line.as_bytes().windows(3).any(|three| match three {
        [before, b',', after] => before.is_ascii_digit() && after.is_ascii_digit(),
        _ => false,
    });
    if comma {
        return Some("write decimals with a point: `26.8 mm`".to_owned());
    }
    if line.contains('"') && line.matches('"').count() % 2 == 1 {
        return Some("a text begins and ends with `\"` on the same line".to_owned());
    }
    if line.contains("//") {
        return Some("a comment begins with `#`".to_owned());
    }
    None
}
