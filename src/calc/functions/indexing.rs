//! What rules may ask of clicks and cogs.

use super::{Function, Image, LENGTH, NUMBER, first, list, one};
use crate::calc::indexing::{Indexing, indexing};
use crate::calc::{Answer, ranges, refused};

const SOURCE: &str =
    "cable pull x ratio = cog pitch: Wikibooks, Gear-changing Dimensions; what is off adds up from click to click";

pub const INDEX_WORST: Function = Function {
    name: "index_worst",
    doc: "how far a derailleur stands off a cog at the worst, with its cable set at its best; a list of one holds for every click or gap",
    parameters: &[list("pulls", LENGTH), one("ratio", NUMBER), list("gaps", LENGTH), one("cogs", NUMBER)],
    result: LENGTH,
    source: SOURCE,
    compute: |given| indexed(given, 0.0).map(|it| it.worst),
    image: Image::Own(ranges::index_worst),
};

pub const INDEX_REACH: Function = Function {
    name: "index_reach",
    doc: "how many neighbouring cogs a derailleur reaches within what is allowed, with its cable set for them; a list of one holds for every click or gap",
    parameters: &[
        list("pulls", LENGTH),
        one("ratio", NUMBER),
        list("gaps", LENGTH),
        one("cogs", NUMBER),
        one("allowed", LENGTH),
    ],
    result: NUMBER,
    source: SOURCE,
    compute: |given| indexed(given, first(given, 4)).map(|it| it.reached as f64),
    image: Image::Own(ranges::index_reach),
};

/// Clicks against cogs, a click and a gap for each step between two cogs.
fn indexed(given: &[&[f64]], tolerance: f64) -> Answer<Indexing> {
    let cogs = first(given, 3);
    if !(2.0..=50.0).contains(&cogs) {
        return refused("there are not several cogs to step between");
    }
    let steps = cogs as usize - 1;
    let each = |place: usize| -> Vec<f64> {
        match given.get(place).copied().unwrap_or_default() {
            [only] => vec![*only; steps],
            all => all.iter().copied().take(steps).collect(),
        }
    };
    indexing(&each(0), first(given, 1), &each(2), tolerance)
}
