//! Tables and functions.

use super::checker::Scope;
use super::values::Wanted;
use super::*;
use crate::mistake;
use crate::quantity::Interval;
use crate::syntax::tree::{self, Item};

impl Builder {
    /// Tables first, then functions in an order in which each only calls earlier ones.
    pub(super) fn tables(&mut self, trees: &[&tree::Tree]) {
        for item in trees.iter().flat_map(|tree| &tree.items) {
            if let Item::Table(table) = item {
                self.table(table);
            }
        }
        let functions: Vec<&tree::Function> = trees
            .iter()
            .flat_map(|tree| &tree.items)
            .filter_map(|item| match item {
                Item::Function(function) => Some(function),
                _ => None,
            })
            .collect();
        self.functions(&functions);
    }

    fn table(&mut self, table: &tree::Table) {
        let id = TableId(self.model.tables.len());
        let (names, tables) = {
            let base = Arc::make_mut(&mut self.model.base);
            (&mut base.names.tables, &base.tables)
        };
        let first = |id: TableId| tables.get(id.0).map_or(table.name.span, |it| it.name.span);
        if !Self::take_name(names, &mut self.mistakes, "table", &table.name, id, first) {
            return;
        }
        let by = match table.by.as_ref().map(|name| (name, name.text.as_str())) {
            None | Some((_, "exact")) => By::Exact,
            Some((_, "floor")) => By::Floor,
            Some((_, "linear")) => By::Linear,
            Some((name, other)) => {
                self.mistakes.push(mistake::name_unknown(
                    name.span,
                    "way to look up",
                    other,
                    ["exact", "floor", "linear"],
                ));
                By::Exact
            }
        };
        let columns: Vec<(String, Type)> =
            table.columns.iter().map(|(name, kind)| (name.text.clone(), self.type_of(kind))).collect();
        let mut rows: Vec<Vec<Valued>> = Vec::new();
        for (values, span) in &table.rows {
            if values.len() != columns.len() {
                let name = &table.name.text;
                self.mistakes.push(mistake::row_length(*span, name, columns.len(), values.len()));
                continue;
            }
            let mut row = Vec::new();
            for (value, (name, kind)) in values.iter().zip(&columns) {
                let wanted = Wanted {
                    path: name,
                    kind,
                    limits: Interval::ALL,
                    limits_written: None,
                    declared: table.name.span,
                    id: None,
                    part: None,
                    default: true,
                };
                // A figure of a table is the library's: nobody measures it, so it leaves no trail.
                row.extend(self.value(value, &wanted).map(|it| Valued { from: Trail::default(), ..it }));
            }
            if row.len() == columns.len() {
                rows.push(row);
            }
        }
        rows.sort_by(|a, b| key_of(a).total_cmp(&key_of(b)));
        let about = self.about(&table.about).into();
        self.base().tables.push(Table { name: table.name.clone(), about, by, columns, rows });
    }

    fn functions(&mut self, functions: &[&tree::Function]) {
        let mut waiting: Vec<&tree::Function> = Vec::new();
        for function in functions {
            let twice = waiting.iter().find(|other| other.name.text == function.name.text);
            match twice {
                Some(first) => {
                    let mistake =
                        mistake::name_twice(function.name.span, "function", &function.name.text, first.name.span);
                    self.mistakes.push(mistake);
                }
                None => waiting.push(function),
            }
        }
        // A function is ready when all that it calls is: no function may wait for itself.
        while !waiting.is_empty() {
            let names: Vec<&str> = waiting.iter().map(|it| it.name.text.as_str()).collect();
            let ready = waiting.iter().position(|it| !calls_any(&it.body, &names));
            match ready {
                Some(ready) => self.function(waiting.remove(ready)),
                None => self.circle(&mut waiting),
            }
        }
    }

    /// Takes a circle of functions out of those that wait for each other: what they give is not known.
    fn circle(&mut self, waiting: &mut Vec<&tree::Function>) {
        let mut chain: Vec<&tree::Function> = Vec::new();
        let mut next = waiting.first().copied();
        while let Some(function) = next {
            if let Some(start) = chain.iter().position(|it| it.name.text == function.name.text) {
                chain.drain(..start);
                break;
            }
            chain.push(function);
            next = waiting.iter().copied().find(|it| calls_any(&function.body, &[it.name.text.as_str()]));
        }
        let mut names: Vec<String> = chain.iter().map(|it| it.name.text.clone()).collect();
        names.extend(names.first().cloned());
        if let Some(last) = chain.last() {
            self.mistakes.push(mistake::rule_loop(last.name.span, &names));
        }
        waiting.retain(|it| !names.contains(&it.name.text));
        for function in chain {
            let parameters = function.parameters.iter().map(|(name, _)| (name.text.clone(), Type::Any)).collect();
            self.push_function(function, parameters, Type::Any, Ir::Unknown);
        }
    }

    fn function(&mut self, function: &tree::Function) {
        let parameters: Vec<(String, Type)> =
            function.parameters.iter().map(|(name, kind)| (name.text.clone(), self.type_of(kind))).collect();
        let (body, result) = self.expr(&function.body, &Scope::Function(&parameters));
        self.push_function(function, parameters, result, body);
    }

    fn push_function(&mut self, function: &tree::Function, parameters: Vec<(String, Type)>, result: Type, body: Ir) {
        let id = FunctionId(self.model.functions.len());
        self.base().names.functions.insert(function.name.text.clone(), id);
        let doc = function.doc.as_ref().map(|text| text.text.clone()).unwrap_or_default();
        self.base().functions.push(Function { name: function.name.clone(), doc, parameters, result, body });
    }
}

fn key_of(row: &[Valued]) -> f64 {
    match row.first().map(|it| &it.value) {
        Some(Value::Number(number)) => number.range.low(),
        _ => 0.0,
    }
}

/// Whether an expression calls one of these functions.
fn calls_any(expr: &tree::Expr, names: &[&str]) -> bool {
    use tree::ExprNode::*;
    let any = |all: &[tree::Expr]| all.iter().any(|it| calls_any(it, names));
    match &expr.node {
        Apply(name, arguments) => names.contains(&name.text.as_str()) || any(arguments),
        If(three) => any(&**three),
        Or(all) | And(all) | List(all) => any(all),
        Not(inner) | Negate(inner) | Is(inner, ..) | Lookup(_, inner, _) => calls_any(inner, names),
        In(subject, _, low, high) => {
            calls_any(subject, names) || calls_any(low, names) || high.as_ref().is_some_and(|it| calls_any(it, names))
        }
        Compare(left, _, right) => calls_any(left, names) || calls_any(right, names),
        Sum(first, rest) | Product(first, rest) => {
            calls_any(first, names) || rest.iter().any(|(_, it)| calls_any(it, names))
        }
        Quantity(_) | Text(_) | Path(_) => false,
    }
}
