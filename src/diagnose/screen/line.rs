//! One line of a file as it is shown: harmless, tabs spread, and cut where it is wider than the screen, but never so
//! that a mark is lost.

use crate::clean;
use std::ops::Range;
use textwrap::core::display_width;

/// Columns from one tab stop to the next.
const TAB: usize = 4;
/// Columns that the words of a mark are given before a line is cut for them.
const ROOM: usize = 28;
/// Columns between the foot of a mark and its words.
pub(super) const LEAD: usize = 4;

/// A stretch of a line to be underlined.
#[derive(Clone, Debug)]
pub(super) struct Mark {
    /// Bytes of the line.
    pub range: Range<usize>,
    /// Columns that its words would like to have.
    pub room: usize,
}

/// A line as it is shown.
#[derive(Debug)]
pub(super) struct Shown {
    /// Its text.
    pub text: String,
    /// Bytes of that text for each mark.
    pub marks: Vec<Range<usize>>,
    /// The column that the foot of each mark stands in.
    pub feet: Vec<usize>,
    /// Whether everything has its room.
    pub fits: bool,
}

/// Shows `text` with its marks in `area` columns: whole if that fits, otherwise with as much as fits around each mark.
pub(super) fn shown(text: &str, marks: &[Mark], area: usize) -> Shown {
    let glyphs = glyphs(text);
    let whole = cut(&glyphs, vec![true; glyphs.len()], marks, area);
    if whole.fits {
        return whole;
    }
    if marks.is_empty() {
        let fitting: Vec<bool> = glyphs.iter().map(|it| it.column + it.width < area).collect();
        return cut(&glyphs, fitting, marks, area);
    }
    // The head of a line says what the line is of; it stays as long as there is room.
    let with_head = [24, 18, 12, 8].map(|around| (20, around));
    let without = (0..=area / 4).rev().map(|step| (0, step * 4));
    let mut tried = whole;
    for (head, around) in with_head.into_iter().chain(without) {
        tried = cut(&glyphs, kept(&glyphs, marks, head, around, area / 2), marks, area);
        if tried.fits {
            break;
        }
    }
    tried
}

/// A character of a line.
struct Glyph {
    at: usize,
    shown: char,
    width: usize,
    column: usize,
}

fn glyphs(text: &str) -> Vec<Glyph> {
    let mut column = 0;
    let mut all = Vec::with_capacity(text.len());
    for (at, it) in text.char_indices() {
        let (shown, width) = match it {
            // The mark that some editors put before the first word of a file.
            '\u{feff}' if at == 0 => continue,
            '\t' => (' ', TAB - column % TAB),
            _ => {
                let shown = clean::harmless(it);
                (shown, display_width(shown.encode_utf8(&mut [0; 4])))
            }
        };
        all.push(Glyph { at, shown, width, column });
        column += width;
    }
    all
}

/// Numbers of the characters under a mark.
fn under(glyphs: &[Glyph], mark: &Mark) -> Range<usize> {
    let number = |at: usize| glyphs.partition_point(|it| it.at < at);
    let start = number(mark.range.start);
    start..number(mark.range.end).max(start)
}

/// Which characters stay: `head` columns at the beginning, the marks, and `around` columns on both sides of each. The
/// middle of a mark that is wider than `long` goes too.
fn kept(glyphs: &[Glyph], marks: &[Mark], head: usize, around: usize, long: usize) -> Vec<bool> {
    let end = glyphs.last().map_or(0, |it| it.column + it.width);
    let column = |number: usize| glyphs.get(number).map_or(end, |it| it.column);
    let mut stays: Vec<Range<usize>> = Vec::with_capacity(marks.len() + 1);
    for mark in marks {
        let under = under(glyphs, mark);
        let (from, to) = (column(under.start), column(under.end));
        if to - from > long {
            stays.push(from.saturating_sub(around)..from + long / 2);
            stays.push(to - long / 2..to + around);
        } else {
            // An empty mark points between two characters: these say where it is.
            stays.push(from.saturating_sub(around.max(1))..to + around.max(1));
        }
    }
    stays.push(0..head);
    glyphs.iter().map(|it| stays.iter().any(|stay| stay.contains(&it.column))).collect()
}

