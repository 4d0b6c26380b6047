//! What has no answer is refused with words, and nothing ever gives a number that is none.

use super::bike;
use cotter::calc::Answer;
use cotter::calc::fit::{
    Toe, bar_centre, hand_point, lean_deg, saddle_point, stem_mm, toe_clearance_mm, toe_clearance_steered,
};
use cotter::calc::geometry::{
    Built, Change, ForkShape, FrameShape, Point, Wheelbase, change, effective_top_tube_mm, flop_mm, normal_trail_mm,
    stand, trail_mm,
};
use proptest::prelude::*;

const FORK: ForkShape = ForkShape { axle_to_crown: 375.0, offset: 45.0 };
const MEASURED: Wheelbase = Wheelbase {
    chainstay: 410.0,
    drop: 70.0,
    head_angle: 73.0,
    seat_angle: Some(73.5),
    head_length: 150.0,
    wheelbase: 990.0,
    lower_stack: 5.0,
    fork: FORK,
    rear_radius: 336.0,
    front_radius: 336.0,
};
const TOE: Toe = Toe {
    crank: 170.0,
    beyond_spindle: 100.0,
    lateral: 90.0,
    tyre_radius: 340.0,
    tyre_width: 28.0,
    most_steering: 60.0,
};

fn built() -> Built {
    let frame = FrameShape::from_wheelbase(&MEASURED).unwrap();
    Built { frame, fork: FORK, lower_stack: 5.0, front_radius: 336.0, rear_radius: 336.0 }
}

/// The words that something was refused with.
fn words<T>(answer: Answer<T>) -> String {
    answer.err().expect("refused").0
}

#[test]
fn impossible_bikes_are_refused_in_words() {
    let short = ForkShape { axle_to_crown: 40.0, offset: 45.0 };
    let stay = FrameShape::from_stack_and_reach(60.0, -70.0, 73.0, None, 150.0, 560.0, 390.0);
    let slack = FrameShape::from_stack_and_reach(410.0, 70.0, 40.0, None, 150.0, 560.0, 390.0);
    let seat = FrameShape::from_stack_and_reach(410.0, 70.0, 73.0, Some(95.0), 150.0, 560.0, 390.0);
    let near = FrameShape::from_wheelbase(&Wheelbase { wheelbase: 400.0, ..MEASURED });
    let collapsed = FORK.sagged(340.0);
    let overlap = stand(&Built { front_radius: 660.0, ..built() });
    let buried = stand(&Built { front_radius: 60.0, rear_radius: 60.0, ..built() });
    let towering = stand(&Built { fork: ForkShape { axle_to_crown: 1200.0, offset: 45.0 }, ..built() });
    let said = [
        words(stand(&Built { fork: short, ..built() })),
        words(stay),
        words(slack),
        words(seat),
        words(near),
        words(collapsed),
        words(overlap),
        words(buried),
        words(towering),
    ];
    insta::assert_snapshot!(said.join("\n"), @r"
    the fork is 40 mm long from axle to crown, which is not more than its offset, 45 mm
    the chainstay, 60 mm, is not longer than the bottom bracket's drop, -70 mm
    the head angle, 40°, is outside 45 to 90°
    the seat angle, 95°, is outside 45 to 90°
    the wheelbase, 400 mm, is so short beside the chainstay, 410 mm, that the front axle is not ahead of the bottom bracket
    the fork is 35 mm long from axle to crown, which is not more than its offset, 45 mm
    the axles are 990 mm apart, the wheels' radii add up to 996 mm: the wheels overlap
    the bottom bracket would be 10 mm under the ground
    the head angle of the bike as it stands, 40.35°, is outside 45 to 90°
    ");
}

#[test]
fn impossible_fits_are_refused_in_words() {
    let bike = bike(73.0);
    let said = [
        words(lean_deg(160.0, 170.0, 15.0, 180.0)),
        words(lean_deg(270.0, 170.0, 15.0, 0.0)),
        words(toe_clearance_mm(590.0, 350.0, 340.0, 170.0)),
        words(toe_clearance_steered(&bike, &Toe { tyre_width: 700.0, ..TOE })),
        words(toe_clearance_steered(&bike, &Toe { most_steering: 120.0, ..TOE })),
        words(toe_clearance_steered(&bike, &Toe { crank: 0.0, ..TOE })),
        words(stem_mm(73.0, -1.0, 6.0)),
        words(stem_mm(73.0, 100.0, 96.0)),
        words(saddle_point(73.0, f64::NAN, 0.0)),
        words(trail_mm(0.0, 45.0, 336.0)),
        words(trail_mm(73.0, 45.0, f64::INFINITY)),
        words(change(&Change {
            head_angle: 73.0,
            wheelbase: 990.0,
            chainstay: 60.0,
            drop: 70.0,
            fork_change: 0.0,
            offset_change: 0.0,
            front_radius_change: 0.0,
            rear_radius_change: 0.0,
        })),
    ];
    insta::assert_snapshot!(said.join("\n"), @r"
    the pedal touches the ground with the bike upright: crank 170 mm and pedal 15 mm reach lower than the bottom bracket is high, 160 mm
    the distance from the bike's middle to the pedal's outer edge must be more than 0 mm, not 0 mm
    the bottom bracket's drop, 350 mm, is not less than the front wheel's radius, 340 mm, and the front centre, 590 mm
    a tyre of 700 mm width does not fit a wheel of 340 mm radius
    the most that the bar turns, 120°, is outside 0 to 90°
    the crank's length must be more than 0 mm, not 0 mm
    the stem's length cannot be less than 0 mm, and -1 mm is
    the stem's angle, 96°, is outside -90 to 90°
    the saddle's height is no number
    with a head angle of 0° the head axis does not cross the ground: no trail
    the front wheel's radius is no number
    the chainstay, 60 mm, is not longer than the bottom bracket's drop, 70 mm
    ");
}

/// Numbers of every kind, the awkward ones and those near what bikes have often.
fn any_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        Just(f64::NAN),
        Just(f64::INFINITY),
        Just(f64::NEG_INFINITY),
        Just(f64::MAX),
        Just(f64::MIN_POSITIVE),
        Just(0.0),
        Just(-0.0),
        Just(45.0),
        Just(90.0),
        Just(180.0),
        -1000.0..1000.0,
        50.0..90.0,
        any::<f64>(),
    ]
}

