//! Indexing: pairs that are known to work or not, and trims tried one by one.

use super::{Published, loose, row};
use cotter::calc::indexing::{
    Indexing, converter_factor, default_tolerance_mm, friction_stroke_mm, indexing, mismatch_percent,
};
use proptest::prelude::*;

pub fn published() -> Vec<Published> {
    // Spacers 0.05 too thin, ten cogs, clicks that are right.
    let thin = indexing(&even(3.95, 9), 1.0, &even(3.90, 9), 1.0).unwrap();
    let source = "bikeforums.net 1028740";
    vec![
        row(source, "0.05 over nine spacers", 0.45, 2, thin.drift),
        // "± 0.2 at each end": half of 0.45, cut off to one figure.
        loose(source, "error at either end", 0.2, 0.03, thin.worst),
    ]
}

/// So many clicks or gaps of one size.
fn even(step: f64, count: u8) -> Vec<f64> {
    vec![step; usize::from(count)]
}

/// A lever for so many speeds, with one click less than that.
fn pair(speeds: u8, pull: f64, ratio: f64, cogs: u8, pitch: f64) -> Indexing {
    let tolerance = default_tolerance_mm(pitch).unwrap();
    indexing(&even(pull, speeds - 1), ratio, &even(pitch, cogs - 1), tolerance).unwrap()
}

/// Pull and ratio of levers and derailleurs that were made for each other, with the cassette they were made for.
const NATIVE: &[(u8, f64, f64, f64)] = &[
    (6, 3.2, 1.7, 5.5),
    (7, 2.9, 1.7, 5.0),
    (8, 2.8, 1.7, 4.8),
    (9, 2.5, 1.7, 4.34),
    (10, 2.3, 1.7, 3.95),
    (7, 2.6, 1.9, 5.0),
    (8, 2.5, 1.9, 4.8),
    (11, 2.7, 1.4, 3.74),
    (10, 3.4, 1.2, 3.95),
    (11, 3.6, 1.1, 3.9),
    (7, 4.5, 1.1, 5.0),
    (8, 4.3, 1.1, 4.8),
    (9, 4.0, 1.1, 4.34),
    (10, 3.1, 1.3, 3.95),
    (11, 3.5, 1.12, 3.9),
    (8, 3.5, 1.4, 5.0),
    (9, 3.2, 1.4, 4.55),
    (9, 3.0, 1.5, 4.55),
    (10, 2.8, 1.5, 4.15),
    (11, 2.6, 1.5, 3.85),
];

#[test]
fn pairs_made_for_each_other_reach_every_cog() {
    for (speeds, pull, ratio, pitch) in NATIVE {
        let found = pair(*speeds, *pull, *ratio, *speeds, *pitch);
        assert_eq!(found.reached, usize::from(*speeds), "{pull} x {ratio} on {pitch}: {found:?}");
        assert!(found.worst <= default_tolerance_mm(*pitch).unwrap());
        assert!(mismatch_percent(*pull, *ratio, *pitch).unwrap().abs() < 3.4);
    }
}

#[test]
fn mixes_do_as_is_known() {
    // Lever's speeds, pull, ratio, cogs, pitch, mismatch in percent, and how the mix is known: works, poor, no.
    let mixes: &[(u8, f64, f64, u8, f64, f64, &str)] = &[
        (8, 2.8, 1.7, 7, 5.0, -4.8, "poor"),
        (9, 2.5, 1.7, 10, 3.95, 7.6, "no"),
        (8, 2.8, 1.7, 9, 4.34, 9.7, "no"),
        (9, 2.5, 1.2, 9, 4.34, -31.0, "no"),
        (10, 2.3, 1.2, 10, 3.95, -30.0, "no"),
        (10, 3.4, 1.7, 10, 3.95, 46.0, "no"),
        (10, 2.3, 1.4, 10, 3.95, -18.0, "no"),
        (11, 2.7, 1.7, 11, 3.74, 23.0, "no"),
        (11, 2.7, 1.1, 11, 3.9, -24.0, "no"),
        (11, 3.6, 1.4, 11, 3.74, 35.0, "no"),
        (9, 4.0, 1.7, 9, 4.34, 57.0, "no"),
        (10, 3.1, 1.7, 10, 3.95, 33.0, "no"),
        (10, 2.8, 1.7, 8, 4.8, -0.8, "works"),
        (11, 2.6, 1.7, 9, 4.34, 1.8, "works"),
        (10, 2.3, 1.7, 10, 4.15, -5.8, "poor"),
        (11, 2.7, 1.4, 11, 3.85, -1.8, "works"),
    ];
    for (speeds, pull, ratio, cogs, pitch, mismatch, known) in mixes {
        let found = pair(*speeds, *pull, *ratio, *cogs, *pitch);
        let (reached, all) = (found.reached, usize::from(*cogs));
        let as_known = match *known {
            "works" => reached == all,
            "poor" => 2 * reached >= all,
            _ => 2 * reached < all,
        };
        assert!(as_known, "{pull} x {ratio} on {cogs} of {pitch} is {known}: {found:?}");
        let half_a_unit = if mismatch.abs() < 10.0 { 0.051 } else { 0.51 };
        assert!((mismatch_percent(*pull, *ratio, *pitch).unwrap() - mismatch).abs() < half_a_unit);
    }
}

