//! What may be written where the cursor stands: the slot decides.

use super::workspace::{Unit, Workspace};
use super::{actions, documents, hover, shelf};
use crate::model::*;
use crate::source::FileId;
use crate::syntax::tree::Item;
use lsp_types::{CompletionItem, CompletionItemKind, Documentation, MarkupContent, MarkupKind, Position};
use std::rc::Rc;

/// What the text before the cursor asks for.
#[derive(Debug, PartialEq)]
enum Asked<'t> {
    /// A word that begins an item.
    Item,
    /// A kind: behind `part x :`.
    Kind,
    /// An assembly: behind `build x :`.
    Assembly,
    /// A build: behind `from`.
    Build,
    /// A fact or slot: at the beginning of a line of a block.
    Name,
    /// A value: behind `path =`.
    Value(&'t str),
    /// An argument of a standard: behind `path = standard(`.
    Field(&'t str, &'t str),
    /// A slot to empty: behind `remove`.
    Remove,
    /// Nothing that is known.
    Nothing,
}

/// Everything that may stand at a position, best first.
pub fn completion(workspace: &Workspace, path: &str, position: Position) -> Vec<CompletionItem> {
    let units: Vec<Rc<Unit>> = workspace.units_with(path).cloned().collect();
    let mut all: Vec<CompletionItem> = Vec::new();
    for unit in &units {
        let Some(id) = unit.file(path) else { continue };
        let Some(file) = unit.compiled.files.get(id) else { continue };
        let at = documents::offset(&file.text, file.lines(), position, workspace.units_of_text);
        for item in of_unit(unit, id, &file.text, at) {
            if !all.iter().any(|it| it.label == item.label) {
                all.push(item);
            }
        }
    }
    for (number, item) in all.iter_mut().enumerate() {
        item.sort_text = Some(format!("{number:05}"));
    }
    all
}

fn of_unit(unit: &Unit, id: FileId, text: &str, at: usize) -> Vec<CompletionItem> {
    let model = &unit.compiled.model;
    let Some((_, tree)) = unit.index().trees.iter().find(|(tree, _)| *tree == id) else { return Vec::new() };
    let before = text.get(..at).unwrap_or("");
    let line = before.rfind(['\n', '\r']).and_then(|at| before.get(at + 1..)).unwrap_or(before);
    let enclosing = tree.items.iter().find(|item| match item {
        Item::Part(part) => part.span.range().contains(&at.saturating_sub(1)),
        Item::Build(build) => build.span.range().contains(&at.saturating_sub(1)),
        _ => false,
    });
    let inside = enclosing.filter(|_| before.rfind('{') > before.rfind('}'));
    match (asked(line, inside.is_some()), inside) {
        (Asked::Item, _) => {
            ["part", "build", "use", "stock"].map(|it| plain(it, CompletionItemKind::KEYWORD, "")).into()
        }
        (Asked::Kind, _) => {
            let kinds = model.kinds.iter();
            kinds.map(|it| plain(&it.name.text, CompletionItemKind::CLASS, &it.about.doc)).collect()
        }
        (Asked::Assembly, _) => {
            let all = model.assemblies.iter();
            all.map(|it| plain(&it.name.text, CompletionItemKind::CLASS, &it.about.doc)).collect()
        }
        (Asked::Build, _) => {
            model.builds.iter().map(|it| plain(&it.name.text, CompletionItemKind::MODULE, &it.doc)).collect()
        }
        (asked, Some(Item::Part(part))) => {
            let Some(kind) = model.kind_named(&part.kind.text) else { return Vec::new() };
            let written: Vec<&str> = part.facts.iter().map(|it| it.path.text.as_str()).collect();
            in_part(model, kind, &written, &asked)
        }
        (asked, Some(Item::Build(build))) => {
            let own = model.build_named(&build.name.text);
            let written: Vec<&str> = build.assigns.iter().map(|it| it.path.text.as_str()).collect();
            own.map(|own| in_build(model, own, &written, &asked)).unwrap_or_default()
        }
        _ => Vec::new(),
    }
}

