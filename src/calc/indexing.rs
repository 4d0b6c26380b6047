//! Indexing: whether the clicks of a lever, through a derailleur, meet the cogs.
//!
//! Cage travel is cable pull times the derailleur's ratio, and should be the way from cog to cog (Wikibooks, Bicycles/
//! Maintenance and Repair/Gear-changing Dimensions). What it misses adds up from click to click, and the barrel
//! adjuster shifts all of it by one amount.

use super::Answer;
use super::check::{each, within};
use std::ops::RangeInclusive;

/// A pull of cable or a way of the cage, in mm.
const STEP: RangeInclusive<f64> = 0.1..=50.0;
/// Cage travel over cable pull.
const RATIO: RangeInclusive<f64> = 0.1..=10.0;
/// Floating-point noise, mm.
const NOISE: f64 = 1e-9;

/// How well clicks meet cogs.
#[derive(Clone, Debug, PartialEq)]
pub struct Indexing {
    /// How far the cage stands beyond each cog (towards the next larger; negative: short of it) at the best trim, in
    /// mm: first on the smallest cog with the cable slack, then after each click that there is a cog for.
    pub per_click: Vec<f64>,
    /// Travel of all these clicks less the way over their cogs, in mm: negative when the clicks are too short.
    pub drift: f64,
    /// Largest error of `per_click`, without sign.
    pub worst: f64,
    /// Most neighbouring cogs that one trim keeps within the tolerance, wherever they begin.
    pub reached: usize,
    /// What the barrel adjuster adds to every place so that the worst error is least, in mm of cage travel, counted
    /// from a cage that stands exactly on the smallest cog.
    pub trim: f64,
}

/// Holds clicks against cogs.
///
/// `pulls` is the cable that each click takes up, `ratio` the derailleur's travel for a millimetre of cable, `gaps` the
/// way from each cog to the next larger, centre to centre; both begin at the slack end, which is the smallest cog (a
/// derailleur whose spring pulls to the largest cog begins there: turn both lists round). Uneven ones are allowed.
///
/// Clicks begin at the slack end, always: surplus ones come last and are stopped by the limit screw. With fewer clicks
/// than gaps the last cogs have no click: they are in neither `per_click` nor `reached`, so compare `reached` with the
/// number of cogs. The best trim sets the greatest and the least error equally far from zero.
///
/// Not counted: slack and stretch of cable and housing, the float of the upper pulley, and a hanger that is bent.
///
/// # Errors
/// No clicks, no gaps, or a pull, ratio, gap or tolerance that is none.
pub fn indexing(pulls: &[f64], ratio: f64, gaps: &[f64], tolerance: f64) -> Answer<Indexing> {
    each("clicks", "the cable pull of a click", pulls, &STEP, " mm")?;
    within("the derailleur's ratio", ratio, RATIO, "")?;
    each("ways from cog to cog", "the way from cog to cog", gaps, &STEP, " mm")?;
    within("the tolerance", tolerance, 0.0..=50.0, " mm")?;
    let mut errors = vec![0.0];
    let mut drift = 0.0;
    for (pull, gap) in pulls.iter().zip(gaps) {
        drift += pull * ratio - gap;
        errors.push(drift);
    }
    let (least, greatest) = extremes(&errors);
    let trim = -(least + greatest) / 2.0;
    Ok(Indexing {
        per_click: errors.iter().map(|error| error + trim).collect(),
        drift,
        worst: (greatest - least) / 2.0,
        reached: longest_within(&errors, tolerance),
        trim,
    })
}

fn extremes(errors: &[f64]) -> (f64, f64) {
    errors.iter().fold((f64::MAX, f64::MIN), |(least, greatest), error| (least.min(*error), greatest.max(*error)))
}

/// Length of the longest run of neighbours that one trim brings within the tolerance: those that spread over twice as
/// much.
fn longest_within(errors: &[f64], tolerance: f64) -> usize {
    let mut longest = 0;
    for start in 0..errors.len() {
        let (mut least, mut greatest) = (f64::MAX, f64::MIN);
        let run = errors.iter().skip(start).take_while(|error| {
            least = least.min(**error);
            greatest = greatest.max(**error);
            greatest - least <= 2.0 * tolerance + NOISE
        });
        longest = longest.max(run.count());
    }
    longest
}

/// How far off a cog the cage may stand, in mm, and still shift and run: 0.15 of the way from cog to cog.
///
/// Common practice, no source; the figure is set by what is known to work. Lever, derailleur and cassette that are made
/// for each other stay within it (the worst, 10 cogs by 3.4 × 1.2 against 3.95, is off by 0.585 of 0.5925 at the ends);
/// an 8-speed lever on a 7-speed cassette works in practice (0.72 of 0.75); 10 cogs that are missed by 5.8 % a step
/// (1.08 of 0.62) are known to shift poorly at the ends.
///
/// # Errors
/// A way that is none.
pub fn default_tolerance_mm(pitch: f64) -> Answer {
    within("the way from cog to cog", pitch, STEP, " mm")?;
    Ok(0.15 * pitch)
}

/// Mismatch of a click in percent of the way it should go: negative when it is too short.
///
/// # Errors
/// As [`converter_factor`].
pub fn mismatch_percent(pull: f64, ratio: f64, pitch: f64) -> Answer {
    Ok((1.0 / converter_factor(pull, ratio, pitch)? - 1.0) * 100.0)
}

/// What a stepped pulley in the cable would have to multiply the pull by for a click to be exact: `pitch / (pull ·
/// ratio)`.
///
/// # Errors
/// A pull, ratio or way from cog to cog that is none.
pub fn converter_factor(pull: f64, ratio: f64, pitch: f64) -> Answer {
    within("the cable pull of a click", pull, STEP, " mm")?;
    within("the derailleur's ratio", ratio, RATIO, "")?;
    within("the way from cog to cog", pitch, STEP, " mm")?;
    Ok(pitch / (pull * ratio))
}

/// Cable that a lever without clicks must take up to reach every cog, in mm: the way over all of them through the
/// ratio.
///
/// # Errors
/// No gaps, or a gap or ratio that is none.
pub fn friction_stroke_mm(ratio: f64, gaps: &[f64]) -> Answer {
    each("ways from cog to cog", "the way from cog to cog", gaps, &STEP, " mm")?;
    within("the derailleur's ratio", ratio, RATIO, "")?;
    Ok(gaps.iter().sum::<f64>() / ratio)
}
