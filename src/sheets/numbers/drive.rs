//! The drivetrain of a build, as the sheets read it.

use super::figure::{Figure, values};
use super::read::Reader;
use crate::calc::{Answer, gearing};

/// Slots of the chainrings, the largest first.
pub const RINGS: [&str; 3] = ["ring.big", "ring.middle", "ring.small"];

/// What the chain runs on.
pub struct Drive {
    /// Teeth of the rings, the largest first.
    pub rings: Vec<Figure>,
    /// Teeth of the cogs, the smallest first.
    pub cogs: Vec<Figure>,
}

impl Drive {
    /// Reads it; none, with what is missing remembered, if rings or cogs are not known.
    pub fn read(reader: &Reader) -> Option<Drive> {
        let mut known = true;
        let mut rings = Vec::new();
        for slot in RINGS {
            // A ring that is left open may be there or not: then nobody knows the gears.
            match if slot == RINGS[0] { Some(true) } else { reader.has(slot) } {
                Some(true) => rings.push(reader.figure(&format!("{slot}.teeth"))),
                Some(false) => {}
                None => known = false,
            }
        }
        let cogs = reader.list("rear.cogs.cogs");
        let rings: Option<Vec<Figure>> = rings.into_iter().collect();
        Some(Drive { rings: rings?, cogs: cogs? }).filter(|_| known)
    }

    /// All combinations of rings and cogs.
    ///
    /// # Errors
    /// As [`gearing::gears`].
    pub fn gears(&self) -> Answer<Vec<gearing::Gear>> {
        gearing::gears(&values(&self.rings), &values(&self.cogs))
    }
}

/// Ratios of the rear hub, the lowest first: just 1 for one without gears; none, with what is missing remembered, if they
/// are not known.
pub fn hub(reader: &Reader) -> Option<Vec<Figure>> {
    match reader.standard("rear.hub.gear") {
        Some(_) => reader.list("rear.hub.ratios"),
        None if reader.is_open("rear.hub.gear") => reader.miss("rear.hub.gear"),
        None => Some(vec![Figure::exact(1.0)]),
    }
}

/// Circumference of the rear wheel, in mm: as it was rolled out, or else by its size.
pub fn circumference(reader: &Reader) -> Option<Answer<Figure>> {
    // What was rolled out with another tyre, on the bike that this one comes from, says nothing of this one.
    let same_tyre = reader.stated_with("rollout.rear", "rear.tyre");
    if let Some(rolled) = reader.optional("rollout.rear").filter(|_| same_tyre) {
        return Some(Ok(rolled));
    }
    let (bead, width) = (reader.figure("rear.tyre.size.bead"), reader.figure("rear.tyre.size.width"));
    Some(Figure::of([bead?, width?], |[bead, width]| gearing::circumference_mm(bead, width)))
}
