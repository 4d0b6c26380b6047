//! Values in words: as they were written where they are one fact, in a common unit where they were computed.

use super::eval::Eval;
use crate::model::{Model, Piece, Template, Value, Valued};
use crate::quantity::{Dimension, Interval, Truth, show, shown_in};

/// A value as a message shows it. `dimension` is that of a number.
pub fn shown(model: &Model, valued: &Valued, dimension: Option<Dimension>) -> String {
    if let Some(written) = &valued.written {
        return written.to_string();
    }
    match &valued.value {
        Value::Number(number) => range(number.range, dimension.unwrap_or_default()),
        Value::Money(Some(price)) => price.to_string(),
        Value::Flag(Truth::Yes) => "yes".to_owned(),
        Value::Flag(Truth::No) => "no".to_owned(),
        Value::Text(Some(text)) => text.to_string(),
        Value::List(Some(items)) => {
            let items: Vec<String> = items.iter().map(|it| shown(model, it, dimension)).collect();
            items.join("-")
        }
        Value::Range(Some((low, high))) => {
            let dimension = dimension.unwrap_or_default();
            format!("{} to {}", range(low.range, dimension), range(high.range, dimension))
        }
        Value::Standard(Some(fitted)) => model[fitted.standard].name.text.clone(),
        Value::Part(part) => model[*part].name.text.clone(),
        Value::Absent => "nothing".to_owned(),
        Value::Flag(Truth::Open) | Value::Member(_) => "not known".to_owned(),
        Value::Money(None) | Value::Text(None) | Value::List(None) | Value::Range(None) | Value::Standard(None) => {
            "not known".to_owned()
        }
    }
}

/// An interval in the unit that its dimension is shown in.
pub(super) fn range(range: Interval, dimension: Dimension) -> String {
    let (factor, unit) = match shown_in(dimension) {
        // From a kilogram up nobody reads grams.
        Some(_) if dimension == Dimension::MASS && range.abs().high() >= 1000.0 => (1000.0, " kg".to_owned()),
        Some(unit) => (unit.factor, format!(" {}", unit.name)),
        None => (1.0, String::new()),
    };
    let (low, high) = (show(range.low() / factor), show(range.high() / factor));
    match (range.low().is_finite(), range.high().is_finite()) {
        (true, true) if low == high => format!("{low}{unit}"),
        (true, true) => format!("{low} to {high}{unit}"),
        (true, false) => format!("{low}{unit} or more"),
        (false, true) => format!("{high}{unit} or less"),
        (false, false) => "an unknown amount".to_owned(),
    }
}

impl Eval<'_> {
    /// A template with its values put in.
    pub fn text(&self, model: &Model, template: &Template) -> String {
        let mut words = String::new();
        for piece in &template.pieces {
            match piece {
                Piece::Text(text) => words.push_str(text),
                Piece::Value(ir, dimension) => words.push_str(&shown(model, &self.value(ir), *dimension)),
            }
        }
        words
    }
}
