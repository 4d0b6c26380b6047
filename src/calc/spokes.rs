//! Spokes: how long they are, and how they lie between hub and rim.
//!
//! One side of a wheel at a time. The wheel lies in a plane; a spoke goes from a hole of the hub's flange, at the
//! radius `r` and `w` beside the rim's holes, to its end in the nipple, at the radius `R`. Seen along the axle the two
//! ends stand `α` apart. The spoke is taken as a straight line from the middle of the hole.

mod hub;
mod tension;

pub use hub::{dish_gauge_mm, dish_mm, erd_from_two_spokes_mm, flange_offset_mm, flange_offsets_mm};
pub use tension::{STEEL_GPA, stretch_mm, tension_ratio, tension_ratio_measured};

use super::check::{above_zero, number, shown, sound, whole, zero_or_more};
use super::{Answer, refused};

/// How far off the radial is beyond most rims and nipples, in degrees ([`entry_angle_deg`]).
///
/// Source: wheelfanatyk.com, "Spoke angle" (September 2017): nipples aim easily for 80 to 90° to the rim, less than 75°
/// may still go, below 70° is beyond most components.
pub const MOST_ENTRY_DEG: f64 = 20.0;

/// The spokes of one side of a wheel. Lengths in mm.
///
/// Evenly spaced holes only: hubs with paired holes are not covered. Where one side has more spokes than the other,
/// give twice this side's own number as `holes`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lacing {
    /// Effective rim diameter: across the circle on which the spokes end in their nipples.
    pub erd: f64,
    /// Diameter of the flange's circle of holes, between their middles.
    pub circle: f64,
    /// From the wheel's middle plane, halfway between the locknuts, to the middle of the flange.
    pub offset: f64,
    /// Spokes of the whole wheel, both sides together.
    pub holes: f64,
    /// How often a spoke crosses others of its own side; 0 is radial.
    pub crossings: f64,
    /// Diameter of a hole in the flange. 0 leaves it out, as for spokes without an elbow.
    pub hole: f64,
    /// How far the rim's holes lie off the rim's middle: + towards this side's flange.
    pub rim_offset: f64,
}

/// A spoke's place, checked: lengths in mm, the angle in radians.
struct Place {
    /// Radius at which it ends in the rim.
    rim: f64,
    /// Radius at which it sits in the flange.
    flange: f64,
    /// How far the flange lies beside the rim's holes: + outside of them.
    aside: f64,
    /// Between the two, seen along the axle.
    angle: f64,
}

impl Place {
    fn of(lacing: &Lacing) -> Answer<Self> {
        let erd = above_zero("the rim's effective diameter", lacing.erd, " mm")?;
        let circle = above_zero("the flange's circle of holes", lacing.circle, " mm")?;
        let offset = zero_or_more("the flange's distance from the wheel's middle", lacing.offset, " mm")?;
        let rim_offset = number("the offset of the rim's holes", lacing.rim_offset, " mm")?;
        if erd <= circle {
            return refused(format!(
                "the rim's effective diameter, {} mm, is not larger than the flange's circle of holes, {} mm",
                shown(erd),
                shown(circle)
            ));
        }
        let angle = angle_deg(lacing.holes, lacing.crossings)?.to_radians();
        Ok(Self { rim: erd / 2.0, flange: circle / 2.0, aside: offset - rim_offset, angle })
    }

    /// Straight distance between the two ends by the law of cosines.
    fn span(&self) -> f64 {
        let flat =
            self.rim * self.rim + self.flange * self.flange - 2.0 * self.rim * self.flange * libm::cos(self.angle);
        libm::sqrt(flat + self.aside * self.aside)
    }

    /// From the hole, how far the nipple lies further out along the hole's own radius.
    fn outward(&self) -> f64 {
        self.rim * libm::cos(self.angle) - self.flange
    }

    /// How far the nipple lies beside the hole's own radius.
    fn beside(&self) -> f64 {
        self.rim * libm::sin(self.angle)
    }
}

/// Length of a spoke to order, in mm, not rounded: `√(R² + r² + w² − 2 R r cos α) − s/2`, where `s` is the hole.
///
/// Source: tristable.net/bike/spoke_length.txt, and in the same form in the encyclopaedia's article on spokes. It
/// leaves out the spoke's own thickness and stretch, which nearly cancel. Computed for `α` of 90° and more too: whether
/// such a lacing can be built is for [`crossings_fit`] and [`past_tangent`] to say.
///
/// # Errors
/// Negative or missing measures, a rim no larger than the flange, a number of spokes that is odd or no number.
pub fn length_mm(lacing: &Lacing) -> Answer {
    let hole = zero_or_more("the hole in the flange", lacing.hole, " mm")?;
    let span = Place::of(lacing)?.span();
    let length = sound(span - hole / 2.0)?;
    if length > 0.0 {
        Ok(length)
    } else {
        refused(format!("no spoke is left: the hole of {} mm takes all {} mm", shown(hole), shown(span)))
    }
}

/// The whole millimetre to order for a computed length: the nearest, and the shorter of two that are equally near.
///
/// Common practice: half a millimetre too short still fills the nipple, too long stands above it or runs out of thread.
///
/// # Errors
/// No length.
pub fn to_order_mm(length: f64) -> Answer {
    let whole = libm::ceil(above_zero("the spoke's length", length, " mm")? - 0.5);
    if whole > 0.0 { Ok(whole) } else { refused(format!("a spoke of {} mm is none", shown(length))) }
}

