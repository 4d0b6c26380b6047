//! Measuring list: the facts that a build's open joints hang on, each once, those that matter most first.

use super::bill::JointCounts;
use super::{Format, measure_data, measure_page, render};
use crate::judge::{self, Cost, JudgedBuild, JudgedJoint, Verdict, WouldFit};
use crate::model::{BuildId, FactId, FactInfo, Model, Pieces, State, Type};
use crate::quantity::Price;
use std::cmp::Ordering;

/// The measuring list of one build.
#[derive(Clone, Debug)]
pub struct MeasureList {
    /// The build's name.
    pub build: String,
    /// What it is.
    pub description: String,
    /// How many of its joints fit, clash and are open.
    pub joints: JointCounts,
    /// What is to be measured, told or read: safety first, then what most joints wait for, then most money.
    pub readings: Vec<Reading>,
    /// Slots for which a part is still to be chosen, in the same order.
    pub choices: Vec<Choice>,
}

/// A fact that is not known well enough.
#[derive(Clone, Debug)]
pub struct Reading {
    /// The part that it is a fact of; the build, for a fact of the whole.
    pub owner: String,
    /// What the part is; empty for a fact of the whole.
    pub owner_description: String,
    /// Its name on the part.
    pub fact: String,
    /// Its paths from the build: one for each place of the part that a joint uses.
    pub paths: Vec<String>,
    /// What it is.
    pub what: String,
    /// How to measure or tell it.
    pub how: Option<String>,
    /// With which tools.
    pub tools: Vec<String>,
    /// What is known of it so far.
    pub state: State,
    /// What stands there; empty if nothing does.
    pub written: String,
    /// The unit that is read; empty for what has none.
    pub unit: String,
    /// What it may be, where that is a name out of few.
    pub names: Vec<String>,
    /// What waits for it.
    pub stake: Stake,
    /// The joints that hang on it, in the order of the assembly.
    pub joints: Vec<Hanging>,
}

impl Reading {
    /// As a setting names it: `PART.FACT`.
    pub fn path(&self) -> String {
        format!("{}.{}", self.owner, self.fact)
    }
}

/// A slot for which a part is still to be chosen.
#[derive(Clone, Debug)]
pub struct Choice {
    /// The slot.
    pub slot: String,
    /// What it is for.
    pub description: String,
    /// Kinds that may stand in it.
    pub kinds: Vec<String>,
    /// What waits for it.
    pub stake: Stake,
    /// Titles of the joints that wait for it.
    pub joints: Vec<String>,
}

/// What hangs on a reading or a choice.
#[derive(Clone, Debug, PartialEq)]
pub struct Stake {
    /// Some joint that waits for it carries a caution.
    pub safety: bool,
    /// Prices of parts to buy that stand in those joints, a sum a currency.
    pub money: Vec<Price>,
    /// Pieces to buy among them without a price.
    pub unpriced: u32,
}

/// A joint that hangs on a reading.
#[derive(Clone, Debug)]
pub struct Hanging {
    /// Its name in the assembly.
    pub joint: String,
    /// What it is.
    pub title: String,
    /// Whether it carries a caution.
    pub caution: bool,
    /// What is not decided, as far as this reading goes.
    pub undecided: Vec<String>,
    /// The values with which it fits, the others as they stand; empty if this reading can't decide that alone.
    pub fits: Vec<String>,
    /// The values with which it clashes, whatever the others are.
    pub clashes: Vec<String>,
    /// Paths of the other facts and slots that it hangs on too.
    pub also: Vec<String>,
    /// Whether it would fit if every guess were true; none if nobody guessed, or that is not enough.
    pub lean: Option<bool>,
}

impl MeasureList {
    /// Makes the list of a judged build.
    pub fn of(model: &Model, judged: &JudgedBuild) -> MeasureList {
        let open: Vec<&JudgedJoint> = judged.joints.iter().filter(|it| it.verdict == Verdict::Open).collect();
        let pieces = model.pieces(judged.build);
        let mut facts: Vec<FactId> = Vec::new();
        for fact in open.iter().flat_map(|it| &it.hangs_on) {
            if !facts.contains(fact) {
                facts.push(*fact);
            }
        }
        let (mut readings, mut choices) = (Vec::new(), Vec::new());
        for fact in facts {
            let Some(info) = model.facts.get(fact) else { continue };
            let waiting: Vec<&JudgedJoint> = open.iter().copied().filter(|it| it.hangs_on.contains(&fact)).collect();
            let stake = stake(model, judged.build, &pieces, &waiting, fact);
            if is_choice(info) {
                choices.push(choice(model, judged.build, info, &waiting, stake));
            } else {
                readings.push(reading(model, judged.build, fact, info, &waiting, stake));
            }
        }
        // Equals stay in the order of the assembly.
        readings.sort_by(|one, other| rank((&one.stake, one.joints.len()), (&other.stake, other.joints.len())));
        choices.sort_by(|one, other| rank((&one.stake, one.joints.len()), (&other.stake, other.joints.len())));
        MeasureList {
            build: model[judged.build].name.text.clone(),
            description: model[judged.build].doc.clone(),
            joints: JointCounts::of(judged),
            readings,
            choices,
        }
    }

