//! The workshop report: all sheets of a build bound together, with drawings, as one page for a browser or a printer, and as
//! Markdown.

mod blocks;
mod entry;
mod html;
mod map;
mod markdown;

use crate::Compiled;
use crate::drawing::Drawing;
use crate::judge::{JudgedBuild, Verdict};
use crate::sheets::numbers::drawing::{Picture, Pictures};
use crate::sheets::pages::Pages;
use crate::sheets::render::{Block, plain, strong};
use entry::Entry;

/// The report of one build.
pub struct Report {
    /// The build's name.
    pub name: String,
    /// What it is.
    description: String,
    /// The name of the build that it comes from.
    from: Option<String>,
    /// How many joints have which verdict.
    counts: Vec<(Verdict, usize)>,
    sheets: Vec<Sheet>,
}

/// A sheet: it begins a page of its own.
struct Sheet {
    /// What links lead to.
    key: &'static str,
    title: String,
    pieces: Vec<Piece>,
}

/// What a sheet consists of.
enum Piece {
    Block(Block),
    /// A drawing, and what stands in its place where nothing can be drawn.
    Drawing(Box<Drawing>, Vec<Block>),
    /// Joints in full.
    Entries(Vec<Entry>),
    /// Joints that need few words.
    Rows(Vec<Entry>),
}

/// What a page for a browser says of itself, by which it is known again.
pub const HTML_MARK: &str = "<meta name=\"generator\" content=\"cotter report\">";
/// The first line of the same in Markdown.
pub const MARKDOWN_MARK: &str = "<!-- cotter report -->";

impl Report {
    /// Makes the report of a judged build.
    pub fn of(unit: &Compiled, judged: &JudgedBuild) -> Report {
        let model = &unit.model;
        let build = &model[judged.build];
        let mut pages = Pages::of(model, judged);
        let Pictures { whole, details, tables } = Pictures::of(model, judged);
        for it in whole.iter().chain(&details).chain(&tables).flat_map(|it| &it.cautions) {
            if !pages.others.iter().any(|own| own == it) {
                pages.others.push((*it).to_owned());
            }
        }
        let entries = entry::all(unit, judged);
        let mut sheets = vec![Sheet::of("cautions", "Cautions", cautions(unit, &pages))];
        sheets.extend(whole.into_iter().map(Sheet::pictured));
        sheets.push(joints(model, judged, entries));
        sheets.extend(details.into_iter().map(Sheet::pictured));
        sheets.extend([
            Sheet::of("bill", "Bill of materials", pages.bill),
            Sheet::of("torque", "Torque sheet", pages.torque),
            Sheet::of("steps", "Steps", pages.steps),
            Sheet::of("measure", "Measuring list", pages.measure),
        ]);
        sheets.extend(tables.into_iter().map(Sheet::pictured));
        let description = build.doc.clone();
        sheets.iter_mut().for_each(|it| it.bare(&description));
        let verdicts = [Verdict::Fits, Verdict::Clashes, Verdict::Open];
        Report {
            name: build.name.text.clone(),
            description,
            from: build.from.map(|it| model[it].name.text.clone()),
            counts: verdicts.into_iter().map(|it| (it, judged.count(it))).collect(),
            sheets,
        }
    }

    /// As a page for a browser: one file, without a script, that asks the network for nothing.
    pub fn html(&self) -> String {
        html::page(self)
    }

    /// As Markdown.
    pub fn markdown(&self) -> String {
        markdown::page(self)
    }
}

impl Sheet {
    fn of(key: &'static str, title: &str, blocks: Vec<Block>) -> Sheet {
        Sheet { key, title: title.to_owned(), pieces: blocks.into_iter().map(Piece::Block).collect() }
    }

    fn pictured(picture: Picture) -> Sheet {
        let drawings =
            picture.drawings.into_iter().map(|(drawing, instead)| Piece::Drawing(Box::new(drawing), instead));
        let blocks = picture.blocks.into_iter().map(Piece::Block);
        Sheet { key: picture.key, title: picture.title.to_owned(), pieces: drawings.chain(blocks).collect() }
    }

    /// Without what the report says of every sheet: the build, and what it is.
    fn bare(&mut self, description: &str) {
        self.pieces.retain(|it| !matches!(it, Piece::Block(Block::Title(_))));
        if matches!(self.pieces.first(), Some(Piece::Block(Block::Text(words))) if words.text == description) {
            self.pieces.remove(0);
        }
    }
}

/// What nobody may overlook, before all else.
fn cautions(unit: &Compiled, pages: &Pages) -> Vec<Block> {
    let mut all = Vec::new();
    let mistakes = unit.diagnostics.iter().filter(|it| it.build.is_none()).count();
    if mistakes > 0 {
        let what = if mistakes == 1 { "1 mistake" } else { &format!("{mistakes} mistakes") };
        let words = format!(
            "The text of this spec has {what}, and what can't be understood is left out of these sheets: `cotter check` shows it."
        );
        all.push(Block::Text(strong(words)));
    }
    all.extend(pages.unsettled.clone().map(|it| Block::Text(strong(it))));
    for (title, list) in [("First of all", &pages.standing), ("For some of the work", &pages.others)] {
        if !list.is_empty() {
            all.push(Block::Heading(title.to_owned()));
            all.push(Block::Items(list.iter().map(plain).collect()));
        }
    }
    all
}

/// Which parts meet where, and what is found of each meeting.
fn joints(model: &crate::model::Model, judged: &JudgedBuild, entries: Vec<Entry>) -> Sheet {
    let drawings = map::drawings(model, judged, &entries);
    let mut pieces: Vec<Piece> = drawings.into_iter().map(|it| Piece::Drawing(Box::new(it), Vec::new())).collect();
    let (full, rows): (Vec<Entry>, Vec<Entry>) = entries.into_iter().partition(Entry::is_long);
    for (title, verdict) in [
        ("Joints that clash", Verdict::Clashes),
        ("Joints that are open", Verdict::Open),
        ("Joints that fit, with something to know", Verdict::Fits),
    ] {
        let own: Vec<Entry> = full.iter().filter(|it| it.verdict == verdict).cloned().collect();
        if !own.is_empty() {
            pieces.push(Piece::Block(Block::Heading(format!("{title}: {}", own.len()))));
            pieces.push(Piece::Entries(own));
        }
    }
    if !rows.is_empty() {
        pieces.push(Piece::Block(Block::Heading(format!("Joints that fit: {}", rows.len()))));
        pieces.push(Piece::Rows(rows));
    }
    Sheet { key: "joints", title: "Joints".to_owned(), pieces }
}
