//! The toe and the turned wheel, held against brute force in space.

use super::bike;
use cotter::calc::fit::{Nearest, Toe, toe_clearance_mm, toe_clearance_steered};
use cotter::calc::geometry::Stance;
use nalgebra::{Point3, Rotation3, Unit, Vector3};
use proptest::prelude::*;

/// A foot and a front wheel in space: x forward, y up, z to the foot's side.
struct Space {
    axis: Unit<Vector3<f64>>,
    on_axis: Point3<f64>,
    axle: Point3<f64>,
    toe: Toe,
}

fn spin(degrees: f64) -> Vector3<f64> {
    Rotation3::from_axis_angle(&Vector3::z_axis(), degrees.to_radians()) * Vector3::x()
}

impl Space {
    fn new(stance: &Stance, toe: &Toe) -> Space {
        let [top, bottom, axle] =
            [stance.head_top, stance.head_bottom, stance.front_axle].map(|it| Point3::new(it.x, it.y, 0.0));
        Space { axis: Unit::new_normalize(top - bottom), on_axis: bottom, axle, toe: *toe }
    }

    fn foot(&self, crank: f64) -> Point3<f64> {
        Point3::origin() + spin(crank) * (self.toe.crank + self.toe.beyond_spindle) + Vector3::z() * self.toe.lateral
    }

    /// A point of the wheel before the bar is turned: its place around the wheel, and from hub (0) to rim (1).
    fn wheel(&self, around: f64, outwards: f64) -> Point3<f64> {
        self.axle + spin(around) * ((self.toe.tyre_radius - self.toe.tyre_width / 2.0) * outwards)
    }

    /// The same when the bar is turned so that the front of the wheel goes to the foot's side.
    fn turned(&self, point: Point3<f64>, steering: f64) -> Point3<f64> {
        self.on_axis + Rotation3::from_axis_angle(&self.axis, -steering.to_radians()) * (point - self.on_axis)
    }
}

/// The least distance by looking everywhere, then ever closer around the best.
fn by_looking(stance: &Stance, toe: &Toe) -> f64 {
    let space = Space::new(stance, toe);
    let most = toe.most_steering;
    let (mut middle, mut half, mut steps) = ([0.0, 0.0, 180.0, 0.75], [most, 90.0, 100.0, 0.25], [40, 30, 40, 2]);
    let bounds = [(-most, most), (-90.0, 90.0), (-360.0, 720.0), (0.0, 1.0)];
    let mut best = f64::INFINITY;
    for _ in 0..12 {
        let places: [Vec<f64>; 4] = std::array::from_fn(|which| {
            let (low, high) = bounds[which];
            (0..=steps[which])
                .map(|step| 2.0 * f64::from(step) / f64::from(steps[which]) - 1.0)
                .map(|part| (middle[which] + half[which] * part).clamp(low, high))
                .collect()
        });
        let feet: Vec<_> = places[1].iter().map(|crank| (*crank, space.foot(*crank))).collect();
        for around in &places[2] {
            for outwards in &places[3] {
                let straight = space.wheel(*around, *outwards);
                for steering in &places[0] {
                    let wheel = space.turned(straight, *steering);
                    for (crank, foot) in &feet {
                        let distance = (wheel - foot).norm_squared();
                        if distance < best {
                            (best, middle) = (distance, [*steering, *crank, *around, *outwards]);
                        }
                    }
                }
            }
        }
        half = std::array::from_fn(|which| half[which] * 2.5 / f64::from(steps[which].max(5)));
        steps = [8, 8, 8, 6];
    }
    best.sqrt() - toe.tyre_width / 2.0
}

/// A bike with that much room between the bottom bracket and the front wheel.
fn with_room(head_angle: f64, further: f64) -> Stance {
    let mut stance = bike(head_angle);
    for point in [&mut stance.head_top, &mut stance.head_bottom, &mut stance.crown, &mut stance.front_axle] {
        point.x += further;
    }
    stance
}

