//! Expressions: names resolved, types and dimensions checked.

use super::*;
use crate::calc;
use crate::mistake;
use crate::quantity::{Dimension, Interval};
use crate::source::Span;
use crate::syntax::tree::{self, Comparator, Expr, ExprNode, Name};

/// What names an expression may use.
pub(super) enum Scope<'s> {
    /// Parameters and `let`s of a joint.
    Joint { takes: &'s [Takes], lets: &'s [(String, Type)] },
    /// Parameters of a function.
    Function(&'s [(String, Type)]),
    /// Slots and facts of an assembly.
    Assembly(&'s Assembly),
}

impl Builder {
    /// The expression as what is computed, with its type. After a mistake both agree with everything.
    pub(super) fn expr(&mut self, expr: &Expr, scope: &Scope) -> (Ir, Type) {
        match &expr.node {
            ExprNode::Quantity(quantity) => self.literal(quantity),
            ExprNode::Text(text) => (Ir::Text(text.as_str().into()), Type::Text),
            ExprNode::Path(path) => self.path(path, scope),
            ExprNode::If(three) => {
                let [condition, yes, no] = &**three;
                let condition = self.flag(condition, scope);
                let ((yes_ir, yes_type), (no_ir, no_type)) = (self.expr(yes, scope), self.expr(no, scope));
                if !Model::agrees(&yes_type, &no_type) {
                    let words = format!("`then` gives {}, `else` gives {}", self.said(&yes_type), self.said(&no_type));
                    let label = format!("this is {}", self.said(&no_type));
                    let help = "let both sides give values of one type";
                    self.mistakes.push(mistake::rule_type(no.span, words, label, help));
                }
                (Ir::If(Box::new([condition, yes_ir, no_ir])), yes_type)
            }
            ExprNode::Or(all) => (Ir::Or(all.iter().map(|it| self.flag(it, scope)).collect()), Type::Flag),
            ExprNode::And(all) => (Ir::And(all.iter().map(|it| self.flag(it, scope)).collect()), Type::Flag),
            ExprNode::Not(inner) => (Ir::Not(Box::new(self.flag(inner, scope))), Type::Flag),
            ExprNode::Is(subject, not, names) => {
                let test = self.is_test(subject, names, scope);
                (if *not { Ir::Not(Box::new(test)) } else { test }, Type::Flag)
            }
            ExprNode::In(subject, not, low, high) => {
                let test = self.in_test(subject, low, high.as_deref(), scope);
                (if *not { Ir::Not(Box::new(test)) } else { test }, Type::Flag)
            }
            ExprNode::Compare(left, sign, right) => (self.compare(left, *sign, right, scope), Type::Flag),
            ExprNode::Sum(first, rest) => {
                let (first_ir, kind) = self.any_number(first, scope);
                let rest = rest.iter().map(|(minus, term)| {
                    let (ir, other) = self.any_number(term, scope);
                    self.same_dimension(&kind, &other, term.span, if *minus { "subtracted from" } else { "added to" });
                    (*minus, ir)
                });
                let rest = rest.collect();
                let result = kind.dimension().map_or(Type::Any, Type::Number);
                (Ir::Sum(Box::new(first_ir), rest), result)
            }
            ExprNode::Product(first, rest) => self.product(first, rest, scope),
            ExprNode::Negate(inner) => {
                let (ir, kind) = self.any_number(inner, scope);
                (Ir::Negate(Box::new(ir)), kind)
            }
            ExprNode::Apply(name, arguments) => self.apply(name, arguments, expr.span, scope),
            ExprNode::Lookup(table, key, column) => self.lookup(table, key, column, scope),
            ExprNode::List(all) => {
                let mut kind = Type::Any;
                let mut irs = Vec::new();
                for item in all {
                    let (ir, item_type) = self.expr(item, scope);
                    if !Model::agrees(&item_type, &kind) {
                        let (list, found) = (self.said(&Type::List(Box::new(kind.clone()))), self.said(&item_type));
                        let (words, label) = (format!("{list} can't hold {found}"), format!("this is {found}"));
                        let help = "a list holds values of one type: take this one out, or correct its unit";
                        self.mistakes.push(mistake::rule_type(item.span, words, label, help));
                    }
                    kind = item_type;
                    irs.push(ir);
                }
                (Ir::List(irs), Type::List(Box::new(kind)))
            }
        }
    }

    fn said(&self, kind: &Type) -> String {
        self.model.said(kind)
    }

    fn literal(&mut self, quantity: &tree::Quantity) -> (Ir, Type) {
        let name = Name { text: "a number".to_owned(), span: quantity.span };
        let kind = match &quantity.unit {
            None => Type::Number(Dimension::NONE),
            Some(unit) => match crate::quantity::unit(&unit.text) {
                Some(known) => Type::Number(known.dimension),
                None if self.model.counted.contains(&unit.text) => Type::Count(unit.text.clone()),
                None => {
                    let known = crate::quantity::UNITS.iter().map(|unit| unit.name);
                    self.mistakes.push(mistake::unit_unknown(unit.span, &unit.text, known));
                    return (Ir::Unknown, Type::Any);
                }
            },
        };
        match self.number(quantity, &kind, &name, Interval::ALL) {
            Some(value) => (Ir::Number(Interval::exact(value)), kind),
            None => (Ir::Unknown, Type::Any),
        }
    }

    /// An expression that is yes or no.
    pub(super) fn flag(&mut self, expr: &Expr, scope: &Scope) -> Ir {
        let (ir, kind) = self.expr(expr, scope);
        if !Model::agrees(&kind, &Type::Flag) {
            let found = self.said(&kind);
            let words = format!("a condition is yes or no, not {found}");
            let help = "compare it (`x <= 2 mm`, `x is a | b`), or ask whether it is there (`given(x)`)";
            self.mistakes.push(mistake::rule_type(expr.span, words, format!("this is {found}"), help));
            return Ir::Unknown;
        }
        ir
    }

    /// An expression that is a number of some dimension.
    fn any_number(&mut self, expr: &Expr, scope: &Scope) -> (Ir, Type) {
        let (ir, kind) = self.expr(expr, scope);
        if kind.dimension().is_none() && kind != Type::Any {
            let found = self.said(&kind);
            let words = format!("one can't compute with {found}");
            let help =
                "take a number of it: a field (`x.width`), `count(x)` of a list, `low(x)` or `high(x)` of a range";
            self.mistakes.push(mistake::rule_type(expr.span, words, format!("this is {found}"), help));
            return (Ir::Unknown, Type::Any);
        }
        (ir, kind)
    }

    fn same_dimension(&mut self, one: &Type, other: &Type, at: Span, how: &str) {
        if let (Some(one), Some(other)) = (one.dimension(), other.dimension())
            && one != other
        {
            let words = format!("{} can't be {how} {}", other.words(), one.words());
            let help = match (one, other) {
                (Dimension::NONE, _) | (_, Dimension::NONE) => "a plain number needs its unit: `2 mm`, not `2`",
                _ => "only values of one dimension go together: check the fields, or multiply by what is missing",
            };
            self.mistakes.push(mistake::rule_type(at, words, format!("this is {}", other.words()), help));
        }
    }

    fn product(&mut self, first: &Expr, rest: &[(bool, Expr)], scope: &Scope) -> (Ir, Type) {
        let (first_ir, kind) = self.any_number(first, scope);
        let mut dimension = kind.dimension();
        let mut factors = Vec::new();
        for (over, factor) in rest {
            let (ir, kind) = self.any_number(factor, scope);
            dimension = match (dimension, kind.dimension()) {
                (Some(so_far), Some(next)) => {
                    let result = if *over { so_far.over(next) } else { so_far.times(next) };
                    if result.is_none() {
                        let words = "a product of so many factors has no dimension";
                        let help = "split it with `let`";
                        self.mistakes.push(mistake::rule_type(factor.span, words, "one factor too many", help));
                    }
                    result
                }
                _ => None,
            };
            factors.push((*over, ir));
        }
        (Ir::Product(Box::new(first_ir), factors), dimension.map_or(Type::Any, Type::Number))
    }

    fn compare(&mut self, left: &Expr, sign: Comparator, right: &Expr, scope: &Scope) -> Ir {
        let ((left_ir, left_type), (right_ir, right_type)) = (self.expr(left, scope), self.expr(right, scope));
        let ordered = !matches!(sign, Comparator::Equal | Comparator::Unequal);
        let orderable = |kind: &Type| kind.dimension().is_some() || matches!(kind, Type::Money);
        if left_type == Type::Any || right_type == Type::Any {
            return Ir::Unknown;
        }
        if !Model::agrees(&left_type, &right_type) {
            let words = format!("{} can't be compared with {}", self.said(&left_type), self.said(&right_type));
            let label = format!("this is {}", self.said(&right_type));
            let help = match (left_type.dimension(), right_type.dimension()) {
                (Some(_), Some(_)) => "compare values of one dimension; a plain number needs its unit: `2 mm`, not `2`",
                _ => "compare values of one type; a choice or a standard is asked with `is`: `x is a | b`",
            };
            self.mistakes.push(mistake::rule_type(right.span, words, label, help));
            return Ir::Unknown;
        }
        if ordered && !(orderable(&left_type) && orderable(&right_type)) {
            let found = self.said(&left_type);
            let (words, label) = (format!("{found} is neither more nor less than another"), format!("this is {found}"));
            let help = "ask whether it is one: `x is a | b`, or `x == y`";
            self.mistakes.push(mistake::rule_type(left.span, words, label, help));
            return Ir::Unknown;
        }
        Ir::Compare(Box::new(left_ir), sign, Box::new(right_ir))
    }

    fn is_test(&mut self, subject: &Expr, names: &[Name], scope: &Scope) -> Ir {
        let (ir, kind) = self.expr(subject, scope);
        let ir = Box::new(ir);
        match kind {
            Type::Choice(id) => {
                let members: Vec<&str> = self.model[id].members.iter().map(|(name, _)| name.as_str()).collect();
                let mut found = Vec::new();
                for name in names {
                    match members.iter().position(|member| *member == name.text) {
                        Some(number) => found.push(number),
                        None => {
                            let what = format!("member of `{}` called", self.model[id].name.text);
                            self.mistakes.push(mistake::name_unknown(
                                name.span,
                                &what,
                                &name.text,
                                members.iter().copied(),
                            ));
                        }
                    }
                }
                Ir::IsMember(ir, found)
            }
            Type::Standard(id) => {
                let known: Vec<(StandardId, &str)> =
                    self.model[id].standards.iter().map(|id| (*id, self.model[*id].name.text.as_str())).collect();
                let mut found = Vec::new();
                for name in names {
                    match known.iter().find(|(_, known)| *known == name.text) {
                        Some((id, _)) => found.push(*id),
                        None => {
                            let what = format!("standard of `{}` called", self.model[id].name.text);
                            let known = known.iter().map(|(_, name)| *name);
                            self.mistakes.push(mistake::name_unknown(name.span, &what, &name.text, known));
                        }
                    }
                }
                Ir::IsStandard(ir, found)
            }
            Type::Part(_) => {
                let mut found = Vec::new();
                for name in names {
                    match self.model.names.kinds.get(&name.text) {
                        Some(id) => found.push(*id),
                        None => {
                            let known = self.model.names.kinds.keys().map(String::as_str);
                            self.mistakes.push(mistake::name_unknown(name.span, "kind", &name.text, known));
                        }
                    }
                }
                Ir::IsKind(ir, found)
            }
            Type::Any => Ir::Unknown,
            other => {
                let found = self.said(&other);
                let words = format!("`is` asks after a choice, a standard or a kind, not {found}");
                let help = "compare it with `==` or `<=` instead";
                self.mistakes.push(mistake::rule_type(subject.span, words, format!("this is {found}"), help));
                Ir::Unknown
            }
        }
    }

    fn in_test(&mut self, subject: &Expr, low: &Expr, high: Option<&Expr>, scope: &Scope) -> Ir {
        let (ir, kind) = self.expr(subject, scope);
        let (low_ir, low_type) = self.expr(low, scope);
        if let Some(high) = high {
            let (high_ir, high_type) = self.expr(high, scope);
            self.same_dimension(&kind, &low_type, low.span, "a limit of");
            self.same_dimension(&kind, &high_type, high.span, "a limit of");
            return Ir::Between(Box::new([ir, low_ir, high_ir]));
        }
        match low_type {
            Type::Range(inner) => {
                self.same_dimension(&kind, &inner, low.span, "a limit of");
                Ir::Within(Box::new([ir, low_ir]))
            }
            Type::List(inner) => {
                if !Model::agrees(&kind, &inner) {
                    let (found, list) = (self.said(&kind), self.said(&Type::List(inner)));
                    let (words, label) = (format!("{found} can't stand in {list}"), format!("this is {list}"));
                    let help = "look for values of the list's own type";
                    self.mistakes.push(mistake::rule_type(low.span, words, label, help));
                }
                Ir::Among(Box::new([ir, low_ir]))
            }
            Type::Any => Ir::Unknown,
            other => {
                let found = self.said(&other);
                let words = format!("`in` looks into a list or a range, not into {found}");
                let help = "write `x in 4 mm .. 6 mm` or `x in [a, b]`, or compare with `==`";
                self.mistakes.push(mistake::rule_type(low.span, words, format!("this is {found}"), help));
                Ir::Unknown
            }
        }
    }

    /// The type of a path into an assembly.
    pub(super) fn expr_path(&mut self, path: &Name, assembly: &Assembly) -> Type {
        self.path(path, &Scope::Assembly(assembly)).1
    }

    fn path(&mut self, path: &Name, scope: &Scope) -> (Ir, Type) {
        let text = path.text.as_str();
        if matches!(text, "yes" | "true") {
            return (Ir::Flag(true), Type::Flag);
        }
        if matches!(text, "no" | "false") {
            return (Ir::Flag(false), Type::Flag);
        }
        let (head, rest) = text.split_once('.').map_or((text, None), |(head, rest)| (head, Some(rest)));
        let known: Vec<&str> = match scope {
            Scope::Joint { takes, lets } => {
                if let Some(number) = lets.iter().position(|(name, _)| name == head) {
                    let kind = lets.get(number).map_or(Type::Any, |(_, kind)| kind.clone());
                    return self.member(Ir::Let(number), kind, rest, path);
                }
                if let Some(number) = takes.iter().position(|it| it.name.text == head) {
                    let kind = takes.get(number).map_or(Type::Any, |it| it.kind.clone());
                    return self.member(Ir::Parameter(number), kind, rest, path);
                }
                takes.iter().map(|it| it.name.text.as_str()).chain(lets.iter().map(|(name, _)| name.as_str())).collect()
            }
            Scope::Function(parameters) => {
                if let Some(number) = parameters.iter().position(|(name, _)| name == head) {
                    let kind = parameters.get(number).map_or(Type::Any, |(_, kind)| kind.clone());
                    return self.member(Ir::Parameter(number), kind, rest, path);
                }
                parameters.iter().map(|(name, _)| name.as_str()).collect()
            }
            Scope::Assembly(assembly) => {
                if let Some((slot, rest)) = slot_prefix(assembly, text) {
                    let kinds = assembly.slots.get_index(slot.0).map_or(Vec::new(), |(_, it)| it.kinds.clone());
                    return self.member(Ir::Slot(slot), Type::Part(kinds), rest, path);
                }
                if let Some(id) = assembly.facts.get(text) {
                    return (Ir::Whole(text.to_owned()), self.model[*id].kind.clone());
                }
                assembly.slots.keys().map(String::as_str).collect()
            }
        };
        let at = Span::new(path.span.file, path.span.start as usize, path.span.start as usize + head.len());
        self.mistakes.push(mistake::name_unknown(at, "value", head, known));
        (Ir::Unknown, Type::Any)
    }

    /// `rest` of `base`: facts of a part, fields of a standard.
    fn member(&mut self, base: Ir, kind: Type, rest: Option<&str>, path: &Name) -> (Ir, Type) {
        let Some(rest) = rest else { return (base, kind) };
        match kind {
            Type::Part(kinds) => self.fact_of(base, &kinds, rest, path),
            Type::Standard(interface) => {
                let (field, more) = rest.split_once('.').map_or((rest, None), |(field, more)| (field, Some(more)));
                let fields = self.model[interface].standards.iter().flat_map(|id| &self.model[*id].fields);
                let found: Vec<Type> = fields
                    .map(|id| &self.model[*id])
                    .filter(|it| it.name.text == field)
                    .map(|it| it.kind.clone())
                    .collect();
                let Some(kind) = found.first().cloned() else {
                    let known: Vec<String> = self.model[interface]
                        .standards
                        .iter()
                        .flat_map(|id| &self.model[*id].fields)
                        .map(|id| self.model[*id].name.text.clone())
                        .collect();
                    let interface = self.model[interface].name.text.clone();
                    let known = known.iter().map(String::as_str);
                    let end = path.span.end as usize - more.map_or(0, |more| more.len() + 1);
                    let at = Span::new(path.span.file, end - field.len(), end);
                    self.mistakes.push(mistake::field_of_none(at, field, &interface, known));
                    return (Ir::Unknown, Type::Any);
                };
                if found.iter().any(|other| !Model::agrees(other, &kind)) {
                    let interface = &self.model[interface].name.text;
                    let words = format!("`{field}` is of different types in the standards of `{interface}`");
                    let help = "give the fields different names, or one type";
                    self.mistakes.push(mistake::rule_type(path.span, words, "which of them is meant?", help));
                    return (Ir::Unknown, Type::Any);
                }
                self.member(Ir::Field(Box::new(base), field.to_owned(), path.span), kind, more, path)
            }
            Type::Any => (Ir::Unknown, Type::Any),
            other => {
                let found = self.said(&other);
                let words = format!("{found} has no `{rest}`");
                let help = "only parts have facts, and only standards have fields: leave out what follows the point";
                self.mistakes.push(mistake::rule_type(path.span, words, format!("`{rest}` of {found}"), help));
                (Ir::Unknown, Type::Any)
            }
        }
    }

    fn fact_of(&mut self, base: Ir, kinds: &[KindId], rest: &str, path: &Name) -> (Ir, Type) {
        // Fact names are dotted themselves: the longest that any of the kinds has is meant.
        let mut end = rest.len();
        loop {
            let (fact, more) = (rest.get(..end).unwrap_or(rest), rest.get(end + 1..));
            let types: Vec<Type> = kinds
                .iter()
                .filter_map(|kind| self.model[*kind].facts.get(fact))
                .map(|id| self.model[*id].kind.clone())
                .collect();
            if let Some(kind) = types.first() {
                if types.iter().any(|other| !Model::agrees(other, kind)) {
                    let words = format!("`{fact}` is of different types on the kinds that may stand here");
                    let help = "give the facts different names, or one type";
                    self.mistakes.push(mistake::rule_type(path.span, words, "which of them is meant?", help));
                    return (Ir::Unknown, Type::Any);
                }
                let kind = kind.clone();
                return self.member(Ir::Fact(Box::new(base), fact.to_owned()), kind, more, path);
            }
            match fact.rfind('.') {
                Some(dot) => end = dot,
                None => break,
            }
        }
        let known: Vec<String> = kinds.iter().flat_map(|kind| self.model[*kind].facts.keys().cloned()).collect();
        let kind = kinds.first().map_or("part", |kind| self.model[*kind].name.text.as_str()).to_owned();
        let at = kinds.first().map_or(path.span, |kind| self.model[*kind].name.span);
        let wrong = Span::new(path.span.file, path.span.end as usize - rest.len(), path.span.end as usize);
        self.mistakes.push(mistake::fact_unknown(wrong, rest, &kind, at, known.iter().map(String::as_str)));
        (Ir::Unknown, Type::Any)
    }

    fn apply(&mut self, name: &Name, arguments: &[Expr], span: Span, scope: &Scope) -> (Ir, Type) {
        let typed: Vec<(Ir, Type)> = arguments.iter().map(|argument| self.expr(argument, scope)).collect();
        let (irs, types): (Vec<Ir>, Vec<Type>) = typed.into_iter().unzip();
        if let Some((_, builtin)) = Builtin::NAMED.iter().find(|(known, _)| *known == name.text) {
            return match self.builtin_type(*builtin, &types) {
                Ok(kind) => (Ir::Builtin(*builtin, irs), kind),
                Err(words) => {
                    let given: Vec<String> = types.iter().map(|it| self.said(it)).collect();
                    let label = if given.is_empty() {
                        "with nothing".to_owned()
                    } else {
                        format!("with {}", given.join(" and "))
                    };
                    let help = format!("`cotter explain {}` says what it takes", name.text);
                    self.mistakes.push(mistake::rule_type(span, format!("`{}` {words}", name.text), label, help));
                    (Ir::Unknown, Type::Any)
                }
            };
        }
        if let Some(id) = self.model.names.functions.get(&name.text).copied() {
            let (parameters, result) = match self.model.functions.get(id.0) {
                Some(function) => (function.parameters.clone(), function.result.clone()),
                None => (Vec::new(), Type::Any),
            };
            let wanted: Vec<Type> = parameters.into_iter().map(|(_, kind)| kind).collect();
            return if self.arguments(name, arguments, &types, &wanted, span) {
                (Ir::Function(id, irs), result)
            } else {
                (Ir::Unknown, Type::Any)
            };
        }
        if let Some((number, function)) = calc::FUNCTIONS.iter().enumerate().find(|(_, it)| it.name == name.text) {
            let wanted: Vec<Type> = function.parameters.iter().map(wanted_of).collect();
            return if self.arguments(name, arguments, &types, &wanted, span) {
                (Ir::Calc(number, irs), Type::Number(function.result))
            } else {
                (Ir::Unknown, Type::Any)
            };
        }
        let known: Vec<&str> = Builtin::NAMED
            .iter()
            .map(|(known, _)| *known)
            .chain(self.model.names.functions.keys().map(String::as_str))
            .chain(calc::FUNCTIONS.iter().map(|it| it.name))
            .collect();
        self.mistakes.push(mistake::name_unknown(name.span, "function", &name.text, known));
        (Ir::Unknown, Type::Any)
    }

    fn arguments(&mut self, name: &Name, given: &[Expr], types: &[Type], wanted: &[Type], span: Span) -> bool {
        if types.len() != wanted.len() {
            let (takes, found) = (wanted.len(), types.len());
            let words = format!("`{}` takes {takes} {}, not {found}", name.text, mistake::values(takes));
            let help = format!("`cotter explain {}` says what it takes", name.text);
            let label = format!("{found} {} given", mistake::values(found));
            self.mistakes.push(mistake::rule_type(span, words, label, help));
            return false;
        }
        let mut fine = true;
        for ((argument, found), wanted) in given.iter().zip(types).zip(wanted) {
            if !Model::agrees(found, wanted) {
                let (wanted, found) = (self.said(wanted), self.said(found));
                let words = format!("`{}` takes {wanted} here, not {found}", name.text);
                let help = format!("`cotter explain {}` says what it takes", name.text);
                self.mistakes.push(mistake::rule_type(argument.span, words, format!("this is {found}"), help));
                fine = false;
            }
        }
        fine
    }

    fn builtin_type(&self, builtin: Builtin, types: &[Type]) -> Result<Type, String> {
        let number = |kind: &Type| kind.dimension().map(Type::Number);
        match (builtin, types) {
            (Builtin::Given, [_]) => Ok(Type::Flag),
            (_, [Type::Any, ..]) => Ok(Type::Any),
            (Builtin::Abs | Builtin::Round | Builtin::Floor | Builtin::Ceil, [one]) => {
                number(one).ok_or_else(|| "takes a number".to_owned())
            }
            (Builtin::Sqrt, [one]) => one
                .dimension()
                .and_then(Dimension::root)
                .map(Type::Number)
                .ok_or_else(|| "takes a number that has a root".to_owned()),
            (Builtin::Min | Builtin::Max, [first, _, ..]) => {
                let all_agree = types.iter().all(|kind| kind.dimension() == first.dimension() || *kind == Type::Any);
                number(first).filter(|_| all_agree).ok_or_else(|| "takes numbers of one dimension".to_owned())
            }
            (Builtin::Count, [Type::List(_)]) => Ok(Type::Number(Dimension::NONE)),
            (Builtin::Sum | Builtin::Smallest | Builtin::Largest, [Type::List(inner)]) => number(inner)
                .or((**inner == Type::Any).then_some(Type::Any))
                .ok_or_else(|| "takes a list of numbers".to_owned()),
            (Builtin::First | Builtin::Last, [Type::List(inner)]) => Ok((**inner).clone()),
            (Builtin::Low | Builtin::High, [Type::Range(inner)]) => number(inner)
                .or((**inner == Type::Any).then_some(Type::Any))
                .ok_or_else(|| "takes a range of numbers".to_owned()),
            (Builtin::Low | Builtin::High, _) => Err("takes one range".to_owned()),
            (
                Builtin::Count | Builtin::Sum | Builtin::Smallest | Builtin::Largest | Builtin::First | Builtin::Last,
                _,
            ) => Err("takes one list".to_owned()),
            (Builtin::Given, _) => Err("takes the name of one value".to_owned()),
            (Builtin::Min | Builtin::Max, _) => Err("takes two numbers or more".to_owned()),
            _ => Err("takes one number".to_owned()),
        }
    }

    fn lookup(&mut self, table: &Name, key: &Expr, column: &Name, scope: &Scope) -> (Ir, Type) {
        let (key_ir, key_type) = self.expr(key, scope);
        let Some(id) = self.model.names.tables.get(&table.text).copied() else {
            let known: Vec<&str> = self.model.names.tables.keys().map(String::as_str).collect();
            self.mistakes.push(mistake::name_unknown(table.span, "table", &table.text, known));
            return (Ir::Unknown, Type::Any);
        };
        let columns = self.model[id].columns.clone();
        if let Some((_, wanted)) = columns.first()
            && !Model::agrees(&key_type, wanted)
        {
            let (wanted, found) = (self.said(wanted), self.said(&key_type));
            let words = format!("`{}` is looked up by {wanted}, not by {found}", table.text);
            let help = format!("`cotter explain {}` shows the table", table.text);
            self.mistakes.push(mistake::rule_type(key.span, words, format!("this is {found}"), help));
            return (Ir::Unknown, Type::Any);
        }
        match columns.iter().position(|(name, _)| *name == column.text) {
            Some(number) => {
                let kind = columns.get(number).map_or(Type::Any, |(_, kind)| kind.clone());
                (Ir::Lookup(id, Box::new(key_ir), number), kind)
            }
            None => {
                let known = columns.iter().map(|(name, _)| name.as_str());
                self.mistakes.push(mistake::name_unknown(column.span, "column", &column.text, known));
                (Ir::Unknown, Type::Any)
            }
        }
    }

    /// A text with its values resolved.
    pub(super) fn template(&mut self, template: &tree::Template, scope: &Scope) -> Template {
        let pieces = template.pieces.iter().map(|piece| match piece {
            tree::Piece::Text(words) => Piece::Text(words.clone()),
            tree::Piece::Expr(expr) => {
                let (ir, kind) = self.expr(expr, scope);
                Piece::Value(ir, kind.dimension())
            }
        });
        Template { pieces: pieces.collect() }
    }
}

/// The slot that a path begins with, and what follows it.
pub(super) fn slot_prefix<'p>(assembly: &Assembly, path: &'p str) -> Option<(SlotId, Option<&'p str>)> {
    let mut end = path.len();
    loop {
        let head = path.get(..end)?;
        if let Some(number) = assembly.slots.get_index_of(head) {
            return Some((SlotId(number), path.get(end + 1..)));
        }
        end = head.rfind('.')?;
    }
}

/// The type that a parameter of a computation takes.
fn wanted_of(parameter: &calc::Parameter) -> Type {
    let one = Type::Number(parameter.dimension);
    if parameter.list { Type::List(Box::new(one)) } else { one }
}