    /// Every tool with the numbers of the readings that it is for; the last entry is for those that need none.
    pub fn tools(&self) -> Vec<(Option<&str>, Vec<usize>)> {
        let mut tools: Vec<(Option<&str>, Vec<usize>)> = Vec::new();
        let mut without = Vec::new();
        for (number, reading) in self.readings.iter().enumerate() {
            if reading.tools.is_empty() {
                without.push(number + 1);
            }
            for tool in &reading.tools {
                match tools.iter_mut().find(|(known, _)| *known == Some(tool)) {
                    Some((_, numbers)) => numbers.push(number + 1),
                    None => tools.push((Some(tool), vec![number + 1])),
                }
            }
        }
        if !without.is_empty() {
            tools.push((None, without));
        }
        tools
    }
}

/// Lists of several builds in one format.
pub fn render(lists: &[MeasureList], format: Format) -> String {
    let page = || lists.iter().flat_map(measure_page::blocks).collect::<Vec<_>>();
    match format {
        Format::Text => render::text(&page()),
        Format::Markdown => render::markdown(&page()),
        Format::Csv => measure_data::csv(lists),
        Format::Json => measure_data::json(lists),
    }
}

/// Safety first, then the number of joints, then the money, most first.
fn rank(one: (&Stake, usize), other: (&Stake, usize)) -> Ordering {
    let key = |it: (&Stake, usize)| (it.0.safety, it.1);
    key(other).cmp(&key(one)).then_with(|| by_money(&other.0.money, &one.0.money))
}

/// By the amount in each currency, in the order of their codes: between two currencies nobody can tell which is more.
fn by_money(one: &[Price], other: &[Price]) -> Ordering {
    let mut codes: Vec<&str> = one.iter().chain(other).map(|it| it.currency().code()).collect();
    codes.sort_unstable();
    let amount = |all: &[Price], code: &str| {
        all.iter().find(|it| it.currency().code() == code).map(|it| it.high().amount).unwrap_or_default()
    };
    let unequal = codes.into_iter().map(|code| amount(one, code).cmp(&amount(other, code)));
    unequal.into_iter().find(|it| it.is_ne()).unwrap_or(Ordering::Equal)
}

/// Whether what is not known is which part stands in a slot.
fn is_choice(info: &FactInfo) -> bool {
    info.part.is_none() && info.declared.is_none()
}

fn stake(model: &Model, build: BuildId, pieces: &[Pieces], waiting: &[&JudgedJoint], fact: FactId) -> Stake {
    let slots = &model[model[build].assembly].slots;
    // As many pieces of a part as these joints hold, which may be less than the build takes.
    let held = pieces.iter().filter(|it| !model[it.part].undecided).filter_map(|it| {
        let used = it.slots.iter().filter(|slot| {
            let name = slots.get_index(slot.0).map(|(name, _)| name.as_str());
            waiting
                .iter()
                .any(|joint| joint.uses.iter().any(|used| used.part == it.part && Some(used.slot.as_str()) == name))
        });
        let count = it.count.min(u32::try_from(used.count()).unwrap_or(u32::MAX));
        (count > 0).then(|| Pieces { count, ..it.clone() })
    });
    let cost = Cost::of_pieces(model, build, &held.collect::<Vec<_>>());
    let safety = waiting.iter().any(|it| carries_caution(it, fact));
    Stake { safety, money: cost.sums, unpriced: cost.unpriced }
}

/// Whether a joint, or what is not decided of it for want of this fact, carries a caution.
fn carries_caution(joint: &JudgedJoint, fact: FactId) -> bool {
    !joint.cautions.is_empty() || undecided(joint, fact).any(|it| !it.cautions.is_empty())
}

fn undecided(joint: &JudgedJoint, fact: FactId) -> impl Iterator<Item = &judge::Finding> {
    joint.findings.iter().filter(move |it| it.required && !it.fails && it.trail.contains(&fact))
}

fn title_of(joint: &JudgedJoint) -> String {
    if joint.title.is_empty() { joint.name.clone() } else { joint.title.clone() }
}

