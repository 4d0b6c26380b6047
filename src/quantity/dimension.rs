//! Dimensions: what a number measures.

use serde::{Deserialize, Serialize};

/// Exponents of length, mass, angle, force and time. A plain number has all of them zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize)]
pub struct Dimension([i8; 5]);

impl Dimension {
    /// A plain number: a count, a ratio, a share.
    pub const NONE: Dimension = Dimension([0, 0, 0, 0, 0]);
    /// Length, in mm.
    pub const LENGTH: Dimension = Dimension([1, 0, 0, 0, 0]);
    /// Mass, in g.
    pub const MASS: Dimension = Dimension([0, 1, 0, 0, 0]);
    /// Angle, in degrees.
    pub const ANGLE: Dimension = Dimension([0, 0, 1, 0, 0]);
    /// Force, in N.
    pub const FORCE: Dimension = Dimension([0, 0, 0, 1, 0]);
    /// Time, in s.
    pub const TIME: Dimension = Dimension([0, 0, 0, 0, 1]);
    /// Torque, in N·mm.
    pub const TORQUE: Dimension = Dimension([1, 0, 0, 1, 0]);
    /// Pressure, in N/mm².
    pub const PRESSURE: Dimension = Dimension([-2, 0, 0, 1, 0]);
    /// Speed, in mm/s.
    pub const SPEED: Dimension = Dimension([1, 0, 0, 0, -1]);
    /// Power, in N·mm/s.
    pub const POWER: Dimension = Dimension([1, 0, 0, 1, -1]);
    /// Frequency, in 1/s.
    pub const RATE: Dimension = Dimension([0, 0, 0, 0, -1]);

    /// The names that a type may use, with their dimensions.
    pub const NAMED: &[(&'static str, Dimension)] = &[
        ("length", Self::LENGTH),
        ("mass", Self::MASS),
        ("angle", Self::ANGLE),
        ("force", Self::FORCE),
        ("time", Self::TIME),
        ("torque", Self::TORQUE),
        ("pressure", Self::PRESSURE),
        ("speed", Self::SPEED),
        ("power", Self::POWER),
        ("rate", Self::RATE),
        ("ratio", Self::NONE),
        ("number", Self::NONE),
    ];

    /// The dimension of a product; `None` if an exponent leaves its range.
    pub fn times(self, other: Dimension) -> Option<Dimension> {
        self.combine(other, i8::checked_add)
    }

    /// The dimension of a quotient; `None` if an exponent leaves its range.
    pub fn over(self, other: Dimension) -> Option<Dimension> {
        self.combine(other, i8::checked_sub)
    }

    /// The dimension of a square root; `None` if an exponent is odd.
    pub fn root(self) -> Option<Dimension> {
        self.0.iter().all(|e| e % 2 == 0).then(|| Dimension(self.0.map(|e| e / 2)))
    }

    fn combine(self, other: Dimension, by: fn(i8, i8) -> Option<i8>) -> Option<Dimension> {
        let mut all = [0; 5];
        for ((slot, a), b) in all.iter_mut().zip(self.0).zip(other.0) {
            *slot = by(a, b)?;
        }
        Some(Dimension(all))
    }

    /// How a message names it: `a length`, `a plain number`.
    pub fn words(self) -> String {
        match Self::NAMED.iter().find(|(_, dimension)| *dimension == self) {
            Some(("ratio" | "number", _)) => "a plain number".to_owned(),
            Some((name, _)) if name.starts_with(['a', 'e', 'i', 'o', 'u']) => format!("an {name}"),
            Some((name, _)) => format!("a {name}"),
            None => self.formula(),
        }
    }

    fn formula(self) -> String {
        let names = ["length", "mass", "angle", "force", "time"];
        let factors: Vec<String> = names
            .iter()
            .zip(self.0)
            .filter(|(_, exponent)| *exponent != 0)
            .map(|(name, exponent)| if exponent == 1 { (*name).to_owned() } else { format!("{name}^{exponent}") })
            .collect();
        factors.join("·")
    }
}
