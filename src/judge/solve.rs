//! What would make a joint fit: for one fact, the others as they stand, every value with which all of the joint's
//! requirements hold.

use super::bind::{self, Bound};
use super::eval::Reading;
use super::verdict::{self, Judging};
use crate::model::{Build, BuildId, FactId, Model, Number, Rule, Type, Value};
use crate::quantity::{Dimension, Interval, Truth, shown_in};

/// Values of one fact with which a joint fits.
#[derive(Clone, Debug, PartialEq)]
pub struct WouldFit {
    /// The fact.
    pub fact: FactId,
    /// Its values.
    pub values: Values,
}

/// A set of values.
#[derive(Clone, Debug, PartialEq)]
pub enum Values {
    /// Numbers, in base units: stretches without a gap, in order. An end that no plausible value lies beyond is infinite.
    Numbers(Vec<Interval>, Dimension),
    /// Names: standards of an interface, members of a choice, `yes` and `no`. Those marked hang on facts of their own.
    Names(Vec<(String, bool)>),
}

impl Values {
    /// Whether no value is among them.
    pub fn is_empty(&self) -> bool {
        match self {
            Values::Numbers(stretches, _) => stretches.is_empty(),
            Values::Names(names) => names.is_empty(),
        }
    }
}

/// Evaluations that are spent on one fact; what is not decided by then is left out.
const MOST: usize = 250;

/// For each of these facts that could make the joint fit by itself, `most` of them, the values that do; facts of which no
/// value would, or that cannot be asked for by value, are left out.
pub fn would_fit(model: &Model, build: BuildId, joint: &str, facts: &[FactId], most: usize) -> Vec<WouldFit> {
    let Some(bound) = bind::named(model, &model[build], joint) else { return Vec::new() };
    if bound.doubt.is_some() {
        return Vec::new();
    }
    facts.iter().filter_map(|fact| solved(model, &model[build], &bound, *fact)).take(most).collect()
}

fn solved(model: &Model, build: &Build, bound: &Bound, fact: FactId) -> Option<WouldFit> {
    let declared = &model[model.facts.get(fact)?.declared?];
    let asked = Asked { judging: Judging::of(model, build, bound), fact };
    let values = match &declared.kind {
        Type::Number(dimension) => {
            let rules = asked.hanging(&Value::Number(Number::of(declared.limits)))?;
            let unit = shown_in(*dimension).map_or(1.0, |unit| unit.factor);
            Values::Numbers(asked.numbers(&rules, declared.limits, unit / 10.0), *dimension)
        }
        Type::Count(_) => {
            let rules = asked.hanging(&Value::Number(Number::of(declared.limits)))?;
            Values::Numbers(asked.counts(&rules, declared.limits), Dimension::NONE)
        }
        Type::Flag => asked.names([("yes", Value::Flag(Truth::Yes)), ("no", Value::Flag(Truth::No))]),
        Type::Choice(choice) => {
            let members = model[*choice].members.iter().enumerate();
            asked.names(members.map(|(number, (name, _))| (name.as_str(), Value::Member(Some(number)))))
        }
        Type::Standard(interface) => {
            let standards = &model[*interface].standards;
            asked.names(standards.iter().map(|id| (model[*id].name.text.as_str(), model.any_standard(*id))))
        }
        _ => return None,
    };
    (!values.is_empty()).then_some(WouldFit { fact, values })
}

/// One fact of one joint, asked for.
struct Asked<'m> {
    judging: Judging<'m>,
    fact: FactId,
}

