//! Values as a person writes them, held against the type of the fact.

use super::*;
use crate::mistake;
use crate::quantity::{self, Dimension, Interval, Money, Price, Truth};
use crate::source::Span;
use crate::syntax::tree::{self, Name, ValueNode};
use std::sync::Arc;

/// The fact that a value is written for.
pub(super) struct Wanted<'w> {
    /// Its name on the part.
    pub path: &'w str,
    /// Its type.
    pub kind: &'w Type,
    /// What is plausible.
    pub limits: Interval,
    /// What is plausible, in words.
    pub limits_written: Option<&'w str>,
    /// Where it is declared.
    pub declared: Span,
    /// Its declaration.
    pub id: Option<DeclaredId>,
    /// The part it is a fact of.
    pub part: Option<PartId>,
    /// Whether the value is the kind's default.
    pub default: bool,
}

impl<'w> Wanted<'w> {
    /// What a declared fact takes.
    pub(super) fn of(id: DeclaredId, declared: &'w Declared, part: Option<PartId>) -> Wanted<'w> {
        Wanted {
            path: &declared.name.text,
            kind: &declared.kind,
            limits: declared.limits,
            limits_written: declared.limits_written.as_deref(),
            declared: declared.name.span,
            id: Some(id),
            part,
            default: false,
        }
    }
}

impl Builder {
    /// The value with its fact in the list of facts; nothing after a mistake.
    pub(super) fn value(&mut self, value: &tree::Value, wanted: &Wanted) -> Option<Valued> {
        let (made, state) = self.made(value, wanted)?;
        let written = self.as_written(value);
        let loose = match &made {
            Value::Number(number) => !number.range.is_exact(),
            Value::List(Some(items)) => {
                items.iter().any(|it| matches!(it.value, Value::Number(n) if !n.range.is_exact()))
            }
            _ => false,
        };
        let state = if wanted.default && state == State::Given { State::Default } else { state };
        let fact = self.model.facts.add(FactInfo {
            part: wanted.part,
            path: wanted.path.to_owned(),
            declared: wanted.id,
            span: value.span,
            state,
            written: written.clone(),
            loose,
        });
        Some(Valued { value: made, from: Trail::one(fact), written: Some(written.into()) })
    }

    /// A fact that is not written, and may be anything.
    pub(super) fn missing(&mut self, wanted: &Wanted, span: Span, state: State) -> Valued {
        let value = self.unknown(wanted.kind, wanted.limits);
        let fact = self.model.facts.add(FactInfo {
            part: wanted.part,
            path: wanted.path.to_owned(),
            declared: wanted.id,
            span,
            state,
            written: String::new(),
            loose: true,
        });
        Valued { value, from: Trail::one(fact), written: None }
    }

    /// Any value of a type.
    pub(super) fn unknown(&self, kind: &Type, limits: Interval) -> Value {
        kind.unknown(limits)
    }

    fn made(&mut self, value: &tree::Value, wanted: &Wanted) -> Option<(Value, State)> {
        if value.node == ValueNode::Unknown {
            return Some((self.unknown(wanted.kind, wanted.limits), State::Unknown));
        }
        let given = |value: Value| Some((value, State::Given));
        match (wanted.kind, &value.node) {
            (Type::Any, _) => None,
            (Type::Number(_) | Type::Count(_), _) => self.number_value(value, wanted),
            (Type::Money, ValueNode::Estimate(quantity)) => {
                Some((Value::Money(Some(Price::about(self.money(quantity, wanted)?))), State::Estimated))
            }
            (Type::Money, _) => given(Value::Money(Some(self.price(value, wanted)?))),
            (Type::Text, ValueNode::Text(text)) => given(Value::Text(Some(text.as_str().into()))),
            (Type::Flag, ValueNode::Name(name)) if matches!(name.as_str(), "yes" | "true" | "no" | "false") => {
                given(Value::Flag(Truth::of(matches!(name.as_str(), "yes" | "true"))))
            }
            (Type::Choice(id), ValueNode::Name(name)) => {
                let members = &self.model[*id].members;
                if let Some(number) = members.iter().position(|(member, _)| member == name) {
                    return given(Value::Member(Some(number)));
                }
                let known: Vec<&str> = members.iter().map(|(member, _)| member.as_str()).collect();
                let what = format!("a `{}`", self.model[*id].name.text);
                let mistake = mistake::not_one_of(value.span, wanted.path, name, &what, known, wanted.declared);
                self.mistakes.push(mistake);
                None
            }
            (Type::Standard(id), _) => self.standard_value(value, *id, wanted),
            (Type::List(inner), _) => self.list(value, inner, wanted),
            (Type::Range(inner), _) => self.range_value(value, inner, wanted),
            _ => self.wrong_type(value.span, wanted),
        }
    }

