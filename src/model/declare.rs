//! Declarations: cautions, choices, interfaces, standards and kinds, with what extends them.

use super::*;
use crate::mistake;
use crate::quantity::{Dimension, Interval};
use crate::source::Span;
use crate::syntax::tree::{self, Item, Name};

/// How sure a source may be.
const STANDINGS: &[&str] = &["published", "practice", "memory", "derived"];

impl Builder {
    /// Names first, then what they mean, so that no order in the text matters.
    pub(super) fn declare(&mut self, trees: &[&tree::Tree]) {
        let items = || trees.iter().flat_map(|tree| &tree.items);
        for item in items() {
            match item {
                Item::Caution(caution) => self.caution(caution),
                Item::Choice(choice) => self.choice(choice),
                Item::Interface(interface) => self.interface(interface),
                Item::Kind(kind) => self.kind_name(kind),
                _ => {}
            }
        }
        self.type_names();
        self.common();
        for item in items() {
            match item {
                Item::Standard(standard) => self.standard(standard),
                Item::Kind(kind) => self.kind_facts(&kind.name, &kind.facts),
                Item::Extend(extend) if extend.what.text == "kind" => self.kind_facts(&extend.name, &extend.facts),
                _ => {}
            }
        }
        self.defaults(0);
        let base = self.base();
        for kind in &mut base.kinds {
            for id in &base.common {
                if let Some(declared) = base.declared.get(id.0) {
                    kind.facts.entry(declared.name.text.clone()).or_insert(*id);
                }
            }
        }
    }

    /// What a definition says of itself; its sources must say how sure they are.
    pub(super) fn about(&mut self, about: &tree::About) -> About {
        for source in &about.sources {
            let standing = &source.standing;
            if !STANDINGS.contains(&standing.text.as_str()) {
                let known = STANDINGS.iter().copied();
                self.mistakes.push(mistake::name_unknown(standing.span, "kind of source", &standing.text, known));
            }
        }
        About::of(about)
    }

    /// Types of all sorts share their names: says which are taken twice.
    fn type_names(&mut self) {
        let names = &self.model.names;
        let choices = names.choices.values().map(|id| ("choice", &self.model[*id].name));
        let interfaces = names.interfaces.values().map(|id| ("interface", &self.model[*id].name));
        let kinds = names.kinds.values().map(|id| ("kind", &self.model[*id].name));
        let mut taken: IndexMap<&str, (&str, Option<Span>)> =
            Dimension::NAMED.iter().map(|(name, _)| (*name, ("dimension", None))).collect();
        taken.extend(["money", "text", "flag"].map(|name| (name, ("type of the language", None))));
        let mut found = Vec::new();
        for (what, name) in choices.chain(interfaces).chain(kinds) {
            match taken.get(name.text.as_str()) {
                Some((other, first)) => {
                    found.push(mistake::type_twice(name.span, what, &name.text, other, *first));
                }
                None => {
                    taken.insert(&name.text, (what, Some(name.span)));
                }
            }
        }
        self.mistakes.append(&mut found);
    }

    /// Says that a name is taken, or takes it.
    pub(super) fn take_name<T: Copy>(
        names: &mut IndexMap<String, T>,
        mistakes: &mut Vec<mistake::Mistake>,
        what: &str,
        name: &Name,
        id: T,
        first: impl Fn(T) -> Span,
    ) -> bool {
        if let Some(taken) = names.get(&name.text) {
            mistakes.push(mistake::name_twice(name.span, what, &name.text, first(*taken)));
            return false;
        }
        names.insert(name.text.clone(), id);
        true
    }

    fn caution(&mut self, caution: &tree::Caution) {
        let name = &caution.name;
        if let Some(first) = self.model.cautions.get(&name.text) {
            self.mistakes.push(mistake::name_twice(name.span, "caution", &name.text, first.span));
            return;
        }
        let caution = Caution { text: caution.text.text.clone().into(), span: name.span };
        self.base().cautions.insert(name.text.clone(), caution);
    }

    fn choice(&mut self, choice: &tree::Choice) {
        let id = ChoiceId(self.model.choices.len());
        let (names, choices) = {
            let base = Arc::make_mut(&mut self.model.base);
            (&mut base.names.choices, &base.choices)
        };
        let first = |id: ChoiceId| choices.get(id.0).map_or(choice.name.span, |it| it.name.span);
        if !Self::take_name(names, &mut self.mistakes, "choice", &choice.name, id, first) {
            return;
        }
        let mut members: Vec<(String, String)> = Vec::new();
        for (name, doc) in &choice.members {
            if let Some((first, _)) = choice.members.iter().find(|(it, _)| it.text == name.text && it.span != name.span)
                && members.iter().any(|(member, _)| *member == name.text)
            {
                self.mistakes.push(mistake::name_twice(name.span, "member", &name.text, first.span));
            } else {
                members.push((name.text.clone(), doc.as_ref().map(|text| text.text.clone()).unwrap_or_default()));
            }
        }
        let about = self.about(&choice.about).into();
        self.base().choices.push(Choice { name: choice.name.clone(), about, members });
    }

