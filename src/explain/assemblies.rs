//! Pages of assemblies, of their slots, and of the places where their joints are made.

use super::paper::{Paper, joined};
use super::rules::texts;
use super::{Known, facts, source, works};
use crate::judge;
use crate::model::{Argument, Assembly, AssemblyId, Declared, Join, Model, SlotId, Type, Value, Valued};

pub(super) fn assembly(known: Known, id: AssemblyId, paper: &mut Paper) {
    let model = known.model;
    let it = &model[id];
    let what = "an assembly: what a build is a build of";
    paper.title(&it.name.text, &it.about.doc, &known.declared(what, it.name.span));
    for (optional, heading) in [(false, "Slots that must be filled"), (true, "Slots that may stay empty")] {
        let slots: Vec<_> = it
            .slots
            .values()
            .filter(|it| it.optional == optional)
            .map(|it| {
                let kinds: Vec<String> = it.kinds.iter().map(|id| format!("`{}`", model[*id].name.text)).collect();
                (it.name.text.clone(), vec![format!("{}: {}", it.doc, kinds.join(" or "))])
            })
            .collect();
        if !slots.is_empty() {
            paper.heading(heading);
            paper.pairs(&slots);
        }
    }
    let whole: Vec<&Declared> = it.facts.values().map(|id| &model[*id]).collect();
    facts::section(known, "Facts of the whole", &whole, paper);
    if !it.joins.is_empty() {
        paper.heading("Joints");
        let joins = it
            .joins
            .iter()
            .map(|it| (it.name.text.clone(), vec![format!("{}: `{}`", it.doc, model[it.joint].name.text)]));
        paper.pairs(&joins.collect::<Vec<_>>());
    }
    works::section(known, &source::whole_works(known, &it.name.text, it.name.span), paper);
    paper.cautions(&texts(model, it.cautions.iter().chain(it.works.iter().flat_map(|it| &it.cautions))));
    if !it.about.notes.is_empty() {
        paper.heading("Note");
        it.about.notes.iter().for_each(|it| paper.text(it));
    }
    if !it.about.sources.is_empty() {
        paper.sources(&it.about.sources);
    }
}

pub(super) fn slot(known: Known, id: AssemblyId, slot: SlotId, paper: &mut Paper) {
    let model = known.model;
    let assembly = &model[id];
    let Some((name, it)) = assembly.slots.get_index(slot.0) else { return };
    let must = if it.optional { "may stay empty" } else { "must be filled" };
    let what = format!("a slot of `{}`; it {must}", assembly.name.text);
    paper.title(name, &it.doc, &known.declared(&what, it.name.span));
    paper.heading("Takes");
    let kinds = it.kinds.iter().map(|id| (model[*id].name.text.clone(), vec![model[*id].about.doc.clone()]));
    paper.pairs(&kinds.collect::<Vec<_>>());
    let shares: Vec<String> = it
        .shares
        .iter()
        .filter_map(|slot| assembly.slots.get_index(slot.0))
        .map(|(name, _)| format!("`{name}`"))
        .collect();
    if !shares.is_empty() {
        paper.heading("One piece may fill it and");
        paper.text(&shares.join(" or "));
    }
    let uses = |join: &&Join| {
        let argument = |it: &Argument| matches!(it, Argument::Slot(at) | Argument::Fact(at, _) if *at == slot);
        join.arguments.iter().flatten().any(argument) || join.through.as_ref().is_some_and(|it| it.slot == slot)
    };
    let joins: Vec<_> = assembly
        .joins
        .iter()
        .filter(uses)
        .map(|it| (it.name.text.clone(), vec![format!("{}: `{}`", it.doc, model[it.joint].name.text)]))
        .collect();
    if !joins.is_empty() {
        paper.heading("Joints that it has a part in");
        paper.pairs(&joins);
    }
}

