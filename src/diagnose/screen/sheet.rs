//! The lines that a diagnostic points at, in whichever files they stand, as one source for the drawer.
//!
//! Only these lines are handed on, each with its own file, number and column, cleaned and cut to the screen: a long file
//! costs no more than a short one, and every mark lies where its text is.

use super::super::Label;
use super::line::{self, Mark, Shown};
use super::wrap;
use crate::clean;
use crate::source::{File, Files, Place};
use miette::{LabeledSpan, MietteError, MietteSpanContents, SourceCode, SourceSpan, SpanContents};
use std::collections::BTreeMap;
use std::ops::Range;

/// Lines that lie no farther apart than this are shown in one piece.
const NEAR: usize = 2;
/// Bytes of a line on each side of its marks that are looked at; no screen is as wide.
const REACH: usize = 2000;

/// The lines of one diagnostic, with what is to be underlined in them.
#[derive(Debug, Default)]
pub(super) struct Sheet {
    windows: Vec<Window>,
    /// What is to be underlined, by place in the sheet; the main one is marked as such.
    pub labels: Vec<LabeledSpan>,
}

/// A stretch of lines of one file.
#[derive(Debug)]
struct Window {
    name: String,
    /// Where it begins in the sheet.
    start: usize,
    text: String,
    /// Number of its first line, from 0.
    line: usize,
    count: usize,
    /// What each mark of it points at, by place in the sheet.
    places: Vec<(Range<usize>, Place)>,
}

/// A label in its line.
#[derive(Clone, Debug)]
struct Spot {
    /// Number of the label: 0 is the main one.
    number: usize,
    place: Place,
    /// Bytes of the line.
    range: Range<usize>,
    words: String,
}

impl Sheet {
    /// The sheet of these labels, on a screen of `width` columns.
    pub fn of(files: &Files, labels: &[Label], width: usize) -> Sheet {
        let mut order: Vec<&File> = Vec::new();
        let mut spots: Vec<(&File, Spot)> = Vec::new();
        for (number, label) in labels.iter().enumerate() {
            let Some(file) = files.get(label.span.file) else { continue };
            if !order.iter().any(|it| std::ptr::eq(*it, file)) {
                order.push(file);
            }
            spots.push((file, spot(file, number, label)));
        }
        // What a person wrote comes first: the library is the same for everyone.
        order.sort_by_key(|file| file.name.starts_with("library:"));
        // The bars of all windows stand in one line, behind the longest line number.
        let last = spots.iter().map(|(_, spot)| spot.place.line).max().unwrap_or(0);
        let area = width.saturating_sub(last.to_string().len() + 4).max(8);
        let mut sheet = Sheet::default();
        for file in order {
            let own = spots.iter().filter(|(it, _)| std::ptr::eq(*it, file)).map(|(_, spot)| spot.clone());
            let mut pieces = pieces(file, own.collect(), area);
            pieces.sort_by_key(|piece| piece.values().flatten().map(|it| it.number).min());
            for piece in pieces {
                sheet.add(file, &piece, area);
            }
        }
        sheet.labels.sort_by_key(LabeledSpan::offset);
        sheet
    }

    /// How many digits the line numbers of each window have.
    pub fn digits(&self) -> impl Iterator<Item = usize> {
        self.windows.iter().map(|it| (it.line + it.count).to_string().len())
    }

    /// Adds the lines of one piece, and those between them.
    fn add(&mut self, file: &File, piece: &BTreeMap<usize, Vec<Spot>>, area: usize) {
        let (Some(first), Some(last)) = (piece.keys().next().copied(), piece.keys().next_back().copied()) else {
            return;
        };
        // A byte apart, so that no place belongs to two windows.
        let start = self.windows.last().map_or(0, |it| it.start + it.text.len() + 1);
        let mut window = Window {
            name: clean::words(&file.name),
            start,
            text: String::new(),
            line: first.saturating_sub(1),
            count: (last + 1).saturating_sub(first),
            places: Vec::new(),
        };
        for number in first..=last {
            let spots = piece.get(&number).map_or(&[][..], Vec::as_slice);
            let shown = show(line_of(file, number), spots, area);
            for ((spot, range), foot) in spots.iter().zip(&shown.marks).zip(&shown.feet) {
                let offset = start + window.text.len() + range.start;
                window.places.push((offset..offset + range.len(), spot.place));
                let words = lines(&spot.words, area.saturating_sub(foot + line::LEAD));
                let span = SourceSpan::new(offset.into(), range.len());
                self.labels.push(if spot.number == 0 {
                    LabeledSpan::new_primary_with_span(Some(words), span)
                } else {
                    LabeledSpan::new_with_span(Some(words), span)
                });
            }
            window.text.push_str(&shown.text);
            window.text.push('\n');
        }
        self.windows.push(window);
    }
}

