//! What a rule computes, with every name resolved and every type checked.

use super::{FunctionId, KindId, SlotId, StandardId, TableId};
use crate::quantity::{Dimension, Interval};
use crate::source::Span;
use crate::syntax::tree::Comparator;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// A checked expression.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum Ir {
    /// A figure of the library.
    Number(Interval),
    /// Words.
    Text(Arc<str>),
    /// Yes or no.
    Flag(bool),
    /// Parameter of the joint or function.
    Parameter(usize),
    /// `let` binding of the joint.
    Let(usize),
    /// The part in a slot.
    Slot(SlotId),
    /// A fact of the whole.
    Whole(String),
    /// A fact of a part.
    Fact(Box<Ir>, String),
    /// A field of a standard, and where it is asked for.
    Field(Box<Ir>, String, Span),
    /// A choice between two values.
    If(Box<[Ir; 3]>),
    /// One holds.
    Or(Vec<Ir>),
    /// All hold.
    And(Vec<Ir>),
    /// Does not hold.
    Not(Box<Ir>),
    /// Is one of these members of a choice.
    IsMember(Box<Ir>, Vec<usize>),
    /// Is one of these standards.
    IsStandard(Box<Ir>, Vec<StandardId>),
    /// Is a part of one of these kinds.
    IsKind(Box<Ir>, Vec<KindId>),
    /// Lies within two numbers.
    Between(Box<[Ir; 3]>),
    /// Lies within a range that a part can do.
    Within(Box<[Ir; 2]>),
    /// Is among the values of a list.
    Among(Box<[Ir; 2]>),
    /// Compares two values.
    Compare(Box<Ir>, Comparator, Box<Ir>),
    /// Adds and subtracts; the flag says minus.
    Sum(Box<Ir>, Vec<(bool, Ir)>),
    /// Multiplies and divides; the flag says divided by.
    Product(Box<Ir>, Vec<(bool, Ir)>),
    /// Turns the sign.
    Negate(Box<Ir>),
    /// A function that every rule has.
    Builtin(Builtin, Vec<Ir>),
    /// A function of the library.
    Function(FunctionId, Vec<Ir>),
    /// A function of `calc`, by its number in the table there.
    Calc(usize, Vec<Ir>),
    /// A cell of a table: its row's key, its column, whether that is a number.
    Lookup(TableId, Box<Ir>, usize),
    /// Several values.
    List(Vec<Ir>),
    /// What a mistake left behind: not known.
    Unknown,
}

impl Ir {
    /// Visits the expression and all within it.
    pub fn each(&self, visit: &mut impl FnMut(&Ir)) {
        fn within(ir: &Ir, visit: &mut dyn FnMut(&Ir)) {
            visit(ir);
            ir.children(&mut |it| within(it, visit));
        }
        within(self, visit);
    }

    /// Visits the expressions that this one is made of.
    pub fn children(&self, visit: &mut dyn FnMut(&Ir)) {
        match self {
            Ir::Number(_)
            | Ir::Text(_)
            | Ir::Flag(_)
            | Ir::Parameter(_)
            | Ir::Let(_)
            | Ir::Slot(_)
            | Ir::Whole(_)
            | Ir::Unknown => {}
            Ir::Fact(one, _)
            | Ir::Field(one, ..)
            | Ir::Not(one)
            | Ir::IsMember(one, _)
            | Ir::IsStandard(one, _)
            | Ir::IsKind(one, _)
            | Ir::Negate(one)
            | Ir::Lookup(_, one, _) => visit(one),
            Ir::If(all) | Ir::Between(all) => all.iter().for_each(visit),
            Ir::Within(all) | Ir::Among(all) => all.iter().for_each(visit),
            Ir::Or(all)
            | Ir::And(all)
            | Ir::Builtin(_, all)
            | Ir::Function(_, all)
            | Ir::Calc(_, all)
            | Ir::List(all) => all.iter().for_each(visit),
            Ir::Compare(left, _, right) => {
                visit(left);
                visit(right);
            }
            Ir::Sum(first, rest) | Ir::Product(first, rest) => {
                visit(first);
                rest.iter().for_each(|(_, it)| visit(it));
            }
        }
    }
}

/// Functions that every rule has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Builtin {
    /// Size without sign.
    Abs,
    /// The smallest of several numbers.
    Min,
    /// The largest of several numbers.
    Max,
    /// Sum of a list.
    Sum,
    /// Length of a list.
    Count,
    /// Smallest of a list.
    Smallest,
    /// Largest of a list.
    Largest,
    /// First of a list.
    First,
    /// Last of a list.
    Last,
    /// Lower end of a range.
    Low,
    /// Upper end of a range.
    High,
    /// Nearest whole number.
    Round,
    /// Next whole number below.
    Floor,
    /// Next whole number above.
    Ceil,
    /// Square root.
    Sqrt,
    /// Whether a parameter, slot or optional fact is there.
    Given,
}

impl Builtin {
    /// All of them by name.
    pub const NAMED: &[(&'static str, Builtin)] = &[
        ("abs", Builtin::Abs),
        ("min", Builtin::Min),
        ("max", Builtin::Max),
        ("sum", Builtin::Sum),
        ("count", Builtin::Count),
        ("smallest", Builtin::Smallest),
        ("largest", Builtin::Largest),
        ("first", Builtin::First),
        ("last", Builtin::Last),
        ("low", Builtin::Low),
        ("high", Builtin::High),
        ("round", Builtin::Round),
        ("floor", Builtin::Floor),
        ("ceil", Builtin::Ceil),
        ("sqrt", Builtin::Sqrt),
        ("given", Builtin::Given),
        ("filled", Builtin::Given),
    ];
}

/// A text with values in it.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Template {
    /// In order.
    pub pieces: Vec<Piece>,
}

/// A piece of a template.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub enum Piece {
    /// Plain words.
    Text(String),
    /// A value to show, with its dimension if it is a number.
    Value(Ir, Option<Dimension>),
}