    fn wrong_type<T>(&mut self, at: Span, wanted: &Wanted) -> Option<T> {
        let (words, way_out) = (self.model.type_words(wanted.kind), self.model.way_out(wanted.kind));
        self.mistakes.push(mistake::fact_type(at, wanted.path, &words, &way_out, wanted.declared));
        None
    }

    fn number_value(&mut self, value: &tree::Value, wanted: &Wanted) -> Option<(Value, State)> {
        let (range, guess, state) = match &value.node {
            ValueNode::Quantity(quantity) => {
                let number = self.wanted_number(quantity, wanted.kind, wanted)?;
                (Interval::exact(number), None, State::Given)
            }
            ValueNode::Estimate(quantity) => {
                let number = self.wanted_number(quantity, wanted.kind, wanted)?;
                (Interval::exact(number), Some(number), State::Estimated)
            }
            ValueNode::Tolerance(middle, width) => {
                let middle = self.wanted_number(middle, wanted.kind, wanted)?;
                let width = self.wanted_number(width, wanted.kind, wanted)?;
                (Interval::new(middle - width, middle + width), None, State::Given)
            }
            ValueNode::Range(low, high) => {
                let (low, high) = self.ends(low, high, wanted.kind, wanted)?;
                (Interval::new(low, high), None, State::Given)
            }
            _ => return self.wrong_type(value.span, wanted),
        };
        if matches!(wanted.kind, Type::Count(_)) && !(is_whole(range.low()) && is_whole(range.high())) {
            let written = self.as_written(value);
            self.mistakes.push(mistake::not_whole(value.span, wanted.path, &written, wanted.declared));
            return None;
        }
        if !(wanted.limits.contains(range.low()) && wanted.limits.contains(range.high())) {
            self.implausible(value, wanted);
            return None;
        }
        // A guess counts as not known: the whole plausible range stays possible, the guess is kept beside it.
        let range = if guess.is_some() { wanted.limits } else { range };
        Some((Value::Number(Number { range, guess }), state))
    }

    fn ends(
        &mut self,
        low: &tree::Quantity,
        high: &tree::Quantity,
        kind: &Type,
        wanted: &Wanted,
    ) -> Option<(f64, f64)> {
        // One mistake a range: the second end is looked at when the first is sound.
        let ends = (self.wanted_number(low, kind, wanted)?, self.wanted_number(high, kind, wanted)?);
        if ends.0 > ends.1 {
            let (high_words, low_words) = (quantity_words(low), quantity_words(high));
            self.mistakes.push(mistake::range_reversed(low.span.to(high.span), &low_words, &high_words));
            return None;
        }
        Some(ends)
    }

    fn implausible(&mut self, value: &tree::Value, wanted: &Wanted) {
        let limits = wanted.limits_written.map_or_else(|| "zero or more".to_owned(), str::to_owned);
        let written = self.as_written(value);
        self.mistakes.push(mistake::implausible(value.span, wanted.path, &written, &limits, wanted.declared));
    }

