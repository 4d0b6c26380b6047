//! A statement with the block that may belong to it: what it consists of, and how it becomes lines.

use super::node::{Gap, Node, breaks};
use super::{Rule, columns, statement, width};
use pest::iterators::Pair;

/// A statement: an item, a line of a block.
#[derive(Clone, Debug)]
pub struct Statement<'t> {
    /// Its rule.
    pub rule: Rule,
    /// Its tokens, but for its block.
    pub head: Vec<Node<'t>>,
    /// What stands in its braces.
    pub block: Option<Block<'t>>,
}

/// What stands in braces.
#[derive(Clone, Debug, Default)]
pub struct Block<'t> {
    /// The comment after the opening brace.
    pub comment: Option<&'t str>,
    /// Statements and comments, in order.
    pub lines: Vec<Line<'t>>,
    /// Whether it was written on one line.
    pub inline: bool,
}

/// A line of a block, or of a file.
#[derive(Clone, Debug)]
pub struct Line<'t> {
    /// Whether a blank line stands before it.
    pub blank: bool,
    /// What it is.
    pub what: What<'t>,
    /// The comment behind it, and the column where that stood.
    pub comment: Option<(&'t str, usize)>,
}

/// What a line is.
#[derive(Clone, Debug)]
pub enum What<'t> {
    /// A statement, with its block.
    Statement(Statement<'t>),
    /// A comment that has the line to itself.
    Comment(&'t str),
    /// A stretch that is left as it stands, indent and all.
    Broken(&'t str),
}

/// Collects the lines of a block or file from its pairs.
#[derive(Default)]
pub struct Collector<'t> {
    /// What has been collected.
    pub lines: Vec<Line<'t>>,
    /// The comment that stands before all of it, on the line where it begins.
    pub first: Option<&'t str>,
    /// Line breaks since the last of it, and where that ended.
    gap: Gap<'t>,
    /// Whether it all stands on one line, without a comment.
    inline: bool,
}

impl<'t> Collector<'t> {
    /// The lines of a file, which begins at byte `at`.
    pub fn new(at: usize) -> Collector<'t> {
        Collector { gap: Gap { at, ..Gap::default() }, inline: true, ..Collector::default() }
    }

    /// The beginning of a block, whose brace `gap` has come to; a comment before that goes behind it.
    fn block(gap: Gap<'t>) -> Collector<'t> {
        let mut made = Collector::new(gap.at);
        for (comment, _) in gap.comments {
            made.comment(comment, 0);
            made.gap.newlines += 1;
        }
        made.gap.newlines = 0;
        made
    }

    /// A comment: behind the line before it, or on a line of its own.
    fn comment(&mut self, text: &'t str, at: usize) {
        match self.lines.last_mut() {
            Some(line) if self.gap.newlines == 0 && line.comment.is_none() => line.comment = Some((text, at)),
            None if self.gap.newlines == 0 && self.first.is_none() => self.first = Some(text),
            _ => self.push(What::Comment(text)),
        }
        self.inline = false;
    }

    /// A line of its own.
    fn push(&mut self, what: What<'t>) {
        let newlines = std::mem::take(&mut self.gap.newlines);
        self.inline &= newlines == 0;
        self.lines.push(Line { blank: newlines > 1, what, comment: None });
    }

    /// A stretch that is left as it stands.
    pub fn broken(&mut self, text: &'t str, range: std::ops::Range<usize>) {
        self.gap.newlines += text.get(self.gap.at..range.start).map_or(0, breaks);
        self.gap.at = range.end;
        self.push(What::Broken(text.get(range).unwrap_or("")));
    }

    /// What a pair is, in a block or file.
    pub fn add(&mut self, pair: Pair<'t, Rule>) {
        match pair.as_rule() {
            Rule::byte_mark | Rule::EOI => {}
            Rule::comment => {
                self.gap.reach(&pair);
                let before = pair.get_input().get(..pair.as_span().start()).unwrap_or("");
                let before = before.rfind(['\n', '\r']).and_then(|at| before.get(at + 1..)).unwrap_or(before);
                self.comment(pair.as_str().trim_end(), width(before));
            }
            Rule::separator | Rule::close => {
                self.gap.reach(&pair);
                self.inline &= self.gap.newlines == 0;
            }
            _ => {
                let mut gap = std::mem::take(&mut self.gap);
                let statement = Statement::new(pair, &mut gap);
                // Line breaks before its first token are those before the statement.
                self.gap = Gap { newlines: statement.newlines(), comments: Vec::new(), at: gap.at };
                self.push(What::Statement(statement));
            }
        }
    }

    fn done(self) -> Block<'t> {
        let mut lines = self.lines;
        if let Some(line) = lines.first_mut() {
            line.blank = false;
        }
        Block { comment: self.first, lines, inline: self.inline }
    }
}

