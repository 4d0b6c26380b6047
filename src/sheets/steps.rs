//! Steps of a conversion: what is taken apart and in which order, what is prepared, how all is put together, what is
//! checked before the first use, what is tightened again after it, and what is left alone or left over.

mod bags;
mod card;
mod data;
mod groups;
mod needs;
mod page;
mod parts;
mod plan;
mod rows;

pub(in crate::sheets) use page::blocks;

use super::bill::{self, Consumable, Gap, JointCounts, Line};
use super::cautions::{self, Caution};
use super::torque::{self, Row, Unsettled};
use super::{Format, render};
use crate::judge::{self, Conversion, JudgedBuild, Todo, Verdict};
use crate::model::{Model, Pieces, Task};

/// The steps of one build.
#[derive(Clone, Debug)]
pub struct Steps {
    /// The build's name.
    pub build: String,
    /// What it is.
    pub description: String,
    /// The name of the build that it comes from.
    pub from: Option<String>,
    /// How many of its joints fit, clash and are open.
    pub joints: JointCounts,
    /// Joints that clash, then those that are open; those that are no handwork too.
    pub unsettled: Vec<Unsettled>,
    /// Every caution of the whole thing and of its steps, once: those of most steps first.
    pub cautions: Vec<Caution>,
    /// Photographs to take before anything is taken apart.
    pub photographs: Vec<Photograph>,
    /// What holds for all that is taken apart: what is kept together, what helps when something does not move.
    pub throughout: Vec<Todo>,
    /// Tools, in the order in which they are needed first.
    pub tools: Vec<ToolUse>,
    /// Pieces that come in: to be bought, from the bin, from the donor, without a source.
    pub comes: Vec<Line>,
    /// Slots that hold no known part.
    pub gaps: Vec<Gap>,
    /// What the joints that are made use up.
    pub uses_up: Vec<Consumable>,
    /// All steps in their order: strip-down, preparation, assembly, checks, tightening again. Their numbers are 1 and on.
    pub steps: Vec<Step>,
    /// Joints made by hand that are left alone.
    pub untouched: Vec<Untouched>,
    /// Pieces of the build it comes from that have no place in this one.
    pub left_over: Vec<LeftOver>,
}

/// The part of the work that a step belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Section {
    /// Taking apart.
    Strip,
    /// Work on parts before they are put together.
    Ready,
    /// Putting together.
    Assemble,
    /// Checks before the first use.
    Proof,
    /// Tightening again after it.
    Again,
}

impl Section {
    /// All of them, in the order of the work.
    pub const ALL: [Section; 5] = [Section::Strip, Section::Ready, Section::Assemble, Section::Proof, Section::Again];

    /// Its word for programs.
    pub fn word(self) -> &'static str {
        match self {
            Section::Strip => "strip_down",
            Section::Ready => "preparation",
            Section::Assemble => "assembly",
            Section::Proof => "check",
            Section::Again => "tighten_again",
        }
    }
}

