//! Drawings as SVG within a page.
//!
//! What is drawn is written by the crate that writes the page round it, so that one hand escapes all words; a crate of
//! its own for SVG would be a second one.

use super::{Align, At, Drawing, Ink, Mark, Shape, Text};
use crate::clean;
use crate::judge::Verdict;
use maud::{Markup, html};

/// Room left round a drawing, against its larger side.
const MARGIN: f64 = 0.012;

/// Width of the paper left round letters, against their height, so that lines behind them don't cross them out.
const HALO: f64 = 0.22;

/// A drawing with its title and description.
pub(crate) fn svg(drawing: &Drawing) -> Markup {
    let [left, top, right, bottom] = drawing.bounds();
    let margin = (right - left).max(bottom - top) * MARGIN;
    let (wide, high) = (right - left + 2.0 * margin, bottom - top + 2.0 * margin);
    let corner = (left - margin, top - margin);
    let bounds = format!("{} {} {} {}", number(corner.0), number(corner.1), number(wide), number(high));
    let (title, desc) = (format!("{}-title", drawing.key), format!("{}-desc", drawing.key));
    // At full size a unit is a mm, both ways; a page that is too narrow for it makes it smaller.
    let size = drawing.full_size.then(|| format!("width:{}mm", number(wide)));
    html! {
        svg viewBox=(bounds) style=[size] role="group" aria-labelledby=(title) {
            title id=(title) { (clean::words(&drawing.title)) }
            desc id=(desc) { (clean::words(&drawing.description)) }
            g role="img" aria-labelledby=(format!("{title} {desc}")) {
                @for it in &drawing.shapes { (shape(it)) }
            }
            @for it in &drawing.marks { (linked(it)) }
        }
    }
}

fn shape(it: &Shape) -> Markup {
    match it {
        Shape::Line { from, to, ink } => html! {
            line class=(class(*ink)) x1=(number(from.0)) y1=(number(from.1)) x2=(number(to.0)) y2=(number(to.1)) {}
        },
        Shape::Path { places, closed, ink } => {
            let places: Vec<String> = places.iter().map(|it| pair(*it)).collect();
            let end = if *closed { " Z" } else { "" };
            html! { path class=(class(*ink)) d=(format!("M{}{end}", places.join(" L"))) {} }
        }
        Shape::Curve { from, to, ink } => {
            let middle = f64::midpoint(from.0, to.0);
            let bends = [(middle, from.1), (middle, to.1), *to].map(pair).join(" ");
            html! { path class=(class(*ink)) d=(format!("M{} C{bends}", pair(*from))) {} }
        }
        Shape::Circle { centre, radius, ink, name } => html! {
            circle class=(class(*ink)) cx=(number(centre.0)) cy=(number(centre.1)) r=(number(*radius)) data-place=[name] {}
        },
        Shape::Text(it) => text(it),
    }
}

fn text(it: &Text) -> Markup {
    let align = match it.align {
        Align::Start => "start",
        Align::Middle => "middle",
        Align::End => "end",
    };
    html! {
        text class=[it.strong.then_some("strong")] x=(number(it.at.0)) y=(number(it.at.1)) font-size=(number(it.size))
            stroke-width=(number(it.size * HALO)) text-anchor=(align) { (clean::words(&it.words)) }
    }
}

fn linked(it: &Mark) -> Markup {
    let words = (it.at.0 + it.size * 1.5, it.at.1 + it.text * 0.36);
    html! {
        a href=(format!("#{}", it.leads)) aria-label=(clean::words(&it.said)) {
            title { (clean::words(&it.said)) }
            (mark(it.verdict, it.at, it.size))
            @if !it.words.is_empty() {
                text x=(number(words.0)) y=(number(words.1)) font-size=(number(it.text))
                    stroke-width=(number(it.text * HALO)) { (clean::words(&it.words)) }
            }
        }
    }
}

/// The mark of a verdict. Form, inside and colour each tell it alone: a ring with a tick, a diamond with a question, a
/// full square with a cross.
pub(crate) fn mark(verdict: Verdict, (x, y): At, size: f64) -> Markup {
    let at = |right: f64, down: f64| (x + right * size, y + down * size);
    let lines = |places: &[At]| places.iter().map(|it| pair(*it)).collect::<Vec<_>>().join(" L");
    let class = format!("mark {}", verdict.word());
    html! {
        @match verdict {
            Verdict::Fits => {
                circle class=(class) cx=(number(x)) cy=(number(y)) r=(number(size * 0.9)) {}
                path class="sign fits" d=(format!("M{}", lines(&[at(-0.42, 0.02), at(-0.1, 0.36), at(0.44, -0.34)]))) {}
            }
            Verdict::Open => {
                path class=(class) d=(format!("M{} Z", lines(&[at(0.0, -1.1), at(1.1, 0.0), at(0.0, 1.1), at(-1.1, 0.0)]))) {}
                path class="sign open" d=(format!("M{} M{}",
                    lines(&[at(-0.3, -0.3), at(0.0, -0.55), at(0.3, -0.3), at(0.0, 0.0), at(0.0, 0.2)]),
                    lines(&[at(0.0, 0.46), at(0.0, 0.56)]))) {}
            }
            Verdict::Clashes => {
                path class=(class) d=(format!("M{} Z", lines(&[at(-0.95, -0.95), at(0.95, -0.95), at(0.95, 0.95), at(-0.95, 0.95)]))) {}
                path class="sign clashes" d=(format!("M{} M{}",
                    lines(&[at(-0.5, -0.5), at(0.5, 0.5)]), lines(&[at(-0.5, 0.5), at(0.5, -0.5)]))) {}
            }
        }
    }
}

fn class(ink: Ink) -> &'static str {
    match ink {
        Ink::Bold => "bold",
        Ink::Plain => "plain",
        Ink::Fine => "fine",
        Ink::Old => "old",
        Ink::Axis => "axis",
        Ink::Measure => "measure",
        Ink::Leader => "leader",
        Ink::Solid => "solid",
        Ink::Shade => "shade",
        Ink::Of(Verdict::Fits) => "of fits",
        Ink::Of(Verdict::Open) => "of open",
        Ink::Of(Verdict::Clashes) => "of clashes",
    }
}

fn pair((x, y): At) -> String {
    format!("{} {}", number(x), number(y))
}

/// To a hundredth, without idle digits.
fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}
