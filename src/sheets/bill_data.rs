//! A bill of materials for programs: CSV, and JSON as `cotter.bom/1`.

use super::bill::{Bill, Consumable, Gap, Line, Mass, Needed};
use super::bill_page::needed_words;
use super::render::{self, figure, figure_cell};
use crate::judge::Price;
use crate::model::{Measured, Stock};
use crate::quantity::{Dimension, shown_in};
use serde::Serialize;
use serde_json::Number;

/// A day, in s.
const DAY: f64 = 86_400.0;

const HEADER: &[&str] = &[
    "build",
    "group",
    "quantity",
    "quantity_new_joints",
    "part",
    "description",
    "kind",
    "slots",
    "unit_price",
    "price",
    "currency",
    "price_estimated",
    "mass_min_g",
    "mass_max_g",
    "mass_estimated",
    "supplier",
    "lead_time_min_days",
    "lead_time_max_days",
    "available",
    "note",
];

/// A row a part, gap, left-over part or thing used up. Sums are left to whoever filters the rows: a column that
/// held prices and their totals would be added up wrongly.
pub(super) fn csv(bills: &[Bill]) -> String {
    let mut rows = Vec::new();
    for bill in bills {
        let mut row = |cells: Vec<(&str, String)>| {
            let cell = |name: &&str| match *name {
                "build" => bill.build.clone(),
                name => cells.iter().find(|(own, _)| *own == name).map(|(_, cell)| cell.clone()).unwrap_or_default(),
            };
            rows.push(HEADER.iter().map(cell).collect());
        };
        bill.lines.iter().for_each(|it| row(line_cells(it, it.source.map_or("no_source", Stock::word))));
        for it in &bill.gaps {
            row(vec![
                ("group", if it.undecided { "not_decided" } else { "empty" }.to_owned()),
                ("description", it.description.clone()),
                ("kind", it.kinds.join(" or ")),
                ("slots", it.slot.clone()),
            ]);
        }
        bill.left_over.iter().for_each(|it| row(line_cells(it, "left_over")));
        for it in bill.consumables.iter().filter(|it| !it.all.is_nothing()) {
            row(vec![
                ("group", "used_up".to_owned()),
                ("quantity", needed_words(&it.all, it.dimension)),
                ("quantity_new_joints", it.new.map(|new| needed_words(&new, it.dimension)).unwrap_or_default()),
                ("description", it.what.clone()),
                ("slots", it.joints.join(" ")),
            ]);
        }
    }
    render::csv(HEADER, &rows)
}

fn line_cells(line: &Line, group: &str) -> Vec<(&'static str, String)> {
    let digits = |price: Option<Price>| price.map(|it| it.money.digits()).unwrap_or_default();
    let yes = |it: bool| if it { "yes" } else { "no" }.to_owned();
    let (mass, time) = (&line.mass, &line.lead_time);
    let of =
        |it: &Option<Measured>, end: fn(&Measured) -> f64, unit: f64| figure_cell(it.as_ref().map(|it| end(it) / unit));
    vec![
        ("group", group.to_owned()),
        ("quantity", line.quantity.to_string()),
        ("part", line.part.clone()),
        ("description", line.description.clone()),
        ("kind", line.kind.clone()),
        ("slots", line.slots.join(" ")),
        ("unit_price", digits(line.unit_price)),
        ("price", digits(line.price)),
        ("currency", line.price.map(|it| it.money.currency.code().to_owned()).unwrap_or_default()),
        ("price_estimated", line.price.map(|it| yes(it.estimated)).unwrap_or_default()),
        ("mass_min_g", of(mass, |it| it.low, 1.0)),
        ("mass_max_g", of(mass, |it| it.high, 1.0)),
        ("mass_estimated", mass.as_ref().map(|it| yes(it.estimated)).unwrap_or_default()),
        ("supplier", line.supplier.clone()),
        ("lead_time_min_days", of(time, |it| it.low, DAY)),
        ("lead_time_max_days", of(time, |it| it.high, DAY)),
        ("available", line.available.map(yes).unwrap_or_default()),
        ("note", line.note.clone()),
    ]
}

#[derive(Serialize)]
struct Sheet<'b> {
    schema: &'static str,
    builds: Vec<BillData<'b>>,
}

#[derive(Serialize)]
struct BillData<'b> {
    build: &'b str,
    description: &'b str,
    from: Option<&'b str>,
    joints: JointsData,
    lines: Vec<LineData<'b>>,
    gaps: Vec<GapData<'b>>,
    left_over: Vec<LineData<'b>>,
    used_up: Vec<UsedData<'b>>,
    totals: TotalsData,
}

#[derive(Serialize)]
struct JointsData {
    fits: usize,
    clashes: usize,
    open: usize,
}

#[derive(Serialize)]
struct PriceData {
    amount: String,
    currency: &'static str,
    estimated: bool,
}

