//! Expressions of rules, and texts with expressions in them.

use super::{Builder, Rule};
use crate::mistake;
use crate::source::Span;
use crate::syntax::tree::*;
use crate::syntax::{Grammar, expected};
use pest::Parser;
use pest::iterators::Pair;

/// Expressions within expressions; the bracket limit bounds most of it, `else if` chains the rest.
const DEEPEST: usize = 200;

impl Builder<'_> {
    /// An expression, from any rule of the expression part of the grammar.
    pub(super) fn expr(&mut self, pair: Pair<Rule>) -> Expr {
        let span = self.span(&pair);
        if self.depth > DEEPEST {
            self.mistakes.push(mistake::too_deep(span));
            return Expr { node: ExprNode::List(Vec::new()), span };
        }
        self.depth += 1;
        let expr = self.expr_within(pair, span);
        self.depth -= 1;
        expr
    }

    fn expr_within(&mut self, pair: Pair<Rule>, span: Span) -> Expr {
        let rule = pair.as_rule();
        let node = match rule {
            Rule::if_expr => {
                let mut three = self.operands(pair).into_iter();
                match (three.next(), three.next(), three.next()) {
                    (Some(a), Some(b), Some(c)) => ExprNode::If(Box::new([a, b, c])),
                    _ => ExprNode::List(Vec::new()),
                }
            }
            Rule::or_expr | Rule::and_expr => {
                let mut operands = self.operands(pair);
                match operands.pop() {
                    Some(only) if operands.is_empty() => return only,
                    last => {
                        operands.extend(last);
                        if rule == Rule::or_expr { ExprNode::Or(operands) } else { ExprNode::And(operands) }
                    }
                }
            }
            Rule::not_expr | Rule::unary => {
                let odd =
                    pair.clone().into_inner().filter(|it| matches!(it.as_rule(), Rule::kw_not | Rule::minus)).count()
                        % 2
                        == 1;
                let inner = self.operand(pair, span);
                match (odd, rule) {
                    (false, _) => return inner,
                    (true, Rule::not_expr) => ExprNode::Not(Box::new(inner)),
                    (true, _) => ExprNode::Negate(Box::new(inner)),
                }
            }
            Rule::comparison => return self.comparison(pair, span),
            Rule::sum | Rule::product => return self.chain(pair, span),
            Rule::expr | Rule::group => return self.operand(pair, span),
            Rule::quantity_expr => match self.quantity(pair) {
                Some(quantity) => ExprNode::Quantity(quantity),
                None => ExprNode::List(Vec::new()),
            },
            Rule::text => ExprNode::Text(super::values::unquoted(pair.as_str())),
            Rule::apply => ExprNode::Apply(self.first_name(&pair), self.operands(pair)),
            Rule::lookup => {
                let mut names = self.names(&pair).into_iter();
                let (table, column) = (names.next(), names.next());
                let key = Box::new(self.operand(pair, span));
                match (table, column) {
                    (Some(table), Some(column)) => ExprNode::Lookup(table, key, column),
                    _ => ExprNode::List(Vec::new()),
                }
            }
            Rule::path => ExprNode::Path(self.name(&pair)),
            _ => ExprNode::List(self.operands(pair)),
        };
        Expr { node, span }
    }

    fn operands(&mut self, pair: Pair<Rule>) -> Vec<Expr> {
        pair.into_inner().filter(|child| is_expression(child.as_rule())).map(|child| self.expr(child)).collect()
    }

    fn operand(&mut self, pair: Pair<Rule>, span: Span) -> Expr {
        let found = pair.into_inner().find(|child| is_expression(child.as_rule()));
        match found {
            Some(child) => self.expr(child),
            None => Expr { node: ExprNode::List(Vec::new()), span },
        }
    }

    fn chain(&mut self, pair: Pair<Rule>, span: Span) -> Expr {
        let product = pair.as_rule() == Rule::product;
        let (mut first, mut rest, mut inverse) = (None, Vec::new(), false);
        for child in pair.into_inner() {
            match child.as_rule() {
                Rule::minus | Rule::slash => inverse = true,
                rule if is_expression(rule) => {
                    let operand = self.expr(child);
                    if first.is_none() {
                        first = Some(operand);
                    } else {
                        rest.push((inverse, operand));
                    }
                    inverse = false;
                }
                _ => {}
            }
        }
        let first = first.unwrap_or(Expr { node: ExprNode::List(Vec::new()), span });
        if rest.is_empty() {
            return first;
        }
        let first = Box::new(first);
        Expr { node: if product { ExprNode::Product(first, rest) } else { ExprNode::Sum(first, rest) }, span }
    }

    fn comparison(&mut self, pair: Pair<Rule>, span: Span) -> Expr {
        let mut children = pair.into_inner();
        let subject = match children.next() {
            Some(child) => self.expr(child),
            None => Expr { node: ExprNode::List(Vec::new()), span },
        };
        let Some(tail) =
            children.find(|child| matches!(child.as_rule(), Rule::is_test | Rule::in_test | Rule::compare))
        else {
            return subject;
        };
        let not = tail.clone().into_inner().any(|child| child.as_rule() == Rule::kw_not);
        let subject = Box::new(subject);
        let node = match tail.as_rule() {
            Rule::is_test => ExprNode::Is(subject, not, self.names(&tail)),
            Rule::in_test => {
                let mut ends = self.operands(tail).into_iter();
                match ends.next() {
                    Some(low) => ExprNode::In(subject, not, Box::new(low), ends.next().map(Box::new)),
                    None => return *subject,
                }
            }
            _ => {
                let sign = tail.clone().into_inner().find(|child| child.as_rule() == Rule::comparator);
                let comparator = match sign.as_ref().map_or("", |sign| sign.as_str()) {
                    "==" => Comparator::Equal,
                    "!=" => Comparator::Unequal,
                    "<" => Comparator::Below,
                    "<=" => Comparator::AtMost,
                    ">" => Comparator::Above,
                    _ => Comparator::AtLeast,
                };
                let other = self.operand(tail, span);
                ExprNode::Compare(subject, comparator, Box::new(other))
            }
        };
        Expr { node, span }
    }

    /// The strings of a pair as one template: `{expressions}` in them are parsed in place.
    pub(super) fn template(&mut self, pair: &Pair<Rule>) -> Option<Template> {
        let mut pieces: Vec<Piece> = Vec::new();
        let mut span: Option<Span> = None;
        for string in self.strings(pair) {
            let here = self.span(&string);
            if span.is_some() {
                push_words(&mut pieces, " ");
            }
            span = Some(span.map_or(here, |so_far| so_far.to(here)));
            self.pieces(&mut pieces, &string);
        }
        Some(Template { pieces, span: span? })
    }

    fn pieces(&mut self, pieces: &mut Vec<Piece>, string: &Pair<Rule>) {
        let quoted = string.as_str();
        let start = string.as_span().start();
        let inside = quoted.strip_prefix('"').and_then(|rest| rest.strip_suffix('"')).unwrap_or(quoted);
        let mut at = 0;
        while let Some(open) = inside[at..].find('{').map(|found| at + found) {
            push_words(pieces, &super::values::unquoted(&inside[at..open]));
            let Some(close) = inside[open..].find('}').map(|found| open + found) else {
                let place = Span::new(self.file, start + 1 + open, start + 1 + inside.len());
                self.mistakes.push(mistake::open_brace(place));
                return;
            };
            self.piece(pieces, start + 1 + open + 1, start + 1 + close);
            at = close + 1;
        }
        push_words(pieces, &super::values::unquoted(&inside[at..]));
    }

    /// One expression at bytes `start..end` of the file; it is parsed alone, with its places moved to where it stands.
    fn piece(&mut self, pieces: &mut Vec<Piece>, start: usize, end: usize) {
        let Some(text) = self.text.get(start..end) else { return };
        let offset = start + text.len() - text.trim_start().len();
        let text = text.trim();
        match Grammar::parse(Rule::expr, text) {
            Ok(mut pairs) => {
                let Some(pair) = pairs.next() else { return };
                if pair.as_str().len() != text.len() {
                    let place = Span::new(self.file, offset + pair.as_str().len(), end);
                    self.mistakes.push(mistake::broken_piece(place, &[]));
                }
                let outer = std::mem::replace(&mut self.offset, offset);
                pieces.push(Piece::Expr(self.expr(pair)));
                self.offset = outer;
            }
            Err(error) => {
                let at = (offset + expected::position(&error)).min(end);
                let place = if at < end { Span::new(self.file, at, end) } else { Span::new(self.file, start, end) };
                self.mistakes.push(mistake::broken_piece(place, &expected::words(&error)));
            }
        }
    }
}

fn push_words(pieces: &mut Vec<Piece>, words: &str) {
    if words.is_empty() {
        return;
    }
    match pieces.last_mut() {
        Some(Piece::Text(so_far)) => so_far.push_str(words),
        _ => pieces.push(Piece::Text(words.to_owned())),
    }
}

fn is_expression(rule: Rule) -> bool {
    use Rule::*;
    matches!(rule, expr | if_expr | or_expr | and_expr | not_expr | comparison | sum | product | unary | quantity_expr)
        || matches!(rule, text | apply | lookup | path | group | list_expr)
}
