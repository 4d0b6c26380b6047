//! What would make a joint fit: for one fact, the others as they stand, every value with which all of the joint's
//! requirements hold.

use super::bind::{self, Bound};
use super::eval::{Eval, Reading};
use super::verdict::{self, Judging};
use crate::model::{Build, BuildId, FactId, Model, Number, Rule, Type, Value};
use crate::quantity::{Dimension, Interval, Truth, shown_in};
use std::sync::Arc;

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

/// For each of these facts that could make the joint fit by itself, the values that do; facts of which no value would, or
/// that cannot be asked for by value, are left out.
pub fn would_fit(model: &Model, build: BuildId, joint: &str, facts: &[FactId]) -> Vec<WouldFit> {
    found(model, build, joint, facts, Truth::Yes, usize::MAX)
}

/// The same of the first `most` of those that could.
pub fn would_fit_first(model: &Model, build: BuildId, joint: &str, facts: &[FactId], most: usize) -> Vec<WouldFit> {
    found(model, build, joint, facts, Truth::Yes, most)
}

/// For each of these facts that could by itself make the joint clash, which does not clash as it is, the values that do.
pub fn would_clash(model: &Model, build: BuildId, joint: &str, facts: &[FactId]) -> Vec<WouldFit> {
    found(model, build, joint, facts, Truth::No, usize::MAX)
}

fn found(model: &Model, build: BuildId, joint: &str, facts: &[FactId], sought: Truth, most: usize) -> Vec<WouldFit> {
    let build = &model[build];
    let Some(bound) = bind::named(model, build, joint) else { return Vec::new() };
    if bound.doubt.is_some() {
        return Vec::new();
    }
    facts.iter().filter_map(|fact| solved(model, build, &bound, *fact, sought)).take(most).collect()
}

fn solved(model: &Model, build: &Build, bound: &Bound, fact: FactId, sought: Truth) -> Option<WouldFit> {
    let declared = &model[model.facts.get(fact)?.declared?];
    let asked = Asked { judging: Judging::of(model, build, bound), fact, sought };
    let values = match &declared.kind {
        Type::Number(dimension) => {
            let needs = asked.hanging(&Value::Number(Number::of(declared.limits)))?;
            let unit = shown_in(*dimension).map_or(1.0, |unit| unit.factor);
            Values::Numbers(asked.numbers(&needs, declared.limits, unit / 10.0), *dimension)
        }
        Type::Count(_) => {
            let needs = asked.hanging(&Value::Number(Number::of(declared.limits)))?;
            Values::Numbers(asked.counts(&needs, declared.limits), Dimension::NONE)
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
        Type::Text if sought == Truth::Yes => {
            // Words can only be right by being the same as others that the joint reads.
            let texts: Vec<(String, Value)> =
                texts_of(&asked.judging).into_iter().map(|it| (quoted(&it), Value::Text(Some(it)))).collect();
            asked.names(texts.iter().map(|(name, value)| (name.as_str(), value.clone())))
        }
        _ => return None,
    };
    (!values.is_empty()).then_some(WouldFit { fact, values })
}

/// All words that stand on the parts of a joint, each once, in order.
fn texts_of(judging: &Judging) -> Vec<Arc<str>> {
    let mut texts = Vec::new();
    for valued in judging.facts() {
        match &valued.value {
            Value::Text(Some(text)) if !texts.contains(text) => texts.push(Arc::clone(text)),
            _ => {}
        }
    }
    texts
}

/// Words as they are written.
fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}

/// What a joint needs so as to fit.
#[derive(Clone, Copy)]
enum Need<'m> {
    /// That a rule holds.
    Rule(&'m Rule),
    /// That it can be made.
    Made,
}

/// One fact of one joint, asked for.
struct Asked<'m> {
    judging: Judging<'m>,
    fact: FactId,
    /// Values with this answer are sought.
    sought: Truth,
}

