//! Functions of the library, called with facts of a build.

use super::figure::{Figure, Standing};
use super::read::Reader;
use crate::judge;
use crate::model::{At, FactInfo, Fitted, Number, State, Value, Valued};
use crate::quantity::Interval;
use std::sync::Arc;

/// An argument for a function of the library.
#[derive(Clone, Copy)]
pub enum Given<'p> {
    /// A fact, by its path.
    Path(&'p str),
    /// A figure, in base units.
    Figure(Figure),
}

impl Reader<'_> {
    /// What a function of the library makes of these; none, and remembered, where it rests on what is not known.
    pub fn library(&self, function: &str, given: &[Given]) -> Option<Figure> {
        let mut standing = Standing::Known;
        let mut arguments = Vec::with_capacity(given.len());
        for it in given {
            arguments.push(match it {
                Given::Figure(figure) => {
                    standing = standing.max(figure.standing);
                    Valued::plain(Value::Number(Number::of(Interval::new(figure.low, figure.high))))
                }
                Given::Path(path) => match self.model.at(self.build, path) {
                    At::Value(valued, _) => settled(valued),
                    _ => return self.miss(path),
                },
            });
        }
        let value = judge::call(self.model, self.build, function, &arguments)?;
        let mut known = true;
        for info in value.from.facts().iter().filter_map(|it| self.model.facts.get(*it)) {
            match info.state {
                State::Unknown | State::Missing => {
                    known = false;
                    self.miss::<()>(&self.path_of(info, given));
                }
                State::Estimated => standing = Standing::Estimated,
                State::Default => {
                    standing = standing.max(Standing::Assumed);
                    self.assume(self.path_of(info, given), info.declared, info);
                }
                State::Given | State::Absent => {}
            }
        }
        let figure = match value.value {
            Value::Number(number) if known && number.range.is_bounded() => {
                Some(Figure::between(number.range.low(), number.range.high(), standing))
            }
            _ => None,
        };
        if figure.is_none() && known {
            given.iter().for_each(|it| {
                if let Given::Path(path) = it {
                    self.miss::<()>(path);
                }
            });
        }
        figure
    }

    /// The path of a fact that one of these arguments rests on.
    fn path_of(&self, info: &FactInfo, given: &[Given]) -> String {
        let slots = given.iter().filter_map(|it| match it {
            Given::Path(path) => self.slot_of(path).map(|(slot, _)| slot),
            Given::Figure(_) => None,
        });
        let mut own = slots.filter(|slot| info.part.is_some() && self.model.part_at(self.build, slot) == info.part);
        own.next().map_or_else(|| info.path.clone(), |slot| format!("{slot}.{}", info.path))
    }
}

/// A value with every guess in it taken at its word.
fn settled(valued: &Valued) -> Valued {
    let mut out = valued.clone();
    match &valued.value {
        Value::Number(Number { guess: Some(guess), .. }) => out.value = Value::Number(Number::exact(*guess)),
        Value::Standard(Some(fitted)) => {
            let fields = fitted.fields.iter().map(settled).collect();
            out.value = Value::Standard(Some(Arc::new(Fitted { standard: fitted.standard, fields })));
        }
        _ => {}
    }
    out
}
