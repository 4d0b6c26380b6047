//! Diagnostics and verdicts as JSON, `cotter.check/1`: structs of their own, so that the inner ones stay free to change.

use super::found;
use super::{Diagnostic, Mend, Severity};
use crate::Compiled;
use crate::clean;
use crate::judge::{JudgedBuild, JudgedJoint, Verdict};
use crate::model::Model;
use crate::source::{Files, Place, Span};
use crate::witness::Stale;
use serde::Serialize;

/// A whole report.
#[derive(Serialize)]
struct Report {
    schema: &'static str,
    builds: Vec<Build>,
    diagnostics: Vec<Said>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    stale: Vec<OutOfDate>,
}

/// A witness file that does not say what is so.
#[derive(Serialize)]
struct OutOfDate {
    file: String,
    moved: Vec<Moved>,
}

/// A joint whose verdict is another than its witness says.
#[derive(Serialize)]
struct Moved {
    build: String,
    joint: String,
    before: Option<String>,
    now: Option<String>,
}

#[derive(Serialize)]
struct Build {
    name: String,
    fits: usize,
    clashes: usize,
    open: usize,
    joints: Vec<Joint>,
}

#[derive(Serialize)]
struct Joint {
    joint: String,
    verdict: &'static str,
    ports: Vec<String>,
    codes: Vec<String>,
    hangs_on: Vec<String>,
}

/// A diagnostic with its places resolved: equal ones say the same to a reader, whatever compile they are from.
#[derive(Clone, PartialEq, Eq, Hash, Serialize)]
pub(super) struct Said {
    code: String,
    severity: &'static str,
    message: String,
    build: Option<String>,
    joint: Option<String>,
    labels: Vec<Label>,
    help: Vec<String>,
    fits_if: Vec<Fit>,
    mends: Vec<Mended>,
    why: String,
    cautions: Vec<String>,
    edits: Vec<Label>,
}

impl Said {
    /// The same, without the build that it was found in; `unlabelled`, also without places.
    pub(super) fn of_no_build(self, unlabelled: bool) -> Said {
        let labels = if unlabelled { Vec::new() } else { self.labels };
        Said { build: None, labels, ..self }
    }
}

/// Parts that make the joint fit, with no new clash.
#[derive(Clone, PartialEq, Eq, Hash, Serialize)]
struct Mended {
    changes: Vec<Put>,
    price: Vec<String>,
    unpriced: usize,
    mends: Vec<String>,
    makes: Vec<String>,
    opens: Vec<String>,
    /// Joints that clash as they did before.
    still: Vec<String>,
    /// Advice that is not followed with it and was before, by code.
    advises: Vec<String>,
}

/// A part in a slot.
#[derive(Clone, PartialEq, Eq, Hash, Serialize)]
struct Put {
    slot: String,
    part: String,
}

impl Mended {
    fn of(mend: &Mend) -> Mended {
        let put = |(slot, part): &(String, String)| Put { slot: slot.clone(), part: part.clone() };
        Mended {
            changes: mend.changes.iter().map(put).collect(),
            price: mend.price.clone(),
            unpriced: mend.unpriced,
            mends: mend.mends.clone(),
            makes: mend.makes.clone(),
            opens: mend.opens.clone(),
            still: mend.still.clone(),
            advises: mend.advises.clone(),
        }
    }
}

/// A fact that could make the joint fit, and the values that do.
#[derive(Clone, PartialEq, Eq, Hash, Serialize)]
struct Fit {
    fact: String,
    values: Vec<String>,
}

/// A stretch of a file with words: what stands there, or what is to stand there.
#[derive(Clone, PartialEq, Eq, Hash, Serialize)]
struct Label {
    file: String,
    start: At,
    end: At,
    text: String,
}

/// A place, line and column from 1, the column in characters.
#[derive(Clone, PartialEq, Eq, Hash, Serialize)]
struct At {
    line: usize,
    column: usize,
}

impl From<Place> for At {
    fn from(place: Place) -> At {
        At { line: place.line, column: place.column }
    }
}

/// The report of a check, as JSON text with a line end, limited to the build `only`, where that is given. What several
/// units have in common is listed once.
pub fn report(units: &[Compiled], only: Option<&str>) -> String {
    report_with(units, only, &[])
}

/// The same, with the witness files that are out of date.
pub fn report_with(units: &[Compiled], only: Option<&str>, stale: &[(String, Stale)]) -> String {
    let report = Report {
        schema: "cotter.check/1",
        builds: found::builds(units, only).into_iter().map(|(unit, it)| build(&unit.model, it)).collect(),
        diagnostics: found::diagnostics(units, only).into_iter().map(|it| it.said).collect(),
        stale: stale.iter().map(out_of_date).collect(),
    };
    // Nothing in these structs can fail to be written: no map keys, no floats.
    let mut text = serde_json::to_string_pretty(&report).unwrap_or_default();
    text.push('\n');
    clean::escaped_json(&text)
}

fn out_of_date((file, stale): &(String, Stale)) -> OutOfDate {
    let moved = stale.moved.iter().map(|it| Moved {
        build: it.build.clone(),
        joint: it.joint.clone(),
        before: it.before.clone(),
        now: it.now.clone(),
    });
    OutOfDate { file: file.clone(), moved: moved.collect() }
}

fn build(model: &Model, build: &JudgedBuild) -> Build {
    Build {
        name: model[build.build].name.text.clone(),
        fits: build.count(Verdict::Fits),
        clashes: build.count(Verdict::Clashes),
        open: build.count(Verdict::Open),
        joints: build.joints.iter().map(|it| joint(model, it)).collect(),
    }
}

fn joint(model: &Model, joint: &JudgedJoint) -> Joint {
    // Advice counts when it is given, a requirement also while it is open.
    let told = joint.findings.iter().filter(|it| it.fails || it.required);
    Joint {
        joint: joint.name.clone(),
        verdict: joint.verdict.word(),
        ports: distinct(joint.uses.iter().map(|it| it.path())),
        codes: distinct(told.map(|it| it.code.clone())),
        hangs_on: distinct(joint.hangs_on.iter().map(|it| joint.path_of(model, *it))),
    }
}

fn distinct(names: impl Iterator<Item = String>) -> Vec<String> {
    names.collect::<indexmap::IndexSet<String>>().into_iter().collect()
}

/// A diagnostic as it is written.
pub(super) fn said(files: &Files, it: &Diagnostic) -> Said {
    let label = |(span, text): (Span, &str)| label(files, span, text);
    Said {
        code: it.code.clone(),
        severity: Severity::word(it.severity),
        message: it.message.clone(),
        build: it.build.clone(),
        joint: it.joint.clone(),
        labels: it.labels.iter().map(|it| (it.span, it.text.as_str())).filter_map(label).collect(),
        help: it.help.clone(),
        fits_if: it.fits_if.iter().map(|it| Fit { fact: it.fact.clone(), values: it.values.clone() }).collect(),
        mends: it.mends.iter().map(Mended::of).collect(),
        why: it.why.clone(),
        cautions: it.cautions.clone(),
        edits: it.edits.iter().map(|it| (it.span, it.text.as_str())).filter_map(label).collect(),
    }
}

fn label(files: &Files, span: Span, text: &str) -> Option<Label> {
    let file = files.get(span.file)?;
    let place = |at: u32| At::from(file.lines().place(&file.text, at as usize));
    Some(Label { file: file.name.clone(), start: place(span.start), end: place(span.end), text: text.to_owned() })
}
