//! Intervals: every number of a rule is a lowest and a highest value it may have.

use super::Truth;
use serde::{Deserialize, Serialize};

/// The closed interval `low..=high`, in base units. Either end may be infinite, neither is ever NaN.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Interval {
    low: f64,
    high: f64,
}

/// Two lengths closer than this share of their size are the same: an inch fraction and its decimal must agree.
const SLACK: f64 = 1e-9;

fn slack(a: f64, b: f64) -> f64 {
    let size = a.abs().max(b.abs()).max(1.0);
    if size.is_finite() { size * SLACK } else { 0.0 }
}

impl Interval {
    /// Any number at all.
    pub const ALL: Interval = Interval { low: f64::NEG_INFINITY, high: f64::INFINITY };

    /// Exactly `value`; a value that is no number is any number.
    pub fn exact(value: f64) -> Interval {
        Interval::new(value, value)
    }

    /// From `low` to `high`, in either order; an end that is no number becomes infinite.
    pub fn new(low: f64, high: f64) -> Interval {
        let low = if low.is_nan() { f64::NEG_INFINITY } else { low };
        let high = if high.is_nan() { f64::INFINITY } else { high };
        if low <= high { Interval { low, high } } else { Interval { low: high, high: low } }
    }

    /// The lowest value.
    pub fn low(self) -> f64 {
        self.low
    }

    /// The highest value.
    pub fn high(self) -> f64 {
        self.high
    }

    /// Whether only one value is possible.
    pub fn is_exact(self) -> bool {
        self.low == self.high
    }

    /// Whether both ends are finite.
    pub fn is_bounded(self) -> bool {
        self.low.is_finite() && self.high.is_finite()
    }

    /// Whether `value` is one of its values.
    pub fn contains(self, value: f64) -> bool {
        self.low - slack(self.low, value) <= value && value <= self.high + slack(self.high, value)
    }

    /// The smallest interval around both.
    pub fn hull(self, other: Interval) -> Interval {
        Interval { low: self.low.min(other.low), high: self.high.max(other.high) }
    }

    /// What both allow; `None` if nothing.
    pub fn meet(self, other: Interval) -> Option<Interval> {
        let (low, high) = (self.low.max(other.low), self.high.min(other.high));
        if low <= high {
            Some(Interval { low, high })
        } else if low <= high + slack(low, high) {
            Some(Interval { low: high, high: low })
        } else {
            None
        }
    }

    /// Every sum.
    pub fn plus(self, other: Interval) -> Interval {
        Interval::new(self.low + other.low, self.high + other.high)
    }

    /// Every difference.
    pub fn minus(self, other: Interval) -> Interval {
        self.plus(other.negated())
    }

    /// Every value with its sign turned.
    pub fn negated(self) -> Interval {
        Interval { low: -self.high, high: -self.low }
    }

    /// Every product.
    pub fn times(self, other: Interval) -> Interval {
        // Zero times an endless end is zero here: the end stands for large numbers, not for infinity itself.
        let product = |a: f64, b: f64| if a == 0.0 || b == 0.0 { 0.0 } else { a * b };
        let ends = [
            product(self.low, other.low),
            product(self.low, other.high),
            product(self.high, other.low),
            product(self.high, other.high),
        ];
        Interval::around(&ends)
    }

    /// Every quotient; any number when the divisor may be zero.
    pub fn over(self, other: Interval) -> Interval {
        if other.low <= 0.0 && other.high >= 0.0 {
            return Interval::ALL;
        }
        self.times(Interval::new(1.0 / other.low, 1.0 / other.high))
    }

    /// Every size without sign.
    pub fn abs(self) -> Interval {
        if self.low >= 0.0 {
            self
        } else if self.high <= 0.0 {
            self.negated()
        } else {
            Interval { low: 0.0, high: self.high.max(-self.low) }
        }
    }

    /// The smaller of two.
    pub fn min(self, other: Interval) -> Interval {
        Interval { low: self.low.min(other.low), high: self.high.min(other.high) }
    }

