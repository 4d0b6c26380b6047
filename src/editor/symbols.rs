//! What a file declares, and what the whole project does.

use super::convert;
use super::documents;
use super::workspace::{Unit, Workspace};
use crate::source::{FileId, Lines, Span};
use crate::syntax::{
    self,
    tree::{Item, Name, Text},
};
use lsp_types::{DocumentSymbol, SymbolInformation, SymbolKind};
use std::rc::Rc;

/// The items of a file with the facts in each.
pub fn of_file(workspace: &Workspace, path: &str) -> Option<Vec<DocumentSymbol>> {
    let text = workspace.text(path)?;
    let lines = Lines::new(&text);
    let range = |span: Span| documents::range(&text, &lines, span.range(), workspace.units_of_text);
    let tree = syntax::parse(FileId(0), &text).tree;
    let symbols = tree.items.iter().filter_map(|item| {
        let (name, kind, doc, whole) = described(item)?;
        let inner: Vec<&Name> = match item {
            Item::Part(part) => part.facts.iter().map(|it| &it.path).collect(),
            Item::Build(build) => build.assigns.iter().map(|it| &it.path).collect(),
            Item::Kind(kind) => kind.facts.iter().map(|it| &it.path).collect(),
            _ => Vec::new(),
        };
        let children =
            inner.into_iter().map(|it| symbol(&it.text, SymbolKind::FIELD, None, range(it.span), range(it.span), None));
        let children: Vec<DocumentSymbol> = children.collect();
        Some(symbol(&name.text, kind, doc, range(whole), range(name.span), Some(children)))
    });
    Some(symbols.collect())
}

#[allow(deprecated)]
fn symbol(
    name: &str,
    kind: SymbolKind,
    doc: Option<&Text>,
    range: lsp_types::Range,
    selection_range: lsp_types::Range,
    children: Option<Vec<DocumentSymbol>>,
) -> DocumentSymbol {
    DocumentSymbol {
        name: if name.is_empty() { "?".to_owned() } else { name.to_owned() },
        detail: doc.map(|it| it.text.clone()),
        kind,
        tags: None,
        deprecated: None,
        range,
        selection_range,
        children,
    }
}

/// Name, sort, doc and extent of an item.
fn described(item: &Item) -> Option<(&Name, SymbolKind, Option<&Text>, Span)> {
    Some(match item {
        Item::Part(it) => (&it.name, SymbolKind::OBJECT, it.doc.as_ref(), it.span),
        Item::Build(it) => (&it.name, SymbolKind::MODULE, it.doc.as_ref(), it.span),
        Item::Stock(it) => (&it.name, SymbolKind::ARRAY, None, it.span),
        Item::Caution(it) => (&it.name, SymbolKind::STRING, Some(&it.text), it.name.span),
        Item::Choice(it) => (&it.name, SymbolKind::ENUM, it.about.doc.as_ref(), it.name.span),
        Item::Interface(it) => (&it.name, SymbolKind::INTERFACE, it.about.doc.as_ref(), it.name.span),
        Item::Standard(it) => (&it.name, SymbolKind::STRUCT, it.about.doc.as_ref(), it.name.span),
        Item::Kind(it) => (&it.name, SymbolKind::CLASS, it.about.doc.as_ref(), it.name.span),
        Item::Table(it) => (&it.name, SymbolKind::ARRAY, it.about.doc.as_ref(), it.name.span),
        Item::Function(it) => (&it.name, SymbolKind::FUNCTION, it.doc.as_ref(), it.name.span),
        Item::Joint(it) => (&it.name, SymbolKind::METHOD, it.about.doc.as_ref(), it.name.span),
        Item::Assembly(it) => (&it.name, SymbolKind::NAMESPACE, it.about.doc.as_ref(), it.name.span),
        Item::Extend(it) => (&it.name, SymbolKind::CLASS, None, it.name.span),
        Item::Use(_) | Item::Standalone(_) => return None,
    })
}

/// Parts and builds of all units whose name holds `asked`.
#[allow(deprecated)]
pub fn of_project(workspace: &mut Workspace, asked: &str) -> Vec<SymbolInformation> {
    let asked = asked.to_lowercase();
    let units: Vec<Rc<Unit>> = workspace.units().cloned().collect();
    let mut all: Vec<SymbolInformation> = Vec::new();
    for unit in units {
        let model = &unit.compiled.model;
        let parts = model.parts.iter().filter(|it| !it.undecided).map(|it| (&it.name, SymbolKind::OBJECT));
        let builds = model.builds.iter().map(|it| (&it.name, SymbolKind::MODULE));
        for (name, kind) in builds.chain(parts).filter(|(name, _)| name.text.to_lowercase().contains(&asked)) {
            let location =
                convert::location(&unit.compiled.files, name.span, workspace.units_of_text, &mut workspace.library);
            let Some(location) = location else { continue };
            let found = SymbolInformation {
                name: name.text.clone(),
                kind,
                tags: None,
                deprecated: None,
                location,
                container_name: None,
            };
            if !all.contains(&found) {
                all.push(found);
            }
        }
    }
    all
}
