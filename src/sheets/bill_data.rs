//! A bill of materials for programs: CSV, and JSON as `cotter.bom/1`.

use super::bill::{Bill, Consumable, Cut, Gap, Line, Mass, Needed};
use super::bill_page::needed_words;
use super::orders::{self, Order, Ordered};
use super::price_data::PriceData;
use super::render::{self, figure, figure_cell};
use crate::model::{Afterwards, Measured, Stock};
use crate::quantity::{Dimension, Money, Price, shown_in};
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
    "unit_price_min",
    "unit_price_max",
    "price_min",
    "price_max",
    "currency",
    "price_estimated",
    "mass_min_g",
    "mass_max_g",
    "mass_estimated",
    "supplier",
    "lead_time_min_days",
    "lead_time_max_days",
    "available",
    "cut_min_mm",
    "cut_max_mm",
    "afterwards",
    "worth_min",
    "worth_max",
    "worth_currency",
    "note",
];

/// A row a part, gap, left-over part, thing used up or piece to cut. Sums are left to whoever filters the rows: a column that
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
        for it in &bill.cuts {
            row(vec![
                ("group", "cut".to_owned()),
                ("quantity", "1".to_owned()),
                ("description", it.what.clone()),
                ("slots", it.joint.clone()),
                ("cut_min_mm", figure_cell(Some(it.length.low()))),
                ("cut_max_mm", figure_cell(Some(it.length.high()))),
            ]);
        }
    }
    render::csv(HEADER, &rows)
}

fn line_cells(line: &Line, group: &str) -> Vec<(&'static str, String)> {
    let digits = |price: Option<Price>, end: fn(Price) -> Money| price.map(|it| end(it).digits()).unwrap_or_default();
    let code = |price: Option<Price>| price.map(|it| it.currency().code().to_owned()).unwrap_or_default();
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
        ("unit_price_min", digits(line.unit_price, Price::low)),
        ("unit_price_max", digits(line.unit_price, Price::high)),
        ("price_min", digits(line.price, Price::low)),
        ("price_max", digits(line.price, Price::high)),
        ("currency", code(line.price)),
        ("price_estimated", line.price.map(|it| yes(it.is_estimated())).unwrap_or_default()),
        ("mass_min_g", of(mass, |it| it.low, 1.0)),
        ("mass_max_g", of(mass, |it| it.high, 1.0)),
        ("mass_estimated", mass.as_ref().map(|it| yes(it.estimated)).unwrap_or_default()),
        ("supplier", line.supplier.clone()),
        ("lead_time_min_days", of(time, |it| it.low, DAY)),
        ("lead_time_max_days", of(time, |it| it.high, DAY)),
        ("available", line.available.map(yes).unwrap_or_default()),
        ("afterwards", line.afterwards.map_or(String::new(), |it| it.word().to_owned())),
        ("worth_min", digits(line.worth, Price::low)),
        ("worth_max", digits(line.worth, Price::high)),
        ("worth_currency", code(line.worth)),
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
    orders: Vec<OrderData<'b>>,
    waits_longest_for: Option<&'b str>,
    gaps: Vec<GapData<'b>>,
    left_over: Vec<LineData<'b>>,
    used_up: Vec<UsedData<'b>>,
    cuts: Vec<CutData<'b>>,
    totals: TotalsData,
}

#[derive(Serialize)]
struct JointsData {
    fits: usize,
    clashes: usize,
    open: usize,
}

#[derive(Serialize)]
struct OrderData<'b> {
    supplier: &'b str,
    parts: Vec<OrderedData<'b>>,
    pieces: u32,
    price: Vec<PriceData>,
    pieces_without_price: u32,
    lead_time_min_days: Option<Number>,
    lead_time_max_days: Option<Number>,
}

#[derive(Serialize)]
struct OrderedData<'b> {
    part: &'b str,
    quantity: u32,
    lead_time_min_days: Option<Number>,
    lead_time_max_days: Option<Number>,
    available: Option<bool>,
}

