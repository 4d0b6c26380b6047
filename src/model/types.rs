//! What the model consists of.

use super::*;
use crate::quantity::{Dimension, Interval};
use crate::source::Span;
use crate::syntax::tree::{self, Name, Source};

use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// Everything that the texts of one compile declare.
#[derive(Clone, Debug, Default)]
pub struct Model {
    /// What a library declares; shared between compiles that add nothing to it.
    pub base: Arc<Base>,
    /// Parts; shared between compiles that read the same text.
    pub parts: Vec<Arc<Part>>,
    /// Builds, in the order of the text.
    pub builds: Vec<Build>,
    /// Every fact that was written, left out or taken by default.
    pub facts: Facts,
    pub(super) part_names: IndexMap<String, PartId>,
    pub(super) build_names: IndexMap<String, BuildId>,
}

impl std::ops::Deref for Model {
    type Target = Base;

    fn deref(&self) -> &Base {
        &self.base
    }
}

/// What a library declares: everything but parts and builds.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Base {
    /// Warnings by name.
    pub cautions: IndexMap<String, Caution>,
    /// Closed lists of names.
    pub choices: Vec<Choice>,
    /// Families of standards.
    pub interfaces: Vec<Interface>,
    /// Standards of all families.
    pub standards: Vec<Standard>,
    /// Facts, ports and fields.
    pub declared: Vec<Declared>,
    /// Kinds of part.
    pub kinds: Vec<Kind>,
    /// Look-up tables.
    pub tables: Vec<Table>,
    /// Functions of the library.
    pub functions: Vec<Function>,
    /// Joints.
    pub joints: Vec<Joint>,
    /// Assemblies.
    pub assemblies: Vec<Assembly>,
    /// Words that count things: `teeth`, `holes`.
    pub counted: Vec<String>,
    /// Facts that every part may have, whatever its kind.
    pub common: Vec<DeclaredId>,
    pub(super) names: Names,
}

/// Names to numbers, a table a namespace.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub(super) struct Names {
    pub choices: IndexMap<String, ChoiceId>,
    pub interfaces: IndexMap<String, InterfaceId>,
    pub kinds: IndexMap<String, KindId>,
    pub tables: IndexMap<String, TableId>,
    pub functions: IndexMap<String, FunctionId>,
    pub joints: IndexMap<String, JointId>,
    pub assemblies: IndexMap<String, AssemblyId>,
    /// Rule codes with the place of each.
    pub codes: IndexMap<String, Span>,
}

impl Model {
    /// The build of this name.
    pub fn build_named(&self, name: &str) -> Option<BuildId> {
        self.build_names.get(name).copied()
    }

    /// The part of this name.
    pub fn part_named(&self, name: &str) -> Option<PartId> {
        self.part_names.get(name).copied()
    }

    /// The function of this name.
    pub fn function_named(&self, name: &str) -> Option<&Function> {
        self.functions.get(self.names.functions.get(name)?.0)
    }

    /// The kind of this name.
    pub fn kind_named(&self, name: &str) -> Option<KindId> {
        self.names.kinds.get(name).copied()
    }
}

/// A warning.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Caution {
    /// What it says.
    pub text: Later<String>,
    /// Where its name stands.
    pub span: Span,
}

/// A caution that is called for.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct CautionRef {
    /// Its name.
    pub name: String,
    /// When; always, when not said.
    pub when: Option<Ir>,
}

/// What a definition says of itself.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct About {
    /// What it is.
    pub doc: String,
    /// How to measure or tell it.
    pub measure: Option<String>,
    /// With which tool.
    pub tool: Option<String>,
    /// More to know.
    pub notes: Vec<String>,
    /// Where it is from.
    pub sources: Vec<Source>,
}

impl About {
    /// As the text has it.
    pub(super) fn of(about: &tree::About) -> About {
        let text = |text: &tree::Text| text.text.clone();
        About {
            doc: about.doc.as_ref().map(text).unwrap_or_default(),
            measure: about.measure.as_ref().map(text),
            tool: about.tool.as_ref().map(text),
            notes: about.notes.iter().map(text).collect(),
            sources: about.sources.clone(),
        }
    }
}

/// A closed list of names.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Choice {
    /// Its name.
    pub name: Name,
    /// What it says of itself.
    pub about: Later<About>,
    /// Members with what they mean.
    pub members: Vec<(String, String)>,
}

/// A family of standards.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Interface {
    /// Its name.
    pub name: Name,
    /// What it says of itself.
    pub about: Later<About>,
    /// Its standards, in order.
    pub standards: Vec<StandardId>,
}

/// An interface standard.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Standard {
    /// Its name.
    pub name: Name,
    /// Its family.
    pub interface: InterfaceId,
    /// What it says of itself.
    pub about: Later<About>,
    /// Its fields, in order.
    pub fields: Vec<DeclaredId>,
    /// Its notations: field numbers, and whether the mark is `x`.
    pub written: Vec<(usize, usize, bool)>,
}

