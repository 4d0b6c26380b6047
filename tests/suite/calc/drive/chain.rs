//! Chain and chainline: figures, the loop as the hull of two circles, and axles moved by hand.

use super::{Published, loose, row};
use cotter::calc::chain::{
    capacity_teeth, chainstay_for_mm, derailleur_links, pitches_open, pitches_series, rule_of_thumb_links,
    single_speed_fits, wrap_links,
};
use cotter::calc::chainline::{
    angle_deg, cog_lines_mm, flange_cog_line_mm, front_chainline_mm, rear_chainline_mm, ring_lines_mm,
    single_cog_line_mm,
};
use nalgebra::Vector2;
use proptest::prelude::*;
use std::f64::consts::PI;

pub fn published() -> Vec<Published> {
    let mut rows = chainlines();
    rows.extend([
        row(
            "velogear.com, chain-wrap capacity",
            "53/39, 12-23",
            25.0,
            0,
            capacity_teeth(53.0, 39.0, 23.0, 12.0).unwrap(),
        ),
        row("jitetan.com, total capacity", "44/24, 12-34", 42.0, 0, capacity_teeth(44.0, 24.0, 34.0, 12.0).unwrap()),
        row(
            "cycledepot.blogspot.com 2012-07",
            "53/39, 12-25",
            27.0,
            0,
            capacity_teeth(53.0, 39.0, 25.0, 12.0).unwrap(),
        ),
        // The textbook figure that a paper on exact chain lengths compares itself with (th4.ilovetranslation.com). The
        // paper's own "exact" 35.8447 pitches is half a pitch of chain longer than any other formula gives.
        row(
            "textbook figure quoted in a paper on exact chain lengths, th4.ilovetranslation.com y7KZH94dbAaOKr321e1o5W",
            "centre distance of 63 x 20 with 114 pitches, in pitches",
            35.6,
            1,
            chainstay_for_mm(114.0, 63.0, 20.0).unwrap() / 12.7,
        ),
        // The "4 teeth rule" for a bike with its axle where it is; two on either wheel.
        row(
            "forums.mtbr.com 800655",
            "pitches for four teeth more",
            2.0,
            0,
            pitches_open(425.0, 36.0, 20.0).unwrap() - pitches_open(425.0, 34.0, 18.0).unwrap(),
        ),
    ]);
    rows
}

fn chainlines() -> Vec<Published> {
    let mut rows = Vec::new();
    let source = "ti10x.blogspot.com 2012-10, Chainline";
    let lines = cog_lines_mm(130.0, 3.0, 3.95, 1.6, 10.0).unwrap();
    let figures = [61.2, 57.25, 53.3, 49.35, 45.4, 41.45, 37.5, 33.55, 29.6, 25.65];
    for (at, (figure, computed)) in figures.into_iter().zip(&lines).enumerate() {
        rows.push(row(source, format!("cog {} of 10 from the smallest", at + 1), figure, 2, *computed));
    }
    // "Midway between 6th and 7th", rounded up from 47.375.
    rows.push(row(source, "midway between the fourth and fifth smallest", 47.4, 1, (lines[3] + lines[4]) / 2.0));
    rows.push(row(source, "width of the stack", 37.15, 2, lines[0] - lines[9] + 1.6));
    let ring = |count: f64, at: usize, line: f64| ring_lines_mm(line, 5.0, count).unwrap()[at];
    rows.extend([
        row("lfgss.com 9866291", "120, cog 17.5 in", 42.5, 1, single_cog_line_mm(120.0, 17.5).unwrap()),
        row("forums.mtbr.com 738755", "135, cog 12.5 in", 55.0, 0, single_cog_line_mm(135.0, 12.5).unwrap()),
        row("lfgss.com 5994410", "135, cog 16.5 in", 51.0, 0, single_cog_line_mm(135.0, 16.5).unwrap()),
        row("bikeforums.net t-138702", "flanges 65, cog 78", 45.5, 1, flange_cog_line_mm(78.0, 65.0).unwrap()),
        row("lfgss.com 9866291", "tube 30, ring 27.5 from it", 42.5, 1, front_chainline_mm(30.0, 27.5).unwrap()),
        // "A standard cassette width (with a lockring) is around 44": eleven cogs spread over it. 46.5 forgets the
        // recess of 3.5 in each end of a 142 axle, and the answer in the thread gives "43 (or so)" with it.
        row("bikegremlin.net 433", "142, gap 2.5", 46.5, 1, rear_chainline_mm(142.0, 2.5, 4.24, 1.6, 11.0).unwrap()),
        row("bikegremlin.net 433", "135, gap 2.5", 43.0, 1, rear_chainline_mm(135.0, 2.5, 4.24, 1.6, 11.0).unwrap()),
        // A double of 43.5 "has its rings at about 41 and 46"; 5 mm from ring to ring.
        row("bikegremlin.net 433; lfgss.com 5994410", "inner ring of 43.5", 41.0, 0, ring(2.0, 0, 43.5)),
        row("bikegremlin.net 433; lfgss.com 5994410", "outer ring of 43.5", 46.0, 0, ring(2.0, 1, 43.5)),
        row("bikeforums.net 3872383", "inner ring of 44.5", 42.0, 1, ring(2.0, 0, 44.5)),
        row("bikeforums.net 3872383", "outer ring of 44.5", 47.0, 1, ring(2.0, 1, 44.5)),
        loose("bikeforums.net 3872383", "5 mm over 391 mm", 0.73, 0.005, angle_deg(47.0, 42.0, 391.0).unwrap()),
    ]);
    rows
}

