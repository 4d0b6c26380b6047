//! Geometry and fit come out the same by another way: turned vectors, bisection, crossing lines.

use cotter::calc::fit::{bar_centre, hand_point, lean_deg, saddle_point, toe_clearance_mm};
use cotter::calc::geometry::{
    Built, Change, ForkShape, FrameShape, Point, Wheelbase, change, flop_mm, stand, trail_mm,
};
use nalgebra::{Point2, Rotation2, Rotation3, Vector2, Vector3};
use proptest::prelude::*;

type P = Point2<f64>;

fn point(of: Point) -> P {
    P::new(of.x, of.y)
}

/// What turns `x` forward into a direction so many degrees over level.
fn over_level(degrees: f64) -> Vector2<f64> {
    Rotation2::new(degrees.to_radians()) * Vector2::x()
}

/// Where a function of rising sign is nought.
fn bisected(mut low: f64, mut high: f64, of: impl Fn(f64) -> f64) -> f64 {
    assert!(of(low) <= 0.0 && of(high) >= 0.0, "no root between {low} and {high}");
    for _ in 0..200 {
        let middle = (low + high) / 2.0;
        if of(middle) < 0.0 { low = middle } else { high = middle }
    }
    (low + high) / 2.0
}

/// The turn of the whole bike about its bottom bracket that puts both wheels on one level, by trying; and its points
/// after it: rear axle, front axle, upper and lower end of the head tube, crown.
fn stood(built: &Built) -> (f64, [P; 5]) {
    let frame = &built.frame;
    let down = over_level(-frame.head_angle);
    let top = point(frame.head_top);
    let bottom = top + down * frame.head_length;
    let crown = bottom + down * built.lower_stack;
    let front = crown + down * built.fork.axle_to_crown + over_level(90.0 - frame.head_angle) * built.fork.offset;
    let turned = |by: f64| [point(frame.rear_axle), front, top, bottom, crown].map(|it| Rotation2::new(by) * it);
    let tilt = bisected(-0.7, 0.7, |by| {
        let [rear, front, ..] = turned(by);
        (front.y - built.front_radius) - (rear.y - built.rear_radius)
    });
    (tilt, turned(tilt))
}

/// Where two lines cross, each through two points.
fn crossing(a: (P, P), b: (P, P)) -> P {
    let (along_a, along_b) = (a.1 - a.0, b.1 - b.0);
    let far = (b.0 - a.0).perp(&along_b) / along_a.perp(&along_b);
    a.0 + along_a * far
}

prop_compose! {
    fn any_built()(
        head_angle in 60.0_f64..78.0, seat_angle in 68.0_f64..80.0, chainstay in 390.0_f64..480.0, drop in -20.0_f64..85.0,
        head_length in 80.0_f64..250.0, lower_stack in 0.0_f64..30.0, stack in 480.0_f64..680.0, reach in 340.0_f64..520.0,
        offset in -60.0_f64..75.0, longer in -80.0_f64..80.0, rear_radius in 235.0_f64..375.0, more in -60.0_f64..15.0,
    ) -> Built {
        let frame =
            FrameShape::from_stack_and_reach(chainstay, drop, head_angle, Some(seat_angle), head_length, stack, reach)
                .unwrap();
        let axle_to_crown: f64 = stack - drop - head_length - lower_stack + longer;
        let fork = ForkShape { axle_to_crown: axle_to_crown.max(offset.abs() + 1.0), offset };
        Built { frame, fork, lower_stack, front_radius: rear_radius + more, rear_radius }
    }
}

