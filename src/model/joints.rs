//! Joints: parameters, `let`s, rules, fastenings.

use super::checker::Scope;
use super::*;
use crate::mistake;
use crate::quantity::Dimension;
use crate::syntax::tree::{self, Item};

impl Builder {
    pub(super) fn joints(&mut self, trees: &[&tree::Tree]) {
        let mut bodies: Vec<(&tree::Joint, Vec<&tree::JointBody>)> = Vec::new();
        for item in trees.iter().flat_map(|tree| &tree.items) {
            if let Item::Joint(joint) = item {
                let id = JointId(bodies.len());
                let (names, all) = (&mut Arc::make_mut(&mut self.model.base).names.joints, &bodies);
                let first = |id: JointId| all.get(id.0).map_or(joint.name.span, |(it, _)| it.name.span);
                if Self::take_name(names, &mut self.mistakes, "joint", &joint.name, id, first) {
                    bodies.push((joint, Vec::new()));
                }
            }
        }
        for item in trees.iter().flat_map(|tree| &tree.items) {
            if let Item::Extend(extend) = item
                && extend.what.text == "joint"
            {
                match self.model.names.joints.get(&extend.name.text).and_then(|id| bodies.get_mut(id.0)) {
                    Some((_, more)) => more.push(&extend.joint),
                    None => {
                        let known: Vec<&str> = self.model.names.joints.keys().map(String::as_str).collect();
                        self.mistakes.push(mistake::name_unknown(extend.name.span, "joint", &extend.name.text, known));
                    }
                }
            }
        }
        for (joint, more) in &bodies {
            self.joint(joint, more);
        }
    }

    fn joint(&mut self, joint: &tree::Joint, more: &[&tree::JointBody]) {
        let bodies: Vec<&tree::JointBody> = std::iter::once(&joint.body).chain(more.iter().copied()).collect();
        let mut takes: Vec<Takes> = Vec::new();
        for parameter in bodies.iter().flat_map(|body| &body.takes) {
            if let Some(first) = takes.iter().find(|it| it.name.text == parameter.name.text) {
                let name = &parameter.name;
                self.mistakes.push(mistake::name_twice(name.span, "parameter", &name.text, first.name.span));
                continue;
            }
            let kind = self.type_of(&parameter.kind);
            takes.push(Takes { name: parameter.name.clone(), optional: parameter.optional, kind });
        }
        let mut lets: Vec<(String, Ir)> = Vec::new();
        let mut let_types: Vec<(String, Type)> = Vec::new();
        for (name, expr) in bodies.iter().flat_map(|body| &body.lets) {
            let taken = takes
                .iter()
                .map(|it| &it.name.text)
                .chain(let_types.iter().map(|(it, _)| it))
                .any(|it| *it == name.text);
            if taken {
                let spans =
                    takes.iter().map(|it| &it.name).chain(bodies.iter().flat_map(|it| &it.lets).map(|(it, _)| it));
                let first = spans.into_iter().find(|it| it.text == name.text).map_or(joint.name.span, |it| it.span);
                self.mistakes.push(mistake::name_twice(name.span, "value", &name.text, first));
                continue;
            }
            let (ir, kind) = self.expr(expr, &Scope::Joint { takes: &takes, lets: &let_types });
            lets.push((name.text.clone(), ir));
            let_types.push((name.text.clone(), kind));
        }
        let scope = Scope::Joint { takes: &takes, lets: &let_types };
        let rules = bodies.iter().flat_map(|body| &body.rules).filter_map(|rule| self.rule(rule, &scope)).collect();
        let fastenings = bodies.iter().flat_map(|body| &body.fastenings).map(|it| self.fastening(it, &scope)).collect();
        let consumes: Vec<Consumed> =
            bodies.iter().flat_map(|body| &body.consumes).map(|it| self.consumed(it, &scope)).collect();
        let works: Vec<Work> =
            bodies.iter().flat_map(|body| &body.works).filter_map(|it| self.work(it, &scope)).collect();
        let cautions = self.cautions(bodies.iter().flat_map(|body| &body.cautions), &scope);
        let about = self.about(&joint.about);
        self.base().joints.push(Joint {
            name: joint.name.clone(),
            about: about.into(),
            takes,
            lets,
            rules,
            fastenings,
            consumes: consumes.into(),
            works: works.into(),
            cautions,
        });
    }

