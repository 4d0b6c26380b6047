//! The computations, held against published figures and against derivations of another kind.

mod bike;
mod drive;
mod intervals;
mod wheel;

/// A figure that somebody has published, and what is computed for it.
pub struct Published {
    /// Where it stands.
    pub source: &'static str,
    /// What it is.
    pub what: String,
    /// As published.
    pub figure: f64,
    /// How far off a computation may be: usually half a unit of the last digit that was printed.
    pub within: f64,
    /// As computed.
    pub computed: f64,
}

/// Every figure of these, each with its source.
fn hold(figures: &[Published]) {
    for it in figures {
        assert!(!it.source.is_empty(), "{} has no source", it.what);
        assert!(
            (it.figure - it.computed).abs() <= it.within + 1e-9,
            "{}: {} says {}, computed {}",
            it.what,
            it.source,
            it.figure,
            it.computed
        );
    }
}

#[test]
fn published_figures_are_met() {
    let all: Vec<Published> =
        [drive::published(), wheel::published(), bike::published()].into_iter().flatten().collect();
    hold(&all);
    assert!(all.len() >= 120, "only {} published figures", all.len());
}
