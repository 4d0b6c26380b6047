//! Words of the language that need more than a line.

use super::mistakes;
use super::paper::Paper;

/// Each with what it is, and its page in Markdown.
pub(super) const WORDS: &[(&str, &str, &str)] =
    &[("stock", "rows of a price list that are parts", include_str!("words/stock.md"))];

pub(super) fn page(name: &str, paper: &mut Paper) {
    if let Some((name, doc, page)) = WORDS.iter().find(|(word, ..)| *word == name) {
        paper.title(name, doc, "a word of the language");
        mistakes::markdown(page.lines(), paper);
    }
}
