//! Which joints a build has: joins whose slots are filled, split in two where an adapter stands between.

use super::eval::{self, Eval, Reading};
use super::verdict::Use;
use crate::model::{Argument, Build, Join, Model, PartId, SlotId, Trail, Value, Valued};
use crate::quantity::Truth;

/// A joint of a build, before it is judged.
pub(super) struct Bound<'m> {
    /// The join it is an occurrence of.
    pub join: &'m Join,
    /// Its name: that of the join, with `.adapter` for the adapter's own seat.
    pub name: String,
    /// Values of the joint's parameters.
    pub parameters: Vec<Valued>,
    /// Where those that are facts of parts come from.
    pub uses: Vec<Use>,
    /// Facts on which it hangs whether the joint is there at all.
    pub doubt: Option<Trail>,
}

/// Every joint of a build, in the order of its assembly.
pub(super) fn bound<'m>(model: &'m Model, build: &Build) -> Vec<Bound<'m>> {
    model[build.assembly].joins.iter().flat_map(|join| occurrences(model, build, join)).collect()
}

/// The joint of this name; none if the build has none of it.
pub(super) fn named<'m>(model: &'m Model, build: &Build, name: &str) -> Option<Bound<'m>> {
    let joins = model[build.assembly].joins.iter();
    let own = joins
        .filter(|join| name.strip_prefix(join.name.text.as_str()).is_some_and(|it| it.is_empty() || it == ".adapter"));
    own.flat_map(|join| occurrences(model, build, join)).find(|it| it.name == name)
}

pub(super) fn occurrences<'m>(model: &'m Model, build: &Build, join: &'m Join) -> Vec<Bound<'m>> {
    let doubt = match join.when.as_ref().map(|when| Eval::new(model, build, &[], &[], Reading::default()).answer(when))
    {
        None | Some((Truth::Yes, _)) => None,
        Some((Truth::No, _)) => return Vec::new(),
        Some((Truth::Open, from)) => Some(from),
    };
    let Some((parameters, uses)) = arguments(model, build, join) else { return Vec::new() };
    let whole = Bound { join, name: join.name.text.clone(), parameters, uses, doubt };
    let adapter = join.through.as_ref().and_then(|through| Some((through, part_in(build, through.slot)?)));
    let Some((through, adapter)) = adapter else { return vec![whole] };
    let slot = slot_name(model, build, through.slot);
    let port = |name: &str| {
        let value = eval::fact(model, &Valued::plain(Value::Part(adapter)), name).into_owned();
        (value, Use { slot: slot.clone(), fact: Some(name.to_owned()), part: adapter, optional: false })
    };
    let replaced = |(number, name): &(usize, String), suffix: &str| {
        let (value, own) = port(name);
        let mut parameters = whole.parameters.clone();
        if let Some(place) = parameters.get_mut(*number) {
            *place = value;
        }
        let replaced = replaced_slot(join, *number);
        let mut uses: Vec<Use> = whole
            .uses
            .iter()
            .filter(|it| {
                Some((it.slot.as_str(), it.fact.as_deref()))
                    != replaced.as_ref().map(|(slot, fact)| (slot_of(model, build, *slot), Some(fact.as_str())))
            })
            .cloned()
            .collect();
        uses.push(own);
        Bound { join, name: format!("{}{suffix}", join.name.text), parameters, uses, doubt: whole.doubt.clone() }
    };
    // First the adapter in its seat, then what it carries.
    vec![replaced(&through.first, ".adapter"), replaced(&through.second, "")]
}

fn replaced_slot(join: &Join, number: usize) -> Option<(SlotId, String)> {
    match join.arguments.get(number) {
        Some(Some(Argument::Fact(slot, fact))) => Some((*slot, fact.clone())),
        _ => None,
    }
}

fn slot_of<'m>(model: &'m Model, build: &Build, slot: SlotId) -> &'m str {
    model[build.assembly].slots.get_index(slot.0).map_or("", |(name, _)| name)
}

fn slot_name(model: &Model, build: &Build, slot: SlotId) -> String {
    slot_of(model, build, slot).to_owned()
}

fn part_in(build: &Build, slot: SlotId) -> Option<PartId> {
    build.slots.get(slot.0).copied().flatten().map(|it| it.part)
}

/// Values of the parameters; none when a slot that the joint needs is empty, or its part has no such port.
fn arguments(model: &Model, build: &Build, join: &Join) -> Option<(Vec<Valued>, Vec<Use>)> {
    let takes = &model[join.joint].takes;
    let mut values = Vec::with_capacity(takes.len());
    let mut uses = Vec::new();
    for (parameter, argument) in takes.iter().zip(&join.arguments) {
        let optional = parameter.optional;
        let value = match argument {
            None => Valued::plain(Value::Absent),
            Some(Argument::Fixed(value)) => value.clone(),
            Some(Argument::Whole(name)) => build.facts.get(name).cloned().unwrap_or(Valued::plain(Value::Absent)),
            Some(Argument::Slot(slot)) => match part_in(build, *slot) {
                Some(part) => {
                    uses.push(Use { slot: slot_name(model, build, *slot), fact: None, part, optional });
                    Valued::plain(Value::Part(part))
                }
                None if optional => Valued::plain(Value::Absent),
                None => return None,
            },
            Some(Argument::Fact(slot, fact)) => match part_in(build, *slot) {
                Some(part) => {
                    let (head, field) = split_field(model, part, fact);
                    let mut value = eval::fact(model, &Valued::plain(Value::Part(part)), head).into_owned();
                    if let (Some(field), Value::Standard(Some(fitted))) = (field, &value.value) {
                        let ids = &model[fitted.standard].fields;
                        let number = ids.iter().position(|id| model[*id].name.text == field);
                        value = number
                            .and_then(|number| fitted.fields.get(number))
                            .cloned()
                            .unwrap_or(Valued::plain(Value::Absent));
                    }
                    let lacks = !model[model[part].kind].facts.contains_key(head) && !model[part].undecided;
                    if lacks && !optional {
                        return None;
                    }
                    if !lacks {
                        uses.push(Use {
                            slot: slot_name(model, build, *slot),
                            fact: Some(fact.clone()),
                            part,
                            optional,
                        });
                    }
                    value
                }
                None if optional => Valued::plain(Value::Absent),
                None => return None,
            },
        };
        values.push(value);
    }
    Some((values, uses))
}

/// A fact's own name, and the field of its standard that is meant, if one is.
pub(super) fn split_field<'p>(model: &Model, part: PartId, path: &'p str) -> (&'p str, Option<&'p str>) {
    let facts = &model[model[part].kind].facts;
    match path.rsplit_once('.') {
        Some((head, field)) if !facts.contains_key(path) && facts.contains_key(head) => (head, Some(field)),
        _ => (path, None),
    }
}
