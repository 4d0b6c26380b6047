//! The chain: its length round ring and cog, the axle's place for a length, and slack.
//!
//! Lengths are counted in pitches of half an inch; a link of everyday speech ("a chain of 114 links") is one pitch.

use super::check::{rising_root, shown, within};
use super::rings::{PITCH, pitch_circle};
use super::{Answer, INCH, refused};
use std::f64::consts::PI;

/// Floating-point noise, in pitches or inches; no chain is cut so finely.
const NOISE: f64 = 1e-9;

/// Ring and cog as the loop sees them.
struct Loop {
    ring_teeth: f64,
    cog_teeth: f64,
    ring_radius: f64,
    cog_radius: f64,
}

impl Loop {
    fn new(ring: f64, cog: f64) -> Answer<Self> {
        let ring_radius = pitch_circle("the number of teeth of the ring", ring)? / 2.0;
        let cog_radius = pitch_circle("the number of teeth of the cog", cog)? / 2.0;
        Ok(Self { ring_teeth: ring, cog_teeth: cog, ring_radius, cog_radius })
    }

    /// The centre distance at which the two circles touch.
    fn touching(&self) -> f64 {
        self.ring_radius + self.cog_radius
    }

    /// Length in pitches at a centre distance of at least [`Loop::touching`].
    fn pitches(&self, distance: f64) -> f64 {
        let lean = libm::asin((self.ring_radius - self.cog_radius) / distance);
        let straight = 2.0 * distance * libm::cos(lean) / PITCH;
        let on_the_ring = self.ring_teeth * (PI + 2.0 * lean) / (2.0 * PI);
        let on_the_cog = self.cog_teeth * (PI - 2.0 * lean) / (2.0 * PI);
        straight + on_the_ring + on_the_cog
    }

    fn checked(&self, chainstay: f64) -> Answer {
        within("the chainstay", chainstay, 1.0..=3000.0, " mm")?;
        if chainstay <= self.touching() {
            return refused(format!(
                "a chainstay of {} mm leaves no room between a ring of {} and a cog of {} teeth, which touch at {} mm",
                shown(chainstay),
                shown(self.ring_teeth),
                shown(self.cog_teeth),
                shown(self.touching())
            ));
        }
        Ok(self.pitches(chainstay))
    }
}

/// Length in pitches of a chain that runs tight round one ring and one cog, either of them the larger: two straight
/// runs tangent to both pitch circles, and on each wheel one pitch a tooth of the angle that is wrapped.
///
/// `2C cos α / p + N1 (π + 2α) / 2π + N2 (π − 2α) / 2π`, `α = asin((R1 − R2) / C)`, `R = p / (2 sin(π/N))`: plane
/// geometry of the open loop. Chain and wheels in one plane (20 mm across add less than a tenth of a pitch), unworn,
/// without sag and without a derailleur.
///
/// # Errors
/// Fewer than 5 teeth, or a chainstay at which ring and cog would touch.
pub fn pitches_open(chainstay: f64, ring: f64, cog: f64) -> Answer {
    Loop::new(ring, cog)?.checked(chainstay)
}

/// The same by the formula of machine workshops: `2C/p + (N1 + N2)/2 + ((N1 − N2)/2π)² · p/C`.
///
/// Within 0.01 pitch of [`pitches_open`] for rings and cogs that differ by 40 teeth at most on chainstays from 380 mm
/// on. Source: ramseychain.com, "Chain length calculations" (with S = N2 − N1 and a table of T = (S/2π)²).
///
/// # Errors
/// As [`pitches_open`].
pub fn pitches_series(chainstay: f64, ring: f64, cog: f64) -> Answer {
    Loop::new(ring, cog)?.checked(chainstay)?;
    let distance = chainstay / PITCH;
    let difference = (ring - cog) / (2.0 * PI);
    Ok(2.0 * distance + (ring + cog) / 2.0 + difference * difference / distance)
}

/// Links by the rule of thumb in inches, `2C + N1/4 + N2/4 + 1`, rounded up to a whole inch, which is two links.
///
/// For largest ring and largest cog, with a derailleur. Common practice of repair shops, no source. Usually what
/// [`derailleur_links`] gives or two links more; it can be two links less, so that the other is the safer one.
///
/// # Errors
/// As [`pitches_open`].
pub fn rule_of_thumb_links(chainstay: f64, ring: f64, cog: f64) -> Answer {
    Loop::new(ring, cog)?.checked(chainstay)?;
    let inches = 2.0 * chainstay / INCH + ring / 4.0 + cog / 4.0 + 1.0;
    Ok(2.0 * (inches - NOISE).ceil())
}

/// Links for a bike with a derailleur: round largest ring and largest cog past the derailleur, up to the next even
/// number, and two more: `2 · ceil((L − 0.05) / 2) + 2`.
///
/// The 0.05 keeps a loop that is too long by a hair from costing two links. Source of the method: askvity.info, "bike
/// chain"; parkingday.org, "chain sizing". With rear suspension take the longest chainstay of its travel. Whether the
/// cage takes up the slack in small and small is another question: [`wrap_links`].
///
/// # Errors
/// As [`pitches_open`].
pub fn derailleur_links(chainstay: f64, largest_ring: f64, largest_cog: f64) -> Answer {
    let length = pitches_open(chainstay, largest_ring, largest_cog)?;
    Ok(2.0 * ((length - 0.05) / 2.0).ceil() + 2.0)
}

