//! A torque sheet for programs: CSV, and JSON as `cotter.torque/1`.

use super::bill::JointCounts;
use super::render::{self, figure, figure_cell};
use super::torque::{Caution, Row, Torque, TorqueSheet, Unsettled, Work, in_units};
use super::torque_page::limits;
use crate::judge::TorqueRange;
use serde::Serialize;
use serde_json::Number;

const HEADER: &[&str] = &[
    "build",
    "no",
    "joint",
    "joint_title",
    "verdict",
    "work",
    "hangs_on",
    "parts",
    "fastening",
    "certain",
    "thread",
    "tool",
    "torque",
    "torque_min_nm",
    "torque_max_nm",
    "torque_min_inlb",
    "torque_max_inlb",
    "limited_by",
    "turn",
    "before",
    "prepare",
    "cautions",
    "sources",
    "set_nm",
];

impl Row {
    /// How tight, as one word for programs.
    fn word(&self) -> &'static str {
        match self.torque {
            Torque::Range(_) => "range",
            Torque::ByHand => "by_hand",
            Torque::MakersFigure => "makers_figure",
            Torque::NotKnown => "not_known",
            Torque::Conflict => "conflict",
            Torque::Withheld => "do_not_assemble",
        }
    }

    fn range(&self) -> Option<TorqueRange> {
        match self.torque {
            Torque::Range(range) => Some(range),
            _ => None,
        }
    }

    fn turn(&self) -> &'static str {
        if self.left { "left" } else { "right" }
    }
}

/// A row a fastening, with all cautions that hold for it in full: a table of rows has no other place for them.
pub(super) fn csv(sheets: &[TorqueSheet]) -> String {
    let mut rows = Vec::new();
    for sheet in sheets {
        for (number, row) in sheet.rows.iter().enumerate() {
            let units = row.range().map(in_units);
            let nm = units.map(|it| it[0]);
            let inlb = units.map(|it| it[1]);
            let parts: Vec<String> =
                row.parts.iter().map(|it| format!("{} = {}", it.slot, it.part.as_deref().unwrap_or("?"))).collect();
            let cautions: Vec<&str> = sheet
                .cautions
                .iter()
                .filter(|it| it.standing || row.cautions.contains(&it.number))
                .map(|it| it.text.as_str())
                .collect();
            rows.push(vec![
                sheet.build.clone(),
                (number + 1).to_string(),
                row.joint.clone(),
                row.title.clone(),
                row.verdict.word().to_owned(),
                row.work.map_or(String::new(), |it| it.word().to_owned()),
                row.hangs_on.join(" "),
                parts.join("; "),
                row.fastening.clone(),
                if row.certain { "yes" } else { "if so made" }.to_owned(),
                row.thread.clone(),
                row.tool.clone(),
                row.word().to_owned(),
                figure_cell(nm.map(|it| it.0)),
                figure_cell(nm.map(|it| it.1)),
                figure_cell(inlb.map(|it| it.0)),
                figure_cell(inlb.map(|it| it.1)),
                limits(row),
                row.turn().to_owned(),
                row.before.clone(),
                row.prepare.clone(),
                cautions.join(" / "),
                row.sources.join("; "),
                String::new(),
            ]);
        }
    }
    render::csv(HEADER, &rows)
}

#[derive(Serialize)]
struct Sheet<'s> {
    schema: &'static str,
    builds: Vec<SheetData<'s>>,
}

#[derive(Serialize)]
struct SheetData<'s> {
    build: &'s str,
    description: &'s str,
    #[serde(skip_serializing_if = "Option::is_none")]
    from: Option<&'s str>,
    joints: JointsData,
    unsettled: Vec<UnsettledData<'s>>,
    rows: Vec<RowData<'s>>,
    cautions: Vec<CautionData<'s>>,
}

#[derive(Serialize)]
pub(super) struct JointsData {
    fits: usize,
    clashes: usize,
    open: usize,
}

#[derive(Serialize)]
pub(super) struct UnsettledData<'s> {
    joint: &'s str,
    verdict: &'static str,
    reasons: &'s [String],
}

#[derive(Serialize)]
pub(super) struct CautionData<'s> {
    number: usize,
    text: &'s str,
    standing: bool,
}

