//! Pairs of the grammar to the tree: items and their blocks. Values and expressions are in the files below.

mod assemblies;
mod broken;
mod expressions;
mod joints;
mod stock;
mod values;

use super::rules::{self, Block};
use super::tree::*;
use super::{Parsed, Rule};
use crate::mistake::{self, Mistake};
use crate::source::{FileId, Span};
use pest::iterators::{Pair, Pairs};

/// Builds the tree of a whole file.
pub fn build(file: FileId, text: &str, pairs: Pairs<Rule>) -> Parsed {
    let mut builder = Builder { file, text, mistakes: Vec::new(), depth: 0, offset: 0 };
    let mut items = Vec::new();
    let mut before = None;
    for pair in pairs.flat_map(Pair::into_inner) {
        let here = (pair.as_rule(), pair.as_span().start());
        match pair.as_rule() {
            Rule::bad_item => builder.broken_items(&pair),
            Rule::bad_line => builder.leftover(&pair, before),
            _ => items.extend(builder.item(pair)),
        }
        before = Some(here);
    }
    Parsed { tree: Tree { items }, mistakes: builder.mistakes }
}

/// A value that stands alone in a file, at byte `offset`; none if it is no value, or more than one.
pub fn value(file: FileId, offset: usize, text: &str, pairs: Pairs<Rule>) -> Option<Value> {
    let mut builder = Builder { file, text, mistakes: Vec::new(), depth: 0, offset };
    pairs.flat_map(Pair::into_inner).find_map(|pair| builder.value(pair))
}

struct Builder<'t> {
    file: FileId,
    text: &'t str,
    mistakes: Vec<Mistake>,
    /// How deep expressions stand in one another.
    depth: usize,
    /// Where in the file the text begins that pairs are counted from.
    offset: usize,
}

