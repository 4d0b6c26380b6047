//! Whether two texts say the same: the same tree wherever things stand, and the same comments in the same order.

use crate::source::FileId;
use crate::syntax::{self, Grammar, Rule};
use pest::Parser;
use serde_json::Value;

/// Whether two texts say the same.
pub fn same(one: &str, other: &str) -> bool {
    said(one) == said(other)
}

/// The number of the first line, from 1, in which two texts differ.
pub fn first_difference(one: &str, other: &str) -> Option<usize> {
    if one == other {
        return None;
    }
    let same = one.split('\n').zip(other.split('\n')).take_while(|(one, other)| one == other).count();
    Some(same + 1)
}

/// The tree without its places, and the comments.
fn said(text: &str) -> (Value, Vec<String>) {
    let mut tree = serde_json::to_value(syntax::parse(FileId(0), text).tree).unwrap_or_default();
    displace(&mut tree);
    (tree, comments(text))
}

/// What the comments of a text say, in order.
fn comments(text: &str) -> Vec<String> {
    let Ok(pairs) = Grammar::parse(Rule::file, text) else { return Vec::new() };
    let comments = pairs.flatten().filter(|it| it.as_rule() == Rule::comment);
    comments.map(|it| it.as_str().trim_end().to_owned()).collect()
}

/// Takes every place out of a tree.
fn displace(value: &mut Value) {
    match value {
        Value::Object(fields) => {
            let place = fields.len() == 3 && ["file", "start", "end"].iter().all(|it| fields.contains_key(*it));
            if place {
                *value = Value::Null;
            } else {
                fields.values_mut().for_each(displace);
            }
        }
        Value::Array(items) => items.iter_mut().for_each(displace),
        _ => {}
    }
}