#[derive(Serialize)]
pub(super) struct RowData<'s> {
    no: usize,
    joint: &'s str,
    title: &'s str,
    verdict: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    work: Option<&'static str>,
    hangs_on: &'s [String],
    parts: Vec<PartData<'s>>,
    fastening: &'s str,
    certain: bool,
    thread: &'s str,
    tool: &'s str,
    torque: &'static str,
    #[serde(flatten)]
    range: RangeData,
    limited_by: String,
    joint_alone: RangeData,
    joint_alone_certain: bool,
    printed: Vec<PrintedData<'s>>,
    turn: &'static str,
    before: &'s str,
    prepare: &'s str,
    tighten_again: bool,
    cautions: &'s [usize],
    sources: &'s [String],
}

#[derive(Serialize)]
pub(super) struct PartData<'s> {
    slot: &'s str,
    part: Option<&'s str>,
}

#[derive(Serialize)]
pub(super) struct PrintedData<'s> {
    on: &'s str,
    fact: &'s str,
    #[serde(flatten)]
    range: RangeData,
}

/// All missing where there is no range.
#[derive(Serialize)]
pub(super) struct RangeData {
    torque_min_nm: Option<Number>,
    torque_max_nm: Option<Number>,
    torque_min_inlb: Option<Number>,
    torque_max_inlb: Option<Number>,
}

impl RangeData {
    fn of(range: Option<TorqueRange>) -> RangeData {
        let units = range.map(in_units);
        let end = |unit: usize, high: bool| {
            let ends = units.and_then(|it| it.get(unit).copied())?;
            figure(if high { ends.1 } else { ends.0 })
        };
        RangeData {
            torque_min_nm: end(0, false),
            torque_max_nm: end(0, true),
            torque_min_inlb: end(1, false),
            torque_max_inlb: end(1, true),
        }
    }
}

/// All sheets as JSON text.
pub(super) fn json(sheets: &[TorqueSheet]) -> String {
    render::json(&Sheet { schema: "cotter.torque/1", builds: sheets.iter().map(sheet_data).collect() })
}

fn sheet_data(sheet: &TorqueSheet) -> SheetData<'_> {
    SheetData {
        build: &sheet.build,
        description: &sheet.description,
        from: sheet.from.as_deref(),
        joints: joints_data(&sheet.joints),
        unsettled: unsettled_data(&sheet.unsettled),
        rows: sheet.rows.iter().enumerate().map(|(number, row)| row_data(number + 1, row)).collect(),
        cautions: cautions_data(&sheet.cautions),
    }
}

pub(super) fn joints_data(it: &JointCounts) -> JointsData {
    JointsData { fits: it.fits, clashes: it.clashes, open: it.open }
}

pub(super) fn unsettled_data(all: &[Unsettled]) -> Vec<UnsettledData<'_>> {
    all.iter().map(|it| UnsettledData { joint: &it.joint, verdict: it.verdict.word(), reasons: &it.reasons }).collect()
}

pub(super) fn cautions_data(all: &[Caution]) -> Vec<CautionData<'_>> {
    all.iter().map(|it| CautionData { number: it.number, text: &it.text, standing: it.standing }).collect()
}

pub(super) fn row_data(no: usize, row: &Row) -> RowData<'_> {
    let printed = row.printed.iter();
    RowData {
        no,
        joint: &row.joint,
        title: &row.title,
        verdict: row.verdict.word(),
        work: row.work.map(Work::word),
        hangs_on: &row.hangs_on,
        parts: row.parts.iter().map(|it| PartData { slot: &it.slot, part: it.part.as_deref() }).collect(),
        fastening: &row.fastening,
        certain: row.certain,
        thread: &row.thread,
        tool: &row.tool,
        torque: row.word(),
        range: RangeData::of(row.range()),
        limited_by: limits(row),
        joint_alone: RangeData::of(row.joint_torque),
        joint_alone_certain: !row.unsure,
        printed: printed.map(|it| PrintedData { on: &it.on, fact: &it.path, range: RangeData::of(it.range) }).collect(),
        turn: row.turn(),
        before: &row.before,
        prepare: &row.prepare,
        tighten_again: row.settles,
        cautions: &row.cautions,
        sources: &row.sources,
    }
}
