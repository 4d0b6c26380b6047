//! Bill of materials: what a build takes, by where it comes from, what it uses up, and what that costs and weighs.

use super::Format;
use super::orders::{self, Order};
use super::{bill_data, bill_page, render};
use crate::judge::{self, Conversion, Cost, JudgedBuild, UsedUp, Verdict};
use crate::model::{Afterwards, BuildId, Measured, Model, Pieces, SlotId, Stock};
use crate::quantity::{Dimension, Interval, Price};

/// The bill of one build.
#[derive(Clone, Debug)]
pub struct Bill {
    /// The build's name.
    pub build: String,
    /// What it is.
    pub description: String,
    /// The name of the build that it comes from.
    pub from: Option<String>,
    /// How many of its joints fit, clash and are open.
    pub joints: JointCounts,
    /// Its parts: donor, bin, buy, no source said; in the order of their slots within each.
    pub lines: Vec<Line>,
    /// Slots that hold no known part.
    pub gaps: Vec<Gap>,
    /// What is to be bought, by supplier.
    pub orders: Vec<Order>,
    /// Pieces of the build it comes from that have no place in this one: to keep, to sell, to scrap, nobody says.
    pub left_over: Vec<Line>,
    /// What its joints use up.
    pub consumables: Vec<Consumable>,
    /// What is cut to length for the joints that are made.
    pub cuts: Vec<Cut>,
    /// Sums.
    pub totals: Totals,
}

/// How many joints have which verdict.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct JointCounts {
    /// Joints that fit.
    pub fits: usize,
    /// Joints that clash.
    pub clashes: usize,
    /// Joints that are open.
    pub open: usize,
}

impl JointCounts {
    pub(super) fn of(build: &JudgedBuild) -> JointCounts {
        JointCounts {
            fits: build.count(Verdict::Fits),
            clashes: build.count(Verdict::Clashes),
            open: build.count(Verdict::Open),
        }
    }
}

/// A part with all its pieces.
#[derive(Clone, Debug)]
pub struct Line {
    /// How many pieces.
    pub quantity: u32,
    /// The part's name.
    pub part: String,
    /// What it is.
    pub description: String,
    /// Its kind.
    pub kind: String,
    /// The slots it fills; of a left-over part, those it filled.
    pub slots: Vec<String>,
    /// Where it comes from; none when it does not say.
    pub source: Option<Stock>,
    /// What one costs.
    pub unit_price: Option<Price>,
    /// What all pieces cost.
    pub price: Option<Price>,
    /// What all pieces weigh, in g.
    pub mass: Option<Measured>,
    /// Who sells it.
    pub supplier: String,
    /// How long an order takes, in s.
    pub lead_time: Option<Measured>,
    /// Whether it is to be had; none when nobody says.
    pub available: Option<bool>,
    /// What becomes of it where it is left over.
    pub afterwards: Option<Afterwards>,
    /// What all pieces may be sold for.
    pub worth: Option<Price>,
    /// What else is to know.
    pub note: String,
}

/// A slot that holds no known part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gap {
    /// The slot.
    pub slot: String,
    /// What it is for.
    pub description: String,
    /// Kinds that may stand in it.
    pub kinds: Vec<String>,
    /// Said to be not decided; otherwise it is empty, though it must be filled.
    pub undecided: bool,
}

/// Something that joints use up.
#[derive(Clone, Debug, PartialEq)]
pub struct Consumable {
    /// What.
    pub what: String,
    /// What its counts measure.
    pub dimension: Dimension,
    /// For all joints.
    pub all: Needed,
    /// For the joints that are made in a conversion, newly or again; none for a build of its own.
    pub new: Option<Needed>,
    /// Names of the joints.
    pub joints: Vec<String>,
}

/// A piece that is cut to length.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// What it is, and from where to where it runs.
    pub what: String,
    /// Its length, in mm; without end while that is not known.
    pub length: Interval,
    /// Whether it is surely cut; otherwise that hangs on facts that are not known.
    pub certain: bool,
    /// Name of the joint.
    pub joint: String,
}

/// How many of something are needed.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Needed {
    /// The sum of known counts, in base units; none when no count is known.
    pub count: Option<Interval>,
    /// Some joints need some of it, and don't say how many.
    pub some: bool,
}

