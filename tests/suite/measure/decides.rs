//! What is said to decide a joint does: values are set in the text, and all is compiled again.

use super::{Dice, Spec, said};
use crate::fixtures;
use cotter::Compiled;
use cotter::editing::{self, Setting, Texts};
use cotter::judge::{Values, Verdict, asked_of, judge_one, would_clash, would_fit};
use cotter::load::load;
use cotter::model::{Base, BuildId, FactInfo, Model, State};
use cotter::quantity::{Dimension, Interval, shown_in};
use cotter::source::folder_of;
use std::collections::BTreeSet;
use std::sync::Arc;

/// A base value as it is written: exact to the last digit.
fn written(value: f64, dimension: Dimension) -> String {
    let (factor, unit) = shown_in(dimension).map_or((1.0, ""), |unit| (unit.factor, unit.name));
    // The tolerance says that an old one is not to stay.
    format!("{0} {unit} ± 0 {unit}", value / factor).replace("  ", " ").trim().to_owned()
}

/// Values inside of these stretches and outside of all of them, within what is plausible.
fn samples(stretches: &[Interval], limits: Interval, step: f64) -> (Vec<f64>, Vec<f64>) {
    let clamp = |it: f64| it.clamp(limits.low(), limits.high());
    let (mut inside, mut outside) = (Vec::new(), Vec::new());
    for it in stretches {
        let (low, high) = (clamp(it.low()), clamp(it.high()));
        inside.extend([low, high, f64::midpoint(low, high)]);
        outside.extend([low - step, high + step]);
    }
    let ends: Vec<f64> = stretches.iter().flat_map(|it| [clamp(it.low()), clamp(it.high())]).collect();
    let mut cuts = vec![limits.low()];
    cuts.extend(ends);
    cuts.push(limits.high());
    outside.extend(cuts.windows(2).map(|it| f64::midpoint(it[0], it[1])));
    outside.retain(|value| {
        let far = |it: &Interval| *value < clamp(it.low()) - step * 0.99 || *value > clamp(it.high()) + step * 0.99;
        limits.contains(*value) && stretches.iter().all(far)
    });
    (inside, outside)
}

/// A spec with the only build that matters, and what a library declares for it.
struct Alone {
    spec: Spec,
    build: String,
    base: Arc<Base>,
}

impl Alone {
    fn of(spec: &Spec, compiled: &Compiled, build: BuildId) -> Alone {
        let name = compiled.model[build].name.text.clone();
        Alone { spec: spec.only(compiled, build), build: name, base: Arc::clone(&compiled.model.base) }
    }

    /// Compiled as ever, but without what is told of the joints: that takes longest, and is not asked for.
    fn compiled(&self, changed: &Texts) -> Compiled {
        let mut sources = self.spec.sources.clone();
        sources.texts.extend(changed.iter().map(|(name, text)| (name.clone(), text.clone().into_bytes())));
        let mut loaded = load(&sources, &self.spec.entry, folder_of(&self.spec.entry));
        let (model, mut found) = cotter::model::build(Arc::clone(&self.base), &loaded.trees, &loaded.lists, None);
        loaded.mistakes.append(&mut found);
        let build = model.build_named(&self.build).unwrap();
        let builds = vec![judge_one(&model, build)];
        let diagnostics = cotter::diagnose::all(&model, &loaded.mistakes, &[]);
        Compiled { files: loaded.files, model, builds, diagnostics }
    }

    /// The verdict of a joint with this setting; none if it is not there then.
    fn verdict(&self, before: &Compiled, joint: &str, setting: &str) -> Result<Option<Verdict>, String> {
        let settings = [Setting::read(setting).unwrap()];
        let compile = |texts: &Texts| Ok::<_, ()>(vec![self.compiled(texts)]);
        let edited = editing::edited(std::slice::from_ref(before), &settings, compile).map_err(|it| said(&it))?;
        Ok(edited.after[0].builds[0].joints.iter().find(|it| it.name == joint).map(|it| it.verdict))
    }
}

/// Every open and clashing joint, its facts and what is said of them; `COTTER_READINGS=all` tries all, otherwise one
/// joint in six.
#[test]
fn values_said_to_decide_a_joint_do_and_others_do_not() {
    let mut dice = Dice(20_261_125);
    let every = if std::env::var_os("COTTER_READINGS").is_some() { 1 } else { 6 };
    let (mut faults, mut tried) = (Vec::new(), [0; 4]);
    let mut specs: Vec<Spec> = ["heron", "curlew"].iter().map(|it| Spec::demo(it)).collect();
    specs.extend(fixtures::files("joints").iter().map(|path| Spec::read(path)));
    for spec in &specs {
        faults.extend(of_spec(spec, &judged(spec), &mut dice, every, &mut tried));
    }
    println!("{tried:?}");
    assert!(faults.is_empty(), "{} of {tried:?}:\n{}", faults.len(), faults.join("\n"));
    assert!(tried.iter().all(|it| *it > 20), "too little was tried: {tried:?}");
}

/// Compiled as ever, but without what is told of the joints: that takes longest, and is not asked for.
fn judged(spec: &Spec) -> Compiled {
    let loaded = load(&spec.sources, &spec.entry, folder_of(&spec.entry));
    let trees: Vec<_> = loaded.trees.iter().map(|it| &**it).collect();
    let own = trees.iter().any(|it| cotter::model::declares(it));
    let base = match own {
        true => {
            cotter::model::base(&cotter::library::trees().iter().chain(trees.iter().copied()).collect::<Vec<_>>()).0
        }
        false => cotter::library::base(),
    };
    let model = cotter::model::build(base, &loaded.trees, &loaded.lists, None).0;
    let builds = cotter::judge::judge(&model);
    Compiled { files: loaded.files, model, builds, diagnostics: Vec::new() }
}

