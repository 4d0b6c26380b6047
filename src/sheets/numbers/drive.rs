//! The drivetrain of a build, as the sheets read it.

use super::figure::Figure;
use super::read::Reader;
use crate::calc::{Answer, gearing};

/// Slots of the chainrings, the largest first.
pub const RINGS: [&str; 3] = ["ring.big", "ring.middle", "ring.small"];

/// Rings, cogs, a hub gear's ratios, and the wheel that they turn.
pub struct Drive {
    /// Teeth of the rings, the largest first.
    pub rings: Vec<f64>,
    /// Teeth of the cogs, the smallest first.
    pub cogs: Vec<f64>,
    /// Ratios of the hub, the lowest first; just 1 for a hub without gears.
    pub hub: Vec<f64>,
}

impl Drive {
    /// Reads it; none, with what is missing remembered, if rings, cogs or a hub gear's ratios are not known.
    pub fn read(reader: &Reader) -> Option<Drive> {
        let rings = RINGS.iter().filter(|slot| **slot == RINGS[0] || reader.filled(slot));
        let rings: Vec<Option<Figure>> = rings.map(|slot| reader.figure(&format!("{slot}.teeth"))).collect();
        let cogs = reader.list("rear.cogs.cogs");
        let hub = match reader.standard("rear.hub.gear") {
            Some(_) => reader.list("rear.hub.ratios").map(|all| all.iter().map(|it| it.value).collect()),
            None => Some(vec![1.0]),
        };
        let rings: Option<Vec<Figure>> = rings.into_iter().collect();
        let teeth = |all: Vec<Figure>| all.iter().map(|it| it.value).collect();
        Some(Drive { rings: teeth(rings?), cogs: teeth(cogs?), hub: hub? })
    }

    /// Whether the hub has gears of its own.
    pub fn has_hub_gear(&self) -> bool {
        self.hub.len() > 1
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
