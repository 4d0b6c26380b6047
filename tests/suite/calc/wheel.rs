//! Published figures and other derivations of spokes, tyres, pressure, braking.

mod brakes;
mod spokes;
mod tyres;

use super::Published;
use cotter::calc::Answer;
use std::fmt::Debug;

pub fn published() -> Vec<Published> {
    [spokes::published(), tyres::published(), brakes::published()].into_iter().flatten().collect()
}

/// A row of a table of published figures.
fn row(source: &'static str, what: &str, figure: f64, within: f64, computed: Answer) -> Published {
    Published { source, what: what.to_owned(), figure, within, computed: computed.unwrap() }
}

/// That this has no answer, and says so with these words.
#[track_caller]
fn refuses<T: Debug>(answer: Answer<T>, words: &str) {
    let refused = answer.expect_err("this must have no answer").0;
    assert!(refused.contains(words), "`{refused}` does not say `{words}`");
}

/// That a function of so many lengths answers with a number or with words, whatever it is given.
fn sober<const N: usize>(function: impl Fn([f64; N]) -> Answer, given: [f64; N]) {
    match function(given) {
        Ok(number) => assert!(number.is_finite(), "{given:?} gives {number}"),
        Err(why) => assert!(why.0.len() > 15 && !why.0.ends_with('.'), "{given:?} is refused with `{}`", why.0),
    }
}

/// That a function has no answer when any of these numbers is none, without bound or below zero.
#[track_caller]
fn refuses_what_is_no_measure<const N: usize>(function: impl Fn([f64; N]) -> Answer, good: [f64; N]) {
    function(good).unwrap();
    for at in 0..N {
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0] {
            let mut given = good;
            given[at] = bad;
            assert!(function(given).is_err(), "{given:?} is answered with {:?}", function(given));
        }
    }
}

/// Numbers of every kind: ordinary measures, and all that a number can be.
fn anything() -> impl proptest::strategy::Strategy<Value = f64> {
    use proptest::prelude::*;
    prop_oneof![-10.0..1000.0f64, (0..50i32).prop_map(f64::from), any::<f64>(), Just(f64::NAN), Just(f64::INFINITY)]
}

/// Where a rising function passes through zero.
fn root(mut low: f64, mut high: f64, rising: impl Fn(f64) -> f64) -> f64 {
    assert!(rising(low) <= 0.0 && rising(high) >= 0.0, "no root between {low} and {high}");
    for _ in 0..200 {
        let middle = (low + high) / 2.0;
        if rising(middle) < 0.0 { low = middle } else { high = middle }
    }
    (low + high) / 2.0
}
