//! Published figures and other derivations of spokes, tyres, pressure, braking.

use super::Published;

pub fn published() -> Vec<Published> {
    Vec::new()
}