/// What a line asks for, up to the cursor.
fn asked(line: &str, inside: bool) -> Asked<'_> {
    // In a comment or a string nothing is asked.
    let quotes = line.matches('"').count() - line.matches("\\\"").count();
    if line.split('"').step_by(2).any(|it| it.contains('#')) || quotes % 2 == 1 {
        return Asked::Nothing;
    }
    // A block on one line: what counts is behind the last statement.
    let statement = line.rsplit(['{', ';']).next().unwrap_or(line).trim_start();
    if inside {
        if let Some(rest) = statement.strip_prefix("remove ") {
            return if rest.contains('=') { Asked::Nothing } else { Asked::Remove };
        }
        let Some((path, value)) = statement.split_once('=') else {
            return if statement.contains(char::is_whitespace) { Asked::Nothing } else { Asked::Name };
        };
        return match value.rsplit_once('(') {
            Some((_, arguments)) if arguments.contains(')') => Asked::Nothing,
            Some((standard, arguments)) => {
                let argument = arguments.rsplit(',').next().unwrap_or(arguments);
                if argument.contains('=') { Asked::Nothing } else { Asked::Field(path.trim(), standard.trim()) }
            }
            None => Asked::Value(path.trim()),
        };
    }
    let words: Vec<&str> = line.split_whitespace().collect();
    match words.as_slice() {
        [] | [_] if !line.ends_with(' ') => Asked::Item,
        ["part", _, ":"] | ["part", _, ":", _] | ["part", _] if line.contains(':') => Asked::Kind,
        ["build", _, ":"] | ["build", _, ":", _] => Asked::Assembly,
        ["build", _, "from"] | ["build", _, "from", _] => Asked::Build,
        _ => Asked::Nothing,
    }
}

fn in_part(model: &Model, kind: KindId, written: &[&str], asked: &Asked) -> Vec<CompletionItem> {
    let facts = &model[kind].facts;
    match asked {
        Asked::Name => {
            let missing = actions::facts_missing(model, &model[kind].name.text, written);
            let rest = facts.keys().filter(|it| !missing.contains(it) && !written.contains(&it.as_str()));
            let all = missing.iter().map(|it| (it, true)).chain(rest.map(|it| (it, false)));
            all.filter_map(|(name, needed)| Some(fact(model, name, *facts.get(name)?, needed))).collect()
        }
        Asked::Value(path) => facts.get(*path).map(|id| values(model, *id)).unwrap_or_default(),
        Asked::Field(path, standard) => facts.get(*path).map(|id| fields(model, *id, standard)).unwrap_or_default(),
        _ => Vec::new(),
    }
}

fn in_build(model: &Model, build: BuildId, written: &[&str], asked: &Asked) -> Vec<CompletionItem> {
    let assembly = &model[model[build].assembly];
    match asked {
        Asked::Name => {
            let slots = assembly.slots.values().filter(|it| !written.contains(&it.name.text.as_str()));
            let filled = |name: &str| {
                let number = assembly.slots.get_index_of(name)?;
                model[build].slots.get(number).copied().flatten()
            };
            let mut slots: Vec<&Slot> = slots.collect();
            // What must be filled and is not comes first.
            slots.sort_by_key(|it| it.optional || filled(&it.name.text).is_some());
            let slots = slots.into_iter().map(|it| {
                let mut item = plain(&it.name.text, CompletionItemKind::FIELD, &it.doc);
                let needed = !it.optional && filled(&it.name.text).is_none();
                item.insert_text = Some(format!("{} = ", it.name.text));
                item.detail = Some(format!("{}{}", it.doc, if needed { " (must be filled)" } else { "" }));
                item
            });
            let facts = assembly.facts.iter().filter(|(name, _)| !written.contains(&name.as_str()));
            let mut all: Vec<CompletionItem> = slots.collect();
            all.extend(facts.map(|(name, id)| fact(model, name, *id, false)));
            all.push(plain("remove", CompletionItemKind::KEYWORD, "empties slots"));
            all
        }
        Asked::Value(path) => match assembly.slots.get_index_of(*path) {
            Some(slot) => {
                let parts = shelf::candidates(model, build, SlotId(slot));
                let parts = parts.into_iter().map(|(id, would)| {
                    let part = &model[id];
                    let mut item = plain(&part.name.text, CompletionItemKind::VALUE, &part.doc);
                    item.detail = Some(format!("{}: {}", would.words(), part.doc));
                    item
                });
                parts.chain([plain("?", CompletionItemKind::VALUE, "not decided yet")]).collect()
            }
            None => assembly.facts.get(*path).map(|id| values(model, *id)).unwrap_or_default(),
        },
        Asked::Field(path, standard) => {
            assembly.facts.get(*path).map(|id| fields(model, *id, standard)).unwrap_or_default()
        }
        Asked::Remove => {
            let filled = assembly.slots.values().zip(&model[build].slots).filter(|(_, it)| it.is_some());
            filled.map(|(slot, _)| plain(&slot.name.text, CompletionItemKind::FIELD, &slot.doc)).collect()
        }
        _ => Vec::new(),
    }
}

