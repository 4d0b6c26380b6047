//! Brakes: published advantages, distances and limits, and the same by time steps and balances of force.

use super::{Published, anything, refuses, refuses_what_is_no_measure, root, row, sober};
use cotter::calc::{GRAVITY, braking};
use nalgebra::{Matrix2, Rotation2, Vector2};
use proptest::prelude::*;

const LEVERS: &str = "bicycles.stackexchange.com, question 71954, and its copy at transwikia.com";
const ROTORS: &str = "cyclebanter.com, p=162537";
const AASHTO: &str = "AASHTO, Guide for the Development of Bicycle Facilities, at muggaccinos.com";
const FHWA: &str = "FHWA-HRT-04-103, Sight distance, at corada.com";
const FOOT: f64 = 0.3048;
const MILE_KM: f64 = 1.609_344;

pub fn published() -> Vec<Published> {
    let lever = |finger: f64, cable: f64| braking::lever_advantage(finger, cable);
    // From a speed in m/s.
    let stop = |speed: f64, deceleration: f64| braking::stopping_distance_m(3.6 * speed, deceleration, 0.0);
    let at_20_mph = || braking::stopping_distance_m(20.0 * MILE_KM, GRAVITY / 4.0, 2.5);
    vec![
        row(LEVERS, "75/29", 2.6, 0.05, lever(75.0, 29.0)),
        row(LEVERS, "72/33", 2.2, 0.05, lever(72.0, 33.0)),
        row(LEVERS, "72/14", 5.1, 0.05, lever(72.0, 14.0)),
        row(LEVERS, "60/38", 1.6, 0.05, lever(60.0, 38.0)),
        row(LEVERS, "63/29", 2.2, 0.05, lever(63.0, 29.0)),
        row(LEVERS, "63/33", 1.9, 0.05, lever(63.0, 33.0)),
        row(LEVERS, "63/14", 4.5, 0.05, lever(63.0, 14.0)),
        // "15 % more" and "26 % more": the second is cut off, not rounded (26.9).
        row(ROTORS, "rotor of 185 against 160 mm", 1.15, 0.01, braking::rotor_torque_ratio(185.0, 160.0)),
        row(ROTORS, "rotor of 203 against 160 mm", 1.26, 0.01, braking::rotor_torque_ratio(203.0, 160.0)),
        row(
            "peterverdone.com, The problem with flat mount",
            "20 mm of rotor",
            10.0,
            0.0,
            braking::mount_shift_mm(180.0, 160.0),
        ),
        row(
            "TBIS 4210-4:2017 (ISO 4210-4), p. 31",
            "225 N at 184 N on the lever",
            220.1,
            0.05,
            braking::braking_force_corrected_n(225.0, 184.0),
        ),
        // The guide's `V²/254 f` in km/h and m, and `V²/30 f` in miles per hour and feet.
        row(AASHTO, "254", 254.0, 0.5, braking::stopping_distance_m(1.0, GRAVITY, 0.0).map(f64::recip)),
        row(AASHTO, "30", 30.0, 0.5, braking::stopping_distance_m(MILE_KM, GRAVITY, 0.0).map(|it| FOOT / it)),
        // The way before the brakes bite: a stop with and without 2.5 s.
        row(
            AASHTO,
            "40 km/h for 2.5 s",
            27.78,
            0.005,
            braking::stopping_distance_m(40.0, 3.0, 2.5).map(|it| it - stop(40.0 / 3.6, 3.0).unwrap()),
        ),
        row(FHWA, "stop from 20 miles per hour in m", 38.7, 0.05, at_20_mph()),
        row(FHWA, "the same in feet", 127.0, 0.5, at_20_mph().map(|it| it / FOOT)),
        row("univerkov.com, a cyclist braking from 4 m/s", "4 m/s at 0.5 m/s²", 16.0, 0.5, stop(4.0, 0.5)),
        row("antlersps.com, distance of a bicyclist", "10 m/s at 2.5 m/s²", 20.0, 0.5, stop(10.0, 2.5)),
        // 1000 N on 80 kg; the speed of 11.18 m/s is printed as 11.1, cut off.
        row("gcse.com, braking speed", "11.1 m/s at 12.5 m/s²", 5.0, 0.5, stop(11.1, 12.5)),
        row(
            "J. Riel, Maximal braking on a standard bicycle (2005)",
            "limit of 0.7 g on 10 % downhill, in g",
            0.6,
            0.05,
            braking::deceleration_on_slope_ms2(0.7 * GRAVITY, -0.1).map(|it| it / GRAVITY),
        ),
        row(
            "W. Pein, High speed bicycling (2004, revised 2007)",
            "0.35 g on 5 % downhill, in g",
            0.30,
            0.005,
            braking::deceleration_on_slope_ms2(0.35 * GRAVITY, -0.05).map(|it| it / GRAVITY),
        ),
    ]
}

