//! Where every name stands in the texts of a unit, and what it names.

use crate::Compiled;
use crate::model::*;
use crate::source::{FileId, Span};
use crate::syntax::tree::{self, ExprNode, Filling, Item, Name, Origin, ValueNode};
use crate::{library, syntax};
use std::collections::BTreeMap;

/// What a name names.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Symbol {
    /// A part.
    Part(usize),
    /// A build.
    Build(usize),
    /// A kind.
    Kind(usize),
    /// A slot of an assembly.
    Slot(usize, usize),
    /// A fact, port or field.
    Declared(usize),
    /// A standard.
    Standard(usize),
    /// A family of standards.
    Interface(usize),
    /// A closed list of names.
    Choice(usize),
    /// A name of such a list.
    Member(usize, String),
    /// A joint.
    Joint(usize),
    /// An assembly.
    Assembly(usize),
    /// A table.
    Table(usize),
    /// A function of the library.
    Function(usize),
    /// A caution.
    Caution(String),
    /// Another file.
    File(String),
}

/// A name in a text.
#[derive(Clone, Debug)]
pub struct Occurrence {
    /// Where.
    pub span: Span,
    /// What it names.
    pub symbol: Symbol,
    /// Whether it is declared here.
    pub declares: bool,
}

/// Every name of a unit.
#[derive(Debug, Default)]
pub struct Index {
    /// By place.
    pub all: Vec<Occurrence>,
    /// Trees of the files, but for the library's.
    pub trees: Vec<(FileId, tree::Tree)>,
}

impl Index {
    /// Finds every name.
    pub fn of(compiled: &Compiled) -> Index {
        let mut finder = Finder { model: &compiled.model, all: Vec::new(), names: BTreeMap::new() };
        finder.declared();
        let mut trees = Vec::new();
        for (id, file) in compiled.files.iter() {
            if file.name.starts_with("library:") {
                if let Some(tree) = library::trees().get(id.0 as usize) {
                    finder.tree(tree);
                }
            } else if file.name.ends_with(".cotter") || !file.name.contains('/') {
                trees.push((id, syntax::parse(id, &file.text).tree));
            }
        }
        for (_, tree) in &trees {
            finder.tree(tree);
        }
        let mut all = finder.all;
        all.retain(|it| compiled.files.get(it.span.file).is_some());
        all.sort_by_key(|it| (it.span.file, it.span.start, !it.declares));
        all.dedup_by(|later, first| later.span == first.span && later.symbol == first.symbol);
        Index { all, trees }
    }

    /// The name at a byte of a file: the shortest that holds it.
    pub fn at(&self, file: FileId, offset: usize) -> Option<&Occurrence> {
        let holds = |it: &&Occurrence| {
            it.span.file == file && it.span.start as usize <= offset && offset <= it.span.end as usize
        };
        self.all.iter().filter(holds).min_by_key(|it| it.span.end - it.span.start)
    }

    /// Where something is declared.
    pub fn declaration(&self, symbol: &Symbol) -> Option<Span> {
        self.all.iter().find(|it| it.declares && it.symbol == *symbol).map(|it| it.span)
    }
}

struct Finder<'m> {
    model: &'m Model,
    all: Vec<Occurrence>,
    /// Names that stand for one thing each, whatever the place.
    names: BTreeMap<(&'static str, String), Symbol>,
}

