//! Torque sheet: every fastening of a build, with the range that suits the joint and what is printed on its parts.

use super::bill::JointCounts;
use super::{Format, cautions, render, torque_data, torque_page};
use crate::judge::{self, Conversion, JudgedBuild, JudgedFastening, JudgedJoint, Made, TorqueRange, Verdict};
use crate::model::{FactId, Model};
use crate::syntax::tree::Source;

pub use super::cautions::Caution;

/// The torque sheet of one build.
#[derive(Clone, Debug)]
pub struct TorqueSheet {
    /// The build's name.
    pub build: String,
    /// What it is.
    pub description: String,
    /// The name of the build that it comes from.
    pub from: Option<String>,
    /// How many of its joints fit, clash and are open.
    pub joints: JointCounts,
    /// Joints that clash, then those that are open; those without a fastening too.
    pub unsettled: Vec<Unsettled>,
    /// A row a fastening: of a conversion, those of joints that are made, then those that are left alone; in the order
    /// of the assembly's joints within each.
    pub rows: Vec<Row>,
    /// Every caution of the whole thing and of its rows, once: those of most rows first.
    pub cautions: Vec<Caution>,
}

/// A joint that clashes or is open.
#[derive(Clone, Debug)]
pub struct Unsettled {
    /// What it is.
    pub joint: String,
    /// Clashes, or is open.
    pub verdict: Verdict,
    /// What is wrong, or what it hangs on.
    pub reasons: Vec<String>,
}

/// A fastening.
#[derive(Clone, Debug)]
pub struct Row {
    /// The joint's name in the assembly.
    pub joint: String,
    /// What the joint is.
    pub title: String,
    /// The joint's verdict.
    pub verdict: Verdict,
    /// What a conversion does with the joint; none where that is no matter of this row.
    pub work: Option<Work>,
    /// What an open joint hangs on, as paths from the build.
    pub hangs_on: Vec<String>,
    /// Its parts with their slots, each once.
    pub parts: Vec<Joined>,
    /// What the fastening is.
    pub fastening: String,
    /// Whether the joint is surely made this way.
    pub certain: bool,
    /// The thread.
    pub thread: String,
    /// The tool.
    pub tool: String,
    /// How tight.
    pub torque: Torque,
    /// The range of the joint alone, in N·mm.
    pub joint_torque: Option<TorqueRange>,
    /// The joint's own range hangs on facts that are not known.
    pub unsure: bool,
    /// What is printed on its parts, or may be.
    pub printed: Vec<PrintedLimit>,
    /// Tightened to the left, anticlockwise.
    pub left: bool,
    /// Preparation.
    pub prepare: String,
    /// What must be done before.
    pub before: String,
    /// Tightened again after the first use.
    pub settles: bool,
    /// Numbers of its cautions on this sheet, rising.
    pub cautions: Vec<usize>,
    /// Where its figures are from, with the standing of the source first.
    pub sources: Vec<String>,
}

/// What becomes of a joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Work {
    /// It is made new.
    New,
    /// It was there, is taken apart on the way to another, and is made again.
    Again,
    /// It is left alone, and only looked at.
    Untouched,
}

impl Work {
    /// Of a joint of the finished build, by its number.
    fn of(conversion: &Conversion, joint: usize) -> Option<Work> {
        Some(match conversion.after.get(joint)?.origin {
            Made::New => Work::New,
            Made::Again(_) => Work::Again,
            Made::Untouched(_) => Work::Untouched,
        })
    }

    /// Its one word, for programs.
    pub(super) fn word(self) -> &'static str {
        match self {
            Work::New => "made_new",
            Work::Again => "made_again",
            Work::Untouched => "untouched",
        }
    }
}

/// A part that a joint joins.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Joined {
    /// Its slot.
    pub slot: String,
    /// Its name; none while it is not decided.
    pub part: Option<String>,
}

