//! What a build costs: prices of what must be bought, summed a currency at a time, and held against the budget.

use crate::model::{Amount, BuildId, Model, PartId, Pieces, Stock};
use crate::quantity::Money;

/// A price, or a sum of prices in one currency.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Price {
    /// How much.
    pub money: Money,
    /// Whether it is a guess, or some part of it is.
    pub estimated: bool,
}

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
    pub together: Money,
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
                let together = each.money.times(it.count)?;
                Some(Priced { part: it.part, count: it.count, each, together })
            });
            match price {
                // An amount too large to add up is none that a sum may pretend to hold.
                Some(price) if cost.add(&price) => cost.prices.push(price),
                _ => cost.unpriced = cost.unpriced.saturating_add(it.count),
            }
        }
        cost.sums.sort_by_key(|it| it.money.currency.code());
        cost
    }

    fn add(&mut self, price: &Priced) -> bool {
        match self.sums.iter_mut().find(|it| it.money.currency == price.together.currency) {
            Some(sum) => match sum.money.plus(price.together) {
                Some(money) => *sum = Price { money, estimated: sum.estimated || price.each.estimated },
                None => return false,
            },
            None => self.sums.push(Price { money: price.together, estimated: price.each.estimated }),
        }
        true
    }

    /// What is left of the budget, as far as prices in its currency are known; negative when it is exceeded.
    pub fn left(&self) -> Option<Price> {
        let budget = self.budget?;
        let spent = self.sums.iter().find(|it| it.money.currency == budget.money.currency);
        Some(Price {
            money: spent.map_or(Some(budget.money), |it| budget.money.minus(it.money))?,
            estimated: budget.estimated || spent.is_some_and(|it| it.estimated),
        })
    }

    /// By how much the known prices in its currency exceed the budget, if they do.
    pub fn over_budget(&self) -> Option<Price> {
        let left = self.left().filter(|it| it.money.amount.is_sign_negative() && !it.money.amount.is_zero())?;
        let money = Money { amount: -left.money.amount, currency: left.money.currency };
        Some(Price { money, estimated: left.estimated })
    }

    /// Amounts in a currency other than the first: the first, and one of each other currency.
    pub fn mixed(&self) -> Option<(Amount, Vec<Amount>)> {
        let mut amounts = self.budget.into_iter().chain(self.prices.iter().map(|it| it.each));
        let first = amounts.next()?;
        let mut others: Vec<Amount> = Vec::new();
        for it in amounts.filter(|it| it.money.currency != first.money.currency) {
            if others.iter().all(|other| other.money.currency != it.money.currency) {
                others.push(it);
            }
        }
        (!others.is_empty()).then_some((first, others))
    }
}
