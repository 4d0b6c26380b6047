//! Steps for programs: JSON as `cotter.steps/1`.

use super::{Bag, Becomes, LeftOver, Photograph, Piece, Section, Step, Steps, ToolUse, Untouched};
use crate::judge::{Todo, Verdict};
use crate::model::Stock;
use crate::sheets::bill::Line;
use crate::sheets::bill_page::needed_words;
use crate::sheets::render;
use crate::sheets::torque::{self, Row};
use crate::sheets::torque_data::{CautionData, JointsData, RowData, UnsettledData};
use crate::sheets::torque_data::{cautions_data, joints_data, row_data, unsettled_data};
use serde::Serialize;

#[derive(Serialize)]
struct Sheet<'s> {
    schema: &'static str,
    builds: Vec<SheetData<'s>>,
}

#[derive(Serialize)]
struct SheetData<'s> {
    build: &'s str,
    description: &'s str,
    from: Option<&'s str>,
    joints: JointsData,
    unsettled: Vec<UnsettledData<'s>>,
    cautions: Vec<CautionData<'s>>,
    photographs: Vec<PhotographData<'s>>,
    throughout: Vec<TodoData<'s>>,
    tools: Vec<ToolData<'s>>,
    parts_in: Vec<LineData<'s>>,
    gaps: Vec<GapData<'s>>,
    used_up: Vec<UsedData<'s>>,
    steps: Vec<StepData<'s>>,
    untouched: Vec<UntouchedData<'s>>,
    left_over: Vec<LineData<'s>>,
}

#[derive(Serialize)]
struct PhotographData<'s> {
    text: &'s str,
    of: &'s str,
    certain: bool,
    step: Option<usize>,
}

#[derive(Serialize)]
struct ToolData<'s> {
    tool: &'s str,
    steps: &'s [usize],
}

#[derive(Serialize)]
struct LineData<'s> {
    quantity: u32,
    part: &'s str,
    description: &'s str,
    kind: &'s str,
    slots: &'s [String],
    source: Option<&'static str>,
    note: &'s str,
    #[serde(skip_serializing_if = "Option::is_none")]
    steps: Option<&'s [usize]>,
}

#[derive(Serialize)]
struct GapData<'s> {
    slot: &'s str,
    description: &'s str,
    kinds: &'s [String],
    undecided: bool,
}

#[derive(Serialize)]
struct UsedData<'s> {
    what: &'s str,
    quantity: String,
    joints: &'s [String],
}

#[derive(Serialize)]
struct TodoData<'s> {
    task: &'static str,
    text: &'s str,
    tool: &'s str,
    certain: bool,
    notes: &'s [String],
    sources: Vec<String>,
}

#[derive(Serialize)]
struct PieceData<'s> {
    slot: &'s str,
    part: Option<&'s str>,
    description: &'s str,
    joined: bool,
    comes_in: bool,
    moved_from: &'s [String],
}

#[derive(Serialize)]
struct LoosenData<'s> {
    fastening: &'s str,
    thread: &'s str,
    tool: &'s str,
    loosens: &'static str,
    certain: bool,
}

#[derive(Serialize)]
struct BagData<'s> {
    bag: usize,
    text: &'s str,
    certain: bool,
    emptied_in: &'s [usize],
    whole: bool,
}

#[derive(Serialize)]
struct FromBagData {
    bag: usize,
    filled_in: usize,
}

#[derive(Serialize)]
struct BecomesData<'s> {
    part: Option<&'s str>,
    description: &'s str,
    slots: &'s [String],
    left_over: bool,
    moves_to: &'s [String],
    goes_on_in: Option<usize>,
}

#[derive(Serialize)]
struct StepData<'s> {
    no: usize,
    section: &'static str,
    group: usize,
    needs: &'s [usize],
    joints: &'s [String],
    title: &'s str,
    certain: bool,
    verdict: Option<&'static str>,
    reasons: &'s [String],
    may_stay: bool,
    to_get_at: &'s [usize],
    counterpart: Option<usize>,
    after_all: bool,
    parts: Vec<PieceData<'s>>,
    photographs: Vec<TodoData<'s>>,
    how: Vec<TodoData<'s>>,
    loosen: Vec<LoosenData<'s>>,
    fasten: Vec<RowData<'s>>,
    if_seized: Vec<TodoData<'s>>,
    bags_filled: Vec<BagData<'s>>,
    bags_emptied: Vec<FromBagData>,
    becomes: Vec<BecomesData<'s>>,
    uses_up: &'s [String],
    cuts: &'s [String],
    cautions: &'s [usize],
}

#[derive(Serialize)]
struct UntouchedData<'s> {
    joint: &'s str,
    title: &'s str,
    verdict: &'static str,
    reasons: &'s [String],
    parts: Vec<PieceData<'s>>,
    fastened: Vec<RowData<'s>>,
    checks: Vec<TodoData<'s>>,
}

/// All sheets as JSON text.
pub(super) fn json(sheets: &[Steps]) -> String {
    render::json(&Sheet { schema: "cotter.steps/1", builds: sheets.iter().map(sheet_data).collect() })
}

