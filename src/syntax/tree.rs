//! The tree: what the text says, before anyone asks what it means. Every node keeps its place.

use crate::source::Span;
use serde::{Deserialize, Serialize};

/// A name, or a dotted path of names kept as one text.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Name {
    /// As written, without spaces.
    pub text: String,
    /// Where.
    pub span: Span,
}

/// One or more strings in a row, escapes resolved, joined with a space.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Text {
    /// What they say.
    pub text: String,
    /// Where, quotes included.
    pub span: Span,
}

/// A text with `{expressions}` in it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Template {
    /// In order.
    pub pieces: Vec<Piece>,
    /// Where, quotes included.
    pub span: Span,
}

/// A piece of a template.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Piece {
    /// Plain words.
    Text(String),
    /// A value to show.
    Expr(Expr),
}

/// One file.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Tree {
    /// In the order of the text.
    pub items: Vec<Item>,
}

/// A top-level construct.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Item {
    /// `use "bin.cotter"`.
    Use(Text),
    /// `standalone`: the embedded library is not wanted.
    Standalone(Span),
    /// A warning with a name.
    Caution(Caution),
    /// A closed list of names.
    Choice(Choice),
    /// A family of standards.
    Interface(Interface),
    /// An interface standard.
    Standard(Standard),
    /// A kind of part.
    Kind(Kind),
    /// A look-up table.
    Table(Table),
    /// A function of the library.
    Function(Function),
    /// Rules of a meeting.
    Joint(Joint),
    /// A whole thing.
    Assembly(Assembly),
    /// An addition to a kind, assembly or joint.
    Extend(Extend),
    /// A real part.
    Part(Part),
    /// Slots filled with parts.
    Build(Build),
    /// Rows of a price list that are parts.
    Stock(Stock),
}

/// What a definition says of itself.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct About {
    /// What it is.
    pub doc: Option<Text>,
    /// How to measure or tell it.
    pub measure: Option<Text>,
    /// With which tool.
    pub tool: Option<Text>,
    /// More to know.
    pub notes: Vec<Text>,
    /// Where it is from.
    pub sources: Vec<Source>,
}

/// Where a fact of the trade is from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Source {
    /// `published`, `practice`, `memory` or `derived`.
    pub standing: Name,
    /// Which text, or what is remembered.
    pub text: Option<Text>,
}

/// `caution name "text"`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Caution {
    /// Its name.
    pub name: Name,
    /// The warning.
    pub text: Text,
}

/// `choice name { members }`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Choice {
    /// Its name.
    pub name: Name,
    /// What it says of itself.
    pub about: About,
    /// Names with what they mean.
    pub members: Vec<(Name, Option<Text>)>,
}

/// `interface name { … }`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Interface {
    /// Its name.
    pub name: Name,
    /// What it says of itself.
    pub about: About,
}

/// `standard name : interface { fields }`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Standard {
    /// Its name.
    pub name: Name,
    /// The family it belongs to.
    pub interface: Name,
    /// What it says of itself.
    pub about: About,
    /// What is measured of it.
    pub fields: Vec<Declared>,
    /// `written a - b` or `written a x b`, one or both.
    pub written: Vec<Written>,
}

/// The notation that stands for a standard.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Written {
    /// The field before the mark.
    pub first: Name,
    /// The field after it.
    pub second: Name,
    /// Whether the mark is `x` rather than `-`.
    pub cross: bool,
}

/// A field, port, fact: a name with a type and what may stand there.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Declared {
    /// Its name, possibly dotted.
    pub path: Name,
    /// Declared with `port`.
    pub port: bool,
    /// May be absent for good.
    pub optional: bool,
    /// Its type.
    pub kind: Type,
    /// The plausible range.
    pub limits: Option<(Quantity, Quantity)>,
    /// What it is when nothing is said.
    pub default: Option<Value>,
    /// What it says of itself.
    pub about: About,
}

/// A type as written.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Type {
    /// `length`, or the name of a choice, an interface or a kind.
    Named(Name),
    /// `count of teeth`.
    Count(Name),
    /// `list of …`.
    List(Box<Type>),
    /// `range of …`.
    Range(Box<Type>),
}

/// `kind name { ports and facts }`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Kind {
    /// Its name.
    pub name: Name,
    /// What it says of itself.
    pub about: About,
    /// Ports and facts, in order.
    pub facts: Vec<Declared>,
}

