//! One diagnostic drawn: headline and underlined lines by miette, then what there is to say.

use super::super::Severity;
use super::super::found::Found;
use super::super::mend;
use super::ink::Ink;
use super::sheet::Sheet;
use super::wrap;
use crate::clean;
use miette::{GraphicalReportHandler, LabeledSpan, SourceCode};
use std::fmt;

/// A diagnostic as the drawer wants it.
#[derive(Debug)]
struct Drawn {
    headline: String,
    severity: miette::Severity,
    sheet: Sheet,
}

impl fmt::Display for Drawn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.headline)
    }
}

impl std::error::Error for Drawn {}

impl miette::Diagnostic for Drawn {
    fn severity(&self) -> Option<miette::Severity> {
        Some(self.severity)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(&self.sheet)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(self.sheet.labels.iter().cloned()))
    }
}

/// The word that a diagnostic begins with.
fn word(found: &Found) -> &'static str {
    match (found.diagnostic.severity, &found.diagnostic.build, &found.diagnostic.joint) {
        (Severity::Error, None, _) => "mistake",
        (Severity::Error, _, Some(_)) => "clash",
        (Severity::Error, _, None) => "error",
        (Severity::Warning, ..) => "warning",
        (Severity::Advice, ..) => "advice",
    }
}

/// A diagnostic on a screen of `width` columns, with a line end; `news` says of each of its cautions whether it is not
/// told above.
pub(super) fn drawn(found: &Found, ink: &Ink, width: usize, news: &[bool]) -> String {
    let diagnostic = found.diagnostic;
    let head = format!("{}[{}]:", word(found), clean::words(&diagnostic.code));
    let shown = Drawn {
        headline: wrap::glued(&clean::words(&diagnostic.message)),
        severity: match diagnostic.severity {
            Severity::Error => miette::Severity::Error,
            Severity::Warning => miette::Severity::Warning,
            Severity::Advice => miette::Severity::Advice,
        },
        sheet: Sheet::of(found.files, &found.labels, width),
    };
    let handler = GraphicalReportHandler::new_themed(ink.theme(&head, diagnostic.severity, &shown.sheet.labels))
        .with_width(width)
        .with_links(false)
        .with_context_lines(1)
        .without_syntax_highlighting();
    let mut picture = String::new();
    // Writing to a string can't fail, and the sheet answers for every label that it made.
    let _ = handler.render_report(&mut picture, &shown);
    // The drawer sets its headline in by two columns; a new diagnostic is found sooner at the margin.
    let picture = picture.strip_prefix("  ").unwrap_or(&picture);
    format!("{}{}", wrap::unglued(&aligned(picture, &shown.sheet)), notes(found, ink, width, news))
}

/// The picture with its bars in one line, however many digits the line numbers of each window have.
fn aligned(picture: &str, sheet: &Sheet) -> String {
    let widest = sheet.digits().max().unwrap_or(0);
    let mut digits = sheet.digits();
    let mut out = String::with_capacity(picture.len());
    let mut pad = 0;
    for line in picture.lines() {
        if line.trim_start().starts_with("╭─[") {
            pad = digits.next().map_or(0, |own| widest - own);
        }
        out.extend(std::iter::repeat_n(' ', pad));
        out.push_str(line);
        out.push('\n');
    }
    out
}

/// A caution in full, or its first sentence where it was told in full before.
fn caution(text: &str, severity: Severity, new: bool) -> String {
    match text.split_once(". ") {
        // What clashes is read on its own; open joints are many, and what is said by all of them is not read.
        Some((sentence, _)) if !new && severity == Severity::Warning => format!("{sentence}. (In full above.)"),
        _ => text.to_owned(),
    }
}

/// What there is to say below the picture.
fn notes(found: &Found, ink: &Ink, width: usize, news: &[bool]) -> String {
    let it = found.diagnostic;
    let mut out = String::new();
    let mut note = |word: &str, text: &str| {
        let first = if word.is_empty() { "  ".to_owned() } else { format!("  {word} ") };
        out.push_str(&wrap::filled(&clean::words(text), width, &first, "    "));
        out.push('\n');
    };
    if !found.builds.is_empty() {
        let plural = if found.builds.len() == 1 { "build" } else { "builds" };
        let joint = it.joint.as_ref().map_or(String::new(), |joint| format!(", joint {joint}"));
        note("", &format!("{plural} {}{joint}", found.builds.join(", ")));
    }
    if !it.why.is_empty() {
        note(&ink.quiet("why:"), &it.why);
    }
    for help in &it.help {
        match it.severity {
            // What an open joint has to say brings its own words.
            Severity::Warning if !found.builds.is_empty() => note("", help),
            _ if found.builds.is_empty() => note(&ink.quiet("help:"), help),
            _ => note(&ink.quiet("may:"), help),
        }
    }
    for fit in &it.fits_if {
        let so_far = if fit.so_far.is_empty() { String::new() } else { format!("; {}", fit.so_far) };
        note(&ink.quiet("fits if"), &format!("`{}` is {}{so_far}", fit.fact, fit.values.join(", or ")));
    }
    for remedy in &it.mends {
        note(&ink.quiet("mend:"), &mend::line(remedy));
    }
    for (text, new) in it.cautions.iter().zip(news) {
        note(&ink.loud("Caution:"), &caution(text, it.severity, *new));
    }
    note(&ink.quiet("more:"), &format!("cotter explain {}", it.code));
    out
}