fn sheet_data(sheet: &Steps) -> SheetData<'_> {
    let used = sheet.uses_up.iter().filter_map(|it| {
        let new = it.new.filter(|it| !it.is_nothing())?;
        Some(UsedData { what: &it.what, quantity: needed_words(&new, it.dimension), joints: &it.joints })
    });
    SheetData {
        build: &sheet.build,
        description: &sheet.description,
        from: sheet.from.as_deref(),
        joints: joints_data(&sheet.joints),
        unsettled: unsettled_data(&sheet.unsettled),
        cautions: cautions_data(&sheet.cautions),
        photographs: sheet.photographs.iter().map(photograph).collect(),
        throughout: todos(&sheet.throughout),
        tools: sheet.tools.iter().map(|ToolUse { tool, steps }| ToolData { tool, steps }).collect(),
        parts_in: sheet.comes.iter().map(|it| line(it, None)).collect(),
        gaps: sheet
            .gaps
            .iter()
            .map(|it| GapData {
                slot: &it.slot,
                description: &it.description,
                kinds: &it.kinds,
                undecided: it.undecided,
            })
            .collect(),
        used_up: used.collect(),
        steps: sheet.steps.iter().enumerate().map(|(at, it)| step(at + 1, it)).collect(),
        untouched: sheet.untouched.iter().map(untouched).collect(),
        left_over: sheet.left_over.iter().map(|LeftOver { line: it, steps }| line(it, Some(steps))).collect(),
    }
}

fn photograph(it: &Photograph) -> PhotographData<'_> {
    PhotographData { text: &it.text, of: &it.of, certain: it.certain, step: it.step }
}

fn line<'s>(it: &'s Line, steps: Option<&'s [usize]>) -> LineData<'s> {
    LineData {
        quantity: it.quantity,
        part: &it.part,
        description: &it.description,
        kind: &it.kind,
        slots: &it.slots,
        source: it.source.map(Stock::word),
        note: &it.note,
        steps,
    }
}

fn todos(all: &[Todo]) -> Vec<TodoData<'_>> {
    all.iter()
        .map(|it| TodoData {
            task: it.task.word(),
            text: &it.text,
            tool: &it.tool,
            certain: it.certain,
            notes: &it.notes,
            sources: it.sources.iter().map(torque::source_words).collect(),
        })
        .collect()
}

fn pieces(all: &[Piece]) -> Vec<PieceData<'_>> {
    all.iter()
        .map(|it| PieceData {
            slot: &it.slot,
            part: it.part.as_deref(),
            description: &it.description,
            joined: it.joined,
            comes_in: it.comes,
            moved_from: &it.moved_from,
        })
        .collect()
}

fn step(no: usize, it: &Step) -> StepData<'_> {
    let taking = it.section == Section::Strip;
    let loosen = it.fastenings.iter().filter(|_| taking).map(|it| LoosenData {
        fastening: &it.fastening,
        thread: &it.thread,
        tool: &it.tool,
        loosens: loosens(it),
        certain: it.certain,
    });
    let fasten = it.fastenings.iter().filter(|_| !taking).enumerate();
    StepData {
        no,
        section: it.section.word(),
        group: it.group,
        needs: &it.needs,
        joints: &it.joints,
        title: &it.title,
        certain: it.certain,
        verdict: it.verdict.map(Verdict::word),
        reasons: &it.reasons,
        may_stay: it.may_stay,
        to_get_at: &it.to_get_at,
        counterpart: it.counterpart,
        after_all: it.after_all,
        parts: pieces(&it.parts),
        photographs: todos(&it.photographs),
        how: todos(&it.how),
        loosen: loosen.collect(),
        fasten: fasten.map(|(at, it)| row_data(at + 1, it)).collect(),
        if_seized: todos(&it.seized),
        bags_filled: it.bags.iter().map(bag).collect(),
        bags_emptied: it.from_bags.iter().map(|(bag, step)| FromBagData { bag: *bag, filled_in: *step }).collect(),
        becomes: it.becomes.iter().map(becomes).collect(),
        uses_up: &it.uses_up,
        cuts: &it.cuts,
        cautions: &it.cautions,
    }
}

/// The direction in which it is loosened.
pub(super) fn loosens(row: &Row) -> &'static str {
    if row.left { "right" } else { "left" }
}

fn bag(it: &Bag) -> BagData<'_> {
    BagData { bag: it.number, text: &it.text, certain: it.certain, emptied_in: &it.emptied, whole: it.whole }
}

fn becomes(it: &Becomes) -> BecomesData<'_> {
    BecomesData {
        part: it.piece.part.as_deref(),
        description: &it.piece.description,
        slots: &it.slots,
        left_over: it.left_over,
        moves_to: &it.moves_to,
        goes_on_in: it.goes_on,
    }
}

fn untouched(it: &Untouched) -> UntouchedData<'_> {
    UntouchedData {
        joint: &it.joint,
        title: &it.title,
        verdict: it.verdict.word(),
        reasons: &it.reasons,
        parts: pieces(&it.parts),
        fastened: it.fastenings.iter().enumerate().map(|(at, it)| row_data(at + 1, it)).collect(),
        checks: todos(&it.proofs),
    }
}
