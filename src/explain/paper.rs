//! The paper that pages are written on: ninety columns, quiet headings, everything wrapped.

use crate::clean;
use crate::diagnose::screen::wrap::filled;
use crate::syntax::tree::Source;

/// Columns of a page.
pub(super) const WIDTH: usize = 90;
/// Widest first column of a pair; a longer name stands on a line of its own.
const NAME: usize = 26;

/// A page, or several one after the other.
#[derive(Default)]
pub(super) struct Paper {
    out: String,
}

impl Paper {
    /// The text, with a line end.
    pub fn done(self) -> String {
        self.out
    }

    /// Begins a page: its name with what it is, and under that what sort of thing it is and where it is declared.
    pub fn title(&mut self, name: &str, doc: &str, under: &str) {
        if !self.out.is_empty() {
            self.out.push_str("\n\n");
        }
        let title = if doc.is_empty() { name.to_owned() } else { format!("{name}: {doc}") };
        let title = filled(&clean::words(&title), WIDTH, "", "");
        let longest = title.lines().map(textwrap::core::display_width).max().unwrap_or(0);
        self.push(&format!("{title}\n{}", "=".repeat(longest)));
        if !under.is_empty() {
            self.push(&filled(&clean::words(under), WIDTH, "", ""));
        }
    }

    /// Begins a section.
    pub fn heading(&mut self, heading: &str) {
        self.push(&format!("\n{heading}"));
    }

    /// A paragraph of a section.
    pub fn text(&mut self, text: &str) {
        self.push(&filled(&clean::words(text), WIDTH, "  ", "  "));
    }

    /// A paragraph at the margin, with an empty line before it.
    pub fn paragraph(&mut self, text: &str) {
        self.push(&format!("\n{}", filled(&clean::words(text), WIDTH, "", "")));
    }

    /// An item of a list.
    pub fn item(&mut self, text: &str) {
        self.push(&filled(&clean::words(text), WIDTH, "  - ", "    "));
    }

    /// An item of a list with what it hangs on under it.
    pub fn item_when(&mut self, text: &str, when: &str) {
        self.item(text);
        self.push(&filled(&clean::words(&format!("when {when}")), WIDTH, "    ", "      "));
    }

    /// Lines as they are, set in.
    pub fn lines(&mut self, text: &str, indent: usize) {
        for line in text.lines() {
            let line = line.chars().map(|it| if it == '\t' { ' ' } else { clean::harmless(it) }).collect::<String>();
            self.push(format!("{:indent$}{line}", "").trim_end());
        }
    }

    /// Names with what is said of them, in two columns; what is said may be several paragraphs.
    pub fn pairs(&mut self, pairs: &[(String, Vec<String>)]) {
        let width = pairs.iter().map(|(name, _)| name.chars().count()).filter(|it| *it <= NAME).max().unwrap_or(0);
        for (name, said) in pairs {
            let name = clean::words(name);
            let indent = " ".repeat(width + 4);
            let mut said = said.iter().filter(|it| !it.is_empty());
            let length = name.chars().count();
            if length > width {
                self.push(&format!("  {name}"));
            } else if let Some(first) = said.next() {
                self.push(&filled(&clean::words(first), WIDTH, &format!("  {name:width$}  "), &indent));
            } else {
                self.push(&format!("  {name}"));
            }
            for more in said {
                self.push(&filled(&clean::words(more), WIDTH, &indent, &indent));
            }
        }
    }

    /// Where something is known from, and how sure that is.
    pub fn sources(&mut self, sources: &[Source]) {
        self.heading("Known from");
        if sources.is_empty() {
            self.text("nothing is said of that");
        }
        for source in sources {
            self.text(&how_sure(source));
        }
    }

    /// Warnings, in full; nothing if there are none.
    pub fn cautions(&mut self, texts: &[&str]) {
        if texts.is_empty() {
            return;
        }
        self.heading("Beware");
        for text in texts {
            self.item(text);
        }
    }

    fn push(&mut self, text: &str) {
        self.out.push_str(text);
        self.out.push('\n');
    }
}

/// A source in words, the least sure kind marked as such.
pub(super) fn how_sure(source: &Source) -> String {
    let text = source.text.as_ref().map_or("", |it| it.text.as_str());
    match (source.standing.text.as_str(), text) {
        ("practice", "") => "practice: how it is commonly done; no text is named".to_owned(),
        ("memory", text) => format!("memory, NOT LOOKED UP: {text}"),
        (standing, "") => standing.to_owned(),
        (standing, text) => format!("{standing}: {text}"),
    }
}

/// `a`, `a and b`, `a, b and c`.
pub(super) fn joined(all: &[String]) -> String {
    match all {
        [] => String::new(),
        [only] => only.clone(),
        [front @ .., last] => format!("{} and {last}", front.join(", ")),
    }
}