fn fact(model: &Model, name: &str, id: DeclaredId, needed: bool) -> CompletionItem {
    let declared = &model[id];
    let kind = if declared.port { CompletionItemKind::INTERFACE } else { CompletionItemKind::FIELD };
    let mut item = plain(name, kind, &declared.about.doc);
    item.insert_text = Some(format!("{name} = "));
    item.detail = Some(format!(
        "{}{}",
        hover::type_in_words(model, &declared.kind),
        if needed { " (still missing)" } else { "" }
    ));
    let value = hover::declared(model, id);
    item.documentation = Some(Documentation::MarkupContent(MarkupContent { kind: MarkupKind::Markdown, value }));
    item
}

/// Values that a fact may have, as far as they have names.
fn values(model: &Model, id: DeclaredId) -> Vec<CompletionItem> {
    let mut all = Vec::new();
    let mut kind = &model[id].kind;
    if let Type::List(inner) = kind {
        kind = inner;
    }
    match kind {
        Type::Choice(id) => {
            let members = model[*id].members.iter();
            all.extend(members.map(|(name, doc)| plain(name, CompletionItemKind::ENUM_MEMBER, doc)));
        }
        Type::Standard(id) => all.extend(model[*id].standards.iter().map(|id| {
            let standard = &model[*id];
            let name = &standard.name.text;
            let mut item = plain(name, CompletionItemKind::INTERFACE, &standard.about.doc);
            if !standard.fields.is_empty() {
                item.insert_text = Some(format!("{name}("));
            }
            item
        })),
        Type::Flag => all.extend(["yes", "no"].map(|it| plain(it, CompletionItemKind::VALUE, ""))),
        _ => {}
    }
    all.push(plain("?", CompletionItemKind::VALUE, "not looked at yet"));
    all
}

/// Fields of a standard that a fact may be.
fn fields(model: &Model, id: DeclaredId, standard: &str) -> Vec<CompletionItem> {
    let Type::Standard(interface) = model[id].kind else { return Vec::new() };
    let found = model[interface].standards.iter().find(|it| model[**it].name.text == standard);
    let Some(found) = found else { return Vec::new() };
    model[*found].fields.iter().map(|it| fact(model, &model[*it].name.text, *it, false)).collect()
}

fn plain(label: &str, kind: CompletionItemKind, doc: &str) -> CompletionItem {
    CompletionItem {
        label: label.to_owned(),
        kind: Some(kind),
        detail: (!doc.is_empty()).then(|| doc.to_owned()),
        ..CompletionItem::default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_says_what_it_asks_for() {
        for (line, inside, wanted) in [
            ("", false, Asked::Item),
            ("pa", false, Asked::Item),
            ("part a : ", false, Asked::Kind),
            ("part a : fr", false, Asked::Kind),
            ("build a : ", false, Asked::Assembly),
            ("build a from ", false, Asked::Build),
            ("  ", true, Asked::Name),
            ("  rear.", true, Asked::Name),
            ("  rear.gap = ", true, Asked::Value("rear.gap")),
            ("part a : b { source = donor; x = st", true, Asked::Value("x")),
            ("  seat = open(", true, Asked::Field("seat", "open")),
            ("  seat = open(126 mm, ", true, Asked::Field("seat", "open")),
            ("  seat = open(126 mm, slot = ", true, Asked::Nothing),
            ("  remove a, ", true, Asked::Remove),
            ("  x = 3 # ", true, Asked::Nothing),
            ("  x = \"", true, Asked::Nothing),
        ] {
            assert_eq!(asked(line, inside), wanted, "{line}");
        }
    }
}
