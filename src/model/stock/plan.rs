//! What each fact of a stock's parts is read from, found out once for all rows.

use super::super::values::Wanted;
use super::cells::{self, LONGEST, Shape};
use super::figures::{Mark, Marks};
use super::*;
use crate::syntax::tree::{Cell, Entry, Filling, Stock};

/// How the rows of a stock become parts.
pub struct Plan<'t> {
    /// Their kind.
    pub kind: KindId,
    /// What names them.
    pub name: Column<'t>,
    /// What says what they are.
    pub doc: Option<Said<'t>>,
    /// Which rows are chosen.
    rows: Option<Column<'t>>,
    /// The decimal mark that is stated.
    decimal: Option<Mark>,
    /// What each fact of the kind is read from; none where the block says nothing of it.
    pub facts: Vec<(DeclaredId, Option<Said<'t>>)>,
}

/// What a fact is read from.
pub enum Said<'t> {
    /// The same in all rows.
    Value(tree::Value),
    /// A column.
    Column(Column<'t>),
    /// A standard, some of whose fields are columns.
    Call(&'t Name, Vec<(Option<&'t Name>, Said<'t>)>, Span),
    /// Something with a mistake in it, which is told.
    Broken(Span),
}

/// A column of the list.
pub struct Column<'t> {
    /// Its number.
    pub number: usize,
    /// Its name.
    pub title: &'t str,
    /// The fact that is read from it, as on a part: `a`, `a.width`.
    pub path: String,
    /// That fact's declaration; none for a name, a text, a choice of rows.
    pub fact: Option<DeclaredId>,
    /// What its cells are to be.
    pub shape: Shape,
    /// The unit that they lack.
    pub unit: Option<&'t Name>,
    /// The words that they are held against instead.
    pub test: Option<Test>,
    /// Where the block names it.
    pub at: Span,
}

/// Whether a cell is one of some words.
pub struct Test {
    not: bool,
    words: Vec<String>,
}

impl Test {
    /// Whether a cell says so; capital letters don't matter.
    pub fn holds(&self, text: &str) -> bool {
        let same = |word: &String| word == text || *word == text.to_lowercase();
        self.words.iter().any(same) != self.not
    }
}

impl<'t> Said<'t> {
    /// The columns in it.
    pub fn columns(&self) -> Vec<&Column<'t>> {
        match self {
            Said::Column(column) => vec![column],
            Said::Call(_, fills, _) => fills.iter().flat_map(|(_, it)| it.columns()).collect(),
            Said::Value(_) | Said::Broken(_) => Vec::new(),
        }
    }
}

impl Plan<'_> {
    /// Whether a row is one of those that are wanted.
    pub fn chooses(&self, row: Row) -> bool {
        self.rows.as_ref().is_none_or(|column| {
            let text = row.text(column.number);
            column.test.as_ref().is_none_or(|it| it.holds(text))
        })
    }

    /// What to say when no row is; nothing where the list has none at all.
    pub fn none_chosen(&self, stock: &Stock, rows: &Rows) -> Option<Mistake> {
        let column = self.rows.as_ref()?;
        rows.rows().next()?;
        let words: indexmap::IndexSet<&str> =
            rows.rows().map(|row| row.text(column.number)).filter(|it| !it.is_empty()).collect();
        Some(mistake::stock_none_chosen(column.at, &stock.file.text, column.title, words))
    }

    /// The name of a row's part; none if its cell holds nothing that makes one.
    pub fn part_name(&self, stock: &str, row: Row) -> Option<String> {
        let text = row.text(self.name.number);
        if text.len() > LONGEST && text.chars().count() > LONGEST {
            return None;
        }
        let name = row_name(text);
        (!name.is_empty()).then(|| format!("{stock}.{name}"))
    }

    /// What the numbers of these rows tell of the list's decimal mark.
    pub fn marks(&self, rows: &[Row]) -> Marks {
        let mut marks = Marks { stated: self.decimal, ..Marks::default() };
        if marks.stated.is_some() {
            return marks;
        }
        let said = self.facts.iter().filter_map(|(_, said)| said.as_ref());
        let numbers: Vec<&Column> = said
            .flat_map(Said::columns)
            .filter(|it| it.test.is_none() && matches!(it.shape, Shape::Number | Shape::Money))
            .collect();
        for (row, column) in rows.iter().flat_map(|row| numbers.iter().map(move |column| (row, column))) {
            let text = row.text(column.number);
            // Digits alone tell nothing.
            if text.contains(['.', ','])
                && let Some(figures) = cells::figures_of(text, column.shape == Shape::Money, column.unit)
            {
                marks.learn(&figures);
            }
        }
        marks
    }
}

