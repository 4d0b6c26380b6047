//! A measuring list for programs: CSV, and JSON as `cotter.measure/1`.

use super::measure::{Choice, Hanging, MeasureList, Reading, Stake};
use super::price_data::PriceData;
use super::render;
use crate::model::State;
use serde::Serialize;

const HEADER: &[&str] = &[
    "build",
    "no",
    "asks",
    "set",
    "paths",
    "part",
    "what",
    "how",
    "tools",
    "state",
    "written",
    "unit",
    "names",
    "safety",
    "joints",
    "fits_if",
    "clashes_if",
    "hangs_also_on",
    "money_waiting",
    "pieces_without_price",
    "reading",
];

/// What is known of a fact, as one word for programs.
fn word(state: State) -> &'static str {
    match state {
        State::Given => "too_rough",
        State::Estimated => "estimated",
        State::Unknown => "unknown",
        State::Missing => "not_written",
        State::Default => "default",
        State::Absent => "absent",
    }
}

fn money_cell(stake: &Stake) -> String {
    stake.money.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
}

fn yes(flag: bool) -> String {
    if flag { "yes" } else { "no" }.to_owned()
}

/// A row a fact; then one a slot that a part is to be chosen for.
pub(super) fn csv(lists: &[MeasureList]) -> String {
    let mut rows = Vec::new();
    for list in lists {
        rows.extend(list.readings.iter().enumerate().map(|(number, it)| reading_row(&list.build, number + 1, it)));
        rows.extend(list.choices.iter().map(|it| choice_row(&list.build, it)));
    }
    render::csv(HEADER, &rows)
}

fn reading_row(build: &str, number: usize, it: &Reading) -> Vec<String> {
    let joints = |words: &dyn Fn(&Hanging) -> String| {
        let all: Vec<String> = it.joints.iter().map(words).filter(|it| !it.is_empty()).collect();
        all.join("; ")
    };
    let named = |joint: &Hanging, values: &[String]| match values.is_empty() {
        true => String::new(),
        false => format!("{}: {}", joint.title, values.join(" or ")),
    };
    vec![
        build.to_owned(),
        number.to_string(),
        "measure".to_owned(),
        it.path(),
        it.paths.join(" "),
        it.owner_description.clone(),
        it.what.clone(),
        it.how.clone().unwrap_or_default(),
        it.tools.join(", "),
        word(it.state).to_owned(),
        it.written.clone(),
        it.unit.clone(),
        it.names.join(" or "),
        yes(it.stake.safety),
        joints(&|joint| joint.title.clone()),
        joints(&|joint| named(joint, &joint.fits)),
        joints(&|joint| named(joint, &joint.clashes)),
        joints(&|joint| named(joint, &joint.also)),
        money_cell(&it.stake),
        it.stake.unpriced.to_string(),
        String::new(),
    ]
}

fn choice_row(build: &str, it: &Choice) -> Vec<String> {
    let mut row = vec![build.to_owned(), String::new(), "choose".to_owned(), String::new(), it.slot.clone()];
    row.extend([String::new(), it.description.clone(), it.kinds.join(" or "), String::new(), "undecided".to_owned()]);
    row.extend([String::new(), String::new(), String::new(), yes(it.stake.safety), it.joints.join("; ")]);
    row.extend([String::new(), String::new(), String::new(), money_cell(&it.stake), it.stake.unpriced.to_string()]);
    row.push(String::new());
    row
}

#[derive(Serialize)]
struct Sheet<'s> {
    schema: &'static str,
    builds: Vec<ListData<'s>>,
}

#[derive(Serialize)]
struct ListData<'s> {
    build: &'s str,
    description: &'s str,
    joints: CountsData,
    readings: Vec<ReadingData<'s>>,
    tools: Vec<ToolData<'s>>,
    choices: Vec<ChoiceData<'s>>,
}

#[derive(Serialize)]
struct CountsData {
    fits: usize,
    clashes: usize,
    open: usize,
}

#[derive(Serialize)]
struct ReadingData<'s> {
    no: usize,
    set: String,
    part: &'s str,
    part_description: &'s str,
    fact: &'s str,
    paths: &'s [String],
    what: &'s str,
    how: Option<&'s str>,
    tools: &'s [String],
    state: &'static str,
    written: Option<&'s str>,
    unit: Option<&'s str>,
    names: &'s [String],
    #[serde(flatten)]
    stake: StakeData,
    joints: Vec<HangingData<'s>>,
}

#[derive(Serialize)]
struct StakeData {
    safety: bool,
    money_waiting: Vec<PriceData>,
    pieces_without_price: u32,
}

#[derive(Serialize)]
struct HangingData<'s> {
    joint: &'s str,
    title: &'s str,
    caution: bool,
    undecided: &'s [String],
    fits_if: &'s [String],
    clashes_if: &'s [String],
    hangs_also_on: &'s [String],
    fits_if_guessed_right: Option<bool>,
}

/// A tool with the numbers of its readings; none for those that need no tool.
#[derive(Serialize)]
struct ToolData<'s> {
    tool: Option<&'s str>,
    readings: Vec<usize>,
}

#[derive(Serialize)]
struct ChoiceData<'s> {
    slot: &'s str,
    description: &'s str,
    kinds: &'s [String],
    #[serde(flatten)]
    stake: StakeData,
    joints: &'s [String],
}

/// All lists as JSON text.
pub(super) fn json(lists: &[MeasureList]) -> String {
    render::json(&Sheet { schema: "cotter.measure/1", builds: lists.iter().map(list_data).collect() })
}

fn list_data(list: &MeasureList) -> ListData<'_> {
    let readings = list.readings.iter().enumerate().map(|(number, it)| reading_data(number + 1, it));
    let choices = list.choices.iter().map(|it| ChoiceData {
        slot: &it.slot,
        description: &it.description,
        kinds: &it.kinds,
        stake: stake_data(&it.stake),
        joints: &it.joints,
    });
    ListData {
        build: &list.build,
        description: &list.description,
        joints: CountsData { fits: list.joints.fits, clashes: list.joints.clashes, open: list.joints.open },
        readings: readings.collect(),
        tools: list.tools().into_iter().map(|(tool, readings)| ToolData { tool, readings }).collect(),
        choices: choices.collect(),
    }
}

fn stake_data(stake: &Stake) -> StakeData {
    let money = stake.money.iter().map(PriceData::of);
    StakeData { safety: stake.safety, money_waiting: money.collect(), pieces_without_price: stake.unpriced }
}

fn reading_data(no: usize, it: &Reading) -> ReadingData<'_> {
    let joints = it.joints.iter().map(|joint| HangingData {
        joint: &joint.joint,
        title: &joint.title,
        caution: joint.caution,
        undecided: &joint.undecided,
        fits_if: &joint.fits,
        clashes_if: &joint.clashes,
        hangs_also_on: &joint.also,
        fits_if_guessed_right: joint.lean,
    });
    let some = |text: &'_ str| -> bool { !text.is_empty() };
    ReadingData {
        no,
        set: it.path(),
        part: &it.owner,
        part_description: &it.owner_description,
        fact: &it.fact,
        paths: &it.paths,
        what: &it.what,
        how: it.how.as_deref(),
        tools: &it.tools,
        state: word(it.state),
        written: Some(it.written.as_str()).filter(|it| some(it)),
        unit: Some(it.unit.as_str()).filter(|it| some(it)),
        names: &it.names,
        stake: stake_data(&it.stake),
        joints: joints.collect(),
    }
}