/// `table name { … }`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Table {
    /// Its name.
    pub name: Name,
    /// What it says of itself.
    pub about: About,
    /// How a row is found: `exact`, `floor` or `linear`.
    pub by: Option<Name>,
    /// Columns with their types; the first is the key.
    pub columns: Vec<(Name, Type)>,
    /// Rows.
    pub rows: Vec<(Vec<Value>, Span)>,
}

/// `function name(parameters) = expression`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Function {
    /// Its name.
    pub name: Name,
    /// What it says of itself.
    pub doc: Option<Text>,
    /// Parameters with their types.
    pub parameters: Vec<(Name, Type)>,
    /// What it is.
    pub body: Expr,
}

/// `joint name { … }`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Joint {
    /// Its name.
    pub name: Name,
    /// What it says of itself.
    pub about: About,
    /// Everything else.
    pub body: JointBody,
}

/// What a joint, or an extension of it, consists of.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct JointBody {
    /// Parameters.
    pub takes: Vec<Takes>,
    /// `let` bindings, in order.
    pub lets: Vec<(Name, Expr)>,
    /// Rules.
    pub rules: Vec<Rule>,
    /// How it is made.
    pub fastenings: Vec<Fasten>,
    /// What it uses up.
    pub consumes: Vec<Consumes>,
    /// Handwork.
    pub works: Vec<Work>,
    /// Cautions of the joint as a whole.
    pub cautions: Vec<CautionRef>,
}

/// `caution name when …`: a caution that is called for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CautionRef {
    /// Its name.
    pub name: Name,
    /// When; always, when not said.
    pub when: Option<Expr>,
}

/// A parameter of a joint.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Takes {
    /// Its name.
    pub name: Name,
    /// May be missing.
    pub optional: bool,
    /// Its type.
    pub kind: Type,
}

/// `require code "title" { … }` or `advise …`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Rule {
    /// Its code.
    pub code: Name,
    /// `require` rather than `advise`.
    pub required: bool,
    /// What it says of itself; its `doc` is what must hold.
    pub about: About,
    /// When it applies.
    pub when: Option<Expr>,
    /// What must hold.
    pub that: Option<Expr>,
    /// What is said when it does not.
    pub otherwise: Option<Template>,
    /// Why it matters.
    pub why: Option<Text>,
    /// What may be done.
    pub may: Vec<(Template, Option<Expr>)>,
    /// Cautions, by name.
    pub cautions: Vec<CautionRef>,
}

/// `fasten name "title" { … }`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Fasten {
    /// Its name.
    pub name: Name,
    /// What it says of itself.
    pub about: About,
    /// When it is made this way.
    pub when: Option<Expr>,
    /// The thread.
    pub thread: Option<Template>,
    /// The tool.
    pub tool: Option<Template>,
    /// The torque.
    pub torque: Option<Torque>,
    /// Facts that may be printed on a part.
    pub printed: Vec<Name>,
    /// Preparation.
    pub prepare: Option<Template>,
    /// Direction of tightening.
    pub turn: Option<Name>,
    /// What must be done before.
    pub before: Option<Template>,
    /// `settles`: where it says that it is tightened again after the first use.
    pub settles: Option<Span>,
    /// What the preparation takes.
    pub uses: Vec<Text>,
    /// Cautions, by name.
    pub cautions: Vec<CautionRef>,
}

/// The torque of a fastening.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Torque {
    /// By hand.
    Hand,
    /// From one value to another.
    Range(Box<[Expr; 2]>),
}

/// `consumes "what" : how many`, or `cut "what" : how long`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Consumes {
    /// What.
    pub what: Template,
    /// How many, or how long; some, when not said.
    pub count: Option<Expr>,
    /// A piece that is cut to a length, and counted in no sum.
    pub cut: bool,
    /// When.
    pub when: Option<Expr>,
}

/// `undo "text" when … { … }` and the like: handwork that belongs to a joint or to the whole.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Work {
    /// Which work, by its word.
    pub word: Name,
    /// What is done.
    pub text: Template,
    /// When.
    pub when: Option<Expr>,
    /// With which tool.
    pub tool: Option<Template>,
    /// Cautions, by name.
    pub cautions: Vec<CautionRef>,
    /// Its notes and sources; nothing else.
    pub about: About,
}

/// `assembly name { slots and joins }`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Assembly {
    /// Its name.
    pub name: Name,
    /// What it says of itself.
    pub about: About,
    /// Everything else.
    pub body: AssemblyBody,
}