/// Distance of a stop, ridden in small steps of time.
fn ridden(speed_kmh: f64, deceleration: f64, reaction: f64) -> f64 {
    let start = speed_kmh / 3.6;
    let steps = 1000;
    let step = start / deceleration / f64::from(steps);
    let mut way = start * reaction;
    let mut speed = start;
    for _ in 0..steps {
        let next = speed - deceleration * step;
        way += (speed + next) / 2.0 * step;
        speed = next;
    }
    way
}

/// Forces of the road on the two wheels, front and rear, square to the road and per kilogram, while a bike brakes on a
/// slope. The road runs along x; gravity is turned instead. Torques about the centre of mass cancel, whichever wheel
/// brakes.
fn loads(behind: f64, height: f64, wheelbase: f64, deceleration: f64, slope: f64) -> Vector2<f64> {
    // Facing +x, uphill where the slope is positive: gravity then pulls back along the road.
    let gravity = Rotation2::new(-slope.atan()) * Vector2::new(0.0, -GRAVITY);
    let braking = -deceleration - gravity.x;
    // Square to the road: front + rear = weight. Torque: front · behind − rear · (wheelbase − behind) + braking ·
    // height = 0.
    let balance = Matrix2::new(1.0, 1.0, behind, behind - wheelbase);
    balance.lu().solve(&Vector2::new(-gravity.y, -braking * height)).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn a_stop_ridden_step_by_step_is_as_long(speed in 5.0..60.0f64, deceleration in 1.0..9.0f64, reaction in 0.0..3.0f64) {
        let way = ridden(speed, deceleration, reaction);
        let computed = braking::stopping_distance_m(speed, deceleration, reaction).unwrap();
        prop_assert!((computed - way).abs() < 1e-6 * way);
        // The deceleration that rides that way, by trying.
        let straight = ridden(speed, deceleration, 0.0);
        let tried = root(-20.0, -0.5, |it| ridden(speed, -it, 0.0) - straight).abs();
        prop_assert!((braking::deceleration_ms2(speed, straight).unwrap() - tried).abs() < 1e-6 * tried);
    }

    #[test]
    fn a_bike_pitches_over_when_the_rear_wheel_carries_nothing(
        behind in 300.0..900.0f64, height in 700.0..1300.0f64, more in 20.0..500.0f64, slope in -0.2..0.2f64,
    ) {
        let wheelbase = behind + more;
        let lifts = |slope: f64| root(-20.0, 40.0, |it| -loads(behind, height, wheelbase, it, slope).y);
        let level = braking::pitchover_deceleration_ms2(behind, height).unwrap();
        prop_assert!((level - lifts(0.0)).abs() < 1e-9);
        let sloping = braking::deceleration_on_slope_ms2(level, slope).unwrap();
        prop_assert!((sloping - lifts(slope)).abs() < 1e-9, "{} against {}", sloping, lifts(slope));
        // The same limit for grip: all that the road can hold is used.
        let grip = root(-20.0, 40.0, |it| {
            let loads = loads(behind, height, wheelbase, it, slope);
            let along = it - GRAVITY * slope / slope.hypot(1.0);
            along - level / GRAVITY * (loads.x + loads.y)
        });
        prop_assert!((sloping - grip).abs() < 1e-9);
    }

    #[test]
    fn the_front_wheel_carries_what_the_balance_leaves_it(
        behind in 300.0..900.0f64, height in 700.0..1300.0f64, more in 20.0..500.0f64, part in 0.0..1.0f64,
    ) {
        let wheelbase = behind + more;
        let deceleration = part * braking::pitchover_deceleration_ms2(behind, height).unwrap();
        let loads = loads(behind, height, wheelbase, deceleration, 0.0);
        let share = braking::front_wheel_share(behind, height, wheelbase, deceleration).unwrap();
        prop_assert!((share - loads.x / (loads.x + loads.y)).abs() < 1e-9);
    }

    #[test]
    fn levers_give_back_the_work_put_in(finger in 40.0..90.0f64, cable in 10.0..40.0f64, brake in 0.8..5.0f64, force in 10.0..200.0f64) {
        let lever = braking::lever_advantage(finger, cable).unwrap();
        // A small swing about the pivot moves both by their arc.
        let swing = 0.01;
        let pulled = braking::cable_travel_mm(finger * swing, lever).unwrap();
        prop_assert!((pulled - cable * swing).abs() < 1e-12);
        let closed = braking::pad_travel_mm(pulled, brake).unwrap();
        let pinch = force * braking::system_advantage(lever, brake).unwrap();
        prop_assert!((pinch * closed - force * finger * swing).abs() < 1e-9);
    }

    #[test]
    fn a_rotor_takes_as_much_more_work_as_it_is_longer_round(one in 140.0..220.0f64, other in 140.0..220.0f64, pinch in 100.0..2000.0f64) {
        // Work of the same friction over one turn of the wheel; torque is that work by 2π.
        let torque = |rotor: f64| (0..360).map(|_| pinch * std::f64::consts::PI * rotor / 360.0).sum::<f64>();
        let ratio = braking::rotor_torque_ratio(one, other).unwrap();
        prop_assert!((ratio - torque(one) / torque(other)).abs() < 1e-9);
        let shift = braking::mount_shift_mm(one, other).unwrap();
        prop_assert!((one / 2.0 - (other / 2.0 + shift)).abs() < 1e-9);
    }

    #[test]
    fn whatever_is_given_there_is_a_number_or_words(g in proptest::array::uniform4(anything())) {
        sober(|g| braking::lever_advantage(g[0], g[1]), g);
        sober(|g| braking::system_advantage(g[0], g[1]), g);
        sober(|g| braking::cable_travel_mm(g[0], g[1]), g);
        sober(|g| braking::pad_travel_mm(g[0], g[1]), g);
        sober(|g| braking::rotor_torque_ratio(g[0], g[1]), g);
        sober(|g| braking::mount_shift_mm(g[0], g[1]), g);
        sober(|g| braking::deceleration_ms2(g[0], g[1]), g);
        sober(|g| braking::stopping_distance_m(g[0], g[1], g[2]), g);
        sober(|g| braking::braking_force_corrected_n(g[0], g[1]), g);
        sober(|g| braking::pitchover_deceleration_ms2(g[0], g[1]), g);
        sober(|g| braking::deceleration_on_slope_ms2(g[0], g[1]), g);
        sober(|g| braking::front_wheel_share(g[0], g[1], g[2], g[3]), g);
    }
}