/// A fact, port or field as declared.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Declared {
    /// Its name, possibly dotted.
    pub name: Name,
    /// What it belongs to, for a message: `frame`, `open`.
    pub owner: String,
    /// Declared with `port`.
    pub port: bool,
    /// May be absent for good.
    pub optional: bool,
    /// Its type.
    pub kind: Type,
    /// What it may plausibly be; anything, when not said.
    pub limits: Interval,
    /// The plausible range as written.
    pub limits_written: Option<String>,
    /// What it is when nothing is said.
    pub default: Option<tree::Value>,
    /// What it says of itself.
    pub about: Later<About>,
}

/// The type of a value.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Type {
    /// A number of some dimension.
    Number(Dimension),
    /// A plain number that counts something.
    Count(String),
    /// An amount.
    Money,
    /// Words.
    Text,
    /// Yes or no.
    Flag,
    /// A member of a choice.
    Choice(ChoiceId),
    /// A standard of an interface.
    Standard(InterfaceId),
    /// Several of one type.
    List(Box<Type>),
    /// From a lowest to a highest value, both of which it can do.
    Range(Box<Type>),
    /// A whole part, of one of these kinds.
    Part(Vec<KindId>),
    /// What a mistake left behind; agrees with everything.
    Any,
}

/// A kind of part.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Kind {
    /// Its name.
    pub name: Name,
    /// What it says of itself.
    pub about: Later<About>,
    /// Its facts and ports, in order, the common ones last.
    pub facts: IndexMap<String, DeclaredId>,
}

/// A look-up table.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Table {
    /// Its name.
    pub name: Name,
    /// What it says of itself.
    pub about: Later<About>,
    /// How a row is found.
    pub by: By,
    /// Columns with their types; the first is the key.
    pub columns: Vec<(String, Type)>,
    /// Rows, by rising key.
    pub rows: Vec<Vec<Valued>>,
}

/// How a row of a table is found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum By {
    /// The row whose key is the same.
    Exact,
    /// The row with the greatest key that is not above.
    Floor,
    /// Between two rows, in proportion.
    Linear,
}

/// A function of the library.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Function {
    /// Its name.
    pub name: Name,
    /// What it is.
    pub doc: String,
    /// Types of its parameters.
    pub parameters: Vec<(String, Type)>,
    /// Type of its result.
    pub result: Type,
    /// What it computes.
    pub body: Ir,
}

/// Rules of a meeting.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Joint {
    /// Its name.
    pub name: Name,
    /// What it says of itself.
    pub about: Later<About>,
    /// Parameters, in order.
    pub takes: Vec<Takes>,
    /// `let` bindings, in order.
    pub lets: Vec<(String, Ir)>,
    /// Rules, in order.
    pub rules: Vec<Rule>,
    /// Ways it is made, in order.
    pub fastenings: Vec<Fastening>,
    /// What it uses up.
    pub consumes: Later<Vec<Consumed>>,
    /// Handwork, in order.
    pub works: Later<Vec<Work>>,
    /// Cautions of the joint as a whole.
    pub cautions: Vec<CautionRef>,
}

impl Joint {
    /// Visits every expression that its verdict may hang on.
    pub fn decides(&self, visit: &mut dyn FnMut(&Ir)) {
        self.lets.iter().for_each(|(_, it)| visit(it));
        for rule in self.rules.iter().filter(|it| it.required) {
            rule.when.iter().chain([&rule.that]).for_each(&mut *visit);
        }
        for it in self.fastenings.iter().filter(|it| !it.printed.is_empty()) {
            let torque = it.torque.iter().flat_map(|(low, high)| [low, high]);
            let printed = it.printed.iter().map(|(_, it)| it);
            it.when.iter().chain(torque).chain(printed).for_each(&mut *visit);
        }
    }
}

/// A parameter of a joint.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Takes {
    /// Its name.
    pub name: Name,
    /// May be missing.
    pub optional: bool,
    /// Its type.
    pub kind: Type,
}

/// A rule of a joint.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Rule {
    /// Its stable code.
    pub code: Name,
    /// Failing it is a clash; otherwise only advice.
    pub required: bool,
    /// When it applies.
    pub when: Option<Ir>,
    /// What must hold.
    pub that: Ir,
    /// What there is to say of it.
    pub words: Later<RuleWords>,
}

/// What there is to say of a rule.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct RuleWords {
    /// What it says of itself; its doc is what must hold.
    pub about: About,
    /// What is said when it does not hold.
    pub otherwise: Template,
    /// Why it matters.
    pub why: String,
    /// What may be done, and when.
    pub may: Vec<(Template, Option<Ir>)>,
    /// Cautions.
    pub cautions: Vec<CautionRef>,
}