    /// An amount, or all between two of them.
    fn price(&mut self, value: &tree::Value, wanted: &Wanted) -> Option<Price> {
        let (low, high) = match &value.node {
            ValueNode::Quantity(only) => return Some(Price::exact(self.money(only, wanted)?)),
            ValueNode::Range(low, high) => {
                let ends = (self.money(low, wanted)?, self.money(high, wanted)?);
                if ends.0.currency == ends.1.currency && ends.0 > ends.1 {
                    let (low_words, high_words) = (quantity_words(high), quantity_words(low));
                    self.mistakes.push(mistake::range_reversed(low.span.to(high.span), &low_words, &high_words));
                    return None;
                }
                (ends.0, ends.1)
            }
            ValueNode::Tolerance(middle, width) => {
                let (middle, width) = (self.money(middle, wanted)?, self.money(width, wanted)?);
                // More than all of it can't come off a price.
                let low = middle.minus(width).filter(|it| !it.negated().is_positive());
                match (low, middle.plus(width)) {
                    (Some(low), Some(high)) => (low, high),
                    _ if middle.currency == width.currency => return self.wrong_type(value.span, wanted),
                    _ => (middle, width),
                }
            }
            _ => return self.wrong_type(value.span, wanted),
        };
        let price = Price::between(low, high);
        if price.is_none() {
            let (ValueNode::Range(first, second) | ValueNode::Tolerance(first, second)) = &value.node else {
                return None;
            };
            let (one, other) = (low.currency.code(), high.currency.code());
            self.mistakes.push(mistake::money_mixed(second.span, one, other, first.span));
        }
        price
    }

    fn money(&mut self, quantity: &tree::Quantity, wanted: &Wanted) -> Option<Money> {
        let Some(unit) = &quantity.unit else {
            self.mistakes.push(mistake::currency_missing(quantity.span, wanted.path, &quantity.number));
            return None;
        };
        if quantity.negative {
            return self.wrong_type(quantity.span, wanted);
        }
        match Money::read(&quantity.number, &unit.text) {
            Some(money) => Some(money),
            None if Money::is_currency(&unit.text) => {
                let (at, written) = (quantity.span, &quantity.number);
                self.mistakes.push(if written.contains('/') {
                    mistake::money_fraction(at, written)
                } else {
                    mistake::number_unreadable(at, written, quantity::FigureError::TooLarge)
                });
                None
            }
            None if quantity::unit(&unit.text).is_some() => {
                let found = quantity::unit(&unit.text).map_or(String::new(), |unit| unit.dimension.words());
                let example = format!("{} EUR", quantity.number);
                let units = ["EUR", "GBP", "USD"];
                let wanted = (wanted.path, "an amount of money");
                self.mistakes.push(mistake::unit_wrong(
                    quantity.span,
                    wanted.0,
                    &found,
                    &unit.text,
                    wanted.1,
                    &example,
                    units,
                ));
                None
            }
            None => {
                let known = ["EUR", "GBP", "USD", "CHF", "SEK", "NOK", "DKK", "PLN", "CZK", "JPY", "AUD", "CAD"];
                self.mistakes.push(mistake::currency_unknown(unit.span, &unit.text, known));
                None
            }
        }
    }

    fn wanted_number(&mut self, quantity: &tree::Quantity, kind: &Type, wanted: &Wanted) -> Option<f64> {
        let name = Name { text: wanted.path.to_owned(), span: quantity.span };
        self.number(quantity, kind, &name, wanted.limits)
    }

