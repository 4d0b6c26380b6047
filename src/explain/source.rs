//! Expressions and texts as the library's writer put them: found in the tree again by the place of a name.

use super::Known;
use crate::library;
use crate::source::{FileId, Files, Span};
use crate::syntax::{self, tree};
use std::borrow::Cow;
use tree::{Expr, ExprNode, Item, JointBody, Piece, Template, Tree, Work};

/// The tree of a file: that of the library as it was prepared, any other parsed again.
pub(super) fn tree(files: &Files, file: FileId) -> Cow<'static, Tree> {
    let prepared = library::trees().get(file.0 as usize);
    match (prepared, files.get(file)) {
        (Some(tree), _) => Cow::Borrowed(tree),
        (None, Some(text)) => Cow::Owned(syntax::parse(file, &text.text).tree),
        (None, None) => Cow::Owned(Tree::default()),
    }
}

/// The bodies of joints in a tree: of joints themselves and of what extends them, each with the joint's name.
fn bodies(tree: &Tree) -> impl Iterator<Item = (&str, &JointBody)> {
    tree.items.iter().filter_map(|item| match item {
        Item::Joint(joint) => Some((joint.name.text.as_str(), &joint.body)),
        Item::Extend(extend) if extend.what.text == "joint" => Some((extend.name.text.as_str(), &extend.joint)),
        _ => None,
    })
}

/// The rule whose code stands at `at`.
pub(super) fn rule(known: Known, at: Span) -> Option<tree::Rule> {
    let tree = tree(known.files, at.file);
    bodies(&tree).flat_map(|(_, body)| &body.rules).find(|it| it.code.span == at).cloned()
}

/// The fastening whose name stands at `at`.
pub(super) fn fastening(known: Known, at: Span) -> Option<tree::Fasten> {
    let tree = tree(known.files, at.file);
    bodies(&tree).flat_map(|(_, body)| &body.fastenings).find(|it| it.name.span == at).cloned()
}

/// The join whose name stands at `at`.
pub(super) fn join(known: Known, at: Span) -> Option<tree::Join> {
    let tree = tree(known.files, at.file);
    let joins = tree.items.iter().flat_map(|item| match item {
        Item::Assembly(assembly) => assembly.body.joins.as_slice(),
        Item::Extend(extend) => extend.joins.as_slice(),
        _ => &[],
    });
    joins.into_iter().find(|it| it.path.span == at).cloned()
}

/// The function whose name stands at `at`.
pub(super) fn function(known: Known, at: Span) -> Option<tree::Function> {
    let tree = tree(known.files, at.file);
    tree.items.iter().find_map(|item| match item {
        Item::Function(function) if function.name.span == at => Some(function.clone()),
        _ => None,
    })
}

/// What a joint consists of, in all files: its own body and what extends it.
pub(super) fn joint(known: Known, name: &str, at: Span) -> Vec<JointBody> {
    let of_library = |file: FileId| library::trees().get(file.0 as usize).is_some();
    // The library extends no joint of a person's own file; one that it shares a name with is another's.
    let files = known.files.iter().map(|(file, _)| file).filter(|file| of_library(at.file) || !of_library(*file));
    let mut found = Vec::new();
    for file in files {
        let tree = tree(known.files, file);
        found.extend(bodies(&tree).filter(|(joint, _)| *joint == name).map(|(_, body)| body.clone()));
    }
    found
}

/// The handwork on the whole of an assembly, in all files: its own and what extends it.
pub(super) fn whole_works(known: Known, name: &str, at: Span) -> Vec<Work> {
    let of_library = |file: FileId| library::trees().get(file.0 as usize).is_some();
    let files = known.files.iter().map(|(file, _)| file).filter(|file| of_library(at.file) || !of_library(*file));
    let mut found = Vec::new();
    for file in files {
        for item in &tree(known.files, file).items {
            match item {
                Item::Assembly(it) if it.name.text == name => found.extend(it.body.works.clone()),
                Item::Extend(it) if it.what.text == "assembly" && it.name.text == name => {
                    found.extend(it.joint.works.clone());
                }
                _ => {}
            }
        }
    }
    found
}

/// An expression as written, on one line and without comments.
pub(super) fn written(known: Known, expr: &Expr) -> String {
    let lines = known.files.text(expr.span).lines().map(|line| without_comment(line).trim());
    let words: Vec<&str> = lines.flat_map(str::split_whitespace).collect();
    words.join(" ").replace("( ", "(").replace(" )", ")")
}

fn without_comment(line: &str) -> &str {
    let mut in_text = false;
    for (at, mark) in line.char_indices() {
        match mark {
            '"' => in_text = !in_text,
            '#' if !in_text => return line.get(..at).unwrap_or(line),
            _ => {}
        }
    }
    line
}

/// A text with the expressions in it as written, in their braces.
pub(super) fn template(known: Known, template: &Template) -> String {
    let pieces = template.pieces.iter().map(|piece| match piece {
        Piece::Text(words) => words.clone(),
        Piece::Expr(expr) => format!("{{{}}}", written(known, expr)),
    });
    pieces.collect()
}

/// The expressions of a text.
pub(super) fn expressions(template: &Template) -> impl Iterator<Item = &Expr> {
    template.pieces.iter().filter_map(|piece| match piece {
        Piece::Expr(expr) => Some(expr),
        Piece::Text(_) => None,
    })
}

/// The paths in an expression, in order, each once.
pub(super) fn paths(expr: &Expr, found: &mut Vec<String>) {
    if let ExprNode::Path(path) = &expr.node
        && !found.contains(&path.text)
    {
        found.push(path.text.clone());
    }
    children(expr).into_iter().for_each(|it| paths(it, found));
}

/// The functions and tables that an expression asks, in order, each once.
pub(super) fn asked(expr: &Expr, found: &mut Vec<String>) {
    if let ExprNode::Apply(name, _) | ExprNode::Lookup(name, ..) = &expr.node
        && !found.contains(&name.text)
    {
        found.push(name.text.clone());
    }
    children(expr).into_iter().for_each(|it| asked(it, found));
}

fn children(expr: &Expr) -> Vec<&Expr> {
    match &expr.node {
        ExprNode::If(three) => three.iter().collect(),
        ExprNode::Or(all) | ExprNode::And(all) | ExprNode::List(all) | ExprNode::Apply(_, all) => all.iter().collect(),
        ExprNode::Not(inner) | ExprNode::Negate(inner) | ExprNode::Is(inner, ..) | ExprNode::Lookup(_, inner, _) => {
            vec![inner]
        }
        ExprNode::In(subject, _, low, high) => [subject, low].into_iter().chain(high).map(AsRef::as_ref).collect(),
        ExprNode::Compare(left, _, right) => vec![left, right],
        ExprNode::Sum(first, rest) | ExprNode::Product(first, rest) => {
            std::iter::once(first.as_ref()).chain(rest.iter().map(|(_, it)| it)).collect()
        }
        ExprNode::Quantity(_) | ExprNode::Text(_) | ExprNode::Path(_) => Vec::new(),
    }
}
