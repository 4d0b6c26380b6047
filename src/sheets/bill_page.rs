//! A bill of materials for people.

use super::bill::{Bill, Consumable, Cut, Gap, Line, Needed, Totals};
use super::orders;
use super::render::{Block, Table, Words, column, numbers, plain, strong};
use super::words::{counted, joints, mass, measure, sums};
use crate::model::{Afterwards, Stock};
use crate::quantity::{Dimension, Interval, Price, show, shown_in};

/// The page of one bill.
pub(super) fn blocks(bill: &Bill) -> Vec<Block> {
    let mut page = vec![Block::Title(format!("{}: bill of materials", bill.build))];
    if !bill.description.is_empty() {
        page.push(Block::Text(plain(bill.description.clone())));
    }
    if let Some(words) = joints(&bill.joints, "settle that before anything is ordered (cotter check)") {
        page.push(Block::Text(strong(words)));
    }
    for source in [Some(Stock::Donor), Some(Stock::Bin), Some(Stock::Buy), None] {
        let lines: Vec<&Line> = bill.lines.iter().filter(|it| it.source == source).collect();
        let title = match source {
            Some(Stock::Donor) => "From the donor",
            Some(Stock::Bin) => "From the bin",
            Some(Stock::Buy) => "To buy",
            None => "No source said",
        };
        parts(&mut page, title, false, &lines);
    }
    orders::blocks(&mut page, &bill.orders);
    gaps(&mut page, &bill.gaps);
    if let Some(from) = &bill.from {
        let title = format!("Left over from {from}");
        parts(&mut page, &title, true, &bill.left_over.iter().collect::<Vec<_>>());
        if bill.left_over.is_empty() {
            page.push(Block::Heading(format!("{title}: nothing")));
        }
    }
    consumables(&mut page, bill);
    cuts(&mut page, &bill.cuts);
    page.push(Block::Heading("In all".to_owned()));
    let uses_up = bill.consumables.iter().any(|it| !it.all.is_nothing());
    page.push(Block::Items(totals(&bill.totals, &bill.gaps, uses_up)));
    page
}

/// A table of parts under its heading. Columns in which nothing would stand give their room to the others.
fn parts(page: &mut Vec<Block>, title: &str, left_over: bool, lines: &[&Line]) {
    if lines.is_empty() {
        return;
    }
    let pieces: u32 = lines.iter().map(|it| it.quantity).sum();
    page.push(Block::Heading(format!("{title}: {}", counted(pieces, "piece"))));
    // What is left over is not bought.
    let priced = !left_over && lines.iter().any(|it| !price(it).is_empty());
    let ordered = !left_over && lines.iter().any(|it| !order(it).is_empty());
    let fated = left_over && lines.iter().any(|it| it.afterwards.is_some());
    let rows = lines.iter().map(|line| {
        let mut row = vec![vec![plain(line.quantity.to_string())], part(line), line.slots.iter().map(plain).collect()];
        if priced {
            row.push(price(line));
        }
        row.push(mass_cell(line));
        if ordered {
            row.push(order(line));
        }
        if fated {
            row.push(afterwards(line));
        }
        row
    });
    // Each column takes a border too.
    let others = if priced { 15 } else { 0 } + if ordered { 13 } else { 0 } + if fated { 15 } else { 0 };
    let mut columns =
        vec![numbers("n", 5), column("part", 56 - others), column(if left_over { "stood in" } else { "fills" }, 20)];
    if priced {
        columns.push(numbers("price", 14));
    }
    columns.push(numbers("mass", 14));
    if ordered {
        columns.push(column("from, in", 12));
    }
    if fated {
        columns.push(column("then", 14));
    }
    page.push(Block::Table(Table { columns, rows: rows.collect(), ruled: true }));
}

fn part(line: &Line) -> Vec<Words> {
    let mut cell = vec![strong(&line.part)];
    if line.description.is_empty() {
        cell.push(plain(&line.kind));
    } else {
        cell.push(plain(format!("{}: {}", line.kind, line.description)));
    }
    if !line.note.is_empty() {
        cell.push(plain(&line.note));
    }
    cell
}

/// Who sells it, how long that takes, and that it is not to be had.
fn order(line: &Line) -> Vec<Words> {
    let supplier = (!line.supplier.is_empty()).then(|| plain(&line.supplier));
    let missing = (line.available == Some(false)).then(|| strong("not to be had"));
    supplier.into_iter().chain(line.lead_time.as_ref().map(|it| plain(&it.written))).chain(missing).collect()
}

