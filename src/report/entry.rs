//! What the report says of a joint: what meets in it, what was found, and what there is to do.

use crate::Compiled;
use crate::diagnose::{Diagnostic, FitsIf, Severity, remedy_line};
use crate::drawing::joint_id;
use crate::judge::{JudgedBuild, Verdict};

/// A joint.
#[derive(Clone)]
pub(super) struct Entry {
    /// Its number on this report.
    pub number: usize,
    pub verdict: Verdict,
    /// What it is.
    pub title: String,
    /// Its name in the assembly.
    pub name: String,
    /// The parts that meet in it, each with its slots.
    pub parts: Vec<Meets>,
    pub found: Vec<Found>,
}

/// A part that meets others.
#[derive(Clone)]
pub(super) struct Meets {
    pub slots: Vec<String>,
    /// Its name, or that it is not decided.
    pub part: String,
    /// What it is.
    pub description: String,
}

/// Something found of a joint.
#[derive(Clone)]
pub(super) struct Found {
    /// What is wrong, or to know, in a sentence.
    pub message: String,
    /// Only to know: no verdict hangs on it.
    pub advice: bool,
    /// Why it matters, where it stands, and what may be done, each with what it is; nothing where its words say that.
    pub lines: Vec<(&'static str, String)>,
}

impl Found {
    /// What it says, and that it is only advice.
    pub fn headline(&self) -> String {
        if self.advice { format!("to know: {}", self.message) } else { self.message.clone() }
    }

    /// Its lines, each in one piece.
    pub fn said(&self) -> impl Iterator<Item = String> {
        let with = |what: &str| if what.is_empty() { String::new() } else { format!("{what}: ") };
        self.lines.iter().map(move |(what, line)| format!("{}{line}", with(what)))
    }
}

impl Entry {
    /// What links to it lead to.
    pub fn id(&self) -> String {
        joint_id(self.number)
    }

    /// Whether there is more to say than that it fits.
    pub fn is_long(&self) -> bool {
        self.verdict != Verdict::Fits || !self.found.is_empty()
    }

    /// Its parts on one line.
    pub fn meeting(&self) -> String {
        self.parts.iter().map(|it| format!("{} = {}", it.slots.join(", "), it.part)).collect::<Vec<_>>().join("; ")
    }

    /// What is wrong or open, without what is only advice.
    pub fn messages(&self) -> Vec<&str> {
        self.found.iter().filter(|it| !it.advice).map(|it| it.message.as_str()).collect()
    }
}

/// All joints of a build, in the order of its assembly.
pub(super) fn all(unit: &Compiled, judged: &JudgedBuild) -> Vec<Entry> {
    let model = &unit.model;
    let build = &model[judged.build].name.text;
    let own: Vec<&Diagnostic> = unit.diagnostics.iter().filter(|it| it.build.as_ref() == Some(build)).collect();
    let entry = |(at, joint): (usize, &crate::judge::JudgedJoint)| {
        let mut parts: Vec<Meets> = Vec::new();
        for used in &joint.uses {
            let part = &model[used.part];
            let name = if part.undecided { "not decided".to_owned() } else { part.name.text.clone() };
            match parts.iter_mut().find(|it| it.part == name && !part.undecided) {
                Some(known) if known.slots.contains(&used.slot) => {}
                Some(known) => known.slots.push(used.slot.clone()),
                None => {
                    parts.push(Meets { slots: vec![used.slot.clone()], part: name, description: part.doc.clone() });
                }
            }
        }
        let about = own.iter().filter(|it| it.joint.as_ref() == Some(&joint.name));
        Entry {
            number: at + 1,
            verdict: joint.verdict,
            title: if joint.title.is_empty() { joint.name.clone() } else { joint.title.clone() },
            name: joint.name.clone(),
            parts,
            found: about.map(|it| found(unit, it)).collect(),
        }
    };
    judged.joints.iter().enumerate().map(entry).collect()
}

fn found(unit: &Compiled, it: &Diagnostic) -> Found {
    let mut lines = Vec::new();
    if !it.why.is_empty() {
        lines.push(("why", it.why.clone()));
    }
    for label in &it.labels {
        let Some(file) = unit.files.get(label.span.file) else { continue };
        let line = file.lines().place(&file.text, label.span.start as usize).line;
        // Without its folders: where those are is no matter of the build.
        let name = file.name.rsplit('/').next().unwrap_or_default();
        lines.push(("stands at", format!("{name}:{line}: {}", label.text)));
    }
    // Help of an open joint says itself what it is.
    let help = if it.severity == Severity::Warning { "" } else { "may" };
    lines.extend(it.help.iter().map(|it| (help, it.clone())));
    lines.extend(it.fits_if.iter().map(|it| ("fits if", fits(it))));
    lines.extend(it.mends.iter().map(|it| ("mend", remedy_line(it))));
    lines.extend(it.cautions.iter().map(|it| ("caution", it.clone())));
    Found { message: it.message.clone(), advice: it.severity == Severity::Advice, lines }
}

fn fits(it: &FitsIf) -> String {
    let so_far = if it.so_far.is_empty() { String::new() } else { format!("; {}", it.so_far) };
    format!("`{}` is {}{so_far}", it.fact, it.values.join(" or "))
}
