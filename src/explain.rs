//! What a name means: codes, standards, kinds, joints and the rest of the library, as pages for a terminal.
//!
//! [`page`] and [`list`] are the doors. A name may mean several things (a kind and a slot, a standard of two interfaces);
//! its page shows all of them in turn.

mod assemblies;
mod choices;
mod facts;
mod fastenings;
mod joints;
mod kinds;
mod list;
mod looks;
mod mistakes;
mod names;
mod paper;
mod rules;
mod source;
mod standards;
mod tables;
mod words;
mod works;

use crate::model::Model;
use crate::source::{Files, Span};
use names::Thing;
use paper::Paper;

pub use list::list;
pub use names::names;

/// What a page is made of: the texts, and what they declare.
#[derive(Clone, Copy)]
struct Known<'k> {
    files: &'k Files,
    model: &'k Model,
}

impl<'k> Known<'k> {
    /// The place of a definition: `library:a.cotter:40`; nothing for what the compiler itself declares.
    fn place(self, span: Span) -> Option<String> {
        let file = self.files.get(span.file)?;
        Some(format!("{}:{}", file.name, file.lines().place(&file.text, span.start as usize).line))
    }

    /// What stands under a heading: what sort of thing it is, and where it is declared.
    fn declared(self, what: &str, span: Span) -> String {
        match self.place(span) {
            Some(place) => format!("{what} ({place})"),
            None => what.to_owned(),
        }
    }
}

/// The page of `name`: every meaning that it has, each under its heading.
///
/// # Errors
/// When nothing is called that: the nearest known names, nearest first.
pub fn page(files: &Files, model: &Model, name: &str) -> Result<String, Vec<String>> {
    let known = Known { files, model };
    let found = names::find(model, name);
    if found.is_empty() {
        return Err(names::near(model, name));
    }
    let mut paper = Paper::default();
    for thing in &found {
        write(known, thing, &mut paper);
    }
    Ok(paper.done())
}

fn write(known: Known, thing: &Thing, paper: &mut Paper) {
    match thing {
        Thing::Code(code) => mistakes::page(code, paper),
        Thing::Word(name) => words::page(name, paper),
        Thing::Rule(joint, number) => rules::page(known, *joint, *number, paper),
        Thing::Fastening(joint, number) => fastenings::page(known, *joint, *number, paper),
        Thing::Joint(id) => joints::page(known, *id, paper),
        Thing::Interface(id) => standards::interface(known, *id, paper),
        Thing::Standard(id) => standards::standard(known, *id, paper),
        Thing::Kind(id) => kinds::page(known, *id, paper),
        Thing::Fact(of, id) => facts::page(known, of, *id, paper),
        Thing::Assembly(id) => assemblies::assembly(known, *id, paper),
        Thing::Slot(assembly, slot) => assemblies::slot(known, *assembly, *slot, paper),
        Thing::Join(assembly, number) => assemblies::join(known, *assembly, *number, paper),
        Thing::Table(id) => tables::table(known, *id, paper),
        Thing::Function(id) => tables::function(known, *id, paper),
        Thing::Calc(number) => tables::calc(*number, paper),
        Thing::Builtin(name) => tables::builtin(name, paper),
        Thing::Type(name) => tables::type_of(name, paper),
        Thing::Choice(id) => choices::choice(known, *id, paper),
        Thing::Caution(name) => choices::caution(known, name, paper),
    }
}
