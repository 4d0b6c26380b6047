//! Brakes: levers and cables, rotors, stopping, and how hard a bike can brake before it pitches over.

use super::check::{above_zero, number, shown, sound, zero_or_more};
use super::{Answer, GRAVITY, refused};

/// Advantage of a brake lever: from pivot to fingers over from pivot to cable, both in mm.
///
/// Source: bicycles.stackexchange.com, question 71954. For small movements and without friction; it changes with the lever's swing and
/// with where the hand lies.
///
/// # Errors
/// Measures that are not above zero.
pub fn lever_advantage(pivot_to_finger: f64, pivot_to_cable: f64) -> Answer {
    let finger = above_zero("the distance from the lever's pivot to the fingers", pivot_to_finger, " mm")?;
    sound(finger / above_zero("the distance from the lever's pivot to the cable", pivot_to_cable, " mm")?)
}

/// Advantage of lever and brake together: their product. Source: as [`lever_advantage`]. Without friction.
///
/// # Errors
/// Advantages that are not above zero.
pub fn system_advantage(lever: f64, brake: f64) -> Answer {
    Ok(above_zero("the lever's advantage", lever, "")? * above_zero("the brake's advantage", brake, "")?)
}

/// Cable that a lever pulls, in mm, when the fingers move so far: travel over advantage, as work is neither won nor
/// lost.
///
/// # Errors
/// A negative travel, an advantage that is not above zero.
pub fn cable_travel_mm(lever_travel: f64, advantage: f64) -> Answer {
    let travel = zero_or_more("the lever's travel", lever_travel, " mm")?;
    sound(travel / above_zero("the lever's advantage", advantage, "")?)
}

/// How far each pad that moves does so, in mm, for so much cable: travel over the brake's advantage, which is measured so
/// (way of the cable over way of a pad). The force of the cable then comes out as many times at all moving pads together.
/// Without stretch and play.
///
/// # Errors
/// A negative travel, an advantage that is not above zero.
pub fn pad_travel_mm(cable_travel: f64, brake_advantage: f64) -> Answer {
    let travel = zero_or_more("the cable's travel", cable_travel, " mm")?;
    sound(travel / above_zero("the brake's advantage", brake_advantage, "")?)
}

/// Torque with one rotor over that with another, under the same pinch: as their diameters.
///
/// Source: cyclabo.com on rotor sizes; cyclebanter.com p=162537. Outer diameters stand for the pads' own radius, which
/// is some 10 mm less; the true ratio of 180 or 203 to 160 mm is larger by two to four hundredths.
///
/// # Errors
/// Diameters that are not above zero.
pub fn rotor_torque_ratio(rotor: f64, other: f64) -> Answer {
    sound(above_zero("the rotor's diameter", rotor, " mm")? / above_zero("the other rotor's diameter", other, " mm")?)
}

/// How much further out a caliper must stand for another rotor than its mount is made for, in mm: half the difference
/// of the diameters, negative for a smaller rotor (which no adapter can do).
///
/// Source: peterverdone.com, "The problem with flat mount": 10 mm for 20 mm of rotor.
///
/// # Errors
/// Diameters that are not above zero.
pub fn mount_shift_mm(rotor: f64, native: f64) -> Answer {
    let rotor = above_zero("the rotor's diameter", rotor, " mm")?;
    Ok((rotor - above_zero("the mount's own rotor", native, " mm")?) / 2.0)
}

/// Mean deceleration of a stop from a speed (km/h) within a distance (m), in m/s²: `v² / 2s`.
///
/// # Errors
/// Measures that are not above zero.
pub fn deceleration_ms2(speed_kmh: f64, distance_m: f64) -> Answer {
    let speed = above_zero("the speed", speed_kmh, " km/h")? / 3.6;
    sound(speed * speed / (2.0 * above_zero("the distance", distance_m, " m")?))
}

/// Distance in which a bike stops, in m, from a speed (km/h) at an even deceleration (m/s²), the way ridden before the
/// hands act (s) included: `v t + v² / 2a`.
///
/// Source: AASHTO, Guide for the Development of Bicycle Facilities, pp. 40 and 41, as told at muggaccinos.com, with 2.5
/// s and a quarter of gravity for poor brakes in the wet. A typical rider brakes at 0.35 g on a dry road (W. Pein,
/// "High speed bicycling", 2004).
///
/// # Errors
/// A speed or reaction below zero, a deceleration that is not above zero.
pub fn stopping_distance_m(speed_kmh: f64, deceleration_ms2: f64, reaction_s: f64) -> Answer {
    let speed = zero_or_more("the speed", speed_kmh, " km/h")? / 3.6;
    let deceleration = above_zero("the deceleration", deceleration_ms2, " m/s²")?;
    let before = speed * zero_or_more("the time before the hands act", reaction_s, " s")?;
    sound(before + speed * speed / (2.0 * deceleration))
}

