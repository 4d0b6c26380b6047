//! Stock: rows of price lists to parts.
//!
//! A plan of each `stock` says once which column, or which value, each fact of its kind is read from; then every row is
//! read by it. A row with a mistake in it is told and left out, and all others are used.

mod cells;
mod figures;
mod plan;

use super::values::Wanted;
use super::*;
use crate::mistake::{self, Mistake};
use crate::source::{FileId, Lines, Span};
use crate::syntax::tree::{self, Item, Name, ValueNode};
use crate::syntax::{BadRow, Fault, Lists, Row, Rows, row_name};
use cells::{LONGEST_TEXT, Manner, Trouble};
use figures::Marks;

use plan::{Column, Plan, Said};
use std::collections::BTreeSet;

/// Rows left out that are told one by one.
const TOLD: usize = 5;
/// Lines of further ones that are named.
const NAMED: usize = 10;
/// Rows that are read of a list; the rest is told to be left out.
const MOST_ROWS: usize = 20_000;

/// What builds may ask of a stock.
#[derive(Default)]
pub(super) struct Shelf {
    /// Its list could not be read, and that is told: nothing can be said of its parts.
    pub unread: bool,
    /// Where the rows are that are left out, by the name that the part would have.
    pub left_out: IndexMap<String, Span>,
}

impl Builder {
    pub(super) fn stocks(&mut self, trees: &[Arc<tree::Tree>], lists: &Lists) {
        let mut told = BTreeSet::new();
        let items = trees.iter().flat_map(|tree| &tree.items);
        let all: Vec<&tree::Stock> =
            items.filter_map(|item| if let Item::Stock(stock) = item { Some(stock) } else { None }).collect();
        for stock in &all {
            self.stock(stock, stock.first_of(&all), lists, &mut told);
        }
    }

    fn stock(&mut self, stock: &tree::Stock, first: Option<&tree::Stock>, lists: &Lists, told: &mut BTreeSet<FileId>) {
        let rows = lists.get(&stock.file.span);
        let kind = self.model.names.kinds.get(&stock.kind.text).copied();
        if kind.is_none() {
            let known = self.model.names.kinds.keys().map(String::as_str);
            self.mistakes.push(mistake::name_unknown(stock.kind.span, "kind", &stock.kind.text, known));
        }
        let before = self.mistakes.len();
        let plan = kind.and_then(|kind| self.plan(stock, first, kind, rows.map(|it| &**it)));
        // What the first block says is looked through for each.
        let found = self.mistakes.split_off(before);
        for mistake in found {
            if !self.mistakes.contains(&mistake) {
                self.mistakes.push(mistake);
            }
        }
        // A stock may stand in several blocks, one a kind.
        let shelf = self.shelves.entry(stock.name.text.clone()).or_default();
        let (Some(rows), Some(plan)) = (rows, plan) else {
            shelf.unread = true;
            return;
        };
        // What could not be cut into cells belongs to no kind: the first block that reads the list tells of it.
        let uncut: &[BadRow] = if told.insert(rows.file) { &rows.bad } else { &[] };
        let mut out: Vec<Mistake> = uncut.iter().map(|bad| self.uncut(stock, rows, bad)).collect();
        out.append(&mut self.rows(stock, &plan, rows));
        self.tell(stock, rows, out);
    }

    fn uncut(&self, stock: &tree::Stock, rows: &Rows, bad: &BadRow) -> Mistake {
        let name = &stock.name.text;
        match bad.fault {
            Fault::Ragged(cells) => mistake::stock_ragged(bad.span, name, cells, rows.header().texts().count()),
            Fault::Quote => mistake::stock_quote(bad.span, name),
            Fault::TooMany => mistake::stock_too_many(bad.span, name, MOST_ROWS),
        }
    }

