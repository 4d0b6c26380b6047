//! Prices: an amount, a range of amounts or a guess, in one currency.

use super::Money;
use iso_currency::Currency;
use serde::{Deserialize, Serialize};
use std::fmt;

/// What something costs, as far as that is known: anything from one amount to another of the same currency.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Price {
    low: Money,
    high: Money,
    estimated: bool,
}

impl Price {
    /// Exactly this.
    pub fn exact(money: Money) -> Price {
        Price { low: money, high: money, estimated: false }
    }

    /// About this: a guess.
    pub fn about(money: Money) -> Price {
        Price { estimated: true, ..Price::exact(money) }
    }

    /// At least the one amount, at most the other; `None` when they are of two currencies or the wrong way round.
    pub fn between(low: Money, high: Money) -> Option<Price> {
        (low.currency == high.currency && low <= high).then_some(Price { low, high, estimated: false })
    }

    /// The least that it may be; the guess itself, if it is one.
    pub fn low(self) -> Money {
        self.low
    }

    /// The most.
    pub fn high(self) -> Money {
        self.high
    }

    /// Whether it is a guess, or some part of it is.
    pub fn is_estimated(self) -> bool {
        self.estimated
    }

    /// Its currency.
    pub fn currency(self) -> Currency {
        self.low.currency
    }

    /// The sum of two prices; `None` when their currencies differ or the sum is out of range.
    pub fn plus(self, other: Price) -> Option<Price> {
        Some(Price {
            low: self.low.plus(other.low)?,
            high: self.high.plus(other.high)?,
            estimated: self.estimated || other.estimated,
        })
    }

    /// What is left of this when the other is taken away, which may be less than nothing; `None` as in [`Price::plus`].
    pub fn minus(self, other: Price) -> Option<Price> {
        Some(Price {
            low: self.low.minus(other.high)?,
            high: self.high.minus(other.low)?,
            estimated: self.estimated || other.estimated,
        })
    }

    /// The same amount, owed instead of owned.
    pub fn negated(self) -> Price {
        Price { low: self.high.negated(), high: self.low.negated(), ..self }
    }

    /// So many times the price; `None` when out of range.
    pub fn times(self, count: u32) -> Option<Price> {
        Some(Price { low: self.low.times(count)?, high: self.high.times(count)?, estimated: self.estimated })
    }

    /// Adds a price to the sum in its currency, or begins that sum. Whether that could be done: an amount too large to
    /// add up is none that a sum may pretend to hold.
    pub fn add_to(self, sums: &mut Vec<Price>) -> bool {
        match sums.iter_mut().find(|it| it.currency() == self.currency()) {
            Some(sum) => match sum.plus(self) {
                Some(more) => *sum = more,
                None => return false,
            },
            None => sums.push(self),
        }
        true
    }

    /// The amount without its currency: `18.00`, `~18.00`, `18.00 to 24.00`.
    pub fn digits(self) -> String {
        let guess = if self.estimated { "~" } else { "" };
        if self.low == self.high {
            format!("{guess}{}", self.low.digits())
        } else {
            format!("{guess}{} to {}", self.low.digits(), self.high.digits())
        }
    }
}

impl PartialOrd for Price {
    fn partial_cmp(&self, other: &Price) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

/// By currency, then by the most that it may be: an order to sort by.
impl Ord for Price {
    fn cmp(&self, other: &Price) -> std::cmp::Ordering {
        self.high.cmp(&other.high).then(self.low.cmp(&other.low)).then(self.estimated.cmp(&other.estimated))
    }
}

impl fmt::Display for Price {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.digits(), self.currency().code())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn eur(digits: &str) -> Money {
        Money::read(digits, "EUR").unwrap()
    }

    #[test]
    fn a_sum_is_as_wide_as_its_parts() {
        let one = Price::between(eur("18"), eur("24.50")).unwrap();
        let sum = one.plus(Price::about(eur("0.10"))).unwrap();
        assert_eq!(sum.to_string(), "~18.10 to 24.60 EUR");
        assert_eq!(one.times(3).unwrap().to_string(), "54.00 to 73.50 EUR");
        assert_eq!(Price::exact(eur("20")).minus(one).unwrap().to_string(), "-4.50 to 2.00 EUR");
    }

    #[test]
    fn currencies_are_kept_apart() {
        let franc = Price::exact(Money::read("1", "CHF").unwrap());
        assert_eq!(Price::exact(eur("1")).plus(franc), None);
        assert_eq!(Price::between(eur("1"), franc.low()), None);
        assert_eq!(Price::between(eur("2"), eur("1")), None);
        let mut sums = vec![Price::exact(eur("1"))];
        assert!(franc.add_to(&mut sums) && Price::exact(eur("2")).add_to(&mut sums));
        assert_eq!(sums.iter().map(ToString::to_string).collect::<Vec<_>>(), ["3.00 EUR", "1.00 CHF"]);
    }
}
