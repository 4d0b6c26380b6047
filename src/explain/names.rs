//! Everything that has a page, by its names.

use crate::calc;
use crate::mistake::{CODES, Code, nearest_few};
use crate::model::*;
use crate::quantity::Dimension;

/// Something that has a page.
#[derive(Clone, Debug)]
pub(super) enum Thing {
    Code(&'static Code),
    /// A word of the language.
    Word(&'static str),
    Rule(JointId, usize),
    Fastening(JointId, usize),
    Joint(JointId),
    Interface(InterfaceId),
    Standard(StandardId),
    Kind(KindId),
    /// A fact, port or field, and what it is a fact of.
    Fact(Of, DeclaredId),
    Assembly(AssemblyId),
    Slot(AssemblyId, SlotId),
    /// A place in an assembly where a joint is made.
    Join(AssemblyId, usize),
    Table(TableId),
    Function(FunctionId),
    /// A function of `calc`.
    Calc(usize),
    /// A function that every rule has.
    Builtin(&'static str),
    /// A type that needs no declaration: a dimension, or `money`, `text`, `flag`.
    Type(&'static str),
    Choice(ChoiceId),
    Caution(String),
}

/// What a fact belongs to.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Of {
    /// A part of this kind.
    Kind(KindId),
    /// A standard.
    Standard(StandardId),
    /// Any part.
    AnyPart,
    /// A build.
    Build(AssemblyId),
}

/// A thing with its names.
pub(super) struct Entry {
    /// The name that is listed.
    pub name: String,
    /// Shorter names that find it too.
    pub short: Vec<String>,
    /// What it is.
    pub thing: Thing,
    /// That, in a line.
    pub doc: String,
    /// Whether it is listed; facts of kinds and standards are on the pages of those.
    pub listed: bool,
}

/// Everything that has a page, in the order of the list.
pub(super) fn entries(model: &Model) -> Vec<Entry> {
    let mut all = Vec::new();
    let mut add = |name: &str, short: &[&str], thing: Thing, doc: &str| {
        let short = short.iter().map(|it| (*it).to_owned()).collect();
        all.push(Entry { name: name.to_owned(), short, thing, doc: doc.to_owned(), listed: true });
    };
    for (number, it) in model.assemblies.iter().enumerate() {
        let id = AssemblyId(number);
        add(&it.name.text, &[], Thing::Assembly(id), &it.about.doc);
        for (slot, it) in it.slots.values().enumerate() {
            add(&it.name.text, &[], Thing::Slot(id, SlotId(slot)), &it.doc);
        }
        for (join, it) in it.joins.iter().enumerate() {
            add(&it.name.text, &[], Thing::Join(id, join), &it.doc);
        }
    }
    for (number, it) in model.kinds.iter().enumerate() {
        add(&it.name.text, &[], Thing::Kind(KindId(number)), &it.about.doc);
    }
    for (number, it) in model.interfaces.iter().enumerate() {
        add(&it.name.text, &[], Thing::Interface(InterfaceId(number)), &it.about.doc);
        for id in &it.standards {
            let standard = &model[*id];
            let whole = format!("{}.{}", it.name.text, standard.name.text);
            add(&whole, &[&standard.name.text], Thing::Standard(*id), &standard.about.doc);
        }
    }
    for (number, it) in model.joints.iter().enumerate() {
        let id = JointId(number);
        add(&it.name.text, &[], Thing::Joint(id), &it.about.doc);
        for (rule, it) in it.rules.iter().enumerate() {
            add(&it.code.text, &[], Thing::Rule(id, rule), &it.words.about.doc);
        }
        for (number, fastening) in it.fastenings.iter().enumerate() {
            let whole = format!("{}.{}", it.name.text, fastening.name.text);
            add(&whole, &[&fastening.name.text], Thing::Fastening(id, number), &fastening.words.about.doc);
        }
    }
    for (number, it) in model.choices.iter().enumerate() {
        let members: Vec<&str> = it.members.iter().map(|(name, _)| name.as_str()).collect();
        add(&it.name.text, &members, Thing::Choice(ChoiceId(number)), &it.about.doc);
    }
    for (number, it) in model.tables.iter().enumerate() {
        add(&it.name.text, &[], Thing::Table(TableId(number)), &it.about.doc);
    }
    for (number, it) in model.functions.iter().enumerate() {
        add(&it.name.text, &[], Thing::Function(FunctionId(number)), &it.doc);
    }
    for (number, it) in calc::FUNCTIONS.iter().enumerate() {
        add(it.name, &[], Thing::Calc(number), it.doc);
    }
    for (name, doc) in super::tables::BUILTINS {
        add(name, &[], Thing::Builtin(name), doc);
    }
    for name in Dimension::NAMED.iter().map(|(name, _)| *name).chain(["money", "text", "flag"]) {
        add(name, &[], Thing::Type(name), &super::tables::type_doc(name));
    }
    for (name, it) in &model.cautions {
        add(name, &[], Thing::Caution(name.clone()), &it.text);
    }
    for (name, doc, _) in super::words::WORDS {
        add(name, &[], Thing::Word(name), doc);
    }
    for code in CODES {
        add(code.id, &[], Thing::Code(code), code.title);
    }
    facts(model, &mut all);
    all
}

fn facts(model: &Model, all: &mut Vec<Entry>) {
    let mut add = |name: String, short: Vec<String>, of: Of, id: DeclaredId, listed: bool| {
        let doc = model[id].about.doc.clone();
        all.push(Entry { name, short, thing: Thing::Fact(of, id), doc, listed });
    };
    for id in &model.common {
        add(model[*id].name.text.clone(), Vec::new(), Of::AnyPart, *id, true);
    }
    for (number, assembly) in model.assemblies.iter().enumerate() {
        for (name, id) in &assembly.facts {
            let short = vec![format!("{}.{name}", assembly.name.text)];
            add(name.clone(), short, Of::Build(AssemblyId(number)), *id, true);
        }
    }
    for (number, kind) in model.kinds.iter().enumerate() {
        for (name, id) in kind.facts.iter().filter(|(_, id)| !model.common.contains(id)) {
            let whole = format!("{}.{name}", kind.name.text);
            add(whole, vec![name.clone()], Of::Kind(KindId(number)), *id, false);
        }
    }
    for (number, standard) in model.standards.iter().enumerate() {
        for id in &standard.fields {
            let field = format!("{}.{}", standard.name.text, model[*id].name.text);
            let whole = format!("{}.{field}", model[standard.interface].name.text);
            add(whole, vec![field], Of::Standard(StandardId(number)), *id, false);
        }
    }
}

/// Every name that `list` shows.
pub fn names(model: &Model) -> Vec<String> {
    let listed = entries(model).into_iter().filter(|it| it.listed);
    listed.map(|it| it.name).collect()
}

/// All that a name may mean: by its full name, else by a shorter one, else by a path into an assembly.
pub(super) fn find(model: &Model, name: &str) -> Vec<Thing> {
    let entries = entries(model);
    let lower = name.to_lowercase();
    // A full name and a member of a choice or a fact may be spelt alike: both are shown, the full name first.
    let by = |test: &dyn Fn(&Entry) -> bool| -> Vec<Thing> {
        entries.iter().filter(|it| test(it)).map(|it| it.thing.clone()).collect()
    };
    let mut found = by(&|it| it.name == name);
    found.extend(by(&|it| it.name != name && it.short.iter().any(|short| short == name)));
    if found.is_empty() {
        found = by(&|it| it.name.to_lowercase() == lower || it.short.iter().any(|it| it.to_lowercase() == lower));
    }
    if found.is_empty() {
        found = by_path(model, name);
    }
    found
}

/// What a path from a build means, as diagnostics print it: `slot.fact`, `slot.fact.field`, `kind.fact.field`.
fn by_path(model: &Model, path: &str) -> Vec<Thing> {
    let mut found = Vec::new();
    let mut add = |kind: KindId, rest: &str| {
        for thing in fact_of(model, kind, rest) {
            let same = |it: &Thing| matches!((it, &thing), (Thing::Fact(a, b), Thing::Fact(c, d)) if a == c && b == d);
            if !found.iter().any(same) {
                found.push(thing);
            }
        }
    };
    for (head, rest) in splits(path) {
        for assembly in &model.assemblies {
            if let Some(slot) = assembly.slots.get(head) {
                slot.kinds.iter().for_each(|kind| add(*kind, rest));
            }
        }
        for (number, kind) in model.kinds.iter().enumerate() {
            if kind.name.text == head {
                add(KindId(number), rest);
            }
        }
    }
    found
}

/// The fact of a kind that a path names, or the fields of that fact's standards.
fn fact_of(model: &Model, kind: KindId, path: &str) -> Vec<Thing> {
    if let Some(id) = model[kind].facts.get(path) {
        let of = if model.common.contains(id) { Of::AnyPart } else { Of::Kind(kind) };
        return vec![Thing::Fact(of, *id)];
    }
    let mut found = Vec::new();
    for (head, field) in splits(path) {
        let Some(id) = model[kind].facts.get(head) else { continue };
        let Type::Standard(interface) = model[*id].kind else { continue };
        for standard in &model[interface].standards {
            let fields = model[*standard].fields.iter().filter(|id| model[**id].name.text == field);
            found.extend(fields.map(|id| Thing::Fact(Of::Standard(*standard), *id)));
        }
    }
    found
}

/// The ways to cut a dotted path in two, longest beginning first.
fn splits(path: &str) -> impl Iterator<Item = (&str, &str)> {
    path.rmatch_indices('.').map(|(at, _)| path.split_at(at)).map(|(head, rest)| (head, rest.trim_start_matches('.')))
}

/// The known names nearest to one that is not known, nearest first.
pub(super) fn near(model: &Model, name: &str) -> Vec<String> {
    let entries = entries(model);
    let known = entries.iter().flat_map(|it| std::iter::once(&it.name).chain(&it.short)).map(String::as_str);
    nearest_few(name, known, 4).into_iter().map(str::to_owned).collect()
}