fn of_spec(spec: &Spec, compiled: &Compiled, dice: &mut Dice, every: usize, tried: &mut [usize; 4]) -> Vec<String> {
    let model = &compiled.model;
    let mut faults = Vec::new();
    // The same fact of the same joint says the same in every build that has it.
    let mut seen = BTreeSet::new();
    for build in &compiled.builds {
        let mut alone: Option<(Alone, Compiled)> = None;
        for joint in build.joints.iter().filter(|it| it.verdict != Verdict::Fits) {
            if dice.below(every) != 0 {
                continue;
            }
            let facts = asked_of(model, joint);
            let fits = would_fit(model, build.build, &joint.name, &facts).into_iter().map(|it| (it, Verdict::Fits));
            let clashes = match joint.verdict {
                Verdict::Open => would_clash(model, build.build, &joint.name, &facts),
                _ => Vec::new(),
            };
            for (found, wanted) in fits.chain(clashes.into_iter().map(|it| (it, Verdict::Clashes))) {
                let info = model.facts.get(found.fact).unwrap();
                if wanted == Verdict::Fits {
                    faults.extend(misworded(info, &found.values));
                }
                let Some(path) = settable(model, build.build, info) else { continue };
                if !seen.insert((
                    joint.name.clone(),
                    path.clone(),
                    wanted,
                    joint.uses.iter().map(|it| it.part.0).collect::<Vec<_>>(),
                )) {
                    continue;
                }
                let name = model[build.build].name.text.as_str();
                let (alone, before) = alone.get_or_insert_with(|| {
                    let alone = Alone::of(spec, compiled, build.build);
                    let before = alone.compiled(&Texts::new());
                    (alone, before)
                });
                let (right, wrong) = values(model, info, &found.values);
                for (values, inside) in [(right, true), (wrong, false)] {
                    if values.is_empty() {
                        continue;
                    }
                    let value = dice.of(&values);
                    tried[usize::from(inside) + 2 * usize::from(wanted == Verdict::Clashes)] += 1;
                    match alone.verdict(before, &joint.name, &format!("{path}={value}")) {
                        Ok(verdict) if (verdict == Some(wanted)) == inside => {}
                        Ok(verdict) => faults.push(format!(
                            "{} {name} {}: {path} = {value} is {verdict:?}, {} to be {wanted:?} ({:?})",
                            spec.entry,
                            joint.name,
                            if inside { "said" } else { "said not" },
                            found.values
                        )),
                        Err(words) => {
                            faults.push(format!("{} {name} {}: {path} = {value}: {words}", spec.entry, joint.name))
                        }
                    }
                }
            }
        }
    }
    faults
}

/// Words that tell a number outside of what they stand for, or an end before the beginning.
fn misworded(info: &FactInfo, values: &Values) -> Option<String> {
    let Values::Numbers(stretches, dimension) = values else { return None };
    let words = values.in_words(info);
    assert_eq!(words.len(), stretches.len());
    let factor = cotter::judge::unit_of(&info.written, *dimension).map_or(1.0, |it| it.factor);
    let wrong = words.iter().zip(stretches).find(|(words, stretch)| {
        let told: Vec<f64> = words.split(' ').filter_map(|it| it.parse::<f64>().ok()).map(|it| it * factor).collect();
        let inside = |it: &f64| stretch.low() - 1e-6 <= *it && *it <= stretch.high() + 1e-6;
        told.is_empty() && words.as_str() != "known at all"
            || !told.iter().all(inside)
            || told.windows(2).any(|it| it[0] > it[1])
    });
    wrong.map(|it| format!("{}: {it:?}", info.path))
}

/// The path to set a fact by, if it is one that can be set.
fn settable(model: &Model, build: BuildId, info: &FactInfo) -> Option<String> {
    if info.state == State::Default && info.path.contains('.') {
        return None;
    }
    let owner = info.part.map_or(&model[build].name.text, |part| &model[part].name.text);
    Some(format!("{owner}.{}", info.path))
}

/// Values that are among these, and values that are not, as they are written.
fn values(model: &Model, info: &FactInfo, values: &Values) -> (Vec<String>, Vec<String>) {
    let declared = &model[info.declared.unwrap()];
    match values {
        Values::Numbers(stretches, dimension) => {
            let count = matches!(declared.kind, cotter::model::Type::Count(_));
            let unit = shown_in(*dimension).map_or(1.0, |it| it.factor);
            let (inside, outside) = samples(stretches, declared.limits, if count { 1.0 } else { unit / 100.0 });
            let all = |values: Vec<f64>| -> Vec<String> {
                let whole = values.into_iter().map(|it| if count { it.floor() } else { it });
                whole.map(|it| written(it, *dimension)).collect()
            };
            (all(inside), all(outside))
        }
        Values::Names(names) => {
            let sure: Vec<String> = names.iter().filter(|(_, open)| !open).map(|(name, _)| name.clone()).collect();
            let all: Vec<String> = match &declared.kind {
                cotter::model::Type::Choice(id) => model[*id].members.iter().map(|it| it.0.clone()).collect(),
                cotter::model::Type::Standard(id) => {
                    model[*id].standards.iter().map(|it| model[*it].name.text.clone()).collect()
                }
                cotter::model::Type::Flag => vec!["yes".to_owned(), "no".to_owned()],
                _ => vec!["\"nothing like it\"".to_owned()],
            };
            let others = all.into_iter().filter(|it| names.iter().all(|(name, _)| name != it)).collect();
            (sure, others)
        }
    }
}
