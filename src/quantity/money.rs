//! Money: a decimal amount in one currency, never a float.

use iso_currency::Currency;
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};
use std::fmt;

/// An amount in a currency of ISO 4217.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Money {
    /// The amount, exact.
    pub amount: Decimal,
    /// Its currency.
    pub currency: Currency,
}

impl Money {
    /// Largest amount that is read; sums of a whole workshop stay far below the type's limit.
    const LARGEST: i64 = 1_000_000_000;

    /// Reads digits and a currency code, as `140` and `EUR`. `None` if it is no such code, or no such amount.
    pub fn read(digits: &str, code: &str) -> Option<Money> {
        let currency = Currency::from_code(code)?;
        let amount = Decimal::from_str_exact(digits).ok()?;
        (amount <= Decimal::from(Self::LARGEST)).then_some(Money { amount, currency })
    }

    /// Whether `code` is a currency code.
    pub fn is_currency(code: &str) -> bool {
        Currency::from_code(code).is_some()
    }

    /// The sign of the currency `code`, as `€`.
    pub fn sign(code: &str) -> Option<String> {
        Some(Currency::from_code(code)?.symbol().symbol)
    }

    /// The sum of two amounts; `None` when their currencies differ or the sum is out of range.
    pub fn plus(self, other: Money) -> Option<Money> {
        if self.currency != other.currency {
            return None;
        }
        Some(Money { amount: self.amount.checked_add(other.amount)?, currency: self.currency })
    }

    /// The difference of two amounts; `None` when their currencies differ or it is out of range.
    pub fn minus(self, other: Money) -> Option<Money> {
        self.plus(other.negated())
    }

    /// As much below nothing as this is above it.
    pub fn negated(self) -> Money {
        Money { amount: -self.amount, ..self }
    }

    /// Whether it is more than nothing.
    pub fn is_positive(self) -> bool {
        self.amount > Decimal::ZERO
    }

    /// So many times the amount; `None` when out of range.
    pub fn times(self, count: u32) -> Option<Money> {
        Some(Money { amount: self.amount.checked_mul(Decimal::from(count))?, currency: self.currency })
    }

    /// The amount with as many decimals as its currency has, without the code.
    pub fn digits(self) -> String {
        let places = self.currency.exponent().map_or(2, u32::from);
        let mut amount = self.amount;
        if amount.scale() < places {
            amount.rescale(places);
        }
        amount.to_string()
    }
}

impl PartialOrd for Money {
    fn partial_cmp(&self, other: &Money) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

/// By currency code, then by amount: an order to sort by, which does not say that one currency is worth more.
impl Ord for Money {
    fn cmp(&self, other: &Money) -> std::cmp::Ordering {
        self.currency.code().cmp(other.currency.code()).then(self.amount.cmp(&other.amount))
    }
}

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.digits(), self.currency.code())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn adds_to_the_cent_and_refuses_to_mix() {
        let a = Money::read("0.10", "EUR").unwrap();
        let b = Money::read("0.2", "EUR").unwrap();
        assert_eq!(a.plus(b).unwrap().to_string(), "0.30 EUR");
        assert_eq!(a.plus(Money::read("1", "CHF").unwrap()), None);
        assert_eq!(Money::read("1", "XYZ"), None);
        assert_eq!(Money::read("500", "JPY").unwrap().to_string(), "500 JPY");
    }
}
