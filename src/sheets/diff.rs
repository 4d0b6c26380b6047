//! What tells two builds apart: parts, facts, joints, price, mass, gears and geometry. They may be of two specs or of two
//! revisions of one, so all is told apart by name.

use super::bill::Bill;
use super::numbers::{Headline, headlines};
use super::{Format, diff_page, render};
use crate::judge::{JudgedBuild, JudgedJoint, Verdict};
use crate::model::{Model, PartId, State};
use serde::Serialize;
use std::collections::BTreeMap;

/// A judged build and what it is of.
#[derive(Clone, Copy)]
pub struct Side<'c> {
    /// Its model.
    pub model: &'c Model,
    /// Itself.
    pub judged: &'c JudgedBuild,
}

/// What becomes of a build.
#[derive(Clone, Debug, Serialize)]
pub struct Diff {
    /// The build as it was; none if it is new.
    pub before: Option<Whole>,
    /// The build as it is; none if it is gone.
    pub after: Option<Whole>,
    /// Slots that hold another part, or none any more, or one where none was.
    pub parts: Vec<Part>,
    /// Facts that read otherwise, of parts on both sides and of the whole.
    pub facts: Vec<Fact>,
    /// Joints that are made, broken, made anew, or judged otherwise: those that clash now first, then those that are open.
    pub joints: Vec<Joint>,
    /// Price, mass, gears and geometry where they differ.
    pub figures: Vec<Figure>,
}

/// A build as a whole.
#[derive(Clone, Debug, Serialize)]
pub struct Whole {
    /// Its name.
    pub build: String,
    /// What it is.
    pub description: String,
    /// Joints that fit.
    pub fits: usize,
    /// Joints that clash.
    pub clashes: usize,
    /// Joints that are open.
    pub open: usize,
}

/// A slot that holds another part.
#[derive(Clone, Debug, Serialize)]
pub struct Part {
    /// The slot.
    pub slot: String,
    /// The part that stood there.
    pub before: Option<Named>,
    /// The part that stands there.
    pub after: Option<Named>,
}

/// A part.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Named {
    /// Its name.
    pub part: String,
    /// What it is.
    pub description: String,
}

/// A fact that reads otherwise.
#[derive(Clone, Debug, Serialize)]
pub struct Fact {
    /// The part; none for a fact of the whole.
    pub part: Option<String>,
    /// The fact.
    pub fact: String,
    /// As it was written; none if it was not stated.
    pub before: Option<String>,
    /// As it is written.
    pub after: Option<String>,
}

/// What becomes of a joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Change {
    /// It was not there.
    Made,
    /// It is there with other parts.
    MadeAnew,
    /// It holds the same parts, and is judged otherwise.
    Judged,
    /// It is not there any more.
    Broken,
}

/// A joint that is not as it was.
#[derive(Clone, Debug, Serialize)]
pub struct Joint {
    /// Its name.
    pub joint: String,
    /// What it is.
    pub title: String,
    /// What becomes of it.
    pub change: Change,
    /// Its verdict as it was.
    pub before: Option<&'static str>,
    /// Its verdict as it is.
    pub after: Option<&'static str>,
    /// What is wrong with it now, or what it hangs on.
    pub reasons: Vec<String>,
}

/// A figure that differs.
#[derive(Clone, Debug, Serialize)]
pub struct Figure {
    /// The sheet that it is from: `bom`, `gears`, `geometry`.
    pub sheet: &'static str,
    /// What it is.
    pub what: String,
    /// As it was, with its unit.
    pub before: Option<String>,
    /// As it is.
    pub after: Option<String>,
}

impl Diff {
    /// What tells a build from another; one of them may be missing.
    pub fn of(before: Option<Side>, after: Option<Side>) -> Diff {
        Diff {
            parts: parts(before, after),
            facts: facts(before, after),
            joints: joints(before, after),
            figures: figures(before, after),
            before: before.map(whole),
            after: after.map(whole),
        }
    }

    /// Whether they are the same.
    pub fn is_nothing(&self) -> bool {
        let none = self.parts.is_empty() && self.facts.is_empty() && self.joints.is_empty() && self.figures.is_empty();
        none && self.before.is_some() == self.after.is_some()
    }
}