/// Slack that the cage has to take up.
#[derive(Clone, Debug, PartialEq)]
pub struct Wrap {
    /// Between largest on largest and smallest on smallest, in pitches of chain.
    pub pitches: f64,
    /// The same in teeth as a derailleur's capacity counts: two for a pitch, since half of each wheel is wrapped.
    pub teeth: f64,
    /// What the usual sum says: difference of the rings plus difference of the cogs, in teeth.
    pub capacity: f64,
}

/// Slack between largest ring on largest cog and smallest on smallest.
///
/// The exact loop differs from the usual sum by a tooth or two either way, three on the widest cassettes: the sum
/// leaves out that the runs lean where ring and cog differ much.
///
/// # Errors
/// As [`pitches_open`], or a big one that is smaller than the small one.
pub fn wrap_links(chainstay: f64, big_ring: f64, small_ring: f64, big_cog: f64, small_cog: f64) -> Answer<Wrap> {
    let capacity = capacity_teeth(big_ring, small_ring, big_cog, small_cog)?;
    let longest = pitches_open(chainstay, big_ring, big_cog)?;
    let shortest = pitches_open(chainstay, small_ring, small_cog)?;
    let pitches = longest - shortest;
    Ok(Wrap { pitches, teeth: 2.0 * pitches, capacity })
}

/// Capacity that a derailleur needs, in teeth: difference of the rings plus difference of the cogs.
///
/// Source: jitetan.com, "total capacity"; velogear.com, "chain-wrap capacity".
///
/// # Errors
/// A big one that is smaller than the small one, or teeth outside 1 to 500.
pub fn capacity_teeth(big_ring: f64, small_ring: f64, big_cog: f64, small_cog: f64) -> Answer {
    for (name, teeth) in [("ring", big_ring), ("ring", small_ring), ("cog", big_cog), ("cog", small_cog)] {
        within(&format!("the number of teeth of a {name}"), teeth, 1.0..=500.0, "")?;
    }
    for (name, big, small) in [("ring", big_ring, small_ring), ("cog", big_cog, small_cog)] {
        if big < small {
            return refused(format!("the big {name}, {}, is smaller than the small one, {}", shown(big), shown(small)));
        }
    }
    Ok(big_ring - small_ring + big_cog - small_cog)
}

/// The centre distance, in mm, at which a loop of so many pitches is just tight on ring and cog: the inverse of
/// [`pitches_open`], by bisection.
///
/// # Errors
/// Fewer than 5 teeth, or a chain too short to reach round ring and cog side by side, or longer than 500 pitches.
pub fn chainstay_for_mm(pitches: f64, ring: f64, cog: f64) -> Answer {
    let wheels = Loop::new(ring, cog)?;
    within("the chain's length", pitches, 1.0..=500.0, " pitches")?;
    let shortest = wheels.pitches(wheels.touching());
    if pitches <= shortest {
        return refused(format!(
            "a chain of {} pitches is too short for a ring of {} and a cog of {} teeth: it takes {} where they touch",
            shown(pitches),
            shown(ring),
            shown(cog),
            shown(shortest)
        ));
    }
    // The loop is never shorter than twice the way from centre to centre.
    let farthest = pitches * PITCH / 2.0 + wheels.touching();
    Ok(rising_root(wheels.touching(), farthest, |distance| wheels.pitches(distance) - pitches))
}

/// A chain without a derailleur, and where the axle then stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Its links.
    pub links: u32,
    /// Whether one of them is a half link: an odd number can't be closed otherwise.
    pub half_link: bool,
    /// Centre distance at which it is just tight, mm.
    pub chainstay: f64,
    /// How far the axle stands behind the place that was given; negative in front of it.
    pub moved: f64,
}

/// Every chain that runs tight with the axle somewhere from `forward` in front of a place to `back` behind it.
///
/// Chains without a half link first, and of those the one that moves the axle least. None at all is an answer: it takes
/// a tensioner, other teeth or another dropout. The lengths are for a new chain just tight; a used one is slack until
/// the axle goes back. In a dropout without a slot a chain that would be tight a millimetre further back still runs, a
/// little slack (cyclechat.net 173210): give that millimetre as `back`.
///
/// # Errors
/// Teeth or a chainstay as in [`pitches_open`], a slot of negative length or longer than 300 mm either way.
pub fn single_speed_fits(chainstay: f64, ring: f64, cog: f64, forward: f64, back: f64) -> Answer<Vec<Fit>> {
    within("the way back", back, 0.0..=300.0, " mm")?;
    within("the way forward", forward, 0.0..=300.0, " mm")?;
    let wheels = Loop::new(ring, cog)?;
    let shortest = wheels.checked(chainstay - forward)?;
    let longest = wheels.checked(chainstay + back)?;
    let mut fits = Vec::new();
    let mut links = (shortest - NOISE).ceil();
    while links <= longest + NOISE {
        let tight = chainstay_for_mm(links, ring, cog)?;
        fits.push(Fit {
            links: links as u32,
            half_link: links % 2.0 != 0.0,
            chainstay: tight,
            moved: tight - chainstay,
        });
        links += 1.0;
    }
    fits.sort_by(|a, b| a.half_link.cmp(&b.half_link).then(a.moved.abs().total_cmp(&b.moved.abs())));
    Ok(fits)
}
