//! One cell of a price list to a value of the tree: what most cells are directly, the rest by the grammar.

use super::figures::{self, Mark, Marks, Odd};
use crate::quantity::Money;
use crate::source::Span;
use crate::syntax;
use crate::syntax::tree::{Name, Quantity, Value, ValueNode};

/// Characters of a cell that is no text; no value of a part is longer.
pub const LONGEST: usize = 200;
/// Characters of a text or name.
pub const LONGEST_TEXT: usize = 4000;

/// What a cell is to be, as far as it tells how to read it.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A number with a unit.
    Number,
    /// An amount.
    Money,
    /// Words.
    Text,
    /// Yes or no.
    Flag,
    /// One of these names, each with how any spelling of it comes out, or anything that the language writes there.
    Names(Vec<(String, String)>),
    /// Anything that the language writes there; numbers may lack their unit.
    Other,
}

/// Why a cell is no value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trouble {
    /// It is longer than any value: so many characters, where so many are read.
    Long(usize, usize),
    /// Its number may be read in two ways.
    Ambiguous,
    /// No notation of the language.
    Unreadable,
}

/// How a column is read.
#[derive(Clone, Copy, Debug)]
pub struct Manner<'m> {
    /// What its cells are to be.
    pub shape: &'m Shape,
    /// The unit that its numbers lack.
    pub unit: Option<&'m Name>,
    /// The decimal mark.
    pub marks: Marks,
}

/// The value of a cell that is not empty. `plain` says that the file has it in just these letters.
pub fn value(text: &str, span: Span, plain: bool, manner: Manner) -> Result<Value, Trouble> {
    let limit = if *manner.shape == Shape::Text { LONGEST_TEXT } else { LONGEST };
    // Counting is for the few that may be too long.
    if text.len() > limit && text.chars().count() > limit {
        return Err(Trouble::Long(text.chars().count(), limit));
    }
    let given = |node| Ok(Value { node, span });
    match manner.shape {
        Shape::Text => return given(ValueNode::Text(text.to_owned())),
        Shape::Flag => {
            let word = text.to_lowercase();
            if matches!(word.as_str(), "yes" | "true" | "no" | "false") {
                return given(ValueNode::Name(word));
            }
        }
        Shape::Number | Shape::Money => {
            if let Some(value) = number(text, span, manner)? {
                return Ok(value);
            }
        }
        Shape::Names(names) => {
            let found = names.iter().find(|(name, _)| name == text).or_else(|| {
                let own = syntax::row_name(text);
                names.iter().find(|(_, spelt)| *spelt == own)
            });
            if let Some((name, _)) = found {
                return given(ValueNode::Name(name.clone()));
            }
        }
        Shape::Other => {
            if let Ok(Some(value)) = number(text, span, manner) {
                return Ok(value);
            }
        }
    }
    if *manner.shape != Shape::Money
        && let Some(node) = notation(text)
    {
        return given(node);
    }
    // What the file has in other letters would be marked in the wrong places; no notation needs them.
    if !plain {
        return Err(Trouble::Unreadable);
    }
    let localised = localised(text, manner.marks).ok_or(Trouble::Unreadable)?;
    let mut value = syntax::value(span.file, span.start as usize, &localised).ok_or(Trouble::Unreadable)?;
    with_unit(&mut value.node, manner.unit);
    Ok(value)
}

/// Figures with a unit or without; nothing if the text is another notation.
fn number(text: &str, span: Span, manner: Manner) -> Result<Option<Value>, Trouble> {
    let money = *manner.shape == Shape::Money;
    let (mut text, mut unit) = (text, None);
    if money && let Some(rest) = sign_of(manner.unit).and_then(|sign| text.strip_prefix(sign.as_str())) {
        (text, unit) = (rest.trim_start(), manner.unit.cloned());
    }
    let unsigned = text.strip_prefix(['-', '−']);
    let (written, rest) = figures::split(unsigned.unwrap_or(text));
    if written.is_empty() {
        return Ok(None);
    }
    let lacks = rest.is_empty()
        || manner.unit.is_some_and(|it| it.text == rest)
        || money && sign_of(manner.unit).as_deref() == Some(rest);
    if lacks {
        unit = manner.unit.cloned();
    } else if unit.is_none() && is_unit(rest) {
        unit = Some(Name { text: rest.to_owned(), span });
    } else {
        return Ok(None);
    }
    match figures::read(written, manner.marks, money) {
        Ok(number) => {
            let quantity = Quantity { negative: unsigned.is_some(), number: number.into_owned(), unit, span };
            Ok(Some(Value { node: ValueNode::Quantity(quantity), span }))
        }
        Err(Odd::Ambiguous) => Err(Trouble::Ambiguous),
        // `44 .. 48` begins like figures too.
        Err(Odd::Broken) if !money && written.contains("..") => Ok(None),
        Err(Odd::Broken) => Err(Trouble::Unreadable),
    }
}