/// How a joint is made.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Fastening {
    /// Its name.
    pub name: Name,
    /// When it is made this way.
    pub when: Option<Ir>,
    /// The torque, from and to.
    pub torque: Option<(Ir, Ir)>,
    /// Tightened by hand, without a torque.
    pub by_hand: bool,
    /// Limits that may be printed on a part, with their paths.
    pub printed: Vec<(Name, Ir)>,
    /// Tightened to the left.
    pub left: bool,
    /// Tightened again after the first use.
    pub settles: bool,
    /// What there is to say of it.
    pub words: Later<FasteningWords>,
}

/// What there is to say of a fastening.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct FasteningWords {
    /// What it says of itself.
    pub about: About,
    /// The thread.
    pub thread: Option<Template>,
    /// The tool.
    pub tool: Option<Template>,
    /// Preparation.
    pub prepare: Option<Template>,
    /// What must be done before.
    pub before: Option<Template>,
    /// What the preparation takes.
    pub uses: Vec<String>,
    /// Cautions.
    pub cautions: Vec<CautionRef>,
}

/// Something that a joint uses up.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Consumed {
    /// What.
    pub what: Template,
    /// How many, or how long; some, when not said.
    pub count: Option<Ir>,
    /// What `count` measures: a plain number, or a length and the like.
    pub dimension: Dimension,
    /// A piece that is cut to a length, and counted in no sum.
    pub cut: bool,
    /// When.
    pub when: Option<Ir>,
}

/// A whole thing.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Assembly {
    /// Its name.
    pub name: Name,
    /// What it says of itself.
    pub about: Later<About>,
    /// Slots by name.
    pub slots: IndexMap<String, Slot>,
    /// Facts of the whole by name.
    pub facts: IndexMap<String, DeclaredId>,
    /// Occurrences of joints.
    pub joins: Vec<Join>,
    /// Handwork on the whole, in order.
    pub works: Vec<Work>,
    /// Cautions of the whole.
    pub cautions: Vec<CautionRef>,
}

/// A place for a part.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Slot {
    /// Its name, possibly dotted.
    pub name: Name,
    /// May stay empty.
    pub optional: bool,
    /// Kinds that may stand in it.
    pub kinds: Vec<KindId>,
    /// What it is.
    pub doc: String,
    /// Slots that the same piece may fill too.
    pub shares: Vec<SlotId>,
}

/// An occurrence of a joint.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Join {
    /// Its name, possibly dotted.
    pub name: Name,
    /// What it is.
    pub doc: String,
    /// The joint.
    pub joint: JointId,
    /// An argument a parameter; none for an optional one left out.
    pub arguments: Vec<Option<Argument>>,
    /// An adapter that may stand between.
    pub through: Option<Through>,
    /// When it exists.
    pub when: Option<Ir>,
    /// Joins that it is made after, by their numbers, and that can't be reached while it is made.
    pub upon: Vec<usize>,
    /// Joins that it is made after, by their numbers.
    pub after: Vec<usize>,
}

/// An argument of a join.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum Argument {
    /// The whole part in a slot.
    Slot(SlotId),
    /// A fact of the part in a slot.
    Fact(SlotId, String),
    /// A fact of the whole.
    Whole(String),
    /// A fixed value.
    Fixed(Valued),
}

/// An adapter between the two sides of a join.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Through {
    /// Where the adapter stands.
    pub slot: SlotId,
    /// The parameter that its first port stands in for, and that port.
    pub first: (usize, String),
    /// The same for its second port.
    pub second: (usize, String),
}

/// A real part.
#[derive(Clone, Debug)]
pub struct Part {
    /// Its name.
    pub name: Name,
    /// Its kind.
    pub kind: KindId,
    /// What it is.
    pub doc: String,
    /// Its facts, as many as its kind has, in that order.
    pub facts: Vec<Valued>,
    /// From the first word to the closing brace.
    pub span: Span,
    /// Stands for a part not decided on; no person wrote it.
    pub undecided: bool,
}

/// Slots filled with parts.
#[derive(Clone, Debug)]
pub struct Build {
    /// Its name.
    pub name: Name,
    /// What it is.
    pub doc: String,
    /// What it is a build of.
    pub assembly: AssemblyId,
    /// The build it comes from.
    pub from: Option<BuildId>,
    /// What stands in each slot of the assembly, in its order.
    pub slots: Vec<Option<Filled>>,
    /// Facts of the whole, by name.
    pub facts: IndexMap<String, Valued>,
    /// From the first word to the closing brace.
    pub span: Span,
}

impl Build {
    /// A build of an assembly with nothing in it yet, which no text declares.
    pub fn blank(assembly: AssemblyId) -> Build {
        let span = Span::new(crate::source::FileId(u32::MAX), 0, 0);
        Build {
            name: Name { text: String::new(), span },
            doc: String::new(),
            assembly,
            from: None,
            slots: Vec::new(),
            facts: IndexMap::default(),
            span,
        }
    }
}

/// A filled slot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Filled {
    /// The part.
    pub part: PartId,
    /// Where it was put in, possibly in a build that this one comes from.
    pub span: Span,
}
