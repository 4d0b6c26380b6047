//! The one value that every renderer translates.

use crate::mistake::Edit;
use crate::source::Span;

/// How much a diagnostic matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// A mistake in the text, or a clash.
    Error,
    /// An open joint.
    Warning,
    /// It fits, but there is something to know.
    Advice,
}

impl Severity {
    /// Its one word, as JSON has it.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Advice => "advice",
        }
    }
}

/// A place with words.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// Where.
    pub span: Span,
    /// What stands there.
    pub text: String,
}

/// Values of one fact with which a joint fits, the other facts as they stand.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct FitsIf {
    /// The fact, by its path from the build.
    pub fact: String,
    /// Its values: stretches or names.
    pub values: Vec<String>,
    /// What stands there now, in words; empty if nothing does.
    pub so_far: String,
}

/// Parts put into slots that make a joint fit, with no new clash.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Mend {
    /// The slot and the part that goes there, for each change.
    pub changes: Vec<(String, String)>,
    /// What must be paid for it, a sum a currency; empty when there is nothing to buy, or no price is known.
    pub price: Vec<String>,
    /// Parts to buy whose price is not known.
    pub unpriced: usize,
    /// Joints that fit by it and did not before.
    pub mends: Vec<String>,
    /// Joints that are made anew.
    pub makes: Vec<String>,
    /// Joints that become open by it.
    pub opens: Vec<String>,
    /// Joints of the exchanged parts that clash as they did before.
    pub still: Vec<String>,
    /// Advice that is not followed with it and was before, by code.
    pub advises: Vec<String>,
}

/// Something to tell a person.
#[derive(Clone, Debug, PartialEq)]
pub struct Diagnostic {
    /// Its stable code.
    pub code: String,
    /// How much it matters.
    pub severity: Severity,
    /// The headline, which makes sense alone.
    pub message: String,
    /// The build it was found in.
    pub build: Option<String>,
    /// The joint it was found in.
    pub joint: Option<String>,
    /// Places, the main one first.
    pub labels: Vec<Label>,
    /// Why it matters.
    pub why: String,
    /// Ways out.
    pub help: Vec<String>,
    /// What would make the joint fit, a fact at a time.
    pub fits_if: Vec<FitsIf>,
    /// Parts that would make it fit, proven.
    pub mends: Vec<Mend>,
    /// What to beware of, in full.
    pub cautions: Vec<String>,
    /// Ways out that a machine can apply.
    pub edits: Vec<Edit>,
    /// Of an open joint: what it is and the slots that it waits for, where only parts not chosen yet keep it open.
    pub waits: Option<(String, Vec<String>)>,
}

impl Diagnostic {
    /// What there is to know and to do beyond the headline, a line each, the cautions last.
    pub fn further(&self) -> Vec<String> {
        let mut lines = Vec::new();
        if !self.why.is_empty() {
            lines.push(self.why.clone());
        }
        lines.extend(self.fits_if.iter().map(|it| format!("fits if `{}` is {}", it.fact, it.values.join(" or "))));
        lines.extend(self.mends.iter().map(|it| format!("mended by {}", put(&it.changes))));
        lines.extend(self.help.iter().map(|it| format!("help: {it}")));
        lines.extend(self.cautions.iter().map(|it| format!("caution: {it}")));
        lines
    }
}

/// `slot = part` for each change.
pub fn put(changes: &[(String, String)]) -> String {
    let all: Vec<String> = changes.iter().map(|(slot, part)| format!("`{slot} = {part}`")).collect();
    all.join(" and ")
}