/// Angle `α` between a spoke's two ends, seen along the axle, in degrees: `360° · crossings / (holes / 2)`.
///
/// Source: as [`length_mm`].
///
/// # Errors
/// A number of spokes that is zero, odd or no whole number; so many crossings that a spoke would end behind the hub.
pub fn angle_deg(holes: f64, crossings: f64) -> Answer {
    let holes = spokes_of_a_wheel(holes)?;
    let crossings = crossings_of_a_spoke(crossings)?;
    let angle = 720.0 * crossings / holes;
    if angle < 180.0 {
        Ok(angle)
    } else {
        let (crossings, holes) = (shown(crossings), shown(holes));
        refused(format!("{crossings} crossings with {holes} spokes would end a spoke behind the hub"))
    }
}

fn spokes_of_a_wheel(holes: f64) -> Answer {
    let holes = whole("the number of spokes", holes, 2.0..=200.0)?;
    if holes % 2.0 == 0.0 {
        Ok(holes)
    } else {
        refused(format!("{} spokes cannot be shared by two sides", shown(holes)))
    }
}

fn crossings_of_a_spoke(crossings: f64) -> Answer {
    whole("the number of crossings", crossings, 0.0..=50.0)
}

/// The most crossings at which the angle between a spoke's ends is below 90°.
///
/// At 90° and above a spoke lies across the head of its neighbour (shop.torzc.com, "Lacing patterns": 3 crossings with
/// 24 spokes). Large flanges in small rims allow fewer: see [`past_tangent`] and [`entry_angle_deg`].
///
/// # Errors
/// A number of spokes that is zero, odd or no whole number.
pub fn most_crossings(holes: f64) -> Answer {
    Ok(libm::ceil(spokes_of_a_wheel(holes)? / 8.0) - 1.0)
}

/// The most crossings by the workshop's rule: a ninth of the spokes, rounded down.
///
/// Source: shop.torzc.com, "Lacing patterns", for wheels of 700C size.
///
/// # Errors
/// A number of spokes that is zero, odd or no whole number.
pub fn most_crossings_by_ninth(holes: f64) -> Answer {
    Ok(libm::floor(spokes_of_a_wheel(holes)? / 9.0))
}

/// That a spoke with so many crossings passes its neighbours' heads: the angle between its ends is below 90°.
///
/// # Errors
/// When it is not, with the most crossings that would do.
pub fn crossings_fit(holes: f64, crossings: f64) -> Answer<()> {
    let most = most_crossings(holes)?;
    if crossings_of_a_spoke(crossings)? <= most {
        return Ok(());
    }
    let angle = 720.0 * crossings / holes;
    refused(format!(
        "{} crossings with {} spokes put a spoke's ends {}° apart, so that it lies across the next head; at most {} fit",
        shown(crossings),
        shown(holes),
        shown(angle),
        shown(most)
    ))
}

/// Angle between a spoke and its hole's own radius, where it leaves the flange, in degrees, seen along the axle.
///
/// 0° is radial; 90° is tangential, which is where `cos α = r/R`. Plane geometry of the two points. A CAD drawing told
/// of at bikeforums.net (post 10117905) has 96° 45′ 58″ for 32 spokes, 4 crossings and a flange of 70 mm.
///
/// # Errors
/// As [`length_mm`].
pub fn exit_angle_deg(lacing: &Lacing) -> Answer {
    let place = Place::of(lacing)?;
    sound(libm::atan2(place.beside(), place.outward()).to_degrees())
}

/// Whether a spoke leaves the flange past its tangent ([`exit_angle_deg`] above 90°).
///
/// Its line then first runs inside the circle of holes, across the flange and the heads of its neighbours.
///
/// # Errors
/// As [`length_mm`].
pub fn past_tangent(lacing: &Lacing) -> Answer<bool> {
    Ok(exit_angle_deg(lacing)? > 90.0)
}

/// Angle between a spoke and the rim's radius, where it enters the nipple, in degrees, seen along the axle.
///
/// 0° is square to the rim. Plane geometry of the two points; compare with [`MOST_ENTRY_DEG`].
///
/// # Errors
/// As [`length_mm`].
pub fn entry_angle_deg(lacing: &Lacing) -> Answer {
    let place = Place::of(lacing)?;
    let inward = place.rim - place.flange * libm::cos(place.angle);
    sound(libm::atan2(place.flange * libm::sin(place.angle), inward).to_degrees())
}

/// Angle between a spoke and the wheel's plane, in degrees: the larger, the better it holds the rim sideways.
///
/// Geometry of the two points: `sin = w / (distance between the ends)`. Negative where the rim's holes lie outside of
/// the flange, so that the spoke pulls the wrong way.
///
/// # Errors
/// As [`length_mm`].
pub fn bracing_angle_deg(lacing: &Lacing) -> Answer {
    let place = Place::of(lacing)?;
    let flat = libm::hypot(place.outward(), place.beside());
    sound(libm::atan2(place.aside, flat).to_degrees())
}