/// What an assembly, or an extension of it, consists of.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct AssemblyBody {
    /// Places for parts.
    pub slots: Vec<Slot>,
    /// Facts of the whole.
    pub facts: Vec<Declared>,
    /// Occurrences of joints.
    pub joins: Vec<Join>,
    /// Handwork.
    pub works: Vec<Work>,
    /// Cautions of the whole, by name.
    pub cautions: Vec<CautionRef>,
}

/// `slot name? : kind | other_kind`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Slot {
    /// Its name, possibly dotted.
    pub path: Name,
    /// May stay empty.
    pub optional: bool,
    /// Kinds that may stand in it.
    pub kinds: Vec<Name>,
    /// What it is.
    pub doc: Option<Text>,
    /// Slots that the same piece may fill too.
    pub shares: Vec<Name>,
}

/// `join name = joint(arguments)`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Join {
    /// Its name, possibly dotted.
    pub path: Name,
    /// What it is.
    pub doc: Option<Text>,
    /// The joint.
    pub joint: Name,
    /// Arguments, by name.
    pub binds: Vec<(Name, Bind)>,
    /// The slot of an adapter and its two ports.
    pub through: Option<(Name, Name, Name)>,
    /// When it exists.
    pub when: Option<Expr>,
    /// Joins that it is made after, and that can't be reached while it is made.
    pub upon: Vec<Name>,
    /// Joins that it is made after.
    pub after: Vec<Name>,
}

/// An argument of a join.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Bind {
    /// A slot, a fact of its part, a fact of the assembly, or a member of a choice.
    Path(Name),
    /// A number.
    Quantity(Quantity),
}

/// `extend kind|assembly|joint name { … }`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Extend {
    /// Which word stood there: `kind`, `assembly` or `joint`.
    pub what: Name,
    /// Whose.
    pub name: Name,
    /// Facts added to a kind or assembly.
    pub facts: Vec<Declared>,
    /// Slots and joins added to an assembly.
    pub slots: Vec<Slot>,
    /// Joins added to an assembly.
    pub joins: Vec<Join>,
    /// What is added to a joint; its cautions and handwork may be those of an assembly.
    pub joint: JointBody,
}

/// `part name : kind "doc" { facts }`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Part {
    /// Its name.
    pub name: Name,
    /// Its kind.
    pub kind: Name,
    /// What it is.
    pub doc: Option<Text>,
    /// Its facts.
    pub facts: Vec<Assign>,
    /// From the first word to the closing brace.
    pub span: Span,
}

/// `stock name : kind "file.csv" { entries }`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Stock {
    /// Its name.
    pub name: Name,
    /// The kind that its rows are parts of.
    pub kind: Name,
    /// The price list, as seen from this file.
    pub file: Text,
    /// How the list is written, and what is read from its columns.
    pub entries: Vec<Entry>,
    /// From the first word to the closing brace.
    pub span: Span,
}

impl Stock {
    /// Entries that say how the list is read; every other one is a fact of its parts.
    pub const SETTINGS: &[&str] = &["rows", "separator", "decimal", "encoding", "name", "text"];

    /// The first entry of this name.
    pub fn entry(&self, name: &str) -> Option<&Entry> {
        self.entries.iter().find(|it| it.path.text == name)
    }

    /// The first block of the same stock that reads the same file, if that is another: it says for both how that is read.
    pub fn first_of<'t>(&self, all: &[&'t Stock]) -> Option<&'t Stock> {
        let same = |it: &&Stock| it.name.text == self.name.text && it.file.text == self.file.text;
        all.iter().copied().find(same).filter(|it| it.span != self.span)
    }

    /// The columns that it names, in order.
    pub fn columns(&self) -> Vec<&Cell> {
        self.entries.iter().flat_map(|it| it.filling.columns()).collect()
    }
}

/// `path = filling`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Entry {
    /// A setting, or a fact of the kind.
    pub path: Name,
    /// What it is in each row.
    pub filling: Filling,
}

/// What a fact is in each row.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Filling {
    /// The same in all.
    Value(Value),
    /// What stands in a column.
    Cell(Cell),
    /// A standard with columns among its fields, and where it stands.
    Call(Name, Vec<(Option<Name>, Filling)>, Span),
}

impl Filling {
    /// The columns in it, in order.
    pub fn columns(&self) -> Vec<&Cell> {
        match self {
            Filling::Value(_) => Vec::new(),
            Filling::Cell(cell) => vec![cell],
            Filling::Call(_, fills, _) => fills.iter().flat_map(|(_, it)| it.columns()).collect(),
        }
    }

