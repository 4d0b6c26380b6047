//! What is to be set, found in the text.

use super::Refused;
use super::inserted::{self, Block};
use super::typed::{Typed, typed};
use super::written;
use crate::Compiled;
use crate::clean;
use crate::mistake::nearest;
use crate::model::{BuildId, DeclaredId, Fitted, IndexMap, Model, PartId, Type, Value, Valued};
use crate::source::{Content, File, FileId, Span};
use crate::syntax;
use crate::syntax::tree::{Assign, Item, Name, Origin, ValueNode};

use std::ops::Range;

/// A fact, and what it is to be set to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Setting {
    /// The part; or the build, for a fact of the whole.
    owner: String,
    /// Its fact, or a field of one.
    fact: String,
    /// The value, as typed.
    value: String,
    /// Whether it is a part put into a slot of a build.
    slot: bool,
}

impl Setting {
    /// Reads `PART.FACT=VALUE`.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn read(argument: &str) -> Result<Setting, String> {
        let (path, value) = argument.split_once('=').ok_or("write it as PART.FACT=\"VALUE\"")?;
        let (owner, fact) = path.trim().split_once('.').ok_or("write it as PART.FACT=\"VALUE\": which fact is it?")?;
        if owner.is_empty() || fact.is_empty() || value.trim().is_empty() {
            return Err("write it as PART.FACT=\"VALUE\"; `?` says that it is not known".to_owned());
        }
        Ok(Setting { owner: owner.to_owned(), fact: fact.to_owned(), value: value.trim().to_owned(), slot: false })
    }

    /// A part put into a slot of a build.
    pub fn put(build: &str, slot: &str, part: &str) -> Setting {
        Setting { owner: build.to_owned(), fact: slot.to_owned(), value: part.to_owned(), slot: true }
    }

    fn path(&self) -> String {
        format!("{}.{}", self.owner, self.fact)
    }

    /// Whether both set the same fact, or one of them a field of the other.
    pub(super) fn touches(&self, other: &Setting) -> bool {
        let within =
            |whole: &str, part: &str| part.strip_prefix(whole).is_some_and(|it| it.is_empty() || it.starts_with('.'));
        self.owner == other.owner && (within(&self.fact, &other.fact) || within(&other.fact, &self.fact))
    }

    pub(super) fn collides(&self, later: &Setting) -> String {
        let (first, second) = (clean::words(&self.path()), clean::words(&later.path()));
        match first == second {
            true => format!("`{first}` is set twice: keep one of them"),
            false => format!("`{first}` and `{second}` lie in one another: set the whole in one go"),
        }
    }
}

/// A stretch of a text to be replaced.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Splice {
    /// What is replaced; empty where something is put in.
    pub at: Range<usize>,
    /// By what.
    pub text: String,
    /// The value that stood there.
    pub old: Option<String>,
    /// The value that stands there now.
    pub new: String,
    /// What was kept of the old one.
    pub kept: Option<String>,
}

/// A change of one fact.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// The name of the file.
    pub file: String,
    /// What is set: `PART.FACT`.
    pub path: String,
    /// Its value in the text before; none if it was not written.
    pub old: Option<String>,
    /// Its value in the text now.
    pub new: String,
    /// What was kept of the old value: the tolerance of the measure.
    pub kept: Option<String>,
    splice: Splice,
    /// Where the new value's first byte comes to stand, once all changes are made.
    start: usize,
}

impl Change {
    fn new(file: &str, path: String, splice: Splice) -> Change {
        // What is put in may begin with a line end and the fact's name.
        let lead = splice.text.rfind(&splice.new).unwrap_or(0);
        Change {
            file: file.to_owned(),
            path,
            old: splice.old.clone(),
            new: splice.new.clone(),
            kept: splice.kept.clone(),
            start: splice.at.start + lead,
            splice,
        }
    }

    /// The text with this change made.
    pub fn applied(&self, text: &str) -> String {
        let (before, after) = (text.get(..self.splice.at.start), text.get(self.splice.at.end..));
        format!("{}{}{}", before.unwrap_or(text), self.splice.text, after.unwrap_or(""))
    }

    /// What is replaced, and by what.
    pub(super) fn stretch(&self) -> (Range<usize>, &str) {
        (self.splice.at.clone(), &self.splice.text)
    }