#[derive(Serialize)]
struct CutData<'b> {
    what: &'b str,
    length_min_mm: Option<Number>,
    length_max_mm: Option<Number>,
    certain: bool,
    joint: &'b str,
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
    afterwards: Option<&'static str>,
    worth: Option<PriceData>,
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
    to_sell: Vec<PriceData>,
    pieces_to_sell: u32,
    pieces_without_worth: u32,
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
        orders: bill.orders.iter().map(order_data).collect(),
        waits_longest_for: orders::holds_up(&bill.orders).map(|(_, part, _)| part.part.as_str()),
        gaps: bill.gaps.iter().map(gap_data).collect(),
        left_over: bill.left_over.iter().map(line_data).collect(),
        used_up: bill.consumables.iter().filter(|it| !it.all.is_nothing()).map(used_data).collect(),
        cuts: bill.cuts.iter().map(cut_data).collect(),
        totals: TotalsData {
            to_buy: totals.to_buy.iter().map(PriceData::of).collect(),
            pieces_to_buy: totals.pieces_to_buy,
            pieces_without_price: totals.unpriced,
            pieces_without_source: totals.without_source,
            slots_without_part: bill.gaps.len(),
            paid: totals.paid.as_ref().map(PriceData::of),
            budget: totals.budget.as_ref().map(PriceData::of),
            budget_left: totals.left.as_ref().map(PriceData::of),
            to_sell: totals.to_sell.iter().map(PriceData::of).collect(),
            pieces_to_sell: totals.pieces_to_sell,
            pieces_without_worth: totals.unvalued,
            mass: mass_data(&totals.mass),
        },
    }
}

/// The ends of a lead time in days.
fn days(time: Option<&Measured>) -> [Option<Number>; 2] {
    [time.and_then(|it| figure(it.low / DAY)), time.and_then(|it| figure(it.high / DAY))]
}

fn order_data(order: &Order) -> OrderData<'_> {
    let [lead_time_min_days, lead_time_max_days] = days(order.lead_time.as_ref());
    OrderData {
        supplier: &order.supplier,
        parts: order.parts.iter().map(ordered_data).collect(),
        pieces: order.pieces,
        price: order.price.iter().map(PriceData::of).collect(),
        pieces_without_price: order.unpriced,
        lead_time_min_days,
        lead_time_max_days,
    }
}

fn ordered_data(part: &Ordered) -> OrderedData<'_> {
    let [lead_time_min_days, lead_time_max_days] = days(part.lead_time.as_ref());
    let (quantity, available) = (part.quantity, part.available);
    OrderedData { part: &part.part, quantity, lead_time_min_days, lead_time_max_days, available }
}

fn cut_data(cut: &Cut) -> CutData<'_> {
    CutData {
        what: &cut.what,
        length_min_mm: figure(cut.length.low()),
        length_max_mm: figure(cut.length.high()),
        certain: cut.certain,
        joint: &cut.joint,
    }
}

fn line_data(line: &Line) -> LineData<'_> {
    let mass = line.mass.as_ref();
    let [lead_time_min_days, lead_time_max_days] = days(line.lead_time.as_ref());
    LineData {
        source: line.source.map(Stock::word),
        quantity: line.quantity,
        part: &line.part,
        description: &line.description,
        kind: &line.kind,
        slots: &line.slots,
        unit_price: line.unit_price.as_ref().map(PriceData::of),
        price: line.price.as_ref().map(PriceData::of),
        mass_min_g: mass.and_then(|it| figure(it.low)),
        mass_max_g: mass.and_then(|it| figure(it.high)),
        mass_estimated: mass.map(|it| it.estimated),
        supplier: &line.supplier,
        lead_time_min_days,
        lead_time_max_days,
        available: line.available,
        afterwards: line.afterwards.map(Afterwards::word),
        worth: line.worth.as_ref().map(PriceData::of),
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