/// How tight a fastening is made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Torque {
    /// Within this range, in N·mm.
    Range(TorqueRange),
    /// By hand.
    ByHand,
    /// By the figure of its maker: none is known here.
    MakersFigure,
    /// Not known yet: it hangs on facts that are not.
    NotKnown,
    /// No torque suits both the joint and what is printed.
    Conflict,
    /// Not at all: the joint clashes.
    Withheld,
}

/// A limit printed on a part.
#[derive(Clone, Debug, PartialEq)]
pub struct PrintedLimit {
    /// The part that it is printed on; the slot, while the part is not decided.
    pub on: String,
    /// Its fact, as a path from the build.
    pub path: String,
    /// What it allows, in N·mm; none while nobody has read it.
    pub range: Option<TorqueRange>,
}

impl Row {
    /// Whether it wants a hand, no torque and nothing else.
    pub fn by_hand_alone(&self) -> bool {
        self.torque == Torque::ByHand && self.tool == "hand"
    }

    /// Whether it has a thread or wants a tool or a torque: it does not let go by itself.
    pub fn is_held(&self) -> bool {
        self.torque != Torque::ByHand || !self.thread.is_empty() || !self.tool.is_empty()
    }
}

impl TorqueSheet {
    /// Makes the sheet of a judged build.
    pub fn of(model: &Model, judged: &JudgedBuild) -> TorqueSheet {
        let from = model[judged.build].from;
        let base = from.map(|base| judge::judge_one(model, base));
        let conversion = base.as_ref().map(|base| Conversion::of(model, Some(base), judged));
        let mut made: Vec<(Row, Vec<String>)> = Vec::new();
        for (number, joint) in judged.joints.iter().enumerate() {
            let work = conversion.as_ref().and_then(|it| Work::of(it, number));
            for fastening in &judge::making(model, judged.build, joint).fastenings {
                made.push((Row { work, ..row(model, joint, fastening) }, fastening.cautions.clone()));
            }
        }
        made.sort_by_key(|(row, _)| row.work == Some(Work::Untouched));
        let (mut rows, named): (Vec<Row>, Vec<Vec<String>>) = made.into_iter().unzip();
        let whole = judge::whole_cautions(model, judged.build);
        let (cautions, numbers) = cautions::numbered(model, &whole, &named);
        rows.iter_mut().zip(numbers).for_each(|(row, numbers)| row.cautions = numbers);
        let mut unsettled: Vec<Unsettled> = judged.joints.iter().filter_map(|joint| unsettled(model, joint)).collect();
        unsettled.sort_by_key(|it| std::cmp::Reverse(it.verdict));
        TorqueSheet {
            build: model[judged.build].name.text.clone(),
            description: model[judged.build].doc.clone(),
            from: from.map(|base| model[base].name.text.clone()),
            joints: JointCounts::of(judged),
            unsettled,
            rows,
            cautions,
        }
    }
}

/// Sheets of several builds in one format.
pub fn render(sheets: &[TorqueSheet], format: Format) -> String {
    let page = || sheets.iter().flat_map(torque_page::blocks).collect::<Vec<_>>();
    match format {
        Format::Text => render::text(&page()),
        Format::Markdown => render::markdown(&page()),
        Format::Csv => torque_data::csv(sheets),
        Format::Json => torque_data::json(sheets),
    }
}

pub(super) fn title_of(joint: &JudgedJoint) -> &str {
    if joint.title.is_empty() { &joint.name } else { &joint.title }
}

pub(super) fn hangs_on(model: &Model, joint: &JudgedJoint) -> Vec<String> {
    let mut paths: Vec<String> = Vec::new();
    for fact in &joint.hangs_on {
        let path = joint.path_of(model, *fact);
        if !paths.contains(&path) {
            paths.push(path);
        }
    }
    paths
}

pub(super) fn unsettled(model: &Model, joint: &JudgedJoint) -> Option<Unsettled> {
    let reasons = match joint.verdict {
        Verdict::Fits => return None,
        Verdict::Open => hangs_on(model, joint),
        Verdict::Clashes => {
            let failing = joint.findings.iter().filter(|it| it.required && it.fails);
            failing.map(|it| it.message.clone()).collect()
        }
    };
    Some(Unsettled { joint: title_of(joint).to_owned(), verdict: joint.verdict, reasons })
}