    /// The number of a quantity in base units, its unit held against `kind`; `limits` tell which unit a number without
    /// one is meant in.
    pub(super) fn number(
        &mut self,
        quantity: &tree::Quantity,
        kind: &Type,
        name: &Name,
        limits: Interval,
    ) -> Option<f64> {
        let figure = match quantity::figure(&quantity.number) {
            Ok(figure) => figure,
            Err(why) => {
                self.mistakes.push(mistake::number_unreadable(quantity.span, &quantity.number, why));
                return None;
            }
        };
        let signed = if quantity.negative && figure != 0.0 { -figure } else { figure };
        let dimension = kind.dimension()?;
        let Some(unit) = &quantity.unit else {
            if dimension == Dimension::NONE {
                return Some(signed);
            }
            let units = quantity::UNITS.iter().filter(|it| it.dimension == dimension && dimension != Dimension::TIME);
            let meant = units.clone().find(|it| limits.contains(signed * it.factor)).map(|it| it.name);
            let (at, words, written) = (quantity.span, dimension.words(), quantity_words(quantity));
            let all = units_of(dimension);
            self.mistakes.push(mistake::unit_missing(at, &name.text, &written, &words, meant, all));
            return None;
        };
        if let Type::Count(word) = kind
            && (unit.text == *word || word.strip_suffix('s') == Some(&unit.text))
        {
            return Some(signed);
        }
        if let Some(known) = quantity::unit(&unit.text) {
            if known.dimension == dimension && !matches!(kind, Type::Count(_)) {
                return Some(signed * known.factor);
            }
            let found = known.dimension.words();
            self.wrong_unit(quantity.span, name, kind, &found, &unit.text);
            return None;
        }
        if Money::is_currency(&unit.text) {
            self.wrong_unit(quantity.span, name, kind, "money", &unit.text);
            return None;
        }
        if self.model.counted.contains(&unit.text) {
            if matches!(kind, Type::Number(Dimension::NONE)) {
                return Some(signed);
            }
            let found = format!("a count of {}", unit.text);
            self.wrong_unit(quantity.span, name, kind, &found, &unit.text);
            return None;
        }
        self.mistakes.push(match kind {
            Type::Count(word) => mistake::count_unit(unit.span, &unit.text, word),
            _ => mistake::unit_unknown(unit.span, &unit.text, units_of(dimension)),
        });
        None
    }

    fn wrong_unit(&mut self, at: Span, name: &Name, kind: &Type, found: &str, unit: &str) {
        let wanted = self.model.type_words(kind);
        let (wanted, example) = wanted.split_once(", such as ").unwrap_or((&wanted, ""));
        let example = example.trim_matches('`');
        let units = match kind {
            Type::Count(_) => Vec::new(),
            _ => units_of(kind.dimension().unwrap_or_default()),
        };
        self.mistakes.push(mistake::unit_wrong(at, &name.text, found, unit, wanted, example, units));
    }

    fn range_value(&mut self, value: &tree::Value, inner: &Type, wanted: &Wanted) -> Option<(Value, State)> {
        let (low, high) = match &value.node {
            ValueNode::Range(low, high) => self.ends(low, high, inner, wanted)?,
            ValueNode::UpTo(high) => (0.0, self.wanted_number(high, inner, wanted)?),
            ValueNode::Quantity(only) => {
                let only = self.wanted_number(only, inner, wanted)?;
                (only, only)
            }
            ValueNode::Tolerance(middle, width) => {
                let middle = self.wanted_number(middle, inner, wanted)?;
                let width = self.wanted_number(width, inner, wanted)?;
                (middle - width, middle + width)
            }
            ValueNode::Series(figures) if figures.len() == 2 => {
                // `24-36` for a range of counts is how a label prints it.
                let ends: Vec<f64> = figures.iter().filter_map(|it| quantity::figure(it).ok()).collect();
                match ends.as_slice() {
                    [low, high] if low <= high && inner.dimension() == Some(Dimension::NONE) => (*low, *high),
                    _ => return self.wrong_type(value.span, wanted),
                }
            }
            ValueNode::Estimate(_) => return Some((Value::Range(None), State::Estimated)),
            _ => return self.wrong_type(value.span, wanted),
        };
        if matches!(inner, Type::Count(_)) && !(is_whole(low) && is_whole(high)) {
            let written = self.as_written(value);
            self.mistakes.push(mistake::not_whole(value.span, wanted.path, &written, wanted.declared));
            return None;
        }
        let ends_up_to = matches!(value.node, ValueNode::UpTo(_));
        if !(ends_up_to || wanted.limits.contains(low)) || !wanted.limits.contains(high) {
            self.implausible(value, wanted);
            return None;
        }
        Some((Value::Range(Some((Number::exact(low), Number::exact(high)))), State::Given))
    }

