//! Words broken into lines: never within a number and its unit, nor within a short name or command in backticks.

use textwrap::{Options, WordSeparator, WordSplitter, WrapAlgorithm};

/// Stands for a space that a line is not to be broken at.
const GLUE: char = '\u{a0}';
/// Longest stretch in backticks that is kept together, in characters.
const SHORT: usize = 34;

/// `text` with the spaces marked that are to stay; [`unglued`] takes the marks away from what was made of it.
pub(super) fn glued(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for (number, piece) in text.split('`').enumerate() {
        if number > 0 {
            out.push('`');
        }
        if number % 2 == 1 && piece.chars().count() <= SHORT {
            out.extend(piece.chars().map(|it| if it == ' ' { GLUE } else { it }));
        } else {
            glue_units(piece, &mut out);
        }
    }
    out
}

fn glue_units(text: &str, out: &mut String) {
    let mut last = ' ';
    for (at, it) in text.char_indices() {
        let rest = text.get(at + 1..).unwrap_or("");
        let unit = last.is_ascii_digit() && is_unit(rest);
        // `26 x 1.5`
        let times = last == 'x' && rest.starts_with(|next: char| next.is_ascii_digit());
        out.push(if it == ' ' && (unit || times) { GLUE } else { it });
        last = it;
    }
}

/// Whether a text begins with what may be a unit: one to three letters.
fn is_unit(rest: &str) -> bool {
    let letters = rest.chars().take_while(|it| it.is_alphabetic() || *it == '·' || *it == '%').count();
    (1..=3).contains(&letters)
}

/// The text without the marks of [`glued`].
pub(super) fn unglued(text: &str) -> String {
    text.replace(GLUE, " ")
}

/// `text` in lines of `width` columns, the first behind `first`, the others behind `rest`.
pub(crate) fn filled(text: &str, width: usize, first: &str, rest: &str) -> String {
    let options = Options::new(width).initial_indent(first).subsequent_indent(rest);
    // Spaces and first fit: lines a hair less even than could be, in a fraction of the time.
    let options = options
        .word_splitter(WordSplitter::NoHyphenation)
        .word_separator(WordSeparator::AsciiSpace)
        .wrap_algorithm(WrapAlgorithm::FirstFit);
    unglued(&textwrap::fill(&glued(text), options))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn breaks_where_a_reader_would() {
        let text = "the axle is 135 mm wide, see `explain axle.spacing` for 2 bolts of 26 x 1.5";
        assert_eq!(
            filled(text, 26, "- ", "  "),
            "- the axle is 135 mm wide,\n  see\n  `explain axle.spacing`\n  for 2 bolts of 26 x 1.5"
        );
    }
}