/// The figures that a text shows, for [`Marks::learn`].
pub fn figures_of(text: &str, money: bool, unit: Option<&Name>) -> Option<String> {
    let text = text.strip_prefix(['-', '−']).unwrap_or(text);
    let sign = if money { sign_of(unit) } else { None };
    let text = sign.and_then(|it| text.strip_prefix(it.as_str())).unwrap_or(text).trim_start();
    let (figures, rest) = figures::split(text);
    // What goes on in figures of another kind is no plain number.
    let plain = !rest.contains(|it: char| it.is_ascii_digit() || matches!(it, '±' | '…' | '+'));
    (plain && !figures.contains("..")).then(|| figures.to_owned())
}

fn sign_of(unit: Option<&Name>) -> Option<String> {
    Money::sign(&unit?.text)
}

/// Whether what follows figures may be a unit, known or not.
fn is_unit(rest: &str) -> bool {
    let mark = |it: char| it.is_alphabetic() || matches!(it, '%' | '°' | '·' | '/' | '²');
    rest.chars().all(mark) && !rest.starts_with('/') && !matches!(rest, "x" | "×")
}

/// `47-584`, `11-13-15`, `584x23`, `?`, or a plain name.
fn notation(text: &str) -> Option<ValueNode> {
    if text == "?" {
        return Some(ValueNode::Unknown);
    }
    let figure = |it: &str| {
        let mut halves = it.split('.');
        let digits = |it: Option<&str>| it.is_some_and(|it| !it.is_empty() && it.bytes().all(|it| it.is_ascii_digit()));
        digits(halves.next()) && halves.next().is_none_or(|it| digits(Some(it))) && halves.next().is_none()
    };
    if text.contains('-') {
        return text.split('-').all(figure).then(|| ValueNode::Series(text.split('-').map(str::to_owned).collect()));
    }
    let (first, second) = text.split_once(['x', '×'])?;
    (figure(first) && figure(second)).then(|| ValueNode::Cross(first.to_owned(), second.to_owned()))
}

/// The text with decimal points, each in the place of a mark as long; none if a number in it contradicts the decimal
/// mark that is stated.
fn localised(text: &str, marks: Marks) -> Option<String> {
    let bytes = text.as_bytes();
    let digit = |at: Option<usize>| at.and_then(|at| bytes.get(at)).is_some_and(u8::is_ascii_digit);
    let between = |at: usize| digit(at.checked_sub(1)) && digit(Some(at + 1));
    if marks.mark() != Some(Mark::Comma) {
        return Some(text.to_owned());
    }
    let contradicts = marks.stated.is_some() && text.match_indices('.').any(|(at, _)| between(at));
    if contradicts {
        return None;
    }
    let mut text = text.to_owned();
    let commas: Vec<usize> = text.match_indices(',').map(|(at, _)| at).filter(|at| between(*at)).collect();
    commas.into_iter().for_each(|at| text.replace_range(at..=at, "."));
    Some(text)
}

/// Gives the numbers of a value the unit that they lack.
fn with_unit(node: &mut ValueNode, unit: Option<&Name>) {
    let Some(unit) = unit else { return };
    let give = |quantity: &mut Quantity| {
        if quantity.unit.is_none() {
            quantity.unit = Some(unit.clone());
        }
    };
    match node {
        ValueNode::Estimate(it) | ValueNode::UpTo(it) | ValueNode::Quantity(it) => give(it),
        ValueNode::Tolerance(first, second) | ValueNode::Range(first, second) => {
            give(first);
            give(second);
        }
        ValueNode::List(values) => values.iter_mut().for_each(|it| with_unit(&mut it.node, Some(unit))),
        ValueNode::Unknown
        | ValueNode::Cross(..)
        | ValueNode::Series(_)
        | ValueNode::Call(..)
        | ValueNode::Name(_)
        | ValueNode::Text(_) => {}
    }
}
