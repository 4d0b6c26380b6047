//! Remedies of a spec's joints, numbered: what each changes, costs and does.

use super::render::{self, Block, Grid, plain};
use crate::Compiled;
use crate::diagnose::{Diagnostic, Mend};
use crate::editing::{self, Edit, Setting};
use crate::judge::{self, Verdict};
use indexmap::IndexSet;
use serde::Serialize;

/// A remedy that may be taken.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Offer {
    /// Its number, from 1.
    pub number: usize,
    /// The build that it changes.
    pub build: String,
    /// Joints that it was found for.
    pub joints: Vec<String>,
    /// What is wrong there now.
    pub wrong: String,
    /// Slots and the parts that go there.
    pub changes: Vec<Put>,
    /// The same as edits of the build's own text; none where its text can't be written.
    pub edits: Vec<Edit>,
    /// What must be paid, a sum a currency.
    pub price: Vec<String>,
    /// Parts to buy whose price is not given.
    pub unpriced: usize,
    /// Joints that fit by it and did not before.
    pub mends: Vec<String>,
    /// Joints that are made anew.
    pub makes: Vec<String>,
    /// Joints that become open.
    pub opens: Vec<String>,
    /// Joints of the exchanged parts that clash as they did before.
    pub still: Vec<String>,
    /// Advice that is not followed with it and was before, by code.
    pub advises: Vec<String>,
}

/// A part in a slot.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Put {
    /// The slot.
    pub slot: String,
    /// The part.
    pub part: String,
}

/// Every remedy of these units, or of one build; the same one of several joints once.
pub fn offers(units: &[Compiled], only: Option<&str>) -> Vec<Offer> {
    let mut offers: Vec<Offer> = Vec::new();
    for told in units.iter().flat_map(|unit| &unit.diagnostics) {
        let (Some(build), Some(joint)) = (&told.build, &told.joint) else { continue };
        if only.is_some_and(|only| only != build) {
            continue;
        }
        for mend in &told.mends {
            let same = offers.iter_mut().find(|it| it.build == *build && alike(&changes(mend), &it.changes));
            match same {
                Some(same) if same.joints.contains(joint) => {}
                Some(same) => same.joints.push(joint.clone()),
                None => offers.push(offer(offers.len() + 1, build, joint, told, mend)),
            }
        }
    }
    for offer in &mut offers {
        let put = |it: &Put| Setting::put(&offer.build, &it.slot, &it.part);
        let settings: Vec<Setting> = offer.changes.iter().map(put).collect();
        offer.edits = editing::planned(units, &settings).unwrap_or_default();
    }
    offers
}

/// Whether two remedies come to the same, in whichever order they say it.
fn alike(one: &[Put], other: &[Put]) -> bool {
    one.len() == other.len() && one.iter().all(|it| other.contains(it))
}

fn changes(mend: &Mend) -> Vec<Put> {
    mend.changes.iter().map(|(slot, part)| Put { slot: slot.clone(), part: part.clone() }).collect()
}

fn offer(number: usize, build: &str, joint: &str, told: &Diagnostic, mend: &Mend) -> Offer {
    Offer {
        number,
        build: build.to_owned(),
        joints: vec![joint.to_owned()],
        wrong: told.message.clone(),
        changes: changes(mend),
        edits: Vec::new(),
        price: mend.price.clone(),
        unpriced: mend.unpriced,
        mends: mend.mends.clone(),
        makes: mend.makes.clone(),
        opens: mend.opens.clone(),
        still: mend.still.clone(),
        advises: mend.advises.clone(),
    }
}

/// Joints of a build that do not fit and that no remedy was found for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Left {
    /// The build.
    pub build: String,
    /// The joints, by name.
    pub joints: Vec<String>,
}

/// What these remedies leave, of these units' builds or of one of them; builds of which all is mended left out.
pub fn left(units: &[Compiled], only: Option<&str>, offers: &[Offer]) -> Vec<Left> {
    let mut all: Vec<Left> = Vec::new();
    for (model, judged) in units.iter().flat_map(|unit| unit.builds.iter().map(|it| (&unit.model, it))) {
        let build = &model[judged.build].name.text;
        if only.is_some_and(|only| build != only) || all.iter().any(|it| it.build == *build) {
            continue;
        }
        let mended = |joint: &str| {
            let mut own =
                offers.iter().filter(|it| it.build == *build).flat_map(|it| it.joints.iter().chain(&it.mends));
            own.any(|it| it == joint)
        };
        let joints = judged.joints.iter().filter(|it| it.verdict != Verdict::Fits && !mended(&it.name));
        let joints: Vec<String> = joints.map(|it| it.name.clone()).collect();
        if !joints.is_empty() {
            all.push(Left { build: build.clone(), joints });
        }
    }
    all
}