/// Braking force measured on a machine, in N, as it would be at the lever force that the test allows, 180 N:
/// `F · 180 / F_lever`.
///
/// Source: ISO 4210-4 as adopted in TBIS 4210-4:2017, p. 31.
///
/// # Errors
/// Forces that are not above zero.
pub fn braking_force_corrected_n(force_n: f64, lever_force_n: f64) -> Answer {
    let force = above_zero("the braking force", force_n, " N")?;
    sound(force * 180.0 / above_zero("the force on the lever", lever_force_n, " N")?)
}

/// Deceleration at which the rear wheel lifts on level ground, in m/s²: `g · behind / height`.
///
/// `behind` is how far the centre of mass of bike and rider lies behind the point where the front wheel touches the
/// ground, `height` how far above the ground, both in mm. About that point the weight turns the bike back with `m g ·
/// behind` and the braking turns it over with `m a · height`; the rear wheel carries nothing when they are equal.
/// Source: J. Riel, "Maximal braking on a standard bicycle" (2005), equation 3. Rider and bike as one rigid body,
/// enough grip in front, spin of the wheels left out. Riel measured 0.63 g seated and 0.83 g off the back of the
/// saddle.
///
/// # Errors
/// Measures that are not above zero.
pub fn pitchover_deceleration_ms2(behind: f64, height: f64) -> Answer {
    let behind = above_zero("the centre of mass's distance behind the front wheel's contact", behind, " mm")?;
    sound(GRAVITY * behind / above_zero("the height of the centre of mass", height, " mm")?)
}

/// A deceleration limit of level ground, in m/s², on a slope (rise over run: − downhill): `a cos θ + g sin θ`.
///
/// Holds for the limit of pitching over and for that of grip. Source: as [`pitchover_deceleration_ms2`], equation 6.
/// Negative where the slope is too steep to slow down on.
///
/// # Errors
/// A limit below zero, a slope that is no number.
pub fn deceleration_on_slope_ms2(level_ms2: f64, slope: f64) -> Answer {
    let level = zero_or_more("the deceleration on level ground", level_ms2, " m/s²")?;
    let slope = number("the slope", slope, "")?;
    let along = libm::hypot(1.0, slope);
    sound((level + GRAVITY * slope) / along)
}

/// Share of the weight that the front wheel carries while braking on level ground, as a fraction.
///
/// `(wheelbase − behind) / wheelbase + a · height / (g · wheelbase)`, lengths in mm, from the balance of torques about
/// the rear wheel's contact; it does not matter which wheel brakes. Source: the encyclopaedia's article on the dynamics
/// of bicycles, forces at locked wheels. Rider and bike as one rigid body.
///
/// # Errors
/// Measures that are not above zero; a centre of mass behind the rear wheel; a deceleration at which the bike pitches
/// over, where there is no such balance.
pub fn front_wheel_share(behind: f64, height: f64, wheelbase: f64, deceleration_ms2: f64) -> Answer {
    let wheelbase = above_zero("the wheelbase", wheelbase, " mm")?;
    let limit = pitchover_deceleration_ms2(behind, height)?;
    let deceleration = zero_or_more("the deceleration", deceleration_ms2, " m/s²")?;
    if behind > wheelbase {
        let (behind, wheelbase) = (shown(behind), shown(wheelbase));
        return refused(format!(
            "a centre of mass {behind} mm behind the front wheel lies behind the rear one, {wheelbase} mm away"
        ));
    }
    if deceleration > limit {
        let (limit, given) = (shown(limit), shown(deceleration));
        return refused(format!("the bike pitches over at {limit} m/s², before it slows by {given} m/s²"));
    }
    let standing = (wheelbase - behind) / wheelbase;
    let shifted = deceleration * height / (GRAVITY * wheelbase);
    // At the limit itself rounding must not give more than the whole weight.
    Ok(libm::fmin(standing + shifted, 1.0))
}
