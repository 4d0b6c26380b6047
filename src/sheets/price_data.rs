//! A price for programs.

use crate::quantity::Price;
use serde::Serialize;

/// A price with its ends, to the cent: texts, since a number of JSON may be read as one with a binary point.
#[derive(Serialize)]
pub(super) struct PriceData {
    amount_min: String,
    amount_max: String,
    currency: &'static str,
    estimated: bool,
}

impl PriceData {
    pub(super) fn of(price: &Price) -> PriceData {
        PriceData {
            amount_min: price.low().digits(),
            amount_max: price.high().digits(),
            currency: price.currency().code(),
            estimated: price.is_estimated(),
        }
    }
}
