//! Chainline: how far rings and cogs stand from the middle plane, and how slanted the chain runs.
//!
//! All distances are in mm from the bike's middle plane to the middle of the teeth. Definitions: uoflcycling.com, chain
//! line FAQ, and cyclechat.net 310843 (one ring: its own; two: midway; three: the middle one; cogs: the middle of the
//! stack). The frame is taken as true, the wheel as centred between the dropouts.

use super::check::{shown, whole, within};
use super::{Answer, refused};

/// Where each cog of a stack stands, smallest first: `OLD/2 − gap − t/2 − k · pitch`.
///
/// `old` is the width over locknuts, `gap` the way from the dropout's inner face to the outer face of the smallest
/// cog, `pitch` the way from cog to cog, `thickness` of a cog. Of a through axle with recessed ends take the width
/// between the faces without the recesses (135 of 142). Source: ti10x.blogspot.com 2012-10, "Chainline".
///
/// # Errors
/// Fewer than one or more than 20 cogs, lengths that are impossible, or cogs beyond the middle plane.
pub fn cog_lines_mm(old: f64, gap: f64, pitch: f64, thickness: f64, count: f64) -> Answer<Vec<f64>> {
    within("the width over locknuts", old, 50.0..=300.0, " mm")?;
    within("the gap from dropout to cog", gap, 0.0..=100.0, " mm")?;
    within("the way from cog to cog", pitch, 0.0..=50.0, " mm")?;
    within("the cog's thickness", thickness, 0.1..=20.0, " mm")?;
    let count = whole("the number of cogs", count, 1.0..=20.0)?;
    let smallest = old / 2.0 - gap - thickness / 2.0;
    let lines = evenly(smallest, -pitch, count);
    match lines.last() {
        Some(largest) if *largest <= 0.0 => refused(format!(
            "{count} cogs {} mm apart, {} mm in from the dropout, reach {} mm beyond the middle of a wheel {} mm wide",
            shown(pitch),
            shown(gap),
            shown(-largest),
            shown(old)
        )),
        _ => Ok(lines),
    }
}

/// Chainline of a stack of cogs: midway between the smallest and the largest. See [`cog_lines_mm`].
///
/// # Errors
/// As [`cog_lines_mm`].
pub fn rear_chainline_mm(old: f64, gap: f64, pitch: f64, thickness: f64, count: f64) -> Answer {
    let lines = cog_lines_mm(old, gap, pitch, thickness, count)?;
    match (lines.first(), lines.last()) {
        (Some(smallest), Some(largest)) => Ok((smallest + largest) / 2.0),
        _ => refused("there are no cogs"),
    }
}

/// Where a single cog stands: half the width over locknuts less the way from the dropout's inner face to the middle of
/// the cog's teeth. Source: lfgss.com comment 9866291; bikeforums.net 14486304.
///
/// # Errors
/// Lengths that are impossible, or a cog beyond the middle plane.
pub fn single_cog_line_mm(old: f64, inset: f64) -> Answer {
    within("the width over locknuts", old, 50.0..=300.0, " mm")?;
    within("the way from dropout to cog", inset, 0.0..=150.0, " mm")?;
    let line = old / 2.0 - inset;
    if line <= 0.0 {
        return refused(format!(
            "a cog {} mm in from the dropout stands beyond the middle of a wheel {} mm wide",
            shown(inset),
            shown(old)
        ));
    }
    Ok(line)
}

/// Where a single cog stands, from the hub alone: way from the outer face of the far flange to the middle of the cog,
/// less half the way over both flanges. For hubs whose flanges stand equally far from the middle. Source:
/// bikeforums.net t-138702.
///
/// # Errors
/// Lengths that are impossible, or a cog inside the flanges.
pub fn flange_cog_line_mm(far_flange_to_cog: f64, flange_spacing: f64) -> Answer {
    within("the way from far flange to cog", far_flange_to_cog, 1.0..=300.0, " mm")?;
    within("the way from flange to flange", flange_spacing, 1.0..=300.0, " mm")?;
    if far_flange_to_cog <= flange_spacing {
        return refused(format!(
            "a cog {} mm from the far flange stands inside flanges {} mm apart",
            shown(far_flange_to_cog),
            shown(flange_spacing)
        ));
    }
    Ok(far_flange_to_cog - flange_spacing / 2.0)
}

/// Where each ring of a crankset stands, innermost first: one on the chainline, two half a ring pitch to either side of
/// it, three with the middle one on it.
///
/// # Errors
/// Any other number of rings, or an innermost ring beyond the middle plane.
pub fn ring_lines_mm(chainline: f64, ring_pitch: f64, count: f64) -> Answer<Vec<f64>> {
    within("the chainline", chainline, 1.0..=150.0, " mm")?;
    within("the way from ring to ring", ring_pitch, 0.0..=30.0, " mm")?;
    let count = whole("the number of rings", count, 1.0..=3.0)?;
    let innermost = chainline - ring_pitch * (count - 1.0) / 2.0;
    if innermost <= 0.0 {
        return refused(format!(
            "with a chainline of {} mm and {} mm from ring to ring the innermost stands beyond the middle of the bike",
            shown(chainline),
            shown(ring_pitch)
        ));
    }
    Ok(evenly(innermost, ring_pitch, count))
}

/// So many places, each a step beyond the one before it.
fn evenly(from: f64, step: f64, count: f64) -> Vec<f64> {
    (0..count as usize).map(|place| from + step * place as f64).collect()
}

/// Slant of the chain in degrees between a ring and a cog: `atan((ring − cog) / chainstay)`, positive where the ring
/// stands further out. The run is taken as long as the chainstay. Source: bikeforums.net 3872383 (5 mm over 391 mm:
/// 0.73°).
///
/// # Errors
/// Lines beyond 200 mm or a chainstay outside 100 to 3000 mm.
pub fn angle_deg(ring_line: f64, cog_line: f64, chainstay: f64) -> Answer {
    within("the ring's line", ring_line, -200.0..=200.0, " mm")?;
    within("the cog's line", cog_line, -200.0..=200.0, " mm")?;
    within("the chainstay", chainstay, 100.0..=3000.0, " mm")?;
    Ok(libm::atan((ring_line - cog_line) / chainstay).to_degrees())
}

/// Front chainline as it is measured: half the seat tube's diameter and the way from its face to the ring. On two rings
/// measure midway, on three the middle one. Source: lfgss.com comment 9866291. A tube that is flattened or off the
/// middle plane gives a wrong answer.
///
/// # Errors
/// Lengths that are impossible.
pub fn front_chainline_mm(seat_tube_diameter: f64, face_to_ring: f64) -> Answer {
    within("the seat tube's diameter", seat_tube_diameter, 1.0..=100.0, " mm")?;
    within("the way from tube to ring", face_to_ring, 0.0..=150.0, " mm")?;
    Ok(seat_tube_diameter / 2.0 + face_to_ring)
}
