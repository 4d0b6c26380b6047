//! Computations with turning points, on intervals: bounds that hold for every number in them.
//!
//! Each is asked only where the computation gives a number at the least and at the greatest of all that it is given: so
//! nothing here is endless, and no list is empty.

use super::geometry::trail_mm;
use super::spokes::{self, Lacing};
use crate::quantity::Interval;

/// Bounds of `index_worst`: pulls, ratio, gaps, cogs.
pub(super) fn index_worst(arguments: &[Vec<Interval>]) -> Interval {
    let Some(steps) = Steps::of(arguments) else { return Interval::ALL };
    let spread = steps.spread(0, steps.errors.len());
    Interval::new(spread.low() / 2.0, spread.high() / 2.0)
}

/// Bounds of `index_reach`: pulls, ratio, gaps, cogs, what is allowed.
pub(super) fn index_reach(arguments: &[Vec<Interval>]) -> Interval {
    let (Some(steps), Some(allowed)) = (Steps::of(arguments), arguments.get(4).and_then(|it| it.first())) else {
        return Interval::ALL;
    };
    let reached = |fits: &dyn Fn(Interval) -> bool| {
        let count = steps.errors.len();
        let windows = (0..count).flat_map(|from| (from + 1..=count).map(move |to| (from, to)));
        let sizes = windows.filter(|(from, to)| fits(steps.spread(*from, *to))).map(|(from, to)| (to - from) as f64);
        sizes.fold(0.0, f64::max)
    };
    // A hair more is allowed than is said, so that a sum of decimals does not decide.
    let surely = reached(&|spread| spread.high() <= 2.0 * allowed.low() + NOISE);
    let perhaps = reached(&|spread| spread.low() <= 2.0 * allowed.high() + NOISE);
    Interval::new(surely, perhaps)
}

/// Noise of floating-point sums, in mm.
const NOISE: f64 = 1e-9;

/// How far the cage stands off each cog, with the first one met exactly.
struct Steps {
    errors: Vec<Interval>,
    /// What each step is off by, if all steps are alike: the errors are then multiples of it.
    alike: Option<Interval>,
}

impl Steps {
    fn of(arguments: &[Vec<Interval>]) -> Option<Steps> {
        let [pulls, ratio, gaps, cogs] = arguments.get(..4)? else { return None };
        let (ratio, cogs) = (ratio.first()?, cogs.first()?);
        if !(cogs.is_exact() && (2.0..=50.0).contains(&cogs.low())) {
            return None;
        }
        let steps = cogs.low() as usize - 1;
        let step = |pull: &Interval, gap: &Interval| pull.times(*ratio).minus(*gap);
        let alike = match (pulls.as_slice(), gaps.as_slice()) {
            ([pull], [gap]) => Some(step(pull, gap)),
            _ => None,
        };
        let each = |all: &[Interval]| match all {
            [only] => vec![*only; steps],
            all => all.iter().copied().take(steps).collect(),
        };
        let mut errors = vec![Interval::exact(0.0)];
        let mut sum = Interval::exact(0.0);
        for (pull, gap) in each(pulls).iter().zip(&each(gaps)) {
            sum = sum.plus(step(pull, gap));
            errors.push(sum);
        }
        Some(Steps { errors, alike })
    }

    /// How far the largest and the least error of neighbouring cogs are apart.
    fn spread(&self, from: usize, to: usize) -> Interval {
        if let Some(step) = self.alike {
            let steps = (to - from).saturating_sub(1) as f64;
            return step.abs().times(Interval::exact(steps));
        }
        let window = self.errors.iter().take(to).skip(from);
        let (mut least, mut most) = (Interval::exact(f64::INFINITY), Interval::exact(f64::NEG_INFINITY));
        for error in window {
            least = least.min(*error);
            most = most.max(*error);
        }
        Interval::new((most.low() - least.high()).max(0.0), (most.high() - least.low()).max(0.0))
    }
}

/// The only interval of the parameter in this place.
fn only(arguments: &[Vec<Interval>], place: usize) -> Interval {
    arguments.get(place).and_then(|it| it.first()).copied().unwrap_or(Interval::ALL)
}