#[test]
fn a_lever_with_too_few_clicks_leaves_cogs_out() {
    // By pull and pitch alone this mix is right to 0.5 %, but a lever for ten speeds has nine clicks for eleven cogs.
    let found = pair(10, 3.1, 1.2, 11, 3.74);
    assert_eq!(found.reached, 10);
    assert_eq!(found.per_click.len(), 10);
    let with_clicks_enough = pair(11, 3.1, 1.2, 11, 3.74);
    assert_eq!(with_clicks_enough.reached, 11);
}

#[test]
fn surplus_clicks_are_those_at_the_tight_end() {
    // A short last pull plays no part when only three cogs are left.
    let found = indexing(&[2.5, 2.5, 0.5], 1.7, &[4.25, 4.25], 0.1).unwrap();
    assert_eq!((found.reached, found.per_click.len()), (3, 3));
    assert!(found.worst < 1e-12 && found.drift.abs() < 1e-12);
}

#[test]
fn the_tolerance_stands_where_its_reasons_put_it() {
    let close = pair(10, 3.4, 1.2, 10, 3.95);
    assert!((close.worst - 0.585).abs() < 1e-9);
    let bearable = pair(8, 2.8, 1.7, 7, 5.0);
    assert!((bearable.worst - 0.72).abs() < 1e-9 && bearable.reached == 7);
    let poor = pair(10, 2.3, 1.7, 10, 4.15);
    assert!((poor.worst - 1.08).abs() < 1e-9 && poor.reached == 6);
    // The cable of a lever without clicks for nine cogs 4.34 apart.
    assert!((friction_stroke_mm(1.7, &even(4.34, 8)).unwrap() - 20.4).abs() < 0.05);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    /// Every trim is tried in thousandths of a millimetre; runs of cogs are tried one and all.
    #[test]
    fn trim_and_reach_as_found_by_trying(
        pulls in prop::collection::vec(2.0..4.0, 1..13), gaps in prop::collection::vec(3.4..5.6, 1..13),
        ratio in 1.1..1.9, tolerance in 0.2..0.9
    ) {
        let found = indexing(&pulls, ratio, &gaps, tolerance).unwrap();
        // Where the cage stands and where the cogs stand, each along its own way.
        let places = |steps: &[f64], by: f64| {
            let mut at = vec![0.0];
            for step in steps { at.push(at[at.len() - 1] + step * by) }
            at
        };
        let (cage, cogs) = (places(&pulls, ratio), places(&gaps, 1.0));
        let count = cage.len().min(cogs.len());
        prop_assert_eq!(found.per_click.len(), count);
        let worst = |trim: f64, range: std::ops::Range<usize>| {
            range.map(|at| (cage[at] + trim - cogs[at]).abs()).fold(0.0, f64::max)
        };
        let best = (-40_000..=40_000).map(|step| worst(f64::from(step) / 1000.0, 0..count)).fold(f64::MAX, f64::min);
        prop_assert!((found.worst - best).abs() < 1.1e-3, "{} against {best}", found.worst);
        prop_assert!((worst(found.trim, 0..count) - found.worst).abs() < 1e-9);
        for (at, error) in found.per_click.iter().enumerate() {
            prop_assert!((error - (cage[at] + found.trim - cogs[at])).abs() < 1e-9);
        }
        prop_assert!((found.drift - (cage[count - 1] - cogs[count - 1])).abs() < 1e-9);
        let mut longest = 0;
        for start in 0..count {
            for end in start + 1..=count {
                // Each cog allows a range of trims; a run is reached when all of them have one in common.
                let least = (start..end).map(|at| cogs[at] - cage[at] - tolerance).fold(f64::MIN, f64::max);
                let most = (start..end).map(|at| cogs[at] - cage[at] + tolerance).fold(f64::MAX, f64::min);
                if least <= most { longest = longest.max(end - start) }
            }
        }
        prop_assert_eq!(found.reached, longest);
    }

    /// With the converter in the cable nothing is left over.
    #[test]
    fn a_converter_makes_it_exact(pull in 2.0..4.5, ratio in 1.1..1.9, pitch in 3.4..5.6, cogs in 2u8..13) {
        let factor = converter_factor(pull, ratio, pitch).unwrap();
        let found = indexing(&even(pull * factor, cogs - 1), ratio, &even(pitch, cogs - 1), 0.0).unwrap();
        prop_assert!(found.worst < 1e-9);
        prop_assert!(found.reached == usize::from(cogs));
        let end = indexing(&even(pull, cogs - 1), ratio, &even(pitch, cogs - 1), 1.0).unwrap().worst;
        prop_assert!((end - (pull * ratio - pitch).abs() * f64::from(cogs - 1) / 2.0).abs() < 1e-9);
    }
}
