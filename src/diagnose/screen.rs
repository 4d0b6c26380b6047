//! Diagnostics for a screen: each drawn with its places underlined, then what it all comes to.

mod draw;
mod ink;
mod line;
mod sheet;
mod summary;
mod waiting;
pub(crate) mod wrap;

use super::{Severity, found};
use crate::Compiled;
use indexmap::IndexSet;
use ink::Ink;

/// How a screen shows.
#[derive(Clone, Copy, Debug)]
pub struct Look {
    /// With colours.
    pub color: bool,
    /// So many columns.
    pub width: usize,
}

/// A check for the screen: diagnostics, then a line for each build. With `only`, those of that build and of none.
pub fn report(units: &[Compiled], only: Option<&str>, look: Look) -> String {
    let (ink, width) = (Ink::new(look.color), look.width.clamp(20, 1000));
    let (mut out, mut mistakes, mut told) = (String::new(), 0, IndexSet::new());
    let (waiting, all): (Vec<_>, Vec<_>) = found::merged(units, only).into_iter().partition(waiting::waits);
    for found in all {
        // A row of a price list that is left out touches nothing else.
        mistakes += usize::from(found.builds.is_empty() && found.diagnostic.severity == Severity::Error);
        out.push_str(&draw::drawn(&found, &ink, width, &mut told));
        out.push('\n');
    }
    out.push_str(&waiting::told(&waiting, &ink, width));
    out.push_str(&summary::summary(units, only, mistakes, &ink, width));
    out
}

/// Only the mistakes in the texts.
pub fn mistakes(units: &[Compiled], look: Look) -> String {
    let (ink, width, mut told) = (Ink::new(look.color), look.width.clamp(20, 1000), IndexSet::new());
    let all = found::merged(units, None).into_iter().filter(|it| it.builds.is_empty());
    all.map(|it| format!("{}\n", draw::drawn(&it, &ink, width, &mut told))).collect()
}
