//! Toothed rings.

use super::Function;
use crate::quantity::Dimension;

/// Pitch of every bicycle chain: half an inch.
const PITCH: f64 = 12.7;
/// Diameter of the chain's roller, 7.75 mm.
const ROLLER: f64 = 7.75;

/// Diameter of the circle through the tooth roots of a ring: pitch diameter `p / sin(180°/N)` less the roller.
/// Valid from 5 teeth up. Not a number below that.
pub fn root_diameter(teeth: f64) -> f64 {
    if teeth < 5.0 {
        return f64::NAN;
    }
    PITCH / libm::sin(std::f64::consts::PI / teeth) - ROLLER
}

pub(super) const ROOT_CIRCLE: Function = Function {
    name: "root_diameter",
    doc: "diameter of the circle through the tooth roots of a ring with so many teeth",
    parameters: &[("teeth", Dimension::NONE)],
    result: Dimension::LENGTH,
    source: "velo.outsideonline.com, Technical FAQ on chainring and cog compatibility: 36 teeth give 137 to 138 mm",
    compute: |arguments| root_diameter(arguments.first().copied().unwrap_or(f64::NAN)),
};

#[cfg(test)]
mod tests {
    use super::root_diameter;

    #[test]
    fn root_circle_of_36_teeth_is_137_to_138_mm() {
        // velo.outsideonline.com, Technical FAQ: "36T root about 137-138 mm".
        assert!((137.0..138.5).contains(&root_diameter(36.0)));
    }
}
