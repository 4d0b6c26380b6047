//! Parts: facts held against their kind.
//!
//! The parts of one text hang on nothing but that text, what the library declares, and how many parts and facts come
//! before them. So they are made once for all compiles that read it.

use super::values::Wanted;
use super::*;
use crate::mistake;
use crate::source::Span;
use crate::syntax::tree::{self, Item, Name, ValueNode};
use rustc_hash::FxHashMap;
use std::sync::{Mutex, MutexGuard, OnceLock, PoisonError};

impl Builder {
    /// The parts of all texts, those that an earlier compile has made taken from there.
    pub(super) fn parts(&mut self, trees: &[Arc<tree::Tree>], makes: Option<&Makes>) {
        for tree in trees {
            let first = (PartId(self.model.parts.len()), self.model.facts.len());
            let base = &self.model.base;
            let alone = || made(base, tree, first, |_| None);
            let mut made = makes.map_or_else(|| Arc::new(alone()), |makes| makes.made(tree, first, alone));
            let names = &self.model.part_names;
            if made.parts.iter().any(|it| names.contains_key(&it.name.text)) {
                // A text that says again what another one said is taken for what it adds, which is nobody else's.
                let taken = |name: &str| names.get(name).map(|id| self.model[*id].name.span);
                made = Arc::new(self::made(base, tree, first, taken));
            }
            self.model.facts.share(&made.facts);
            self.mistakes.extend(made.mistakes.iter().cloned());
            for part in &made.parts {
                self.model.part_names.insert(part.name.text.clone(), PartId(self.model.parts.len()));
                self.model.parts.push(Arc::clone(part));
            }
        }
    }

    fn part(&mut self, part: &tree::Part, id: PartId, kind: KindId) -> Part {
        let mut given: Vec<&tree::Assign> = Vec::new();
        for assign in &part.facts {
            let name = &assign.path;
            if !self.model[kind].facts.contains_key(&name.text) {
                let mistake = self.fact_misnamed(part, kind, assign);
                self.mistakes.push(mistake);
            } else if let Some(first) = given.iter().find(|it| it.path.text == name.text) {
                self.mistakes.push(mistake::fact_twice(name.span, &name.text, first.path.span));
            } else {
                given.push(assign);
            }
        }
        let base = Arc::clone(&self.model.base);
        let facts = base.kinds.get(kind.0).into_iter().flat_map(|it| &it.facts).map(|(name, fact)| {
            let value = given.iter().find(|it| it.path.text == *name).map(|it| &it.value);
            self.fact(*fact, value, Some(id), part.name.span)
        });
        let facts = facts.collect();
        let doc = part.doc.as_ref().map(|text| text.text.clone()).unwrap_or_default();
        Part { name: part.name.clone(), kind, doc, facts, span: part.span, undecided: false }
    }

    /// What is written for a fact that its kind does not have. Who calls a fact by another name often writes the right
    /// value for it: a standard or a choice tells which facts are meant.
    fn fact_misnamed(&self, part: &tree::Part, kind: KindId, assign: &tree::Assign) -> Mistake {
        /// Facts of one type from which on the value tells too little.
        const MANY: usize = 4;
        let (name, facts) = (&assign.path, &self.model[kind].facts);
        let word = match &assign.value.node {
            ValueNode::Call(Name { text, .. }, _) | ValueNode::Name(text) => text.as_str(),
            _ => "",
        };
        let takes = |id: &DeclaredId| match &self.model[*id].kind {
            Type::Standard(it) => self.model[*it].standards.iter().any(|it| self.model[*it].name.text == word),
            Type::Choice(it) => self.model[*it].members.iter().any(|(member, _)| member == word),
            _ => false,
        };
        let given = |path: &str| part.facts.iter().any(|it| it.path.text == path);
        let takers = facts.iter().filter(|(path, id)| takes(id) && !given(path)).map(|(path, _)| path.as_str());
        let takers: Vec<&str> = takers.take(MANY).collect();
        let of = (part.kind.text.as_str(), part.kind.span);
        if (1..MANY).contains(&takers.len()) {
            return mistake::fact_misnamed(name.span, &name.text, of, word, &takers);
        }
        mistake::fact_unknown(name.span, &name.text, of.0, of.1, facts.keys().map(String::as_str))
    }

    /// A fact from what is written, from its default, or unknown.
    pub(super) fn fact(
        &mut self,
        id: DeclaredId,
        value: Option<&tree::Value>,
        part: Option<PartId>,
        nowhere: Span,
    ) -> Valued {
        // Thousands of rows come by here: what is shared is held, not copied.
        let base = Arc::clone(&self.model.base);
        let Some(declared) = base.declared.get(id.0) else { return Valued::plain(Value::Absent) };
        let wanted = Wanted::of(id, declared, part);
        match (value, &declared.default) {
            // A value with a mistake in it counts as not known: the mistake is reported, and nothing hangs on it silently.
            (Some(value), _) => {
                self.value(value, &wanted).unwrap_or_else(|| self.missing(&wanted, value.span, State::Unknown))
            }
            (None, Some(default)) => {
                let by_default = Wanted { default: true, ..wanted };
                self.value(default, &by_default).unwrap_or_else(|| self.missing(&by_default, nowhere, State::Missing))
            }
            (None, None) if declared.optional => {
                Valued { value: Value::Absent, ..self.missing(&wanted, nowhere, State::Absent) }
            }
            (None, None) => self.missing(&wanted, nowhere, State::Missing),
        }
    }

