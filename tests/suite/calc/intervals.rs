//! Every function of the table, on intervals: it holds all that it gives at the points inside.

use cotter::calc::{FUNCTIONS, Function, Parameter};
use cotter::quantity::{Dimension, Interval};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;
use std::cell::Cell;

/// Cases of each function.
const CASES: u32 = 1000;
/// Points that are looked at in each case.
const POINTS: usize = 24;

/// What a parameter may be, and rather more than bikes have.
enum Plausible {
    /// Any number between two.
    From(f64, f64),
    /// Whole numbers, so many apart.
    Whole(u32, u32, u32),
}
use Plausible::{From, Whole};

/// By name and dimension, and by function where one name means two things. A new parameter needs a line here.
fn plausible(function: &str, parameter: &Parameter) -> Plausible {
    const LENGTH: Dimension = Dimension::LENGTH;
    const NUMBER: Dimension = Dimension::NONE;
    const ANGLE: Dimension = Dimension::ANGLE;
    const MASS: Dimension = Dimension::MASS;
    match (function, parameter.name, parameter.dimension) {
        (_, "teeth" | "ring", NUMBER) => From(9.0, 70.0),
        (_, "cog", NUMBER) => From(9.0, 60.0),
        (_, "chainstay", LENGTH) => From(200.0, 800.0),
        (_, "across", LENGTH) => From(-40.0, 40.0),
        (_, "pulls", LENGTH) => From(0.0, 5.5),
        (_, "ratio", NUMBER) => From(0.0, 2.2),
        (_, "gaps", LENGTH) => From(2.5, 7.0),
        (_, "cogs", NUMBER) => Whole(2, 13, 1),
        (_, "allowed", LENGTH) => From(0.0, 3.0),
        (_, "erd", LENGTH) => From(150.0, 640.0),
        (_, "circle", LENGTH) => From(15.0, 200.0),
        ("spoke_length" | "spoke_exit", "offset", LENGTH) => From(0.0, 95.0),
        (_, "holes", NUMBER) => Whole(8, 48, 2),
        (_, "crossings", NUMBER) => Whole(0, 4, 1),
        (_, "hole", LENGTH) => From(0.0, 4.0),
        (_, "head_angle", ANGLE) => From(46.0, 90.0),
        ("trail", "offset", LENGTH) => From(-150.0, 150.0),
        (_, "radius", LENGTH) => From(20.0, 420.0),
        (_, "wheelbase", LENGTH) => From(500.0, 2000.0),
        (_, "drop", LENGTH) => From(-120.0, 120.0),
        (_, "fork_change", LENGTH) => From(-150.0, 150.0),
        (_, "offset_change", LENGTH) => From(-80.0, 80.0),
        (_, "front_radius_change" | "rear_radius_change", LENGTH) => From(-120.0, 120.0),
        (_, "mass", MASS) => From(20_000.0, 120_000.0),
        (_, "width", LENGTH) => From(20.0, 60.0),
        (_, "measuring_rim" | "inner", LENGTH) => From(8.0, 50.0),
        (function, name, dimension) => panic!("nothing is known of `{name}` of {function}, in {dimension:?}"),
    }
}

/// How wide an interval is against all that is plausible: nothing, a workshop's tolerance, or anything.
fn width() -> impl Strategy<Value = f64> {
    prop_oneof![Just(0.0), 0.0..0.05, 0.0..1.0]
}

fn interval(of: &Plausible) -> BoxedStrategy<Interval> {
    match *of {
        From(low, high) => (low..high, low..high, width())
            .prop_map(|(one, other, width)| Interval::new(one, one + (other - one) * width))
            .boxed(),
        Whole(low, high, step) => {
            let places = (high - low) / step;
            (0..=places, 0..=places, prop::bool::weighted(0.2))
                .prop_map(move |(one, other, wide)| {
                    let at = |place: u32| f64::from(low + step * place);
                    Interval::new(at(one), at(if wide { other } else { one }))
                })
                .boxed()
        }
    }
}

