//! Units: a name, a dimension and a factor to the base unit (mm, g, degree, N, s).

use super::Dimension;

/// A unit of measure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    /// As it is written.
    pub name: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// One of it, in base units.
    pub factor: f64,
}

const fn of(name: &'static str, dimension: Dimension, factor: f64) -> Unit {
    Unit { name, dimension, factor }
}

/// Every unit of the language. The first of a dimension is the one that computed values are shown in.
/// Factors are exact by definition (inch 25.4 mm, pound 453.59237 g, standard gravity 9.80665 m/s²), or derived from those.
pub const UNITS: &[Unit] = &[
    of("mm", Dimension::LENGTH, 1.0),
    of("cm", Dimension::LENGTH, 10.0),
    of("m", Dimension::LENGTH, 1000.0),
    of("km", Dimension::LENGTH, 1_000_000.0),
    of("in", Dimension::LENGTH, 25.4),
    of("g", Dimension::MASS, 1.0),
    of("kg", Dimension::MASS, 1000.0),
    of("lb", Dimension::MASS, 453.592_37),
    of("oz", Dimension::MASS, 28.349_523_125),
    of("deg", Dimension::ANGLE, 1.0),
    of("°", Dimension::ANGLE, 1.0),
    of("rad", Dimension::ANGLE, 180.0 / std::f64::consts::PI),
    of("N", Dimension::FORCE, 1.0),
    of("kN", Dimension::FORCE, 1000.0),
    of("kgf", Dimension::FORCE, 9.806_65),
    of("s", Dimension::TIME, 1.0),
    of("min", Dimension::TIME, 60.0),
    of("h", Dimension::TIME, 3600.0),
    of("d", Dimension::TIME, 86_400.0),
    of("N·m", Dimension::TORQUE, 1000.0),
    of("Nm", Dimension::TORQUE, 1000.0),
    of("in·lb", Dimension::TORQUE, 25.4 * 0.453_592_37 * 9.806_65),
    of("bar", Dimension::PRESSURE, 0.1),
    of("psi", Dimension::PRESSURE, 0.453_592_37 * 9.806_65 / (25.4 * 25.4)),
    of("kPa", Dimension::PRESSURE, 0.001),
    of("MPa", Dimension::PRESSURE, 1.0),
    of("km/h", Dimension::SPEED, 1_000_000.0 / 3600.0),
    of("m/s", Dimension::SPEED, 1000.0),
    of("W", Dimension::POWER, 1000.0),
    of("rpm", Dimension::RATE, 1.0 / 60.0),
    of("%", Dimension::NONE, 0.01),
];

/// The unit written `name`.
pub fn unit(name: &str) -> Option<Unit> {
    UNITS.iter().copied().find(|unit| unit.name == name)
}

/// The unit that computed values of `dimension` are shown in; plain numbers have none.
pub fn shown_in(dimension: Dimension) -> Option<Unit> {
    if dimension == Dimension::NONE {
        return None;
    }
    UNITS.iter().copied().find(|unit| unit.dimension == dimension)
}