fn sound(answer: Answer) {
    assert!(answer.clone().map_or_else(|no| !no.0.is_empty(), f64::is_finite), "{answer:?}");
}

fn sound_point(answer: Answer<Point>) {
    sound(answer.clone().map(|point| point.x));
    sound(answer.map(|point| point.y));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, ..ProptestConfig::default() })]

    #[test]
    fn nothing_gives_a_number_that_is_none(n in proptest::array::uniform12(any_number())) {
        let [a, b, c, d, e, f, g, h, i, j, k, l] = n;
        sound(trail_mm(a, b, c));
        sound(normal_trail_mm(a, b, c));
        sound(flop_mm(a, b, c));
        sound(effective_top_tube_mm(a, b, c));
        sound(lean_deg(a, b, c, d));
        sound(toe_clearance_mm(a, b, c, d));
        sound_point(stem_mm(a, b, c));
        sound_point(saddle_point(a, b, c));
        sound_point(hand_point(Point { x: a, y: b }, c, d));
        let of = Change {
            head_angle: a, wheelbase: b, chainstay: c, drop: d,
            fork_change: e, offset_change: f, front_radius_change: g, rear_radius_change: h,
        };
        sound(change(&of).map(|it| it.tilt + it.head_angle + it.wheelbase + it.bb_rise));
        let fork = ForkShape { axle_to_crown: a, offset: b };
        sound(fork.sagged(c).map(|fork| fork.axle_to_crown));
        let measured = Wheelbase {
            chainstay: c, drop: d, head_angle: e, seat_angle: Some(f), head_length: g, wheelbase: h,
            lower_stack: i, fork, rear_radius: j, front_radius: k,
        };
        sound(FrameShape::from_wheelbase(&measured).map(|frame| frame.head_top.x + frame.head_top.y));
        let charted = FrameShape::from_stack_and_reach(a, b, c, Some(d), e, f, g);
        sound(charted.map(|frame| frame.rear_axle.x));
        let frame = FrameShape {
            head_angle: e, seat_angle: Some(f), rear_axle: Point { x: g, y: h }, head_top: Point { x: i, y: j },
            head_length: k,
        };
        sound(frame.drawn_for_mm(a, b, l));
        sound(stand(&Built { frame, fork, lower_stack: l, front_radius: c, rear_radius: d }).map(|it| it.tilt));
    }

    #[test]
    fn one_wrong_measure_spoils_no_other(which in 0_usize..14, wrong in any_number()) {
        let mut built = built();
        let seat = &mut 0.0;
        let slot = match which {
            0 => &mut built.frame.head_angle,
            1 => &mut built.frame.rear_axle.x,
            2 => &mut built.frame.rear_axle.y,
            3 => &mut built.frame.head_top.x,
            4 => &mut built.frame.head_top.y,
            5 => &mut built.frame.head_length,
            6 => &mut built.fork.axle_to_crown,
            7 => &mut built.fork.offset,
            8 => &mut built.lower_stack,
            9 => &mut built.front_radius,
            10 => &mut built.rear_radius,
            _ => seat,
        };
        *slot = wrong;
        if which == 11 {
            built.frame.seat_angle = Some(wrong);
        }
        if let Ok(it) = stand(&built) {
            let all = [
                it.tilt, it.head_angle, it.seat_angle.unwrap(), it.wheelbase, it.front_centre,
                it.front_centre_horizontal, it.rear_centre_horizontal, it.bb_height, it.bb_drop, it.trail,
                it.normal_trail, it.flop, it.stack, it.reach, it.effective_top_tube.unwrap(), it.axis_ground.x,
            ];
            prop_assert!(all.iter().all(|value| value.is_finite()), "{it:?}");
            sound_point(bar_centre(&it, 20.0, 100.0, wrong));
            let toe = if which == 12 { Toe { beyond_spindle: wrong, ..TOE } } else { Toe { lateral: wrong, ..TOE } };
            sound(toe_clearance_steered(&it, &toe).map(|it| it.distance + it.steering + it.crank));
        }
    }
}
