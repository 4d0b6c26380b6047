//! Assemblies: slots, and where the joints are.

use super::checker::{Scope, slot_prefix};
use super::*;
use crate::mistake;
use crate::quantity::Interval;
use crate::source::Span;
use crate::syntax::tree::{self, Item, Name};

impl Builder {
    pub(super) fn assemblies(&mut self, trees: &[&tree::Tree]) {
        let mut joins: Vec<Vec<&tree::Join>> = Vec::new();
        let mut works: Vec<Vec<&tree::Work>> = Vec::new();
        let mut cautions: Vec<Vec<&tree::CautionRef>> = Vec::new();
        let before = self.model.declared.len();
        for item in trees.iter().flat_map(|tree| &tree.items) {
            if let Item::Assembly(assembly) = item {
                let id = AssemblyId(self.model.assemblies.len());
                let (names, all) = {
                    let base = Arc::make_mut(&mut self.model.base);
                    (&mut base.names.assemblies, &base.assemblies)
                };
                let first = |id: AssemblyId| all.get(id.0).map_or(assembly.name.span, |it| it.name.span);
                if Self::take_name(names, &mut self.mistakes, "assembly", &assembly.name, id, first) {
                    let about = self.about(&assembly.about).into();
                    self.base().assemblies.push(Assembly {
                        name: assembly.name.clone(),
                        about,
                        slots: IndexMap::default(),
                        facts: IndexMap::default(),
                        joins: Vec::new(),
                        works: Vec::new(),
                        cautions: Vec::new(),
                    });
                    joins.push(assembly.body.joins.iter().collect());
                    works.push(assembly.body.works.iter().collect());
                    self.slots(id, &assembly.body.slots, &assembly.body.facts);
                    cautions.push(assembly.body.cautions.iter().collect());
                }
            }
        }
        for item in trees.iter().flat_map(|tree| &tree.items) {
            if let Item::Extend(extend) = item
                && extend.what.text == "assembly"
            {
                match self.model.names.assemblies.get(&extend.name.text).copied() {
                    Some(id) => {
                        self.slots(id, &extend.slots, &extend.facts);
                        if let Some(joins) = joins.get_mut(id.0) {
                            joins.extend(&extend.joins);
                        }
                        if let Some(works) = works.get_mut(id.0) {
                            works.extend(&extend.joint.works);
                        }
                        if let Some(cautions) = cautions.get_mut(id.0) {
                            cautions.extend(&extend.joint.cautions);
                        }
                    }
                    None => {
                        let known: Vec<&str> = self.model.names.assemblies.keys().map(String::as_str).collect();
                        self.mistakes.push(mistake::name_unknown(
                            extend.name.span,
                            "assembly",
                            &extend.name.text,
                            known,
                        ));
                    }
                }
            }
        }
        self.defaults(before);
        self.shares(trees);
        self.whole_facts();
        for (number, joins) in joins.iter().enumerate() {
            self.joins(AssemblyId(number), joins);
        }
        for (number, works) in works.iter().enumerate() {
            self.whole_works(AssemblyId(number), works);
        }
        for (number, cautions) in cautions.iter().enumerate() {
            self.whole_cautions(AssemblyId(number), cautions);
        }
    }

    fn whole_cautions(&mut self, id: AssemblyId, refs: &[&tree::CautionRef]) {
        let assembly = self.model[id].clone();
        let mut known = self.cautions(refs.iter().copied(), &Scope::Assembly(&assembly));
        if let Some(assembly) = self.base().assemblies.get_mut(id.0) {
            assembly.cautions.append(&mut known);
        }
    }

    fn slots(&mut self, id: AssemblyId, slots: &[tree::Slot], facts: &[tree::Declared]) {
        for slot in slots {
            let name = &slot.path;
            if let Some(first) = self.model[id].slots.get(&name.text) {
                self.mistakes.push(mistake::name_twice(name.span, "slot", &name.text, first.name.span));
                continue;
            }
            let mut kinds = Vec::new();
            for kind in &slot.kinds {
                match self.model.names.kinds.get(&kind.text) {
                    Some(id) => kinds.push(*id),
                    None => {
                        let known = self.model.names.kinds.keys().map(String::as_str);
                        self.mistakes.push(mistake::name_unknown(kind.span, "kind", &kind.text, known));
                    }
                }
            }
            let doc = slot.doc.as_ref().map(|text| text.text.clone()).unwrap_or_default();
            let slot = Slot { name: name.clone(), optional: slot.optional, kinds, doc, shares: Vec::new() };
            if let Some(assembly) = self.base().assemblies.get_mut(id.0) {
                assembly.slots.insert(name.text.clone(), slot);
            }
        }
        for fact in facts {
            let taken = self.model[id].facts.get(&fact.path.text).map(|id| self.model[*id].name.span);
            if let Some(first) = taken {
                self.mistakes.push(mistake::name_twice(fact.path.span, "fact", &fact.path.text, first));
                continue;
            }
            let owner = self.model[id].name.text.clone();
            let declared = self.declared(fact, &owner);
            if let Some(assembly) = self.base().assemblies.get_mut(id.0) {
                assembly.facts.insert(fact.path.text.clone(), declared);
            }
        }
    }

