//! What rolls on the wheels, as the sheets read it.

use super::figure::Figure;
use super::read::Reader;

/// Rider, bike and all that is carried, in kg; none, with what is missing remembered, if one of them is not known.
pub fn whole_kg(reader: &Reader) -> Option<Figure> {
    // All are asked for, so that all that is missing is told at once.
    let masses = ["rider", "bike_mass", "luggage"].map(|it| reader.figure(it));
    let loads = ["front_load", "rear_load"].map(|it| reader.or_nothing(it));
    let all: Option<Vec<Figure>> = masses.into_iter().chain(loads).collect();
    Figure::of_all(&all?, |values| Ok(values.iter().sum::<f64>() / 1000.0)).ok()
}
