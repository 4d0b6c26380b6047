//! A measuring list for people: a card to tick off at the stand.

use super::measure::{Choice, Hanging, MeasureList, Reading, Stake};
use super::render::{Block, Check, Words, plain, strong};
use super::words::counted;
use crate::model::State;

/// The page of one list.
pub(super) fn blocks(list: &MeasureList) -> Vec<Block> {
    let mut page = vec![Block::Title(format!("{}: measuring list", list.build))];
    if !list.description.is_empty() {
        page.push(Block::Text(plain(list.description.clone())));
    }
    page.push(Block::Text(plain(state(list))));
    if !list.readings.is_empty() {
        page.push(Block::Items(list.tools().into_iter().map(|(tool, numbers)| tool_line(tool, &numbers)).collect()));
        let checks = list.readings.iter().enumerate().map(|(number, it)| reading(number + 1, it));
        page.push(Block::Checks(checks.collect()));
    }
    if !list.choices.is_empty() {
        page.push(Block::Heading("To choose".to_owned()));
        page.push(Block::Checks(list.choices.iter().map(choice).collect()));
    }
    if let Some(first) = list.readings.first() {
        let words = "Write each reading back as it was taken, with what the tool allows:";
        page.push(Block::Text(plain(words)));
        page.push(Block::Verbatim(format!("  cotter measure SPEC --set {}=\"{}\"", first.path(), example(first))));
    }
    page
}

fn example(reading: &Reading) -> String {
    match reading.unit.as_str() {
        "" => "…".to_owned(),
        unit => format!("… {unit}"),
    }
}

/// How the build stands, and what is to be done about it.
fn state(list: &MeasureList) -> String {
    let counts = &list.joints;
    let clash = match counts.clashes {
        0 => String::new(),
        1 => " 1 joint CLASHES whatever is measured (cotter check).".to_owned(),
        more => format!(" {more} joints CLASH whatever is measured (cotter check)."),
    };
    if counts.open == 0 {
        let all = if counts.clashes == 0 { "all joints fit" } else { "nothing is left to measure" };
        return format!("No joint is open: {all}.{clash}");
    }
    let open = match counts.open {
        1 => "1 joint is open".to_owned(),
        more => format!("{more} joints are open"),
    };
    let waits = match (list.readings.len(), list.choices.len()) {
        (readings, 0) => format!("{} will tell", counted(readings, "reading")),
        (0, choices) => format!("what is missing is {}", counted(choices, "choice")),
        (readings, choices) => {
            format!("{} will tell, and {}", counted(readings, "reading"), counted(choices, "choice"))
        }
    };
    let order = if list.readings.len() > 1 { " First what safety hangs on, then what decides most." } else { "" };
    format!("{open}: {waits}.{order}{clash}")
}

fn tool_line(tool: Option<&str>, numbers: &[usize]) -> Words {
    let numbers: Vec<String> = numbers.iter().map(ToString::to_string).collect();
    plain(format!("{}: {}", tool.unwrap_or("no tool"), numbers.join(", ")))
}

fn reading(number: usize, it: &Reading) -> Check {
    let unit = if it.unit.is_empty() { String::new() } else { format!(" {}", it.unit) };
    let mut lines = Vec::new();
    let of = if it.owner_description.is_empty() { String::new() } else { format!(" ({})", it.owner_description) };
    lines.push(plain(format!("{}{of}: {}", it.paths.join(", "), it.what)));
    if let Some(how) = &it.how {
        lines.push(plain(format!("how: {how}{}", tools(it, how))));
    }
    if !it.names.is_empty() {
        lines.push(plain(format!("write: {}", named(&it.names))));
    }
    lines.push(plain(format!("now: {}", so_far(it))));
    lines.extend(it.joints.iter().map(|joint| plain(hangs(joint))));
    lines.extend(money(&it.stake).map(plain));
    Check {
        head: strong(format!("{number}. {}{}", it.path(), if it.stake.safety { " (SAFETY)" } else { "" })),
        blank: format!("____{unit}"),
        lines,
    }
}

/// The tools, where the words on how to measure don't name them.
fn tools(it: &Reading, how: &str) -> String {
    let missing: Vec<&str> = it.tools.iter().map(String::as_str).filter(|tool| !how.contains(tool)).collect();
    if missing.is_empty() { String::new() } else { format!(" ({})", missing.join(", ")) }
}

fn so_far(it: &Reading) -> String {
    match it.state {
        State::Estimated => format!("guessed, {}", it.written),
        State::Given => format!("{}: not close enough", it.written),
        State::Default => format!("{}, taken by default", it.written),
        State::Unknown => "not known".to_owned(),
        State::Missing | State::Absent => "not written".to_owned(),
    }
}

/// Names that are told, at most.
const NAMED: usize = 8;

fn named(names: &[String]) -> String {
    let told: Vec<String> = names.iter().take(NAMED).map(|it| format!("`{it}`")).collect();
    match names.len().saturating_sub(NAMED) {
        0 => told.join(", "),
        more => format!("{} or one of {more} more", told.join(", ")),
    }
}

fn hangs(it: &Hanging) -> String {
    let mut words = format!("{}: ", it.title);
    if it.fits.is_empty() {
        words.push_str(&format!("decides whether {}", it.undecided.join("; whether ")));
        if !it.also.is_empty() {
            words.push_str(&format!(", together with {}", it.also.join(", ")));
        }
        if !it.clashes.is_empty() {
            words.push_str(&format!("; clashes in any case if it is {}", it.clashes.join(" or ")));
        }
    } else {
        words.push_str(&format!("fits if it is {}", it.fits.join(" or ")));
        if !it.also.is_empty() {
            words.push_str(&format!("; otherwise it hangs on {} too", it.also.join(", ")));
        }
    }
    match it.lean {
        Some(true) => words.push_str("; the guess would fit"),
        Some(false) => words.push_str("; the guess would clash"),
        None => {}
    }
    words
}

fn money(stake: &Stake) -> Option<String> {
    let mut waits: Vec<String> = stake.money.iter().map(ToString::to_string).collect();
    if stake.unpriced > 0 {
        waits.push(format!("{} without a price", counted(stake.unpriced, "piece")));
    }
    (!waits.is_empty()).then(|| format!("to buy, and waiting for this: {}", waits.join(", ")))
}

fn choice(it: &Choice) -> Check {
    let mut lines = vec![plain(format!("{}: {}", it.description, it.kinds.join(" or ")))];
    lines.push(plain(format!(
        "{} {} for it: {}",
        counted(it.joints.len(), "joint"),
        if it.joints.len() == 1 { "waits" } else { "wait" },
        it.joints.join("; ")
    )));
    lines.extend(money(&it.stake).map(plain));
    Check {
        head: strong(format!("{}{}", it.slot, if it.stake.safety { " (SAFETY)" } else { "" })),
        blank: "____".to_owned(),
        lines,
    }
}
