//! Lines under each other: which statements share columns, and where the comments behind them stand.
//!
//! Facts of a part or build share the column of their `=` all over the block. Elsewhere neighbours do, as long as their
//! widths are not far apart: a name that is much longer begins columns of its own.

use super::block::{Line, Statement, What};
use super::node::Node;
use super::{Rule, WIDTH, statement, width};

/// How much wider than its neighbour a cell may be to share its column.
const NEAR: usize = 6;
/// The same for members of a choice and for bindings, whose names vary more.
const LIST: usize = 12;

/// The lines of a block or file, each without the indent that it stands at.
pub fn drawn(owner: Rule, lines: &[Line], indent: usize) -> Vec<String> {
    let pads = pads(owner, lines, indent);
    let mut rows: Vec<Row> = Vec::new();
    let tables = tables(lines, indent);
    // Whether the statement before a line was opened up.
    let mut tall = false;
    for (number, line) in lines.iter().enumerate() {
        let texts = match &line.what {
            What::Comment(text) => vec![(*text).to_owned()],
            What::Broken(text) => vec![(*text).to_owned()],
            What::Statement(statement) => match tables.get(number).and_then(Option::as_ref) {
                Some(row) => vec![row.clone()],
                None => statement.draw(pads.get(number).map_or(&[][..], Vec::as_slice), indent),
            },
        };
        let opened = |it: &Statement| it.block.as_ref().is_some_and(|block| block.inline);
        let block = matches!(&line.what, What::Statement(it) if opened(it)) && texts.len() > 1;
        // An item that had to be opened up is set apart from its neighbours.
        let apart = owner == Rule::file && number > 0 && (tall || block && !commented_above(lines, number));
        if line.blank || apart {
            rows.push(Row::default());
        }
        tall = block;
        rows.extend(texts.into_iter().map(|text| Row { text, comment: None }));
        if let (Some(row), Some(comment)) = (rows.last_mut(), line.comment) {
            row.comment = Some(comment);
        }
    }
    commented(owner, rows, indent)
}

/// Whether the line above is a comment that speaks of this one.
fn commented_above(lines: &[Line], number: usize) -> bool {
    let above = number.checked_sub(1).and_then(|it| lines.get(it));
    above.is_some_and(|it| matches!(it.what, What::Comment(_)))
}

/// A line with the comment behind it, and the column where that stood.
#[derive(Default)]
struct Row<'t> {
    text: String,
    comment: Option<(&'t str, usize)>,
}

/// The children of a statement before which a column may begin.
fn cells(statement: &Statement) -> Vec<usize> {
    let head = &statement.head;
    let at = |rules: &[Rule]| head.iter().position(|it| rules.contains(&it.rule()));
    match statement.rule {
        Rule::assign | Rule::entry | Rule::binding => at(&[Rule::equals]).into_iter().collect(),
        Rule::member => at(&[Rule::words]).into_iter().collect(),
        Rule::field | Rule::port | Rule::fact | Rule::slot => {
            at(&[Rule::colon]).into_iter().chain(at(&[Rule::words])).collect()
        }
        Rule::takes | Rule::column => at(&[Rule::colon]).into_iter().collect(),
        Rule::join => at(&[Rule::words]).into_iter().chain(at(&[Rule::equals])).collect(),
        Rule::row => {
            let commas = head.iter().enumerate().filter(|(_, it)| it.rule() == Rule::comma);
            commas.map(|(number, _)| number + 1).collect()
        }
        rule if is_keyed(rule) => vec![1],
        _ => Vec::new(),
    }
}

/// Statements that are a word and what it says.
fn is_keyed(rule: Rule) -> bool {
    is_about(rule)
        || matches!(
            rule,
            Rule::when
                | Rule::that
                | Rule::otherwise
                | Rule::why
                | Rule::may
                | Rule::caution_ref
                | Rule::thread
                | Rule::torque
                | Rule::printed
                | Rule::prepare
                | Rule::turn
                | Rule::before
        )
}

fn is_about(rule: Rule) -> bool {
    matches!(rule, Rule::measure | Rule::tool | Rule::source | Rule::note)
}

