//! What types are called, and when two of them agree.

use super::*;
use crate::quantity::{Dimension, Interval, Truth};

impl Model {
    /// A type in words, with an example of how it is written: `a length, such as `135 mm``.
    pub fn type_words(&self, kind: &Type) -> String {
        match kind {
            Type::Number(dimension) => match crate::quantity::shown_in(*dimension) {
                Some(unit) => format!("{}, such as `{} {}`", dimension.words(), example(*dimension), unit.name),
                None => format!("{}, such as `1.7`", dimension.words()),
            },
            Type::Count(word) => format!("a count of {word}, such as `32`"),
            Type::Money => "an amount, such as `140 EUR`".to_owned(),
            Type::Text => "a text in quotes".to_owned(),
            Type::Flag => "`yes` or `no`".to_owned(),
            Type::Choice(id) => {
                let names: Vec<&str> = self[*id].members.iter().map(|(name, _)| name.as_str()).take(8).collect();
                format!("one of `{}`", names.join("`, `"))
            }
            Type::Standard(id) => {
                let interface = &self[*id];
                let article = if interface.name.text.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
                let example =
                    interface.standards.first().map(|id| format!(", such as `{}`", self.standard_example(*id)));
                format!("{article} `{}`{}", interface.name.text, example.unwrap_or_default())
            }
            Type::List(inner) => match **inner {
                Type::Count(_) | Type::Number(Dimension::NONE) => "a list, such as `11-13-15`".to_owned(),
                _ => format!("a list of {}, such as `[a, b]`", self.type_words(inner)),
            },
            Type::Range(inner) => match **inner {
                Type::Number(dimension) => {
                    let unit =
                        crate::quantity::shown_in(dimension).map_or(String::new(), |unit| format!(" {}", unit.name));
                    format!("a range, such as `4{unit} .. 6{unit}` or `up to 5{unit}`")
                }
                _ => "a range, such as `24 .. 36`".to_owned(),
            },
            Type::Part(kinds) => {
                let names: Vec<&str> = kinds.iter().map(|id| self[*id].name.text.as_str()).collect();
                format!("a `{}`", names.join("` or `"))
            }
            Type::Any => "anything".to_owned(),
        }
    }

    /// How a value of a type is written, as a way out.
    pub(super) fn way_out(&self, kind: &Type) -> String {
        match kind {
            Type::Standard(id) => {
                let mut names: Vec<String> =
                    self[*id].standards.iter().map(|id| format!("`{}`", self.standard_example(*id))).collect();
                let more = names.len().saturating_sub(6);
                names.truncate(6);
                let more = if more > 0 { format!(" and {more} more") } else { String::new() };
                format!("write one of {}{more}, or `?` if it is not known yet", names.join(", "))
            }
            Type::Text => "write it in quotes: `\"like this\"`".to_owned(),
            Type::Choice(_) => "write one of these names, or `?` if it is not known yet".to_owned(),
            Type::Flag => "write `yes`, `no`, or `?` if it is not known yet".to_owned(),
            Type::Count(_) => "write a whole number, or `?` if it is not known yet".to_owned(),
            _ => "write it like that, or `?` if it is not known yet".to_owned(),
        }
    }

    /// A value of a type as it is written, where the type has an example.
    pub fn example(&self, kind: &Type) -> String {
        let words = self.type_words(kind);
        let example = words.split_once(", such as ").map_or("`?`", |(_, example)| example);
        example.split(" or ").next().unwrap_or(example).trim_matches('`').to_owned()
    }

    /// A type in words, without an example.
    pub fn said(&self, kind: &Type) -> String {
        match kind {
            Type::Choice(id) => format!("a `{}`", self[*id].name.text),
            Type::List(inner) => format!("a list of {}", self.several(inner)),
            Type::Range(inner) => format!("a range of {}", self.several(inner)),
            _ => {
                let words = self.type_words(kind);
                words.split(", such as").next().unwrap_or(&words).to_owned()
            }
        }
    }

    /// Things of a type, in words: `lengths`.
    fn several(&self, kind: &Type) -> String {
        match kind {
            Type::Any => "anything".to_owned(),
            Type::Count(word) => word.clone(),
            Type::Number(dimension) => {
                let words = dimension.words();
                let one = words.trim_start_matches("an ").trim_start_matches("a ");
                if one.ends_with('s') { format!("{one}es") } else { format!("{one}s") }
            }
            _ => self.said(kind),
        }
    }

    /// How a standard may be written, with its fields by name: `open(spacing = …)`.
    pub fn standard_example(&self, id: StandardId) -> String {
        let standard = &self[id];
        let fields: Vec<String> = standard
            .fields
            .iter()
            .map(|id| &self[*id])
            .filter(|field| field.default.is_none() && !field.optional)
            .map(|field| format!("{} = …", field.name.text))
            .collect();
        if fields.is_empty() {
            standard.name.text.clone()
        } else {
            format!("{}({})", standard.name.text, fields.join(", "))
        }
    }

    /// Whether a value of type `found` may stand where `wanted` is asked for.
    pub fn agrees(found: &Type, wanted: &Type) -> bool {
        match (found, wanted) {
            (Type::Any, _) | (_, Type::Any) => true,
            (Type::Part(found), Type::Part(wanted)) => found.iter().any(|kind| wanted.contains(kind)),
            (Type::List(found), Type::List(wanted)) | (Type::Range(found), Type::Range(wanted)) => {
                Self::agrees(found, wanted)
            }
            _ => match (found.dimension(), wanted.dimension()) {
                (Some(found), Some(wanted)) => found == wanted,
                _ => found == wanted,
            },
        }
    }
}

fn example(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::LENGTH => "135",
        Dimension::MASS => "450",
        Dimension::ANGLE => "72",
        _ => "5",
    }
}

impl Type {
    /// Any value of this type, within `limits` if it is a number.
    pub fn unknown(&self, limits: Interval) -> Value {
        match self {
            Type::Number(_) | Type::Count(_) | Type::Any => Value::Number(Number::of(limits)),
            Type::Money => Value::Money(None),
            Type::Text => Value::Text(None),
            Type::Flag => Value::Flag(Truth::Open),
            Type::Choice(_) => Value::Member(None),
            Type::Standard(_) => Value::Standard(None),
            Type::List(_) => Value::List(None),
            Type::Range(_) => Value::Range(None),
            Type::Part(_) => Value::Absent,
        }
    }

    /// The dimension of a number; counts are plain numbers.
    pub fn dimension(&self) -> Option<Dimension> {
        match self {
            Type::Number(dimension) => Some(*dimension),
            Type::Count(_) => Some(Dimension::NONE),
            _ => None,
        }
    }
}