/// What holds for all handwork on these units' builds, or on one of them: its cautions in full, each once.
pub fn cautions(units: &[Compiled], only: Option<&str>) -> Vec<String> {
    let mut texts: Vec<String> = Vec::new();
    for (model, judged) in units.iter().flat_map(|unit| unit.builds.iter().map(|it| (&unit.model, it))) {
        if only.is_some_and(|only| model[judged.build].name.text != only) {
            continue;
        }
        for name in judge::whole_cautions(model, judged.build) {
            let text = model.cautions.get(&name).map(|it| it.text.to_string());
            texts.extend(text.filter(|it| !texts.contains(it)));
        }
    }
    texts
}

/// Cautions as text.
pub fn beware(cautions: &[String]) -> String {
    let lines = cautions.iter().map(|it| plain(it.clone())).collect();
    if cautions.is_empty() { String::new() } else { render::text(&[beware_title(), Block::Items(lines)]) }
}

fn beware_title() -> Block {
    Block::Heading("Before it is made so".to_owned())
}

/// The remedies as text, those of each build under its name, with what they leave, and under which cautions.
pub fn text(offers: &[Offer], left: &[Left], cautions: &[String]) -> String {
    if offers.is_empty() && left.is_empty() {
        return "Every joint fits: there is nothing to mend.\n".to_owned();
    }
    let mut page = Vec::new();
    let mut builds: Vec<&str> = offers.iter().map(|it| it.build.as_str()).collect();
    builds.extend(left.iter().map(|it| it.build.as_str()));
    let builds: IndexSet<&str> = builds.into_iter().collect();
    for build in builds {
        page.push(Block::Title(format!("{build}: what would mend it")));
        let titles = [("no", true), ("put", false), ("to pay", true), ("mends", false), ("but", false)];
        let titles = titles.iter().map(|(title, right)| ((*title).to_owned(), *right)).collect();
        let row = |it: &Offer| {
            let put: Vec<String> = it.changes.iter().map(|it| format!("{} = {}", it.slot, it.part)).collect();
            let price = match (it.price.is_empty(), it.unpriced) {
                (true, 0) => "nothing".to_owned(),
                (true, _) => "not given".to_owned(),
                (false, 0) => it.price.join(" + "),
                (false, _) => format!("{} + ?", it.price.join(" + ")),
            };
            vec![it.number.to_string(), put.join(", "), price, it.mends.join(", "), but(it)]
        };
        let rows: Vec<Vec<String>> = offers.iter().filter(|it| it.build == build).map(row).collect();
        if !rows.is_empty() {
            page.push(Block::Grid(Grid { titles, rows }));
        }
        if let Some(left) = left.iter().find(|it| it.build == build) {
            let words = format!("Nothing on the shelf or in stock mends {}.", left.joints.join(", "));
            page.push(Block::Text(plain(words)));
        }
    }
    if offers.is_empty() {
        return render::text(&page);
    }
    let words = "Each was compiled: the joints it mends fit, and nothing clashes that did not, or for a reason that it did \
                 not. They stand for themselves; taken together they may not go. `cotter explain` tells what an advice \
                 is about. `--take N` writes one into the spec.";
    page.push(Block::Text(plain(words)));
    let words = "Parts are exchanged only: cold setting, filing and drilling are never offered; where a joint could be \
                 made so, its clash says under which cautions.";
    page.push(Block::Text(plain(words)));
    let beware = beware(cautions);
    if beware.is_empty() { render::text(&page) } else { format!("{}\n{beware}", render::text(&page)) }
}

/// What speaks against a remedy.
fn but(it: &Offer) -> String {
    let opens = it.opens.iter().map(|it| format!("{it} is open"));
    let still = it.still.iter().map(|it| format!("{it} clashes as before"));
    let advises = it.advises.iter().map(|it| format!("advice {it}"));
    opens.chain(still).chain(advises).collect::<Vec<_>>().join("; ")
}

/// The remedies as JSON, `cotter.mend/1`: each with its edits, a line of the build's text a change.
pub fn json(offers: &[Offer], left: &[Left]) -> String {
    #[derive(Serialize)]
    struct Sheet<'o> {
        schema: &'static str,
        remedies: &'o [Offer],
        left: &'o [Left],
    }
    render::json(&Sheet { schema: "cotter.mend/1", remedies: offers, left })
}