fn price(line: &Line) -> Vec<Words> {
    match (line.price, line.unit_price) {
        (Some(all), Some(_)) if line.quantity == 1 => vec![plain(all.to_string())],
        (Some(all), Some(each)) => vec![plain(all.to_string()), plain(format!("each {}", each.digits()))],
        _ if line.source == Some(Stock::Buy) => vec![strong("no price")],
        _ => Vec::new(),
    }
}

/// What becomes of a left-over part, and what it may be sold for.
fn afterwards(line: &Line) -> Vec<Words> {
    let word = line.afterwards.map(|it| plain(it.word()));
    let worth = line.worth.filter(|_| line.afterwards == Some(Afterwards::Sell)).map(|it| plain(it.to_string()));
    word.into_iter().chain(worth).collect()
}

fn mass_cell(line: &Line) -> Vec<Words> {
    let Some(all) = &line.mass else { return vec![plain("?")] };
    let mut cell = vec![plain(measure(all, 1.0, "g"))];
    if line.quantity > 1 {
        let times = f64::from(line.quantity);
        let each = crate::model::Measured { low: all.low / times, high: all.high / times, ..all.clone() };
        cell.push(plain(format!("each {}", measure(&each, 1.0, "g"))));
    }
    cell
}

fn gaps(page: &mut Vec<Block>, gaps: &[Gap]) {
    for (undecided, title) in [(true, "Not decided"), (false, "Empty, but must be filled")] {
        let items = gaps.iter().filter(|it| it.undecided == undecided).map(|it| {
            let what = if it.description.is_empty() { it.kinds.join(" or ") } else { it.description.clone() };
            plain(format!("{} ({what})", it.slot))
        });
        let items: Vec<Words> = items.collect();
        if !items.is_empty() {
            page.push(Block::Heading(format!("{title}: {}", counted(items.len(), "slot"))));
            page.push(Block::Items(items));
        }
    }
}

fn consumables(page: &mut Vec<Block>, bill: &Bill) {
    let mut used: Vec<&Consumable> = bill.consumables.iter().filter(|it| !it.all.is_nothing()).collect();
    // What the new joints need comes first, and what is counted before what nobody counts.
    used.sort_by_key(|it| (it.new.is_some_and(|new| new.is_nothing()), it.all.count.is_none()));
    if used.is_empty() {
        return;
    }
    page.push(Block::Heading("Used up by the joints".to_owned()));
    let conversion = bill.from.is_some();
    let rows = used.iter().map(|it| {
        let cell = |needed: &Needed| vec![plain(needed_words(needed, it.dimension))];
        let mut row = vec![cell(&it.all), vec![plain(&it.what)], vec![plain(it.joints.join(", "))]];
        if let Some(new) = &it.new {
            row.insert(0, cell(new));
        }
        row
    });
    let rows = rows.collect();
    let columns = if conversion {
        vec![numbers("new joints", 14), numbers("all joints", 14), column("what", 35), column("joints", 32)]
    } else {
        vec![numbers("n", 14), column("what", 40), column("joints", 42)]
    };
    page.push(Block::Table(Table { columns, rows, ruled: false }));
    if conversion {
        let words = "New joints are those that the base build does not have as they are, and those that are taken \
                     apart on the way and made again (cotter steps).";
        page.push(Block::Text(plain(words)));
    }
}

/// What is cut to length.
fn cuts(page: &mut Vec<Block>, cuts: &[Cut]) {
    if cuts.is_empty() {
        return;
    }
    page.push(Block::Heading("To cut".to_owned()));
    let rows = cuts.iter().map(|it| {
        let what = if it.certain { plain(&it.what) } else { plain(format!("{}, if so made", it.what)) };
        vec![vec![plain(length(it.length))], vec![what], vec![plain(&it.joint)]]
    });
    let columns = vec![numbers("length", 18), column("what", 52), column("joint", 26)];
    page.push(Block::Table(Table { columns, rows: rows.collect(), ruled: false }));
    page.push(Block::Text(plain(
        "Nothing is cut before its length was tried in place, with all that turns turned to both ends.",
    )));
}

/// A length in words.
pub(super) fn length(length: Interval) -> String {
    needed_words(&Needed { count: Some(length), some: false }, Dimension::LENGTH)
}