/// Differences in one format; CSV has a row a difference.
pub fn render(all: &[Diff], format: Format) -> String {
    let page = || all.iter().flat_map(diff_page::blocks).collect::<Vec<_>>();
    match format {
        Format::Text => render::text(&page()),
        Format::Markdown => render::markdown(&page()),
        Format::Csv => diff_page::csv(all),
        Format::Json => {
            #[derive(Serialize)]
            struct Sheet<'d> {
                schema: &'static str,
                builds: &'d [Diff],
            }
            render::json(&Sheet { schema: "cotter.diff/1", builds: all })
        }
    }
}

fn whole(side: Side) -> Whole {
    let build = &side.model[side.judged.build];
    Whole {
        build: build.name.text.clone(),
        description: build.doc.clone(),
        fits: side.judged.count(Verdict::Fits),
        clashes: side.judged.count(Verdict::Clashes),
        open: side.judged.count(Verdict::Open),
    }
}

/// Names of both sides in the order of the later one, with those that only the earlier one has at the end.
fn all_names<'n>(before: impl Iterator<Item = &'n str>, after: impl Iterator<Item = &'n str>) -> Vec<&'n str> {
    let mut all: Vec<&str> = after.collect();
    let old: Vec<&str> = before.filter(|it| !all.contains(it)).collect();
    all.extend(old);
    all
}

/// Slots of a build with what stands in them.
fn slots(side: Side<'_>) -> Vec<(&str, Option<PartId>)> {
    let build = &side.model[side.judged.build];
    let names = side.model[build.assembly].slots.keys().map(String::as_str);
    names.zip(build.slots.iter().map(|it| it.map(|it| it.part))).collect()
}

fn part_in(side: Option<Side>, slot: &str) -> Option<PartId> {
    slots(side?).into_iter().find(|(name, _)| *name == slot)?.1
}

fn parts(before: Option<Side>, after: Option<Side>) -> Vec<Part> {
    let of = |side: Option<Side>, slot: &str| {
        let side = side?;
        let part = &side.model[part_in(Some(side), slot)?];
        let name = if part.undecided { "?".to_owned() } else { part.name.text.clone() };
        Some(Named { part: name, description: part.doc.clone() })
    };
    let (old, new) = (before.map(slots).unwrap_or_default(), after.map(slots).unwrap_or_default());
    let all = all_names(old.iter().map(|it| it.0), new.iter().map(|it| it.0));
    let changed = all.into_iter().filter_map(|slot| {
        let (before, after) = (of(before, slot), of(after, slot));
        let same = before.as_ref().map(|it| &it.part) == after.as_ref().map(|it| &it.part);
        (!same).then(|| Part { slot: slot.to_owned(), before, after })
    });
    changed.collect()
}

/// What is stated of a part: by name, as written.
fn stated(model: &Model, part: PartId) -> BTreeMap<String, String> {
    let all = model.facts.iter().filter(|(_, it)| it.part == Some(part) && !it.written.is_empty());
    let all = all.filter(|(_, it)| matches!(it.state, State::Given | State::Estimated | State::Unknown));
    // The fields of a standard stand in its own words already.
    let names = &model[model[part].kind].facts;
    all.filter(|(_, it)| names.contains_key(&it.path)).map(|(_, it)| (it.path.clone(), it.written.clone())).collect()
}

fn facts(before: Option<Side>, after: Option<Side>) -> Vec<Fact> {
    let (Some(before), Some(after)) = (before, after) else { return Vec::new() };
    let mut seen: Vec<&str> = Vec::new();
    let mut all = Vec::new();
    let mut compare = |part: Option<&str>, old: &BTreeMap<String, String>, new: &BTreeMap<String, String>| {
        for fact in all_names(old.keys().map(String::as_str), new.keys().map(String::as_str)) {
            let (old, new) = (old.get(fact).cloned(), new.get(fact).cloned());
            if old != new {
                all.push(Fact { part: part.map(str::to_owned), fact: fact.to_owned(), before: old, after: new });
            }
        }
    };
    let of_whole = |side: Side| -> BTreeMap<String, String> {
        let facts = side.model[side.judged.build].facts.iter();
        facts.filter_map(|(name, it)| Some((name.clone(), it.written.as_deref()?.to_owned()))).collect()
    };
    compare(None, &of_whole(before), &of_whole(after));
    for (_, part) in slots(after) {
        let Some(now) = part.filter(|it| !after.model[*it].undecided) else { continue };
        let name = after.model[now].name.text.as_str();
        // A part that stood nowhere before comes in as a whole.
        let was = slots(before).into_iter().filter_map(|(_, it)| it).find(|it| before.model[*it].name.text == name);
        if let (Some(was), false) = (was, seen.contains(&name)) {
            seen.push(name);
            compare(Some(name), &stated(before.model, was), &stated(after.model, now));
        }
    }
    all
}

