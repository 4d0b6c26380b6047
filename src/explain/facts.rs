//! Facts, ports and fields: their type in words, what is plausible, and how to measure them.

use super::Known;
use super::names::Of;
use super::paper::{Paper, joined};
use crate::model::{Declared, DeclaredId, Model, Type};

/// What it takes, in words: type, plausible range, default.
fn takes(known: Known, declared: &Declared) -> String {
    let mut words = in_words(known.model, &declared.kind);
    if let Some(limits) = &declared.limits_written {
        words.push_str(&format!(", plausible {limits}"));
    }
    if let Some(default) = &declared.default {
        words.push_str(&format!("; `{}` unless it says otherwise", known.files.text(default.span)));
    }
    words
}

/// A type in words, with the names that may stand there.
pub(super) fn in_words(model: &Model, kind: &Type) -> String {
    let quoted = |names: Vec<&str>| {
        let names: Vec<String> = names.into_iter().map(|it| format!("`{it}`")).collect();
        names.join(", ")
    };
    match kind {
        Type::Choice(id) => {
            let names = model[*id].members.iter().map(|(name, _)| name.as_str()).collect();
            format!("one of {} (a `{}`)", quoted(names), model[*id].name.text)
        }
        Type::Standard(id) => {
            let names = model[*id].standards.iter().map(|id| model[*id].name.text.as_str()).collect();
            format!("{} ({})", model.said(kind), quoted(names))
        }
        _ => model.said(kind),
    }
}

/// How to measure it: its own way, or for a port that of its interface.
pub(super) fn measured(model: &Model, declared: &Declared) -> Option<String> {
    let (measure, tool) = match (&declared.about.measure, &declared.kind) {
        (Some(measure), _) => (measure, declared.about.tool.as_ref()),
        (None, Type::Standard(id)) => (model[*id].about.measure.as_ref()?, model[*id].about.tool.as_ref()),
        _ => return None,
    };
    Some(match tool {
        Some(tool) => format!("measure: {measure} ({tool})"),
        None => format!("measure: {measure}"),
    })
}

/// A section of declared facts, in two columns; nothing if there are none.
pub(super) fn section(known: Known, heading: &str, all: &[&Declared], paper: &mut Paper) {
    if all.is_empty() {
        return;
    }
    paper.heading(heading);
    let pairs: Vec<(String, Vec<String>)> = all
        .iter()
        .map(|it| {
            let mark = if it.optional { "?" } else { "" };
            let mut said = vec![it.about.doc.clone(), takes(known, it)];
            said.extend(measured(known.model, it));
            said.extend(it.about.notes.iter().cloned());
            (format!("{}{mark}", it.name.text), said)
        })
        .collect();
    paper.pairs(&pairs);
    if all.iter().any(|it| it.optional) {
        paper.text("What has a `?` is taken as not there when it is left out.");
    }
}

/// The page of one fact.
pub(super) fn page(known: Known, of: &Of, id: DeclaredId, paper: &mut Paper) {
    let model = known.model;
    let declared = &model[id];
    let own = &declared.name.text;
    let (name, what, sources) = match of {
        Of::Kind(kind) => {
            let kind = &model[*kind];
            let what = if declared.port { "a port of" } else { "a fact of" };
            (format!("{}.{own}", kind.name.text), format!("{what} the kind `{}`", kind.name.text), Some(&kind.about))
        }
        Of::Standard(standard) => {
            let standard = &model[*standard];
            let whole = format!("{}.{}", model[standard.interface].name.text, standard.name.text);
            (format!("{whole}.{own}"), format!("a field of the standard `{whole}`"), Some(&standard.about))
        }
        Of::AnyPart => (own.clone(), "a fact that every part may have, whatever its kind".to_owned(), None),
        Of::Build(assembly) => (own.clone(), format!("a fact of a whole `{}`", model[*assembly].name.text), None),
    };
    paper.title(&name, &declared.about.doc, &known.declared(&what, declared.name.span));
    paper.heading("Takes");
    paper.text(&takes(known, declared));
    if declared.default.is_none() {
        paper.text(if declared.optional { "left out, it is taken as not there" } else { "left out, it is not known" });
    }
    paper.text(&format!("such as `{own} = {}`", example(model, declared)));
    if let Some(measured) = measured(model, declared) {
        paper.heading("How to know");
        paper.text(measured.trim_start_matches("measure: "));
    }
    if !declared.about.notes.is_empty() {
        paper.heading("Note");
        declared.about.notes.iter().for_each(|it| paper.text(it));
    }
    if let Of::Kind(kind) = of {
        let places: Vec<String> = model
            .assemblies
            .iter()
            .flat_map(|it| it.slots.values().filter(|it| it.kinds.contains(kind)))
            .map(|slot| format!("`{}.{own}`", slot.name.text))
            .collect();
        if !places.is_empty() {
            paper.heading("In a build");
            paper.text(&joined(&places));
        }
    }
    let own_sources = &declared.about.sources;
    match sources {
        _ if !own_sources.is_empty() => paper.sources(own_sources),
        Some(about) => paper.sources(&about.sources),
        None => {}
    }
}

/// A value that the fact could have, as it is written.
fn example(model: &Model, declared: &Declared) -> String {
    match &declared.kind {
        Type::Choice(id) => model[*id].members.first().map_or("?".to_owned(), |(name, _)| name.clone()),
        Type::Standard(id) => {
            model[*id].standards.first().map_or("?".to_owned(), |standard| model.standard_example(*standard))
        }
        Type::Flag => "yes".to_owned(),
        Type::Text => "\"words\"".to_owned(),
        Type::Money => "12.50 EUR".to_owned(),
        _ => match &declared.limits_written {
            // The plausible range shows the unit that is used; its lower end is a value as good as any.
            Some(limits) => {
                let (low, high) = limits.split_once(" to ").unwrap_or((limits, ""));
                let unit = high.split_once(' ').map_or(String::new(), |(_, unit)| format!(" {unit}"));
                match declared.kind {
                    Type::Range(_) => format!("{low}{unit} .. {high}"),
                    Type::List(_) => format!("[{low}{unit}, {high}]"),
                    _ => format!("{low}{unit}"),
                }
            }
            None => model.example(&declared.kind),
        },
    }
}
