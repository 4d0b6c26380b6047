//! Published figures and other derivations of gearing, climbing, chain, chainline, indexing and bolt circles.

mod bolts;
mod chain;
mod climb;
mod gearing;
mod indexing;
mod refused;

use super::Published;

pub fn published() -> Vec<Published> {
    [gearing::published(), climb::published(), chain::published(), bolts::published(), indexing::published()]
        .into_iter()
        .flatten()
        .collect()
}

/// A row, its tolerance half a unit of so many decimals.
fn row(source: &'static str, what: impl Into<String>, figure: f64, decimals: i32, computed: f64) -> Published {
    loose(source, what, figure, 0.5 * 10f64.powi(-decimals), computed)
}

/// A row with a tolerance of its own; a comment beside it says why.
fn loose(source: &'static str, what: impl Into<String>, figure: f64, within: f64, computed: f64) -> Published {
    Published { source, what: what.into(), figure, within, computed }
}

#[test]
fn enough_is_published() {
    let all = published();
    super::hold(&all);
    assert!(all.len() >= 200, "only {} figures", all.len());
}