pub(super) fn join(known: Known, id: AssemblyId, number: usize, paper: &mut Paper) {
    let model = known.model;
    let assembly = &model[id];
    let Some(it) = assembly.joins.get(number) else { return };
    let joint = &model[it.joint];
    let what = format!("a place in `{}` where the joint `{}` is made", assembly.name.text, joint.name.text);
    paper.title(&it.name.text, &it.doc, &known.declared(&what, it.name.span));
    paper.heading("What meets");
    let pairs = joint.takes.iter().zip(&it.arguments).filter_map(|(parameter, argument)| {
        Some((
            parameter.name.text.clone(),
            vec![format!("`{}`", path(known, assembly, argument.as_ref()?, &parameter.kind))],
        ))
    });
    paper.pairs(&pairs.collect::<Vec<_>>());
    if let Some((slot, _)) = it.through.as_ref().and_then(|it| assembly.slots.get_index(it.slot.0)) {
        paper.heading("Adapter");
        paper
            .text(&format!("one in `{slot}` may stand between; the joint is then made twice, once on each side of it"));
    }
    if let Some(when) = source::join(known, it.name.span).and_then(|it| it.when) {
        paper.heading("Only when");
        paper.text(&source::written(known, &when));
    }
    order(assembly, it, paper);
    paper.paragraph(&format!("Its rules and how it is made: `cotter explain {}`", joint.name.text));
}

/// What comes before a join, and what must come off before it can be reached.
fn order(assembly: &Assembly, join: &Join, paper: &mut Paper) {
    let named = |it: &Join| (it.name.text.clone(), vec![it.doc.clone()]);
    let all = |numbers: &[usize]| -> Vec<(String, Vec<String>)> {
        numbers.iter().filter_map(|it| assembly.joins.get(*it)).map(named).collect()
    };
    let first = [all(&join.upon), all(&join.after)].concat();
    if !first.is_empty() {
        paper.heading("Made after");
        paper.pairs(&first);
    }
    let below = all(&join.upon);
    if !below.is_empty() {
        paper.heading("Stands in the way of, and is undone before");
        paper.pairs(&below);
    }
    let number = assembly.joins.iter().position(|it| it.name.text == join.name.text);
    let upon = assembly.joins.iter().filter(|it| number.is_some_and(|number| it.upon.contains(&number)));
    let above: Vec<_> = upon.map(named).collect();
    if !above.is_empty() {
        paper.heading("Can't be reached while these are made");
        paper.pairs(&above);
    }
}

/// What a join binds, and the adapter that may stand between, in a line.
pub(super) fn bound(known: Known, assembly: &Assembly, join: &Join) -> String {
    let takes = &known.model[join.joint].takes;
    let binds: Vec<String> = takes
        .iter()
        .zip(&join.arguments)
        .filter_map(|(it, argument)| {
            Some(format!("{} = {}", it.name.text, path(known, assembly, argument.as_ref()?, &it.kind)))
        })
        .collect();
    let through = join.through.as_ref().and_then(|it| assembly.slots.get_index(it.slot.0));
    let through = through.map_or(String::new(), |(slot, _)| format!("; or through an adapter in {slot}"));
    format!("{}{through}", joined(&binds).replace(" and ", ", "))
}

fn path(known: Known, assembly: &Assembly, argument: &Argument, kind: &Type) -> String {
    let slot = |slot: &SlotId| assembly.slots.get_index(slot.0).map_or("", |(name, _)| name.as_str());
    match argument {
        Argument::Slot(at) => slot(at).to_owned(),
        Argument::Fact(at, fact) => format!("{}.{fact}", slot(at)),
        Argument::Whole(name) => name.clone(),
        Argument::Fixed(value) => fixed(known.model, value, kind),
    }
}

/// A fixed argument as it is written.
pub(super) fn fixed(model: &Model, value: &Valued, kind: &Type) -> String {
    match (&value.value, kind) {
        (Value::Member(Some(member)), Type::Choice(id)) => {
            model[*id].members.get(*member).map_or(String::new(), |(name, _)| name.clone())
        }
        _ => judge::shown(model, value, kind.dimension()),
    }
}
