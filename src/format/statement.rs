//! One statement: its tokens on one line, on the lines that a person gave it, or broken anew where those are too long.

use super::node::{Gap, Node};
use super::{Rule, spacing, width};
use pretty::{DocAllocator, DocBuilder, RcAllocator};

type Doc<'t> = DocBuilder<'t, RcAllocator>;

/// How lines are broken.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Breaks {
    /// Where a person broke them.
    Kept,
    /// Where they must be.
    Made,
}

/// Spaces that are added before some children of a statement, by their number.
pub type Pads = [(usize, usize)];

/// The lines of a statement that stands `indent` columns in and ends with `tail`; the first without its indent, later ones
/// counted from there.
pub fn lines(rule: Rule, children: &[Node], pads: &Pads, tail: &str, indent: usize) -> Vec<String> {
    let room = super::WIDTH.saturating_sub(indent);
    let draw = |breaks: Breaks| {
        let mut doc = Maker { breaks }.sequence(rule, children, pads);
        if continues(rule) {
            doc = doc.nest(2);
        }
        let mut text = String::new();
        // Writing to a string does not fail.
        let _ = doc.append(RcAllocator.text(tail.to_owned())).render_fmt(room, &mut text);
        text.split('\n').map(|line| line.trim_end().to_owned()).collect::<Vec<String>>()
    };
    let kept = draw(Breaks::Kept);
    let commented = children.iter().skip(1).any(|it| it.gap().is_some_and(|gap| !gap.comments.is_empty()))
        || children.iter().any(Node::is_commented);
    let excess = |lines: &[String]| lines.iter().map(|line| width(line).saturating_sub(room)).sum::<usize>();
    if commented || excess(&kept) == 0 {
        return kept;
    }
    // A text that is too long by itself is no reason to break the rest anew.
    let made = draw(Breaks::Made);
    if excess(&made) < excess(&kept) { made } else { kept }
}

/// Tokens on one line, whatever its length.
pub fn flat(rule: Rule, children: &[Node]) -> String {
    let mut text = String::new();
    let _ = Maker { breaks: Breaks::Kept }.sequence(rule, children, &[]).render_fmt(usize::MAX / 4, &mut text);
    text
}

/// Whether later lines of a statement stand further in than its first.
fn continues(rule: Rule) -> bool {
    !matches!(rule, Rule::assign | Rule::entry | Rule::row)
}

struct Maker {
    breaks: Breaks,
}

fn nil<'t>() -> Doc<'t> {
    RcAllocator.nil()
}

fn text<'t>(words: impl Into<String>) -> Doc<'t> {
    RcAllocator.text(words.into())
}

impl Maker {
    fn node<'t>(&self, node: &Node, chained: bool) -> Doc<'t> {
        match node {
            Node::Leaf(_, words, _) => text(*words),
            Node::Branch(Rule::if_expr, children) => {
                let doc = self.choice(children);
                if chained { doc } else { doc.group() }
            }
            // Strings on lines of their own stand under each other.
            Node::Branch(Rule::words, children) => {
                let mut doc = nil();
                for (number, child) in children.iter().enumerate() {
                    if number > 0 {
                        let gap = child.gap().cloned().unwrap_or_default();
                        let plain = if gap.is_plain() { RcAllocator.space() } else { nil() };
                        doc = doc.append(comments(&gap)).append(plain);
                        if gap.newlines > 0 && gap.comments.is_empty() {
                            doc = doc.append(RcAllocator.hardline());
                        }
                    }
                    doc = doc.append(self.node(child, false));
                }
                doc.align()
            }
            Node::Branch(rule, children) => self.sequence(*rule, children, &[]),
        }
    }