/// One step.
#[derive(Clone, Debug)]
pub struct Step {
    /// What part of the work it belongs to.
    pub section: Section,
    /// Its group within the section, from 1. Steps of a group don't need each other; all that they need stands in the
    /// groups before.
    pub group: usize,
    /// Joints that it is about, by their names in the assembly; none when it is about the whole.
    pub joints: Vec<String>,
    /// What it is about, in words.
    pub title: String,
    /// The verdict of the joint that is put together.
    pub verdict: Option<Verdict>,
    /// What is wrong with that joint, or what it hangs on.
    pub reasons: Vec<String>,
    /// Whether it is surely to be done; otherwise it hangs on facts that are not known.
    pub certain: bool,
    /// The parts that meet.
    pub parts: Vec<Piece>,
    /// All parts of a joint that is taken apart are left over, so that it may as well stay together.
    pub may_stay: bool,
    /// Steps that a joint which stays is taken apart for, by their numbers.
    pub to_get_at: Vec<usize>,
    /// The step in which a joint that stays was taken apart, or in which it is made again.
    pub counterpart: Option<usize>,
    /// What is done.
    pub how: Vec<Todo>,
    /// What is loosened or tightened.
    pub fastenings: Vec<Row>,
    /// What to do when it does not move.
    pub seized: Vec<Todo>,
    /// Photographs to take first.
    pub photographs: Vec<Todo>,
    /// What is kept together.
    pub bags: Vec<Bag>,
    /// What becomes of the parts that come off in this step.
    pub becomes: Vec<Becomes>,
    /// Bags that are emptied, by their numbers, with the steps in which they were filled.
    pub from_bags: Vec<(usize, usize)>,
    /// What is used up.
    pub uses_up: Vec<String>,
    /// What is cut to length.
    pub cuts: Vec<String>,
    /// Numbers of its cautions on this sheet, rising.
    pub cautions: Vec<usize>,
    /// Steps right before it that must be done first, by their numbers.
    pub needs: Vec<usize>,
    /// It comes when all else is put together.
    pub after_all: bool,
}

/// A part in its slot, as a step meets it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// Its slot.
    pub slot: String,
    /// Its name; none while it is not decided.
    pub part: Option<String>,
    /// What it is.
    pub description: String,
    /// Whether the joint joins it; otherwise it only bears on the joint, and is held by others.
    pub joined: bool,
    /// Whether it comes in with this conversion.
    pub comes: bool,
    /// Slots that it stood in before, if it comes from another.
    pub moved_from: Vec<String>,
}

/// Things that are kept together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bag {
    /// Its number on this sheet.
    pub number: usize,
    /// What goes into it.
    pub text: String,
    /// Whether it is surely needed.
    pub certain: bool,
    /// Steps in which it is emptied; none if it goes with what is left over.
    pub emptied: Vec<usize>,
    /// Whether all parts of its joint stay; otherwise some of what is in it may go with those that don't.
    pub whole: bool,
}

/// What becomes of a part that comes off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Becomes {
    /// The part, in the slots that it leaves.
    pub piece: Piece,
    /// Its slots.
    pub slots: Vec<String>,
    /// Whether it is left over, in whole or in part.
    pub left_over: bool,
    /// Slots that it goes to, if these are others.
    pub moves_to: Vec<String>,
    /// The step in which it goes on again.
    pub goes_on: Option<usize>,
}

/// A photograph to take.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Photograph {
    /// Of what.
    pub text: String,
    /// What it belongs to, in words; empty for the whole.
    pub of: String,
    /// Whether it is surely needed.
    pub certain: bool,
    /// The step before which it is taken.
    pub step: Option<usize>,
}

/// A tool with the steps that need it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ToolUse {
    /// The tool.
    pub tool: String,
    /// Steps, by their numbers.
    pub steps: Vec<usize>,
}

/// A joint made by hand that is left alone.
#[derive(Clone, Debug)]
pub struct Untouched {
    /// Its name in the assembly.
    pub joint: String,
    /// What it is.
    pub title: String,
    /// Its verdict.
    pub verdict: Verdict,
    /// What is wrong with it, or what it hangs on.
    pub reasons: Vec<String>,
    /// Its parts.
    pub parts: Vec<Piece>,
    /// Its fastenings, which may be checked.
    pub fastenings: Vec<Row>,
    /// Checks.
    pub proofs: Vec<Todo>,
}

/// Pieces that are left over.
#[derive(Clone, Debug)]
pub struct LeftOver {
    /// The part, with the slots that it stood in.
    pub line: Line,
    /// Steps in which it comes off; none if nothing that is made by hand holds it.
    pub steps: Vec<usize>,
}