    /// Cautions that are called for, those left out that nobody declares.
    pub(super) fn cautions<'t>(
        &mut self,
        refs: impl IntoIterator<Item = &'t tree::CautionRef>,
        scope: &Scope,
    ) -> Vec<CautionRef> {
        let mut cautions = Vec::new();
        for tree::CautionRef { name, when } in refs {
            if !self.model.cautions.contains_key(&name.text) {
                let known: Vec<&str> = self.model.cautions.keys().map(String::as_str).collect();
                self.mistakes.push(mistake::name_unknown(name.span, "caution", &name.text, known));
                continue;
            }
            let when = when.as_ref().map(|it| self.flag(it, scope));
            cautions.push(CautionRef { name: name.text.clone(), when });
        }
        cautions
    }

    fn rule(&mut self, rule: &tree::Rule, scope: &Scope) -> Option<Rule> {
        let code = &rule.code;
        if let Some(first) = self.model.names.codes.get(&code.text).copied() {
            self.mistakes.push(mistake::name_twice(code.span, "rule", &code.text, first));
            return None;
        }
        self.base().names.codes.insert(code.text.clone(), code.span);
        let (Some(that), Some(otherwise)) = (&rule.that, &rule.otherwise) else {
            let (no_that, no_else) = (rule.that.is_none(), rule.otherwise.is_none());
            self.mistakes.push(mistake::rule_incomplete(code.span, &code.text, no_that, no_else));
            return None;
        };
        let why = rule.why.as_ref().map(|text| text.text.clone()).unwrap_or_default();
        let may = rule.may.iter().map(|(text, when)| {
            let when = when.as_ref().map(|it| self.flag(it, scope));
            (self.template(text, scope), when)
        });
        let may = may.collect();
        let words = RuleWords {
            about: self.about(&rule.about),
            otherwise: self.template(otherwise, scope),
            why,
            may,
            cautions: self.cautions(&rule.cautions, scope),
        };
        Some(Rule {
            code: code.clone(),
            required: rule.required,
            when: rule.when.as_ref().map(|it| self.flag(it, scope)),
            that: self.flag(that, scope),
            words: words.into(),
        })
    }

    fn fastening(&mut self, fasten: &tree::Fasten, scope: &Scope) -> Fastening {
        let template =
            |builder: &mut Builder, text: &Option<tree::Template>| text.as_ref().map(|it| builder.template(it, scope));
        let torque = match &fasten.torque {
            Some(tree::Torque::Range(ends)) => {
                let [low, high] = &**ends;
                let mut end = |expr: &tree::Expr| {
                    let (ir, kind) = self.expr(expr, scope);
                    if !Model::agrees(&kind, &Type::Number(Dimension::TORQUE)) {
                        let found = self.model.said(&kind);
                        self.mistakes.push(mistake::rule_type(
                            expr.span,
                            format!("a torque can't be {found}"),
                            format!("this is {found}"),
                            "write it like `torque 5 N·m .. 7 N·m`, or `torque hand`",
                        ));
                    }
                    ir
                };
                Some((end(low), end(high)))
            }
            Some(tree::Torque::Hand) | None => None,
        };
        let mut printed = Vec::new();
        for path in &fasten.printed {
            let path_expr = tree::Expr { node: tree::ExprNode::Path(path.clone()), span: path.span };
            let (ir, kind) = self.expr(&path_expr, scope);
            let torques = Type::Range(Box::new(Type::Number(Dimension::TORQUE)));
            if !Model::agrees(&kind, &torques) {
                let found = self.model.said(&kind);
                self.mistakes.push(mistake::rule_type(
                    path.span,
                    format!("a printed limit is a range of torques, but `{}` is {found}", path.text),
                    format!("this is {found}"),
                    "declare the fact as `range of torque`",
                ));
            }
            printed.push((path.clone(), ir));
        }
        let left = match fasten.turn.as_ref().map(|name| (name, name.text.as_str())) {
            Some((_, "left")) => true,
            None | Some((_, "right")) => false,
            Some((name, other)) => {
                self.mistakes.push(mistake::name_unknown(name.span, "direction", other, ["left", "right"]));
                false
            }
        };
        let words = FasteningWords {
            about: self.about(&fasten.about),
            thread: template(self, &fasten.thread),
            tool: template(self, &fasten.tool),
            prepare: template(self, &fasten.prepare),
            before: template(self, &fasten.before),
            uses: fasten.uses.iter().map(|it| it.text.clone()).collect(),
            cautions: self.cautions(&fasten.cautions, scope),
        };
        Fastening {
            name: fasten.name.clone(),
            when: fasten.when.as_ref().map(|it| self.flag(it, scope)),
            torque,
            by_hand: matches!(fasten.torque, Some(tree::Torque::Hand)),
            printed,
            left,
            settles: fasten.settles.is_some(),
            words: words.into(),
        }
    }

    fn consumed(&mut self, consumes: &tree::Consumes, scope: &Scope) -> Consumed {
        let mut dimension = Dimension::NONE;
        let count = consumes.count.as_ref().map(|expr| {
            let (ir, kind) = self.expr(expr, scope);
            if kind.dimension().is_none() && kind != Type::Any {
                let found = self.model.said(&kind);
                self.mistakes.push(mistake::rule_type(
                    expr.span,
                    format!("how many are used up is a number, not {found}"),
                    format!("this is {found}"),
                    "write a number or a count behind the colon",
                ));
            }
            dimension = kind.dimension().unwrap_or_default();
            ir
        });
        let when = consumes.when.as_ref().map(|it| self.flag(it, scope));
        if let Some(expr) = consumes.count.as_ref().filter(|_| consumes.cut && dimension != Dimension::LENGTH) {
            let found = self.model.said(&Type::Number(dimension));
            self.mistakes.push(mistake::rule_type(
                expr.span,
                format!("what is cut has a length, not {found}"),
                format!("this is {found}"),
                "write a length behind the colon, or `consumes` for what is counted",
            ));
        }
        Consumed { what: self.template(&consumes.what, scope), count, dimension, cut: consumes.cut, when }
    }
}