impl<'t> Statement<'t> {
    /// The statement of a pair; `gap` is what stands before it, and where it ends.
    fn new(pair: Pair<'t, Rule>, gap: &mut Gap<'t>) -> Statement<'t> {
        let rule = pair.as_rule();
        let mut head = Vec::new();
        let mut block: Option<Collector> = None;
        for child in pair.into_inner() {
            match (&mut block, child.as_rule()) {
                (None, Rule::details) => {
                    let mut made: Option<Collector> = None;
                    for inner in child.into_inner() {
                        match &mut made {
                            Some(made) => made.add(inner),
                            None => made = Some(opened(&inner, gap)),
                        }
                    }
                    block = made;
                }
                (None, Rule::open) => block = Some(opened(&child, gap)),
                (Some(made), _) => made.add(child),
                (None, _) if gap.take(&child) => {}
                (None, _) => head.push(Node::new(child, gap)),
            }
        }
        if let Some(block) = &block {
            gap.at = block.gap.at;
        }
        Statement { rule, head, block: block.map(Collector::done) }
    }

    /// Line breaks before its first token.
    fn newlines(&self) -> usize {
        self.head.first().and_then(Node::gap).map_or(0, |gap| gap.newlines)
    }

    /// Whether it is one line in its natural layout.
    pub fn is_single(&self, indent: usize) -> bool {
        self.draw(&[], indent).len() == 1
    }

    /// Its lines: the first without indent, later ones counted from there.
    pub fn draw(&self, pads: &statement::Pads, indent: usize) -> Vec<String> {
        let Some(block) = &self.block else {
            return statement::lines(self.rule, &self.head, pads, "", indent);
        };
        if let Some(cells) = self.inline(pads, indent) {
            return vec![cells.concat()];
        }
        let empty = block.lines.is_empty() && block.comment.is_none();
        let mut lines = statement::lines(self.rule, &self.head, pads, if empty { " {}" } else { " {" }, indent);
        if empty {
            return lines;
        }
        if let (Some(comment), Some(last)) = (block.comment, lines.last_mut()) {
            last.push_str("  ");
            last.push_str(comment);
        }
        for line in columns::drawn(self.rule, &block.lines, indent + 2) {
            lines.push(if line.is_empty() { line } else { format!("  {line}") });
        }
        lines.push("}".to_owned());
        lines
    }

    /// Head and statements of a block that stays on one line, each with what follows it; none if it does not stay there.
    pub fn inline(&self, pads: &statement::Pads, indent: usize) -> Option<Vec<String>> {
        let block = self.block.as_ref().filter(|it| it.inline && !it.lines.is_empty())?;
        let head = statement::lines(self.rule, &self.head, pads, "", indent);
        let [head] = head.as_slice() else { return None };
        let mut cells = vec![format!("{head} ")];
        for (number, line) in block.lines.iter().enumerate() {
            let What::Statement(inner) = &line.what else { return None };
            let drawn = inner.draw(&[], 0);
            let [drawn] = drawn.as_slice() else { return None };
            let open = if number == 0 { "{ " } else { "" };
            let last = number + 1 == block.lines.len();
            cells.push(format!("{open}{drawn}{}", if last { " }" } else { "; " }));
        }
        let fits = cells.iter().map(|it| width(it)).sum::<usize>() + indent <= super::WIDTH;
        fits.then_some(cells)
    }

    /// Names at the left of the statements in its block, to compare it with a neighbour's.
    pub fn shape(&self) -> Vec<String> {
        let lines = self.block.iter().flat_map(|it| &it.lines);
        lines
            .map(|line| match &line.what {
                What::Statement(it) => statement::flat(it.rule, it.head.get(..1).unwrap_or_default()),
                _ => String::new(),
            })
            .collect()
    }
}

/// The beginning of a block, at its brace.
fn opened<'t>(brace: &Pair<'t, Rule>, gap: &mut Gap<'t>) -> Collector<'t> {
    gap.reach(brace);
    Collector::block(std::mem::take(gap))
}
