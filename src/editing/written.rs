//! A value that is written already: replaced whole, or one field of it.

use super::change::Splice;
use super::typed::Typed;
use crate::model::{Fitted, Model};
use crate::quantity::{Dimension, shown_in};
use crate::syntax::tree::{Name, Quantity, Value, ValueNode};
use std::ops::Range;

/// The value, or the field of it that `fields` leads to, replaced by the typed one.
pub(super) fn within(
    model: &Model,
    text: &str,
    value: &Value,
    fields: &[(&Fitted, usize)],
    typed: &Typed,
) -> Result<Splice, String> {
    let Some(((fitted, number), deeper)) = fields.split_first() else { return Ok(replaced(text, value, typed)) };
    let field = Field { model, fitted, number: *number };
    let end = value.span.range().end;
    let put = |at: usize, lead: &str, tail: &str| {
        // Only what is written whole can be led into.
        if !deeper.is_empty() {
            return Err(format!("`{}` is not written there: set it whole, with its measures", field.name()));
        }
        let words = format!("{lead}{} = {}{tail}", field.name(), typed.text);
        Ok(Splice { at: at..at, text: words, old: None, new: typed.text.clone(), kept: None })
    };
    match &value.node {
        ValueNode::Name(_) => put(end, "(", ")"),
        ValueNode::Call(_, arguments) => match argument(arguments, &field) {
            Some(own) => within(model, text, own, deeper, typed),
            None => match arguments.last() {
                Some((_, last)) => put(last.span.range().end, ", ", ""),
                None => put(end.saturating_sub(1), "", ""),
            },
        },
        ValueNode::Series(figures) => notation(text, value, figures, &field, typed),
        ValueNode::Cross(first, second) => notation(text, value, &[first.clone(), second.clone()], &field, typed),
        _ => Err(format!("`{}` is not written there: set it whole, with its measures", field.name())),
    }
}

/// A field of a standard.
struct Field<'m> {
    model: &'m Model,
    fitted: &'m Fitted,
    number: usize,
}

impl<'m> Field<'m> {
    fn name(&self) -> &'m str {
        self.name_of(self.number)
    }

    fn name_of(&self, number: usize) -> &'m str {
        let id = self.model[self.fitted.standard].fields.get(number);
        id.map_or("", |id| self.model[*id].name.text.as_str())
    }

    /// The unit that a figure without one is in.
    fn unit_of(&self, number: usize) -> &'static str {
        let id = self.model[self.fitted.standard].fields.get(number);
        let dimension = id.and_then(|id| self.model[*id].kind.dimension()).unwrap_or(Dimension::NONE);
        shown_in(dimension).map_or("", |unit| unit.name)
    }
}

/// The argument that is meant for a field, by name or by its place.
fn argument<'v>(arguments: &'v [(Option<Name>, Value)], field: &Field) -> Option<&'v Value> {
    let own = arguments.iter().enumerate().find(|(place, (label, _))| match label {
        Some(label) => label.text == field.name(),
        None => *place == field.number,
    });
    own.map(|(_, (_, value))| value)
}

/// The whole value replaced; a plain measure keeps the tolerance that was written with the old one.
fn replaced(text: &str, old: &Value, typed: &Typed) -> Splice {
    let at = old.span.range();
    let (new, kept) = match (&old.node, &typed.node) {
        (ValueNode::Tolerance(middle, width), ValueNode::Quantity(_)) => {
            let (middle, width_at) = (middle.span.range(), width.span.range());
            let mark = text.get(middle.end..width_at.start).unwrap_or(" ± ");
            let written = text.get(width_at).unwrap_or_default();
            // `46 ± 1 mm` and `46 mm ± 1` have their unit once; it must not become that of the new measure.
            let unit = width.unit.as_ref().map_or("", |it| it.text.as_str());
            let width = if written.ends_with(unit) { written.to_owned() } else { format!("{written} {unit}") };
            (format!("{}{mark}{width}", typed.text), Some(format!("{}{width}", mark.trim_start())))
        }
        _ => (typed.text.clone(), None),
    };
    Splice { text: new.clone(), old: text.get(at.clone()).map(str::to_owned), at, new, kept }
}

/// A field of `47-584` or `584x23`: its figure, where a bare figure can say it; otherwise the standard is spelled out.
fn notation(text: &str, value: &Value, figures: &[String], field: &Field, typed: &Typed) -> Result<Splice, String> {
    let cross = matches!(value.node, ValueNode::Cross(..));
    let standard = &field.model[field.fitted.standard];
    let order = standard.written.iter().find(|(.., is_cross)| *is_cross == cross).map(|it| [it.0, it.1]);
    let (Some(order), [_, _]) = (order, figures) else { return Err("that notation has no such field".to_owned()) };
    let all = value.span.range();
    let whole = text.get(all.clone()).unwrap_or_default();
    let place = order.iter().position(|it| *it == field.number);
    if let Some(place) = place {
        let at = figure_at(whole, place);
        let at = all.start + at.start..all.start + at.end;
        if let Some(figure) = figure(&typed.node, field.unit_of(field.number)) {
            let old = text.get(at.clone()).map(str::to_owned);
            return Ok(Splice { at, text: figure.clone(), old, new: figure, kept: None });
        }
    }
    let spelled = order.iter().zip(figures).map(|(number, figure)| {
        let unit = field.unit_of(*number);
        let own = if unit.is_empty() { figure.clone() } else { format!("{figure} {unit}") };
        format!("{} = {}", field.name_of(*number), if *number == field.number { &typed.text } else { &own })
    });
    let mut spelled: Vec<String> = spelled.collect();
    if place.is_none() {
        spelled.push(format!("{} = {}", field.name(), typed.text));
    }
    let new = format!("{}({})", standard.name.text, spelled.join(", "));
    Ok(Splice { at: all, text: new.clone(), old: Some(whole.to_owned()), new, kept: None })
}

/// The bytes of the first or second figure of a notation.
fn figure_at(whole: &str, place: usize) -> Range<usize> {
    let is_figure = |it: char| it.is_ascii_digit() || it == '.';
    match place {
        0 => 0..whole.find(|it| !is_figure(it)).unwrap_or(whole.len()),
        _ => {
            whole
                .rfind(|it| !is_figure(it))
                .map_or(0, |at| at + whole.get(at..).and_then(|it| it.chars().next()).map_or(0, char::len_utf8))
                ..whole.len()
        }
    }
}

/// A value as a figure without a unit, if it can be one.
fn figure(node: &ValueNode, unit: &str) -> Option<String> {
    let ValueNode::Quantity(Quantity { negative: false, number, unit: own, .. }) = node else { return None };
    let plain = number.bytes().all(|it| it.is_ascii_digit() || it == b'.');
    (plain && own.as_ref().map_or("", |it| it.text.as_str()) == unit).then(|| number.clone())
}
