//! What a verdict must do when more or less is known, or the same is said in other words.

use super::fixtures;
use cotter::judge::{self, JudgedBuild, Verdict};
use cotter::model::{FactInfo, Fitted, Model, Number, State, Trail, Type, Value, Valued};
use cotter::quantity::{Interval, Truth};
use cotter::source::{Memory, Span};
use std::collections::BTreeMap;
use std::sync::Arc;

/// A small generator of shares of one.
struct Dice(u64);

impl Dice {
    fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    fn below(&mut self, n: usize) -> usize {
        ((self.share() * n as f64) as usize).min(n.saturating_sub(1))
    }
}

fn fact(model: &mut Model, path: &str, state: State) -> Trail {
    let nowhere = Span::new(cotter::source::FileId(0), 0, 0);
    let info = FactInfo {
        part: None,
        path: path.to_owned(),
        declared: None,
        span: nowhere,
        state,
        written: String::new(),
        loose: state != State::Given,
    };
    Trail::one(model.facts.add(info))
}

/// Some exact value that a fact may have, given what is known of it; `limits` are those of its declaration.
fn learned(model: &mut Model, valued: &Valued, kind: &Type, limits: Interval, dice: &mut Dice) -> Valued {
    let known = |model: &mut Model, value| Valued::computed(value, fact(model, "learned", State::Given));
    match (&valued.value, kind) {
        (Value::Number(number), _) if !number.range.is_exact() => {
            let range = number.range.meet(limits).unwrap_or(number.range);
            if !range.is_bounded() {
                return valued.clone();
            }
            let mut at = range.low() + (range.high() - range.low()) * dice.share();
            if matches!(kind, Type::Count(_)) {
                at = at.round();
            }
            known(model, Value::Number(Number::exact(at)))
        }
        (Value::Flag(Truth::Open), Type::Flag) => known(model, Value::Flag(Truth::of(dice.below(2) == 0))),
        (Value::Member(None), Type::Choice(id)) => {
            let member = dice.below(model[*id].members.len());
            known(model, Value::Member(Some(member)))
        }
        (Value::Standard(None), Type::Standard(id)) => {
            let standards = model[*id].standards.clone();
            if standards.is_empty() {
                return valued.clone();
            }
            let standard = standards[dice.below(standards.len())];
            let fields = model[standard].fields.clone();
            let fields = fields.into_iter().map(|id| {
                let (kind, limits, optional) = (model[id].kind.clone(), model[id].limits, model[id].optional);
                if optional {
                    return Valued::computed(Value::Absent, fact(model, "absent", State::Absent));
                }
                let empty = match &kind {
                    Type::Number(_) | Type::Count(_) => Value::Number(Number::of(limits)),
                    Type::Flag => Value::Flag(Truth::Open),
                    Type::Choice(_) => Value::Member(None),
                    Type::Standard(_) => Value::Standard(None),
                    Type::List(_) => Value::List(None),
                    Type::Range(_) => Value::Range(None),
                    _ => Value::Text(None),
                };
                let unknown = Valued::computed(empty, fact(model, "field", State::Unknown));
                learned(model, &unknown, &kind, limits, dice)
            });
            let fields = fields.collect::<Vec<_>>();
            known(model, Value::Standard(Some(Arc::new(Fitted { standard, fields }))))
        }
        (Value::Standard(Some(fitted)), _) => {
            let ids = model[fitted.standard].fields.clone();
            let fields = ids.iter().zip(&fitted.fields).map(|(id, field)| {
                let (kind, limits) = (model[*id].kind.clone(), model[*id].limits);
                learned(model, field, &kind, limits, dice)
            });
            let fields = fields.collect::<Vec<_>>();
            Valued {
                value: Value::Standard(Some(Arc::new(Fitted { standard: fitted.standard, fields }))),
                ..valued.clone()
            }
        }
        _ => valued.clone(),
    }
}

/// The same fact, not known any more.
fn forgotten(model: &mut Model, kind: &Type, limits: Interval) -> Valued {
    let value = match kind {
        Type::Number(_) | Type::Count(_) => Value::Number(Number::of(limits)),
        Type::Flag => Value::Flag(Truth::Open),
        Type::Choice(_) => Value::Member(None),
        Type::Standard(_) => Value::Standard(None),
        Type::List(_) => Value::List(None),
        Type::Range(_) => Value::Range(None),
        Type::Text => Value::Text(None),
        Type::Money => Value::Money(None),
        Type::Part(_) | Type::Any => Value::Absent,
    };
    Valued::computed(value, fact(model, "forgotten", State::Unknown))
}

fn verdicts(builds: &[JudgedBuild]) -> BTreeMap<(usize, String), Verdict> {
    let joints = builds
        .iter()
        .enumerate()
        .flat_map(|(n, build)| build.joints.iter().map(move |it| ((n, it.name.clone()), it.verdict)));
    joints.collect()
}