/// The spaces that each line's cells are given.
fn pads(owner: Rule, lines: &[Line], indent: usize) -> Vec<Vec<(usize, usize)>> {
    let mut pads: Vec<Vec<(usize, usize)>> = lines.iter().map(|_| Vec::new()).collect();
    let statement = |number: usize| match lines.get(number).map(|it| &it.what) {
        Some(What::Statement(statement)) => Some(statement),
        _ => None,
    };
    // What is said of a declaration as a whole reads like a table only where a tool is named.
    let details =
        matches!(owner, Rule::field | Rule::port | Rule::fact | Rule::requirement | Rule::fasten | Rule::work);
    let table = |run: &[(usize, &Statement)]| details || run.iter().any(|(_, it)| it.rule == Rule::tool);
    let mut start = 0;
    while start < lines.len() {
        let Some(first) = statement(start) else {
            start += 1;
            continue;
        };
        let run: Vec<(usize, &Statement)> = match first.rule {
            // All facts of a block, whatever stands between them.
            Rule::assign | Rule::entry => (start..lines.len())
                .filter_map(|number| Some((number, statement(number)?)))
                .filter(|(_, it)| it.rule == first.rule)
                .collect(),
            _ => (start..lines.len())
                .map_while(|number| Some((number, statement(number)?)))
                .take_while(|(number, it)| {
                    let blank = *number > start && lines.get(*number).is_some_and(|line| line.blank);
                    !blank && together(owner, first.rule, it.rule) && joins_in(it, indent)
                })
                .collect(),
        };
        let next = match first.rule {
            Rule::assign | Rule::entry => lines.len(),
            _ => start + run.len().max(1),
        };
        if !is_about(first.rule) || table(&run) {
            align(owner, &run, indent, &mut pads);
        }
        // Facts are done at once; what stands between them has no columns.
        start = next;
    }
    pads
}

/// Whether two statements may share columns.
fn together(owner: Rule, first: Rule, other: Rule) -> bool {
    match owner {
        Rule::requirement | Rule::fasten | Rule::work if is_keyed(first) => is_keyed(other),
        _ if is_about(first) => is_about(other),
        _ => first == other,
    }
}

/// Whether a statement shares columns at all: declarations only where they are one line.
fn joins_in(statement: &Statement, indent: usize) -> bool {
    match statement.rule {
        Rule::field | Rule::port | Rule::fact | Rule::slot | Rule::takes | Rule::join => {
            statement.block.is_none() && statement.is_single(indent)
        }
        _ => true,
    }
}

/// Gives the cells of a run the spaces that put them under each other.
fn align(owner: Rule, run: &[(usize, &Statement)], indent: usize, pads: &mut [Vec<(usize, usize)>]) {
    let Some((_, first)) = run.first() else { return };
    let bounds: Vec<Vec<usize>> = run.iter().map(|(_, it)| cells(it)).collect();
    let most = bounds.iter().map(Vec::len).max().unwrap_or(0);
    // Runs within the run, narrowed down column by column.
    let mut groups: Vec<Vec<usize>> = vec![(0..run.len()).collect()];
    for column in 0..most {
        let mut narrower = Vec::new();
        for group in groups {
            let widths: Vec<Option<usize>> =
                group.iter().map(|&member| cell_width(run.get(member)?.1, bounds.get(member)?, column)).collect();
            let mut open: Vec<usize> = Vec::new();
            let mut last: Option<usize> = None;
            let mut parts: Vec<Vec<usize>> = Vec::new();
            for (&member, width) in group.iter().zip(&widths) {
                let near = match (last, width) {
                    (Some(last), Some(width)) => last.abs_diff(*width) <= reach(owner, first.rule),
                    (None, Some(_)) => open.is_empty(),
                    _ => false,
                };
                if !near && !open.is_empty() {
                    parts.push(std::mem::take(&mut open));
                }
                open.push(member);
                last = *width;
            }
            parts.push(open);
            for part in &parts {
                give(owner, run, &bounds, column, part, indent, pads);
            }
            narrower.extend(parts);
        }
        groups = narrower;
    }
}

/// How far apart the widths of neighbours may be.
fn reach(owner: Rule, rule: Rule) -> usize {
    match rule {
        Rule::assign | Rule::entry | Rule::row => usize::MAX,
        Rule::member | Rule::binding => LIST,
        _ if is_keyed(rule) => usize::MAX,
        _ if owner == Rule::table => usize::MAX,
        _ => NEAR,
    }
}

/// The width of a cell without added spaces; none if the statement has no such cell or it is no single line.
fn cell_width(statement: &Statement, bounds: &[usize], column: usize) -> Option<usize> {
    let end = *bounds.get(column)?;
    let start = column.checked_sub(1).and_then(|it| bounds.get(it)).copied().unwrap_or(0);
    let cell: &[Node] = statement.head.get(start..end)?;
    Some(width(&statement::flat(statement.rule, cell)))
}