/// The same with gaps that a reader likes: none for a single column, none within a word, none between a letter and its
/// accent.
fn smoothed(glyphs: &[Glyph], mut stays: Vec<bool>, marks: &[Mark]) -> Vec<bool> {
    let marked: Vec<Range<usize>> = marks
        .iter()
        .map(|it| match under(glyphs, it) {
            // An empty mark points between its neighbours.
            empty if empty.is_empty() => empty.start.saturating_sub(1)..empty.end + 1,
            full => full,
        })
        .collect();
    // Whether a character only stays for company, and belongs to the same word as a neighbour that goes.
    let torn = |stays: &[bool], number: usize, neighbour: usize| {
        let word = |number: usize| glyphs.get(number).is_some_and(|it| it.shown.is_alphanumeric() || it.width == 0);
        let gone = stays.get(neighbour).is_some_and(|it| !it);
        gone && word(neighbour) && word(number) && !marked.iter().any(|it| it.contains(&number))
    };
    for number in 1..stays.len() {
        if torn(&stays, number, number - 1)
            && let Some(it) = stays.get_mut(number)
        {
            *it = false;
        }
    }
    for number in (0..stays.len()).rev() {
        if torn(&stays, number, number + 1)
            && let Some(it) = stays.get_mut(number)
        {
            *it = false;
        }
    }
    let mut number = 0;
    while number < stays.len() {
        let run = stays.iter().skip(number).take_while(|it| !**it).count();
        let width: usize = glyphs.iter().skip(number).take(run).map(|it| it.width).sum();
        if width <= 1 {
            stays.iter_mut().skip(number).take(run).for_each(|it| *it = true);
        }
        number += run.max(1);
    }
    stays
}

/// The line with only what stays, and `…` for what does not.
fn cut(glyphs: &[Glyph], stays: Vec<bool>, marks: &[Mark], area: usize) -> Shown {
    let (mut text, mut column, mut cutting) = (String::new(), 0, false);
    // Where each character begins and ends: byte of the text, and column.
    let mut places: Vec<[(usize, usize); 2]> = Vec::with_capacity(glyphs.len());
    for (glyph, stays) in glyphs.iter().zip(smoothed(glyphs, stays, marks)) {
        if !stays && !cutting {
            text.push('…');
            column += 1;
        }
        cutting = !stays;
        let before = (text.len(), column);
        if stays {
            // A tab is the only thing that is shown by several characters.
            let times = if glyph.shown == ' ' { glyph.width } else { 1 };
            text.extend(std::iter::repeat_n(glyph.shown, times));
            column += glyph.width;
        }
        places.push([before, (text.len(), column)]);
    }
    let (mut ranges, mut feet, mut fits) = (Vec::new(), Vec::new(), column <= area);
    for mark in marks {
        let under = under(glyphs, mark);
        let (start, from) = places.get(under.start).map_or((text.len(), column), |[before, _]| *before);
        let last = places.get(under.start..under.end).and_then(<[_]>::last);
        let (end, to) = last.map_or((start, from + 1), |[_, after]| *after);
        let foot = (from + to.max(from + 1)) / 2;
        fits &= foot + LEAD + mark.room.min(ROOM) <= area;
        ranges.push(start..end.max(start));
        feet.push(foot);
    }
    Shown { text, marks: ranges, feet, fits }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mark(text: &str, word: &str) -> Mark {
        let start = text.find(word).unwrap();
        Mark { range: start..start + word.len(), room: 20 }
    }

    fn underlined(shown: &Shown) -> Vec<&str> {
        shown.marks.iter().map(|it| &shown.text[it.clone()]).collect()
    }

    #[test]
    fn shows_a_short_line_whole() {
        let text = "\ta = 1 mm";
        let shown = shown(text, &[mark(text, "1 mm")], 60);
        assert_eq!(shown.text, "    a = 1 mm");
        assert_eq!(underlined(&shown), ["1 mm"]);
    }

    #[test]
    fn cuts_a_long_line_round_its_marks() {
        let text = format!("head = x; {} one {} two {}", "é".repeat(200), "名".repeat(200), "y".repeat(200));
        for area in [20, 30, 40, 60, 100, 140] {
            let shown = shown(&text, &[mark(&text, "one"), mark(&text, "two")], area);
            assert_eq!(underlined(&shown), ["one", "two"], "{area}");
            assert!(display_width(&shown.text) <= area, "{area}: {}", shown.text);
            assert!(shown.text.contains('…'));
        }
    }

    #[test]
    fn cuts_the_middle_of_a_long_mark() {
        let text = format!("a = \"{}\" # end", "z".repeat(3000));
        let shown = shown(&text, &[Mark { range: 4..3006, room: 90 }], 60);
        assert!(display_width(&shown.text) <= 60);
        assert!(underlined(&shown)[0].starts_with("\"z") && underlined(&shown)[0].ends_with("z\""), "{shown:?}");
    }

    #[test]
    fn keeps_an_empty_mark_and_its_neighbours() {
        let text = format!("{}b|", "a".repeat(300));
        let at = |at: usize| shown(&text, &[Mark { range: at..at, room: 10 }], 40);
        assert_eq!((at(301).text.as_str(), at(301).marks.first()), ("…b|", Some(&(4..4))));
        assert_eq!((at(302).text.as_str(), at(302).marks.first()), ("…|", Some(&(4..4))));
        assert_eq!((at(100).text.as_str(), at(100).marks.first()), ("…aa…", Some(&(4..4))));
    }
}