/// Sums of a bill.
#[derive(Clone, Debug)]
pub struct Totals {
    /// Known prices of what must be bought, a sum a currency.
    pub to_buy: Vec<Price>,
    /// Pieces to buy.
    pub pieces_to_buy: u32,
    /// Those of them without a price.
    pub unpriced: u32,
    /// Pieces that don't say where they come from: no sum of prices holds them.
    pub without_source: u32,
    /// What the bought thing cost.
    pub paid: Option<Price>,
    /// What may be spent on parts.
    pub budget: Option<Price>,
    /// What is left of the budget after the known prices in its currency; negative where it is exceeded.
    pub left: Option<Price>,
    /// What those left-over pieces are said to be worth that are to be sold, a sum a currency.
    pub to_sell: Vec<Price>,
    /// Left-over pieces to sell.
    pub pieces_to_sell: u32,
    /// Those of them of which nobody says what they are worth.
    pub unvalued: u32,
    /// The mass of all pieces in the build.
    pub mass: Mass,
}

/// A sum of masses.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Mass {
    /// The least that the known ones may be, in g.
    pub low: f64,
    /// The most.
    pub high: f64,
    /// Pieces whose mass is known.
    pub known: u32,
    /// Those of them whose mass is a guess.
    pub estimated: u32,
    /// Pieces whose mass is not given, slots without a known part included.
    pub missing: u32,
}

impl Bill {
    /// Makes the bill of a judged build.
    pub fn of(model: &Model, judged: &JudgedBuild) -> Bill {
        let build = judged.build;
        let (known, undecided): (Vec<Pieces>, Vec<Pieces>) =
            model.pieces(build).into_iter().partition(|it| !model[it.part].undecided);
        let gaps = gaps(model, build, &undecided);
        let mut lines: Vec<Line> = known.iter().map(|it| line(model, build, it)).collect();
        // Those without a source come last.
        lines.sort_by_key(|it| (it.source.is_none(), it.source));
        let from = model[build].from;
        let base = from.map(|base| judge::judge_one(model, base));
        let conversion = base.as_ref().map(|base| Conversion::of(model, Some(base), judged));
        let left_over = from.zip(conversion.as_ref()).map(|(base, it)| left_over(model, base, it)).unwrap_or_default();
        let totals = totals(model, build, &known, &lines, &gaps, &left_over);
        Bill {
            build: model[build].name.text.clone(),
            description: model[build].doc.clone(),
            from: from.map(|base| model[base].name.text.clone()),
            joints: JointCounts::of(judged),
            gaps,
            orders: orders::orders(&lines),
            left_over,
            consumables: consumables(model, judged, conversion.as_ref()),
            cuts: cuts(model, judged, conversion.as_ref()),
            totals,
            lines,
        }
    }
}

/// Bills of several builds in one format.
pub fn render(bills: &[Bill], format: Format) -> String {
    let page = || bills.iter().flat_map(bill_page::blocks).collect::<Vec<_>>();
    match format {
        Format::Text => render::text(&page()),
        Format::Markdown => render::markdown(&page()),
        Format::Csv => bill_data::csv(bills),
        Format::Json => bill_data::json(bills),
    }
}

pub(super) fn line(model: &Model, build: BuildId, pieces: &Pieces) -> Line {
    let (id, count) = (pieces.part, pieces.count);
    let part = &model[id];
    let unit_price = model.price_of(id).map(|it| it.price);
    let times = f64::from(count);
    Line {
        quantity: count,
        part: part.name.text.clone(),
        description: part.doc.clone(),
        kind: model[part.kind].name.text.clone(),
        slots: pieces.slots.iter().map(|slot| slot_name(model, build, *slot)).collect(),
        source: model.stock_of(id),
        unit_price,
        price: unit_price.and_then(|it| it.times(count)),
        mass: model.mass_of(id).map(|it| Measured { low: it.low * times, high: it.high * times, ..it }),
        supplier: model.supplier_of(id).unwrap_or_default().to_owned(),
        lead_time: model.lead_time_of(id),
        available: model.is_available(id),
        afterwards: model.afterwards_of(id),
        worth: model.worth_of(id).and_then(|it| it.price.times(count)),
        note: model.note_of(id).unwrap_or_default().to_owned(),
    }
}

fn slot_name(model: &Model, build: BuildId, slot: SlotId) -> String {
    model[model[build].assembly].slots.get_index(slot.0).map(|(name, _)| name.clone()).unwrap_or_default()
}

pub(super) fn gaps(model: &Model, build: BuildId, undecided: &[Pieces]) -> Vec<Gap> {
    let slots = model[model[build].assembly].slots.iter().zip(&model[build].slots).enumerate();
    let gaps = slots.filter_map(|(number, ((name, slot), filled))| {
        let undecided = undecided.iter().any(|it| it.slots.contains(&SlotId(number)));
        if !undecided && (filled.is_some() || slot.optional) {
            return None;
        }
        let kinds = slot.kinds.iter().map(|kind| model[*kind].name.text.clone()).collect();
        Some(Gap { slot: name.clone(), description: slot.doc.clone(), kinds, undecided })
    });
    gaps.collect()
}