impl<'m> Asked<'m> {
    fn reading<'v>(&self, value: &'v Value) -> Reading<'v> {
        Reading { guesses: false, instead: Some((self.fact, value)) }
    }

    /// Required rules that this fact decides; none if another one fails or hangs whatever the fact is.
    fn hanging(&self, any: &Value) -> Option<Vec<&'m Rule>> {
        let mut hanging = Vec::new();
        let eval = self.judging.under(self.reading(any));
        for rule in self.judging.rules().iter().filter(|rule| rule.required) {
            match verdict::holds(&eval, rule).0 {
                Truth::Yes => {}
                Truth::No => return None,
                Truth::Open => hanging.push(rule),
            }
        }
        Some(hanging)
    }

    fn fits(&self, rules: &[&Rule], value: &Value) -> Truth {
        let mut all = Truth::Yes;
        let eval = self.judging.under(self.reading(value));
        for rule in rules {
            match verdict::holds(&eval, rule).0 {
                Truth::No => return Truth::No,
                Truth::Open => all = Truth::Open,
                Truth::Yes => {}
            }
        }
        all
    }

    fn names<'n>(&self, candidates: impl IntoIterator<Item = (&'n str, Value)>) -> Values {
        let rules: Vec<&Rule> = self.judging.rules().iter().filter(|rule| rule.required).collect();
        let mut names = Vec::new();
        let mut all = true;
        for (name, value) in candidates {
            match self.fits(&rules, &value) {
                Truth::Yes => names.push((name.to_owned(), false)),
                Truth::Open => names.push((name.to_owned(), true)),
                Truth::No => all = false,
            }
        }
        // If none is surely right and none surely wrong, the name decides nothing.
        if all && names.iter().all(|(_, open)| *open) {
            names.clear();
        }
        Values::Names(names)
    }

    /// Whole numbers within the limits, found by halving.
    fn counts(&self, rules: &[&Rule], limits: Interval) -> Vec<Interval> {
        if !limits.is_bounded() {
            return Vec::new();
        }
        let mut fitting: Vec<Interval> = Vec::new();
        let mut rest = vec![Interval::new(limits.low().ceil(), limits.high().floor())];
        let mut left = MOST;
        while let (Some(piece), true) = (rest.pop(), left > 0) {
            left -= 1;
            match self.fits(rules, &Value::Number(Number::of(piece))) {
                Truth::Yes => match fitting.last_mut() {
                    Some(last) if (piece.low() - last.high() - 1.0).abs() < 0.5 => *last = last.hull(piece),
                    _ => fitting.push(piece),
                },
                Truth::Open if piece.low() < piece.high() => {
                    let middle = f64::midpoint(piece.low(), piece.high()).floor();
                    rest.push(Interval::new(middle + 1.0, piece.high()));
                    rest.push(Interval::new(piece.low(), middle));
                }
                Truth::Open | Truth::No => {}
            }
        }
        fitting.into_iter().map(|it| opened(it, limits, 0.5)).collect()
    }

    /// Stretches within the limits, found by halving: a stretch that fits as a whole is taken, one that clashes as a whole
    /// is left, any other one is halved down to `step`. Ends are then pinned down between a fitting and another number.
    fn numbers(&self, rules: &[&Rule], limits: Interval, step: f64) -> Vec<Interval> {
        if !limits.is_bounded() {
            return Vec::new();
        }
        let at = |value: f64| self.fits(rules, &Value::Number(Number::exact(value)));
        // What no exact value decides hangs on another fact too: halving would never end.
        let span = limits.high() - limits.low();
        if (0..5).all(|fifth| at(limits.low() + span * (0.1 + 0.2 * f64::from(fifth))) == Truth::Open) {
            return Vec::new();
        }
        let mut fitting: Vec<Interval> = Vec::new();
        let mut left = MOST;
        let mut rest = vec![limits];
        while let (Some(piece), true) = (rest.pop(), left > 0) {
            left -= 1;
            match self.fits(rules, &Value::Number(Number::of(piece))) {
                Truth::Yes => fitting.push(piece),
                Truth::No => {}
                Truth::Open if piece.high() - piece.low() > step => {
                    let middle = f64::midpoint(piece.low(), piece.high());
                    // The lower half is looked at first, so that what is found comes in order.
                    rest.push(Interval::new(middle, piece.high()));
                    rest.push(Interval::new(piece.low(), middle));
                }
                Truth::Open => {
                    let ends = [piece.low(), piece.high()].map(at);
                    match ends {
                        [Truth::Yes, Truth::Yes] => fitting.push(piece),
                        [Truth::Yes, _] => fitting.push(Interval::exact(piece.low())),
                        [_, Truth::Yes] => fitting.push(Interval::exact(piece.high())),
                        _ => {}
                    }
                }
            }
        }
        let mut stretches: Vec<Interval> = Vec::new();
        for piece in fitting {
            match stretches.last_mut() {
                Some(last) if piece.low() - last.high() <= step * 1e-6 => *last = last.hull(piece),
                _ => stretches.push(piece),
            }
        }
        let pinned = stretches.into_iter().map(|it| {
            let low = pinned(it.low(), (it.low() - step).max(limits.low()), &at);
            let high = pinned(it.high(), (it.high() + step).min(limits.high()), &at);
            Interval::new(low, high)
        });
        pinned.map(|it| opened(it, limits, step * 1e-3)).collect()
    }
}

/// An end of a stretch: between one that fits and one a step further out that may not, as near to the latter as numbers
/// go; a number of few digits, where one lies there and fits.
fn pinned(fits: f64, beyond: f64, at: &impl Fn(f64) -> Truth) -> f64 {
    if at(beyond) == Truth::Yes {
        return beyond;
    }
    let (mut inside, mut outside) = (fits, beyond);
    for _ in 0..12 {
        let middle = f64::midpoint(inside, outside);
        if at(middle) == Truth::Yes {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    // What a person wrote has few digits, and so has the end that follows from it.
    for digits in [1.0, 2.0, 10.0, 20.0, 100.0, 1000.0] {
        let round = (inside * digits).round() / digits;
        if (round - inside).abs() <= (fits - beyond).abs() * 1e-3 && at(round) == Truth::Yes {
            return round;
        }
    }
    inside
}

/// A stretch whose ends that lie at the limits are without end: no plausible value lies beyond.
fn opened(stretch: Interval, limits: Interval, near: f64) -> Interval {
    let low = if stretch.low() <= limits.low() + near { f64::NEG_INFINITY } else { stretch.low() };
    let high = if stretch.high() >= limits.high() - near { f64::INFINITY } else { stretch.high() };
    Interval::new(low, high)
}

/// What a joint's open and failing requirements hang on: facts that a person could measure or change.
pub fn asked_of(model: &Model, joint: &verdict::JudgedJoint) -> Vec<FactId> {
    let mut facts = Vec::new();
    for finding in joint.findings.iter().filter(|it| it.required) {
        for fact in &finding.trail {
            let Some(info) = model.facts.get(*fact) else { continue };
            if (finding.fails || info.is_uncertain()) && info.part.is_some() && !facts.contains(fact) {
                facts.push(*fact);
            }
        }
    }
    facts
}
