//! What is measured on hub and rim before spokes are ordered.

use crate::calc::check::{above_zero, shown, zero_or_more};
use crate::calc::{Answer, refused};

/// From the wheel's middle plane to the middle of a flange, in mm: half the width over the locknuts less what lies
/// between the locknut's face and the flange.
///
/// Source: roadcyclinguk.com, "Winter wheel build, part four". Measured to the flange's outer face, take half its
/// thickness from `locknut_to_flange` first.
///
/// # Errors
/// Negative measures; a flange beyond the middle plane.
pub fn flange_offset_mm(over_locknuts: f64, locknut_to_flange: f64) -> Answer {
    let width = above_zero("the width over the locknuts", over_locknuts, " mm")?;
    let inset = zero_or_more("the distance from locknut to flange", locknut_to_flange, " mm")?;
    if inset <= width / 2.0 {
        Ok(width / 2.0 - inset)
    } else {
        refused(format!(
            "a flange {} mm inside the locknut lies beyond the middle of a hub {} mm wide",
            shown(inset),
            shown(width)
        ))
    }
}

/// The same for both flanges of a hub of which only their spacing and its shift are known, in mm: `(far, near)`.
///
/// `spacing / 2 ± shift`, where `shift` is how far the middle between the flanges lies off the middle between the
/// locknuts. Source: nomulabworkshop.com, post 7505, reading a maker's drawing.
///
/// # Errors
/// Negative measures; a near flange beyond the middle plane.
pub fn flange_offsets_mm(spacing: f64, shift: f64) -> Answer<(f64, f64)> {
    let half = above_zero("the spacing of the flanges", spacing, " mm")? / 2.0;
    let shift = zero_or_more("the shift of the flanges", shift, " mm")?;
    if shift <= half {
        Ok((half + shift, half - shift))
    } else {
        let (shift, spacing) = (shown(shift), shown(spacing));
        refused(format!("flanges {spacing} mm apart and {shift} mm off the middle lie both on one side of it"))
    }
}

/// How far the middle between the flanges lies off the wheel's middle plane, in mm: + to the left.
///
/// Half the difference of the two offsets; the rim stands so much nearer to the right flange. The same as half the
/// difference of the two distances from locknut to flange. Source: troubleshooters.com, dish math.
///
/// # Errors
/// Negative measures.
pub fn dish_mm(left_offset: f64, right_offset: f64) -> Answer {
    let left = zero_or_more("the left flange's distance from the middle", left_offset, " mm")?;
    let right = zero_or_more("the right flange's distance from the middle", right_offset, " mm")?;
    Ok((left - right) / 2.0)
}

/// The gap that a dishing gauge shows, in mm, when the rim stands so far off the middle: twice that.
///
/// The gauge is set on one side and held to the other. Source: nomulabworkshop.com, post 6277.
///
/// # Errors
/// A negative measure.
pub fn dish_gauge_mm(rim_off_middle: f64) -> Answer {
    Ok(2.0 * zero_or_more("the rim's distance from the middle", rim_off_middle, " mm")?)
}

/// Effective rim diameter, in mm, from two cut spokes of known length, put through opposite holes with their nipples
/// on: both lengths and the gap between the cut ends.
///
/// Source: dentoncycles.co.uk (April 2020); faqload.com, "Measuring ERD". Each length reaches to where the spoke is
/// meant to end in the nipple. Measure at several places of the rim. Spokes too long to leave a gap must be cut
/// shorter.
///
/// # Errors
/// Negative measures.
pub fn erd_from_two_spokes_mm(one: f64, other: f64, gap: f64) -> Answer {
    let one = above_zero("the length of the first spoke", one, " mm")?;
    let other = above_zero("the length of the second spoke", other, " mm")?;
    let gap = zero_or_more("the gap between the spokes", gap, " mm")?;
    Ok(one + other + gap)
}
