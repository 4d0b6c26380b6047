//! Diagnostics for a screen: each drawn with its places underlined, then what it all comes to.

mod draw;
mod ink;
mod line;
mod sheet;
mod summary;
mod waiting;
pub(crate) mod wrap;

use super::Severity;
use super::found::{self, Found};
use crate::Compiled;
use crate::clean;
use crate::share;
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
    let (mut out, mut mistakes) = (String::new(), 0);
    let (waiting, all): (Vec<_>, Vec<_>) = found::merged(units, only).into_iter().partition(waiting::waits);
    for found in &all {
        // A row of a price list that is left out touches nothing else.
        mistakes += usize::from(found.builds.is_empty() && found.diagnostic.severity == Severity::Error);
    }
    out.push_str(&drawn(&all, &ink, width));
    out.push_str(&waiting::told(&waiting, &ink, width));
    out.push_str(&summary::summary(units, only, mistakes, &ink, width));
    out
}

/// Only the mistakes in the texts.
pub fn mistakes(units: &[Compiled], look: Look) -> String {
    let (ink, width) = (Ink::new(look.color), look.width.clamp(20, 1000));
    let all: Vec<Found> = found::merged(units, None).into_iter().filter(|it| it.builds.is_empty()).collect();
    drawn(&all, &ink, width)
}

/// A line about the check itself.
pub fn notice(words: &str, look: Look) -> String {
    format!("{}\n", Ink::new(look.color).quiet(&clean::words(words)))
}

/// Diagnostics from which on it pays to start another worker.
const WORTH_SHARING: usize = 6;

/// Diagnostics one below the other.
fn drawn(all: &[Found], ink: &Ink, width: usize) -> String {
    let mut told: IndexSet<&str> = IndexSet::new();
    let with_news: Vec<(&Found, Vec<bool>)> =
        all.iter().map(|it| (it, it.diagnostic.cautions.iter().map(|text| told.insert(text)).collect())).collect();
    let pictures = share::among_workers(
        &with_news,
        WORTH_SHARING,
        || (),
        |(), (found, news)| format!("{}\n", draw::drawn(found, ink, width, news)),
    );
    pictures.concat()
}