    /// Takes in that a later change moves what stands behind it.
    pub(super) fn move_for(&mut self, later: &Change) {
        if later.splice.at.start <= self.start {
            self.start = (self.start + later.splice.text.len()).saturating_sub(later.splice.at.len());
        }
    }

    /// Whether a stretch of the new text touches what was set.
    pub(super) fn covers(&self, span: Span) -> bool {
        let range = span.range();
        range.start < self.splice.at.start + self.splice.text.len() && self.splice.at.start <= range.end
    }

    /// The line that the value stands in, from 1, in the text with all changes made.
    pub fn line(&self, file: &File) -> usize {
        file.lines().place(&file.text, self.start).line
    }
}

#[derive(Clone, Copy, PartialEq)]
enum Owner {
    Part(PartId),
    Build(BuildId),
}

/// The change that a setting asks for.
pub(super) fn of<E>(units: &[Compiled], setting: &Setting) -> Result<Change, Refused<E>> {
    if setting.slot {
        return slot(units, setting).map_err(Refused::Place);
    }
    let owners: Vec<(&Compiled, Owner)> = units.iter().flat_map(|unit| owners(unit, &setting.owner)).collect();
    let goals = owners.iter().map(|(unit, owner)| Ok((*unit, *owner, Goal::of(&unit.model, *owner, &setting.fact)?)));
    let (found, missed): (Vec<_>, Vec<_>) = goals.partition(Result::is_ok);
    let mut found = found.into_iter().flatten();
    let Some((unit, owner, goal)) = found.next() else {
        let words = missed.into_iter().find_map(Result::err).unwrap_or_else(|| unknown(units, setting));
        return Err(Refused::Place(words));
    };
    let Some((id, file)) = file_of(unit, owner) else { return Err(Refused::Place(unknown(units, setting))) };
    // The same name in two files that don't use each other is two things.
    let other = found.filter_map(|(unit, owner, _)| file_of(unit, owner)).find(|(_, other)| other.name != file.name);
    if let Some((_, other)) = other {
        let (first, second) = (clean::words(&file.name), clean::words(&other.name));
        return Err(Refused::Place(format!(
            "`{}` stands in {first} and in {second}: name one of the files",
            setting.owner
        )));
    }
    if matches!(file.text, Content::Embedded(_)) {
        let words = "it is part of the program's own library, which can't be written: copy it into a file of your own";
        return Err(Refused::Place(format!("`{}`: {words}", setting.owner)));
    }
    let value = typed(&unit.model, &unit.model[goal.declared].kind, &setting.value).map_err(Refused::Value)?;
    let facts = declared(&unit.model, owner);
    let is_fact = |it: &str| facts.contains_key(it);
    let splice = splice(unit, owner, &goal.fact, &goal.fields, id, &file.text, &value, &is_fact);
    let splice = splice.map_err(Refused::Place)?;
    Ok(Change::new(&file.name, setting.path(), splice))
}

/// A part put into a slot: in the build's own text, whatever build it has the slot from.
fn slot(units: &[Compiled], setting: &Setting) -> Result<Change, String> {
    let found = units.iter().find_map(|unit| Some((unit, unit.model.build_named(&setting.owner)?)));
    let (unit, build) = found.ok_or_else(|| unknown(units, setting))?;
    let owner = Owner::Build(build);
    let (id, file) = file_of(unit, owner).ok_or_else(|| unknown(units, setting))?;
    let slots = &unit.model[unit.model[build].assembly].slots;
    let value = Typed { text: setting.value.clone(), node: ValueNode::Name(setting.value.clone()) };
    let splice = splice(unit, owner, &setting.fact, &[], id, &file.text, &value, &|it| slots.contains_key(it))?;
    Ok(Change::new(&file.name, setting.path(), splice))
}

fn owners<'u>(unit: &'u Compiled, name: &str) -> Vec<(&'u Compiled, Owner)> {
    let parts = (0..unit.model.parts.len()).map(PartId);
    let part = parts.into_iter().find(|id| unit.model[*id].name.text == name && !unit.model[*id].undecided);
    let build = unit.model.build_named(name);
    part.map(Owner::Part).into_iter().chain(build.map(Owner::Build)).map(|owner| (unit, owner)).collect()
}

fn name_of(model: &Model, owner: Owner) -> &Name {
    match owner {
        Owner::Part(id) => &model[id].name,
        Owner::Build(id) => &model[id].name,
    }
}

