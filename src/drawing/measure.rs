//! Lines of measures: a line between two places beside what is measured, with what it measures.

use super::{Align, At, Drawing, Ink};

/// A measure to be drawn.
pub(crate) struct Measure {
    /// Where it is taken from and to.
    pub ends: [At; 2],
    /// How far its line stands off both, to the right and down.
    pub off: At,
    /// What it says.
    pub words: String,
    /// Height of its words.
    pub size: f64,
    /// Where they stand, from the middle of its line.
    pub beside: At,
    /// Which of their ends is there.
    pub align: Align,
}

impl Measure {
    /// Draws it.
    pub fn draw(self, drawing: &mut Drawing) {
        let moved = |(x, y): At| (x + self.off.0, y + self.off.1);
        let [from, to] = self.ends.map(moved);
        for end in self.ends {
            if self.off != (0.0, 0.0) {
                drawing.line(end, moved(end), Ink::Measure);
            }
        }
        drawing.line(from, to, Ink::Measure);
        // Slanted strokes end it: they show at any size, and never reach over its ends.
        let stroke = self.size * 0.35;
        for (x, y) in [from, to] {
            drawing.line((x - stroke, y + stroke), (x + stroke, y - stroke), Ink::Measure);
        }
        let middle = (f64::midpoint(from.0, to.0) + self.beside.0, f64::midpoint(from.1, to.1) + self.beside.1);
        drawing.text(middle, self.words, self.size, self.align);
    }
}