impl Builder {
    /// The plan of a stock; none while nothing can be read by it. `first` is the block that says for all of one list how
    /// that is read. Without rows the block is only looked through.
    pub(super) fn plan<'t>(
        &mut self,
        stock: &'t Stock,
        first: Option<&'t Stock>,
        kind: KindId,
        rows: Option<&Rows>,
    ) -> Option<Plan<'t>> {
        let mut entries = self.entries(stock, kind);
        for entry in first.iter().flat_map(|it| &it.entries) {
            let name = entry.path.text.as_str();
            let given = entries.iter().any(|it| it.path.text == name);
            if !given && self.is_shared(name, kind) {
                entries.push(entry);
            }
        }
        let entry = |name: &str| entries.iter().copied().find(|it| it.path.text == name);
        let decimal = entry("decimal").and_then(|it| self.decimal(it));
        let name = match entry("name") {
            None => {
                self.mistakes.push(mistake::stock_unnamed(stock.name.span, &stock.name.text));
                None
            }
            Some(it) => match &it.filling {
                Filling::Cell(cell) if cell.unit.is_none() && cell.test.is_none() => {
                    self.column(stock, cell, Shape::Text, rows)
                }
                other => self.setting(other.span(), "name", "a column, as `column \"HEADER\"`"),
            },
        };
        let chosen = match entry("rows").map(|it| &it.filling) {
            None => Some(None),
            Some(Filling::Cell(cell)) if cell.test.is_some() => self.column(stock, cell, Shape::Text, rows).map(Some),
            Some(other) => {
                self.setting(other.span(), "rows", "a column and its words, as `column \"HEADER\" is \"WORD\"`")
            }
        };
        let doc = entry("text").and_then(|it| match &it.filling {
            Filling::Cell(cell) if cell.unit.is_none() && cell.test.is_none() => {
                self.column(stock, cell, Shape::Text, rows).map(Said::Column)
            }
            Filling::Value(value) if matches!(value.node, ValueNode::Text(_)) => Some(Said::Value(value.clone())),
            other => self.setting(other.span(), "text", "a column, as `column \"HEADER\"`, or a text in quotes"),
        });
        let declared: Vec<(String, DeclaredId)> =
            self.model[kind].facts.iter().map(|(name, id)| (name.clone(), *id)).collect();
        let mut facts = Vec::with_capacity(declared.len());
        for (name, id) in declared {
            let said = match entry(&name).filter(|it| !Stock::SETTINGS.contains(&it.path.text.as_str())) {
                Some(it) => self.said_by(stock, it, id, rows),
                None => self.by_itself(stock, id),
            };
            facts.push((id, said));
        }
        rows?;
        Some(Plan { kind, name: name?, doc, rows: chosen?, decimal, facts })
    }

    /// Whether the blocks of one list share an entry: how it is read, and what any part may say of itself.
    fn is_shared(&self, name: &str, kind: KindId) -> bool {
        let setting = name != "rows" && Stock::SETTINGS.contains(&name);
        setting || self.model[kind].facts.get(name).is_some_and(|id| self.model.common.contains(id))
    }

    /// Entries that say something that there is, each once.
    fn entries<'t>(&mut self, stock: &'t Stock, kind: KindId) -> Vec<&'t Entry> {
        let mut given: Vec<&Entry> = Vec::new();
        for entry in &stock.entries {
            let name = &entry.path;
            let setting = Stock::SETTINGS.contains(&name.text.as_str());
            if !setting && !self.model[kind].facts.contains_key(&name.text) {
                let facts = self.model[kind].facts.keys().map(String::as_str);
                let known: Vec<&str> = facts.chain(Stock::SETTINGS.iter().copied()).collect();
                let kind = &stock.kind;
                self.mistakes.push(mistake::fact_unknown(name.span, &name.text, &kind.text, kind.span, known));
            } else if let Some(first) = given.iter().find(|it| it.path.text == name.text) {
                self.mistakes.push(mistake::fact_twice(name.span, &name.text, first.path.span));
            } else {
                given.push(entry);
            }
        }
        given
    }

    fn setting<T>(&mut self, at: Span, name: &str, takes: &str) -> Option<T> {
        self.mistakes.push(mistake::stock_setting(at, name, takes));
        None
    }

    fn decimal(&mut self, entry: &Entry) -> Option<Mark> {
        let mark = match &entry.filling {
            Filling::Value(tree::Value { node: ValueNode::Name(name), .. }) => match name.as_str() {
                "point" => Some(Mark::Point),
                "comma" => Some(Mark::Comma),
                _ => None,
            },
            _ => None,
        };
        mark.or_else(|| self.setting(entry.filling.span(), "decimal", "`point` or `comma`"))
    }

    /// What a stock's parts are without a word: to be bought, where the stock is.
    fn by_itself<'t>(&self, stock: &'t Stock, id: DeclaredId) -> Option<Said<'t>> {
        if !self.model.common.contains(&id) {
            return None;
        }
        let node = match self.model[id].name.text.as_str() {
            "source" => ValueNode::Name("buy".to_owned()),
            "supplier" => ValueNode::Text(stock.name.text.clone()),
            _ => return None,
        };
        Some(Said::Value(tree::Value { node, span: stock.name.span }))
    }

    fn said_by<'t>(
        &mut self,
        stock: &'t Stock,
        entry: &'t Entry,
        id: DeclaredId,
        rows: Option<&Rows>,
    ) -> Option<Said<'t>> {
        let at = entry.filling.span();
        let kind = self.model[id].kind.clone();
        let said = match &entry.filling {
            Filling::Value(value) => self.sound(value, id).then(|| Said::Value(value.clone())),
            Filling::Cell(cell) => self.read(stock, cell, &entry.path.text, id, rows).map(Said::Column),
            Filling::Call(name, fills, span) => self.call(stock, entry, (name, fills, *span), &kind, id, rows),
        };
        Some(said.unwrap_or(Said::Broken(at)))
    }

    /// Whether a value is one for a fact; what is wrong is told once, for all rows.
    fn sound(&mut self, value: &tree::Value, id: DeclaredId) -> bool {
        let (facts, base) = (self.model.facts.len(), std::sync::Arc::clone(&self.model.base));
        let sound = base.declared.get(id.0).is_some_and(|it| self.value(value, &Wanted::of(id, it, None)).is_some());
        self.model.facts.truncate(facts);
        sound
    }

    /// A column that is read as a fact or field.
    fn read<'t>(
        &mut self,
        stock: &Stock,
        cell: &'t Cell,
        path: &str,
        id: DeclaredId,
        rows: Option<&Rows>,
    ) -> Option<Column<'t>> {
        let kind = &self.model[id].kind;
        if cell.test.is_some() && !matches!(kind, Type::Flag) {
            let (words, way_out) = (self.model.type_words(kind), self.model.way_out(kind));
            let declared = self.model[id].name.span;
            let mistake = mistake::fact_type(cell.span, path, &words, &way_out, declared);
            self.mistakes.push(mistake);
            return None;
        }
        let shape = self.shape(kind);
        let column = self.column(stock, cell, shape, rows)?;
        Some(Column { path: path.to_owned(), fact: Some(id), ..column })
    }

    fn shape(&self, kind: &Type) -> Shape {
        let named = |all: Vec<&str>| Shape::Names(all.into_iter().map(|it| (it.to_owned(), row_name(it))).collect());
        match kind {
            Type::Number(_) | Type::Count(_) => Shape::Number,
            Type::Money => Shape::Money,
            Type::Text => Shape::Text,
            Type::Flag => Shape::Flag,
            Type::Choice(id) => named(self.model[*id].members.iter().map(|(name, _)| name.as_str()).collect()),
            Type::Standard(id) => {
                named(self.model[*id].standards.iter().map(|it| self.model[*it].name.text.as_str()).collect())
            }
            Type::List(_) | Type::Range(_) | Type::Part(_) | Type::Any => Shape::Other,
        }
    }

    /// A column of the list by its name. Without a list any name will do.
    fn column<'t>(&mut self, stock: &Stock, cell: &'t Cell, shape: Shape, rows: Option<&Rows>) -> Option<Column<'t>> {
        let title = cell.column.text.trim();
        let number = match rows {
            None => 0,
            Some(rows) => {
                let header = rows.header();
                let mut found = header.texts().enumerate().filter(|(_, it)| *it == title).map(|(number, _)| number);
                let (first, second) = (found.next(), found.next());
                let file = &stock.file.text;
                match (first, second) {
                    (Some(number), None) => number,
                    (Some(first), Some(second)) => {
                        let (first, second) = (header.span(first), header.span(second));
                        let at = cell.column.span;
                        self.mistakes.push(mistake::stock_column_twice(at, title, file, first, second));
                        return None;
                    }
                    _ => {
                        let known: Vec<&str> = header.texts().collect();
                        // A header over several lines can't be underlined as one.
                        let whole = header.whole();
                        let lines = rows.text().get(whole.range()).is_none_or(|it| it.contains(['\n', '\r']));
                        let at = if lines { header.span(0) } else { whole };
                        self.mistakes.push(mistake::stock_column(cell.column.span, title, file, at, known));
                        return None;
                    }
                }
            }
        };
        let test = cell.test.as_ref().map(|it| Test {
            not: it.not,
            words: it.words.iter().map(|word| word.text.trim().to_lowercase()).collect(),
        });
        let path = String::new();
        Some(Column { number, title, path, fact: None, shape, unit: cell.unit.as_ref(), test, at: cell.span })
    }

    /// A standard with columns among its fields.
    fn call<'t>(
        &mut self,
        stock: &'t Stock,
        entry: &Entry,
        (name, fills, span): (&'t Name, &'t [(Option<Name>, Filling)], Span),
        kind: &Type,
        id: DeclaredId,
        rows: Option<&Rows>,
    ) -> Option<Said<'t>> {
        // With nothing known of its columns it is a value like any other, and held against its fact as such.
        let unknown = |filling: &Filling| match filling {
            Filling::Value(value) => value.clone(),
            other => tree::Value { node: ValueNode::Unknown, span: other.span() },
        };
        let arguments: Vec<_> = fills.iter().map(|(label, it)| (label.clone(), unknown(it))).collect();
        let whole = tree::Value { node: ValueNode::Call(name.clone(), arguments), span };
        if !self.sound(&whole, id) {
            return None;
        }
        if !fills.iter().any(|(_, it)| matches!(it, Filling::Cell(_))) {
            return Some(Said::Value(whole));
        }
        let Type::Standard(interface) = kind else { return None };
        let standard = self.model[*interface].standards.iter().find(|it| self.model[**it].name.text == name.text);
        let fields: Vec<DeclaredId> = standard.map(|it| self.model[*it].fields.clone()).unwrap_or_default();
        let mut said = Vec::with_capacity(fills.len());
        for (position, (label, filling)) in fills.iter().enumerate() {
            let field = match label {
                Some(label) => fields.iter().find(|it| self.model[**it].name.text == label.text),
                None => fields.get(position),
            };
            let of = match (filling, field) {
                (Filling::Cell(cell), Some(field)) => {
                    let path = format!("{}.{}", entry.path.text, self.model[*field].name.text);
                    Said::Column(self.read(stock, cell, &path, *field, rows)?)
                }
                (Filling::Value(value), _) => Said::Value(value.clone()),
                _ => return None,
            };
            said.push((label.as_ref(), of));
        }
        Some(Said::Call(name, said, span))
    }
}
