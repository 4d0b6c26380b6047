//! Blocks of a sheet as HTML.

use crate::clean;
use crate::sheets::render::{Block, Check, Column, Grid, Table, Words};
use maud::{Markup, html};

/// Tables of a page, counted, so that each has a name of its own.
#[derive(Default)]
pub(super) struct Counter {
    tables: usize,
}

impl Counter {
    /// The name of the next table below this heading.
    pub fn table(&mut self, heading: &str) -> String {
        self.tables += 1;
        clean::words(&format!("table {}: {heading}", self.tables))
    }
}

/// Words with what stands in backticks as code.
pub(super) fn words(text: &str) -> Markup {
    let text = clean::words(text);
    let pieces: Vec<&str> = text.split('`').collect();
    // An odd backtick is only a backtick.
    if pieces.len().is_multiple_of(2) {
        return html! { (text) };
    }
    html! {
        @for (at, piece) in pieces.iter().enumerate() {
            @if at.is_multiple_of(2) { (piece) } @else { code { (piece) } }
        }
    }
}

fn marked(it: &Words) -> Markup {
    html! { @if it.strong { strong { (words(&it.text)) } } @else { (words(&it.text)) } }
}

/// A block; `heading` is that of the stretch it stands in, which its table is named after.
pub(super) fn block(it: &Block, heading: &mut String, counter: &mut Counter) -> Markup {
    match it {
        // The sheet has a title already.
        Block::Title(_) => html! {},
        Block::Heading(text) | Block::Chapter(text) => {
            heading.clone_from(text);
            html! { h3 { (words(text)) } }
        }
        Block::Sub(text) => {
            heading.clone_from(text);
            html! { h4 { (words(text)) } }
        }
        Block::Text(text) => html! { p { (marked(text)) } },
        Block::Items(items) => html! { ul { @for it in items { li { (marked(it)) } } } },
        Block::Checks(checks) => html! { ul.checks { @for it in checks { (check(it)) } } },
        Block::Table(it) => scrolled(&counter.table(heading), &table(it)),
        Block::Grid(it) => scrolled(&counter.table(heading), &grid(it)),
        Block::Verbatim(text) => {
            let lines: Vec<String> = text.lines().map(clean::words).collect();
            html! { pre tabindex="0" { (lines.join("\n")) } }
        }
    }
}

fn check(it: &Check) -> Markup {
    html! {
        li {
            label {
                input type="checkbox";
                " " span { (marked(&it.head)) }
                @if !it.blank.is_empty() { (blank(&it.blank)) }
            }
            @if !it.lines.is_empty() {
                ul { @for line in &it.lines { li { (marked(line)) } } }
            }
        }
    }
}

/// Room to write in: a line where there are only letters, drawn here so that a hand finds room on it.
fn blank(it: &str) -> Markup {
    let unit = it.trim_start_matches('_');
    html! {
        " " span.blank {
            @if unit.len() < it.len() { span.line {} }
            (clean::words(unit))
        }
    }
}

/// What may be wider than the page scrolls by itself, by keys too.
pub(super) fn scrolled(name: &str, inside: &Markup) -> Markup {
    html! { div.scroll tabindex="0" role="region" aria-label=(name) { (inside) } }
}

fn table(it: &Table) -> Markup {
    let share: u16 = it.columns.iter().map(|it| it.width).sum::<u16>().max(1);
    let percent = |it: &Column| format!("width:{:.1}%", f64::from(it.width) * 100.0 / f64::from(share));
    html! {
        table.wide {
            colgroup { @for it in &it.columns { col style=(percent(it)); } }
            thead { tr { @for it in &it.columns { th scope="col" class=[right(it.right)] { (it.title) } } } }
            tbody {
                @for row in &it.rows {
                    tr {
                        @for (at, lines) in row.iter().enumerate() {
                            td class=[right(it.columns.get(at).is_some_and(|it| it.right))] {
                                @for line in lines { div { (marked(line)) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn grid(it: &Grid) -> Markup {
    html! {
        table {
            thead { tr { @for (title, figures) in &it.titles { th scope="col" class=[right(*figures)] { (words(title)) } } } }
            tbody {
                @for row in &it.rows {
                    tr {
                        @for (at, cell) in row.iter().enumerate() {
                            @let figures = it.titles.get(at).is_some_and(|(_, figures)| *figures);
                            @if at == 0 && !figures && !cell.is_empty() {
                                th scope="row" { (words(cell)) }
                            } @else {
                                td class=[right(figures)] { (words(cell)) }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn right(it: bool) -> Option<&'static str> {
    it.then_some("right")
}
