//! Assemblies, and extensions of anything.

use super::joints::Seen;
use super::{Builder, Rule, rules};
use crate::syntax::tree::*;
use pest::iterators::Pair;

impl Builder<'_> {
    pub(super) fn assembly(&mut self, pair: Pair<Rule>) -> Assembly {
        let mut assembly =
            Assembly { name: self.first_name(&pair), about: About::default(), body: AssemblyBody::default() };
        for child in pair.into_inner() {
            let Some(child) = self.about(&mut assembly.about, &rules::ASSEMBLY, child) else { continue };
            match child.as_rule() {
                Rule::slot => assembly.body.slots.push(self.slot(child)),
                Rule::join => assembly.body.joins.extend(self.join(child)),
                Rule::fact => assembly.body.facts.extend(self.declared(child)),
                Rule::work => assembly.body.works.extend(self.work(child)),
                Rule::caution_ref => assembly.body.cautions.extend(self.cautions(child)),
                _ => {}
            }
        }
        assembly
    }

    pub(super) fn extend(&mut self, pair: Pair<Rule>) -> Extend {
        let mut extend = Extend {
            what: self.no_name(&pair),
            name: self.first_name(&pair),
            facts: Vec::new(),
            slots: Vec::new(),
            joins: Vec::new(),
            joint: JointBody::default(),
        };
        let mut about = About::default();
        for child in pair.into_inner() {
            let Some(child) = self.about(&mut about, &rules::EXTEND, child) else { continue };
            match child.as_rule() {
                Rule::extended => extend.what = self.name(&child),
                Rule::slot => extend.slots.push(self.slot(child)),
                Rule::join => extend.joins.extend(self.join(child)),
                Rule::port | Rule::fact => extend.facts.extend(self.declared(child)),
                _ => self.joint_statement(&mut extend.joint, child),
            }
        }
        extend
    }

    fn slot(&mut self, pair: Pair<Rule>) -> Slot {
        let mut slot =
            Slot { path: self.first_name(&pair), optional: false, kinds: Vec::new(), doc: None, shares: Vec::new() };
        for child in pair.into_inner() {
            match child.as_rule() {
                Rule::optional => slot.optional = true,
                Rule::name => slot.kinds.push(self.name(&child)),
                Rule::words => slot.doc = self.words(&child),
                Rule::shares => slot.shares = self.names(&child),
                _ => {}
            }
        }
        slot
    }

    fn join(&mut self, pair: Pair<Rule>) -> Option<Join> {
        let mut names = self.names(&pair).into_iter();
        let (path, joint) = (names.next()?, names.next()?);
        let mut join = Join {
            path,
            doc: None,
            joint,
            binds: Vec::new(),
            through: None,
            when: None,
            upon: Vec::new(),
            after: Vec::new(),
        };
        let mut seen = Seen::new();
        for child in pair.into_inner() {
            self.again(&mut seen, &child);
            match child.as_rule() {
                Rule::words => join.doc = self.words(&child),
                Rule::bind => join.binds.extend(self.bind(child)),
                Rule::through => {
                    let mut names = self.names(&child).into_iter();
                    join.through = Some((names.next()?, names.next()?, names.next()?));
                }
                Rule::upon => join.upon = self.names(&child),
                Rule::after => join.after = self.names(&child),
                Rule::when => {
                    join.when = child.into_inner().find(|it| it.as_rule() == Rule::expr).map(|it| self.expr(it))
                }
                _ => {}
            }
        }
        Some(join)
    }

    fn bind(&mut self, pair: Pair<Rule>) -> Option<(Name, Bind)> {
        let (mut name, mut bind) = (None, None);
        for child in pair.into_inner() {
            match child.as_rule() {
                Rule::name => name = Some(self.name(&child)),
                Rule::path => bind = Some(Bind::Path(self.name(&child))),
                Rule::quantity => bind = self.quantity(child).map(Bind::Quantity),
                _ => {}
            }
        }
        Some((name?, bind?))
    }
}