/// Spaces for one column of the statements `part` of a run.
fn give(
    owner: Rule,
    run: &[(usize, &Statement)],
    bounds: &[Vec<usize>],
    column: usize,
    part: &[usize],
    indent: usize,
    pads: &mut [Vec<(usize, usize)>],
) {
    let known = |member: usize| cell_width(run.get(member)?.1, bounds.get(member)?, column);
    let mut goal = part.iter().filter_map(|&it| known(it)).max().unwrap_or(0);
    match owner {
        // The words of a rule are four letters long, but for a few; those of a fastening seven.
        Rule::requirement => goal = 4,
        Rule::fasten => goal = 7,
        _ => {}
    }
    let mut given = Vec::new();
    for &member in part {
        let (Some(now), Some((number, statement))) = (known(member), run.get(member)) else { continue };
        let Some(&at) = bounds.get(member).and_then(|it| it.get(column)) else { continue };
        let spaces = goal.saturating_sub(now);
        if spaces == 0 {
            continue;
        }
        let so_far = pads.get(*number).cloned().unwrap_or_default();
        let before = statement.draw(&so_far, indent);
        let after = statement.draw(&[so_far, vec![(at, spaces)]].concat(), indent);
        let first = |lines: &[String]| lines.first().map_or(0, |it| width(it)) + indent;
        // No line is made too long for the sake of a column.
        let breaks = is_keyed(statement.rule) || matches!(statement.rule, Rule::assign | Rule::entry | Rule::binding);
        if !breaks && (after.len() > before.len() || first(&after) > WIDTH && first(&before) <= WIDTH) {
            return;
        }
        given.push((*number, at, spaces));
    }
    for (number, at, spaces) in given {
        if let Some(pads) = pads.get_mut(number) {
            pads.push((at, spaces));
        }
    }
}

/// Items that follow each other on one line each, and say the same of different things, as rows of a table.
fn tables(lines: &[Line], indent: usize) -> Vec<Option<String>> {
    let row = |line: &Line| match &line.what {
        What::Statement(it) => Some((it.rule, it.shape(), it.inline(&[], indent)?)),
        _ => None,
    };
    let mut tables: Vec<Option<String>> = lines.iter().map(|_| None).collect();
    let mut start = 0;
    while start < lines.len() {
        let Some(first) = lines.get(start).and_then(row) else {
            start += 1;
            continue;
        };
        let mut rows = vec![first.2];
        while let Some(line) = lines.get(start + rows.len()).filter(|it| !it.blank)
            && let Some((rule, shape, cells)) = row(line)
            && (rule, &shape) == (first.0, &first.1)
        {
            rows.push(cells);
        }
        let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
        let widest: Vec<usize> = (0..columns)
            .map(|column| rows.iter().filter_map(|row| row.get(column)).map(|it| width(it)).max().unwrap_or(0))
            .collect();
        if indent + widest.iter().sum::<usize>() <= WIDTH {
            for (number, cells) in rows.iter().enumerate() {
                let mut text = String::new();
                for (column, (cell, widest)) in cells.iter().zip(&widest).enumerate() {
                    // The brace that closes a row stands where the longest of them has it.
                    let spaces = widest.saturating_sub(width(cell));
                    match cell.strip_suffix(" }").filter(|_| column + 1 == cells.len()) {
                        Some(rest) => text.push_str(&format!("{rest}{} }}", " ".repeat(spaces))),
                        None => text.push_str(&format!("{cell}{}", " ".repeat(spaces))),
                    }
                }
                if let Some(slot) = tables.get_mut(start + number) {
                    *slot = Some(text);
                }
            }
        }
        start += rows.len();
    }
    tables
}

/// The lines with the comments behind them put under each other.
fn commented(owner: Rule, rows: Vec<Row>, indent: usize) -> Vec<String> {
    let whole = matches!(owner, Rule::part | Rule::build | Rule::stock);
    let mut columns: Vec<usize> = vec![0; rows.len()];
    let mut start = 0;
    while start < rows.len() {
        // A group: the block, or lines that follow each other and have one each.
        let end = if whole {
            rows.len()
        } else {
            let count = rows.iter().skip(start).take_while(|it| it.comment.is_some()).count();
            start + count.max(1)
        };
        let group = || rows.iter().enumerate().take(end).skip(start).filter(|(_, it)| it.comment.is_some());
        let least = group().map(|(_, it)| width(&it.text)).min().unwrap_or(0);
        let near = || group().filter(|(_, it)| width(&it.text) <= least + 30);
        let tight = near().map(|(_, it)| width(&it.text) + 2).max().unwrap_or(0);
        let mut stood = near().filter_map(|(_, it)| it.comment.map(|(_, at)| at.saturating_sub(indent)));
        let first = stood.next().unwrap_or(0);
        // Where a person put all of them in one column, there they stay.
        let column = if stood.all(|it| it == first) && first > tight && first < tight + 30 { first } else { tight };
        for number in near().map(|(number, _)| number).collect::<Vec<_>>() {
            if let Some(slot) = columns.get_mut(number) {
                *slot = column;
            }
        }
        start = end;
    }
    rows.into_iter()
        .zip(columns)
        .map(|(row, column)| match row.comment {
            None => row.text,
            Some((comment, _)) => {
                let spaces = column.saturating_sub(width(&row.text)).max(2);
                format!("{}{}{comment}", row.text, " ".repeat(spaces))
            }
        })
        .collect()
}