    /// The larger of two.
    pub fn max(self, other: Interval) -> Interval {
        Interval { low: self.low.max(other.low), high: self.high.max(other.high) }
    }

    /// Every value of a rising function.
    pub fn rising(self, f: impl Fn(f64) -> f64) -> Interval {
        Interval::new(f(self.low), f(self.high))
    }

    /// The smallest interval around some values; any number if there are none.
    pub fn around(values: &[f64]) -> Interval {
        let mut ends: Option<Interval> = None;
        for value in values {
            let one = Interval::exact(*value);
            ends = Some(ends.map_or(one, |so_far| so_far.hull(one)));
        }
        ends.unwrap_or(Interval::ALL)
    }

    /// Whether every value of this is below every value of the other, or the same.
    pub fn at_most(self, other: Interval) -> Truth {
        if self.high <= other.low + slack(self.high, other.low) {
            Truth::Yes
        } else if self.low > other.high + slack(self.low, other.high) {
            Truth::No
        } else {
            Truth::Open
        }
    }

    /// Whether every value of this is strictly below every value of the other.
    pub fn below(self, other: Interval) -> Truth {
        !other.at_most(self)
    }

    /// Whether the two are the same number.
    pub fn equals(self, other: Interval) -> Truth {
        if self.meet(other).is_none() {
            Truth::No
        } else if self.is_exact() && other.is_exact() {
            Truth::Yes
        } else if self.is_bounded() && other.is_bounded() {
            let spread = self.hull(other);
            if spread.high - spread.low <= slack(spread.low, spread.high) { Truth::Yes } else { Truth::Open }
        } else {
            Truth::Open
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn an_inch_fraction_equals_its_decimal() {
        assert_eq!(Interval::exact(1.125 * 25.4).equals(Interval::exact(28.575)), Truth::Yes);
        assert_eq!(Interval::exact(0.1 + 0.2).at_most(Interval::exact(0.3)), Truth::Yes);
        assert_eq!(Interval::exact(0.3).below(Interval::exact(0.1 + 0.2)), Truth::No);
    }

    #[test]
    fn never_holds_nan() {
        let sum = Interval::ALL.plus(Interval::ALL.negated());
        assert_eq!(sum, Interval::ALL);
        assert_eq!(Interval::exact(0.0).times(Interval::ALL), Interval::exact(0.0));
        assert_eq!(Interval::exact(1.0).over(Interval::new(-1.0, 1.0)), Interval::ALL);
        assert_eq!(Interval::exact(f64::NAN), Interval::ALL);
    }

    fn span() -> impl Strategy<Value = (Interval, f64)> {
        (-1e4..1e4f64, 0.0..1e3f64, 0.0..1.0f64)
            .prop_map(|(low, width, share)| (Interval::new(low, low + width), low + width * share))
    }

    proptest! {
        #[test]
        fn contains_every_point_result((a, x) in span(), (b, y) in span()) {
            prop_assert!(a.plus(b).contains(x + y));
            prop_assert!(a.minus(b).contains(x - y));
            prop_assert!(a.times(b).contains(x * y));
            prop_assert!(a.over(b).contains(x / y));
            prop_assert!(a.abs().contains(x.abs()));
            prop_assert!(a.min(b).contains(x.min(y)));
            prop_assert!(a.max(b).contains(x.max(y)));
            prop_assert!(a.hull(b).contains(x) && a.hull(b).contains(y));
        }

        #[test]
        fn a_known_answer_holds_for_every_point((a, x) in span(), (b, y) in span()) {
            match a.at_most(b) { Truth::Yes => prop_assert!(x <= y + 1e-3), Truth::No => prop_assert!(x > y), Truth::Open => {} }
            match a.below(b) { Truth::Yes => prop_assert!(x < y), Truth::No => prop_assert!(x >= y - 1e-3), Truth::Open => {} }
        }
    }
}