/// The words of a label in lines; a single long word may stand out.
fn lines(words: &str, width: usize) -> String {
    wrap::filled(words, width.max(12), "", "")
}

/// The stretch of the label's first line that it underlines.
fn spot(file: &File, number: usize, label: &Label) -> Spot {
    let (start, end) = (boundary(&file.text, label.span.start), boundary(&file.text, label.span.end));
    let place = file.lines().place(&file.text, start);
    let begins = file.lines().start(place.line).unwrap_or(0);
    let text = line_of(file, place.line);
    let at = |offset: usize| offset.saturating_sub(begins).min(text.len());
    let range = at(start)..at(end).max(at(start));
    Spot { number, place, range, words: clean::words(&label.text) }
}

/// The nearest boundary of a character at or before a byte.
fn boundary(text: &str, at: u32) -> usize {
    let at = (at as usize).min(text.len());
    (0..=at).rev().find(|it| text.is_char_boundary(*it)).unwrap_or(0)
}

/// A line without its end.
fn line_of(file: &File, number: usize) -> &str {
    let start = file.lines().start(number).unwrap_or(file.text.len());
    let end = file.lines().start(number + 1).unwrap_or(file.text.len());
    file.text.get(start..end).unwrap_or("").trim_end_matches(['\r', '\n'])
}

/// The spots of a file by lines, in pieces: those near each other in one, but what can't be underlined at once on a line
/// on a copy of that line.
fn pieces(file: &File, mut spots: Vec<Spot>, area: usize) -> Vec<BTreeMap<usize, Vec<Spot>>> {
    let mut lines: BTreeMap<usize, Vec<Spot>> = BTreeMap::new();
    let mut copies: Vec<BTreeMap<usize, Vec<Spot>>> = Vec::new();
    spots.sort_by_key(|it| it.number);
    for spot in spots {
        let line = lines.entry(spot.place.line).or_default();
        let mut together = line.clone();
        together.push(spot.clone());
        together.sort_by_key(|it| it.range.start);
        let apart = together.windows(2).all(|pair| match pair {
            [left, right] => left.range.end.max(left.range.start + 1) <= right.range.start,
            _ => true,
        });
        let text = line_of(file, spot.place.line);
        if line.is_empty() || apart && show(text, &together, area).fits {
            *line = together;
        } else {
            copies.push(BTreeMap::from([(spot.place.line, vec![spot])]));
        }
    }
    let mut pieces: Vec<BTreeMap<usize, Vec<Spot>>> = Vec::new();
    for (number, line) in lines {
        match pieces.last_mut() {
            Some(piece) if piece.keys().next_back().is_some_and(|last| number - last <= NEAR) => {
                piece.insert(number, line);
            }
            _ => pieces.push(BTreeMap::from([(number, line)])),
        }
    }
    pieces.append(&mut copies);
    pieces
}

/// A line with its spots, which are in order, in `area` columns.
fn show(text: &str, spots: &[Spot], area: usize) -> Shown {
    let reach = |at: usize| boundary(text, u32::try_from(at).unwrap_or(u32::MAX));
    let from = spots.first().map_or(0, |it| reach(it.range.start.saturating_sub(REACH)));
    let to = reach(spots.iter().map(|it| it.range.end).max().unwrap_or(0) + REACH);
    let marks: Vec<Mark> = spots
        .iter()
        .map(|it| Mark {
            range: it.range.start.saturating_sub(from)..it.range.end.saturating_sub(from),
            room: textwrap::core::display_width(&it.words),
        })
        .collect();
    line::shown(text.get(from..to).unwrap_or(""), &marks, area)
}

impl SourceCode for Sheet {
    /// The window that a span lies in when context is asked for, the place of the span itself when none is.
    fn read_span<'s>(
        &'s self,
        span: &SourceSpan,
        before: usize,
        _after: usize,
    ) -> Result<Box<dyn SpanContents<'s> + 's>, MietteError> {
        let holds = |it: &&Window| it.start <= span.offset() && span.offset() + span.len() <= it.start + it.text.len();
        let window = self.windows.iter().find(holds).ok_or(MietteError::OutOfBounds)?;
        let place = window.places.iter().find(|(range, _)| range.start == span.offset() && range.len() == span.len());
        let (line, column) = match place {
            Some((_, place)) if before == 0 => (place.line.saturating_sub(1), place.column.saturating_sub(1)),
            _ => (window.line, 0),
        };
        let whole = SourceSpan::new(window.start.into(), window.text.len());
        let data = window.text.as_bytes();
        Ok(Box::new(MietteSpanContents::new_named(window.name.clone(), data, whole, line, column, window.count)))
    }
}
