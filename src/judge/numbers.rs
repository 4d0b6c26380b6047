//! Values held against each other, and the functions that every rule has.

use crate::model::{Builtin, Number, Table, Value};
use crate::quantity::{Interval, Price, Truth};
use crate::syntax::tree::Comparator;

/// All that a number may be; anything, for what is no number.
pub(super) fn range(value: &Value) -> Interval {
    match value {
        Value::Number(number) => number.range,
        _ => Interval::ALL,
    }
}

/// All that a number, or each number of a list, may be; none for a list that is not known.
pub(super) fn ranges(value: &Value) -> Option<Vec<Interval>> {
    match value {
        Value::List(Some(items)) => Some(items.iter().map(|it| range(&it.value)).collect()),
        Value::List(None) => None,
        one => Some(vec![range(one)]),
    }
}

/// Both of two answers.
pub(super) fn both(one: Truth, other: Truth) -> Truth {
    match (one, other) {
        (Truth::No, _) | (_, Truth::No) => Truth::No,
        (Truth::Yes, Truth::Yes) => Truth::Yes,
        _ => Truth::Open,
    }
}

/// What is known of a value that is one of two.
pub(super) fn either(one: &Value, other: &Value) -> Value {
    if one == other {
        return one.clone();
    }
    match (one, other) {
        (Value::Number(one), Value::Number(other)) => Value::Number(Number::of(one.range.hull(other.range))),
        (Value::Flag(_), _) => Value::Flag(Truth::Open),
        (Value::Member(_), _) => Value::Member(None),
        (Value::Text(_), _) => Value::Text(None),
        (Value::List(_), _) => Value::List(None),
        (Value::Range(_), _) => Value::Range(None),
        (Value::Standard(_), _) => Value::Standard(None),
        (Value::Money(_), _) => Value::Money(None),
        _ => Value::Number(Number::of(Interval::ALL)),
    }
}

/// Whether two values are the same.
pub(super) fn same(one: &Value, other: &Value) -> Truth {
    match (one, other) {
        (Value::Number(one), Value::Number(other)) => one.range.equals(other.range),
        (Value::Member(Some(one)), Value::Member(Some(other))) => Truth::of(one == other),
        (Value::Text(Some(one)), Value::Text(Some(other))) => Truth::of(one == other),
        (Value::Flag(one), Value::Flag(other)) => match (one, other) {
            (Truth::Open, _) | (_, Truth::Open) => Truth::Open,
            _ => Truth::of(one == other),
        },
        (Value::Standard(Some(one)), Value::Standard(Some(other))) => {
            if one.standard != other.standard {
                return Truth::No;
            }
            let pairs = one.fields.iter().zip(&other.fields);
            pairs.map(|(one, other)| same(&one.value, &other.value)).fold(Truth::Yes, both)
        }
        (Value::List(Some(one)), Value::List(Some(other))) => {
            if one.len() != other.len() {
                return Truth::No;
            }
            one.iter().zip(other.iter()).map(|(one, other)| same(&one.value, &other.value)).fold(Truth::Yes, both)
        }
        (Value::Range(Some(one)), Value::Range(Some(other))) => {
            both(one.0.range.equals(other.0.range), one.1.range.equals(other.1.range))
        }
        (Value::Part(one), Value::Part(other)) => Truth::of(one == other),
        (Value::Money(one), Value::Money(other)) => compare_money(*one, Comparator::Equal, *other),
        (Value::Absent, Value::Absent) => Truth::Yes,
        _ => Truth::Open,
    }
}

