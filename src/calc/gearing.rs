//! Gearing: how far and how hard each gear is, and how gears overlap.
//!
//! Formulas as collected in published gear charts and explanations: gear inches and speed at polkcounty.org (Mitch,
//! gearing), development at babs.co/gears, gain ratio in S. Brown's "Gain Ratios" (studylib.net/doc/7948093).

use super::check::{each, shown, within};
use super::{Answer, INCH, refused};
use std::f64::consts::PI;
use std::ops::RangeInclusive;

/// Teeth of a ring or a cog; a hub gear's own ratio may be folded in, so they need not be whole.
const TEETH: RangeInclusive<f64> = 1.0..=500.0;
/// Ratios from a walking pace hub gear to a record bike.
const RATIO: RangeInclusive<f64> = 0.01..=100.0;

/// Turns of the wheel for one turn of the cranks: teeth of the ring over teeth of the cog.
///
/// # Errors
/// Less than one tooth, or more than 500.
pub fn ratio(ring: f64, cog: f64) -> Answer {
    within("the number of teeth of the ring", ring, TEETH, "")?;
    within("the number of teeth of the cog", cog, TEETH, "")?;
    Ok(ring / cog)
}

/// Circumference of a wheel, in mm, from its bead seat and the width of its tyre: `π · (bead + 2 · width)`.
///
/// Pure geometry: a tyre as high as it is wide, without load. Published guideline tables for cycle computers (laden)
/// differ by a third of a percent either way: they give 2096, 2105 and 2136 for 23, 25 and 28-622 where this gives
/// 2098.6, 2111.2 and 2130.0 (tables at spudd64.com, david-cook.org, larissaconnors.com). Roll the wheel where it
/// matters.
///
/// # Errors
/// A bead seat outside 100 to 1000 mm or a width outside 1 to 200 mm.
pub fn circumference_mm(bead: f64, width: f64) -> Answer {
    within("the bead seat diameter", bead, 100.0..=1000.0, " mm")?;
    within("the tyre's width", width, 1.0..=200.0, " mm")?;
    Ok(PI * (bead + 2.0 * width))
}

/// Way in metres for one turn of the cranks.
///
/// # Errors
/// A ratio or circumference that no bike has.
pub fn development_m(ratio: f64, circumference: f64) -> Answer {
    wheel(ratio, circumference)?;
    Ok(ratio * circumference / 1000.0)
}

/// Gear inches: the diameter in inches of the wheel that would do the same if the cranks turned it directly. It is not
/// the way per turn, which is π times as long.
///
/// # Errors
/// As [`development_m`].
pub fn gear_inches(ratio: f64, circumference: f64) -> Answer {
    wheel(ratio, circumference)?;
    Ok(ratio * circumference / (PI * INCH))
}

/// Way of the bike for a way of one of the pedal on its circle: `ratio · wheel radius / crank length`.
///
/// Source: S. Brown, "Gain Ratios", Adventure Cycling (studylib.net/doc/7948093).
///
/// # Errors
/// As [`development_m`], or a crank outside 50 to 300 mm.
pub fn gain_ratio(ratio: f64, circumference: f64, crank: f64) -> Answer {
    wheel(ratio, circumference)?;
    within("the crank's length", crank, 50.0..=300.0, " mm")?;
    Ok(ratio * circumference / (2.0 * PI * crank))
}

/// Speed in km/h at so many turns of the cranks a minute; a tyre that does not slip.
///
/// # Errors
/// A development above 100 m, or a cadence below 0 or above 300.
pub fn speed_kmh(development_m: f64, cadence_rpm: f64) -> Answer {
    within("the development", development_m, 0.0..=100.0, " m")?;
    within("the cadence", cadence_rpm, 0.0..=300.0, " turns a minute")?;
    Ok(development_m * cadence_rpm * 0.06)
}

/// How much harder the second gear is than the first, in percent; negative when it is easier.
///
/// # Errors
/// A ratio that no bike has.
pub fn step_percent(from_ratio: f64, to_ratio: f64) -> Answer {
    within("the first ratio", from_ratio, RATIO, "")?;
    within("the second ratio", to_ratio, RATIO, "")?;
    Ok((to_ratio / from_ratio - 1.0) * 100.0)
}

/// The highest ratio in percent of the lowest: 100 % for a single gear.
///
/// # Errors
/// A ratio that no bike has, or a highest below the lowest.
pub fn range_percent(lowest: f64, highest: f64) -> Answer {
    within("the lowest ratio", lowest, RATIO, "")?;
    within("the highest ratio", highest, RATIO, "")?;
    if highest < lowest {
        return refused(format!("the highest ratio, {}, is below the lowest, {}", shown(highest), shown(lowest)));
    }
    Ok(highest / lowest * 100.0)
}

/// One combination of a ring and a cog.
#[derive(Clone, Debug, PartialEq)]
pub struct Gear {
    /// Place of the ring in the list that was given.
    pub ring: usize,
    /// Place of the cog in the list that was given.
    pub cog: usize,
    /// Teeth of the ring.
    pub ring_teeth: f64,
    /// Teeth of the cog.
    pub cog_teeth: f64,
    /// Ring over cog.
    pub ratio: f64,
    /// Whether the chain runs so far across that the gear is not meant for use; see [`gears`].
    pub crossed: bool,
}