fn choice(model: &Model, build: BuildId, info: &FactInfo, waiting: &[&JudgedJoint], stake: Stake) -> Choice {
    let slot = model[model[build].assembly].slots.get(&info.path);
    let kinds = slot.map(|it| it.kinds.iter().map(|kind| model[*kind].name.text.clone()).collect());
    Choice {
        slot: info.path.clone(),
        description: slot.map(|it| it.doc.clone()).unwrap_or_default(),
        kinds: kinds.unwrap_or_default(),
        stake,
        joints: waiting.iter().map(|it| title_of(it)).collect(),
    }
}

fn reading(
    model: &Model,
    build: BuildId,
    fact: FactId,
    info: &FactInfo,
    waiting: &[&JudgedJoint],
    stake: Stake,
) -> Reading {
    let mut paths: Vec<String> = Vec::new();
    for path in waiting.iter().map(|it| it.path_of(model, fact)) {
        if !paths.contains(&path) {
            paths.push(path);
        }
    }
    let (how, tool) = how_to_know(model, info);
    let owner = info.part.map_or(&model[build].name.text, |part| &model[part].name.text);
    let declared = info.declared.map(|it| &model[it]);
    Reading {
        owner: owner.clone(),
        owner_description: info.part.map(|part| model[part].doc.clone()).unwrap_or_default(),
        fact: info.path.clone(),
        paths,
        what: declared.map(|it| it.about.doc.clone()).unwrap_or_default(),
        how,
        tools: tool.map(|it| it.split(", ").map(str::to_owned).collect()).unwrap_or_default(),
        state: info.state,
        written: info.written.clone(),
        unit: declared.map(|it| unit(&it.kind, &info.written)).unwrap_or_default(),
        names: declared.map(|it| names(model, &it.kind)).unwrap_or_default(),
        joints: waiting.iter().map(|it| hanging(model, build, fact, info, it)).collect(),
        stake,
    }
}

/// How a fact is measured, and with what: its own way, or for a port that of its interface.
fn how_to_know(model: &Model, info: &FactInfo) -> (Option<String>, Option<String>) {
    let Some(declared) = info.declared.map(|it| &model[it]) else { return (None, None) };
    let about = match &declared.kind {
        Type::Standard(interface) if declared.about.measure.is_none() => &model[*interface].about,
        _ => &declared.about,
    };
    (about.measure.clone(), about.tool.clone())
}

/// What a reading is taken in.
fn unit(kind: &Type, written: &str) -> String {
    match kind {
        Type::Count(what) => what.clone(),
        Type::Number(dimension) => judge::unit_of(written, *dimension).map_or(String::new(), |it| it.name.to_owned()),
        _ => String::new(),
    }
}

/// The names that a fact of this type may have, as they are written.
fn names(model: &Model, kind: &Type) -> Vec<String> {
    match kind {
        Type::Choice(choice) => model[*choice].members.iter().map(|(name, _)| name.clone()).collect(),
        Type::Standard(interface) => model[*interface].standards.iter().map(|it| model.standard_example(*it)).collect(),
        Type::Flag => vec!["yes".to_owned(), "no".to_owned()],
        _ => Vec::new(),
    }
}

fn hanging(model: &Model, build: BuildId, fact: FactId, info: &FactInfo, joint: &JudgedJoint) -> Hanging {
    let values =
        |found: Vec<WouldFit>, words: &dyn Fn(&WouldFit) -> Vec<String>| found.first().map(words).unwrap_or_default();
    let fits = values(judge::would_fit(model, build, &joint.name, &[fact]), &|it| it.values.in_words(info));
    let clashes = match fits.is_empty() {
        true => values(judge::would_clash(model, build, &joint.name, &[fact]), &|it| it.values.beyond_in_words(info)),
        false => Vec::new(),
    };
    let mut also: Vec<String> = Vec::new();
    for other in joint.hangs_on.iter().filter(|it| **it != fact) {
        let path = joint.path_of(model, *other);
        if !also.contains(&path) {
            also.push(path);
        }
    }
    let leans: Vec<Option<bool>> =
        joint.findings.iter().filter(|it| it.required && !it.fails).map(|it| it.lean).collect();
    let lean = match leans.contains(&Some(false)) {
        true => Some(false),
        false => leans.iter().all(|it| *it == Some(true)).then_some(true),
    };
    Hanging {
        joint: joint.name.clone(),
        title: title_of(joint),
        caution: carries_caution(joint, fact),
        undecided: undecided(joint, fact).map(|it| it.title.clone()).collect(),
        fits,
        clashes,
        also,
        lean,
    }
}