/// Bounds of `trail`: it falls as the head angle grows, but where the offset is larger than the radius. There it turns,
/// at a trail of `√(offset² − radius²)` against the offset's sign.
pub(super) fn trail(arguments: &[Vec<Interval>]) -> Interval {
    let (head_angle, offset, radius) = (only(arguments, 0), only(arguments, 1), only(arguments, 2));
    let mut values = Vec::new();
    for head_angle in [head_angle.low(), head_angle.high()] {
        for offset in [offset.low(), offset.high()] {
            for radius in [radius.low(), radius.high()] {
                match trail_mm(head_angle, offset, radius) {
                    Ok(trail) => values.push(trail),
                    Err(_) => return Interval::ALL,
                }
            }
        }
    }
    for offset in [offset.low(), offset.high()] {
        if !head_angle.is_exact() && offset.abs() > radius.low() {
            let turn = libm::sqrt(offset * offset - radius.low() * radius.low());
            values.extend([0.0, if offset > 0.0 { -turn } else { turn }]);
        }
    }
    Interval::around(&values)
}

/// Bounds of `spoke_length`: it falls with the circle of holes up to where the spoke leaves at a right angle, then
/// rises.
pub(super) fn spoke_length(arguments: &[Vec<Interval>]) -> Interval {
    let of = |place: usize| only(arguments, place);
    let (erd, circle, offset, holes, crossings, hole) = (of(0), of(1), of(2), of(3), of(4), of(5));
    if !(holes.is_exact() && crossings.is_exact()) {
        return Interval::ALL;
    }
    let length = |erd: f64, circle: f64, offset: f64, hole: f64| {
        let (holes, crossings) = (holes.low(), crossings.low());
        spokes::length_mm(&Lacing { erd, circle, offset, holes, crossings, hole, rim_offset: 0.0 }).ok()
    };
    let turned = spokes::angle_deg(holes.low(), crossings.low()).map_or(1.0, |angle| libm::cos(angle.to_radians()));
    let mut values = Vec::new();
    for erd in [erd.low(), erd.high()] {
        let circles = [circle.low(), circle.high(), (erd * turned).clamp(circle.low(), circle.high())];
        for circle in circles {
            for offset in [offset.low(), offset.high()] {
                for hole in [hole.low(), hole.high()] {
                    match length(erd, circle, offset, hole) {
                        Some(length) => values.push(length),
                        None => return Interval::ALL,
                    }
                }
            }
        }
    }
    Interval::around(&values)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn exact(values: &[f64]) -> Vec<Interval> {
        values.iter().map(|it| Interval::exact(*it)).collect()
    }

    #[test]
    fn steps_that_may_be_right_are_not_surely_wrong() {
        let pull = vec![Interval::new(2.5, 3.5)];
        let found = index_reach(&[pull, exact(&[1.7]), exact(&[5.0]), exact(&[7.0]), exact(&[0.75])]);
        assert!(found.contains(7.0) && found.low() < 4.0, "{found:?}");
    }

    #[test]
    fn trail_turns_where_the_offset_is_beyond_the_radius() {
        // A caster more than a fork: cos 60° is 60 / 120.
        let found = trail(&[vec![Interval::new(46.0, 90.0)], exact(&[120.0]), exact(&[60.0])]);
        assert!(found.contains(-f64::sqrt(120.0 * 120.0 - 60.0 * 60.0)), "{found:?}");
        let usual = trail(&[vec![Interval::new(70.0, 74.0)], exact(&[45.0]), exact(&[340.0])]);
        assert_eq!(usual, Interval::around(&[70.0, 74.0].map(|angle| trail_mm(angle, 45.0, 340.0).unwrap())));
    }

    #[test]
    fn exact_steps_give_exact_counts() {
        // 2.5 x 1.7 against 3.95: 0.3 a step, ten cogs; four of them stay within 0.59.
        let found = index_reach(&[exact(&[2.5]), exact(&[1.7]), exact(&[3.95]), exact(&[10.0]), exact(&[0.5925])]);
        assert_eq!((found.low(), found.high()), (4.0, 4.0));
        let worst = index_worst(&[exact(&[2.5]), exact(&[1.7]), exact(&[3.95]), exact(&[10.0])]);
        assert!((worst.low() - 1.35).abs() < 1e-9);
    }
}