fn file_of(unit: &Compiled, owner: Owner) -> Option<(FileId, &File)> {
    let id = name_of(&unit.model, owner).span.file;
    Some((id, unit.files.get(id)?))
}

/// What is declared of an owner, by name.
fn declared(model: &Model, owner: Owner) -> &IndexMap<String, DeclaredId> {
    match owner {
        Owner::Part(id) => &model[model[id].kind].facts,
        Owner::Build(id) => &model[model[id].assembly].facts,
    }
}

fn value_of<'m>(model: &'m Model, owner: Owner, fact: &str) -> Option<&'m Valued> {
    match owner {
        Owner::Part(id) => model[id].facts.get(declared(model, owner).get_index_of(fact)?),
        Owner::Build(id) => model[id].facts.get(fact),
    }
}

/// A fact of an owner, or a field of one.
struct Goal<'m> {
    /// The fact's name.
    fact: String,
    /// The standards that it stands in, from the outside, each with the number of its field.
    fields: Vec<(&'m Fitted, usize)>,
    /// What it is declared as.
    declared: DeclaredId,
}

impl<'m> Goal<'m> {
    fn of(model: &'m Model, owner: Owner, path: &str) -> Result<Goal<'m>, String> {
        let facts = declared(model, owner);
        let name = &name_of(model, owner).text;
        if let Some(id) = facts.get(path) {
            return Ok(Goal { fact: path.to_owned(), fields: Vec::new(), declared: *id });
        }
        let mut cuts = path.match_indices('.').filter_map(|(at, _)| path.split_at_checked(at)).rev();
        let Some((head, rest)) = cuts.find(|(head, _)| facts.contains_key(*head)) else {
            return Err(no_fact(model, owner, path));
        };
        let mut valued = value_of(model, owner, head);
        let (mut at, mut fields, mut id) = (head.to_owned(), Vec::new(), facts.get(head).copied());
        for field in rest.split('.').skip(1) {
            let fitted = match valued.map(|it| &it.value) {
                Some(Value::Standard(Some(fitted))) => fitted,
                _ if !matches!(id.map(|id| &model[id].kind), Some(Type::Standard(_))) => {
                    return Err(format!("`{name}.{at}` has no parts of its own, so no `{}`", clean::words(field)));
                }
                _ => {
                    return Err(format!(
                        "what `{name}.{at}` is, is not known yet: set that first, such as {}",
                        whole(model, id)
                    ));
                }
            };
            let known = &model[fitted.standard].fields;
            let Some(number) = known.iter().position(|id| model[*id].name.text == field) else {
                let names: Vec<&str> = known.iter().map(|id| model[*id].name.text.as_str()).collect();
                let standard = &model[fitted.standard].name.text;
                return Err(format!("`{standard}` has no field `{}`{}", clean::words(field), near(field, &names)));
            };
            fields.push((fitted.as_ref(), number));
            valued = fitted.fields.get(number);
            id = known.get(number).copied();
            at = format!("{at}.{field}");
        }
        let declared = id.ok_or_else(|| no_fact(model, owner, path))?;
        Ok(Goal { fact: head.to_owned(), fields, declared })
    }
}

fn whole(model: &Model, id: Option<DeclaredId>) -> String {
    let first = id.and_then(|id| match model[id].kind {
        Type::Standard(interface) => model[interface].standards.first().copied(),
        _ => None,
    });
    first.map_or(String::new(), |it| format!("`{}`", model.standard_example(it)))
}

fn near(name: &str, known: &[&str]) -> String {
    match nearest(name, known.iter().copied()) {
        Some(near) => format!(": did you mean `{near}`?"),
        None if known.is_empty() => ": it has none".to_owned(),
        None if known.len() <= 12 => format!(": there are `{}`", known.join("`, `")),
        None => String::new(),
    }
}

fn no_fact(model: &Model, owner: Owner, path: &str) -> String {
    let shown = clean::words(path);
    let mut known: Vec<String> = declared(model, owner).keys().cloned().collect();
    let (what, more) = match owner {
        Owner::Part(id) => (model[model[id].kind].name.text.as_str(), ""),
        Owner::Build(id) => {
            let assembly = &model[model[id].assembly];
            if assembly.slots.contains_key(path) {
                return format!("`{shown}` is a slot: a part is put into it in the text of the build, not set");
            }
            (assembly.name.text.as_str(), "; a fact of a part is set by the name of the part")
        }
    };
    // Fields of what stands there are facts too, to the person who sets them.
    for (fact, id) in declared(model, owner) {
        if let (Type::Standard(_), Some(Value::Standard(Some(fitted)))) =
            (&model[*id].kind, value_of(model, owner, fact).map(|it| &it.value))
        {
            known.extend(model[fitted.standard].fields.iter().map(|id| format!("{fact}.{}", model[*id].name.text)));
        }
    }
    let known: Vec<&str> = known.iter().map(String::as_str).collect();
    let near = match nearest(path, known.iter().copied()) {
        Some(near) => format!(": did you mean `{near}`?"),
        None => format!(": `cotter explain {what}` lists what there is"),
    };
    format!("`{shown}` is not a fact of `{}`, a {what}{near}{more}", name_of(model, owner).text)
}

/// Nothing has the name of the owner: what could be meant.
fn unknown(units: &[Compiled], setting: &Setting) -> String {
    let path = setting.path();
    // A part of a price list has a dot in its name.
    let listed =
        units.iter().flat_map(|unit| &unit.model.parts).filter(|it| it.name.text.contains('.') && !it.undecided);
    if let Some(part) =
        listed.into_iter().find(|it| path.strip_prefix(&it.name.text).is_some_and(|rest| rest.starts_with('.')))
    {
        let name = &part.name.text;
        return format!("`{name}` is a line of a price list, which is only read: write it as a part of your own first");
    }
    // A path from a build, as reports have it.
    for unit in units {
        for build in &unit.model.builds {
            let slots = unit.model[build.assembly].slots.keys().zip(&build.slots);
            for (slot, filled) in slots {
                let rest = path.strip_prefix(slot.as_str()).and_then(|rest| rest.strip_prefix('.'));
                if let (Some(rest), Some(filled)) = (rest, filled)
                    && !unit.model[filled.part].undecided
                {
                    let (build, part) = (&build.name.text, &unit.model[filled.part].name.text);
                    return format!(
                        "there is no part `{}`; in {build}, `{slot}` is {part}: set `{part}.{rest}`",
                        setting.owner
                    );
                }
            }
        }
    }
    let model = |unit: &'_ Compiled| -> Vec<String> {
        let parts = unit.model.parts.iter().filter(|it| !it.undecided).map(|it| it.name.text.clone());
        parts.chain(unit.model.builds.iter().map(|it| it.name.text.clone())).collect()
    };
    let known: Vec<String> = units.iter().flat_map(model).collect();
    let known: Vec<&str> = known.iter().map(String::as_str).collect();
    format!("there is no part or build `{}`{}", clean::words(&setting.owner), near(&setting.owner, &known))
}

