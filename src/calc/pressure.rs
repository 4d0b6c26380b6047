//! Tyre pressure to start from, and what limits it.

use super::check::{above_zero, shown, within};
use super::{Answer, refused};

/// A pound in kg.
const POUND: f64 = 0.453_592_37;
/// A pound per square inch in bar.
const PSI: f64 = 0.068_947_572_931_683_6;
/// Below this pressure the curve of [`start_bar`] means nothing.
const LEAST_BAR: f64 = 1.0;

/// Most pressure in a road tyre on a straight-sided (hookless) rim, in bar, whatever the tyre says.
///
/// Source: a tyre maker's tubeless requirements and a rim maker's compatibility statement (72.5 to 73 psi).
pub const HOOKLESS_BAR: f64 = 5.0;

/// Pressure at which a tyre sinks by 15 % of its height, in bar above the air around it.
///
/// `psi = 153.6 · pounds / mm^1.5785 − 7.1685`: a curve laid through F. Berto's measured chart of wheel loads and
/// widths (J. Heine, "Optimizing your tire pressure for your weight", Bicycle Quarterly; Berto, "All about tire
/// inflation"). That the chart exists and aims at 15 % was seen in both; the curve's numbers are from memory. Readings
/// of the chart that riders have published lie within 10 psi (0.7 bar) of it, but for one.
///
/// Berto measured 700C tyres of ordinary casing on rims of their time, at 2.1 to 10.3 bar, no wider than about 37 mm:
/// beyond that it is drawn out. A wider rim, a supple casing or soft ground ask for less. A start, not a limit: see
/// [`capped`].
///
/// # Errors
/// A width outside 20 to 60 mm, a load outside 20 to 120 kg on the wheel, and loads so light for the width that the
/// curve falls below 1 bar.
pub fn start_bar(load_kg: f64, width: f64) -> Answer {
    let load = within("the load on the wheel", load_kg, 20.0..=120.0, " kg")?;
    let width = within("the tyre's width", width, 20.0..=60.0, " mm")?;
    let psi = 153.6 * (load / POUND) / libm::pow(width, 1.5785) - 7.1685;
    let bar = psi * PSI;
    if bar >= LEAST_BAR {
        Ok(bar)
    } else {
        let (least, bar) = (shown(LEAST_BAR), shown(bar));
        refused(format!(
            "the curve for tyre pressure does not reach below {least} bar, and these numbers give {bar} bar"
        ))
    }
}

/// What sets a tyre's pressure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// The pressure to start from lies below every limit.
    Start,
    /// What is printed on the tyre.
    Tyre,
    /// What is printed on the rim.
    Rim,
    /// The straight-sided rim: [`HOOKLESS_BAR`].
    Hookless,
}

/// A pressure that keeps within its limits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Capped {
    /// In bar.
    pub bar: f64,
    /// What set it.
    pub by: Limit,
}

/// The pressure to start from, or the lowest limit where that is lower: of tyre, rim (where known), and of a road tyre
/// on a straight-sided rim.
///
/// Source: ISO 4210-1 as adopted in TBIS 4210-1:2018, term 2.27: the highest pressure is the lower of tyre's and rim's.
/// Of equal limits the one named first sets it.
///
/// # Errors
/// Pressures that are not above zero.
pub fn capped(start_bar: f64, tyre_bar: Option<f64>, rim_bar: Option<f64>, hookless: bool) -> Answer<Capped> {
    let mut lowest = Capped { bar: above_zero("the pressure to start from", start_bar, " bar")?, by: Limit::Start };
    let limits = [
        ("the tyre's highest pressure", tyre_bar, Limit::Tyre),
        ("the rim's highest pressure", rim_bar, Limit::Rim),
        ("the highest pressure of a straight-sided rim", hookless.then_some(HOOKLESS_BAR), Limit::Hookless),
    ];
    for (what, limit, by) in limits {
        if let Some(limit) = limit {
            let bar = above_zero(what, limit, " bar")?;
            if bar < lowest.bar {
                lowest = Capped { bar, by };
            }
        }
    }
    Ok(lowest)
}