    fn interface(&mut self, interface: &tree::Interface) {
        let id = InterfaceId(self.model.interfaces.len());
        let (names, interfaces) = {
            let base = Arc::make_mut(&mut self.model.base);
            (&mut base.names.interfaces, &base.interfaces)
        };
        let first = |id: InterfaceId| interfaces.get(id.0).map_or(interface.name.span, |it| it.name.span);
        if Self::take_name(names, &mut self.mistakes, "interface", &interface.name, id, first) {
            let about = self.about(&interface.about).into();
            self.base().interfaces.push(Interface { name: interface.name.clone(), about, standards: Vec::new() });
        }
    }

    fn kind_name(&mut self, kind: &tree::Kind) {
        let id = KindId(self.model.kinds.len());
        let (names, kinds) = {
            let base = Arc::make_mut(&mut self.model.base);
            (&mut base.names.kinds, &base.kinds)
        };
        let first = |id: KindId| kinds.get(id.0).map_or(kind.name.span, |it| it.name.span);
        if Self::take_name(names, &mut self.mistakes, "kind", &kind.name, id, first) {
            let about = self.about(&kind.about).into();
            self.base().kinds.push(Kind { name: kind.name.clone(), about, facts: IndexMap::default() });
        }
    }

    fn standard(&mut self, standard: &tree::Standard) {
        let Some(interface) = self.model.names.interfaces.get(&standard.interface.text).copied() else {
            let known = self.model.names.interfaces.keys().map(String::as_str);
            self.mistakes.push(mistake::name_unknown(
                standard.interface.span,
                "interface",
                &standard.interface.text,
                known,
            ));
            return;
        };
        let taken = self.model[interface].standards.iter().find(|id| self.model[**id].name.text == standard.name.text);
        if let Some(first) = taken {
            let first = self.model[*first].name.span;
            self.mistakes.push(mistake::name_twice(standard.name.span, "standard", &standard.name.text, first));
            return;
        }
        let fields: Vec<DeclaredId> =
            standard.fields.iter().map(|field| self.declared(field, &standard.name.text)).collect();
        let number = |builder: &mut Builder, name: &Name| {
            let found = standard.fields.iter().position(|field| field.path.text == name.text);
            if found.is_none() {
                let known: Vec<(&str, &str)> =
                    standard.fields.iter().map(|field| (field.path.text.as_str(), "")).collect();
                builder.mistakes.push(mistake::field_unknown(name.span, &name.text, &standard.name.text, &known));
            }
            found
        };
        let mut written: Vec<(usize, usize, bool)> = Vec::new();
        for notation in &standard.written {
            let fields = number(self, &notation.first).zip(number(self, &notation.second));
            let Some((first, second)) = fields else { continue };
            if let Some(earlier) = standard.written.iter().find(|it| it.cross == notation.cross && *it != notation)
                && written.iter().any(|(.., cross)| *cross == notation.cross)
            {
                let mark = if notation.cross { "x" } else { "-" };
                let (at, first) = (notation.first.span, earlier.first.span);
                self.mistakes.push(mistake::notation_twice(at, &standard.name.text, mark, first));
                continue;
            }
            written.push((first, second, notation.cross));
        }
        let id = StandardId(self.model.standards.len());
        let about = self.about(&standard.about).into();
        self.base().standards.push(Standard { name: standard.name.clone(), interface, about, fields, written });
        if let Some(family) = self.base().interfaces.get_mut(interface.0) {
            family.standards.push(id);
        }
    }

    fn kind_facts(&mut self, name: &Name, facts: &[tree::Declared]) {
        let Some(kind) = self.model.names.kinds.get(&name.text).copied() else {
            let known = self.model.names.kinds.keys().map(String::as_str);
            self.mistakes.push(mistake::name_unknown(name.span, "kind", &name.text, known));
            return;
        };
        for fact in facts {
            let taken = self.model[kind].facts.get(&fact.path.text).map(|id| self.model[*id].name.span);
            if let Some(first) = taken {
                self.mistakes.push(mistake::name_twice(fact.path.span, "fact", &fact.path.text, first));
                continue;
            }
            let id = self.declared(fact, &name.text);
            if let Some(kind) = self.base().kinds.get_mut(kind.0) {
                kind.facts.insert(fact.path.text.clone(), id);
            }
        }
    }

    /// A fact, port or field.
    pub(super) fn declared(&mut self, declared: &tree::Declared, owner: &str) -> DeclaredId {
        let kind = self.type_of(&declared.kind);
        let (limits, limits_written) = self.limits(declared, &kind);
        let about = self.about(&declared.about).into();
        self.push_declared(Declared {
            name: declared.path.clone(),
            owner: owner.to_owned(),
            port: declared.port,
            optional: declared.optional,
            kind,
            limits,
            limits_written,
            default: declared.default.clone(),
            about,
        })
    }

    fn push_declared(&mut self, declared: Declared) -> DeclaredId {
        let id = DeclaredId(self.model.declared.len());
        self.base().declared.push(declared);
        id
    }