    /// Facts that every whole may have, whatever its assembly.
    pub(super) fn whole_facts(&mut self) {
        let nowhere = Span::new(crate::source::FileId(u32::MAX), 0, 0);
        for (name, doc) in [("paid", "what the bought thing cost"), ("budget", "what may be spent on parts")] {
            let id = DeclaredId(self.model.declared.len());
            self.base().declared.push(Declared {
                name: Name { text: name.to_owned(), span: nowhere },
                owner: "build".to_owned(),
                port: false,
                optional: true,
                kind: Type::Money,
                limits: Interval::ALL,
                limits_written: None,
                default: None,
                about: About { doc: doc.to_owned(), ..About::default() }.into(),
            });
            for assembly in &mut self.base().assemblies {
                assembly.facts.entry(name.to_owned()).or_insert(id);
            }
        }
    }

    fn shares(&mut self, trees: &[&tree::Tree]) {
        let slots: Vec<(&str, &tree::Slot)> = trees
            .iter()
            .flat_map(|tree| &tree.items)
            .flat_map(|item| match item {
                Item::Assembly(assembly) => {
                    assembly.body.slots.iter().map(|slot| (assembly.name.text.as_str(), slot)).collect()
                }
                Item::Extend(extend) => extend.slots.iter().map(|slot| (extend.name.text.as_str(), slot)).collect(),
                _ => Vec::new(),
            })
            .collect();
        for (assembly, slot) in slots {
            let Some(id) = self.model.names.assemblies.get(assembly).copied() else { continue };
            for name in &slot.shares {
                let found = self.model[id].slots.get_index_of(&name.text);
                match (found, self.base().assemblies.get_mut(id.0).and_then(|it| it.slots.get_mut(&slot.path.text))) {
                    (Some(other), Some(slot)) => slot.shares.push(SlotId(other)),
                    _ => {
                        let known: Vec<&str> = self.model[id].slots.keys().map(String::as_str).collect();
                        self.mistakes.push(mistake::slot_unknown(name.span, &name.text, assembly, known));
                    }
                }
            }
        }
    }

    fn joins(&mut self, id: AssemblyId, joins: &[&tree::Join]) {
        let assembly = self.model[id].clone();
        let mut made: Vec<Join> = Vec::new();
        let mut written: Vec<&tree::Join> = Vec::new();
        for join in joins {
            if let Some(first) = made.iter().find(|it| it.name.text == join.path.text) {
                self.mistakes.push(mistake::name_twice(join.path.span, "join", &join.path.text, first.name.span));
                continue;
            }
            if let Some(one) = self.join(join, &assembly) {
                made.push(one);
                written.push(join);
            }
        }
        self.order(&mut made, &written, joins);
        if let Some(assembly) = self.base().assemblies.get_mut(id.0) {
            assembly.joins = made;
        }
    }

    fn join(&mut self, join: &tree::Join, assembly: &Assembly) -> Option<Join> {
        let Some(joint) = self.model.names.joints.get(&join.joint.text).copied() else {
            let known: Vec<&str> = self.model.names.joints.keys().map(String::as_str).collect();
            self.mistakes.push(mistake::name_unknown(join.joint.span, "joint", &join.joint.text, known));
            return None;
        };
        let takes = self.model.joints.get(joint.0)?.takes.clone();
        let mut arguments: Vec<Option<Argument>> = vec![None; takes.len()];
        for (name, bind) in &join.binds {
            let Some(number) = takes.iter().position(|it| it.name.text == name.text) else {
                let known = takes.iter().map(|it| it.name.text.as_str());
                self.mistakes.push(mistake::name_unknown(name.span, "parameter", &name.text, known));
                continue;
            };
            let wanted = takes.get(number)?;
            if let Some((first, _)) = join.binds.iter().find(|(it, _)| it.text == name.text && it.span != name.span)
                && first.span < name.span
            {
                self.mistakes.push(mistake::fact_twice(name.span, &name.text, first.span));
                continue;
            }
            let argument = self.argument(bind, wanted, &join.joint.text, assembly);
            if let Some(place) = arguments.get_mut(number) {
                *place = argument;
            }
        }
        let misspelt = join.binds.iter().any(|(name, _)| takes.iter().all(|it| it.name.text != name.text));
        for (parameter, argument) in takes.iter().zip(&arguments) {
            // What is missing may be what is misspelt: one mistake says enough.
            let bound = misspelt || join.binds.iter().any(|(name, _)| name.text == parameter.name.text);
            if argument.is_none() && !bound && !parameter.optional {
                let (name, at) = (&parameter.name, join.path.span);
                let (join, joint) = (&join.path.text, &join.joint.text);
                self.mistakes.push(mistake::argument_missing(at, join, joint, &name.text, name.span));
                return None;
            }
        }
        let through = join.through.as_ref().and_then(|through| self.through(through, &takes, assembly));
        let when = join.when.as_ref().map(|it| self.flag(it, &Scope::Assembly(assembly)));
        let doc = join.doc.as_ref().map(|text| text.text.clone()).unwrap_or_default();
        Some(Join {
            name: join.path.clone(),
            doc,
            joint,
            arguments,
            through,
            when,
            upon: Vec::new(),
            after: Vec::new(),
        })
    }

