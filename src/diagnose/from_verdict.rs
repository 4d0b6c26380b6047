//! A judged build as diagnostics: a clash and a piece of advice each, an open joint as one.
//!
//! What there is to do about an open joint is worded here in full: which rules are not decided, and how to find out what
//! they hang on.

use super::ways_out::WaysOut;
use super::{Diagnostic, Label, Severity};
use crate::judge::{Finding, JudgedBuild, JudgedJoint, Verdict};
use crate::model::{BuildId, FactId, FactInfo, Model, State};

/// What is found of a build; the ways out are of its joints that don't fit, in order.
pub(super) fn diagnostics(model: &Model, build: &JudgedBuild, ways_out: Vec<WaysOut>) -> Vec<Diagnostic> {
    let name = &model[build.build].name.text;
    let mut all: Vec<Diagnostic> = Vec::new();
    let mut ways_out = ways_out.into_iter();
    for joint in &build.joints {
        for finding in joint.findings.iter().filter(|it| it.fails) {
            all.push(failing(model, name, joint, finding));
        }
        if joint.verdict == Verdict::Fits {
            continue;
        }
        if joint.verdict == Verdict::Open {
            all.push(open(model, build.build, joint));
        }
        // The last of a joint's clashes tells what would make the whole joint fit.
        if let (Some(ways_out), Some(last)) =
            (ways_out.next(), all.iter_mut().rfind(|it| matches!(it.severity, Severity::Error | Severity::Warning)))
        {
            last.fits_if = ways_out.fits_if;
            last.mends = ways_out.mends;
        }
    }
    // What is not there can't be pointed at: then the build that lacks it is.
    for it in all.iter_mut().filter(|it| it.labels.is_empty()) {
        it.labels.push(Label { span: model[build.build].name.span, text: "in this build".to_owned() });
    }
    all
}

fn failing(model: &Model, build: &str, joint: &JudgedJoint, finding: &Finding) -> Diagnostic {
    Diagnostic {
        code: finding.code.clone(),
        severity: if finding.required { Severity::Error } else { Severity::Advice },
        message: finding.message.clone(),
        build: Some(build.to_owned()),
        joint: Some(joint.name.clone()),
        labels: labels(model, joint, &finding.trail),
        why: finding.why.clone(),
        help: finding.may.clone(),
        fits_if: Vec::new(),
        mends: Vec::new(),
        cautions: cautions(model, finding.cautions.iter().chain(&joint.cautions)),
        edits: Vec::new(),
        waits: None,
    }
}

/// Rules of an open joint that are told one by one; more are only named.
const TOLD: usize = 4;
/// Facts that a headline names, at most.
const NAMED: usize = 4;

fn open(model: &Model, build: BuildId, joint: &JudgedJoint) -> Diagnostic {
    let undecided: Vec<&Finding> = joint.findings.iter().filter(|it| it.required && !it.fails).collect();
    let mut help = rules(&undecided);
    for fact in &joint.hangs_on {
        if let Some(how) = how_to_know(model, *fact) {
            help.push(format!("find out `{}`: {how}", joint.path_of(model, *fact)));
        }
    }
    let title = if joint.title.is_empty() { &joint.name } else { &joint.title };
    let slots: Option<Vec<String>> = joint.hangs_on.iter().map(|fact| not_chosen(model, *fact)).collect();
    let waits = slots.map(|slots| (title.clone(), slots));
    Diagnostic {
        code: "joint.open".to_owned(),
        severity: Severity::Warning,
        message: format!("{title}: hangs on {}", facts(model, joint)),
        build: Some(model[build].name.text.clone()),
        joint: Some(joint.name.clone()),
        labels: labels(model, joint, &joint.hangs_on),
        why: String::new(),
        help,
        fits_if: Vec::new(),
        mends: Vec::new(),
        cautions: cautions(model, undecided.iter().flat_map(|it| &it.cautions)),
        edits: Vec::new(),
        waits,
    }
}

/// The slot that a fact stands for, if what is not known is which part stands there.
fn not_chosen(model: &Model, fact: FactId) -> Option<String> {
    let info = model.facts.get(fact)?;
    (info.part.is_none() && info.declared.is_none() && info.state == State::Unknown).then(|| info.path.clone())
}