fn close(computed: f64, other: f64) -> Result<(), TestCaseError> {
    prop_assert!((computed - other).abs() < 1e-6, "computed {computed}, by the other way {other}");
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, max_global_rejects: 20_000, ..ProptestConfig::default() })]

    #[test]
    fn a_bike_stands_where_bisection_puts_it(built in any_built()) {
        let stance = stand(&built);
        prop_assume!(stance.is_ok());
        let stance = stance.unwrap();
        let (tilt, [rear, front, top, bottom, crown]) = stood(&built);
        close(stance.tilt, tilt.to_degrees())?;
        for (computed, other) in [
            (stance.rear_axle, rear), (stance.front_axle, front), (stance.head_top, top),
            (stance.head_bottom, bottom), (stance.crown, crown),
        ] {
            close(computed.x, other.x)?;
            close(computed.y, other.y)?;
        }
        let ground = (P::new(0.0, rear.y - built.rear_radius), P::new(1.0, rear.y - built.rear_radius));
        close(stance.ground_y, ground.0.y)?;
        close(front.y - built.front_radius, ground.0.y)?;
        close(stance.bb_height, -ground.0.y)?;
        close(stance.bb_drop, rear.y)?;
        let rear_contact = P::new(rear.x, ground.0.y);
        let contact = P::new(front.x, ground.0.y);
        close(stance.wheelbase, (contact - rear_contact).norm())?;
        close(stance.front_centre, front.coords.norm())?;
        close(stance.front_centre_horizontal, front.x)?;
        close(stance.rear_centre_horizontal, -rear.x)?;
        close(stance.stack, top.y)?;
        close(stance.reach, top.x)?;

        let axis = top - bottom;
        close(stance.head_angle, 180.0 - axis.y.atan2(axis.x).to_degrees())?;
        let meets = crossing((top, bottom), ground);
        close(stance.axis_ground.x, meets.x)?;
        close(stance.axis_ground.y, meets.y)?;
        close(stance.trail, meets.x - contact.x)?;
        let along = axis.normalize();
        let foot = meets + along * (contact - meets).dot(&along);
        // The contact lies behind the axis where the axis has to be turned left to point at it.
        let side = along.perp(&(contact - meets)).signum();
        close(stance.normal_trail, (contact - foot).norm() * side)?;
        close(stance.flop, (foot.y - ground.0.y).abs() * side)?;

        let seat = Rotation2::new(tilt) * over_level(180.0 - built.frame.seat_angle.unwrap());
        close(stance.seat_angle.unwrap(), 180.0 - seat.y.atan2(seat.x).to_degrees())?;
        let seat_tube = (P::origin(), P::origin() + seat);
        let left = crossing(seat_tube, (top, top + Vector2::x()));
        close(stance.effective_top_tube.unwrap(), top.x - left.x)?;
    }

    #[test]
    fn single_measures_agree_with_crossing_lines(
        head_angle in 60.0_f64..80.0, offset in -60.0_f64..90.0, radius in 200.0_f64..380.0,
    ) {
        // The wheel first: its axle over the contact at nought, the axis beside the axle by the offset.
        let (up, forward) = (over_level(180.0 - head_angle), over_level(90.0 - head_angle));
        let beside = P::new(0.0, radius) - forward * offset;
        let ground = (P::origin(), P::new(1.0, 0.0));
        close(trail_mm(head_angle, offset, radius).unwrap(), crossing((beside, beside + up), ground).x)?;
        let foot = beside + up * (P::origin() - beside).dot(&up);
        close(flop_mm(head_angle, offset, radius).unwrap().abs(), foot.y.abs())?;
    }

    #[test]
    fn a_change_is_the_bike_built_anew(
        head_angle in 62.0_f64..76.0, wheelbase in 960.0_f64..1280.0, chainstay in 395.0_f64..470.0, drop in -10.0_f64..85.0,
        fork_change in -60.0_f64..60.0, offset_change in -25.0_f64..25.0, front_radius_change in -30.0_f64..30.0,
        rear_radius_change in -30.0_f64..30.0, radius in 280.0_f64..370.0, lower_stack in 0.0_f64..20.0,
    ) {
        let of = Change {
            head_angle, wheelbase, chainstay, drop, fork_change, offset_change, front_radius_change, rear_radius_change,
        };
        let fork = ForkShape { axle_to_crown: 430.0, offset: 44.0 };
        let frame = FrameShape::from_wheelbase(&Wheelbase {
            chainstay, drop, head_angle, seat_angle: None, head_length: 120.0, wheelbase, lower_stack, fork,
            rear_radius: radius, front_radius: radius,
        }).unwrap();
        let fork = ForkShape { axle_to_crown: 430.0 + fork_change, offset: 44.0 + offset_change };
        let built = Built {
            frame, fork, lower_stack,
            front_radius: radius + front_radius_change, rear_radius: radius + rear_radius_change,
        };
        let changed = change(&of);
        prop_assume!(changed.is_ok());
        let changed = changed.unwrap();
        let (tilt, [rear, front, ..]) = stood(&built);
        close(changed.tilt, tilt.to_degrees())?;
        close(changed.head_angle, head_angle - tilt.to_degrees())?;
        close(changed.wheelbase, front.x - rear.x)?;
        close(changed.bb_rise, (built.rear_radius - rear.y) - (radius - drop))?;
    }

    #[test]
    fn both_ways_to_a_frame_lead_to_the_same(built in any_built(), wheelbase in 950.0_f64..1300.0) {
        let Built { frame, fork, lower_stack, front_radius, rear_radius } = built;
        let chainstay = point(frame.rear_axle).coords.norm();
        let measured = Wheelbase {
            chainstay, drop: frame.rear_axle.y, head_angle: frame.head_angle, seat_angle: frame.seat_angle,
            head_length: frame.head_length, wheelbase, lower_stack, fork, rear_radius, front_radius,
        };
        let by_wheelbase = FrameShape::from_wheelbase(&measured).unwrap();
        // With what it was measured with it stands as it was measured.
        let built = Built { frame: by_wheelbase, ..built };
        let stance = stand(&built).unwrap();
        close(stance.tilt, 0.0)?;
        close(stance.wheelbase, wheelbase)?;
        close(stance.head_angle, frame.head_angle)?;
        close(by_wheelbase.drawn_for_mm(lower_stack, fork.offset, front_radius - rear_radius).unwrap(), fork.axle_to_crown)?;
        // Its stack and reach lead back to it.
        let charted = FrameShape::from_stack_and_reach(
            chainstay, frame.rear_axle.y, frame.head_angle, frame.seat_angle, frame.head_length, stance.stack,
            stance.reach,
        ).unwrap();
        let again = stand(&Built { frame: charted, ..built }).unwrap();
        close(again.wheelbase, wheelbase)?;
        close(again.front_centre, stance.front_centre)?;
        close(again.tilt, 0.0)?;
    }

    #[test]
    fn the_fork_it_was_drawn_for_leaves_a_frame_level(built in any_built(), more in -60.0_f64..15.0) {
        let Built { frame, fork, lower_stack, rear_radius, .. } = built;
        let length = frame.drawn_for_mm(lower_stack, fork.offset, more);
        prop_assume!(length.is_ok());
        let fork = ForkShape { axle_to_crown: length.unwrap(), offset: fork.offset };
        let (tilt, _) = stood(&Built { frame, fork, lower_stack, front_radius: rear_radius + more, rear_radius });
        close(tilt, 0.0)?;
    }

    #[test]
    fn a_pressed_fork_is_as_much_shorter(length in 300.0_f64..600.0, offset in -80.0_f64..80.0) {
        let fork = ForkShape { axle_to_crown: length, offset };
        close(fork.sagged(30.0).unwrap().axle_to_crown, length - 30.0)?;
    }

    #[test]
    fn hands_and_seat_are_where_turned_vectors_put_them(
        built in any_built(), above in 10.0_f64..90.0, length in 30.0_f64..140.0, angle in -40.0_f64..40.0,
        height in 550.0_f64..850.0, setback in -20.0_f64..40.0, rise in -20.0_f64..60.0, back in -20.0_f64..80.0,
    ) {
        let stance = stand(&built);
        prop_assume!(stance.is_ok());
        let stance = stance.unwrap();
        // Everything in the frame of the steerer, then turned and put onto the head tube.
        let steerer = Rotation2::new((90.0 - stance.head_angle).to_radians());
        let arm = over_level(angle) * length;
        let clamped = point(stance.head_top) + steerer * Vector2::new(arm.x, arm.y + above);
        let bar = bar_centre(&stance, above, length, angle).unwrap();
        close(bar.x, clamped.x)?;
        close(bar.y, clamped.y)?;

        let seat_angle = stance.seat_angle.unwrap();
        let seat = P::origin() + over_level(180.0 - seat_angle) * height - Vector2::new(setback, 0.0);
        let saddle = saddle_point(seat_angle, height, setback).unwrap();
        close(saddle.x, seat.x)?;
        close(saddle.y, seat.y)?;
        let hand = hand_point(bar, -back, rise).unwrap();
        let way = clamped + Vector2::new(-back, rise) - seat;
        close(hand.x - saddle.x, way.x)?;
        close(hand.y - saddle.y, way.y)?;
    }

    #[test]
    fn a_leaning_bike_touches_where_turning_it_in_space_says(
        bb_height in 235.0_f64..360.0, crank in 140.0_f64..180.0, depth in 0.0_f64..30.0, half_width in 120.0_f64..230.0, along in 0.0_f64..30.0,
    ) {
        let computed = lean_deg(bb_height, crank, depth, half_width);
        prop_assume!(computed.is_ok());
        // Axes: x forward, y up, z to the side that the bike leans to; it turns about the line of contacts, y = z = 0.
        let lowest = |lean: f64| {
            let turn = Rotation3::from_axis_angle(&Vector3::x_axis(), lean);
            [-along, along]
                .map(|x| (turn * Vector3::new(x, bb_height - crank - depth, half_width)).y)
                .into_iter()
                .fold(f64::INFINITY, f64::min)
        };
        let lean = bisected(0.0, std::f64::consts::FRAC_PI_2, |lean| -lowest(lean));
        close(computed.unwrap(), lean.to_degrees())?;
    }

    #[test]
    fn straight_ahead_the_tyre_begins_where_walking_meets_it(
        front_centre in 540.0_f64..800.0, drop in -30.0_f64..85.0, radius in 240.0_f64..380.0, crank in 140.0_f64..180.0,
    ) {
        let axle = P::new(f64::sqrt(front_centre * front_centre - drop * drop), drop);
        let meets = bisected(axle.x - 2.0 * radius, axle.x, |x| radius - (axle - P::new(x, 0.0)).norm());
        close(toe_clearance_mm(front_centre, drop, radius, crank).unwrap(), meets - crank)?;
    }
}
