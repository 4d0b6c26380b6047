//! What a build costs: prices of what must be bought, summed a currency at a time, and held against the budget.

use crate::model::{Amount, BuildId, Model, PartId, Pieces, Stock};
use crate::quantity::{Money, Price};

/// A price that is part of a sum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Priced {
    /// The part.
    pub part: PartId,
    /// How many pieces of it.
    pub count: u32,
    /// What one costs.
    pub each: Amount,
    /// What they cost together.
    pub together: Price,
}

/// What a build costs.
#[derive(Clone, Debug, Default)]
pub struct Cost {
    /// Known prices of parts to buy, in the order of their slots.
    pub prices: Vec<Priced>,
    /// Their sums, by currency code.
    pub sums: Vec<Price>,
    /// Pieces to buy.
    pub pieces: u32,
    /// Pieces to buy whose price is not known: no sum holds them.
    pub unpriced: u32,
    /// What may be spent on parts.
    pub budget: Option<Amount>,
    /// What the bought thing cost.
    pub paid: Option<Amount>,
}

/// By how much a build costs more than its budget.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Over {
    /// By so much.
    Surely(Price),
    /// By as much as this, if prices come out at their worst.
    Perhaps(Money),
}

impl Cost {
    /// Counts what a build costs.
    pub fn of(model: &Model, build: BuildId) -> Cost {
        Cost::of_pieces(model, build, &model.pieces(build))
    }

    /// The same, of pieces that were counted already.
    pub fn of_pieces(model: &Model, build: BuildId, pieces: &[Pieces]) -> Cost {
        let mut cost =
            Cost { budget: model.amount_of(build, "budget"), paid: model.amount_of(build, "paid"), ..Cost::default() };
        for it in pieces.iter().filter(|it| model.stock_of(it.part) == Some(Stock::Buy)) {
            cost.pieces = cost.pieces.saturating_add(it.count);
            let price = model.price_of(it.part).and_then(|each| {
                let together = each.price.times(it.count)?;
                Some(Priced { part: it.part, count: it.count, each, together })
            });
            match price {
                Some(price) if price.together.add_to(&mut cost.sums) => cost.prices.push(price),
                _ => cost.unpriced = cost.unpriced.saturating_add(it.count),
            }
        }
        cost.sums.sort_by_key(|it| it.currency().code());
        cost
    }

    /// What is left of the budget, as far as prices in its currency are known; negative where it is exceeded.
    pub fn left(&self) -> Option<Price> {
        let budget = self.budget?.price;
        let spent = self.sums.iter().find(|it| it.currency() == budget.currency());
        spent.map_or(Some(budget), |it| budget.minus(*it))
    }

    /// By how much the known prices in its currency exceed the budget, if they do, or may do.
    pub fn over_budget(&self) -> Option<Over> {
        let over = self.left()?.negated();
        match (over.low().is_positive(), over.high().is_positive()) {
            (true, _) => Some(Over::Surely(over)),
            (false, true) => Some(Over::Perhaps(over.high())),
            (false, false) => None,
        }
    }

    /// Amounts in a currency other than the first: the first, and one of each other currency.
    pub fn mixed(&self) -> Option<(Amount, Vec<Amount>)> {
        let mut amounts = self.budget.into_iter().chain(self.prices.iter().map(|it| it.each));
        let first = amounts.next()?;
        let mut others: Vec<Amount> = Vec::new();
        for it in amounts.filter(|it| it.price.currency() != first.price.currency()) {
            if others.iter().all(|other| other.price.currency() != it.price.currency()) {
                others.push(it);
            }
        }
        (!others.is_empty()).then_some((first, others))
    }
}
