//! Power and hills: worked examples, forces as vectors, and a ride in small steps of time.

use super::{Published, loose, row};
use cotter::calc::climb::{Rider, power_needed_w, speed_on_ms, steepest_grade};
use nalgebra::Vector2;
use proptest::prelude::*;
use std::f64::consts::PI;

/// Gravity alone.
fn lifted(mass: f64) -> Rider {
    Rider {
        total_mass_kg: mass,
        power_w: 0.0,
        drivetrain_efficiency: 1.0,
        rolling: 0.0,
        drag_area_m2: 0.0,
        air_density_kgm3: 0.0,
    }
}

fn degrees(angle: f64) -> f64 {
    (angle * PI / 180.0).tan()
}

pub fn published() -> Vec<Published> {
    let needed = |rider: &Rider, speed: f64, grade: f64| power_needed_w(rider, speed, grade).unwrap();
    let air = Rider { drag_area_m2: 0.4, air_density_kgm3: 1.2, ..lifted(80.0) };
    let rolling = Rider { rolling: 0.01, ..lifted(80.0) };
    let both = Rider { rolling: 0.01, ..air.clone() };
    let (alone, speed) = ("bernard.mischler.free.fr/equacycle/exemple.htm", 15.0 / 3.6);
    vec![
        // Two significant figures.
        loose("nagwa.com 285121530147", "85 kg, 7.5°, 5.3 m/s", 580.0, 5.0, needed(&lifted(85.0), 5.3, degrees(7.5))),
        row("physicsforums.com 263050", "75 kg, 7°, 5 m/s", 448.0, 0, needed(&lifted(75.0), 5.0, degrees(7.0))),
        // With g = 9.8 where 9.80665 is taken here: 0.07 %.
        loose("bikeforums.net 436827", "N on 70 kg at 5°", 59.79, 0.045, needed(&lifted(70.0), 1.0, degrees(5.0))),
        loose("bikeforums.net 436827", "N on 70 kg at 7°", 83.60, 0.065, needed(&lifted(70.0), 1.0, degrees(7.0))),
        loose(
            "\"Nerding while sweating\", copied in Nemotron-CC-Math",
            "110 kg, 13.3 %, 5 mph, g = 9.80",
            317.67,
            0.22,
            needed(&lifted(110.0), 5.0 * 0.44704, 0.133),
        ),
        row(alone, "air at 15 km/h", 17.0, 0, needed(&air, speed, 0.0)),
        row(alone, "rolling at 15 km/h", 33.0, 0, needed(&rolling, speed, 0.0)),
        // It takes the grade for its sine: 0.5 % more at 10 %. Its three parts are rounded before they are added.
        loose(alone, "80 kg, 10 %, 15 km/h, gravity", 327.0, 2.0, needed(&lifted(80.0), speed, 0.1)),
        loose(alone, "80 kg, 10 %, 15 km/h", 377.0, 2.5, needed(&both, speed, 0.1)),
    ]
}

fn rider() -> impl Strategy<Value = Rider> {
    (50.0..160.0, 60.0..450.0, 0.9..1.0, 0.002..0.02, 0.2..0.8, 0.9..1.3).prop_map(
        |(total_mass_kg, power_w, drivetrain_efficiency, rolling, drag_area_m2, air_density_kgm3)| Rider {
            total_mass_kg,
            power_w,
            drivetrain_efficiency,
            rolling,
            drag_area_m2,
            air_density_kgm3,
        },
    )
}

/// What the world does along the road against the bike, from weight as a vector and the road's direction.
fn against(rider: &Rider, speed: f64, grade: f64) -> f64 {
    let along = Vector2::new(1.0, grade).normalize();
    let into = Vector2::new(along.y, -along.x);
    let weight = Vector2::new(0.0, -9.80665 * rider.total_mass_kg);
    rider.rolling * weight.dot(&into) - weight.dot(&along)
        + rider.air_density_kgm3 * rider.drag_area_m2 * speed.powi(2) / 2.0
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn power_is_force_as_vectors_times_speed(rider in rider(), speed in 0.5..25.0, grade in -0.3..0.4) {
        let force = against(&rider, speed, grade);
        let power = power_needed_w(&rider, speed, grade).unwrap();
        let wheel = if power > 0.0 { power * rider.drivetrain_efficiency } else { power };
        prop_assert!((wheel - force * speed).abs() < 1e-9 * (1.0 + wheel.abs()));
    }

    /// By halving the grade's bounds until the vectors balance.
    #[test]
    fn the_steepest_grade_balances(rider in rider(), development in 1.2..10.0, cadence in 40.0..110.0) {
        let speed = development * cadence / 60.0;
        let push = rider.power_w * rider.drivetrain_efficiency / speed;
        let (mut low, mut high) = (-2.0, 5.0);
        prop_assume!(against(&rider, speed, low) < push && against(&rider, speed, high) > push);
        for _ in 0..80 {
            let middle = (low + high) / 2.0;
            if against(&rider, speed, middle) < push { low = middle } else { high = middle }
        }
        let grade = steepest_grade(&rider, development, cadence).unwrap();
        prop_assert!((grade - low).abs() < 1e-9, "{grade} against {low}");
        // And the hill found is climbed at just that speed.
        prop_assert!((speed_on_ms(&rider, grade).unwrap() - speed).abs() < 1e-6);
    }

}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Newton's law in small steps of time, from a start at speed, until nothing changes any more.
    #[test]
    fn a_ride_settles_at_the_speed_computed(rider in rider(), grade in -0.08..0.15) {
        let (mut speed, step) = (6.0f64, 0.02);
        let accelerate = |speed: f64| {
            let push = rider.power_w * rider.drivetrain_efficiency / speed.max(0.1);
            (push - against(&rider, speed, grade)) / rider.total_mass_kg
        };
        for _ in 0..60_000 {
            let first = accelerate(speed);
            let second = accelerate(speed + first * step / 2.0);
            speed += second * step;
        }
        let computed = speed_on_ms(&rider, grade).unwrap();
        prop_assert!((speed - computed).abs() < 1e-4, "settles at {speed}, computed {computed}");
    }
}

#[test]
fn downhill_without_pedalling_is_the_speed_of_coasting() {
    let idle = Rider { power_w: 0.0, ..Rider::default() };
    let speed = speed_on_ms(&idle, -0.05).unwrap();
    assert!(against(&idle, speed, -0.05).abs() < 1e-9 && speed > 5.0);
    assert_eq!(speed_on_ms(&idle, 0.05).unwrap(), 0.0);
    // Less than coasting takes brakes, and the drivetrain has no part in them.
    let braked = power_needed_w(&idle, 2.0, -0.05).unwrap();
    assert!((braked - 2.0 * against(&idle, 2.0, -0.05)).abs() < 1e-9 && braked < 0.0);
}

#[test]
fn a_gear_too_hard_for_the_flat_needs_a_descent() {
    // 9.6 m at 100 rpm is 16 m/s: far more than 150 W hold on the flat.
    assert!(steepest_grade(&Rider::default(), 9.6, 100.0).unwrap() < -0.03);
    // 2 m at 60 rpm is a walking pace: a real hill.
    let grade = steepest_grade(&Rider::default(), 2.0, 60.0).unwrap();
    assert!((0.07..0.09).contains(&grade), "{grade}");
}