/// What a joint holds, by names.
fn held(side: Side, joint: &JudgedJoint) -> Vec<(String, String)> {
    joint.uses.iter().map(|it| (it.path(), side.model[it.part].name.text.clone())).collect()
}

fn joints(before: Option<Side>, after: Option<Side>) -> Vec<Joint> {
    let of = |side: Option<Side>, name: &str| -> Option<(Vec<(String, String)>, JudgedJoint)> {
        let side = side?;
        let joint = side.judged.joints.iter().find(|it| it.name == name)?;
        Some((held(side, joint), joint.clone()))
    };
    let names = |side: Option<Side>| {
        side.map(|it| it.judged.joints.iter().map(|it| it.name.clone()).collect::<Vec<_>>()).unwrap_or_default()
    };
    let (old, new) = (names(before), names(after));
    let mut all = Vec::new();
    for name in all_names(old.iter().map(String::as_str), new.iter().map(String::as_str)) {
        let (was, is) = (of(before, name), of(after, name));
        let change = match (&was, &is) {
            (None, Some(_)) => Change::Made,
            (Some(_), None) => Change::Broken,
            (Some((old, _)), Some((new, _))) if old != new => Change::MadeAnew,
            (Some((_, old)), Some((_, new))) if old.verdict != new.verdict => Change::Judged,
            _ => continue,
        };
        let title = is.as_ref().or(was.as_ref()).map(|(_, it)| super::torque::title_of(it).to_owned());
        let reasons = is.as_ref().zip(after).and_then(|((_, it), side)| super::torque::unsettled(side.model, it));
        all.push(Joint {
            joint: name.to_owned(),
            title: title.unwrap_or_default(),
            change,
            before: was.map(|(_, it)| it.verdict.word()),
            after: is.map(|(_, it)| it.verdict.word()),
            reasons: reasons.map(|it| it.reasons).unwrap_or_default(),
        });
    }
    let weight = |it: &Joint| match it.after {
        Some("clashes") => 0,
        Some("open") => 1,
        Some(_) => 2,
        None => 3,
    };
    all.sort_by_key(weight);
    all
}

fn figures(before: Option<Side>, after: Option<Side>) -> Vec<Figure> {
    let of = |side: Option<Side>| -> Vec<(&'static str, String, String)> {
        let Some(side) = side else { return Vec::new() };
        let bill = Bill::of(side.model, side.judged);
        let mut all: Vec<(&'static str, String, String)> = Vec::new();
        for price in &bill.totals.to_buy {
            all.push(("bom", format!("to buy, in {}", price.currency().code()), price.to_string()));
        }
        if bill.totals.unpriced > 0 {
            all.push(("bom", "pieces without a price".to_owned(), bill.totals.unpriced.to_string()));
        }
        let mass = super::words::mass(&bill.totals.mass);
        all.push(("bom", "mass".to_owned(), mass.trim_start_matches("mass: ").to_owned()));
        let shown = |it: Headline| (it.sheet, it.what.clone(), it.shown());
        all.extend(headlines(side.model, side.judged.build).into_iter().map(shown));
        all
    };
    let (old, new) = (of(before), of(after));
    let both = before.is_some() && after.is_some();
    let mut keys: Vec<(&'static str, &str)> = Vec::new();
    for (sheet, what, _) in new.iter().chain(&old) {
        if !keys.contains(&(*sheet, what.as_str())) {
            keys.push((*sheet, what.as_str()));
        }
    }
    let value = |all: &[(&'static str, String, String)], key: (&'static str, &str)| {
        all.iter().find(|(sheet, what, _)| (*sheet, what.as_str()) == key).map(|(_, _, value)| value.clone())
    };
    let all = keys.iter().map(|key| Figure {
        sheet: key.0,
        what: key.1.to_owned(),
        before: value(&old, *key),
        after: value(&new, *key),
    });
    all.filter(|it| !both || it.before != it.after).collect()
}
