//! What a rule looks at: the facts behind the names that it uses, where they are in a build, how to measure them.

use super::paper::joined;
use super::{Known, facts, source};
use crate::model::*;
use crate::syntax::tree::{Expr, JointBody};

/// The `let`s of a joint that some expressions use, directly or by way of others, in order.
pub(super) fn lets<'b>(bodies: &'b [JointBody], exprs: &[&Expr]) -> Vec<(&'b str, &'b Expr)> {
    let all: Vec<(&str, &Expr)> =
        bodies.iter().flat_map(|it| &it.lets).map(|(name, expr)| (name.text.as_str(), expr)).collect();
    let mut used = Vec::new();
    exprs.iter().for_each(|it| source::paths(it, &mut used));
    let mut next = 0;
    while let Some(path) = used.get(next).cloned() {
        let head = path.split('.').next().unwrap_or("");
        if let Some((_, expr)) = all.iter().find(|(name, _)| *name == head) {
            source::paths(expr, &mut used);
        }
        next += 1;
    }
    let named = |name: &str| used.iter().any(|path| path.split('.').next() == Some(name));
    all.into_iter().filter(|(name, _)| named(name)).collect()
}

/// Facts that expressions look at, as pairs: the name in the rule; what it is, where it is, how to measure it.
pub(super) fn pairs(known: Known, id: JointId, bodies: &[JointBody], exprs: &[&Expr]) -> Vec<(String, Vec<String>)> {
    let lets = lets(bodies, exprs);
    let mut paths = Vec::new();
    exprs.iter().copied().chain(lets.iter().map(|(_, expr)| *expr)).for_each(|it| source::paths(it, &mut paths));
    let joint = &known.model[id];
    let mut pairs = Vec::new();
    for path in &paths {
        let (head, rest) = path.split_once('.').map_or((path.as_str(), None), |(head, rest)| (head, Some(rest)));
        if lets.iter().any(|(name, _)| *name == head) {
            continue;
        }
        let Some(number) = joint.takes.iter().position(|it| it.name.text == head) else { continue };
        let mut said = Vec::new();
        let declared = declared(known.model, id, number, rest);
        let mut docs: Vec<String> = Vec::new();
        for it in &declared {
            if !it.about.doc.is_empty() && !docs.contains(&it.about.doc) {
                docs.push(it.about.doc.clone());
            }
        }
        said.push(docs.join("; "));
        said.push(places(known.model, id, number, rest));
        said.extend(ways(known.model, &declared));
        pairs.push((path.clone(), said));
    }
    pairs
}

/// The facts and fields that a parameter, or what follows it, stands for in all places where the joint is made.
fn declared<'m>(model: &'m Model, id: JointId, number: usize, rest: Option<&str>) -> Vec<&'m Declared> {
    let joint = &model[id];
    let kind = joint.takes.get(number).map_or(&Type::Any, |it| &it.kind);
    if let (Type::Standard(interface), Some(field)) = (kind, rest) {
        return fields(model, *interface, field);
    }
    let mut found: Vec<DeclaredId> = Vec::new();
    for assembly in &model.assemblies {
        for join in assembly.joins.iter().filter(|it| it.joint == id) {
            let kinds_of = |slot: &SlotId| {
                assembly.slots.get_index(slot.0).map_or(&[][..], |(_, it)| it.kinds.as_slice()).iter().copied()
            };
            match (join.arguments.get(number).and_then(Option::as_ref), rest) {
                (Some(Argument::Fact(slot, fact)), None) => {
                    found.extend(kinds_of(slot).filter_map(|kind| model[kind].facts.get(fact)));
                }
                (Some(Argument::Whole(name)), None) => found.extend(assembly.facts.get(name)),
                (Some(Argument::Slot(slot)), Some(_)) => found.extend(facts_of(model, kinds_of(slot), rest)),
                _ => {}
            }
        }
    }
    if let (Type::Part(kinds), Some(_), true) = (kind, rest, found.is_empty()) {
        found.extend(facts_of(model, kinds.iter().copied(), rest));
    }
    let mut all: Vec<&Declared> = Vec::new();
    for id in found {
        let it = &model[id];
        if !all.iter().any(|other| std::ptr::eq(*other, it)) {
            all.push(it);
        }
    }
    // `part.port.width`: a field of what a fact of the part is.
    if let (true, Some(rest)) = (all.is_empty(), rest) {
        let kinds = if let Type::Part(kinds) = kind { kinds.as_slice() } else { &[] };
        if let Some((fact, field)) = rest.rsplit_once('.') {
            let ports = facts_of(model, kinds.iter().copied(), Some(fact));
            for port in ports {
                if let Type::Standard(interface) = model[port].kind {
                    all.extend(fields(model, interface, field));
                }
            }
        }
    }
    all
}