impl Steps {
    /// Makes the steps of a judged build.
    pub fn of(model: &Model, judged: &JudgedBuild) -> Steps {
        let build = &model[judged.build];
        let base = build.from.map(|base| judge::judge_one(model, base));
        let conversion = Conversion::of(model, base.as_ref(), judged);
        let planned = plan::of(model, base.as_ref(), judged, &conversion);
        let whole = judge::whole_cautions(model, judged.build);
        let (cautions, numbers) = cautions::numbered(model, &whole, &planned.cautions);
        let mut steps = planned.steps;
        steps.iter_mut().zip(numbers).for_each(|(step, numbers)| step.cautions = numbers);
        let mut unsettled: Vec<Unsettled> =
            judged.joints.iter().filter_map(|joint| torque::unsettled(model, joint)).collect();
        unsettled.sort_by_key(|it| std::cmp::Reverse(it.verdict));
        let undecided: Vec<Pieces> =
            model.pieces(judged.build).into_iter().filter(|it| model[it.part].undecided).collect();
        let left_over = build.from.map(|base| bill::left_over(model, base, &conversion)).unwrap_or_default();
        Steps {
            build: build.name.text.clone(),
            description: build.doc.clone(),
            from: build.from.map(|base| model[base].name.text.clone()),
            joints: JointCounts::of(judged),
            unsettled,
            cautions,
            photographs: planned.photographs,
            throughout: planned.throughout,
            tools: tools(&steps),
            comes: parts::comes(model, judged.build, &conversion),
            gaps: bill::gaps(model, judged.build, &undecided),
            uses_up: bill::consumables(model, judged, Some(&conversion)),
            untouched: plan::untouched(model, judged, &conversion),
            left_over: left_over.into_iter().map(|line| LeftOver { steps: came_off(&steps, &line), line }).collect(),
            steps,
        }
    }

    /// The steps of a section, with their numbers.
    pub fn section(&self, section: Section) -> impl Iterator<Item = (usize, &Step)> {
        self.steps.iter().enumerate().filter(move |(_, it)| it.section == section).map(|(at, it)| (at + 1, it))
    }
}

/// Sheets of several builds in one format.
pub fn render(sheets: &[Steps], format: Format) -> String {
    let page = || sheets.iter().flat_map(page::blocks).collect::<Vec<_>>();
    match format {
        Format::Text => render::text(&page()),
        Format::Markdown => render::markdown(&page()),
        Format::Csv => rows::csv(sheets),
        Format::Json => data::json(sheets),
    }
}

impl Step {
    /// Everything that it says is to be done.
    fn todos(&self) -> impl Iterator<Item = &Todo> {
        self.photographs.iter().chain(&self.how).chain(&self.seized)
    }

    /// The tools that it names, each once.
    fn tools(&self) -> Vec<&str> {
        let fastenings = self.fastenings.iter().filter(|it| !it.by_hand_alone()).map(|it| it.tool.as_str());
        let mut found: Vec<&str> = Vec::new();
        for tool in self.todos().map(|it| it.tool.as_str()).chain(fastenings) {
            if !tool.is_empty() && !found.contains(&tool) {
                found.push(tool);
            }
        }
        found
    }
}

fn tools(steps: &[Step]) -> Vec<ToolUse> {
    let mut found: Vec<ToolUse> = Vec::new();
    for (at, step) in steps.iter().enumerate() {
        for tool in step.tools() {
            match found.iter_mut().find(|it| it.tool == tool) {
                Some(known) => known.steps.push(at + 1),
                None => found.push(ToolUse { tool: tool.to_owned(), steps: vec![at + 1] }),
            }
        }
    }
    found
}

fn came_off(steps: &[Step], line: &Line) -> Vec<usize> {
    let off = |step: &Step| step.becomes.iter().any(|it| it.left_over && it.piece.part.as_ref() == Some(&line.part));
    steps.iter().enumerate().filter(|(_, step)| off(step)).map(|(at, _)| at + 1).collect()
}

/// Those of some works that are for one thing.
fn of_task(all: &[Todo], task: Task) -> Vec<Todo> {
    all.iter().filter(|it| it.task == task).cloned().collect()
}