    fn argument(&mut self, bind: &tree::Bind, parameter: &Takes, joint: &str, assembly: &Assembly) -> Option<Argument> {
        let wanted = &parameter.kind;
        let path = match bind {
            tree::Bind::Quantity(quantity) => {
                if wanted.dimension().is_none() {
                    self.wrong_argument(quantity.span, parameter, joint, "a number");
                    return None;
                }
                let number = self.number(quantity, wanted, &parameter.name, Interval::ALL)?;
                return Some(Argument::Fixed(Valued::plain(Value::Number(Number::exact(number)))));
            }
            tree::Bind::Path(path) => path,
        };
        if let Type::Choice(id) = wanted
            && let Some(number) = self.model[*id].members.iter().position(|(member, _)| *member == path.text)
        {
            let written = Some(path.text.as_str().into());
            return Some(Argument::Fixed(Valued { written, ..Valued::plain(Value::Member(Some(number))) }));
        }
        let (argument, found) = match slot_prefix(assembly, &path.text) {
            Some((slot, rest)) => {
                let kinds = assembly.slots.get_index(slot.0).map_or(Vec::new(), |(_, it)| it.kinds.clone());
                match rest {
                    None => (Argument::Slot(slot), Type::Part(kinds)),
                    Some(fact) => match self.expr_path(path, assembly) {
                        Type::Any => return None,
                        found => (Argument::Fact(slot, fact.to_owned()), found),
                    },
                }
            }
            None => match assembly.facts.get(&path.text) {
                Some(id) => (Argument::Whole(path.text.clone()), self.model[*id].kind.clone()),
                None => {
                    self.no_slot(path, assembly);
                    return None;
                }
            },
        };
        if !Model::agrees(&found, wanted) {
            let found = self.model.said(&found);
            self.wrong_argument(path.span, parameter, joint, &found);
            return None;
        }
        Some(argument)
    }

    /// A path begins with no slot: the longest beginning that is near to one is what is wrong.
    fn no_slot(&mut self, path: &Name, assembly: &Assembly) {
        let known: Vec<&str> = assembly.slots.keys().map(String::as_str).collect();
        let mut head = path.text.as_str();
        while mistake::nearest(head, known.iter().copied()).is_none() {
            match head.rfind('.') {
                Some(dot) => head = head.get(..dot).unwrap_or(head),
                None => break,
            }
        }
        let start = path.span.start as usize;
        let at = Span::new(path.span.file, start, start + head.len());
        self.mistakes.push(mistake::slot_unknown(at, head, &assembly.name.text, known));
    }

    fn wrong_argument(&mut self, at: Span, parameter: &Takes, joint: &str, found: &str) {
        let (name, wanted) = (&parameter.name.text, self.model.said(&parameter.kind));
        let message = format!("`{name}` of `{joint}` takes {wanted}, not {found}");
        let help = format!("give it {wanted}: a slot with its port or fact, such as `SLOT.{name}`");
        self.mistakes.push(mistake::rule_type(at, message, format!("this is {found}"), help));
    }

    fn through(&mut self, through: &(Name, Name, Name), takes: &[Takes], assembly: &Assembly) -> Option<Through> {
        let (slot, first, second) = through;
        let Some(number) = assembly.slots.get_index_of(&slot.text) else {
            let known: Vec<&str> = assembly.slots.keys().map(String::as_str).collect();
            self.mistakes.push(mistake::slot_unknown(slot.span, &slot.text, &assembly.name.text, known));
            return None;
        };
        let mut side = |name: &Name| {
            let found = takes.iter().position(|it| it.name.text == name.text);
            if found.is_none() {
                let known = takes.iter().map(|it| it.name.text.as_str());
                self.mistakes.push(mistake::name_unknown(name.span, "parameter", &name.text, known));
            }
            found.map(|number| (number, name.text.clone()))
        };
        Some(Through { slot: SlotId(number), first: side(first)?, second: side(second)? })
    }
}