impl Finder<'_> {
    fn declare(&mut self, sort: &'static str, name: &Name, symbol: Symbol) {
        if !sort.is_empty() {
            self.names.insert((sort, name.text.clone()), symbol.clone());
        }
        self.all.push(Occurrence { span: name.span, symbol, declares: true });
    }

    /// All that the model declares.
    fn declared(&mut self) {
        let model = self.model;
        for (number, it) in model.parts.iter().enumerate().filter(|(_, it)| !it.undecided) {
            self.declare("part", &it.name, Symbol::Part(number));
        }
        for (number, it) in model.builds.iter().enumerate() {
            self.declare("build", &it.name, Symbol::Build(number));
        }
        for (number, it) in model.kinds.iter().enumerate() {
            self.declare("type", &it.name, Symbol::Kind(number));
        }
        for (number, it) in model.interfaces.iter().enumerate() {
            self.declare("type", &it.name, Symbol::Interface(number));
        }
        for (number, it) in model.choices.iter().enumerate() {
            self.declare("type", &it.name, Symbol::Choice(number));
        }
        for (number, it) in model.declared.iter().enumerate() {
            self.declare("", &it.name, Symbol::Declared(number));
        }
        for (number, it) in model.standards.iter().enumerate() {
            self.declare("", &it.name, Symbol::Standard(number));
        }
        for (number, it) in model.joints.iter().enumerate() {
            self.declare("joint", &it.name, Symbol::Joint(number));
        }
        for (number, it) in model.tables.iter().enumerate() {
            self.declare("table", &it.name, Symbol::Table(number));
        }
        for (number, it) in model.functions.iter().enumerate() {
            self.declare("function", &it.name, Symbol::Function(number));
        }
        for (number, it) in model.assemblies.iter().enumerate() {
            self.declare("assembly", &it.name, Symbol::Assembly(number));
            for (slot, it) in it.slots.values().enumerate() {
                self.declare("", &it.name, Symbol::Slot(number, slot));
            }
        }
        for (name, it) in &model.cautions {
            let symbol = Symbol::Caution(name.clone());
            self.names.insert(("caution", name.clone()), symbol.clone());
            self.all.push(Occurrence { span: it.span, symbol, declares: true });
        }
    }

    fn uses(&mut self, sort: &'static str, name: &Name) {
        if let Some(symbol) = self.names.get(&(sort, name.text.clone())).cloned() {
            self.all.push(Occurrence { span: name.span, symbol, declares: false });
        }
    }

    fn push(&mut self, span: Span, symbol: Symbol) {
        self.all.push(Occurrence { span, symbol, declares: false });
    }

    fn tree(&mut self, tree: &tree::Tree) {
        for item in &tree.items {
            self.item(item);
        }
    }

    fn item(&mut self, item: &Item) {
        match item {
            Item::Use(used) => self.push(used.span, Symbol::File(used.text.clone())),
            Item::Part(part) => self.part(part),
            Item::Build(build) => self.build(build),
            Item::Stock(stock) => {
                self.uses("type", &stock.kind);
                self.push(stock.file.span, Symbol::File(stock.file.text.clone()));
                let Some(kind) = self.model.kind_named(&stock.kind.text) else { return };
                for entry in &stock.entries {
                    if let Some(id) = self.model[kind].facts.get(&entry.path.text).copied() {
                        self.push(entry.path.span, Symbol::Declared(id.0));
                        if let Filling::Value(value) = &entry.filling {
                            self.value(value, &self.model[id].kind);
                        }
                    }
                }
            }
            Item::Choice(choice) => {
                let Some(Symbol::Choice(id)) = self.names.get(&("type", choice.name.text.clone())).cloned() else {
                    return;
                };
                for (name, _) in &choice.members {
                    let symbol = Symbol::Member(id, name.text.clone());
                    self.all.push(Occurrence { span: name.span, symbol, declares: true });
                }
            }
            Item::Standard(standard) => {
                self.uses("type", &standard.interface);
                standard.fields.iter().for_each(|it| self.types(&it.kind));
            }
            Item::Kind(kind) => kind.facts.iter().for_each(|it| self.types(&it.kind)),
            Item::Table(table) => table.columns.iter().for_each(|(_, it)| self.types(it)),
            Item::Function(function) => {
                function.parameters.iter().for_each(|(_, it)| self.types(it));
                self.expression(&function.body);
            }
            Item::Joint(joint) => self.joint(&joint.body),
            Item::Assembly(assembly) => {
                let body = &assembly.body;
                self.assembly(&body.slots, &body.joins, &body.facts);
                body.cautions.iter().for_each(|it| self.caution(it));
            }
            Item::Extend(extend) => {
                match extend.what.text.as_str() {
                    "kind" => self.uses("type", &extend.name),
                    "joint" => self.uses("joint", &extend.name),
                    _ => self.uses("assembly", &extend.name),
                }
                self.assembly(&extend.slots, &extend.joins, &extend.facts);
                self.joint(&extend.joint);
            }
            Item::Standalone(_) | Item::Caution(_) | Item::Interface(_) => {}
        }
    }

    fn assembly(&mut self, slots: &[tree::Slot], joins: &[tree::Join], facts: &[tree::Declared]) {
        facts.iter().for_each(|it| self.types(&it.kind));
        slots.iter().flat_map(|it| &it.kinds).for_each(|it| self.uses("type", it));
        for join in joins {
            self.uses("joint", &join.joint);
            join.when.iter().for_each(|it| self.expression(it));
        }
    }

    fn joint(&mut self, body: &tree::JointBody) {
        body.takes.iter().for_each(|it| self.types(&it.kind));
        body.lets.iter().for_each(|(_, it)| self.expression(it));
        for rule in &body.rules {
            rule.when.iter().chain(&rule.that).for_each(|it| self.expression(it));
            rule.cautions.iter().for_each(|it| self.caution(it));
        }
        for it in &body.fastenings {
            it.when.iter().for_each(|it| self.expression(it));
            it.cautions.iter().for_each(|it| self.caution(it));
        }
        body.cautions.iter().for_each(|it| self.caution(it));
    }

    fn caution(&mut self, caution: &tree::CautionRef) {
        self.uses("caution", &caution.name);
        caution.when.iter().for_each(|it| self.expression(it));
    }

    fn types(&mut self, kind: &tree::Type) {
        match kind {
            tree::Type::Named(name) => self.uses("type", name),
            tree::Type::Count(_) => {}
            tree::Type::List(inner) | tree::Type::Range(inner) => self.types(inner),
        }
    }

    fn part(&mut self, part: &tree::Part) {
        self.uses("type", &part.kind);
        let Some(kind) = self.model.kind_named(&part.kind.text) else { return };
        for fact in &part.facts {
            if let Some(id) = self.model[kind].facts.get(&fact.path.text).copied() {
                self.push(fact.path.span, Symbol::Declared(id.0));
                self.value(&fact.value, &self.model[id].kind);
            }
        }
    }

    fn build(&mut self, build: &tree::Build) {
        match &build.origin {
            Origin::Assembly(name) => self.uses("assembly", name),
            Origin::From(name) => self.uses("build", name),
        }
        let Some(id) = self.model.build_named(&build.name.text) else { return };
        let number = self.model[id].assembly;
        let assembly = &self.model[number];
        for assign in &build.assigns {
            let name = assign.path.text.as_str();
            if let Some(slot) = assembly.slots.get_index_of(name) {
                self.push(assign.path.span, Symbol::Slot(number.0, slot));
                if let ValueNode::Name(part) = &assign.value.node {
                    self.uses("part", &Name { text: part.clone(), span: assign.value.span });
                }
            } else if let Some(id) = assembly.facts.get(name).copied() {
                self.push(assign.path.span, Symbol::Declared(id.0));
                self.value(&assign.value, &self.model[id].kind);
            }
        }
        for remove in &build.removes {
            if let Some(slot) = assembly.slots.get_index_of(&remove.text) {
                self.push(remove.span, Symbol::Slot(number.0, slot));
            }
        }
    }

    /// A value where one of this type stands.
    fn value(&mut self, value: &tree::Value, kind: &Type) {
        match (&value.node, kind) {
            (ValueNode::Name(text), Type::Choice(id))
                if self.model[*id].members.iter().any(|(member, _)| member == text) =>
            {
                self.push(value.span, Symbol::Member(id.0, text.clone()));
            }
            (ValueNode::Name(text), Type::Standard(interface)) => {
                let name = Name { text: text.clone(), span: value.span };
                self.standard(*interface, &name);
            }
            (ValueNode::Call(name, arguments), Type::Standard(interface)) => {
                let Some(id) = self.standard(*interface, name) else { return };
                let fields = self.model[id].fields.clone();
                for (place, (field, value)) in arguments.iter().enumerate() {
                    let by_name =
                        |name: &Name| fields.iter().find(|it| self.model[**it].name.text == name.text).copied();
                    let found = field.as_ref().map_or_else(|| fields.get(place).copied(), by_name);
                    let Some(found) = found else { continue };
                    if let Some(field) = field {
                        self.push(field.span, Symbol::Declared(found.0));
                    }
                    self.value(value, &self.model[found].kind);
                }
            }
            (ValueNode::List(values), Type::List(inner)) => values.iter().for_each(|it| self.value(it, inner)),
            _ => {}
        }
    }

    fn standard(&mut self, interface: InterfaceId, name: &Name) -> Option<StandardId> {
        let model = self.model;
        let id = model[interface].standards.iter().copied().find(|it| model[*it].name.text == name.text)?;
        self.push(name.span, Symbol::Standard(id.0));
        Some(id)
    }

    /// Tables and functions that an expression asks.
    fn expression(&mut self, expr: &tree::Expr) {
        match &expr.node {
            ExprNode::If(all) => all.iter().for_each(|it| self.expression(it)),
            ExprNode::Or(all) | ExprNode::And(all) | ExprNode::List(all) => {
                all.iter().for_each(|it| self.expression(it))
            }
            ExprNode::Not(inner) | ExprNode::Negate(inner) | ExprNode::Is(inner, ..) => self.expression(inner),
            ExprNode::In(value, _, low, high) => {
                [value, low].into_iter().chain(high).for_each(|it| self.expression(it));
            }
            ExprNode::Compare(left, _, right) => {
                self.expression(left);
                self.expression(right);
            }
            ExprNode::Sum(first, rest) | ExprNode::Product(first, rest) => {
                self.expression(first);
                rest.iter().for_each(|(_, it)| self.expression(it));
            }
            ExprNode::Apply(name, arguments) => {
                self.uses("function", name);
                arguments.iter().for_each(|it| self.expression(it));
            }
            ExprNode::Lookup(name, key, _) => {
                self.uses("table", name);
                self.expression(key);
            }
            ExprNode::Quantity(_) | ExprNode::Text(_) | ExprNode::Path(_) => {}
        }
    }
}
