//! What came of it: what was changed where, and which joints that decided.

use super::Edited;
use crate::Compiled;
use crate::clean;
use crate::judge::{JudgedBuild, JudgedJoint, Verdict};
use crate::model::Model;
use indexmap::IndexSet;

/// In words, with a line end, against what was there `before`; where a build `only` is given, of that one and of others
/// that became others by it.
pub fn report(before: &[Compiled], edited: &Edited, only: Option<&str>) -> String {
    let mut out = String::new();
    for change in &edited.changes {
        let files = edited.after.iter().flat_map(|unit| unit.files.iter());
        let line =
            files.map(|(_, file)| file).find(|file| file.name == change.file).map_or(0, |file| change.line(file));
        let old = change.old.as_deref().map_or("not written".to_owned(), clean::words);
        let place = format!("{}:{line}", clean::words(&change.file));
        out.push_str(&format!("{}: {old} → {}  ({place})\n", clean::words(&change.path), clean::words(&change.new)));
        if let Some(kept) = &change.kept {
            out.push_str(&format!(
                "  the {} stays; type another behind the value to change it, `± 0` of its unit to drop it\n",
                clean::words(kept)
            ));
        }
    }
    out.push('\n');
    let mut told: IndexSet<&str> = IndexSet::new();
    for (unit, build) in edited.after.iter().flat_map(|unit| unit.builds.iter().map(move |build| (unit, build))) {
        let name = unit.model[build.build].name.text.as_str();
        if !told.insert(name) {
            continue;
        }
        let old = before.iter().find_map(|unit| {
            let id = unit.model.build_named(name)?;
            Some((unit, unit.builds.iter().find(|it| it.build == id)?))
        });
        let lines = old.map(|old| differences(&old, &(unit, build), edited)).unwrap_or_default();
        if lines.is_empty() && only.is_some_and(|only| only != name) {
            continue;
        }
        out.push_str(&format!("{}: {}\n", clean::words(name), counts(build)));
        lines.iter().for_each(|it| out.push_str(&format!("  {it}\n")));
    }
    out
}

fn counts(build: &JudgedBuild) -> String {
    let (fit, clash, open) = (build.count(Verdict::Fits), build.count(Verdict::Clashes), build.count(Verdict::Open));
    let all = build.joints.len();
    if fit == all {
        return format!("all {all} joints fit");
    }
    let mut words = format!("of {all} joints {fit} fit");
    for (count, one, several) in [(clash, "CLASHES", "CLASH"), (open, "is open", "are open")] {
        if count > 0 {
            words.push_str(&format!(", {count} {}", if count == 1 { one } else { several }));
        }
    }
    words
}

type Judged<'u> = (&'u Compiled, &'u JudgedBuild);

/// Joints whose verdict is another one now, and those that hung on what was set and are still open.
fn differences(before: &Judged, after: &Judged, edited: &Edited) -> Vec<String> {
    let mut lines = Vec::new();
    for joint in &after.1.joints {
        let old = before.1.joints.iter().find(|it| it.name == joint.name);
        let title = clean::words(if joint.title.is_empty() { &joint.name } else { &joint.title });
        match old.map(|it| it.verdict) {
            Some(verdict) if verdict != joint.verdict => {
                let why = reasons(&after.0.model, joint);
                lines.push(format!("{title}: {} → {}{why}", verdict.word(), joint.verdict.word()));
            }
            Some(Verdict::Open) if old.is_some_and(|it| hung(&before.0.model, it, edited)) => {
                lines.push(format!("{title}: still open{}", reasons(&after.0.model, joint)));
            }
            None => lines.push(format!("{title}: new, {}", joint.verdict.word())),
            _ => {}
        }
    }
    for old in before.1.joints.iter().filter(|old| after.1.joints.iter().all(|it| it.name != old.name)) {
        lines.push(format!(
            "{}: is not there any more",
            clean::words(if old.title.is_empty() { &old.name } else { &old.title })
        ));
    }
    lines
}

/// Whether a joint hung on something that was set.
fn hung(model: &Model, joint: &JudgedJoint, edited: &Edited) -> bool {
    joint.hangs_on.iter().filter_map(|fact| model.facts.get(*fact)).any(|info| {
        let owner = info.part.map(|part| model[part].name.text.as_str());
        edited.changes.iter().any(|change| match (owner, change.path.split_once('.')) {
            (Some(owner), Some((name, fact))) => {
                let within = info.path.strip_prefix(fact).or_else(|| fact.strip_prefix(info.path.as_str()));
                name == owner && within.is_some_and(|it| it.is_empty() || it.starts_with('.'))
            }
            (None, Some((_, fact))) => fact == info.path,
            _ => false,
        })
    })
}

/// What is wrong with a joint, or what it hangs on.
fn reasons(model: &Model, joint: &JudgedJoint) -> String {
    let all: IndexSet<String> = match joint.verdict {
        Verdict::Fits => IndexSet::new(),
        Verdict::Clashes => {
            joint.findings.iter().filter(|it| it.required && it.fails).map(|it| it.message.clone()).collect()
        }
        Verdict::Open => joint.hangs_on.iter().map(|fact| joint.path_of(model, *fact)).collect(),
    };
    if all.is_empty() {
        return String::new();
    }
    let all = clean::words(&all.into_iter().collect::<Vec<_>>().join(", "));
    if joint.verdict == Verdict::Open { format!(", hangs on {all}") } else { format!(": {all}") }
}