fn facts_of(model: &Model, kinds: impl Iterator<Item = KindId>, path: Option<&str>) -> Vec<DeclaredId> {
    let Some(path) = path else { return Vec::new() };
    kinds.filter_map(|kind| model[kind].facts.get(path).copied()).collect()
}

fn fields<'m>(model: &'m Model, interface: InterfaceId, field: &str) -> Vec<&'m Declared> {
    let standards = model[interface].standards.iter();
    let fields = standards.flat_map(|id| &model[*id].fields).map(|id| &model[*id]);
    fields.filter(|it| it.name.text == field).collect()
}

/// Where a parameter comes from in the assemblies that make the joint: `slot.port.width`.
fn places(model: &Model, id: JointId, number: usize, rest: Option<&str>) -> String {
    let mut found: Vec<String> = Vec::new();
    for assembly in &model.assemblies {
        for join in assembly.joins.iter().filter(|it| it.joint == id) {
            let base = match join.arguments.get(number).and_then(Option::as_ref) {
                Some(Argument::Slot(slot)) => assembly.slots.get_index(slot.0).map(|(name, _)| name.clone()),
                Some(Argument::Fact(slot, fact)) => {
                    assembly.slots.get_index(slot.0).map(|(name, _)| format!("{name}.{fact}"))
                }
                Some(Argument::Whole(name)) => Some(name.clone()),
                Some(Argument::Fixed(_)) | None => None,
            };
            let path = base.map(|base| rest.map_or(format!("`{base}`"), |rest| format!("`{base}.{rest}`")));
            if let Some(path) = path.filter(|it| !found.contains(it)) {
                found.push(path);
            }
        }
    }
    if !found.is_empty() {
        return format!("in a build: {}", joined(&found));
    }
    told(model, id, number)
}

/// What the places of a joint tell it of themselves: `front` in one, `rear` in the other.
fn told(model: &Model, id: JointId, number: usize) -> String {
    let kind = model[id].takes.get(number).map_or(&Type::Any, |it| &it.kind);
    let mut found: Vec<(String, Vec<String>)> = Vec::new();
    for join in model.assemblies.iter().flat_map(|it| &it.joins).filter(|it| it.joint == id) {
        let Some(Some(Argument::Fixed(fixed))) = join.arguments.get(number) else { continue };
        let value = super::assemblies::fixed(model, fixed, kind);
        let place = format!("`{}`", join.name.text);
        match found.iter_mut().find(|(known, _)| *known == value) {
            Some((_, places)) => places.push(place),
            None => found.push((value, vec![place])),
        }
    }
    let said: Vec<String> = found.iter().map(|(value, places)| format!("`{value}` in {}", joined(places))).collect();
    said.join("; ")
}

/// The ways to measure some facts; where they differ, each with what it is for.
fn ways(model: &Model, declared: &[&Declared]) -> Vec<String> {
    let mut ways: Vec<(String, Vec<String>)> = Vec::new();
    for it in declared {
        let Some(way) = facts::measured(model, it) else { continue };
        match ways.iter_mut().find(|(known, _)| *known == way) {
            Some((_, owners)) if !owners.contains(&it.owner) => owners.push(it.owner.clone()),
            Some(_) => {}
            None => ways.push((way, vec![it.owner.clone()])),
        }
    }
    let several = ways.len() > 1;
    let said = |(way, owners): (String, Vec<String>)| {
        if several { way.replacen("measure:", &format!("measure ({}):", owners.join(", ")), 1) } else { way }
    };
    ways.into_iter().map(said).collect()
}