    fn list(&mut self, value: &tree::Value, inner: &Type, wanted: &Wanted) -> Option<(Value, State)> {
        let item = |kind| Wanted { kind, ..Wanted { id: None, ..*wanted } };
        let mut items = Vec::new();
        match &value.node {
            ValueNode::List(values) => {
                for value in values {
                    let (made, _) = self.made(value, &item(inner))?;
                    items.push(Valued::plain(made));
                }
            }
            ValueNode::Series(figures) => {
                for figure in figures {
                    let node = ValueNode::Quantity(self.plain_quantity(figure, value.span));
                    let (made, _) = self.made(&tree::Value { node, span: value.span }, &item(inner))?;
                    items.push(Valued::plain(made));
                }
            }
            ValueNode::Estimate(_) => return self.wrong_type(value.span, wanted),
            _ => {
                let (made, state) = self.made(value, &item(inner))?;
                return Some((Value::List(Some(Arc::from([Valued::plain(made)]))), state));
            }
        }
        Some((Value::List(Some(items.into())), State::Given))
    }

    fn plain_quantity(&self, figure: &str, span: Span) -> tree::Quantity {
        tree::Quantity { negative: false, number: figure.to_owned(), unit: None, span }
    }

    fn standard_value(
        &mut self,
        value: &tree::Value,
        interface: InterfaceId,
        wanted: &Wanted,
    ) -> Option<(Value, State)> {
        let no_arguments = Vec::new();
        let (name, arguments) = match &value.node {
            ValueNode::Name(name) => (Name { text: name.clone(), span: value.span }, &no_arguments),
            ValueNode::Call(name, arguments) => (name.clone(), arguments),
            ValueNode::Series(figures) if figures.len() == 2 => {
                return self.notation(value, figures, false, interface, wanted);
            }
            ValueNode::Cross(first, second) => {
                return self.notation(value, &[first.clone(), second.clone()], true, interface, wanted);
            }
            _ => return self.wrong_type(value.span, wanted),
        };
        let known: Vec<(StandardId, &str)> =
            self.model[interface].standards.iter().map(|id| (*id, self.model[*id].name.text.as_str())).collect();
        let Some(standard) = known.iter().find(|(_, known)| *known == name.text).map(|(id, _)| *id) else {
            let known: Vec<&str> = known.iter().map(|(_, name)| *name).collect();
            let what = format!("a standard of `{}`", self.model[interface].name.text);
            self.mistakes.push(mistake::not_one_of(name.span, wanted.path, &name.text, &what, known, wanted.declared));
            return None;
        };
        let given = self.placed(standard, &name, arguments)?;
        self.fitted(standard, &given, value.span, wanted)
    }