    /// Children side by side; what stands in brackets is further in.
    fn sequence<'t>(&self, rule: Rule, children: &[Node], pads: &Pads) -> Doc<'t> {
        let (mut doc, mut inner): (Doc, Option<Doc>) = (nil(), None);
        let mut number = 0;
        while let Some(child) = children.get(number) {
            let before = number.checked_sub(1).and_then(|it| children.get(it));
            if matches!(child.rule(), Rule::rparen | Rule::rbracket)
                && let Some(inner) = inner.take()
            {
                doc = doc.append(inner.nest(2));
            }
            let mut drawn = self.child(rule, children, number, pads);
            let breakable = before.is_some_and(|it| spacing::breakable(rule, it.rule(), child.rule()));
            if breakable && self.breaks == Breaks::Made {
                // The construct after a place where a line may be broken goes with it as a whole, if it can: an operator
                // with what follows it.
                if spacing::moved(rule, child.rule()) {
                    number += 1;
                    drawn = drawn.append(self.child(rule, children, number, pads));
                }
                drawn = drawn.group();
            }
            match &mut inner {
                Some(inner) => *inner = inner.clone().append(drawn),
                None => doc = doc.append(drawn),
            }
            if matches!(child.rule(), Rule::lparen | Rule::lbracket) {
                inner = Some(nil());
            }
            number += 1;
        }
        match inner {
            Some(inner) => doc.append(inner.nest(2)),
            None => doc,
        }
    }

    /// A child with what stands before it.
    fn child<'t>(&self, rule: Rule, children: &[Node], number: usize, pads: &Pads) -> Doc<'t> {
        let Some(child) = children.get(number) else { return nil() };
        let before = number.checked_sub(1).and_then(|it| children.get(it));
        let pad = pads.iter().find(|(at, _)| *at == number).map_or(0, |(_, pad)| *pad);
        let line = before.map_or_else(nil, |before| self.between(rule, before, child, children.get(number + 1)));
        let line = if pad > 0 { text(" ".repeat(pad)).append(line) } else { line };
        line.append(self.node(child, false))
    }

    /// `if … then … else if … else …`: where one `else` begins a line, all do.
    fn choice<'t>(&self, children: &[Node]) -> Doc<'t> {
        let mut doc = nil();
        for (number, child) in children.iter().enumerate() {
            let before = number.checked_sub(1).and_then(|it| children.get(it));
            let Some(before) = before else {
                doc = doc.append(self.node(child, false));
                continue;
            };
            let line = self.between(Rule::if_expr, before, child, children.get(number + 1));
            let chained = before.rule() == Rule::kw_else;
            let drawn = self.node(child, chained);
            doc = match (self.breaks, child.rule()) {
                (Breaks::Made, Rule::kw_then) => doc.append(line.append(drawn).group()),
                _ => doc.append(line).append(drawn),
            };
        }
        doc
    }

    /// What stands between two children.
    fn between<'t>(&self, parent: Rule, before: &Node, after: &Node, next: Option<&Node>) -> Doc<'t> {
        let gap = after.gap().cloned().unwrap_or_default();
        let spaced = spacing::spaced(parent, before.rule(), after.rule());
        let plain = || if spaced { RcAllocator.space() } else { nil() };
        if !gap.comments.is_empty() {
            return comments(&gap);
        }
        if self.breaks == Breaks::Made {
            // What is said of a whole occurrence stands under it, not behind the last of its arguments.
            if parent == Rule::join && matches!(after.rule(), Rule::through | Rule::when | Rule::upon | Rule::after) {
                return RcAllocator.hardline();
            }
            return match (spacing::breakable(parent, before.rule(), after.rule()), spaced) {
                (true, true) => RcAllocator.line(),
                (true, false) => RcAllocator.line_(),
                (false, _) => plain(),
            };
        }
        // A break after an operator is moved before it.
        let own = gap.newlines > 0 && !spacing::moved(parent, before.rule());
        let later = next.and_then(Node::gap).is_some_and(|it| it.newlines > 0 && it.comments.is_empty());
        if own || later && spacing::moved(parent, after.rule()) { RcAllocator.hardline() } else { plain() }
    }
}

/// Comments within a statement, each to the end of its line.
fn comments<'t>(gap: &Gap) -> Doc<'t> {
    let mut doc = nil();
    for (number, (comment, own)) in gap.comments.iter().enumerate() {
        let before = if *own || number > 0 { RcAllocator.hardline() } else { text("  ") };
        doc = doc.append(before).append(text(*comment));
    }
    if gap.comments.is_empty() { doc } else { doc.append(RcAllocator.hardline()) }
}
