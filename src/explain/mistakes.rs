//! The page of a mistake, and any other that is written beside the code: its text, with the examples set in.

use super::paper::Paper;
use crate::mistake::Code;

pub(super) fn page(code: &Code, paper: &mut Paper) {
    paper.title(code.id, code.title, "a mistake in a text, or a finding of the compiler's own");
    markdown(code.page.lines().skip(1), paper);
}

/// Paragraphs of Markdown, and examples in fences.
pub(super) fn markdown<'p>(lines: impl Iterator<Item = &'p str>, paper: &mut Paper) {
    let mut marked = "";
    let mut fence: Option<String> = None;
    let mut paragraph: Vec<&str> = Vec::new();
    for line in lines {
        match (&mut fence, line.strip_prefix("```")) {
            (Some(text), Some(_)) => {
                paper.lines(text, 4);
                fence = None;
            }
            (Some(text), None) => {
                text.push_str(line);
                text.push('\n');
            }
            (None, Some(info)) => {
                let (mark, file) = info
                    .trim_start_matches("cotter")
                    .trim()
                    .split_once(' ')
                    .unwrap_or((info.trim_start_matches("cotter").trim(), ""));
                if mark != marked {
                    paper.heading(if mark == "bad" { "Wrong" } else { "Right" });
                    marked = if mark == "bad" { "bad" } else { "good" };
                }
                if let Some(file) = file.strip_prefix("file=") {
                    paper.text(&format!("in {file}:"));
                }
                fence = Some(String::new());
            }
            (None, None) if line.is_empty() => {
                if !paragraph.is_empty() {
                    paper.paragraph(&paragraph.join(" "));
                    paragraph.clear();
                }
            }
            (None, None) => paragraph.push(line),
        }
    }
    if !paragraph.is_empty() {
        paper.paragraph(&paragraph.join(" "));
    }
}