    /// Arguments by the field they are meant for.
    fn placed<'v>(
        &mut self,
        standard: StandardId,
        name: &Name,
        arguments: &'v [(Option<Name>, tree::Value)],
    ) -> Option<Vec<Option<&'v tree::Value>>> {
        let fields: Vec<String> =
            self.model[standard].fields.iter().map(|id| self.model[*id].name.text.clone()).collect();
        let known = || fields.iter().map(String::as_str);
        let mut given: Vec<Option<&tree::Value>> = vec![None; fields.len()];
        let mut fine = true;
        if let Some((span, mended)) = comma_slip(arguments, |position| self.takes_unit(standard, position)) {
            self.mistakes.push(mistake::comma_in_list(span, &mended));
            return None;
        }
        for (position, (label, value)) in arguments.iter().enumerate() {
            let number = match label {
                Some(label) => fields.iter().position(|field| *field == label.text),
                None => Some(position),
            };
            let mistake = match (number.and_then(|number| given.get_mut(number)), label) {
                (Some(place), _) if place.is_none() => {
                    *place = Some(value);
                    continue;
                }
                (Some(place), Some(label)) => {
                    let first = place.map_or(label.span, |it| it.span);
                    mistake::field_twice(label.span, &label.text, &name.text, first)
                }
                (Some(place), None) => {
                    // By position it would be the second value of a field that was given by name.
                    let field = fields.get(position).map_or("", String::as_str);
                    let first = place.map_or(value.span, |it| it.span);
                    mistake::field_twice(value.span, field, &name.text, first)
                }
                (None, Some(label)) => {
                    let fields = self.model[standard].fields.iter().map(|id| &self.model[*id]);
                    let known: Vec<(&str, &str)> =
                        fields.map(|it| (it.name.text.as_str(), it.about.doc.as_str())).collect();
                    mistake::field_unknown(label.span, &label.text, &name.text, &known)
                }
                (None, None) => mistake::field_count(value.span, &name.text, known()),
            };
            self.mistakes.push(mistake);
            fine = false;
        }
        fine.then_some(given)
    }

    /// Whether the field at this position is a number with a unit.
    fn takes_unit(&self, standard: StandardId, position: usize) -> bool {
        let field = self.model[standard].fields.get(position).map(|id| &self.model[*id].kind);
        field.and_then(Type::dimension).is_some_and(|it| it != Dimension::NONE)
    }

    fn fitted(
        &mut self,
        standard: StandardId,
        given: &[Option<&tree::Value>],
        span: Span,
        wanted: &Wanted,
    ) -> Option<(Value, State)> {
        let ids = self.model[standard].fields.clone();
        let mut fields = Vec::with_capacity(ids.len());
        let base = Arc::clone(&self.model.base);
        for (id, value) in ids.iter().zip(given) {
            let Some(field) = base.declared.get(id.0) else { continue };
            let path = format!("{}.{}", wanted.path, field.name.text);
            let within = Wanted {
                path: &path,
                kind: &field.kind,
                limits: field.limits,
                limits_written: field.limits_written.as_deref(),
                declared: field.name.span,
                id: Some(*id),
                part: wanted.part,
                default: wanted.default,
            };
            fields.push(match (value, &field.default) {
                (Some(value), _) => self.value(value, &within)?,
                (None, Some(default)) => self.value(default, &Wanted { default: true, ..within })?,
                (None, None) if field.optional => {
                    Valued { value: Value::Absent, ..self.missing(&within, span, State::Absent) }
                }
                (None, None) => self.missing(&within, span, State::Missing),
            });
        }
        Some((Value::Standard(Some(Arc::new(Fitted { standard, fields }))), State::Given))
    }

    /// `47-584` or `584x23`, where a standard of the interface is written so.
    fn notation(
        &mut self,
        value: &tree::Value,
        figures: &[String],
        cross: bool,
        interface: InterfaceId,
        wanted: &Wanted,
    ) -> Option<(Value, State)> {
        let found = self.model[interface].standards.iter().find_map(|id| {
            let notation = self.model[*id].written.iter().find(|(.., is_cross)| *is_cross == cross);
            notation.map(|notation| (*id, *notation))
        });
        let Some((standard, (first, second, _))) = found else { return self.wrong_type(value.span, wanted) };
        let ids = self.model[standard].fields.clone();
        // The notation has no unit: figures are in the unit that the field's dimension is shown in.
        let made: Vec<Option<tree::Value>> = ids
            .iter()
            .enumerate()
            .map(|(number, id)| {
                let figure = if number == first {
                    figures.first()
                } else if number == second {
                    figures.get(1)
                } else {
                    None
                }?;
                let dimension = self.model[*id].kind.dimension().unwrap_or_default();
                let unit =
                    quantity::shown_in(dimension).map(|unit| Name { text: unit.name.to_owned(), span: value.span });
                let quantity = tree::Quantity { unit, ..self.plain_quantity(figure, value.span) };
                Some(tree::Value { node: ValueNode::Quantity(quantity), span: value.span })
            })
            .collect();
        if let [one, two] = figures {
            let figure_fits = |figure: &str, field: usize| {
                let limits = ids.get(field).map_or(Interval::ALL, |id| self.model[*id].limits);
                quantity::figure(figure).is_ok_and(|it| limits.contains(it))
            };
            let as_written = figure_fits(one, first) && figure_fits(two, second);
            if !as_written && figure_fits(two, first) && figure_fits(one, second) {
                let field = |number: usize| ids.get(number).map_or("", |id| self.model[*id].name.text.as_str());
                let order = format!("first `{}`, then `{}`", field(first), field(second));
                let (mark, written) = (if cross { "x" } else { "-" }, self.as_written(value));
                let mended = format!("{two}{mark}{one}");
                let at = (value.span, wanted.declared);
                self.mistakes.push(mistake::turned_round(at.0, wanted.path, &written, &mended, &order, at.1));
                return None;
            }
        }
        let given: Vec<Option<&tree::Value>> = made.iter().map(Option::as_ref).collect();
        self.fitted(standard, &given, value.span, wanted)
    }

    /// The value in the words it was written in, spaces as one prints them.
    pub(super) fn as_written(&self, value: &tree::Value) -> String {
        let quantity = quantity_words;
        match &value.node {
            ValueNode::Unknown => "?".to_owned(),
            ValueNode::Estimate(it) => format!("~{}", quantity(it)),
            ValueNode::UpTo(it) => format!("up to {}", quantity(it)),
            ValueNode::Cross(first, second) => format!("{first}x{second}"),
            ValueNode::Series(figures) => figures.join("-"),
            ValueNode::Tolerance(middle, width) => format!("{} ± {}", quantity(middle), quantity(width)),
            ValueNode::Range(low, high) => format!("{} .. {}", quantity(low), quantity(high)),
            ValueNode::Quantity(it) => quantity(it),
            ValueNode::Call(name, arguments) => {
                let all: Vec<String> = arguments
                    .iter()
                    .map(|(label, value)| match label {
                        Some(label) => format!("{} = {}", label.text, self.as_written(value)),
                        None => self.as_written(value),
                    })
                    .collect();
                format!("{}({})", name.text, all.join(", "))
            }
            ValueNode::Name(name) => name.clone(),
            ValueNode::Text(text) => text.clone(),
            ValueNode::List(values) => {
                let all: Vec<String> = values.iter().map(|value| self.as_written(value)).collect();
                format!("[{}]", all.join(", "))
            }
        }
    }
}