#[derive(Serialize)]
struct LineData<'b> {
    source: Option<&'static str>,
    quantity: u32,
    part: &'b str,
    description: &'b str,
    kind: &'b str,
    slots: &'b [String],
    unit_price: Option<PriceData>,
    price: Option<PriceData>,
    mass_min_g: Option<Number>,
    mass_max_g: Option<Number>,
    mass_estimated: Option<bool>,
    supplier: &'b str,
    lead_time_min_days: Option<Number>,
    lead_time_max_days: Option<Number>,
    available: Option<bool>,
    note: &'b str,
}

#[derive(Serialize)]
struct GapData<'b> {
    slot: &'b str,
    description: &'b str,
    kinds: &'b [String],
    undecided: bool,
}

#[derive(Serialize)]
struct UsedData<'b> {
    what: &'b str,
    unit: Option<&'static str>,
    all: NeededData,
    new: Option<NeededData>,
    joints: &'b [String],
}

/// `count_max` is missing when there is no end to it; `some`: joints need it that don't say how many.
#[derive(Serialize)]
struct NeededData {
    count_min: Option<Number>,
    count_max: Option<Number>,
    some: bool,
}

#[derive(Serialize)]
struct TotalsData {
    to_buy: Vec<PriceData>,
    pieces_to_buy: u32,
    pieces_without_price: u32,
    pieces_without_source: u32,
    slots_without_part: usize,
    paid: Option<PriceData>,
    budget: Option<PriceData>,
    budget_left: Option<PriceData>,
    mass: MassData,
}

#[derive(Serialize)]
struct MassData {
    min_kg: Option<Number>,
    max_kg: Option<Number>,
    pieces_known: u32,
    pieces_estimated: u32,
    pieces_not_given: u32,
}

/// All bills as JSON text.
pub(super) fn json(bills: &[Bill]) -> String {
    render::json(&Sheet { schema: "cotter.bom/1", builds: bills.iter().map(bill_data).collect() })
}

fn bill_data(bill: &Bill) -> BillData<'_> {
    let totals = &bill.totals;
    BillData {
        build: &bill.build,
        description: &bill.description,
        from: bill.from.as_deref(),
        joints: JointsData { fits: bill.joints.fits, clashes: bill.joints.clashes, open: bill.joints.open },
        lines: bill.lines.iter().map(line_data).collect(),
        gaps: bill.gaps.iter().map(gap_data).collect(),
        left_over: bill.left_over.iter().map(line_data).collect(),
        used_up: bill.consumables.iter().filter(|it| !it.all.is_nothing()).map(used_data).collect(),
        totals: TotalsData {
            to_buy: totals.to_buy.iter().map(price_data).collect(),
            pieces_to_buy: totals.pieces_to_buy,
            pieces_without_price: totals.unpriced,
            pieces_without_source: totals.without_source,
            slots_without_part: bill.gaps.len(),
            paid: totals.paid.as_ref().map(price_data),
            budget: totals.budget.as_ref().map(price_data),
            budget_left: totals.left.as_ref().map(price_data),
            mass: mass_data(&totals.mass),
        },
    }
}

fn price_data(price: &Price) -> PriceData {
    PriceData { amount: price.money.digits(), currency: price.money.currency.code(), estimated: price.estimated }
}

fn line_data(line: &Line) -> LineData<'_> {
    let (mass, time) = (line.mass.as_ref(), line.lead_time.as_ref());
    LineData {
        source: line.source.map(Stock::word),
        quantity: line.quantity,
        part: &line.part,
        description: &line.description,
        kind: &line.kind,
        slots: &line.slots,
        unit_price: line.unit_price.as_ref().map(price_data),
        price: line.price.as_ref().map(price_data),
        mass_min_g: mass.and_then(|it| figure(it.low)),
        mass_max_g: mass.and_then(|it| figure(it.high)),
        mass_estimated: mass.map(|it| it.estimated),
        supplier: &line.supplier,
        lead_time_min_days: time.and_then(|it| figure(it.low / DAY)),
        lead_time_max_days: time.and_then(|it| figure(it.high / DAY)),
        available: line.available,
        note: &line.note,
    }
}

fn gap_data(gap: &Gap) -> GapData<'_> {
    GapData { slot: &gap.slot, description: &gap.description, kinds: &gap.kinds, undecided: gap.undecided }
}

fn used_data(used: &Consumable) -> UsedData<'_> {
    UsedData {
        what: &used.what,
        unit: shown_in(used.dimension).map(|it| it.name),
        all: needed_data(&used.all, used.dimension),
        new: used.new.as_ref().map(|it| needed_data(it, used.dimension)),
        joints: &used.joints,
    }
}

fn needed_data(needed: &Needed, dimension: Dimension) -> NeededData {
    let factor = shown_in(dimension).map_or(1.0, |it| it.factor);
    NeededData {
        count_min: needed.count.and_then(|it| figure(it.low() / factor)),
        count_max: needed.count.and_then(|it| figure(it.high() / factor)),
        some: needed.some,
    }
}

fn mass_data(mass: &Mass) -> MassData {
    let known = mass.known > 0;
    MassData {
        min_kg: figure(mass.low / 1000.0).filter(|_| known),
        max_kg: figure(mass.high / 1000.0).filter(|_| known),
        pieces_known: mass.known,
        pieces_estimated: mass.estimated,
        pieces_not_given: mass.missing,
    }
}