    /// Holds the defaults of all that was declared from number `from` on against their types, once; one with a mistake in
    /// it is taken away, so that no part reports it again.
    pub(super) fn defaults(&mut self, from: usize) {
        for number in from..self.model.declared.len() {
            let id = DeclaredId(number);
            let declared = self.model[id].clone();
            let Some(default) = &declared.default else { continue };
            let sound = self.value(default, &Wanted::of(id, &declared, None)).is_some();
            if let Some(declared) = self.base().declared.get_mut(number).filter(|_| !sound) {
                declared.default = None;
            }
        }
    }

    /// A part that stands for one not decided on: nothing of it is known.
    pub(super) fn undecided(&mut self, slot: &Name, kind: KindId, span: Span) -> PartId {
        let id = PartId(self.model.parts.len());
        let declared: Vec<DeclaredId> = self.model[kind].facts.values().copied().collect();
        // All its facts are one: what is not known is which part it is.
        let fact = self.model.facts.add(FactInfo {
            part: None,
            path: slot.text.clone(),
            declared: None,
            span,
            state: State::Unknown,
            written: "?".to_owned(),
            loose: true,
        });
        let facts = declared.iter().map(|id| {
            let (kind, limits) = (self.model[*id].kind.clone(), self.model[*id].limits);
            Valued { value: self.unknown(&kind, limits), from: Trail::one(fact), written: None }
        });
        let facts = facts.collect();
        let name = Name { text: format!("{} (not decided)", slot.text), span };
        self.model.parts.push(Arc::new(Part { name, kind, doc: String::new(), facts, span, undecided: true }));
        id
    }
}

/// The parts of one text.
struct Made {
    parts: Vec<Arc<Part>>,
    facts: Arc<Vec<FactInfo>>,
    mistakes: Vec<Mistake>,
}

/// The numbers that the first part and the first fact of a text get.
type First = (PartId, usize);

/// Makes the parts of one text, but for those whose name is `taken`, by what stands there.
fn made(base: &Arc<Base>, tree: &tree::Tree, (first, facts): First, taken: impl Fn(&str) -> Option<Span>) -> Made {
    let model = Model { base: Arc::clone(base), facts: Facts::behind(facts), ..Model::default() };
    let mut builder = Builder { model, ..Builder::default() };
    let mut parts: Vec<Arc<Part>> = Vec::new();
    let mut names: FxHashMap<&str, Span> = FxHashMap::default();
    for item in &tree.items {
        let Item::Part(part) = item else { continue };
        let Some(kind) = base.names.kinds.get(&part.kind.text).copied() else {
            let known = base.names.kinds.keys().map(String::as_str);
            builder.mistakes.push(mistake::name_unknown(part.kind.span, "kind", &part.kind.text, known));
            continue;
        };
        let name = part.name.text.as_str();
        if let Some(before) = names.get(name).copied().or_else(|| taken(name)) {
            builder.mistakes.push(mistake::name_twice(part.name.span, "part", name, before));
            continue;
        }
        names.insert(name, part.name.span);
        let part = builder.part(part, PartId(first.0 + parts.len()), kind);
        parts.push(Arc::new(part));
    }
    Made { parts, facts: builder.model.facts.into_own(), mistakes: builder.mistakes }
}

/// Parts that were made before: those of a text that did not change are not made again, however many compiles read it,
/// as long as they come at the same place in them.
#[derive(Default)]
pub struct Makes {
    known: Mutex<FxHashMap<(usize, First), Known>>,
}

/// A tree, and its parts as soon as they are made. Holding the tree keeps its place in memory, by which it is found.
type Known = (Arc<tree::Tree>, Arc<OnceLock<Arc<Made>>>);

impl Makes {
    /// The parts of a text. Who asks while another one makes them waits for that one.
    fn made(&self, tree: &Arc<tree::Tree>, first: First, make: impl FnOnce() -> Made) -> Arc<Made> {
        let place = Arc::as_ptr(tree).addr();
        let (_, cell) =
            self.known().entry((place, first)).or_insert_with(|| (Arc::clone(tree), Arc::default())).clone();
        Arc::clone(cell.get_or_init(|| Arc::new(make())))
    }

    /// Forgets the parts of texts that nobody else has a tree of any more.
    pub fn tidy(&self) {
        self.known().retain(|_, (tree, _)| Arc::strong_count(tree) > 1);
    }

    /// Whoever failed while holding them left them whole: they are only ever added and taken away.
    fn known(&self) -> MutexGuard<'_, FxHashMap<(usize, First), Known>> {
        self.known.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
