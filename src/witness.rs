//! Witness marks: what each joint of a spec comes to, and the facts that this rests on, one a line, sorted. A mark painted
//! across a bolt and its part shows whether they have moved; this text shows whether a verdict has.

use crate::Compiled;
use crate::clean;
use crate::judge::{self, JudgedBuild, JudgedJoint, Verdict};
use crate::model::{FactInfo, Model, State};
use std::collections::BTreeMap;
use std::fmt::Write;

/// The first words of a witness file, its version behind them.
const HEAD: &str = "# cotter witness 1";

/// The witness of a spec, as it stands in its file.
pub fn text(unit: &Compiled) -> String {
    let mut out = format!(
        "{HEAD}: what each joint comes to and what that rests on. `cotter witness` writes it anew;\n\
         # what moves here has moved in a build, in a part's facts or in the library.\n"
    );
    for build in &unit.builds {
        one(&unit.model, build, &mut out);
    }
    out
}

fn one(model: &Model, judged: &JudgedBuild, out: &mut String) {
    let _ = writeln!(out, "\nbuild {}", model[judged.build].name.text);
    let mut joints: Vec<&JudgedJoint> = judged.joints.iter().collect();
    joints.sort_by(|a, b| a.name.cmp(&b.name));
    for joint in joints {
        let _ = writeln!(out, "  {}: {}", joint.name, comes_to(joint));
        let facts = judge::rests_on(model, judged.build, joint);
        let mut lines: Vec<String> = facts
            .iter()
            .filter_map(|fact| Some((joint.path_of(model, *fact), model.facts.get(*fact)?)))
            .filter(|(_, info)| info.state != State::Absent)
            .map(|(path, info)| format!("    {path} = {}", said(info)))
            .collect();
        lines.sort();
        lines.dedup();
        for line in lines {
            let _ = writeln!(out, "{line}");
        }
    }
}

/// A verdict, with the rules that fail.
fn comes_to(joint: &JudgedJoint) -> String {
    let mut codes: Vec<&str> =
        joint.findings.iter().filter(|it| it.required && it.fails).map(|it| it.code.as_str()).collect();
    codes.sort_unstable();
    codes.dedup();
    match (joint.verdict, codes.as_slice()) {
        (Verdict::Clashes, [_, ..]) => format!("clashes by {}", codes.join(", ")),
        (verdict, _) => verdict.word().to_owned(),
    }
}

fn said(info: &FactInfo) -> String {
    match info.state {
        State::Unknown | State::Missing => "?".to_owned(),
        State::Default => format!("{} (by default)", clean::words(&info.written)),
        State::Given | State::Estimated | State::Absent => clean::words(&info.written),
    }
}

/// A joint whose verdict is another than the witness says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moved {
    /// The build.
    pub build: String,
    /// The joint.
    pub joint: String,
    /// What the witness says; none if it knows no such joint.
    pub before: Option<String>,
    /// What it is now; none if there is no such joint any more.
    pub now: Option<String>,
}

/// What became of a spec since its witness was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stale {
    /// Verdicts that moved, in order; none if only facts did.
    pub moved: Vec<Moved>,
}

/// Holds the text of a witness file against the spec as it is; none if nothing has moved.
///
/// # Errors
/// When the text is no witness, in words.
pub fn stale(unit: &Compiled, witness: &str) -> Result<Option<Stale>, String> {
    let witness = witness.replace("\r\n", "\n");
    if !witness.starts_with(HEAD) {
        return Err(format!("it does not begin with `{HEAD}`: is it a witness?"));
    }
    let now = text(unit);
    if now == witness {
        return Ok(None);
    }
    let (before, now) = (verdicts(&witness), verdicts(&now));
    let mut all: Vec<&(&str, &str)> = before.keys().chain(now.keys()).collect();
    all.sort_unstable();
    all.dedup();
    let moved = all.into_iter().filter(|it| before.get(*it) != now.get(*it)).map(|it| Moved {
        build: it.0.to_owned(),
        joint: it.1.to_owned(),
        before: before.get(it).map(|it| (*it).to_owned()),
        now: now.get(it).map(|it| (*it).to_owned()),
    });
    Ok(Some(Stale { moved: moved.collect() }))
}

/// Verdicts in a witness, by build and joint.
fn verdicts(text: &str) -> BTreeMap<(&str, &str), &str> {
    let mut build = "";
    let mut all = BTreeMap::new();
    for line in text.lines() {
        if let Some(name) = line.strip_prefix("build ") {
            build = name.trim();
        } else if let Some(rest) = line.strip_prefix("  ").filter(|it| !it.starts_with(' '))
            && let Some((joint, verdict)) = rest.split_once(": ")
        {
            all.insert((build, joint), verdict.trim());
        }
    }
    all
}