/// Compares two amounts; those of different currencies have no order, and a guess decides nothing.
pub(super) fn compare_money(one: Option<Price>, sign: Comparator, other: Option<Price>) -> Truth {
    let (Some(one), Some(other)) = (one, other) else { return Truth::Open };
    if one.currency() != other.currency() || one.is_estimated() || other.is_estimated() {
        return Truth::Open;
    }
    // Whether the first is surely below the second, or surely not.
    let below = |one: Price, other: Price, or_equal: bool| {
        let always = if or_equal { one.high() <= other.low() } else { one.high() < other.low() };
        let never = if or_equal { one.low() > other.high() } else { one.low() >= other.high() };
        match (always, never) {
            (true, _) => Truth::Yes,
            (_, true) => Truth::No,
            _ => Truth::Open,
        }
    };
    let equal = || match (
        one.low() == other.high() && one.high() == other.low(),
        one.high() < other.low() || other.high() < one.low(),
    ) {
        (true, _) => Truth::Yes,
        (_, true) => Truth::No,
        _ => Truth::Open,
    };
    match sign {
        Comparator::Equal => equal(),
        Comparator::Unequal => !equal(),
        Comparator::Below => below(one, other, false),
        Comparator::AtMost => below(one, other, true),
        Comparator::Above => below(other, one, false),
        Comparator::AtLeast => below(other, one, true),
    }
}

/// A function that every rule has, on values whose types were checked.
pub(super) fn builtin<'v>(builtin: Builtin, values: impl Iterator<Item = &'v Value> + Clone) -> Interval {
    let Some(first) = values.clone().next() else { return Interval::ALL };
    let number = range(first);
    let fold = |by: fn(Interval, Interval) -> Interval| values.clone().map(range).reduce(by).unwrap_or(Interval::ALL);
    let over = |by: fn(Interval, Interval) -> Interval| match first {
        Value::List(Some(items)) => items.iter().map(|it| range(&it.value)).reduce(by),
        _ => None,
    };
    match builtin {
        Builtin::Abs => number.abs(),
        Builtin::Min => fold(Interval::min),
        Builtin::Max => fold(Interval::max),
        Builtin::Sum => over(Interval::plus).unwrap_or(match first {
            Value::List(Some(_)) => Interval::exact(0.0),
            _ => Interval::ALL,
        }),
        Builtin::Smallest => over(Interval::min).unwrap_or(Interval::ALL),
        Builtin::Largest => over(Interval::max).unwrap_or(Interval::ALL),
        Builtin::Count => match first {
            #[allow(clippy::cast_precision_loss)]
            Value::List(Some(items)) => Interval::exact(items.len() as f64),
            _ => Interval::new(0.0, f64::INFINITY),
        },
        Builtin::Low => match first {
            Value::Range(Some((low, _))) => low.range,
            _ => Interval::ALL,
        },
        Builtin::High => match first {
            Value::Range(Some((_, high))) => high.range,
            _ => Interval::ALL,
        },
        Builtin::Round => number.rising(f64::round),
        Builtin::Floor => number.rising(f64::floor),
        Builtin::Ceil => number.rising(f64::ceil),
        Builtin::Sqrt => number.max(Interval::exact(0.0)).rising(f64::sqrt),
        Builtin::First | Builtin::Last | Builtin::Given => Interval::ALL,
    }
}

/// A cell between two rows of a table, in proportion.
pub(super) fn linear(table: &Table, column: usize, key: Interval) -> Value {
    let points: Vec<(f64, f64)> = table
        .rows
        .iter()
        .filter_map(|row| Some((range(&row.first()?.value).low(), range(&row.get(column)?.value).low())))
        .collect();
    let (Some(first), Some(last)) = (points.first(), points.last()) else { return Value::Absent };
    let inside = Interval::new(first.0, last.0);
    if !(inside.contains(key.low()) && inside.contains(key.high())) {
        return if key.meet(inside).is_none() { Value::Absent } else { Value::Number(Number::of(Interval::ALL)) };
    }
    let at = |x: f64| {
        let after = points.iter().position(|(key, _)| *key >= x).unwrap_or(points.len() - 1).max(1);
        match (points.get(after - 1), points.get(after)) {
            (Some((x0, y0)), Some((x1, y1))) if x1 > x0 => y0 + (y1 - y0) * (x - x0) / (x1 - x0),
            _ => last.1,
        }
    };
    let mut values = vec![at(key.low()), at(key.high())];
    values.extend(points.iter().filter(|(x, _)| key.contains(*x)).map(|(_, y)| *y));
    Value::Number(Number::of(Interval::around(&values)))
}
