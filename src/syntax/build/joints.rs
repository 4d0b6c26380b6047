//! Joints: parameters, rules and fastenings.

use super::{Builder, Rule, rules};
use crate::source::Span;
use crate::syntax::tree::*;
use pest::iterators::Pair;

/// Statements that a block has had so far.
pub(super) type Seen = Vec<(&'static str, Span)>;

impl Builder<'_> {
    pub(super) fn joint(&mut self, pair: Pair<Rule>) -> Joint {
        let mut joint = Joint { name: self.first_name(&pair), about: About::default(), body: JointBody::default() };
        for child in pair.into_inner() {
            let Some(child) = self.about(&mut joint.about, &rules::JOINT, child) else { continue };
            self.joint_statement(&mut joint.body, child);
        }
        joint
    }

    /// A statement that a joint or an extension of one may have.
    pub(super) fn joint_statement(&mut self, body: &mut JointBody, pair: Pair<Rule>) {
        match pair.as_rule() {
            Rule::takes => {
                let optional = pair.clone().into_inner().any(|child| child.as_rule() == Rule::optional);
                body.takes.extend(self.typed(pair).map(|(name, kind)| Takes { name, optional, kind }));
            }
            Rule::binding => {
                let name = self.first_name(&pair);
                body.lets.extend(self.inner_expr(pair).map(|expr| (name, expr)));
            }
            Rule::requirement => body.rules.push(self.rule(pair)),
            Rule::fasten => body.fastenings.push(self.fasten(pair)),
            Rule::consumes | Rule::cut => body.consumes.extend(self.consumes(pair)),
            Rule::work => body.works.extend(self.work(pair)),
            Rule::caution_ref => body.cautions.extend(self.cautions(pair)),
            _ => {}
        }
    }

    fn inner_expr(&mut self, pair: Pair<Rule>) -> Option<Expr> {
        let found = pair.into_inner().find(|child| child.as_rule() == Rule::expr);
        found.map(|child| self.expr(child))
    }

    fn inner_when(&mut self, pair: &Pair<Rule>) -> Option<Expr> {
        let found = pair.clone().into_inner().find(|child| child.as_rule() == Rule::when);
        found.and_then(|child| self.inner_expr(child))
    }

    /// Cautions that are called for on one line, all on the same condition.
    pub(super) fn cautions(&mut self, pair: Pair<Rule>) -> Vec<CautionRef> {
        let when = self.inner_when(&pair);
        self.names(&pair).into_iter().map(|name| CautionRef { name, when: when.clone() }).collect()
    }

    fn rule(&mut self, pair: Pair<Rule>) -> crate::syntax::tree::Rule {
        let mut rule = crate::syntax::tree::Rule {
            code: self.first_name(&pair),
            required: true,
            about: About::default(),
            when: None,
            that: None,
            otherwise: None,
            why: None,
            may: Vec::new(),
            cautions: Vec::new(),
        };
        let mut seen = Seen::new();
        for child in pair.into_inner() {
            let Some(child) = self.about(&mut rule.about, &rules::RULE, child) else { continue };
            self.again(&mut seen, &child);
            match child.as_rule() {
                Rule::severity => rule.required = child.as_str() == "require",
                Rule::when => rule.when = self.inner_expr(child),
                Rule::that => rule.that = self.inner_expr(child),
                Rule::otherwise => rule.otherwise = self.template(&child),
                Rule::why => rule.why = self.words(&child),
                Rule::may => {
                    let when = self.inner_when(&child);
                    rule.may.extend(self.template(&child).map(|text| (text, when)));
                }
                Rule::caution_ref => rule.cautions.extend(self.cautions(child)),
                _ => {}
            }
        }
        rule
    }

    fn fasten(&mut self, pair: Pair<Rule>) -> Fasten {
        let mut fasten = Fasten {
            name: self.first_name(&pair),
            about: About::default(),
            when: None,
            thread: None,
            tool: None,
            torque: None,
            printed: Vec::new(),
            prepare: None,
            turn: None,
            before: None,
            settles: None,
            uses: Vec::new(),
            cautions: Vec::new(),
        };
        let mut seen = Seen::new();
        for child in pair.into_inner() {
            // `tool` is a template here, not part of what a definition says of itself.
            if child.as_rule() == Rule::tool {
                self.again(&mut seen, &child);
                fasten.tool = self.template(&child);
                continue;
            }
            let Some(child) = self.about(&mut fasten.about, &rules::FASTEN, child) else { continue };
            self.again(&mut seen, &child);
            match child.as_rule() {
                Rule::when => fasten.when = self.inner_expr(child),
                Rule::thread => fasten.thread = self.template(&child),
                Rule::torque => fasten.torque = self.torque(child),
                Rule::printed => fasten.printed.extend(self.names(&child)),
                Rule::prepare => fasten.prepare = self.template(&child),
                Rule::turn => fasten.turn = self.names(&child).into_iter().next(),
                Rule::before => fasten.before = self.template(&child),
                Rule::uses => fasten.uses.extend(self.texts(&child)),
                Rule::settles => fasten.settles = Some(self.span(&child)),
                Rule::caution_ref => fasten.cautions.extend(self.cautions(child)),
                _ => {}
            }
        }
        fasten
    }

    /// Handwork of a joint or of the whole.
    pub(super) fn work(&mut self, pair: Pair<Rule>) -> Option<Work> {
        let word = pair.clone().into_inner().find(|child| child.as_rule() == Rule::work_word)?;
        let text = self.template(&pair)?;
        let mut work = Work {
            word: self.name(&word),
            text,
            when: None,
            tool: None,
            cautions: Vec::new(),
            about: About::default(),
        };
        let mut seen = Seen::new();
        for child in pair.into_inner() {
            match child.as_rule() {
                // The template read above, and a `tool` that is one too.
                Rule::words => continue,
                Rule::tool => {
                    self.again(&mut seen, &child);
                    work.tool = self.template(&child);
                    continue;
                }
                _ => {}
            }
            let Some(child) = self.about(&mut work.about, &rules::WORK, child) else { continue };
            self.again(&mut seen, &child);
            match child.as_rule() {
                Rule::when => work.when = self.inner_expr(child),
                Rule::caution_ref => work.cautions.extend(self.cautions(child)),
                _ => {}
            }
        }
        Some(work)
    }

    /// Says so when a statement that a rule, a fastening or a join has only once stands there a second time: of two the first
    /// would be lost without a word.
    pub(super) fn again(&mut self, seen: &mut Seen, pair: &Pair<Rule>) {
        let word = match pair.as_rule() {
            Rule::when => "when",
            Rule::that => "that",
            Rule::otherwise => "else",
            Rule::why => "why",
            Rule::thread => "thread",
            Rule::tool => "tool",
            Rule::torque => "torque",
            Rule::prepare => "prepare",
            Rule::turn => "turn",
            Rule::before => "before",
            Rule::settles => "settles",
            Rule::through => "through",
            Rule::upon => "upon",
            Rule::after => "after",
            _ => return,
        };
        let first = seen.iter().find(|(known, _)| *known == word).map(|(_, span)| *span);
        self.only_once(word, pair, first);
        seen.push((word, self.span(pair)));
    }

    fn torque(&mut self, pair: Pair<Rule>) -> Option<Torque> {
        let mut ends = Vec::new();
        for child in pair.into_inner() {
            match child.as_rule() {
                Rule::kw_hand => return Some(Torque::Hand),
                Rule::expr => ends.push(self.expr(child)),
                _ => {}
            }
        }
        let mut ends = ends.into_iter();
        Some(Torque::Range(Box::new([ends.next()?, ends.next()?])))
    }

    fn consumes(&mut self, pair: Pair<Rule>) -> Option<Consumes> {
        let when = self.inner_when(&pair);
        let what = self.template(&pair)?;
        let cut = pair.as_rule() == Rule::cut;
        Some(Consumes { what, count: self.inner_expr(pair), cut, when })
    }
}
