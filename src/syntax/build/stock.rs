//! Stock: price lists, and what is read from their columns.

use super::{Builder, Rule};
use crate::syntax::rules;
use crate::syntax::tree::*;
use pest::iterators::Pair;

impl Builder<'_> {
    pub(super) fn stock(&mut self, pair: Pair<Rule>) -> Stock {
        let mut names = self.names(&pair).into_iter();
        let mut stock = Stock {
            name: names.next().unwrap_or_else(|| self.no_name(&pair)),
            kind: names.next().unwrap_or_else(|| self.no_name(&pair)),
            file: self.words(&pair).unwrap_or_else(|| Text { text: String::new(), span: self.span(&pair) }),
            entries: Vec::new(),
            span: self.span(&pair),
        };
        for child in pair.into_inner() {
            match child.as_rule() {
                Rule::entry => stock.entries.extend(self.entry(child)),
                Rule::bad_line => self.broken_line(&child, &rules::STOCK),
                Rule::missing_open => self.unopened(&child, &rules::STOCK),
                Rule::missing_close => self.unclosed(&child, &rules::STOCK, Some(&stock.name.text)),
                _ => {}
            }
        }
        stock
    }

    fn entry(&mut self, pair: Pair<Rule>) -> Option<Entry> {
        let path = self.names(&pair).into_iter().next()?;
        let filling = pair.into_inner().find_map(|child| self.filling(child))?;
        Some(Entry { path, filling })
    }

    fn filling(&mut self, pair: Pair<Rule>) -> Option<Filling> {
        match pair.as_rule() {
            Rule::cell => Some(Filling::Cell(self.cell(&pair)?)),
            Rule::filled => {
                let span = self.span(&pair);
                let name = self.first_name(&pair);
                let fills = pair.into_inner().filter(|child| child.as_rule() == Rule::fill);
                Some(Filling::Call(name, fills.filter_map(|it| self.fill(it)).collect(), span))
            }
            _ => self.value(pair).map(Filling::Value),
        }
    }

    fn fill(&mut self, pair: Pair<Rule>) -> Option<(Option<Name>, Filling)> {
        let name = self.names(&pair).into_iter().next();
        Some((name, pair.into_inner().find_map(|child| self.filling(child))?))
    }

    fn cell(&mut self, pair: &Pair<Rule>) -> Option<Cell> {
        let (mut unit, mut test) = (None, None);
        for child in pair.clone().into_inner() {
            match child.as_rule() {
                Rule::unit => unit = Some(self.name(&child)),
                Rule::test => {
                    let not = child.clone().into_inner().any(|it| it.as_rule() == Rule::kw_not);
                    let words = self.strings(&child).iter().map(|it| self.text(it)).collect();
                    test = Some(Test { not, words });
                }
                _ => {}
            }
        }
        let column = self.text(self.strings(pair).first()?);
        Some(Cell { column, unit, test, span: self.span(pair) })
    }

    fn text(&self, pair: &Pair<Rule>) -> Text {
        Text { text: super::values::unquoted(pair.as_str()), span: self.span(pair) }
    }
}