    fn limits(&mut self, declared: &tree::Declared, kind: &Type) -> (Interval, Option<String>) {
        let Some((low, high)) = &declared.limits else { return (Interval::ALL, None) };
        let mut number = kind;
        while let Type::List(inner) | Type::Range(inner) = number {
            number = inner;
        }
        let (path, any) = (&declared.path, Interval::ALL);
        let Some(low_value) = self.number(low, number, path, any) else { return (Interval::ALL, None) };
        let Some(high_value) = self.number(high, number, path, any) else { return (Interval::ALL, None) };
        if low_value > high_value {
            let (first, second) = (super::values::quantity_words(low), super::values::quantity_words(high));
            self.mistakes.push(mistake::range_reversed(low.span.to(high.span), &second, &first));
        }
        let unit = high.unit.as_ref().map_or(String::new(), |unit| format!(" {}", unit.text));
        let sign = |quantity: &tree::Quantity| if quantity.negative { "-" } else { "" };
        let written = format!("{}{} to {}{}{unit}", sign(low), low.number, sign(high), high.number);
        (Interval::new(low_value, high_value), Some(written))
    }

    /// The type that is written; [`Type::Any`] after a mistake.
    pub(super) fn type_of(&mut self, kind: &tree::Type) -> Type {
        match kind {
            tree::Type::List(inner) => Type::List(Box::new(self.type_of(inner))),
            tree::Type::Range(inner) => Type::Range(Box::new(self.type_of(inner))),
            tree::Type::Count(word) => {
                if !self.model.counted.contains(&word.text) {
                    self.base().counted.push(word.text.clone());
                }
                Type::Count(word.text.clone())
            }
            tree::Type::Named(name) => self.named_type(name),
        }
    }

    fn named_type(&mut self, name: &Name) -> Type {
        if let Some((_, dimension)) = Dimension::NAMED.iter().find(|(known, _)| *known == name.text) {
            return Type::Number(*dimension);
        }
        match name.text.as_str() {
            "money" => return Type::Money,
            "text" => return Type::Text,
            "flag" => return Type::Flag,
            _ => {}
        }
        let names = &self.model.names;
        if let Some(id) = names.choices.get(&name.text) {
            return Type::Choice(*id);
        }
        if let Some(id) = names.interfaces.get(&name.text) {
            return Type::Standard(*id);
        }
        if let Some(id) = names.kinds.get(&name.text) {
            return Type::Part(vec![*id]);
        }
        let dimensions = Dimension::NAMED.iter().map(|(known, _)| *known);
        let known = dimensions
            .chain(["money", "text", "flag"])
            .chain(names.choices.keys().map(String::as_str))
            .chain(names.interfaces.keys().map(String::as_str))
            .chain(names.kinds.keys().map(String::as_str));
        self.mistakes.push(mistake::type_unknown(name.span, &name.text, known));
        Type::Any
    }

    /// Facts that every part may have: the compiler's own, since bills are made of them.
    fn common(&mut self) {
        let nowhere = Span::new(crate::source::FileId(u32::MAX), 0, 0);
        let named = |text: &str| Name { text: text.to_owned(), span: nowhere };
        let mut choice = |name: &str, doc: &str, members: [(&str, &str); 3]| {
            let id = ChoiceId(self.model.choices.len());
            self.base().choices.push(Choice {
                name: named(name),
                about: About { doc: doc.to_owned(), ..About::default() }.into(),
                members: members.map(|(name, doc)| (name.to_owned(), doc.to_owned())).to_vec(),
            });
            self.base().names.choices.entry(name.to_owned()).or_insert(id);
            Type::Choice(id)
        };
        let source = choice(
            "source",
            "where a part comes from",
            [("donor", "came with what was bought"), ("bin", "lies on the shelf"), ("buy", "must be bought")],
        );
        let afterwards = choice(
            "afterwards",
            "what becomes of a part that is left over",
            [("keep", "goes on the shelf"), ("sell", "is sold"), ("scrap", "is thrown away")],
        );
        let facts = [
            ("source", source, "where it comes from"),
            ("price", Type::Money, "what one costs"),
            ("mass", Type::Number(Dimension::MASS), "what one weighs"),
            ("supplier", Type::Text, "who sells it"),
            ("lead_time", Type::Number(Dimension::TIME), "how long an order takes"),
            ("available", Type::Flag, "whether it is to be had"),
            ("afterwards", afterwards, "what becomes of it where it is left over"),
            ("worth", Type::Money, "what one may be sold for"),
            ("note", Type::Text, "anything worth writing down"),
        ];
        for (name, kind, doc) in facts {
            let limits =
                if matches!(kind, Type::Number(_)) { Interval::new(0.0, f64::INFINITY) } else { Interval::ALL };
            let id = self.push_declared(Declared {
                name: named(name),
                owner: "part".to_owned(),
                port: false,
                optional: true,
                kind,
                limits,
                limits_written: None,
                default: None,
                about: About { doc: doc.to_owned(), ..About::default() }.into(),
            });
            self.base().common.push(id);
        }
    }
}