impl<'m> Asked<'m> {
    fn reading<'v>(&self, value: &'v Value) -> Reading<'v> {
        Reading { guesses: false, instead: Some((self.fact, value)) }
    }

    fn needs(&self) -> impl Iterator<Item = Need<'m>> {
        let required = self.judging.rules().iter().filter(|rule| rule.required);
        required.map(Need::Rule).chain([Need::Made])
    }

    /// Whether a need is met, by an evaluator that all needs share, so that they share what they compute.
    fn met(&self, need: Need, eval: &Eval) -> Truth {
        match need {
            Need::Rule(rule) => verdict::holds(eval, rule).0,
            Need::Made => self.judging.made(eval),
        }
    }

    /// What is not decided while the fact may be anything; none if something fails whatever it is.
    fn hanging(&self, any: &Value) -> Option<Vec<Need<'m>>> {
        let mut hanging = Vec::new();
        let eval = self.judging.under(self.reading(any)).untracked();
        for need in self.needs() {
            match self.met(need, &eval) {
                Truth::Yes => {}
                Truth::No => return None,
                Truth::Open => hanging.push(need),
            }
        }
        Some(hanging)
    }

    /// Whether the joint fits with this value.
    fn fits(&self, needs: &[Need], value: &Value) -> Truth {
        let mut all = Truth::Yes;
        let eval = self.judging.under(self.reading(value)).untracked();
        for need in needs {
            match self.met(*need, &eval) {
                Truth::No => return Truth::No,
                Truth::Open => all = Truth::Open,
                Truth::Yes => {}
            }
        }
        all
    }

    fn names<'n>(&self, candidates: impl IntoIterator<Item = (&'n str, Value)>) -> Values {
        let needs: Vec<Need> = self.needs().collect();
        let all: Vec<(&str, Truth)> =
            candidates.into_iter().map(|(name, value)| (name, self.fits(&needs, &value))).collect();
        let known = |truth: Truth| all.iter().any(|(_, it)| *it == truth);
        let told = all.iter().filter(|(_, it)| match self.sought {
            // If none is surely right and none surely wrong, the name decides nothing.
            Truth::Yes => *it == Truth::Yes || *it == Truth::Open && (known(Truth::Yes) || known(Truth::No)),
            // Nor if all are wrong.
            sought => *it == sought && (known(Truth::Yes) || known(Truth::Open)),
        });
        Values::Names(told.map(|(name, it)| ((*name).to_owned(), *it == Truth::Open)).collect())
    }

    /// Whole numbers within the limits, found by halving.
    fn counts(&self, needs: &[Need], limits: Interval) -> Vec<Interval> {
        if !limits.is_bounded() {
            return Vec::new();
        }
        let mut fitting: Vec<Interval> = Vec::new();
        let mut rest = vec![Interval::new(limits.low().ceil(), limits.high().floor())];
        let mut left = MOST;
        while let (Some(piece), true) = (rest.pop(), left > 0) {
            left -= 1;
            match self.fits(needs, &Value::Number(Number::of(piece))) {
                it if it == self.sought => match fitting.last_mut() {
                    Some(last) if (piece.low() - last.high() - 1.0).abs() < 0.5 => *last = last.hull(piece),
                    _ => fitting.push(piece),
                },
                Truth::Open if piece.low() < piece.high() => {
                    let middle = f64::midpoint(piece.low(), piece.high()).floor();
                    rest.push(Interval::new(middle + 1.0, piece.high()));
                    rest.push(Interval::new(piece.low(), middle));
                }
                Truth::Open | Truth::Yes | Truth::No => {}
            }
        }
        fitting.into_iter().map(|it| opened(it, limits, 0.5)).collect()
    }

    /// Numbers in a piece that a rule may single out: round ones, and those that are written on the joint's parts.
    fn marks(&self, piece: Interval, step: f64) -> Vec<f64> {
        let mut marks = Vec::new();
        let mut round = (piece.low() / step).ceil() * step;
        while round <= piece.high() {
            marks.push(round);
            round += step;
        }
        let written = self.judging.facts().into_iter().filter_map(|it| match it.value {
            Value::Number(number) if number.range.is_exact() => Some(number.range.low()),
            _ => None,
        });
        marks.extend(written.filter(|it| piece.low() <= *it && *it <= piece.high()));
        marks
    }

    /// Stretches within the limits, found by halving: a stretch that is right as a whole is taken, one that is wrong as a
    /// whole is left, any other one is halved down to `step`. Ends are then pinned down between a right and another number.
    fn numbers(&self, needs: &[Need], limits: Interval, step: f64) -> Vec<Interval> {
        if !limits.is_bounded() {
            return Vec::new();
        }
        let right = |range: Interval| self.fits(needs, &Value::Number(Number::of(range))) == self.sought;
        let at = |value: f64| right(Interval::exact(value));
        // What no exact value decides hangs on another fact too: halving would never end.
        let span = limits.high() - limits.low();
        let tried = |fifth: u8| Value::Number(Number::exact(limits.low() + span * (0.1 + 0.2 * f64::from(fifth))));
        if (0..5).all(|fifth| self.fits(needs, &tried(fifth)) == Truth::Open) {
            return Vec::new();
        }
        let mut fitting: Vec<Interval> = Vec::new();
        let mut holes: Vec<Interval> = Vec::new();
        let mut left = MOST;
        // Pieces with what is known of them already. Where a piece is open and its lower half is not, the upper half is
        // taken to be open without being asked.
        let mut rest = vec![(limits, Some(Truth::Open))];
        let mut halved: Option<Interval> = None;
        while let (Some((piece, known)), true) = (rest.pop(), left > 0) {
            let answer = known.unwrap_or_else(|| {
                left -= 1;
                self.fits(needs, &Value::Number(Number::of(piece)))
            });
            if let (true, Some((upper, known))) = (answer != Truth::Open && halved == Some(piece), rest.last_mut()) {
                *known = (upper.high() - upper.low() > step).then_some(Truth::Open);
            }
            match answer {
                it if it == self.sought => fitting.push(piece),
                Truth::Open if piece.high() - piece.low() > step => {
                    let middle = f64::midpoint(piece.low(), piece.high());
                    // The lower half is looked at first, so that what is found comes in order.
                    let lower = Interval::new(piece.low(), middle);
                    rest.push((Interval::new(middle, piece.high()), None));
                    rest.push((lower, None));
                    halved = Some(lower);
                }
                Truth::Open => match [piece.low(), piece.high()].map(at) {
                    [true, true] if self.marks(piece, step).into_iter().all(at) => fitting.push(piece),
                    [true, true] => holes.push(piece),
                    [true, false] => fitting.push(Interval::exact(piece.low())),
                    [false, true] => fitting.push(Interval::exact(piece.high())),
                    [false, false] => {}
                },
                Truth::Yes | Truth::No => {}
            }
        }
        let mut stretches: Vec<Interval> = Vec::new();
        for piece in fitting {
            match stretches.last_mut() {
                Some(last) if piece.low() - last.high() <= step * 1e-6 => *last = last.hull(piece),
                _ => stretches.push(piece),
            }
        }
        // Right on both sides of a single number that is wrong: nothing that is measured could tell them apart.
        let beside = |it: &Interval| holes.iter().any(|hole| hole.meet(*it).is_some());
        let pinned = stretches.into_iter().filter(|it| !beside(it)).map(|it| {
            let low = pinned(it.low(), (it.low() - step).max(limits.low()), &at);
            let high = pinned(it.high(), (it.high() + step).min(limits.high()), &at);
            Interval::new(low, high)
        });
        pinned.map(|it| opened(it, limits, step * 1e-3)).collect()
    }
}

/// An end of a stretch: between one that is right and one a step further out that may not be, as near to the latter as
/// numbers go; a number of few digits, where one lies there and is right.
fn pinned(right: f64, beyond: f64, at: &impl Fn(f64) -> bool) -> f64 {
    if at(beyond) {
        return beyond;
    }
    // Where the end is a round number, it is found by asking for it and for one a hair further out.
    let hair = (beyond - right) * 1e-3;
    for digits in [1.0, 2.0, 10.0, 20.0] {
        let round = (f64::midpoint(right, beyond) * digits).round() / digits;
        let between = (round - right) * (round - beyond) <= 0.0;
        if between && at(round) && !at(round + hair) {
            return round;
        }
    }
    let (mut inside, mut outside) = (right, beyond);
    for _ in 0..12 {
        let middle = f64::midpoint(inside, outside);
        if at(middle) {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    // What a person wrote has few digits, and so has the end that follows from it.
    for digits in [1.0, 2.0, 10.0, 20.0, 100.0, 1000.0] {
        let round = (inside * digits).round() / digits;
        if (round - inside).abs() <= (right - beyond).abs() * 1e-3 && at(round) {
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