/// A quantity as it was written.
pub(super) fn quantity_words(quantity: &tree::Quantity) -> String {
    let sign = if quantity.negative { "-" } else { "" };
    let unit = quantity.unit.as_ref().map_or(String::new(), |unit| format!(" {}", unit.text));
    format!("{sign}{}{unit}", quantity.number)
}

fn is_whole(value: f64) -> bool {
    value.is_infinite() || (value - value.round()).abs() < 1e-9
}

fn units_of(dimension: Dimension) -> Vec<&'static str> {
    quantity::UNITS.iter().filter(|known| known.dimension == dimension).map(|known| known.name).collect()
}

/// `126,5 mm` among the values of a standard: a number without a unit, right behind it a comma and digits.
fn comma_slip(arguments: &[(Option<Name>, tree::Value)], takes_unit: impl Fn(usize) -> bool) -> Option<(Span, String)> {
    arguments.windows(2).enumerate().find_map(|(position, two)| {
        let [(label, first), (None, second)] = two else { return None };
        if label.is_none() && !takes_unit(position) {
            return None;
        }
        let (ValueNode::Quantity(whole), ValueNode::Quantity(part)) = (&first.node, &second.node) else { return None };
        let touching = first.span.end + 1 == second.span.start && whole.unit.is_none() && !part.negative;
        let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
        (touching && digits(&whole.number) && digits(&part.number)).then(|| {
            let mended = tree::Quantity { number: format!("{}.{}", whole.number, part.number), ..part.clone() };
            (first.span.to(second.span), quantity_words(&mended))
        })
    })
}
