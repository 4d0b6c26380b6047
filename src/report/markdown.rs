//! The report as Markdown: the same sheets; of a drawing, what it shows in words.

use super::entry::Entry;
use super::{MARKDOWN_MARK, Piece, Report, Sheet};
use crate::sheets::render::{self, Block, Grid, Words, plain, strong};

/// The whole page.
pub(super) fn page(report: &Report) -> String {
    let mut head = vec![Block::Title(report.name.clone())];
    if !report.description.is_empty() {
        head.push(Block::Text(plain(report.description.clone())));
    }
    if let Some(from) = &report.from {
        head.push(Block::Text(plain(format!("made of {from}"))));
    }
    let counts = report.counts.iter().map(|(verdict, count)| plain(format!("{}: {count}", verdict.word())));
    head.push(Block::Items(counts.collect()));
    let mut out = format!("{MARKDOWN_MARK}\n\n{}\n## Contents\n\n", render::markdown(&head));
    for (at, it) in report.sheets.iter().enumerate() {
        // Forges make a heading's anchor of its letters in lower case, with a dash for each space.
        out.push_str(&format!("{}. [{}](#{})\n", at + 1, it.title, it.title.to_lowercase().replace(' ', "-")));
    }
    for it in &report.sheets {
        out.push_str(&format!("\n## {}\n\n{}", it.title, lower(&render::markdown(&blocks(it)))));
    }
    out
}

/// Headings a step lower: those of a sheet stand within the report. No other line begins so.
fn lower(text: &str) -> String {
    let line = |it: &str| if it.starts_with('#') { format!("#{it}\n") } else { format!("{it}\n") };
    text.lines().map(line).collect()
}

fn blocks(sheet: &Sheet) -> Vec<Block> {
    let mut all = Vec::new();
    for piece in &sheet.pieces {
        match piece {
            Piece::Block(block) => all.push(block.clone()),
            Piece::Drawing(drawing, instead) => {
                all.push(Block::Text(plain(format!("{}: {}", drawing.title, drawing.description))));
                all.extend(instead.iter().cloned());
                if !drawing.caption.is_empty() {
                    all.push(Block::Items(drawing.caption.iter().map(plain).collect()));
                }
            }
            Piece::Entries(entries) => entries.iter().for_each(|it| entry(&mut all, it)),
            Piece::Rows(entries) => {
                let titles = [("no", true), ("joint", false), ("parts that meet", false)];
                let rows = entries.iter().map(|it| vec![it.number.to_string(), it.title.clone(), it.meeting()]);
                all.push(Block::Grid(Grid {
                    titles: titles.map(|(title, figures)| (title.to_owned(), figures)).to_vec(),
                    rows: rows.collect(),
                }));
            }
        }
    }
    all
}

fn entry(all: &mut Vec<Block>, it: &Entry) {
    all.push(Block::Sub(format!("{} {}: {}", it.number, it.title, it.verdict.word())));
    let mut items: Vec<Words> = vec![plain(format!("meet: {}", it.meeting()))];
    for found in &it.found {
        items.push(strong(found.headline()));
        items.extend(found.said().map(plain));
    }
    all.push(Block::Items(items));
}