/// Length of the loop in pitches: both pitch circles are cut into a thousand points, a tape is laid round the lot
/// (their convex hull), and every stretch of tape is counted in pitches where it runs free and in teeth where it lies
/// on a wheel.
fn taped(chainstay: f64, ring: f64, cog: f64) -> f64 {
    // The radius from the triangle of a tooth: half a pitch over the sine of half its angle.
    let radius = |teeth: f64| 12.7 / 2.0 / (PI / teeth).sin();
    let points = 1000;
    let circle = |wheel: usize, centre: f64, radius: f64| {
        (0..points).map(move |at| {
            let angle = 2.0 * PI * f64::from(at) / f64::from(points);
            (Vector2::new(centre + radius * angle.cos(), radius * angle.sin()), wheel)
        })
    };
    let mut all: Vec<_> = circle(0, 0.0, radius(ring)).chain(circle(1, chainstay, radius(cog))).collect();
    all.sort_by(|a, b| a.0.x.total_cmp(&b.0.x).then(a.0.y.total_cmp(&b.0.y)));
    let half = |ordered: &mut dyn Iterator<Item = (Vector2<f64>, usize)>| {
        let mut hull: Vec<(Vector2<f64>, usize)> = Vec::new();
        for point in ordered {
            while hull.len() >= 2 {
                let (last, before) = (hull[hull.len() - 1].0, hull[hull.len() - 2].0);
                if (last - before).perp(&(point.0 - before)) > 0.0 {
                    break;
                }
                hull.pop();
            }
            hull.push(point);
        }
        hull
    };
    let mut hull = half(&mut all.iter().copied());
    hull.pop();
    hull.extend(half(&mut all.iter().rev().copied()));
    hull.pop();
    let teeth = [ring, cog];
    let radii = [radius(ring), radius(cog)];
    hull.iter()
        .zip(hull.iter().cycle().skip(1))
        .map(|(from, to)| {
            let tape = (to.0 - from.0).norm();
            if from.1 == to.1 { tape / (2.0 * PI * radii[from.1]) * teeth[from.1] } else { tape / 12.7 }
        })
        .sum()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn the_loop_is_as_long_as_a_tape_round_two_circles(chainstay in 370.0..470.0, ring in 20u32..60, cog in 9u32..53) {
        let (ring, cog) = (f64::from(ring), f64::from(cog));
        let length = pitches_open(chainstay, ring, cog).unwrap();
        prop_assert!((length - taped(chainstay, ring, cog)).abs() < 1e-3);
        let series = pitches_series(chainstay, ring, cog).unwrap();
        let bound = if (ring - cog).abs() <= 40.0 && chainstay >= 380.0 { 0.01 } else { 0.03 };
        prop_assert!((length - series).abs() < bound);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(16))]

    /// The axle is pushed back until the tape is as long as the chain.
    #[test]
    fn the_axle_stands_where_the_tape_is_tight(links in 90u32..120, ring in 28u32..54, cog in 11u32..36) {
        let (links, ring, cog) = (f64::from(links), f64::from(ring), f64::from(cog));
        let (mut low, mut high) = (230.0, 900.0);
        for _ in 0..30 {
            let middle = (low + high) / 2.0;
            if taped(middle, ring, cog) < links { low = middle } else { high = middle }
        }
        let stay = chainstay_for_mm(links, ring, cog).unwrap();
        prop_assert!((stay - low).abs() < 1e-2, "{stay} against {low}");
        prop_assert!((pitches_open(stay, ring, cog).unwrap() - links).abs() < 1e-9);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    /// The axle is moved through its slot in hundredths of a millimetre: whenever the loop passes a whole number, that
    /// is a fit.
    #[test]
    fn fits_are_those_met_on_the_way_through_the_slot(
        chainstay in 390.0..440.0, back in 0.0..25.0f64, forward in 0.0..15.0, ring in 32u32..52, cog in 12u32..24
    ) {
        let (ring, cog) = (f64::from(ring), f64::from(cog));
        let at = |axle: f64| pitches_open(axle, ring, cog).unwrap();
        let slot: f64 = back + forward;
        let steps = (slot / 0.01).floor() as usize;
        let mut met = Vec::new();
        let mut before = at(chainstay - forward);
        for step in 1..=steps {
            let axle = chainstay - forward + 0.01 * step as f64;
            let length = at(axle);
            if length.floor() > before.floor() {
                met.push((length.floor() as u32, axle));
            }
            before = length;
        }
        let fits = single_speed_fits(chainstay, ring, cog, forward, back).unwrap();
        // Only what lies in the last hundredth may have been missed by the walk.
        let at_the_end = fits.iter().filter(|it| it.moved > back - 0.011 || it.moved < 0.001 - forward).count();
        prop_assert!((met.len()..=met.len() + at_the_end).contains(&fits.len()));
        for (links, axle) in met {
            let fit = fits.iter().find(|it| it.links == links).unwrap();
            prop_assert!((fit.chainstay - axle).abs() < 0.011);
            prop_assert!((fit.moved - (axle - chainstay)).abs() < 0.011);
            prop_assert_eq!(fit.half_link, links % 2 == 1);
        }
        for pair in fits.windows(2) {
            let key = |at: usize| (pair[at].half_link, pair[at].moved.abs());
            prop_assert!(key(0) <= key(1));
        }
    }

    /// Counted up link by link and inch by inch.
    #[test]
    fn chains_for_derailleurs_as_counted_up(chainstay in 400.0..460.0, ring in 28u32..54, cog in 21u32..53) {
        let (ring, cog) = (f64::from(ring), f64::from(cog));
        let length = pitches_open(chainstay, ring, cog).unwrap();
        let mut pairs = 0;
        while f64::from(2 * pairs) < length - 0.05 { pairs += 1 }
        prop_assert_eq!(derailleur_links(chainstay, ring, cog).unwrap(), f64::from(2 * pairs + 2));
        let mut inches = 0;
        while f64::from(inches) * 4.0 * 25.4 < 8.0 * chainstay + (ring + cog + 4.0) * 25.4 { inches += 1 }
        let thumb = rule_of_thumb_links(chainstay, ring, cog).unwrap();
        prop_assert_eq!(thumb, f64::from(2 * inches));
        prop_assert!((thumb - f64::from(2 * pairs + 2)).abs() <= 2.0);
    }

    /// A tape round the largest pair less one round the smallest.
    #[test]
    fn slack_is_what_the_tape_gives_up(
        chainstay in 400.0..450.0, big_ring in 40u32..54, rings in 0u32..16, small_cog in 10u32..14, cogs in 9u32..26
    ) {
        let (ring, small_ring) = (f64::from(big_ring), f64::from(big_ring - rings));
        let (cog, small_cog) = (f64::from(small_cog + cogs), f64::from(small_cog));
        let wrap = wrap_links(chainstay, ring, small_ring, cog, small_cog).unwrap();
        let slack = taped(chainstay, ring, cog) - taped(chainstay, small_ring, small_cog);
        prop_assert!((wrap.pitches - slack).abs() < 2e-3);
        prop_assert!((wrap.teeth - 2.0 * slack).abs() < 4e-3);
        prop_assert_eq!(wrap.capacity, f64::from(rings + cogs));
        prop_assert!((wrap.teeth - wrap.capacity).abs() < 3.0);
    }

    /// The stack is built up from the dropout, cog and spacer by cog and spacer.
    #[test]
    fn cogs_stand_where_stacking_puts_them(
        old in 120.0..160.0f64, gap in 1.0..6.0, spacer in 2.0..3.4, thickness in 1.5..2.0, count in 1usize..13
    ) {
        let inward: Vector2<f64> = Vector2::new(-1.0, 0.0);
        let dropout: Vector2<f64> = Vector2::new(old / 2.0, 0.0);
        let mut face: Vector2<f64> = dropout + inward * gap;
        let mut middles: Vec<f64> = Vec::new();
        for _ in 0..count {
            let middle: Vector2<f64> = face + inward * (thickness / 2.0);
            middles.push(middle.x);
            face += inward * (thickness + spacer);
        }
        prop_assume!(middles[count - 1] > 0.1);
        let lines = cog_lines_mm(old, gap, thickness + spacer, thickness, count as f64).unwrap();
        prop_assert_eq!(lines.len(), count);
        prop_assert!(lines.iter().zip(&middles).all(|(line, middle)| (line - middle).abs() < 1e-9));
        let mean = middles.iter().sum::<f64>() / count as f64;
        prop_assert!((rear_chainline_mm(old, gap, thickness + spacer, thickness, count as f64).unwrap() - mean).abs() < 1e-9);
    }

    #[test]
    fn slant_is_the_angle_between_vectors(ring in 35.0..60.0f64, cog in 15.0..70.0, chainstay in 380.0..460.0) {
        let run = nalgebra::Vector3::<f64>::new(chainstay, 0.0, 0.0);
        let chain = nalgebra::Vector3::new(chainstay, 0.0, ring - cog);
        let (between, outward): (f64, f64) = (run.angle(&chain), ring - cog);
        let angle = between.to_degrees() * outward.signum();
        prop_assert!((angle_deg(ring, cog, chainstay).unwrap() - angle).abs() < 1e-5);
    }

    #[test]
    fn rings_lie_evenly_about_the_chainline(line in 40.0..60.0, pitch in 0.0..10.0, count in 1u32..4) {
        let lines = ring_lines_mm(line, pitch, f64::from(count)).unwrap();
        prop_assert_eq!(lines.len(), count as usize);
        prop_assert!((lines.iter().sum::<f64>() / f64::from(count) - line).abs() < 1e-9);
        prop_assert!(lines.windows(2).all(|pair| (pair[1] - pair[0] - pitch).abs() < 1e-9));
    }
}

