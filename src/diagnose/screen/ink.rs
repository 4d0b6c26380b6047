//! Colours, or none.

use super::super::Severity;
use miette::{GraphicalTheme, LabeledSpan};

/// What the screen is written with.
pub(super) struct Ink {
    plain: GraphicalTheme,
}

impl Ink {
    /// Coloured or not; the strokes are the same.
    pub fn new(color: bool) -> Ink {
        Ink { plain: if color { GraphicalTheme::unicode() } else { GraphicalTheme::unicode_nocolor() } }
    }

    /// The drawer's theme for one diagnostic: `head` stands before its headline, and its main label has its colour.
    pub fn theme(&self, head: &str, severity: Severity, labels: &[LabeledSpan]) -> GraphicalTheme {
        let mut theme = self.plain.clone();
        let other = theme.styles.help;
        let own = match severity {
            Severity::Error => theme.styles.error,
            Severity::Warning => theme.styles.warning,
            Severity::Advice => theme.styles.advice,
        };
        theme.styles.highlights = labels.iter().map(|it| if it.primary() { own } else { other }).collect();
        if theme.styles.highlights.is_empty() {
            theme.styles.highlights.push(other);
        }
        theme.characters.error = head.to_owned();
        theme.characters.warning = head.to_owned();
        theme.characters.advice = head.to_owned();
        theme
    }

    /// Words in the colour of a severity, if they have one.
    pub fn by(&self, severity: Option<Severity>, words: &str) -> String {
        let styles = &self.plain.styles;
        match severity {
            Some(Severity::Error) => styles.error.style(words).to_string(),
            Some(Severity::Warning) => styles.warning.style(words).to_string(),
            Some(Severity::Advice) => styles.advice.style(words).to_string(),
            None => words.to_owned(),
        }
    }

    /// Words that lead another one.
    pub fn quiet(&self, words: &str) -> String {
        self.plain.styles.help.style(words).to_string()
    }

    /// Words that must not be overlooked.
    pub fn loud(&self, words: &str) -> String {
        self.plain.styles.warning.style(words).to_string()
    }
}
