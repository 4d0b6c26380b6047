//! What a name means, where the pointer rests.

use super::index::Symbol;
use super::workspace::{Unit, Workspace};
use super::{convert, documents};
use crate::judge::Verdict;
use crate::model::{AssemblyId, DeclaredId, Model, PartId};
use crate::{explain, judge};
use lsp_types::{Hover, HoverContents, MarkupContent, MarkupKind, Position};
use std::rc::Rc;

/// The card of what stands at a position.
pub fn hover(workspace: &Workspace, path: &str, position: Position) -> Option<Hover> {
    let units: Vec<Rc<Unit>> = workspace.units_with(path).cloned().collect();
    units.iter().find_map(|unit| {
        let id = unit.file(path)?;
        let file = unit.compiled.files.get(id)?;
        let at = documents::offset(&file.text, file.lines(), position, workspace.units_of_text);
        let found = unit.index().at(id, at)?;
        let value = card(unit, &found.symbol)?;
        Some(Hover {
            contents: HoverContents::Markup(MarkupContent { kind: MarkupKind::Markdown, value }),
            range: Some(convert::range(file, found.span, workspace.units_of_text)),
        })
    })
}

/// What there is to say of something, in Markdown.
pub fn card(unit: &Unit, symbol: &Symbol) -> Option<String> {
    let model = &unit.compiled.model;
    let page = |name: &str| {
        let page = explain::page(&unit.compiled.files, model, name).ok()?;
        Some(format!("```text\n{}\n```", page.trim_end()))
    };
    match symbol {
        Symbol::Part(number) => Some(part(unit, PartId(*number))),
        Symbol::Build(number) => {
            let build = model.builds.get(*number)?;
            let judged = unit.compiled.builds.iter().find(|it| it.build.0 == *number)?;
            Some(format!("**{}** {}\n\n{}", build.name.text, build.doc, counts(judged)))
        }
        Symbol::Declared(number) => Some(declared(model, DeclaredId(*number))),
        Symbol::Slot(assembly, slot) => {
            let (name, slot) = model[AssemblyId(*assembly)].slots.get_index(*slot)?;
            let kinds: Vec<&str> = slot.kinds.iter().map(|it| model[*it].name.text.as_str()).collect();
            let may = if slot.optional { "; may stay empty" } else { "" };
            Some(format!("**{name}** {}\n\ntakes a {}{may}", slot.doc, kinds.join(" or a ")))
        }
        Symbol::Standard(number) => {
            let standard = model.standards.get(*number)?;
            page(&format!("{}.{}", model[standard.interface].name.text, standard.name.text))
        }
        Symbol::Kind(number) => page(&model.kinds.get(*number)?.name.text),
        Symbol::Interface(number) => page(&model.interfaces.get(*number)?.name.text),
        Symbol::Choice(number) => page(&model.choices.get(*number)?.name.text),
        Symbol::Member(number, name) => {
            let choice = model.choices.get(*number)?;
            let (_, doc) = choice.members.iter().find(|(member, _)| member == name)?;
            Some(format!("**{name}** {doc}\n\none of `{}`: {}", choice.name.text, choice.about.doc))
        }
        Symbol::Joint(number) => page(&model.joints.get(*number)?.name.text),
        Symbol::Assembly(number) => page(&model.assemblies.get(*number)?.name.text),
        Symbol::Table(number) => page(&model.tables.get(*number)?.name.text),
        Symbol::Function(number) => page(&model.functions.get(*number)?.name.text),
        Symbol::Caution(name) => page(name),
        Symbol::File(_) => None,
    }
}

/// `34 fit, 2 open, 1 clash`.
pub fn counts(judged: &judge::JudgedBuild) -> String {
    let count = |verdict| judged.count(verdict);
    let (fits, open, clashes) = (count(Verdict::Fits), count(Verdict::Open), count(Verdict::Clashes));
    let s = |count: usize, one: &str, many: &str| format!("{count} {}", if count == 1 { one } else { many });
    format!("{}, {open} open, {}", s(fits, "fits", "fit"), s(clashes, "clashes", "clash"))
}

fn part(unit: &Unit, id: PartId) -> String {
    let model = &unit.compiled.model;
    let part = &model[id];
    let mut text = format!("**{}** {} ({})\n", part.name.text, part.doc, model[part.kind].name.text);
    for judged in &unit.compiled.builds {
        let mut own: Vec<_> = judged.joints.iter().filter(|joint| joint.uses.iter().any(|it| it.part == id)).collect();
        own.sort_by_key(|joint| std::cmp::Reverse(joint.verdict));
        let lines: Vec<String> = own
            .into_iter()
            .map(|joint| {
                let title = if joint.title.is_empty() { &joint.name } else { &joint.title };
                format!("- {} {title}", joint.verdict.word())
            })
            .collect();
        if !lines.is_empty() {
            text.push_str(&format!("\nin `{}`:\n{}\n", model[judged.build].name.text, lines.join("\n")));
        }
    }
    text
}

/// What a fact means, what may stand there, and how to find it out.
pub fn declared(model: &Model, id: DeclaredId) -> String {
    let declared = &model[id];
    let mut text = format!("**{}** {}\n", declared.name.text, declared.about.doc);
    let mut form = type_in_words(model, &declared.kind);
    if let Some(limits) = &declared.limits_written {
        form = format!("{form}, {limits}");
    }
    if declared.optional {
        form.push_str("; may be left out");
    }
    text.push_str(&format!("\n{form}\n"));
    if let Some(measure) = &declared.about.measure {
        text.push_str(&format!("\nmeasure: {measure}\n"));
    }
    if let Some(tool) = &declared.about.tool {
        text.push_str(&format!("\ntool: {tool}\n"));
    }
    for note in &declared.about.notes {
        text.push_str(&format!("\nnote: {note}\n"));
    }
    text
}

/// A type as the language writes it.
pub fn type_in_words(model: &Model, kind: &crate::model::Type) -> String {
    use crate::model::Type;
    match kind {
        Type::Number(dimension) => dimension.words(),
        Type::Count(what) => format!("count of {what}"),
        Type::Money => "money".to_owned(),
        Type::Text => "text".to_owned(),
        Type::Flag => "yes or no".to_owned(),
        Type::Choice(id) => {
            let members: Vec<&str> = model[*id].members.iter().map(|(name, _)| name.as_str()).collect();
            members.join(", ")
        }
        Type::Standard(id) => {
            let all: Vec<&str> = model[*id].standards.iter().map(|it| model[*it].name.text.as_str()).collect();
            format!("{}: {}", model[*id].name.text, all.join(", "))
        }
        Type::List(inner) => format!("list of {}", type_in_words(model, inner)),
        Type::Range(inner) => format!("range of {}", type_in_words(model, inner)),
        Type::Part(kinds) => {
            let all: Vec<&str> = kinds.iter().map(|it| model[*it].name.text.as_str()).collect();
            all.join(" or ")
        }
        Type::Any => "anything".to_owned(),
    }
}