fn arguments(function: &Function) -> impl Strategy<Value = Vec<Vec<Interval>>> {
    let argument = |parameter: &Parameter| {
        let one = interval(&plausible(function.name, parameter));
        if parameter.list { prop::collection::vec(one, 1..14).boxed() } else { one.prop_map(|it| vec![it]).boxed() }
    };
    let all: Vec<_> = function.parameters.iter().map(argument).collect();
    // Half of the time one of them alone is an interval: the spread of the others hides where it turns.
    (all, prop::option::of(0..function.parameters.len())).prop_map(|(mut all, alone)| {
        for (place, argument) in all.iter_mut().enumerate() {
            if alone.is_some_and(|alone| alone != place) {
                argument.iter_mut().for_each(|it| *it = Interval::exact(it.low()));
            }
        }
        all
    })
}

/// Where in each interval a point lies, from its one end to the other; each end comes a fifth of the time.
///
/// Counted on from a seed: a strategy of its own for each of the many shares would take most of the test's time.
fn shares(mut seed: u64) -> impl FnMut() -> f64 {
    move || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((seed >> 11) as f64 / (1u64 << 53) as f64 * 5.0 - 1.0).clamp(0.0, 3.0) / 3.0
    }
}

/// The point of the arguments that these shares make.
fn point(function: &Function, arguments: &[Vec<Interval>], mut share: impl FnMut() -> f64) -> Vec<Vec<f64>> {
    let mut inside = |parameter: &Parameter, it: &Interval| {
        let value = it.low() + (it.high() - it.low()) * share();
        match plausible(function.name, parameter) {
            From(..) => value.clamp(it.low(), it.high()),
            Whole(low, _, step) => {
                let (low, step) = (f64::from(low), f64::from(step));
                low + step * ((value - low) / step).round()
            }
        }
    };
    let each = function.parameters.iter().zip(arguments);
    each.map(|(parameter, argument)| argument.iter().map(|it| inside(parameter, it)).collect()).collect()
}

fn compute(function: &Function, point: &[Vec<f64>]) -> Option<f64> {
    let given: Vec<&[f64]> = point.iter().map(Vec::as_slice).collect();
    (function.compute)(&given).ok()
}

fn exactly(point: &[Vec<f64>]) -> Vec<Vec<Interval>> {
    point.iter().map(|all| all.iter().map(|it| Interval::exact(*it)).collect()).collect()
}

/// That a function on intervals says no less than is true; how many of the cases it said something of.
fn holds_what_it_gives(function: &Function, cases: u32) -> Result<(u32, u32), String> {
    let config = ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() };
    let given = (arguments(function), any::<u64>());
    let (bounded, all) = (Cell::new(0), Cell::new(0));
    let run = TestRunner::new(config).run(&given, |(arguments, seed)| {
        let image = function.on(&arguments);
        all.set(all.get() + 1);
        bounded.set(bounded.get() + u32::from(image.is_bounded()));
        let mut shares = shares(seed);
        for _ in 0..POINTS {
            let point = point(function, &arguments, &mut shares);
            match compute(function, &point) {
                Some(value) => prop_assert!(image.contains(value), "{value} at {point:?} is not within {image:?}"),
                None => prop_assert!(!image.is_bounded(), "{point:?} has no answer, and yet {image:?} is given"),
            }
        }
        // Of numbers that are known it says just the number.
        let point = point(function, &arguments, || 0.5);
        let (value, exact) = (compute(function, &point), function.on(&exactly(&point)));
        let just = |value: f64| exact.contains(value) && exact.high() - exact.low() < 1e-6;
        prop_assert!(value.is_none_or(just), "{value:?} at {point:?}, but {exact:?} of exact numbers");
        Ok(())
    });
    run.map(|()| (bounded.get(), all.get())).map_err(|it| it.to_string())
}

#[test]
fn every_function_holds_on_intervals_what_it_gives_inside_them() {
    for function in FUNCTIONS {
        let (bounded, all) =
            holds_what_it_gives(function, CASES).unwrap_or_else(|why| panic!("{}: {why}", function.name));
        assert!(bounded * 5 > all, "{} says nothing on {} of {all} intervals", function.name, all - bounded);
    }
}