    /// Where it stands.
    pub fn span(&self) -> Span {
        match self {
            Filling::Value(value) => value.span,
            Filling::Cell(cell) => cell.span,
            Filling::Call(.., span) => *span,
        }
    }
}

/// `column "header" unit` or `column "header" is "word"`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Cell {
    /// The column's name in the header.
    pub column: Text,
    /// The unit that its numbers lack.
    pub unit: Option<Name>,
    /// Whether it is one of some words.
    pub test: Option<Test>,
    /// Where.
    pub span: Span,
}

/// `is "word" | "word"`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Test {
    /// Says `is not`.
    pub not: bool,
    /// The words.
    pub words: Vec<Text>,
}

/// `path = value`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Assign {
    /// Left of the sign.
    pub path: Name,
    /// Right of it.
    pub value: Value,
}

/// `build name : assembly { … }` or `build name from other { … }`.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Build {
    /// Its name.
    pub name: Name,
    /// What it is built as, or from.
    pub origin: Origin,
    /// What it is.
    pub doc: Option<Text>,
    /// Slots and facts of the whole.
    pub assigns: Vec<Assign>,
    /// Slots emptied.
    pub removes: Vec<Name>,
    /// From the first word to the closing brace.
    pub span: Span,
}

/// What a build starts from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum Origin {
    /// Nothing yet, of this assembly.
    Assembly(Name),
    /// Another build.
    From(Name),
}

/// A value as a person writes it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Value {
    /// What.
    pub node: ValueNode,
    /// Where.
    pub span: Span,
}

/// The notations of a value.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum ValueNode {
    /// `?`
    Unknown,
    /// `~46 mm`
    Estimate(Quantity),
    /// `up to 5 N·m`
    UpTo(Quantity),
    /// `584x23`
    Cross(String, String),
    /// `11-13-15`
    Series(Vec<String>),
    /// `46 mm ± 1 mm`
    Tolerance(Quantity, Quantity),
    /// `44 mm .. 48 mm`
    Range(Quantity, Quantity),
    /// `26.8 mm`
    Quantity(Quantity),
    /// `open(126 mm)`
    Call(Name, Vec<(Option<Name>, Value)>),
    /// `steel`
    Name(String),
    /// `"words"`
    Text(String),
    /// `[a, b]`
    List(Vec<Value>),
}

/// A number with its unit, as written.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Quantity {
    /// Has a minus sign.
    pub negative: bool,
    /// The digits: `26.8`, `1 1/8`.
    pub number: String,
    /// The unit.
    pub unit: Option<Name>,
    /// Where.
    pub span: Span,
}

/// An expression of a rule.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Expr {
    /// What.
    pub node: ExprNode,
    /// Where.
    pub span: Span,
}

/// The forms of an expression. Chains are flat, so that a long one is no deep tree.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub enum ExprNode {
    /// `if a then b else c`
    If(Box<[Expr; 3]>),
    /// `a or b or c`
    Or(Vec<Expr>),
    /// `a and b and c`
    And(Vec<Expr>),
    /// `not a`
    Not(Box<Expr>),
    /// `x is a | b`; the flag says `is not`.
    Is(Box<Expr>, bool, Vec<Name>),
    /// `x in list`, `x in low .. high`; the flag says `not in`.
    In(Box<Expr>, bool, Box<Expr>, Option<Box<Expr>>),
    /// `a <= b`
    Compare(Box<Expr>, Comparator, Box<Expr>),
    /// `a + b - c`; the flag says minus.
    Sum(Box<Expr>, Vec<(bool, Expr)>),
    /// `a * b / c`; the flag says divided by.
    Product(Box<Expr>, Vec<(bool, Expr)>),
    /// `-a`
    Negate(Box<Expr>),
    /// `2 mm`
    Quantity(Quantity),
    /// `"words"`
    Text(String),
    /// `min(a, b)`
    Apply(Name, Vec<Expr>),
    /// `table[key].column`
    Lookup(Name, Box<Expr>, Name),
    /// `a.width`
    Path(Name),
    /// `[a, b]`
    List(Vec<Expr>),
}

/// How two values are compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Comparator {
    /// `==`
    Equal,
    /// `!=`
    Unequal,
    /// `<`
    Below,
    /// `<=`
    AtMost,
    /// `>`
    Above,
    /// `>=`
    AtLeast,
}