/// Computed before and elsewhere, not published: they hold the formula still.
#[test]
fn lengths_computed_elsewhere() {
    for (chainstay, ring, cog, pitches, derailleur, thumb) in [
        (410.0, 50.0, 28.0, 103.95, 106.0, 106.0),
        (405.0, 53.0, 25.0, 103.40, 106.0, 106.0),
        (410.0, 50.0, 34.0, 106.77, 110.0, 110.0),
        (415.0, 52.0, 36.0, 109.55, 112.0, 112.0),
        (420.0, 48.0, 32.0, 106.34, 110.0, 110.0),
        (430.0, 32.0, 51.0, 109.49, 112.0, 112.0),
        (435.0, 34.0, 50.0, 110.69, 114.0, 114.0),
        (440.0, 44.0, 34.0, 108.36, 112.0, 112.0),
        (425.0, 46.0, 36.0, 108.005, 110.0, 110.0),
    ] {
        assert!((pitches_open(chainstay, ring, cog).unwrap() - pitches).abs() < 0.0051);
        assert_eq!(derailleur_links(chainstay, ring, cog).unwrap(), derailleur);
        assert_eq!(rule_of_thumb_links(chainstay, ring, cog).unwrap(), thumb);
    }
    for (links, chainstay) in [(96.0, 401.2), (98.0, 414.0), (100.0, 426.9)] {
        assert!((chainstay_for_mm(links, 48.0, 16.0).unwrap() - chainstay).abs() < 0.06);
    }
}

#[test]
fn a_slot_takes_ordinary_chains_before_half_links() {
    let fits = single_speed_fits(405.0, 48.0, 16.0, 10.0, 15.0).unwrap();
    let links: Vec<(u32, bool)> = fits.iter().map(|it| (it.links, it.half_link)).collect();
    assert_eq!(links, [(96, false), (98, false), (97, true)], "{fits:?}");
    // Vertical dropouts: the chance that it lands.
    assert!(single_speed_fits(405.0, 48.0, 16.0, 0.0, 0.0).unwrap().is_empty());
}
