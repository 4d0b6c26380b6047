//! Joints that only wait for parts not chosen yet: told together, by the slot that is to be filled.

use super::super::Severity;
use super::found::Found;
use super::ink::Ink;
use super::wrap;
use crate::clean;
use indexmap::IndexMap;

/// Whether nothing but parts not chosen yet keeps a joint open.
pub(super) fn waits(found: &Found) -> bool {
    found.diagnostic.waits.is_some()
}

/// One paragraph for the builds that the same joints wait in, a line for each slot.
pub(super) fn told(waiting: &[Found], ink: &Ink, width: usize) -> String {
    let mut by_builds: IndexMap<&[&str], IndexMap<&str, Vec<&str>>> = IndexMap::new();
    for found in waiting {
        let Some((title, slots)) = &found.diagnostic.waits else { continue };
        let by_slot = by_builds.entry(found.builds.as_slice()).or_default();
        // Under the first slot only: what waits for two parts is told once.
        by_slot.entry(slots.first().map_or("", String::as_str)).or_default().push(title);
    }
    let mut out = String::new();
    for (builds, by_slot) in by_builds {
        let count: usize = by_slot.values().map(Vec::len).sum();
        let joints = if count == 1 { "1 joint waits".to_owned() } else { format!("{count} joints wait") };
        let head = format!("warning[joint.open]: {joints} for parts that are not chosen yet");
        out.push_str(&ink.by(Some(Severity::Warning), &wrap::filled(&head, width, "", "  ")));
        out.push('\n');
        for (slot, titles) in by_slot {
            let line = format!("`{}`: {}", clean::words(slot), clean::words(&titles.join("; ")));
            out.push_str(&wrap::filled(&line, width, "  ", "    "));
            out.push('\n');
        }
        let word = if builds.len() == 1 { "build" } else { "builds" };
        out.push_str(&wrap::filled(&clean::words(&format!("{word} {}", builds.join(", "))), width, "  ", "    "));
        out.push_str("\n\n");
    }
    out
}