impl Builder<'_> {
    fn span(&self, pair: &Pair<Rule>) -> Span {
        // A pair may end with the spaces before what it could have had, and has not.
        let (start, text) = (self.offset + pair.as_span().start(), pair.as_str().trim_end());
        Span::new(self.file, start, start + text.len())
    }

    fn name(&self, pair: &Pair<Rule>) -> Name {
        Name { text: pair.as_str().to_owned(), span: self.span(pair) }
    }

    /// A name that the grammar guarantees, but the types do not.
    fn no_name(&self, pair: &Pair<Rule>) -> Name {
        Name { text: String::new(), span: self.span(pair) }
    }

    fn item(&mut self, pair: Pair<Rule>) -> Option<Item> {
        Some(match pair.as_rule() {
            Rule::use_item => Item::Use(self.words(&pair)?),
            Rule::standalone => Item::Standalone(self.span(&pair)),
            Rule::caution => {
                let mut names = self.names(&pair).into_iter();
                Item::Caution(Caution { name: names.next()?, text: self.words(&pair)? })
            }
            Rule::choice => Item::Choice(self.choice(pair)),
            Rule::interface => Item::Interface(self.interface(pair)),
            Rule::standard => Item::Standard(self.standard(pair)),
            Rule::kind => Item::Kind(self.kind(pair)),
            Rule::table => Item::Table(self.table(pair)),
            Rule::function => Item::Function(self.function(pair)?),
            Rule::joint => Item::Joint(self.joint(pair)),
            Rule::assembly => Item::Assembly(self.assembly(pair)),
            Rule::extend => Item::Extend(self.extend(pair)),
            Rule::part => Item::Part(self.part(pair)),
            Rule::build => Item::Build(self.build_item(pair)),
            Rule::stock => Item::Stock(self.stock(pair)),
            _ => return None,
        })
    }

    /// The names that stand directly in a pair, in order.
    fn names(&self, pair: &Pair<Rule>) -> Vec<Name> {
        pair.clone()
            .into_inner()
            .filter(|child| matches!(child.as_rule(), Rule::name | Rule::path))
            .map(|child| self.name(&child))
            .collect()
    }

    /// Takes what every block may have; the pair back if it is something else.
    fn about<'p>(&mut self, about: &mut About, block: &Block, pair: Pair<'p, Rule>) -> Option<Pair<'p, Rule>> {
        match pair.as_rule() {
            Rule::words => about.doc = self.words(&pair),
            Rule::measure => {
                let first = about.measure.take();
                about.measure = self.words(&pair);
                self.only_once("measure", &pair, first.map(|it| it.span));
            }
            Rule::tool => {
                let first = about.tool.take();
                about.tool = self.words(&pair);
                self.only_once("tool", &pair, first.map(|it| it.span));
            }
            Rule::note => about.notes.extend(self.words(&pair)),
            Rule::source => about.sources.extend(self.source(&pair)),
            Rule::bad_line | Rule::bad_long | Rule::bad_wide => self.broken_line(&pair, block),
            Rule::missing_open => self.unopened(&pair, block),
            Rule::missing_close | Rule::missing_inner => self.unclosed(&pair, block, None),
            _ => return Some(pair),
        }
        None
    }

    /// Says so when a statement that a block has only once stands there again; `first` is where it stood before.
    fn only_once(&mut self, word: &str, pair: &Pair<Rule>, first: Option<Span>) {
        if let Some(first) = first {
            let start = self.span(pair).start as usize;
            self.mistakes.push(mistake::fact_twice(Span::new(self.file, start, start + word.len()), word, first));
        }
    }

    fn source(&mut self, pair: &Pair<Rule>) -> Option<Source> {
        let standing = self.names(pair).into_iter().next()?;
        Some(Source { standing, text: self.words(pair) })
    }

    fn choice(&mut self, pair: Pair<Rule>) -> Choice {
        let mut choice = Choice { name: self.no_name(&pair), about: About::default(), members: Vec::new() };
        for child in pair.into_inner() {
            let Some(child) = self.about(&mut choice.about, &rules::CHOICE, child) else { continue };
            match child.as_rule() {
                Rule::name => choice.name = self.name(&child),
                Rule::member => {
                    let doc = self.words(&child);
                    choice.members.extend(self.names(&child).into_iter().next().map(|name| (name, doc)));
                }
                _ => {}
            }
        }
        choice
    }

    fn interface(&mut self, pair: Pair<Rule>) -> Interface {
        let mut interface = Interface { name: self.no_name(&pair), about: About::default() };
        for child in pair.into_inner() {
            let Some(child) = self.about(&mut interface.about, &rules::INTERFACE, child) else { continue };
            if child.as_rule() == Rule::name {
                interface.name = self.name(&child);
            }
        }
        interface
    }

    fn standard(&mut self, pair: Pair<Rule>) -> Standard {
        let mut names = self.names(&pair).into_iter();
        let mut standard = Standard {
            name: names.next().unwrap_or_else(|| self.no_name(&pair)),
            interface: names.next().unwrap_or_else(|| self.no_name(&pair)),
            about: About::default(),
            fields: Vec::new(),
            written: Vec::new(),
        };
        for child in pair.into_inner() {
            let Some(child) = self.about(&mut standard.about, &rules::STANDARD, child) else { continue };
            match child.as_rule() {
                Rule::field => standard.fields.extend(self.declared(child)),
                Rule::written => {
                    let cross = child.clone().into_inner().any(|mark| mark.as_rule() == Rule::times);
                    let mut fields = self.names(&child).into_iter();
                    if let (Some(first), Some(second)) = (fields.next(), fields.next()) {
                        standard.written.push(Written { first, second, cross });
                    }
                }
                _ => {}
            }
        }
        standard
    }

    fn kind(&mut self, pair: Pair<Rule>) -> Kind {
        let mut kind = Kind { name: self.no_name(&pair), about: About::default(), facts: Vec::new() };
        for child in pair.into_inner() {
            let Some(child) = self.about(&mut kind.about, &rules::KIND, child) else { continue };
            match child.as_rule() {
                Rule::name => kind.name = self.name(&child),
                Rule::port | Rule::fact => kind.facts.extend(self.declared(child)),
                _ => {}
            }
        }
        kind
    }

    /// A field, port or fact.
    fn declared(&mut self, pair: Pair<Rule>) -> Option<Declared> {
        let port = pair.as_rule() == Rule::port;
        let (mut path, mut kind) = (None, None);
        let (mut optional, mut limits, mut default) = (false, None, None);
        let mut about = About::default();
        for child in pair.into_inner() {
            match child.as_rule() {
                Rule::path => path = Some(self.name(&child)),
                Rule::optional => optional = true,
                Rule::r#type => kind = self.type_of(child),
                Rule::limits => limits = self.two_quantities(child),
                Rule::default => default = child.into_inner().find_map(|value| self.value(value)),
                Rule::words => about.doc = self.words(&child),
                Rule::details => {
                    for detail in child.into_inner() {
                        self.about(&mut about, &rules::DETAILS, detail);
                    }
                }
                _ => {}
            }
        }
        Some(Declared { path: path?, port, optional, kind: kind?, limits, default, about })
    }

    fn type_of(&mut self, pair: Pair<Rule>) -> Option<Type> {
        let mut form = None;
        for child in pair.into_inner() {
            match child.as_rule() {
                Rule::kw_list | Rule::kw_range | Rule::kw_count => form = Some(child.as_rule()),
                Rule::name if form == Some(Rule::kw_count) => return Some(Type::Count(self.name(&child))),
                Rule::name => return Some(Type::Named(self.name(&child))),
                Rule::r#type => {
                    self.depth += 1;
                    let inner = if self.depth > 64 { None } else { self.type_of(child) };
                    self.depth -= 1;
                    let inner = Box::new(inner?);
                    return Some(if form == Some(Rule::kw_list) { Type::List(inner) } else { Type::Range(inner) });
                }
                _ => {}
            }
        }
        None
    }

    fn table(&mut self, pair: Pair<Rule>) -> Table {
        let mut table = Table {
            name: self.no_name(&pair),
            about: About::default(),
            by: None,
            columns: Vec::new(),
            rows: Vec::new(),
        };
        for child in pair.into_inner() {
            let Some(child) = self.about(&mut table.about, &rules::TABLE, child) else { continue };
            match child.as_rule() {
                Rule::name => table.name = self.name(&child),
                Rule::table_by => {
                    self.only_once("by", &child, table.by.as_ref().map(|it| it.span));
                    table.by = self.names(&child).into_iter().next();
                }
                Rule::column => table.columns.extend(self.typed(child)),
                Rule::row => {
                    let span = self.span(&child);
                    table.rows.push((child.into_inner().filter_map(|value| self.value(value)).collect(), span));
                }
                _ => {}
            }
        }
        table
    }

    /// `name : type`.
    fn typed(&mut self, pair: Pair<Rule>) -> Option<(Name, Type)> {
        let name = self.names(&pair).into_iter().next()?;
        let kind = pair.into_inner().find(|child| child.as_rule() == Rule::r#type)?;
        Some((name, self.type_of(kind)?))
    }

    fn function(&mut self, pair: Pair<Rule>) -> Option<Function> {
        let name = self.names(&pair).into_iter().next()?;
        let doc = self.words(&pair);
        let (mut parameters, mut body) = (Vec::new(), None);
        for child in pair.into_inner() {
            match child.as_rule() {
                Rule::parameter => parameters.extend(self.typed(child)),
                Rule::expr => body = Some(self.expr(child)),
                _ => {}
            }
        }
        Some(Function { name, doc, parameters, body: body? })
    }

    fn part(&mut self, pair: Pair<Rule>) -> Part {
        let mut names = self.names(&pair).into_iter();
        let mut part = Part {
            name: names.next().unwrap_or_else(|| self.no_name(&pair)),
            kind: names.next().unwrap_or_else(|| self.no_name(&pair)),
            doc: None,
            facts: Vec::new(),
            span: self.span(&pair),
        };
        for child in pair.into_inner() {
            match child.as_rule() {
                Rule::words => part.doc = self.words(&child),
                Rule::assign => part.facts.extend(self.assign(child)),
                Rule::bad_line => self.broken_line(&child, &rules::PART),
                Rule::missing_open => self.unopened(&child, &rules::PART),
                Rule::missing_close => self.unclosed(&child, &rules::PART, Some(&part.name.text)),
                _ => {}
            }
        }
        part
    }

    fn assign(&mut self, pair: Pair<Rule>) -> Option<Assign> {
        let path = self.names(&pair).into_iter().next()?;
        let value = pair.into_inner().find_map(|child| self.value(child))?;
        Some(Assign { path, value })
    }

    fn build_item(&mut self, pair: Pair<Rule>) -> Build {
        let nobody = self.no_name(&pair);
        let mut build = Build {
            name: nobody.clone(),
            origin: Origin::Assembly(nobody),
            doc: None,
            assigns: Vec::new(),
            removes: Vec::new(),
            span: self.span(&pair),
        };
        for child in pair.into_inner() {
            match child.as_rule() {
                Rule::name => build.name = self.name(&child),
                Rule::of_assembly => build.origin = Origin::Assembly(self.first_name(&child)),
                Rule::from_build => build.origin = Origin::From(self.first_name(&child)),
                Rule::words => build.doc = self.words(&child),
                Rule::assign => build.assigns.extend(self.assign(child)),
                Rule::remove => build.removes.extend(self.names(&child)),
                Rule::bad_line => self.broken_line(&child, &rules::BUILD),
                Rule::missing_open => self.unopened(&child, &rules::BUILD),
                Rule::missing_close => self.unclosed(&child, &rules::BUILD, Some(&build.name.text)),
                _ => {}
            }
        }
        build
    }

    fn first_name(&self, pair: &Pair<Rule>) -> Name {
        self.names(pair).into_iter().next().unwrap_or_else(|| self.no_name(pair))
    }
}
