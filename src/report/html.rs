//! The report as one page for a browser.

use super::blocks::{self, Counter, scrolled, words};
use super::entry::Entry;
use super::{HTML_MARK, Piece, Report, Sheet};
use crate::clean;
use crate::drawing::{Drawing, mark, svg};
use crate::judge::Verdict;
use maud::{DOCTYPE, Markup, PreEscaped, html};

/// How the page looks, on a screen and on paper.
const STYLE: &str = include_str!("style.css");

/// Nothing is fetched and nothing runs, whatever should find its way into a page.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";

/// The whole page.
pub(super) fn page(report: &Report) -> String {
    let name = clean::words(&report.name);
    let mut counter = Counter::default();
    let sheets: Vec<Markup> = report.sheets.iter().map(|it| sheet(it, &name, &mut counter)).collect();
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta http-equiv="Content-Security-Policy" content=(POLICY);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                (PreEscaped(HTML_MARK))
                title { (name) ": cotter report" }
                style { (PreEscaped(STYLE)) }
            }
            body {
                a.skip href="#sheets" { "to the sheets" }
                header {
                    h1 { (name) }
                    @if !report.description.is_empty() { p.what { (words(&report.description)) } }
                    @if let Some(from) = &report.from { p { "made of " strong { (clean::words(from)) } } }
                    (summary(report))
                }
                nav aria-labelledby="contents" {
                    h2 id="contents" { "Contents" }
                    ol { @for it in &report.sheets { li { a href=(format!("#{}", it.key)) { (it.title) } } } }
                }
                main id="sheets" { @for it in &sheets { (it) } }
            }
        }
    };
    format!("{}\n", page.into_string())
}

/// How the joints stand, which also tells what the marks mean.
fn summary(report: &Report) -> Markup {
    html! {
        ul.summary aria-label="joints by verdict" {
            @for (verdict, count) in &report.counts {
                li { (sign(*verdict)) " " strong { (count) } " " (count_words(*verdict, *count)) }
            }
        }
    }
}

fn count_words(verdict: Verdict, count: usize) -> &'static str {
    match (verdict, count) {
        (Verdict::Fits, 1) => "joint fits",
        (Verdict::Fits, _) => "joints fit",
        (Verdict::Open, 1) => "joint is open: it hangs on what is not known yet",
        (Verdict::Open, _) => "joints are open: they hang on what is not known yet",
        (Verdict::Clashes, 1) => "joint clashes",
        (Verdict::Clashes, _) => "joints clash",
    }
}

/// The mark of a verdict within a line; the word stands beside it.
fn sign(verdict: Verdict) -> Markup {
    html! { svg.sign viewBox="-1.2 -1.2 2.4 2.4" aria-hidden="true" focusable="false" { (mark(verdict, (0.0, 0.0), 1.0)) } }
}

fn sheet(it: &Sheet, name: &str, counter: &mut Counter) -> Markup {
    let mut heading = it.title.clone();
    let title = format!("{}-sheet", it.key);
    html! {
        section.sheet id=(it.key) aria-labelledby=(title) {
            p.of { (name) }
            h2 id=(title) { (it.title) }
            @for piece in &it.pieces {
                @match piece {
                    Piece::Block(block) => { (blocks::block(block, &mut heading, counter)) }
                    Piece::Drawing(drawing, _) => { (figure(drawing)) }
                    Piece::Entries(entries) => { @for it in entries { (entry(it)) } }
                    Piece::Rows(entries) => { (scrolled(&counter.table(&heading), &rows(entries))) }
                }
            }
        }
    }
}

fn figure(drawing: &Drawing) -> Markup {
    let kind = if drawing.full_size { "figure full" } else { "figure" };
    html! {
        figure class=(kind) {
            div.scroll tabindex="0" role="region" aria-label=(clean::words(&format!("drawing: {}", drawing.title))) {
                (svg(drawing))
            }
            figcaption {
                strong { (words(&drawing.title)) }
                @if !drawing.caption.is_empty() { ul { @for it in &drawing.caption { li { (words(it)) } } } }
            }
        }
    }
}

/// A joint in full.
fn entry(it: &Entry) -> Markup {
    html! {
        article.entry.(it.verdict.word()) id=(it.id()) aria-labelledby=(format!("{}-title", it.id())) {
            h4 id=(format!("{}-title", it.id())) {
                (sign(it.verdict)) " " (it.number) " " (words(&it.title)) ": " (it.verdict.word())
            }
            p { "meet in " code { (clean::words(&it.name)) } ":" }
            ul {
                @for part in &it.parts {
                    li {
                        code { (clean::words(&part.slots.join(", "))) } " = " (clean::words(&part.part))
                        @if !part.description.is_empty() { ", " (words(&part.description)) }
                    }
                }
            }
            @for found in &it.found {
                p.found { strong { (words(&found.headline())) } }
                @if !found.lines.is_empty() {
                    ul { @for (what, line) in &found.lines { li { @if !what.is_empty() { span.key { (what) ": " } } (words(line)) } } }
                }
            }
        }
    }
}

/// Joints of which there is no more to say than that they fit.
fn rows(all: &[Entry]) -> Markup {
    html! {
        table {
            thead { tr { th.right scope="col" { "no" } th scope="col" { "joint" } th scope="col" { "verdict" } th scope="col" { "parts that meet" } } }
            tbody {
                @for it in all {
                    tr id=(it.id()) {
                        td.right { (it.number) }
                        th scope="row" { (words(&it.title)) }
                        td.verdict { (sign(it.verdict)) " " (it.verdict.word()) }
                        td { (clean::words(&it.meeting())) }
                    }
                }
            }
        }
    }
}