/// Pieces of the base build that have no place any more, with the slots that they stood in.
pub(super) fn left_over(model: &Model, base: BuildId, conversion: &Conversion) -> Vec<Line> {
    let over = conversion.pieces.iter().filter(|it| it.left_over > 0 && !model[it.part].undecided);
    let over = over.map(|it| Pieces { part: it.part, count: it.left_over, slots: it.leaves.clone() });
    let mut lines: Vec<Line> = over.map(|it| line(model, base, &it)).collect();
    lines.sort_by_key(|it| (it.afterwards.is_none(), it.afterwards));
    lines
}

/// What is cut to length for the joints that are made: all of a build of its own, the new ones of a conversion.
pub(super) fn cuts(model: &Model, judged: &JudgedBuild, conversion: Option<&Conversion>) -> Vec<Cut> {
    let made =
        judged.joints.iter().enumerate().filter(|(number, joint)| {
            joint.verdict != Verdict::Clashes && conversion.is_none_or(|it| it.is_made(*number))
        });
    let cuts = made.flat_map(|(_, joint)| {
        let consumes = judge::making(model, judged.build, joint).consumes;
        let pieces = consumes.into_iter().filter_map(|it| it.cut.then_some((it.what, it.count?, it.certain)));
        let cut = |(what, length, certain)| Cut { what, length, certain, joint: joint.name.clone() };
        pieces.map(cut).collect::<Vec<_>>()
    });
    cuts.collect()
}

/// What the joints use up; apart from that what those use up that a conversion makes.
pub(super) fn consumables(model: &Model, judged: &JudgedBuild, conversion: Option<&Conversion>) -> Vec<Consumable> {
    let mut all: Vec<Consumable> = Vec::new();
    for (number, joint) in judged.joints.iter().enumerate() {
        let new = conversion.is_none_or(|it| it.is_made(number));
        for used in judge::making(model, judged.build, joint).consumes.iter().filter(|it| !it.cut) {
            let known = all.iter().position(|it| it.what == used.what && it.dimension == used.dimension);
            let at = known.unwrap_or(all.len());
            if known.is_none() {
                let (what, dimension) = (used.what.clone(), used.dimension);
                let new = conversion.map(|_| Needed::default());
                all.push(Consumable { what, dimension, all: Needed::default(), new, joints: Vec::new() });
            }
            let Some(sum) = all.get_mut(at) else { continue };
            sum.all.add(used);
            if let Some(sum) = sum.new.as_mut().filter(|_| new) {
                sum.add(used);
            }
            if !sum.joints.contains(&joint.name) {
                sum.joints.push(joint.name.clone());
            }
        }
    }
    all
}

impl Needed {
    pub(super) fn add(&mut self, used: &UsedUp) {
        let Some(count) = used.count else {
            self.some = true;
            return;
        };
        let least = if used.certain { count.low().max(0.0) } else { 0.0 };
        let count = Interval::new(least, count.high().max(0.0));
        self.count = Some(self.count.map_or(count, |so_far| so_far.plus(count)));
    }

    /// Whether nothing is needed.
    pub fn is_nothing(&self) -> bool {
        !self.some && self.count.is_none_or(|it| it.high() == 0.0)
    }
}

fn totals(model: &Model, build: BuildId, known: &[Pieces], lines: &[Line], gaps: &[Gap], left_over: &[Line]) -> Totals {
    let cost = Cost::of_pieces(model, build, known);
    let mut mass = Mass { missing: u32::try_from(gaps.len()).unwrap_or(u32::MAX), ..Mass::default() };
    for line in lines {
        match &line.mass {
            Some(it) => {
                mass.low += it.low;
                mass.high += it.high;
                mass.known += line.quantity;
                mass.estimated += if it.estimated { line.quantity } else { 0 };
            }
            None => mass.missing = mass.missing.saturating_add(line.quantity),
        }
    }
    let (mut to_sell, mut pieces_to_sell, mut unvalued) = (Vec::new(), 0_u32, 0_u32);
    for line in left_over.iter().filter(|it| it.afterwards == Some(Afterwards::Sell)) {
        pieces_to_sell = pieces_to_sell.saturating_add(line.quantity);
        if !line.worth.is_some_and(|it| it.add_to(&mut to_sell)) {
            unvalued = unvalued.saturating_add(line.quantity);
        }
    }
    to_sell.sort_by_key(|it| it.currency().code());
    Totals {
        left: cost.left(),
        paid: cost.paid.map(|it| it.price),
        budget: cost.budget.map(|it| it.price),
        to_sell,
        pieces_to_sell,
        unvalued,
        to_buy: cost.sums,
        pieces_to_buy: cost.pieces,
        unpriced: cost.unpriced,
        without_source: lines.iter().filter(|it| it.source.is_none()).map(|it| it.quantity).sum(),
        mass,
    }
}