    /// Makes a part of each row that can be read; gives what is wrong with the others.
    fn rows(&mut self, stock: &tree::Stock, plan: &Plan, rows: &Rows) -> Vec<Mistake> {
        let mut out = Vec::new();
        let chosen: Vec<Row> = rows.rows().filter(|row| !row.is_blank() && plan.chooses(*row)).collect();
        if chosen.is_empty() {
            out.extend(plan.none_chosen(stock, rows));
        }
        let marks = plan.marks(&chosen);
        for row in chosen {
            let (facts, mistakes) = (self.model.facts.len(), self.mistakes.len());
            match self.row(stock, plan, marks, row) {
                Ok(part) => {
                    self.model.part_names.insert(part.name.text.clone(), PartId(self.model.parts.len()));
                    self.model.parts.push(Arc::new(part));
                }
                Err(mistake) => {
                    // Nothing of the row stays: its facts would be those of the next part.
                    self.model.facts.truncate(facts);
                    self.mistakes.truncate(mistakes);
                    if let Some(name) = plan.part_name(&stock.name.text, row)
                        && let Some(shelf) = self.shelves.get_mut(&stock.name.text)
                    {
                        shelf.left_out.entry(name).or_insert(mistake.at().unwrap_or(row.whole()));
                    }
                    out.push(mistake);
                }
            }
        }
        out
    }

    /// Tells of the first rows left out, and counts the others.
    fn tell(&mut self, stock: &tree::Stock, rows: &Rows, mut out: Vec<Mistake>) {
        out.sort_by_key(|it| it.at().map(|at| at.start));
        let more = out.split_off(out.len().min(TOLD));
        self.mistakes.append(&mut out);
        let Some(first) = more.first().and_then(Mistake::at) else { return };
        let lines = Lines::new(rows.text());
        let line = |it: &Mistake| it.at().map(|at| lines.place(rows.text(), at.start as usize).line);
        let named: Vec<usize> = more.iter().filter_map(line).take(NAMED).collect();
        self.mistakes.push(mistake::stock_more(first, &stock.name.text, more.len(), &named));
    }

    fn row(&mut self, stock: &tree::Stock, plan: &Plan, marks: Marks, row: Row) -> Result<Part, Mistake> {
        let name_at = row.span(plan.name.number);
        let Some(name) = plan.part_name(&stock.name.text, row) else {
            let text = row.text(plan.name.number);
            let (of, title) = (&stock.name.text, plan.name.title);
            return Err(mistake::stock_nameless(name_at, of, title, text, plan.name.at));
        };
        if let Some(first) = self.model.part_names.get(&name) {
            return Err(mistake::stock_twice(name_at, &name, self.model[*first].name.span));
        }
        let name = Name { text: name, span: name_at };
        let doc = match &plan.doc {
            Some(Said::Column(column)) => {
                let (text, at) = (row.text(column.number), row.span(column.number));
                if text.len() > LONGEST_TEXT && text.chars().count() > LONGEST_TEXT {
                    let reason = mistake::cell_too_long(text.chars().count(), LONGEST_TEXT);
                    return Err(mistake::stock_cell(at, &stock.name.text, column.title, &reason, column.at, &[]));
                }
                text.to_owned()
            }
            Some(Said::Value(tree::Value { node: ValueNode::Text(text), .. })) => text.clone(),
            _ => String::new(),
        };
        let part = PartId(self.model.parts.len());
        let mut facts = Vec::with_capacity(plan.facts.len());
        for (id, said) in &plan.facts {
            facts.push(match said {
                None => self.fact(*id, None, Some(part), name_at),
                Some(Said::Broken(at)) => self.unknown_fact(*id, part, *at),
                Some(said) => match self.cell_value(stock, said, marks, row)? {
                    None => self.fact(*id, None, Some(part), name_at),
                    Some(value) => self.stated(stock, *id, &value, part, said, row)?,
                },
            });
        }
        Ok(Part { name, kind: plan.kind, doc, facts, span: row.whole(), undecided: false })
    }

    /// A fact that the block says wrongly, which is told.
    fn unknown_fact(&mut self, id: DeclaredId, part: PartId, at: Span) -> Valued {
        let base = Arc::clone(&self.model.base);
        match base.declared.get(id.0) {
            Some(declared) => self.missing(&Wanted::of(id, declared, Some(part)), at, State::Unknown),
            None => Valued::plain(Value::Absent),
        }
    }

