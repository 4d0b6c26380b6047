//! The grammar's pairs as a tree of tokens, each with what stands before it: line breaks and comments.

use super::Rule;
use pest::iterators::Pair;

/// What stands between a token and the one before it.
#[derive(Clone, Debug, Default)]
pub struct Gap<'t> {
    /// Line breaks.
    pub newlines: usize,
    /// Comments, each with whether it has a line of its own.
    pub comments: Vec<(&'t str, bool)>,
    /// Where the last token or comment ended.
    pub at: usize,
}

impl<'t> Gap<'t> {
    /// Goes on to a token or comment: counts the line breaks before it.
    pub fn reach(&mut self, pair: &Pair<'t, Rule>) {
        let start = pair.as_span().start();
        self.newlines += pair.get_input().get(self.at..start).map_or(0, breaks);
        self.at = start + pair.as_str().trim_end().len();
    }

    /// Takes a comment; whether the pair was one.
    pub fn take(&mut self, pair: &Pair<'t, Rule>) -> bool {
        if pair.as_rule() != Rule::comment {
            return false;
        }
        self.reach(pair);
        self.comments.push((pair.as_str().trim_end(), self.newlines > 0));
        true
    }

    /// What has gathered; the next begins where this ends.
    fn rest(&mut self) -> Gap<'t> {
        let next = Gap { at: self.at, ..Gap::default() };
        std::mem::replace(self, next)
    }

    /// Whether nothing but spaces stands here.
    pub fn is_plain(&self) -> bool {
        self.newlines == 0 && self.comments.is_empty()
    }
}

/// A token, or a construct made of some.
#[derive(Clone, Debug)]
pub enum Node<'t> {
    /// A token.
    Leaf(Rule, &'t str, Gap<'t>),
    /// A construct; never empty.
    Branch(Rule, Vec<Node<'t>>),
}

impl<'t> Node<'t> {
    /// The node of a pair; `gap` is what stands before it, and then what its end left over.
    pub fn new(pair: Pair<'t, Rule>, gap: &mut Gap<'t>) -> Node<'t> {
        let (rule, text) = (pair.as_rule(), pair.as_str().trim_end());
        let whole = matches!(rule, Rule::series | Rule::cross | Rule::path | Rule::part_name | Rule::text);
        let own = pair.clone();
        let mut inner = pair.into_inner().peekable();
        if whole || inner.peek().is_none() {
            gap.reach(&own);
            return Node::Leaf(rule, text, gap.rest());
        }
        let mut children = Vec::new();
        for child in inner {
            if !gap.take(&child) {
                children.push(Node::new(child, gap));
            }
        }
        // A level of an expression with no operator of its own says nothing more than the one within.
        let level = matches!(
            rule,
            Rule::expr
                | Rule::or_expr
                | Rule::and_expr
                | Rule::not_expr
                | Rule::comparison
                | Rule::sum
                | Rule::product
                | Rule::unary
        );
        if level && children.len() == 1 {
            return children.remove(0);
        }
        Node::Branch(rule, children)
    }

    /// Its rule.
    pub fn rule(&self) -> Rule {
        match self {
            Node::Leaf(rule, ..) | Node::Branch(rule, _) => *rule,
        }
    }

    /// What stands before its first token.
    pub fn gap(&self) -> Option<&Gap<'t>> {
        match self {
            Node::Leaf(_, _, gap) => Some(gap),
            Node::Branch(_, children) => children.first()?.gap(),
        }
    }

    /// Whether a comment stands in it, but for what is before its first token.
    pub fn is_commented(&self) -> bool {
        match self {
            Node::Leaf(..) => false,
            Node::Branch(_, children) => {
                children.iter().skip(1).any(|it| it.gap().is_some_and(|gap| !gap.comments.is_empty()))
                    || children.iter().any(Node::is_commented)
            }
        }
    }
}

/// Line breaks in a stretch, by whichever marks.
pub fn breaks(text: &str) -> usize {
    text.matches('\n').count() + text.matches('\r').count() - text.matches("\r\n").count()
}
