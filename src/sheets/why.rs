//! What would happen if a part went into a slot: which joints would fit, clash or stay open, and what else would have to
//! change.

use super::render::{self, Block, plain, strong};
use crate::judge::{self, Change, JudgedBuild, JudgedJoint, Remedy, Verdict};
use crate::model::{Model, PartId, SlotId, Stock};
use serde::Serialize;

/// The answer for one build.
#[derive(Clone, Debug, Serialize)]
pub struct Why {
    /// The build.
    pub build: String,
    /// The slot.
    pub slot: String,
    /// The part that would go there.
    pub part: String,
    /// The part that stands there now.
    pub instead_of: Option<String>,
    /// Joints that hang on the slot, as they would be: those that clash first, then those that are open.
    pub joints: Vec<Joint>,
    /// What else would have to change, so that nothing clashes that did not before.
    pub chain: Option<Chain>,
    /// Whether the search for that was given up before all was tried.
    pub given_up: bool,
    /// What the part itself costs, if it is to be bought and that is said.
    pub price: Option<String>,
    /// Whether it is to be had; nothing when nobody says.
    pub available: Option<bool>,
    /// Cautions of the whole and of those joints, in full.
    pub cautions: Vec<String>,
}

/// A joint as it would be.
#[derive(Clone, Debug, Serialize)]
pub struct Joint {
    /// Its name.
    pub joint: String,
    /// What it is.
    pub title: String,
    /// Fits, clashes, open.
    pub verdict: &'static str,
    /// What it is now; nothing if it is not there.
    pub now: Option<&'static str>,
    /// Whether it would clash for a reason that there is not now.
    pub anew: bool,
    /// What is advised against then and is not now.
    pub advice: Vec<String>,
    /// What clashes, or what it hangs on.
    pub reasons: Vec<String>,
}

/// Changes that go together.
#[derive(Clone, Debug, Serialize)]
pub struct Chain {
    /// Slots and the parts that go there, the one asked for first.
    pub changes: Vec<(String, String)>,
    /// What must be paid, a sum a currency.
    pub price: Vec<String>,
    /// Parts to buy whose price is not given.
    pub unpriced: usize,
    /// Joints that become open.
    pub opens: Vec<String>,
    /// Joints of the exchanged parts that clash as they do now.
    pub still: Vec<String>,
    /// Advice that is not followed then and is now, by code.
    pub advises: Vec<String>,
}

impl Why {
    /// Asks it of one build.
    pub fn of(model: &Model, judged: &JudgedBuild, slot: SlotId, part: PartId) -> Why {
        let build = &model[judged.build];
        let slots = &model[build.assembly].slots;
        let name = |slot: SlotId| slots.get_index(slot.0).map_or(String::new(), |(name, _)| name.clone());
        let now = build.slots.get(slot.0).copied().flatten().map(|it| it.part);
        let buy = model.stock_of(part) == Some(Stock::Buy);
        let asked = judge::what_if(model, judged, Change { slot, to: part });
        let mut joints: Vec<Joint> = asked.joints.iter().map(|it| joint(model, judged, it)).collect();
        joints.sort_by_key(|it| ["clashes", "open", "fits"].iter().position(|word| *word == it.verdict));
        Why {
            build: build.name.text.clone(),
            slot: name(slot),
            part: model[part].name.text.clone(),
            instead_of: now.filter(|it| !model[*it].undecided).map(|it| model[it].name.text.clone()),
            joints,
            chain: asked.chain.map(|it| chain(model, &it, name)),
            given_up: asked.given_up,
            price: model.price_of(part).filter(|_| buy).map(|it| it.price.to_string()),
            available: model.is_available(part).filter(|_| buy),
            cautions: cautions(model, judged, &asked.joints),
        }
    }
}

fn cautions(model: &Model, judged: &JudgedBuild, joints: &[JudgedJoint]) -> Vec<String> {
    let mut names = judge::whole_cautions(model, judged.build);
    let of_joint = |it: &JudgedJoint| it.findings.iter().flat_map(|it| it.cautions.clone()).collect::<Vec<_>>();
    names.extend(joints.iter().flat_map(|it| it.cautions.iter().cloned().chain(of_joint(it))));
    let mut texts: Vec<String> = Vec::new();
    for caution in names.iter().filter_map(|name| model.cautions.get(name)) {
        if !texts.iter().any(|it| **it == *caution.text) {
            texts.push(caution.text.to_string());
        }
    }
    texts
}

fn joint(model: &Model, judged: &JudgedBuild, it: &JudgedJoint) -> Joint {
    let was = judged.joints.iter().find(|now| now.name == it.name);
    let now = was.map(|now| now.verdict.word());
    let anew = it.failing().any(|fails| was.is_none_or(|was| was.failing().all(|it| it.code != fails.code)));
    let new_advice = it.advice().filter(|it| was.is_none_or(|was| was.advice().all(|was| was.code != it.code)));
    let advice = new_advice.map(|it| format!("{} ({})", it.message, it.code)).collect();
    let reasons = match it.verdict {
        Verdict::Clashes => it.failing().map(|finding| format!("{} ({})", finding.message, finding.code)).collect(),
        Verdict::Open => it.hangs_on.iter().map(|fact| it.path_of(model, *fact)).collect(),
        Verdict::Fits => Vec::new(),
    };
    Joint { joint: it.name.clone(), title: it.title.clone(), verdict: it.verdict.word(), now, anew, advice, reasons }
}

