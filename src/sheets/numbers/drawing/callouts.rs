//! Notes above and below the side view: which joints are at a place, each with the mark of its verdict.
//!
//! What clashes or is open is marked by itself; what fits is counted, so that it hides nothing.

use super::anchors::{Anchor, anchor};
use crate::drawing::{Align, At, Drawing, Ink, Mark, joint_id, room, strong_room};
use crate::judge::{JudgedBuild, Verdict};

/// Half of a mark's width, height of the words beside it, and of a row of marks.
const MARK: f64 = 15.0;
const WORDS: f64 = 25.0;
const ROW: f64 = 42.0;
/// Room between two notes, and round the drawing.
const GAP: f64 = 28.0;
/// A row of marks is no wider than this, if it holds more than one.
const WIDE: f64 = 270.0;

/// The joints at one place.
struct Callout {
    at: At,
    title: &'static str,
    above: bool,
    rows: Vec<Vec<Cell>>,
    wide: f64,
    /// Its left end.
    left: f64,
}

/// A mark and its words, without a place yet.
struct Cell {
    verdict: Verdict,
    words: String,
    leads: String,
    said: String,
}

impl Cell {
    fn wide(&self) -> f64 {
        MARK * 2.5 + room(&self.words, WORDS) + GAP * 0.5
    }
}

/// Draws the notes round what is drawn already; gives how many joints have no place on it.
pub(super) fn draw(drawing: &mut Drawing, judged: &JudgedBuild, places: &[(Anchor, At)]) -> usize {
    let mut callouts: Vec<Callout> = places.iter().filter_map(|(anchor, at)| callout(judged, *anchor, *at)).collect();
    let [left, top, right, bottom] = drawing.bounds();
    for above in [true, false] {
        let mut band: Vec<&mut Callout> = callouts.iter_mut().filter(|it| it.above == above).collect();
        spread(&mut band, left, right);
    }
    for it in &callouts {
        it.draw(drawing, if it.above { top - GAP } else { bottom + GAP });
    }
    let placed = |it| anchor(it).is_some_and(|own| places.iter().any(|(anchor, _)| *anchor == own));
    judged.joints.iter().filter(|it| !placed(it)).count()
}

fn callout(judged: &JudgedBuild, place: Anchor, at: At) -> Option<Callout> {
    let own = || judged.joints.iter().enumerate().filter(|(_, it)| anchor(it) == Some(place));
    let of = |verdict: Verdict| own().filter(move |(_, it)| it.verdict == verdict);
    let mut cells: Vec<Cell> = Vec::new();
    for verdict in [Verdict::Clashes, Verdict::Open] {
        cells.extend(of(verdict).map(|(number, joint)| {
            let title = if joint.title.is_empty() { &joint.name } else { &joint.title };
            Cell {
                verdict,
                words: (number + 1).to_string(),
                leads: joint_id(number + 1),
                said: format!("{} {title}: {}", number + 1, verdict.word()),
            }
        }));
    }
    let fits = of(Verdict::Fits).count();
    if fits > 0 {
        let verb = if fits == 1 { "fits" } else { "fit" };
        cells.push(Cell {
            verdict: Verdict::Fits,
            words: format!("{fits} {verb}"),
            leads: "joints".to_owned(),
            said: format!("{fits} {verb}: {}", place.title()),
        });
    }
    if cells.is_empty() {
        return None;
    }
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    let mut used = f64::INFINITY;
    let mut wide = strong_room(place.title(), WORDS);
    for cell in cells {
        if used + cell.wide() > WIDE {
            rows.push(Vec::new());
            used = 0.0;
        }
        used += cell.wide();
        wide = wide.max(used);
        if let Some(row) = rows.last_mut() {
            row.push(cell);
        }
    }
    Some(Callout { at, title: place.title(), above: place.above(), rows, wide, left: 0.0 })
}

/// Puts notes beside each other, each as near to its place as the others let it; where there are too many for the room,
/// they reach beyond it on both sides.
fn spread(band: &mut [&mut Callout], left: f64, right: f64) {
    band.sort_by(|one, other| one.at.0.total_cmp(&other.at.0));
    let all: f64 = band.iter().map(|it| it.wide + GAP).sum::<f64>() - GAP;
    let spare = (all - (right - left)).max(0.0) / 2.0;
    let (left, right) = (left - spare, right + spare);
    let mut free = left;
    for it in band.iter_mut() {
        it.left = (it.at.0 - it.wide / 2.0).max(free);
        free = it.left + it.wide + GAP;
    }
    let mut end = right;
    for it in band.iter_mut().rev() {
        it.left = it.left.min(end - it.wide);
        end = it.left - GAP;
    }
}

impl Callout {
    /// `edge` is where the notes of its band begin, seen from the drawing.
    fn draw(&self, drawing: &mut Drawing, edge: f64) {
        #[allow(clippy::cast_precision_loss)]
        let high = self.rows.len() as f64 * ROW + WORDS;
        let top = if self.above { edge - high } else { edge + WORDS };
        let nearest = if self.above { edge } else { edge - WORDS * 0.3 };
        drawing.line((self.left + self.wide / 2.0, nearest), self.at, Ink::Leader);
        drawing.circle(self.at, 6.0, Ink::Solid);
        drawing.strong((self.left, top), self.title, WORDS, Align::Start);
        let mut y = top + ROW * 0.75;
        for row in &self.rows {
            let mut x = self.left + MARK;
            for cell in row {
                drawing.marks.push(Mark {
                    at: (x, y),
                    size: MARK,
                    verdict: cell.verdict,
                    words: cell.words.clone(),
                    text: WORDS,
                    leads: cell.leads.clone(),
                    said: cell.said.clone(),
                });
                x += cell.wide();
            }
            y += ROW;
        }
    }
}