/// A fastening of a joint; its cautions have no numbers yet.
pub(super) fn row(model: &Model, joint: &JudgedJoint, fastening: &JudgedFastening) -> Row {
    let mut parts: Vec<Joined> = Vec::new();
    for used in &joint.uses {
        let part = &model[used.part];
        let one = Joined { slot: used.slot.clone(), part: (!part.undecided).then(|| part.name.text.clone()) };
        if !parts.contains(&one) {
            parts.push(one);
        }
    }
    let printed = fastening.printed.iter().map(|it| {
        let fact = it.trail.first().copied();
        PrintedLimit {
            on: fact.map_or(it.path.clone(), |fact| printed_on(model, joint, fact)),
            path: fact.map_or(it.path.clone(), |fact| joint.path_of(model, fact)),
            range: it.range,
        }
    });
    let torque = match fastening.torque {
        _ if joint.verdict == Verdict::Clashes && !fastening.conflict => Torque::Withheld,
        _ if fastening.conflict => Torque::Conflict,
        Some(range) => Torque::Range(range),
        None if fastening.unsure => Torque::NotKnown,
        None if fastening.by_hand => Torque::ByHand,
        None => Torque::MakersFigure,
    };
    let sources = fastening.sources.iter().map(source_words);
    Row {
        joint: joint.name.clone(),
        title: title_of(joint).to_owned(),
        verdict: joint.verdict,
        work: None,
        hangs_on: hangs_on(model, joint),
        parts,
        fastening: fastening.title.clone(),
        certain: fastening.certain,
        thread: fastening.thread.clone(),
        tool: fastening.tool.clone(),
        torque,
        joint_torque: fastening.joint_torque,
        unsure: fastening.unsure,
        printed: printed.collect(),
        left: fastening.left,
        prepare: fastening.prepare.clone(),
        before: fastening.before.clone(),
        settles: fastening.settles,
        cautions: Vec::new(),
        sources: sources.collect(),
    }
}

/// Where something is from, with how sure that is first.
pub(super) fn source_words(it: &Source) -> String {
    match &it.text {
        Some(text) => format!("{}: {}", it.standing.text, text.text),
        None => it.standing.text.clone(),
    }
}

/// The name of the part that a fact is printed on; its slot while it is not decided.
fn printed_on(model: &Model, joint: &JudgedJoint, fact: FactId) -> String {
    match model.facts.get(fact).and_then(|it| it.part) {
        Some(part) => model[part].name.text.clone(),
        None => joint.path_of(model, fact),
    }
}

/// One in·lb, in N·mm: 25.4 mm times the weight of an international pound.
const INCH_POUND: f64 = 25.4 * 0.453_592_37 * 9.806_65;

/// The ends of a range in N·m, to two decimals, and in in·lb, whole where the range is wide enough for that, to one
/// decimal otherwise. Ends are rounded inwards, so that no figure on the sheet lies outside of what is allowed; only a
/// range too narrow for that is rounded to the nearest.
pub fn in_units(range: TorqueRange) -> [(f64, f64); 2] {
    [rounded(range, 1000.0, &[100.0]), rounded(range, INCH_POUND, &[1.0, 10.0])]
}

fn rounded(range: TorqueRange, unit: f64, steps: &[f64]) -> (f64, f64) {
    // What was written in a unit must come back as written, in spite of the last bits of its factor.
    const SLACK: f64 = 1e-6;
    let (low, high) = (range.low / unit, range.high / unit);
    let mut nearest = (low, high);
    for step in steps {
        let ends = ((low * step - SLACK).ceil() / step, (high * step + SLACK).floor() / step);
        if ends.0 <= ends.1 {
            return ends;
        }
        nearest = ((low * step).round() / step, (high * step).round() / step);
    }
    nearest
}
