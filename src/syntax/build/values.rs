//! Values, quantities and texts.

use super::{Builder, Rule};
use crate::syntax::tree::*;
use pest::iterators::Pair;

impl Builder<'_> {
    /// The strings of a pair (or of the `words` in it), joined with a space.
    pub(super) fn words(&self, pair: &Pair<Rule>) -> Option<Text> {
        let mut found: Option<Text> = None;
        for text in self.strings(pair) {
            let span = self.span(&text);
            let words = unquoted(text.as_str());
            found = Some(match found {
                None => Text { text: words, span },
                Some(so_far) => Text { text: format!("{} {words}", so_far.text), span: so_far.span.to(span) },
            });
        }
        found
    }

    /// Each text of a list of them.
    pub(super) fn texts(&self, pair: &Pair<Rule>) -> Vec<Text> {
        let strings = self.strings(pair).into_iter();
        strings.map(|it| Text { text: unquoted(it.as_str()), span: self.span(&it) }).collect()
    }

    /// The `text` pairs of a pair or of the `words` directly in it.
    pub(super) fn strings<'p>(&self, pair: &Pair<'p, Rule>) -> Vec<Pair<'p, Rule>> {
        let holder = match pair.as_rule() {
            Rule::words => Some(pair.clone()),
            _ => pair.clone().into_inner().find(|child| child.as_rule() == Rule::words),
        };
        let holder = holder.unwrap_or_else(|| pair.clone());
        holder.into_inner().filter(|child| child.as_rule() == Rule::text).collect()
    }

    /// A value; `None` for a pair that is none, such as a comma.
    pub(super) fn value(&mut self, pair: Pair<Rule>) -> Option<Value> {
        let span = self.span(&pair);
        let node = match pair.as_rule() {
            Rule::unknown => ValueNode::Unknown,
            Rule::estimate => ValueNode::Estimate(self.first_quantity(pair)?),
            Rule::up_to => ValueNode::UpTo(self.first_quantity(pair)?),
            Rule::cross => {
                let mut figures = figures(pair).into_iter();
                ValueNode::Cross(figures.next()?, figures.next()?)
            }
            Rule::series => ValueNode::Series(figures(pair)),
            Rule::measured => {
                let mark = pair.clone().into_inner().map(|child| child.as_rule()).find(|it| *it != Rule::quantity);
                match mark {
                    None => ValueNode::Quantity(self.first_quantity(pair)?),
                    Some(mark) => {
                        let (first, second) = self.two_quantities(pair)?;
                        let tolerance = mark == Rule::plus_minus;
                        if tolerance { ValueNode::Tolerance(first, second) } else { ValueNode::Range(first, second) }
                    }
                }
            }
            Rule::named => {
                let name = pair.clone().into_inner().find(|child| child.as_rule() == Rule::part_name);
                let name = name.map_or_else(|| self.no_name(&pair), |it| self.name(&it));
                match pair.into_inner().find(|child| child.as_rule() == Rule::arguments) {
                    None => ValueNode::Name(name.text),
                    Some(arguments) => {
                        let arguments = arguments.into_inner().filter(|child| child.as_rule() == Rule::argument);
                        ValueNode::Call(name, arguments.filter_map(|it| self.argument(it)).collect())
                    }
                }
            }
            Rule::text => ValueNode::Text(unquoted(pair.as_str())),
            Rule::list_value => ValueNode::List(pair.into_inner().filter_map(|child| self.value(child)).collect()),
            _ => return None,
        };
        Some(Value { node, span })
    }

    fn argument(&mut self, pair: Pair<Rule>) -> Option<(Option<Name>, Value)> {
        let name = self.names(&pair).into_iter().next();
        let value = pair.into_inner().find_map(|child| self.value(child))?;
        Some((name, value))
    }

    pub(super) fn quantities(&self, pair: Pair<Rule>) -> Vec<Quantity> {
        let quantities = pair.into_inner().filter(|child| child.as_rule() == Rule::quantity);
        quantities.filter_map(|child| self.quantity(child)).collect()
    }

    fn first_quantity(&self, pair: Pair<Rule>) -> Option<Quantity> {
        self.quantities(pair).into_iter().next()
    }

    /// Two quantities; a unit that only one of them has is meant for both.
    pub(super) fn two_quantities(&self, pair: Pair<Rule>) -> Option<(Quantity, Quantity)> {
        let mut both = self.quantities(pair).into_iter();
        let (mut first, mut second) = (both.next()?, both.next()?);
        if first.unit.is_none() {
            first.unit.clone_from(&second.unit);
        } else if second.unit.is_none() {
            second.unit.clone_from(&first.unit);
        }
        Some((first, second))
    }

    pub(super) fn quantity(&self, pair: Pair<Rule>) -> Option<Quantity> {
        let span = self.span(&pair);
        let (mut negative, mut number, mut unit) = (false, None, None);
        for child in pair.into_inner() {
            match child.as_rule() {
                Rule::minus => negative = true,
                Rule::number => number = Some(child.as_str().to_owned()),
                Rule::unit => unit = Some(self.name(&child)),
                _ => {}
            }
        }
        Some(Quantity { negative, number: number?, unit, span })
    }
}

fn figures(pair: Pair<Rule>) -> Vec<String> {
    let figures = pair.into_inner().filter(|child| child.as_rule() == Rule::figure);
    figures.map(|child| child.as_str().to_owned()).collect()
}

/// The inside of a quoted string, with `\"` and the like resolved.
pub(super) fn unquoted(quoted: &str) -> String {
    let inside = quoted.strip_prefix('"').and_then(|rest| rest.strip_suffix('"')).unwrap_or(quoted);
    let mut words = String::with_capacity(inside.len());
    let mut marks = inside.chars();
    while let Some(mark) = marks.next() {
        if mark == '\\' {
            words.extend(marks.next());
        } else {
            words.push(mark);
        }
    }
    words
}
