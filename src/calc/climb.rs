//! The road: what power a speed takes, how steep a gear climbs, how fast a rider goes.
//!
//! The forces are those of Martin, Milliken, Cobb, McFadden and Coggan, "Validation of a mathematical model for road
//! cycling power", Journal of Applied Biomechanics 14 (1998) 276-291 (its abstract was seen, its equations are written
//! from memory): air, rolling, gravity, drivetrain. Left out are its wind, its drag of turning spokes, its wheel
//! bearings and its change of kinetic energy. So: still air, steady speed, one seated rider, no slipping tyre, and no
//! word on whether a bike can be balanced as slowly as that.

use super::check::{rising_root, shown, within};
use super::{Answer, GRAVITY, refused};

/// No rider was ever faster, m/s.
const FASTEST: f64 = 1000.0;

/// A rider, the bike and the air about them.
#[derive(Clone, Debug, PartialEq)]
pub struct Rider {
    /// Rider, clothes, bike and all that is on it, kg.
    pub total_mass_kg: f64,
    /// Power at the pedals, W.
    pub power_w: f64,
    /// Part of it that arrives at the wheel, up to 1.
    pub drivetrain_efficiency: f64,
    /// Coefficient of rolling resistance: force along the road over force into it.
    pub rolling: f64,
    /// Drag area, m²: coefficient of drag times frontal area.
    pub drag_area_m2: f64,
    /// Density of the air, kg/m³.
    pub air_density_kgm3: f64,
}

impl Default for Rider {
    /// Somebody on a road bike. Mass 90 kg and rolling 0.005 (a usual sealed road) as theclimbingcyclist.com assumes in
    /// "How much harder are steeper climbs?"; drag area 0.473 m² (one rider going uphill), efficiency 98 % and air of
    /// 1.225 kg/m³ as van Druenen and Blocken do in Sports Engineering 24 (2021) 10, table 1. 150 W, what a fit rider
    /// keeps up for some hours, is common practice without a source.
    fn default() -> Self {
        Self {
            total_mass_kg: 90.0,
            power_w: 150.0,
            drivetrain_efficiency: 0.98,
            rolling: 0.005,
            drag_area_m2: 0.473,
            air_density_kgm3: 1.225,
        }
    }
}

impl Rider {
    fn check(&self) -> Answer<()> {
        within("the mass of rider and bike", self.total_mass_kg, 1.0..=1000.0, " kg")?;
        within("the power", self.power_w, 0.0..=5000.0, " W")?;
        within("the drivetrain's efficiency", self.drivetrain_efficiency, 0.01..=1.0, "")?;
        within("the coefficient of rolling resistance", self.rolling, 0.0..=1.0, "")?;
        within("the drag area", self.drag_area_m2, 0.0..=10.0, " m²")?;
        within("the density of the air", self.air_density_kgm3, 0.0..=10.0, " kg/m³")?;
        Ok(())
    }

    fn weight(&self) -> f64 {
        self.total_mass_kg * GRAVITY
    }

    /// Force of the air at this speed, N.
    fn drag(&self, speed_ms: f64) -> f64 {
        0.5 * self.air_density_kgm3 * self.drag_area_m2 * speed_ms * speed_ms
    }

    /// Force of road and hill, N; negative where the hill pushes.
    fn road(&self, grade: f64) -> f64 {
        let angle = libm::atan(grade);
        self.weight() * (libm::sin(angle) + self.rolling * libm::cos(angle))
    }

    /// Power at the wheel.
    fn driven(&self) -> f64 {
        self.power_w * self.drivetrain_efficiency
    }
}

/// Power at the pedals, in W, that holds a speed (m/s) on a grade (rise over run: 0.08 is 8 %; negative downhill). The
/// rider's own `power_w` plays no part.
///
/// Negative where the hill does more than is needed: so much goes into the brakes, and the drivetrain has no share in
/// it.
///
/// # Errors
/// A speed below 0 or above 1000 m/s, a grade beyond 10 either way, or a rider with impossible values.
pub fn power_needed_w(rider: &Rider, speed_ms: f64, grade: f64) -> Answer {
    rider.check()?;
    within("the speed", speed_ms, 0.0..=FASTEST, " m/s")?;
    within("the grade", grade, -10.0..=10.0, "")?;
    let at_the_wheel = (rider.road(grade) + rider.drag(speed_ms)) * speed_ms;
    Ok(if at_the_wheel < 0.0 { at_the_wheel } else { at_the_wheel / rider.drivetrain_efficiency })
}

/// The grade (rise over run) on which the rider's power holds exactly this cadence in a gear of this development.
/// Negative when it takes a descent: the gear is too hard for that cadence on the flat.
///
/// Solved, not approximated: with `k` the force to spare over the weight, `sin θ + Crr cos θ = k`, so
/// `θ = asin(k / √(1 + Crr²)) − atan Crr`. That the front wheel lifts or the tyre slips first is not considered.
///
/// # Errors
/// Standing still, values that are impossible, or a push greater than the whole weight (no road is as steep).
pub fn steepest_grade(rider: &Rider, development_m: f64, cadence_rpm: f64) -> Answer {
    rider.check()?;
    within("the development", development_m, 0.01..=100.0, " m")?;
    within("the cadence", cadence_rpm, 0.1..=300.0, " turns a minute")?;
    let speed = development_m * cadence_rpm / 60.0;
    let to_spare = rider.driven() / speed - rider.drag(speed);
    let sine = to_spare / (rider.weight() * libm::sqrt(1.0 + rider.rolling * rider.rolling));
    if sine >= 1.0 {
        return refused(format!(
            "{} W at {} m/s push with {} N, no less than the whole weight of {} N: no road is so steep",
            shown(rider.power_w),
            shown(speed),
            shown(to_spare),
            shown(rider.weight())
        ));
    }
    if sine <= -1.0 {
        return refused(format!(
            "at {} m/s the air holds back with {} N more than {} W push, no less than the whole weight of {} N: no \
             descent is so steep",
            shown(speed),
            shown(-to_spare),
            shown(rider.power_w),
            shown(rider.weight())
        ));
    }
    Ok(libm::tan(libm::asin(sine) - libm::atan(rider.rolling)))
}

/// The steady speed, in m/s, at which the rider's power is used up on this grade; downhill the faster of the two where
/// there are two, and with no power the speed of coasting. By bisection.
///
/// # Errors
/// Impossible values, or nothing that would limit the speed below 1000 m/s.
pub fn speed_on_ms(rider: &Rider, grade: f64) -> Answer {
    rider.check()?;
    within("the grade", grade, -10.0..=10.0, "")?;
    let road = rider.road(grade);
    let force = |speed: f64| road + rider.drag(speed);
    let surplus = |speed: f64| force(speed) * speed - rider.driven();
    if surplus(FASTEST) <= 0.0 || force(FASTEST) <= 0.0 {
        return refused(format!("on a grade of {} neither air nor road would limit the speed", shown(grade)));
    }
    // Below the speed of coasting the hill alone speeds the bike up; from there on more speed takes more power.
    let coasting = if road < 0.0 { rising_root(0.0, FASTEST, force) } else { 0.0 };
    Ok(if rider.driven() > 0.0 { rising_root(coasting, FASTEST, surplus) } else { coasting })
}
