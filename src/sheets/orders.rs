//! Orders: what is to be bought, by who sells it, and what holds the build up.

use super::bill::Line;
use super::render::{Block, Table, Words, column, numbers, plain, strong};
use super::words::{counted, names};
use crate::model::{Measured, Stock};
use crate::quantity::Price;

/// What is to be bought of one supplier.
#[derive(Clone, Debug)]
pub struct Order {
    /// Who sells it; empty when that is not said.
    pub supplier: String,
    /// Its parts, in the order of the bill.
    pub parts: Vec<Ordered>,
    /// Pieces in all.
    pub pieces: u32,
    /// Known prices, a sum a currency.
    pub price: Vec<Price>,
    /// Pieces without a price.
    pub unpriced: u32,
    /// The longest known lead time among its parts, in s.
    pub lead_time: Option<Measured>,
}

/// A part of an order.
#[derive(Clone, Debug)]
pub struct Ordered {
    /// Its name.
    pub part: String,
    /// How many.
    pub quantity: u32,
    /// How long it takes, in s.
    pub lead_time: Option<Measured>,
    /// Whether it is to be had; none when nobody says.
    pub available: Option<bool>,
}

/// Orders of a bill: the one that takes longest first, so that it is placed first; what names no supplier last.
pub(super) fn orders(lines: &[Line]) -> Vec<Order> {
    let mut all: Vec<Order> = Vec::new();
    for line in lines.iter().filter(|it| it.source == Some(Stock::Buy)) {
        let at = all.iter().position(|it| it.supplier == line.supplier).unwrap_or(all.len());
        if at == all.len() {
            all.push(Order {
                supplier: line.supplier.clone(),
                parts: Vec::new(),
                pieces: 0,
                price: Vec::new(),
                unpriced: 0,
                lead_time: None,
            });
        }
        let Some(order) = all.get_mut(at) else { continue };
        order.pieces = order.pieces.saturating_add(line.quantity);
        if !line.price.is_some_and(|it| it.add_to(&mut order.price)) {
            order.unpriced = order.unpriced.saturating_add(line.quantity);
        }
        order.lead_time = longest(order.lead_time.take(), line.lead_time.clone());
        order.parts.push(Ordered {
            part: line.part.clone(),
            quantity: line.quantity,
            lead_time: line.lead_time.clone(),
            available: line.available,
        });
    }
    all.iter_mut().for_each(|it| it.price.sort_by_key(|price| price.currency().code()));
    all.sort_by(|one, other| {
        let last = one.supplier.is_empty().cmp(&other.supplier.is_empty());
        let time = |it: &Order| it.lead_time.as_ref().map_or((-1.0, -1.0), |it| (it.high, it.low));
        let (one_time, other_time) = (time(one), time(other));
        let longest_first = other_time.0.total_cmp(&one_time.0).then(other_time.1.total_cmp(&one_time.1));
        last.then(longest_first).then_with(|| one.supplier.cmp(&other.supplier))
    });
    all
}

/// The longer of two lead times: by the most that it may be, then by the least.
fn longest(one: Option<Measured>, other: Option<Measured>) -> Option<Measured> {
    let (Some(first), Some(second)) = (&one, &other) else { return one.or(other) };
    if (second.high, second.low) > (first.high, first.low) { other } else { one }
}

/// The part that all else waits for, with its supplier, and how long.
pub(super) fn holds_up(orders: &[Order]) -> Option<(&Order, &Ordered, &Measured)> {
    let all = orders.iter().flat_map(|order| order.parts.iter().map(move |part| (order, part)));
    let timed = all.filter_map(|(order, part)| Some((order, part, part.lead_time.as_ref()?)));
    // Of several that take as long, the first.
    timed.fold(None, |longest: Option<(&Order, &Ordered, &Measured)>, it| match longest {
        Some(so_far) if (so_far.2.high, so_far.2.low) >= (it.2.high, it.2.low) => Some(so_far),
        _ => Some(it),
    })
}

/// Orders on a page; nothing where no part says who sells it, how long that takes, or that it is not to be had.
pub(super) fn blocks(page: &mut Vec<Block>, orders: &[Order]) {
    let told = |it: &Order| {
        !it.supplier.is_empty() || it.parts.iter().any(|it| it.lead_time.is_some() || it.available == Some(false))
    };
    if !orders.iter().any(told) {
        return;
    }
    page.push(Block::Heading(format!("To order, by supplier: {}", counted(orders.len(), "order"))));
    let rows = orders.iter().map(|it| {
        let supplier = if it.supplier.is_empty() { plain("no supplier named") } else { strong(&it.supplier) };
        let mut price: Vec<Words> = it.price.iter().map(|it| plain(it.to_string())).collect();
        if it.unpriced > 0 {
            price.push(strong(format!("{} without a price", it.unpriced)));
        }
        let takes = it.lead_time.as_ref().map(|it| plain(&it.written)).into_iter().collect();
        let parts = it.parts.iter().map(|part| {
            let times = if part.quantity == 1 { String::new() } else { format!("{} × ", part.quantity) };
            let time = part.lead_time.as_ref().map(|it| format!(", {}", it.written)).unwrap_or_default();
            let words = format!("{times}{}{time}", part.part);
            if part.available == Some(false) { strong(format!("{words}: not to be had")) } else { plain(words) }
        });
        vec![vec![plain(it.pieces.to_string())], vec![supplier], price, takes, parts.collect()]
    });
    let columns =
        vec![numbers("n", 5), column("from", 24), numbers("price", 17), column("takes", 12), column("parts", 36)];
    page.push(Block::Table(Table { columns, rows: rows.collect(), ruled: true }));
    let items: Vec<Words> = waiting(orders);
    if !items.is_empty() {
        page.push(Block::Items(items));
    }
}

/// What the build waits for.
fn waiting(orders: &[Order]) -> Vec<Words> {
    let parts = || orders.iter().flat_map(|it| &it.parts);
    let of = |test: fn(&Ordered) -> bool| names(parts().filter(|it| test(it)).map(|it| it.part.as_str()));
    let mut items = Vec::new();
    let gone = of(|it| it.available == Some(false));
    if !gone.is_empty() {
        items.push(strong(format!(
            "the build waits for what is not to be had: {gone} (cotter why tells what else would do)"
        )));
    }
    if let Some((order, part, time)) = holds_up(orders) {
        let from = if order.supplier.is_empty() { String::new() } else { format!(" from {}", order.supplier) };
        items.push(plain(format!("the build waits longest for {}{from}: {}; order it first", part.part, time.written)));
    }
    let untold = of(|it| it.lead_time.is_none() && it.available != Some(false));
    if !untold.is_empty() {
        items.push(plain(format!("nobody says how long it takes: {untold}")));
    }
    items
}
