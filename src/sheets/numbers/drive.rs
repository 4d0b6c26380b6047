//! The drivetrain of a build, as the sheets read it.

use super::figure::{Figure, values};
use super::read::Reader;
use crate::calc::{Answer, gearing};

/// Slots of the chainrings, the largest first.
pub const RINGS: [&str; 3] = ["ring.big", "ring.middle", "ring.small"];

/// Rings, cogs, a hub gear's ratios, and the wheel that they turn.
pub struct Drive {
    /// Teeth of the rings, the largest first.
    pub rings: Vec<Figure>,
    /// Teeth of the cogs, the smallest first.
    pub cogs: Vec<Figure>,
    /// Ratios of the hub, the lowest first; just 1 for a hub without gears.
    pub hub: Vec<Figure>,
}

impl Drive {
    /// Reads it; none, with what is missing remembered, if rings, cogs or a hub gear's ratios are not known.
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
        let hub = match reader.standard("rear.hub.gear") {
            Some(_) => reader.list("rear.hub.ratios"),
            None if reader.is_open("rear.hub.gear") => reader.miss("rear.hub.gear"),
            None => Some(vec![Figure::exact(1.0)]),
        };
        let rings: Option<Vec<Figure>> = rings.into_iter().collect();
        Some(Drive { rings: rings?, cogs: cogs?, hub: hub? }).filter(|_| known)
    }

    /// Whether the hub has gears of its own.
    pub fn has_hub_gear(&self) -> bool {
        self.hub.len() > 1
    }

    /// All combinations of rings and cogs.
    ///
    /// # Errors
    /// As [`gearing::gears`].
    pub fn gears(&self) -> Answer<Vec<gearing::Gear>> {
        gearing::gears(&values(&self.rings), &values(&self.cogs))
    }
}

/// Circumference of the rear wheel, in mm: as it was rolled out, or else by its size.
pub fn circumference(reader: &Reader) -> Option<Answer<Figure>> {
    if let Some(rolled) = reader.optional("rollout.rear") {
        return Some(Ok(rolled));
    }
    let (bead, width) = (reader.figure("rear.tyre.size.bead"), reader.figure("rear.tyre.size.width"));
    Some(Figure::of([bead?, width?], |[bead, width]| gearing::circumference_mm(bead, width)))
}