#[allow(clippy::too_many_arguments)]
fn splice(
    unit: &Compiled,
    owner: Owner,
    fact: &str,
    fields: &[(&Fitted, usize)],
    id: FileId,
    text: &str,
    value: &Typed,
    is_fact: &dyn Fn(&str) -> bool,
) -> Result<Splice, String> {
    let model = &unit.model;
    let name = name_of(model, owner);
    let tree = syntax::parse(id, text).tree;
    let gone = || format!("`{}` can't be found in its file", name.text);
    let (header, assigns, span): (Span, &[Assign], Span) = tree
        .items
        .iter()
        .find_map(|item| match item {
            Item::Part(part) if part.name.span == name.span => {
                Some((part.doc.as_ref().map_or(part.kind.span, |it| it.span), part.facts.as_slice(), part.span))
            }
            Item::Build(build) if build.name.span == name.span => {
                let origin = match &build.origin {
                    Origin::Assembly(name) | Origin::From(name) => name.span,
                };
                Some((build.doc.as_ref().map_or(origin, |it| it.span), build.assigns.as_slice(), build.span))
            }
            _ => None,
        })
        .ok_or_else(gone)?;
    if let Some(assign) = assigns.iter().find(|it| it.path.text == fact) {
        return written::within(model, text, &assign.value, fields, value);
    }
    if !fields.is_empty() {
        let whole = value_of(model, owner, fact).and_then(|it| it.written.as_deref()).unwrap_or_default();
        let owner = &name.text;
        return Err(format!(
            "`{owner}.{fact}` is not written there, it is only taken as `{whole}`: set that whole, with its measures"
        ));
    }
    let block = Block { header: header.range().end, span: span.range(), assigns, is_fact };
    inserted::line(text, &block, fact, value)
}