#[test]
fn learning_more_only_decides_what_was_open() {
    let mut dice = Dice(20_261_125);
    let (mut decided, mut faults) = (0, Vec::new());
    for path in fixtures::files("joints") {
        let compiled = fixtures::compile(&path);
        let before = verdicts(&compiled.builds);
        for _ in 0..4 {
            let mut model = compiled.model.clone();
            for part in 0..model.parts.len() {
                // A part not decided on may turn out to be anything; only the parts that are there are measured.
                if model.parts[part].undecided {
                    continue;
                }
                let ids: Vec<_> = model[model.parts[part].kind].facts.values().copied().collect();
                for (number, id) in ids.into_iter().enumerate() {
                    let (kind, limits) = (model[id].kind.clone(), model[id].limits);
                    let old = model.parts[part].facts[number].clone();
                    let new = learned(&mut model, &old, &kind, limits, &mut dice);
                    Arc::make_mut(&mut model.parts[part]).facts[number] = new;
                }
            }
            for (joint, after) in verdicts(&judge::judge(&model)) {
                match before.get(&joint) {
                    Some(Verdict::Open) if after != Verdict::Open => decided += 1,
                    Some(known) if *known != Verdict::Open && *known != after => {
                        faults.push(format!("{}: {joint:?} was {known:?}, then {after:?}", path.display()));
                    }
                    _ => {}
                }
            }
        }
    }
    faults.dedup();
    assert!(faults.is_empty(), "{}:\n{}", faults.len(), faults.join("\n"));
    assert!(decided > 200, "something must have been decided: {decided}");
}

#[test]
fn forgetting_a_fact_never_turns_a_clash_into_a_fit_or_back() {
    let (mut opened, mut faults) = (0, Vec::new());
    for path in fixtures::files("joints") {
        let compiled = fixtures::compile(&path);
        let before = verdicts(&compiled.builds);
        let mut model = compiled.model.clone();
        for part in 0..model.parts.len() {
            for number in 0..model.parts[part].facts.len() {
                let given = model.parts[part].facts[number].from.facts().first().copied();
                let written = given.and_then(|it| model.facts.get(it)).is_some_and(|it| it.state == State::Given);
                if !written {
                    continue;
                }
                let id = *model[model.parts[part].kind].facts.get_index(number).unwrap().1;
                let (kind, limits) = (model[id].kind.clone(), model[id].limits);
                let forgotten = forgotten(&mut model, &kind, limits);
                let known = std::mem::replace(&mut Arc::make_mut(&mut model.parts[part]).facts[number], forgotten);
                for (joint, after) in verdicts(&judge::judge(&model)) {
                    match (before.get(&joint), after) {
                        (Some(Verdict::Clashes), Verdict::Fits) | (Some(Verdict::Fits), Verdict::Clashes) => {
                            let (name, fact) = (&model.parts[part].name.text, &model[id].name.text);
                            faults
                                .push(format!("{}: {joint:?} turned {after:?} without {name}.{fact}", path.display()));
                        }
                        (Some(Verdict::Clashes | Verdict::Fits), Verdict::Open) => opened += 1,
                        _ => {}
                    }
                }
                Arc::make_mut(&mut model.parts[part]).facts[number] = known;
            }
        }
    }
    assert!(faults.is_empty(), "{}:\n{}", faults.len(), faults.join("\n"));
    assert!(opened > 500, "something must have been opened: {opened}");
}

/// Every written length in inches instead of millimetres.
fn in_inches(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(at) = rest.find(" mm") {
        let (before, after) = (&rest[..at], &rest[at + 3..]);
        let start = before.rfind(|c: char| !(c.is_ascii_digit() || c == '.')).map_or(0, |at| at + 1);
        let digits = &before[start..];
        let whole = !after.starts_with(|c: char| c.is_alphanumeric());
        match digits.parse::<f64>() {
            Ok(mm) if whole && !digits.ends_with('.') => {
                out.push_str(&before[..start]);
                out.push_str(&format!("{} in", mm / 25.4));
            }
            _ => {
                out.push_str(before);
                out.push_str(" mm");
            }
        }
        rest = after;
    }
    out + rest
}

fn outcome(text: &str) -> Vec<(String, Verdict, Vec<String>)> {
    let compiled = cotter::compile(&Memory::one("a.cotter", text), "a.cotter", "").unwrap();
    let joints = compiled.builds.iter().flat_map(|build| {
        let name = &compiled.model[build.build].name.text;
        build.joints.iter().map(move |it| {
            let codes = it.findings.iter().map(|it| it.code.clone()).collect();
            (format!("{name} {}", it.name), it.verdict, codes)
        })
    });
    let mut all: Vec<_> = joints.collect();
    all.sort_by(|a, b| a.0.cmp(&b.0));
    all
}

#[test]
fn inches_and_millimetres_say_the_same() {
    assert_eq!(in_inches("a = open(127 mm)"), "a = open(5 in)");
    for path in fixtures::files("joints") {
        let text = std::fs::read_to_string(&path).unwrap();
        let inches = in_inches(&text);
        assert_eq!(outcome(&text), outcome(&inches), "{}", path.display());
    }
}

#[test]
fn the_order_of_items_does_not_matter() {
    for path in fixtures::files("joints") {
        let text = std::fs::read_to_string(&path).unwrap();
        let one_line = |line: &&str| line.starts_with("part ") || line.starts_with("build ");
        let closed = |line: &&str| line.contains('}');
        let (mut moved, kept): (Vec<&str>, Vec<&str>) = text.lines().partition(|line| one_line(line) && closed(line));
        moved.reverse();
        let turned = moved.into_iter().chain(kept).collect::<Vec<_>>().join("\n");
        assert_eq!(outcome(&text), outcome(&turned), "{}", path.display());
    }
}
