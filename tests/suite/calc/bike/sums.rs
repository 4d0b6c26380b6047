//! Sums of the project's own collection of trade facts: reckoned there by hand, so they are no published figures.

use super::bike;
use cotter::calc::fit::{bar_centre, lean_deg, toe_clearance_mm};
use cotter::calc::geometry::{Change, change, effective_top_tube_mm, flop_mm, normal_trail_mm, trail_mm};

fn near(what: &str, computed: f64, figure: f64, within: f64) {
    assert!((computed - figure).abs() <= within + 1e-9, "{what}: {figure}, computed {computed}");
}

#[test]
fn trail_and_kin() {
    near("trail", trail_mm(73.0, 45.0, 336.0).unwrap(), 55.67, 0.005);
    near("normal trail", normal_trail_mm(73.0, 45.0, 336.0).unwrap(), 53.24, 0.005);
    near("flop", flop_mm(73.0, 45.0, 336.0).unwrap(), 15.56, 0.01);
    near("trail of a mountain bike", trail_mm(66.0, 44.0, 368.0).unwrap(), 115.68, 0.005);
    near("trail of 26 inches", trail_mm(72.0, 45.0, 333.5).unwrap(), 61.0, 0.05);
    assert!(trail_mm(80.0, 90.0, 330.0).unwrap() < 0.0, "negative trail is a number");
}

#[test]
fn forks_of_another_length() {
    let rows = [
        (73.0, 990.0, 410.0, 70.0, 20.0, 0.0, 71.90, 996.0, 7.8),
        (70.0, 1050.0, 430.0, 60.0, 20.0, 0.0, 68.98, 1057.0, 7.6),
        (66.0, 1180.0, 435.0, 30.0, 20.0, 0.0, 65.12, 1188.3, 6.7),
        (74.0, 980.0, 410.0, 70.0, 54.0, 0.0, 71.01, 996.2, 21.1),
        (72.5, 1000.0, 415.0, 70.0, 9.0, 5.0, 72.10, 1007.5, 2.9),
        (69.0, 1080.0, 440.0, 45.0, -25.0, 0.0, 70.25, 1071.3, -9.5),
        (66.0, 1200.0, 435.0, 30.0, -30.0, 0.0, 67.32, 1188.1, -10.0),
    ];
    for (head_angle, wheelbase, chainstay, drop, fork_change, offset_change, angle, base, rise) in rows {
        let of = Change {
            head_angle,
            wheelbase,
            chainstay,
            drop,
            fork_change,
            offset_change,
            front_radius_change: 0.0,
            rear_radius_change: 0.0,
        };
        let changed = change(&of).unwrap();
        near("head angle", changed.head_angle, angle, 0.005);
        near("wheelbase", changed.wheelbase, base, 0.05);
        near("bottom bracket", changed.bb_rise, rise, 0.051);
    }
}

#[test]
fn both_wheels_larger_lift_and_do_not_tilt() {
    let larger = Change {
        head_angle: 73.0,
        wheelbase: 990.0,
        chainstay: 410.0,
        drop: 70.0,
        fork_change: 0.0,
        offset_change: 0.0,
        front_radius_change: 8.0,
        rear_radius_change: 8.0,
    };
    let changed = change(&larger).unwrap();
    assert_eq!((changed.tilt, changed.bb_rise, changed.wheelbase), (0.0, 8.0, 990.0));
}

#[test]
fn charts_and_bars() {
    let bike = bike(73.0);
    near("front centre", bike.front_centre_horizontal, 586.9, 0.05);
    near("front centre direct", bike.front_centre, 591.0, 0.05);
    near("wheelbase", bike.wheelbase, 990.8, 0.05);
    near("top tube", bike.effective_top_tube.unwrap(), 555.9, 0.05);
    near("top tube of a mountain bike", effective_top_tube_mm(620.0, 450.0, 76.0).unwrap(), 604.6, 0.05);
    for (spacers, angle, x, y) in
        [(20.0, -6.0, 482.3, 598.2), (40.0, -6.0, 476.5, 617.3), (20.0, 6.0, 476.2, 618.2), (20.0, -17.0, 484.2, 579.1)]
    {
        let bar = bar_centre(&bike, spacers, 100.0, angle).unwrap();
        near("bar ahead", bar.x, x, 0.1);
        near("bar up", bar.y, y, 0.1);
    }
}

#[test]
fn toes_and_pedals() {
    let rows = [
        (575.0, 70.0, 336.0, 170.0, 72.1),
        (595.0, 70.0, 339.0, 172.5, 86.7),
        (600.0, 70.0, 339.0, 172.5, 91.7),
        (590.0, 75.0, 351.0, 170.0, 72.3),
        (720.0, 35.0, 370.0, 170.0, 180.8),
    ];
    for (front_centre, drop, radius, crank, figure) in rows {
        near("toe", toe_clearance_mm(front_centre, drop, radius, crank).unwrap(), figure, 0.05);
    }
    assert!(toe_clearance_mm(500.0, 70.0, 340.0, 175.0).unwrap() < 0.0, "an overlap is a number");
    near("lean", lean_deg(270.0, 170.0, 0.0, 100.0).unwrap(), 45.0, 1e-9);
}