#[test]
fn worked_by_hand() {
    let near = |answer: cotter::calc::Answer, figure: f64, within: f64| {
        let number = answer.unwrap();
        assert!((number - figure).abs() <= within, "{number} is not {figure}");
    };
    // 16 CFR 1512.5 gives the distance, 15 ft; the test's 24 km/h are from memory. About half of gravity.
    near(braking::deceleration_ms2(24.0, 4.57), 4.86, 0.005);
    near(braking::rotor_torque_ratio(180.0, 160.0), 1.125, 1e-9);
    near(braking::rotor_torque_ratio(140.0, 160.0), 0.875, 1e-9);
    near(braking::mount_shift_mm(160.0, 180.0), -10.0, 1e-9);
    // A mismatch: a lever that pulls little cable on a brake that needs much moves its pads half as far.
    let pads = |lever: f64| braking::pad_travel_mm(braking::cable_travel_mm(60.0, lever).unwrap(), 4.0).unwrap();
    assert!(pads(4.5) < 0.6 * pads(2.6));
    near(braking::front_wheel_share(600.0, 1000.0, 1000.0, 0.0), 0.4, 1e-9);
    near(braking::front_wheel_share(600.0, 1000.0, 1000.0, 0.6 * GRAVITY), 1.0, 1e-9);
    assert!(braking::deceleration_on_slope_ms2(2.0, -0.3).unwrap() < 0.0);
}

#[test]
fn what_cannot_brake_is_refused_with_words() {
    refuses(braking::stopping_distance_m(25.0, 0.0, 1.0), "the deceleration must be more than 0 m/s², not 0 m/s²");
    refuses(
        braking::front_wheel_share(600.0, 1000.0, 1000.0, 8.0),
        "the bike pitches over at 5.88 m/s², before it slows by 8 m/s²",
    );
    refuses(braking::front_wheel_share(1100.0, 1000.0, 1000.0, 1.0), "lies behind the rear one, 1000 mm away");
    refuses(braking::deceleration_on_slope_ms2(5.0, f64::NAN), "the slope is no number");
    refuses(
        braking::lever_advantage(72.0, 0.0),
        "the distance from the lever's pivot to the cable must be more than 0",
    );
    refuses(braking::lever_advantage(1e6, 1e-320), "these numbers lie too far apart");
    refuses_what_is_no_measure(|[a, b]| braking::lever_advantage(a, b), [72.0, 14.0]);
    refuses_what_is_no_measure(|[a, b]| braking::system_advantage(a, b), [5.1, 1.0]);
    refuses_what_is_no_measure(|[a, b]| braking::cable_travel_mm(a, b), [60.0, 5.1]);
    refuses_what_is_no_measure(|[a, b]| braking::pad_travel_mm(a, b), [12.0, 1.0]);
    refuses_what_is_no_measure(|[a, b]| braking::rotor_torque_ratio(a, b), [203.0, 160.0]);
    refuses_what_is_no_measure(|[a, b]| braking::mount_shift_mm(a, b), [203.0, 160.0]);
    refuses_what_is_no_measure(|[a, b]| braking::deceleration_ms2(a, b), [24.0, 4.57]);
    refuses_what_is_no_measure(|[a, b, c]| braking::stopping_distance_m(a, b, c), [24.0, 4.9, 1.0]);
    refuses_what_is_no_measure(|[a, b]| braking::braking_force_corrected_n(a, b), [225.0, 184.0]);
    refuses_what_is_no_measure(|[a, b]| braking::pitchover_deceleration_ms2(a, b), [600.0, 1000.0]);
    refuses_what_is_no_measure(|[a, b, c, d]| braking::front_wheel_share(a, b, c, d), [600.0, 1000.0, 1000.0, 2.0]);
}
