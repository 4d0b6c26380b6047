//! The facts that every part may have, whatever its kind, read back: where it comes from, what it costs and weighs.

use super::{BuildId, FactId, Model, PartId, Type, Value, Valued};
use crate::quantity::{Price, Truth};

/// Where a part comes from, as its `source` says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stock {
    /// It came with what was bought.
    Donor,
    /// It lies on the shelf.
    Bin,
    /// It must be bought.
    Buy,
}

impl Stock {
    /// Its one word, as a spec has it.
    pub fn word(self) -> &'static str {
        match self {
            Stock::Donor => "donor",
            Stock::Bin => "bin",
            Stock::Buy => "buy",
        }
    }
}

/// What becomes of a part that is left over, as its `afterwards` says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Afterwards {
    /// It goes on the shelf.
    Keep,
    /// It is sold.
    Sell,
    /// It is thrown away.
    Scrap,
}

impl Afterwards {
    /// Its one word, as a spec has it.
    pub fn word(self) -> &'static str {
        match self {
            Afterwards::Keep => "keep",
            Afterwards::Sell => "sell",
            Afterwards::Scrap => "scrap",
        }
    }
}

/// An amount that someone wrote.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Amount {
    /// How much.
    pub price: Price,
    /// The fact that it is.
    pub fact: Option<FactId>,
}

/// A measure that someone wrote, in base units.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// The least that it may be; the guess itself, if it is one.
    pub low: f64,
    /// The most.
    pub high: f64,
    /// Whether it is a guess.
    pub estimated: bool,
    /// As written.
    pub written: String,
}

impl Model {
    /// Where a part comes from; none when it does not say.
    pub fn stock_of(&self, part: PartId) -> Option<Stock> {
        let word = self.chosen(part, "source")?;
        [Stock::Donor, Stock::Bin, Stock::Buy].into_iter().find(|it| it.word() == word)
    }

    /// What becomes of a part that is left over; none when nobody says.
    pub fn afterwards_of(&self, part: PartId) -> Option<Afterwards> {
        let word = self.chosen(part, "afterwards")?;
        [Afterwards::Keep, Afterwards::Sell, Afterwards::Scrap].into_iter().find(|it| it.word() == word)
    }

    /// What one of a part may be sold for.
    pub fn worth_of(&self, part: PartId) -> Option<Amount> {
        amount(self.common(part, "worth")?)
    }

    /// What one of a part costs.
    pub fn price_of(&self, part: PartId) -> Option<Amount> {
        amount(self.common(part, "price")?)
    }

    /// What one of a part weighs, in g.
    pub fn mass_of(&self, part: PartId) -> Option<Measured> {
        measured(self.common(part, "mass")?)
    }

    /// How long an order of a part takes, in s.
    pub fn lead_time_of(&self, part: PartId) -> Option<Measured> {
        measured(self.common(part, "lead_time")?)
    }

    /// Who sells a part.
    pub fn supplier_of(&self, part: PartId) -> Option<&str> {
        words(self.common(part, "supplier")?)
    }

    /// Whether a part is to be had; none when nobody says, or nobody knows.
    pub fn is_available(&self, part: PartId) -> Option<bool> {
        match self.common(part, "available")?.value {
            Value::Flag(Truth::Yes) => Some(true),
            Value::Flag(Truth::No) => Some(false),
            _ => None,
        }
    }

    /// The fact that says whether a part is to be had.
    pub fn available_fact(&self, part: PartId) -> Option<FactId> {
        self.common(part, "available")?.from.facts().first().copied()
    }

    /// What else was worth writing down of a part.
    pub fn note_of(&self, part: PartId) -> Option<&str> {
        words(self.common(part, "note")?)
    }

    /// An amount of a whole build: `paid`, `budget`.
    pub fn amount_of(&self, build: BuildId, name: &str) -> Option<Amount> {
        amount(self[build].facts.get(name)?)
    }

    /// The word of a choice that a part has made.
    fn chosen(&self, part: PartId, name: &str) -> Option<&str> {
        let kind = &self[self[part].kind];
        let Type::Choice(choice) = self[*kind.facts.get(name)?].kind else { return None };
        let Value::Member(Some(member)) = self.common(part, name)?.value else { return None };
        Some(self[choice].members.get(member)?.0.as_str())
    }

    fn common(&self, part: PartId, name: &str) -> Option<&Valued> {
        let number = self[self[part].kind].facts.get_index_of(name)?;
        self[part].facts.get(number)
    }
}

fn amount(valued: &Valued) -> Option<Amount> {
    match valued.value {
        Value::Money(Some(price)) => Some(Amount { price, fact: valued.from.facts().first().copied() }),
        _ => None,
    }
}

fn measured(valued: &Valued) -> Option<Measured> {
    let Value::Number(number) = &valued.value else { return None };
    let (low, high) = match number.guess {
        Some(guess) => (guess, guess),
        None => (number.range.low(), number.range.high()),
    };
    let written = valued.written.as_deref().unwrap_or_default().to_owned();
    let known = low.is_finite() && high.is_finite();
    known.then_some(Measured { low, high, estimated: number.guess.is_some(), written })
}

fn words(valued: &Valued) -> Option<&str> {
    match &valued.value {
        Value::Text(Some(text)) => Some(text),
        _ => None,
    }
}
