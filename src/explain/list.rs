//! The list of everything that has a page, grouped by what it is.

use super::names::{self, Entry, Thing};
use super::paper::WIDTH;
use crate::clean;
use crate::model::Model;

/// Widest column of names; longer ones push their line out.
const NAME: usize = 34;

/// A sort of thing, and which things are of it.
type Group = (&'static str, fn(&Thing) -> bool);

const GROUPS: &[Group] = &[
    ("Assemblies: what a build is a build of", |it| matches!(it, Thing::Assembly(_))),
    ("Slots: where parts go", |it| matches!(it, Thing::Slot(..))),
    ("Kinds of part", |it| matches!(it, Thing::Kind(_))),
    ("Facts that every part or build may have", |it| matches!(it, Thing::Fact(..))),
    ("Interfaces: families of standards", |it| matches!(it, Thing::Interface(_))),
    ("Standards", |it| matches!(it, Thing::Standard(_))),
    ("Choices: closed lists of names", |it| matches!(it, Thing::Choice(_))),
    ("Joints: rules of a meeting, and how it is made", |it| matches!(it, Thing::Joint(_))),
    ("Places where joints are made", |it| matches!(it, Thing::Join(..))),
    ("Rules", |it| matches!(it, Thing::Rule(..))),
    ("Fastenings", |it| matches!(it, Thing::Fastening(..))),
    ("Cautions", |it| matches!(it, Thing::Caution(_))),
    ("Tables", |it| matches!(it, Thing::Table(_))),
    ("Functions of rules", |it| matches!(it, Thing::Function(_) | Thing::Calc(_) | Thing::Builtin(_))),
    ("Types", |it| matches!(it, Thing::Type(_))),
    ("Words of the language", |it| matches!(it, Thing::Word(_))),
    ("Mistakes, and findings of the compiler's own", |it| matches!(it, Thing::Code(_))),
];

/// The list of everything that has a page.
pub fn list(model: &Model) -> String {
    let entries = names::entries(model);
    let mut out = String::from(
        "cotter explain NAME shows the page of any name below. A fact of a kind has one too, such as\n\
         cotter explain KIND.FACT, and so has a path from a build, such as cotter explain SLOT.FACT.\n",
    );
    for (heading, of) in GROUPS {
        let group: Vec<&Entry> = entries.iter().filter(|it| it.listed && of(&it.thing)).collect();
        if group.is_empty() {
            continue;
        }
        out.push_str(&format!("\n{heading}\n"));
        let width = group.iter().map(|it| it.name.chars().count()).filter(|it| *it <= NAME).max().unwrap_or(0);
        for entry in group {
            let line = clean::words(&format!("  {:width$}  {}", entry.name, entry.doc));
            out.push_str(cut(&line).trim_end());
            out.push('\n');
        }
    }
    out
}

/// A line cut to the width of a page, with a mark where something is left out.
fn cut(line: &str) -> String {
    if textwrap::core::display_width(line) <= WIDTH {
        return line.to_owned();
    }
    let mut kept = String::new();
    for mark in line.chars() {
        if textwrap::core::display_width(&kept) + 2 > WIDTH {
            break;
        }
        kept.push(mark);
    }
    format!("{}…", kept.trim_end())
}
