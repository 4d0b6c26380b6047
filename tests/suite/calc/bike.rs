//! Published figures and other derivations of geometry and fit.

use super::Published;

pub fn published() -> Vec<Published> {
    Vec::new()
}