/// The rules that are not decided, in words.
fn rules(undecided: &[&Finding]) -> Vec<String> {
    let told = if undecided.len() > TOLD { TOLD - 1 } else { TOLD };
    let mut lines: Vec<String> = Vec::new();
    for finding in undecided.iter().take(told) {
        let lean = match finding.lean {
            Some(true) => "; if your estimate is true, it holds",
            Some(false) => "; if your estimate is true, it does not hold",
            None => "",
        };
        lines.push(format!("not decided: {} (`{}`){lean}", finding.title, finding.code));
    }
    let named: Vec<String> = undecided.iter().skip(told).map(|it| format!("`{}`", it.code)).collect();
    if !named.is_empty() {
        lines.push(format!("nor are {}", named.join(", ")));
    }
    lines
}

/// What a joint hangs on, for a headline.
fn facts(model: &Model, joint: &JudgedJoint) -> String {
    let mut paths: Vec<String> =
        joint.hangs_on.iter().map(|fact| format!("`{}`", joint.path_of(model, *fact))).collect();
    let more = if paths.len() > NAMED { paths.len() + 1 - NAMED } else { 0 };
    paths.truncate(paths.len() - more);
    if more > 0 {
        return format!("{} and {more} more facts", paths.join(", "));
    }
    match paths.pop() {
        Some(last) if !paths.is_empty() => format!("{} and {last}", paths.join(", ")),
        last => last.unwrap_or_default(),
    }
}

/// How a fact is measured or told, with the tool where that is not said.
fn how_to_know(model: &Model, fact: FactId) -> Option<String> {
    let declared = &model[model.facts.get(fact)?.declared?];
    let measure = declared.about.measure.as_ref()?;
    Some(match &declared.about.tool {
        Some(tool) if !measure.contains(tool.as_str()) => format!("{measure} ({tool})"),
        _ => measure.clone(),
    })
}

fn labels(model: &Model, joint: &JudgedJoint, trail: &[FactId]) -> Vec<Label> {
    let mut labels: Vec<Label> = Vec::new();
    // What is simply not there says nothing beside what is.
    let infos = || trail.iter().filter_map(|fact| Some((*fact, model.facts.get(*fact)?)));
    let only_absent = infos().all(|(_, info)| info.state == State::Absent);
    for (fact, info) in infos().filter(|(_, info)| only_absent || info.state != State::Absent) {
        // A field's own place says more than that of the whole value around it.
        let covered = infos().any(|(_, other)| is_field_of(other, info));
        if covered || info.span.file.0 == u32::MAX {
            continue;
        }
        let label = Label { span: info.span, text: label_text(model, joint, fact, info) };
        match labels.iter_mut().find(|it| it.span == label.span) {
            Some(same) => {
                same.text.push_str("; ");
                same.text.push_str(&label.text);
            }
            None => labels.push(label),
        }
    }
    labels
}

fn is_field_of(field: &FactInfo, whole: &FactInfo) -> bool {
    field.part == whole.part && field.path.strip_prefix(&whole.path).is_some_and(|rest| rest.starts_with('.'))
}

fn label_text(model: &Model, joint: &JudgedJoint, fact: FactId, info: &FactInfo) -> String {
    let path = joint.path_of(model, fact);
    let of = info.part.map_or(String::new(), |part| format!(" of {}", model[part].name.text));
    match info.state {
        State::Given => format!("`{path}`{of}"),
        State::Estimated => format!("`{path}`{of}, an estimate"),
        State::Unknown if info.part.is_none() => format!("`{path}` is not decided"),
        State::Unknown => format!("`{path}`{of} is not known"),
        State::Missing | State::Absent => format!("`{path}`{of} is not given"),
        State::Default => format!("`{path}`{of}: {} by default", info.written),
    }
}

fn cautions<'c>(model: &Model, names: impl Iterator<Item = &'c String>) -> Vec<String> {
    let mut texts: Vec<String> = Vec::new();
    for name in names {
        if let Some(caution) = model.cautions.get(name)
            && !texts.contains(&caution.text)
        {
            texts.push(caution.text.to_string());
        }
    }
    texts
}
