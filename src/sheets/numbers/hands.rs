//! Where the rider's hands are: what stands on the head tube, stem and bar.

use super::stance::Gathered;
use crate::calc::geometry::{Point, Stance};
use crate::calc::{Answer, fit};

/// Places of the measures that say where the hands are.
pub(super) struct Hands {
    /// Above the head tube, along the steerer: what is added up, and what half of is.
    above: Vec<(usize, f64)>,
    stem_length: usize,
    stem_angle: usize,
    rise: usize,
    reach: usize,
}

impl Hands {
    /// Gathers them; none where one is not known.
    pub fn gathered(all: &mut Gathered) -> Option<Hands> {
        let quill = all.reader.standard("stem.mount") == Some("quill");
        let mut above = Vec::new();
        let mut add = |place: Option<usize>, share: f64| place.map(|place| above.push((place, share)));
        let upper = all.fact(false, "headset.upper.stack", true);
        let mut known = add(upper, 1.0).is_some();
        if quill {
            known &= add(all.fact(false, "stem.quill_height", true), 1.0).is_some();
        } else {
            let (spacers, above) = (all.reader.has("headset.spacers"), "headset.spacers.above");
            known &= spacers.is_some() && all.reader.has("stem_adapter").is_some();
            if spacers == Some(true) {
                known &= add(all.fact(false, "headset.spacers.height", true), 1.0).is_some();
                add(all.fact(false, above, false), -1.0);
                known &= !all.reader.is_open(above);
            }
            if all.reader.standard("stem_adapter.mount") == Some("quill") {
                known &= add(all.fact(false, "stem_adapter.height", true), 1.0).is_some();
            }
            known &= add(all.fact(false, "stem.mount.height", true), 0.5).is_some();
        }
        let stem_length = all.fact(false, "stem.length", true);
        let stem_angle = all.fact(false, "stem.angle", true);
        let (rise, reach) = (all.fact(false, "bar.rise", true), all.fact(false, "bar.reach", true));
        if !known {
            return None;
        }
        Some(Hands { above, stem_length: stem_length?, stem_angle: stem_angle?, rise: rise?, reach: reach? })
    }

    /// The middle of the bar, over the bottom bracket of a bike that stands so, and where its stem is clamped.
    pub fn bar(&self, stance: &Stance, values: &[f64]) -> Answer<[Point; 2]> {
        let at = |place: usize| values.get(place).copied().unwrap_or(f64::NAN);
        let above = self.above.iter().map(|(place, share)| at(*place) * share).sum();
        // A quill's height is told where its arm begins, as a clamped stem's middle is.
        let centre = fit::bar_centre(stance, above, at(self.stem_length), at(self.stem_angle))?;
        Ok([fit::bar_centre(stance, above, 0.0, 0.0)?, centre])
    }

    /// The place of the hands over the bottom bracket of a bike that stands so.
    pub fn place(&self, stance: &Stance, values: &[f64]) -> Answer<Point> {
        let at = |place: usize| values.get(place).copied().unwrap_or(f64::NAN);
        let [_, centre] = self.bar(stance, values)?;
        fit::hand_point(centre, at(self.reach), at(self.rise))
    }
}