fn chain(model: &Model, it: &Remedy, name: impl Fn(SlotId) -> String) -> Chain {
    Chain {
        changes: it.changes.iter().map(|it| (name(it.slot), model[it.to].name.text.clone())).collect(),
        price: it.price.iter().map(ToString::to_string).collect(),
        unpriced: it.unpriced,
        opens: it.opens.clone(),
        still: it.still.clone(),
        advises: it.advises.clone(),
    }
}

/// The answers as text.
pub fn text(all: &[Why]) -> String {
    let pages: Vec<String> = all.iter().map(|it| render::text(&blocks(it))).collect();
    pages.join("\n")
}

/// The answers as JSON, `cotter.why/1`.
pub fn json(all: &[Why]) -> String {
    #[derive(Serialize)]
    struct Sheet<'w> {
        schema: &'static str,
        builds: &'w [Why],
    }
    render::json(&Sheet { schema: "cotter.why/1", builds: all })
}

fn blocks(it: &Why) -> Vec<Block> {
    let instead = it.instead_of.as_ref().map_or(String::new(), |now| format!(" instead of {now}"));
    let mut page = vec![Block::Title(format!("{}: {} in {}{instead}", it.build, it.part, it.slot))];
    let of = |verdict: &str| it.joints.iter().filter(|it| it.verdict == verdict).collect::<Vec<_>>();
    let (clashing, open, fitting) = (of("clashes"), of("open"), of("fits"));
    let before = |it: &Joint| match it.now {
        Some("clashes") if it.anew => ", for another reason than now".to_owned(),
        Some(now) if now == it.verdict => ", as it does now".to_owned(),
        Some(now) => format!(", now {now}"),
        None => String::new(),
    };
    if it.joints.is_empty() {
        page.push(Block::Text(plain("No joint hangs on it.")));
    }
    if !clashing.is_empty() {
        page.push(Block::Heading("Would clash".to_owned()));
        let lines = clashing
            .iter()
            .map(|it| strong(format!("{} ({}{}): {}", it.title, it.joint, before(it), it.reasons.join("; "))));
        page.push(Block::Items(lines.collect()));
    }
    if !open.is_empty() {
        page.push(Block::Heading("Would be open".to_owned()));
        let lines =
            open.iter().map(|it| plain(format!("{} ({}): hangs on {}", it.title, it.joint, it.reasons.join(", "))));
        page.push(Block::Items(lines.collect()));
    }
    if !fitting.is_empty() {
        page.push(Block::Heading("Would fit".to_owned()));
        let lines = fitting.iter().map(|it| {
            let now = if it.now == Some("fits") { String::new() } else { before(it) };
            plain(format!("{} ({}{now})", it.title, it.joint))
        });
        page.push(Block::Items(lines.collect()));
    }
    let advised: Vec<&String> = it.joints.iter().flat_map(|it| &it.advice).collect();
    if !advised.is_empty() {
        page.push(Block::Heading("Would be advised against".to_owned()));
        page.push(Block::Items(advised.into_iter().map(|it| plain(it.clone())).collect()));
    }
    page.push(Block::Heading("What it takes".to_owned()));
    page.push(Block::Text(plain(match &it.chain {
        Some(chain) if chain.changes.len() == 1 && clashing.is_empty() => "Nothing else.".to_owned(),
        Some(chain) if chain.changes.len() == 1 => {
            "Nothing else clashes by it; what clashes now still does.".to_owned()
        }
        Some(chain) => {
            let further: Vec<String> =
                chain.changes.iter().skip(1).map(|(slot, part)| format!("`{slot} = {part}`")).collect();
            let price = match (chain.price.is_empty(), chain.unpriced) {
                (true, 0) => "nothing to buy".to_owned(),
                (true, _) => "to buy, at a price that is not given".to_owned(),
                (false, 0) => chain.price.join(" and "),
                (false, _) => format!("{}, and a price that is not given", chain.price.join(" and ")),
            };
            let opens =
                if chain.opens.is_empty() { String::new() } else { format!(" Open then: {}.", chain.opens.join(", ")) };
            format!("Also {}: {price}, with the part itself.{opens}", further.join(" and "))
        }
        None if it.given_up => {
            "Not found: there is so much on the shelf and in stock that not all of it was tried.".to_owned()
        }
        None => format!("No {} changes together, of what is on the shelf or in stock, make it go.", judge::DEEP),
    })));
    let price = it.price.as_ref().map(|price| format!("{} itself costs {price}", it.part));
    let gone = (it.available == Some(false)).then(|| "it is not to be had at present".to_owned());
    let words: Vec<String> = price.into_iter().chain(gone).collect();
    if !words.is_empty() {
        page.push(Block::Text(plain(format!("{}.", words.join("; ")))));
    }
    if !it.cautions.is_empty() {
        page.push(Block::Heading("Before it is made so".to_owned()));
        page.push(Block::Items(it.cautions.iter().map(|it| plain(it.clone())).collect()));
    }
    page
}
