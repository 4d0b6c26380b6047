//! Drawings as data: lines, circles, words and the marks of verdicts, whatever they show; [`svg`] writes them.

mod measure;
mod svg;
mod wrap;

use crate::judge::Verdict;

pub(crate) use measure::Measure;
pub(crate) use svg::{mark, svg};
pub(crate) use wrap::{room, strong_room, wrapped};

/// A place on a drawing: to the right, and down.
pub(crate) type At = (f64, f64);

/// A drawing.
#[derive(Clone, Debug)]
pub(crate) struct Drawing {
    /// What its parts are told apart by from those of other drawings on the page.
    pub key: String,
    /// What it is.
    pub title: String,
    /// What it shows, for whoever doesn't see it.
    pub description: String,
    /// What is worth saying below it.
    pub caption: Vec<String>,
    /// Whether a unit of it is a mm on paper.
    pub full_size: bool,
    /// In the order in which they are drawn.
    pub shapes: Vec<Shape>,
    /// Drawn over them: marks that lead to an entry.
    pub marks: Vec<Mark>,
}

/// What a drawing consists of.
#[derive(Clone, Debug)]
pub(crate) enum Shape {
    /// From place to place.
    Line { from: At, to: At, ink: Ink },
    /// Through several places, and back to the first if it is closed.
    Path { places: Vec<At>, closed: bool, ink: Ink },
    /// From side to side, level at both ends.
    Curve { from: At, to: At, ink: Ink },
    /// A circle; a named one is a place that others are measured from.
    Circle { centre: At, radius: f64, ink: Ink, name: Option<&'static str> },
    /// Words.
    Text(Text),
}

/// Words on a drawing.
#[derive(Clone, Debug)]
pub(crate) struct Text {
    /// Where their line begins, ends, or has its middle.
    pub at: At,
    /// The words.
    pub words: String,
    /// Their height.
    pub size: f64,
    /// Which of their ends is there.
    pub align: Align,
    /// Whether they stand out.
    pub strong: bool,
}

/// Which end of words is where they are put.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Align {
    /// The first.
    Start,
    /// Their middle.
    Middle,
    /// The last.
    End,
}

/// How something is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ink {
    /// What the drawing is about.
    Bold,
    /// What belongs to it.
    Plain,
    /// What is of less weight.
    Fine,
    /// What was there before.
    Old,
    /// A line that is only thought.
    Axis,
    /// Lines of measures.
    Measure,
    /// From a note to what it is about.
    Leader,
    /// Filled, without a line.
    Solid,
    /// A faint surface.
    Shade,
    /// What belongs to a joint with this verdict.
    Of(Verdict),
}

/// A mark that leads to an entry of the page.
#[derive(Clone, Debug)]
pub(crate) struct Mark {
    /// Its middle.
    pub at: At,
    /// Half of its width.
    pub size: f64,
    /// What it says.
    pub verdict: Verdict,
    /// The words beside it.
    pub words: String,
    /// Their height.
    pub text: f64,
    /// The entry.
    pub leads: String,
    /// What it is of, in full.
    pub said: String,
}

/// What links to the joint with this number lead to; joints are counted from 1, in the order of the assembly.
pub(crate) fn joint_id(number: usize) -> String {
    format!("joint-{number}")
}

impl Drawing {
    /// An empty one.
    pub fn new(key: impl Into<String>, title: impl Into<String>, description: impl Into<String>) -> Drawing {
        Drawing {
            key: key.into(),
            title: title.into(),
            description: description.into(),
            caption: Vec::new(),
            full_size: false,
            shapes: Vec::new(),
            marks: Vec::new(),
        }
    }

    /// A line.
    pub fn line(&mut self, from: At, to: At, ink: Ink) {
        self.shapes.push(Shape::Line { from, to, ink });
    }

    /// A line through places.
    pub fn path(&mut self, places: Vec<At>, closed: bool, ink: Ink) {
        self.shapes.push(Shape::Path { places, closed, ink });
    }

    /// An upright rectangle between two corners.
    pub fn rectangle(&mut self, one: At, other: At, ink: Ink) {
        self.path(vec![one, (other.0, one.1), other, (one.0, other.1)], true, ink);
    }

    /// A circle.
    pub fn circle(&mut self, centre: At, radius: f64, ink: Ink) {
        self.shapes.push(Shape::Circle { centre, radius, ink, name: None });
    }

    /// A circle round a place that others are measured from.
    pub fn place(&mut self, name: &'static str, centre: At, radius: f64, ink: Ink) {
        self.shapes.push(Shape::Circle { centre, radius, ink, name: Some(name) });
    }

    /// Words.
    pub fn text(&mut self, at: At, words: impl Into<String>, size: f64, align: Align) {
        self.shapes.push(Shape::Text(Text { at, words: words.into(), size, align, strong: false }));
    }

    /// Words that stand out.
    pub fn strong(&mut self, at: At, words: impl Into<String>, size: f64, align: Align) {
        self.shapes.push(Shape::Text(Text { at, words: words.into(), size, align, strong: true }));
    }

    /// The corners of all that is drawn: left, top, right, bottom.
    pub fn bounds(&self) -> [f64; 4] {
        let mut all = [f64::INFINITY, f64::INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY];
        let mut take = |(x, y): At, (wide, high): (f64, f64)| {
            let [left, top, right, bottom] = all;
            all = [left.min(x - wide), top.min(y - high), right.max(x + wide), bottom.max(y + high)];
        };
        for shape in &self.shapes {
            match shape {
                Shape::Line { from, to, .. } | Shape::Curve { from, to, .. } => {
                    [from, to].into_iter().for_each(|it| take(*it, (0.0, 0.0)));
                }
                Shape::Path { places, .. } => places.iter().for_each(|it| take(*it, (0.0, 0.0))),
                Shape::Circle { centre, radius, .. } => take(*centre, (*radius, *radius)),
                Shape::Text(text) => {
                    let of = if text.strong { strong_room } else { room };
                    let wide = of(&text.words, text.size);
                    let start = match text.align {
                        Align::Start => text.at.0,
                        Align::Middle => text.at.0 - wide / 2.0,
                        Align::End => text.at.0 - wide,
                    };
                    take((start, text.at.1), (0.0, text.size));
                    take((start + wide, text.at.1), (0.0, text.size * 0.3));
                }
            }
        }
        for it in &self.marks {
            take(it.at, (it.size, it.size));
            take((it.at.0 + it.size * 1.5 + room(&it.words, it.text), it.at.1), (0.0, it.size));
        }
        all
    }
}
