//! What rolls on the wheels, as the sheets read it.

use super::figure::Figure;
use super::read::Reader;

/// What one wheel carries, in kg: its share of rider, bike and loose luggage, and what is on its own rack; none, with what
/// is missing remembered, if one of them is not known.
pub fn on_wheel_kg(reader: &Reader, front: bool) -> Option<Figure> {
    let masses = ["rider", "bike_mass", "luggage"].map(|it| reader.figure(it));
    let share = reader.figure("front_share");
    let own = reader.or_nothing(if front { "front_load" } else { "rear_load" });
    let [Some(rider), Some(bike), Some(luggage)] = masses else { return None };
    let all = [rider, bike, luggage, share?, own?];
    let load = Figure::of(all, |[rider, bike, luggage, share, own]| {
        let share = if front { share } else { 1.0 - share };
        Ok(((rider + bike + luggage) * share + own) / 1000.0)
    });
    load.ok()
}

/// Rider, bike and all that is carried, in kg; none, with what is missing remembered, if one of them is not known.
pub fn whole_kg(reader: &Reader) -> Option<Figure> {
    // All are asked for, so that all that is missing is told at once.
    let masses = ["rider", "bike_mass", "luggage"].map(|it| reader.figure(it));
    let loads = ["front_load", "rear_load"].map(|it| reader.or_nothing(it));
    let all: Option<Vec<Figure>> = masses.into_iter().chain(loads).collect();
    Figure::of_all(&all?, |values| Ok(values.iter().sum::<f64>() / 1000.0)).ok()
}