/// All combinations, ring by ring and cog by cog in the order given.
///
/// Crossed are the largest ring with the largest cogs and the smallest ring with the smallest cogs: the outermost one
/// of up to 7 cogs, the outermost two of 8 or more. That is common practice (no source; modern chains bear more), and
/// rests on rings that grow outwards and cogs that grow inwards. With one ring or one cog nothing is crossed: there is
/// nothing to use instead.
///
/// # Errors
/// No ring, no cog, more than 100 of them, or teeth outside 1 to 500.
pub fn gears(rings: &[f64], cogs: &[f64]) -> Answer<Vec<Gear>> {
    each("rings", "the number of teeth of a ring", rings, &TEETH, "")?;
    each("cogs", "the number of teeth of a cog", cogs, &TEETH, "")?;
    let outermost = if cogs.len() >= 8 { 2 } else { 1 };
    let mut all = Vec::with_capacity(rings.len() * cogs.len());
    for (ring, ring_teeth) in rings.iter().enumerate() {
        for (cog, cog_teeth) in cogs.iter().enumerate() {
            let from_largest_cog = larger(cogs, *cog_teeth, cog);
            let from_smallest_cog = cogs.len() - 1 - from_largest_cog;
            let rings_larger = larger(rings, *ring_teeth, ring);
            let largest_ring = rings_larger == 0;
            let smallest_ring = rings_larger == rings.len() - 1;
            let across = largest_ring && from_largest_cog < outermost || smallest_ring && from_smallest_cog < outermost;
            all.push(Gear {
                ring,
                cog,
                ring_teeth: *ring_teeth,
                cog_teeth: *cog_teeth,
                ratio: ring_teeth / cog_teeth,
                crossed: across && rings.len() > 1 && cogs.len() > 1,
            });
        }
    }
    Ok(all)
}

/// How many of the list are larger than this one of its members; of equal ones the earlier counts as larger.
fn larger(list: &[f64], teeth: f64, place: usize) -> usize {
    list.iter().enumerate().filter(|(other, value)| **value > teeth || (**value == teeth && *other < place)).count()
}

/// Steps between neighbouring cogs, smallest first, in percent: larger over smaller.
///
/// # Errors
/// No cog, or teeth outside 1 to 500.
pub fn cog_steps_percent(cogs: &[f64]) -> Answer<Vec<f64>> {
    each("cogs", "the number of teeth of a cog", cogs, &TEETH, "")?;
    let mut sorted = cogs.to_vec();
    sorted.sort_by(f64::total_cmp);
    Ok(sorted.iter().zip(sorted.iter().skip(1)).map(|(small, large)| (large / small - 1.0) * 100.0).collect())
}

/// What two neighbouring rings have in common.
#[derive(Clone, Debug, PartialEq)]
pub struct Overlap {
    /// Place of the smaller ring in the list that the gears were made of.
    pub smaller: usize,
    /// Place of the next larger one.
    pub larger: usize,
    /// Where the larger ring's gears begin.
    pub from: f64,
    /// Where the smaller ring's gears end. Below `from` when the two leave a gap between them.
    pub to: f64,
    /// How many gears of both rings lie from `from` to `to`; none over a gap.
    pub gears: usize,
}

/// The ratios that each two neighbouring rings share, smallest rings first. Give all gears, or only those that are not
/// crossed.
///
/// # Errors
/// No gears, or a ratio that no bike has.
pub fn overlaps(gears: &[Gear]) -> Answer<Vec<Overlap>> {
    let ratios: Vec<f64> = gears.iter().map(|it| it.ratio).collect();
    if ratios.is_empty() {
        return refused("there are no gears to compare");
    }
    for ratio in ratios {
        within("the ratio of a gear", ratio, 0.001..=1000.0, "")?;
    }
    let mut rings: Vec<(f64, usize)> = gears.iter().map(|it| (it.ring_teeth, it.ring)).collect();
    rings.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    rings.dedup();
    let pairs = rings.iter().zip(rings.iter().skip(1));
    Ok(pairs.map(|((_, smaller), (_, larger))| overlap(gears, *smaller, *larger)).collect())
}

fn overlap(gears: &[Gear], smaller: usize, larger: usize) -> Overlap {
    let of = |ring: usize| gears.iter().filter(move |it| it.ring == ring).map(|it| it.ratio);
    let from = of(larger).fold(f64::MAX, f64::min);
    let to = of(smaller).fold(0.0, f64::max);
    let shared = of(smaller).chain(of(larger)).filter(|ratio| (from..=to).contains(ratio)).count();
    Overlap { smaller, larger, from, to, gears: shared }
}

fn wheel(ratio: f64, circumference: f64) -> Answer<()> {
    within("the ratio", ratio, RATIO, "")?;
    within("the wheel's circumference", circumference, 100.0..=10_000.0, " mm")?;
    Ok(())
}