/// How many, in words: `36`, `16 to 48`, `some`, `2 and some`.
pub(super) fn needed_words(needed: &Needed, dimension: Dimension) -> String {
    let (factor, unit) = shown_in(dimension).map_or((1.0, String::new()), |it| (it.factor, format!(" {}", it.name)));
    let count = needed.count.map(|it| {
        let (low, high) = (show(it.low() / factor), show(it.high() / factor));
        match (it.high().is_finite(), low == high) {
            (true, true) => format!("{low}{unit}"),
            (true, false) => format!("{low} to {high}{unit}"),
            (false, _) if it.low() == 0.0 => "not known".to_owned(),
            (false, _) => format!("{low}{unit} or more"),
        }
    });
    match (count, needed.some) {
        (Some(count), true) => format!("{count} and some"),
        (Some(count), false) => count,
        (None, true) => "some".to_owned(),
        (None, false) => "0".to_owned(),
    }
}

fn totals(totals: &Totals, gaps: &[Gap], uses_up: bool) -> Vec<Words> {
    let mut items = vec![plain(to_buy(totals))];
    let mut also = |count: u32, one: &str, more: &str| match count {
        0 => {}
        1 => items.push(strong(format!("1 {one}"))),
        _ => items.push(strong(format!("{count} {more}"))),
    };
    also(
        totals.unpriced,
        "part to buy has no price: it comes on top of that",
        "parts to buy have no price: they come on top of that",
    );
    also(
        totals.without_source,
        "part says no source: if it must be bought, it comes on top of that",
        "parts say no source: if they must be bought, they come on top of that",
    );
    also(
        u32::try_from(gaps.len()).unwrap_or(u32::MAX),
        "slot has no part yet: its price and mass are in no sum",
        "slots have no part yet: their prices and masses are in no sum",
    );
    if uses_up {
        items.push(plain("what the joints use up has no price here and comes on top of that"));
    }
    if let (Some(budget), Some(left)) = (&totals.budget, &totals.left) {
        items.push(budget_words(totals, *budget, *left));
    }
    if let Some(paid) = &totals.paid {
        items.push(plain(format!("paid for what was bought: {paid}")));
    }
    items.extend(to_sell(totals).map(plain));
    items.push(plain(mass(&totals.mass)));
    items
}

fn to_buy(totals: &Totals) -> String {
    if totals.pieces_to_buy == 0 {
        return "to buy: nothing".to_owned();
    }
    let priced = totals.pieces_to_buy.saturating_sub(totals.unpriced);
    let pieces = if totals.unpriced == 0 {
        counted(totals.pieces_to_buy, "piece")
    } else {
        format!("{priced} of {}", counted(totals.pieces_to_buy, "piece"))
    };
    let guessed = if totals.to_buy.iter().any(|it| it.is_estimated()) { ", some of it estimated" } else { "" };
    match totals.to_buy.len() {
        0 => format!("to buy: {}, none of them with a price", counted(totals.pieces_to_buy, "piece")),
        1 => format!("to buy: {} for {pieces}{guessed}", sums(&totals.to_buy)),
        _ => format!("to buy: {} for {pieces}{guessed}; the currencies are not added", sums(&totals.to_buy)),
    }
}

fn to_sell(totals: &Totals) -> Option<String> {
    let pieces = counted(totals.pieces_to_sell, "piece");
    let unvalued = match totals.unvalued {
        0 => String::new(),
        count => format!("; {count} of them without a worth"),
    };
    match (totals.pieces_to_sell, totals.to_sell.is_empty()) {
        (0, _) => None,
        (_, true) => Some(format!("to sell: {pieces}, none of them with a worth")),
        _ => Some(format!("to sell: {} for {pieces}{unvalued}; no other sum counts on that", sums(&totals.to_sell))),
    }
}

fn budget_words(totals: &Totals, budget: Price, left: Price) -> Words {
    let others = totals.to_buy.iter().filter(|it| it.currency() != budget.currency()).map(ToString::to_string);
    let unpriced = (totals.unpriced > 0).then(|| format!("{} without a price", counted(totals.unpriced, "piece")));
    let besides: Vec<String> = others.chain(unpriced).collect();
    let besides = match besides.is_empty() {
        true => String::new(),
        false => format!("; not counted in that: {}", besides.join(" and ")),
    };
    let over = left.negated();
    match (over.low().is_positive(), over.high().is_positive()) {
        (true, _) => strong(format!("OVER BUDGET by {over}: the budget is {budget}{besides}")),
        (false, true) => {
            strong(format!("PERHAPS OVER BUDGET, by {} at the most: the budget is {budget}{besides}", over.high()))
        }
        (false, false) => plain(format!("left of the budget of {budget}: {left}{besides}")),
    }
}