fn toe(crank: f64, beyond_spindle: f64, lateral: f64) -> Toe {
    Toe { crank, beyond_spindle, lateral, tyre_radius: 340.0, tyre_width: 30.0, most_steering: 70.0 }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    #[test]
    fn the_toe_is_as_near_as_brute_force_finds(
        head_angle in 65.0..76.0, further in -40.0..200.0, crank in 150.0..180.0, beyond in 0.0..120.0,
        lateral in 60.0..150.0, tyre_radius in 250.0..370.0, tyre_width in 0.0..70.0, most_steering in 5.0..80.0,
    ) {
        let stance = with_room(head_angle, further);
        let toe = Toe { crank, beyond_spindle: beyond, lateral, tyre_radius, tyre_width, most_steering };
        let Nearest { distance, .. } = toe_clearance_steered(&stance, &toe).unwrap();
        let looked = by_looking(&stance, &toe).max(0.0);
        prop_assert!(distance <= looked + 1e-6, "computed {distance}, but somewhere it is {looked}");
        prop_assert!(looked <= distance + 0.02, "computed {distance}, found nothing nearer than {looked}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn the_place_it_names_has_that_distance(
        head_angle in 65.0..76.0, further in -40.0..200.0, beyond in 0.0..120.0, lateral in 60.0..150.0,
    ) {
        let stance = with_room(head_angle, further);
        let toe = toe(170.0, beyond, lateral);
        let found = toe_clearance_steered(&stance, &toe).unwrap();
        // The nearest point of the wheel there, by going round it.
        let space = Space::new(&stance, &toe);
        let foot = space.foot(found.crank);
        let there = (0..3600)
            .map(|tenth| space.turned(space.wheel(f64::from(tenth) / 10.0, 1.0), found.steering))
            .map(|wheel| (wheel - foot).norm() - toe.tyre_width / 2.0)
            .fold(f64::INFINITY, f64::min);
        prop_assert!((there.max(0.0) - found.distance).abs() < 0.1, "{found:?}, there it is {there}");
        // Where they touch, a turn a little smaller than the one named leaves room.
        if found.distance == 0.0 && found.steering.abs() > 0.1 {
            let less = Toe { most_steering: found.steering.abs() - 0.05, ..toe };
            prop_assert!(toe_clearance_steered(&stance, &less).unwrap().distance > 0.0);
        }
    }

    #[test]
    fn a_straight_wheel_thin_and_in_line_is_the_plane_case(further in 0.0..150.0, crank in 150.0..180.0) {
        let stance = with_room(73.0, further);
        let flat = Toe { tyre_width: 0.0, most_steering: 0.0, ..toe(crank, 0.0, 0.0) };
        let found = toe_clearance_steered(&stance, &flat).unwrap();
        let front_centre = stance.front_axle.x.hypot(stance.front_axle.y);
        // From the pedal, pointing at the axle, to the rim of the wheel.
        let least = front_centre - 340.0 - crank;
        let level = toe_clearance_mm(front_centre, stance.front_axle.y, 340.0, crank).unwrap();
        prop_assert!((found.distance - least).abs() < 1e-6);
        prop_assert!(least <= level);
        // Turning the bar and moving the foot outwards can only bring it nearer or leave it, and then take it away.
        let turned = toe_clearance_steered(&stance, &Toe { most_steering: 60.0, ..flat }).unwrap();
        prop_assert!(turned.distance <= found.distance + 1e-9);
    }
}

#[test]
fn a_small_bike_with_large_shoes_touches() {
    let stance = with_room(72.0, -20.0);
    let found = toe_clearance_steered(&stance, &toe(170.0, 110.0, 90.0)).unwrap();
    assert_eq!(found.distance, 0.0, "{found:?}");
    // The rear of the wheel comes to the foot when the bar turns away from its side.
    assert!(found.steering < 0.0, "{found:?}");
}