    /// A fact with a value; what is wrong with it, as a mistake of its cell.
    fn stated(
        &mut self,
        stock: &tree::Stock,
        id: DeclaredId,
        value: &tree::Value,
        part: PartId,
        said: &Said,
        row: Row,
    ) -> Result<Valued, Mistake> {
        let before = self.mistakes.len();
        let base = Arc::clone(&self.model.base);
        let made = base.declared.get(id.0).and_then(|it| self.value(value, &Wanted::of(id, it, Some(part))));
        if let Some(made) = made {
            return Ok(made);
        }
        let found = self.mistakes.get(before);
        let at = found.and_then(Mistake::at);
        // The cell that the mistake lies in, if several make one value.
        let columns = said.columns();
        let column = columns.iter().find(|it| Some(row.span(it.number)) == at).or_else(|| columns.first());
        let Some((column, found)) = column.zip(found) else {
            return Err(mistake::stock_cell(
                row.whole(),
                &stock.name.text,
                "",
                "it can't be read",
                stock.file.span,
                &[],
            ));
        };
        let at = row.span(column.number);
        let (reason, way_out) = if found.is_wrong_type() {
            (self.no_value(column, row.text(column.number)), Vec::new())
        } else {
            (found.message.clone(), found.in_a_cell(column.title))
        };
        Err(mistake::stock_cell(at, &stock.name.text, column.title, &reason, column.at, &way_out))
    }

    /// What stands in a row for a fact; nothing if its cells are empty.
    fn cell_value(
        &self,
        stock: &tree::Stock,
        said: &Said,
        marks: Marks,
        row: Row,
    ) -> Result<Option<tree::Value>, Mistake> {
        match said {
            Said::Value(value) => Ok(Some(value.clone())),
            Said::Broken(_) => Ok(None),
            Said::Column(column) => self.column_value(stock, column, marks, row),
            Said::Call(name, fills, span) => {
                let mut arguments = Vec::with_capacity(fills.len());
                let (mut place, mut stated) = (None, false);
                for (label, fill) in fills {
                    let value = self.cell_value(stock, fill, marks, row)?;
                    if let (Said::Column(column), Some(_)) = (fill, &value) {
                        stated = true;
                        place.get_or_insert(row.span(column.number));
                    }
                    // A field that is not stated keeps its place.
                    let node = tree::Value { node: ValueNode::Unknown, span: *span };
                    match (label, value) {
                        (Some(label), Some(value)) => arguments.push((Some((*label).clone()), value)),
                        (Some(_), None) => {}
                        (None, value) => arguments.push((None, value.unwrap_or(node))),
                    }
                }
                // Without a single cell nothing is known of it: not even that it is of this standard.
                let span = place.unwrap_or(*span);
                let call = ValueNode::Call(Name { text: name.text.clone(), span }, arguments);
                Ok(stated.then_some(tree::Value { node: call, span }))
            }
        }
    }

    fn column_value(
        &self,
        stock: &tree::Stock,
        column: &Column,
        marks: Marks,
        row: Row,
    ) -> Result<Option<tree::Value>, Mistake> {
        let (text, span) = (row.text(column.number), row.span(column.number));
        if let Some(test) = &column.test {
            let word = if test.holds(text) { "yes" } else { "no" };
            let node = ValueNode::Name(word.to_owned());
            return Ok((!text.is_empty()).then_some(tree::Value { node, span }));
        }
        // A dash says in any list that there is nothing to say.
        let words = column.shape == cells::Shape::Text;
        if text.is_empty() || !words && matches!(text, "-" | "–" | "—") {
            return Ok(None);
        }
        let manner = Manner { shape: &column.shape, unit: column.unit, marks };
        let of = &stock.name.text;
        match cells::value(text, span, row.is_plain(column.number), manner) {
            Ok(value) => Ok(Some(value)),
            Err(Trouble::Ambiguous) => Err(mistake::stock_decimal(span, of, column.title, text, column.at)),
            Err(Trouble::Long(length, limit)) => {
                let reason = mistake::cell_too_long(length, limit);
                Err(mistake::stock_cell(span, of, column.title, &reason, column.at, &[]))
            }
            Err(Trouble::Unreadable) => {
                let reason = self.no_value(column, text);
                Err(mistake::stock_cell(span, of, column.title, &reason, column.at, &[]))
            }
        }
    }

    /// What a column's fact takes, and that a cell is no such thing.
    fn no_value(&self, column: &Column, text: &str) -> String {
        let takes = column.fact.map_or(String::new(), |id| self.model.said(&self.model[id].kind));
        mistake::cell_words(text, &column.path, &takes)
    }
}
