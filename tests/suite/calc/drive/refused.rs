//! What can have no answer is refused with words, and nothing ever gives a number that is none.

use cotter::calc::Answer;
use cotter::calc::chain::*;
use cotter::calc::chainline::*;
use cotter::calc::climb::*;
use cotter::calc::gearing::*;
use cotter::calc::indexing::*;
use cotter::calc::rings::*;
use proptest::prelude::*;

/// Each call as it is written, and the words that it is refused with.
macro_rules! said {
    ($($call:expr),* $(,)?) => {
        [$(format!("{}\n    {}", stringify!($call), $call.unwrap_err().0)),*].join("\n")
    };
}

#[test]
fn refusals_name_the_numbers() {
    let rider = Rider::default();
    let smooth = Rider { drag_area_m2: 0.0, ..Rider::default() };
    let broken = Rider { drivetrain_efficiency: 0.0, ..Rider::default() };
    let said = said![
        ratio(50.0, 0.0),
        gear_inches(1.5, f64::NAN),
        range_percent(3.0, 1.5),
        gears(&[], &[11.0, 12.0]),
        steepest_grade(&rider, 0.4, 20.0),
        steepest_grade(&rider, 20.0, 300.0),
        speed_on_ms(&smooth, -0.1),
        power_needed_w(&broken, 5.0, 0.0),
        pitches_open(100.0, 50.0, 28.0),
        pitches_open(410.0, 50.0, 3.0),
        chainstay_for_mm(20.0, 48.0, 16.0),
        wrap_links(410.0, 34.0, 50.0, 28.0, 11.0),
        single_speed_fits(405.0, 48.0, 16.0, 0.0, -1.0),
        cog_lines_mm(120.0, 5.0, 5.0, 1.8, 13.0),
        single_cog_line_mm(110.0, 60.0),
        flange_cog_line_mm(40.0, 65.0),
        ring_lines_mm(47.5, 8.0, 4.0),
        angle_deg(45.0, 45.0, 0.0),
        indexing(&[], 1.7, &[4.34], 0.6),
        indexing(&[2.5], 0.0, &[4.34], 0.6),
        converter_factor(f64::INFINITY, 1.7, 3.95),
        adjacent_bolts_mm(110.0, 4.5),
        nonadjacent_bolts_mm(86.0, 3.0),
        pitch_diameter_mm(4.0),
        root_diameter_mm(f64::INFINITY),
    ];
    insta::with_settings!({ snapshot_path => "../../snapshots" }, {
        insta::assert_snapshot!(said);
    });
}

/// Every public function of six numbers or fewer, called with what a hostile caller sends.
fn all(n: [f64; 6]) -> Vec<Answer> {
    let [a, b, c, d, e, f] = n;
    let rider = Rider {
        total_mass_kg: a,
        power_w: b,
        drivetrain_efficiency: c,
        rolling: d,
        drag_area_m2: e,
        air_density_kgm3: f,
    };
    let sensible = Rider::default();
    let first = |list: Answer<Vec<f64>>| list.map(|it| it.into_iter().fold(0.0, |sum: f64, value| sum + value));
    vec![
        ratio(a, b),
        circumference_mm(a, b),
        development_m(a, b),
        gear_inches(a, b),
        gain_ratio(a, b, c),
        speed_kmh(a, b),
        step_percent(a, b),
        range_percent(a, b),
        first(cog_steps_percent(&n)),
        gears(&[a, b], &[c, d, e]).map(|it| it.iter().map(|gear| gear.ratio).sum()),
        gears(&[a, b], &[c, d, e]).and_then(|it| overlaps(&it)).map(|it| it.iter().map(|one| one.from + one.to).sum()),
        power_needed_w(&rider, a, b),
        power_needed_w(&sensible, a, b),
        steepest_grade(&rider, a, b),
        steepest_grade(&sensible, a, b),
        speed_on_ms(&rider, a),
        speed_on_ms(&sensible, a),
        pitches_open(a, b, c),
        pitches_series(a, b, c),
        rule_of_thumb_links(a, b, c),
        derailleur_links(a, b, c),
        wrap_links(a, b, c, d, e).map(|it| it.pitches + it.teeth + it.capacity),
        capacity_teeth(a, b, c, d),
        chainstay_for_mm(a, b, c),
        single_speed_fits(a, b, c, d, e).map(|it| it.iter().map(|fit| fit.chainstay + fit.moved).sum()),
        first(cog_lines_mm(a, b, c, d, e)),
        rear_chainline_mm(a, b, c, d, e),
        single_cog_line_mm(a, b),
        flange_cog_line_mm(a, b),
        first(ring_lines_mm(a, b, c)),
        angle_deg(a, b, c),
        front_chainline_mm(a, b),
        indexing(&[a, b], c, &[d, e], f).map(|it| it.worst + it.drift + it.trim + it.per_click.iter().sum::<f64>()),
        default_tolerance_mm(a),
        converter_factor(a, b, c),
        mismatch_percent(a, b, c),
        friction_stroke_mm(c, &[a, b]),
        pitch_diameter_mm(a),
        root_diameter_mm(a),
        adjacent_bolts_mm(a, b),
        nonadjacent_bolts_mm(a, b),
        circle_from_adjacent_mm(a, b),
    ]
}

fn hostile() -> impl Strategy<Value = f64> {
    prop_oneof![
        3 => -10.0..600.0,
        2 => (0u32..120).prop_map(f64::from),
        1 => prop::sample::select(vec![
            0.0, -0.0, 1.0, 5.0, f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e308, -1e308, 1e-308, 0.1, 1e9
        ]),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn nothing_gives_a_number_that_is_none(n in prop::array::uniform6(hostile())) {
        for (at, answer) in all(n).into_iter().enumerate() {
            match answer {
                Ok(value) => prop_assert!(value.is_finite(), "function {at} of {n:?} gives {value}"),
                Err(why) => {
                    prop_assert!(!why.0.contains("NaN") && !why.0.contains("inf"), "function {at}: {}", why.0);
                    prop_assert!(why.0.len() < 250, "function {at}: {}", why.0);
                }
            }
        }
    }
}

#[test]
fn no_number_is_refused_by_every_function() {
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        for (at, answer) in all([bad; 6]).into_iter().enumerate() {
            assert!(answer.is_err(), "function {at} takes {bad}");
        }
    }
}
