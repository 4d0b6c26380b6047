//! What each word of a text is, for an editor to colour.

use super::documents;
use super::index::{Index, Symbol};
use super::workspace::Workspace;
use crate::source::{FileId, Lines};
use crate::syntax::{self, Grammar, Rule};
use lsp_types::{SemanticToken, SemanticTokenType};
use pest::Parser;
use std::collections::BTreeMap;

/// The sorts of words, in the order of their numbers.
pub const TYPES: [SemanticTokenType; 10] = [
    SemanticTokenType::KEYWORD,
    SemanticTokenType::COMMENT,
    SemanticTokenType::STRING,
    SemanticTokenType::NUMBER,
    SemanticTokenType::TYPE,
    SemanticTokenType::VARIABLE,
    SemanticTokenType::PROPERTY,
    SemanticTokenType::ENUM_MEMBER,
    SemanticTokenType::FUNCTION,
    SemanticTokenType::OPERATOR,
];

/// Every token of a text, each told as the step from the one before.
pub fn tokens(workspace: &Workspace, path: &str) -> Vec<SemanticToken> {
    let Some(text) = workspace.text(path) else { return Vec::new() };
    let unreadable = syntax::parse(FileId(0), &text).mistakes.iter().any(|it| it.code.starts_with("text."));
    let (false, Ok(pairs)) = (unreadable, Grammar::parse(Rule::file, &text)) else { return Vec::new() };
    let unit = workspace.units_with(path).next().cloned();
    let named: BTreeMap<usize, u32> =
        unit.as_ref().and_then(|unit| Some(names(unit.index(), unit.file(path)?))).unwrap_or_default();
    let lines = Lines::new(&text);
    // A path has names of its own within: what is told as a whole is not told again.
    let mut told = 0;
    let (mut all, mut last) = (Vec::new(), documents::position(&text, &lines, 0, workspace.units_of_text));
    for pair in pairs.flatten() {
        let span = pair.as_span();
        let Some(kind) = sort(pair.as_rule(), named.get(&span.start()).copied()) else { continue };
        let start = documents::position(&text, &lines, span.start(), workspace.units_of_text);
        let end = span.start() + pair.as_str().trim_end().len();
        if span.start() < told {
            continue;
        }
        told = end;
        let end = documents::position(&text, &lines, end, workspace.units_of_text);
        if end.line != start.line || end.character <= start.character {
            continue;
        }
        let delta_line = start.line.saturating_sub(last.line);
        let delta_start =
            if delta_line == 0 { start.character.saturating_sub(last.character) } else { start.character };
        all.push(SemanticToken {
            delta_line,
            delta_start,
            length: end.character - start.character,
            token_type: kind,
            token_modifiers_bitset: 0,
        });
        last = start;
    }
    all
}

/// The sorts of the names of a file, by where each begins.
fn names(index: &Index, file: FileId) -> BTreeMap<usize, u32> {
    let own = index.all.iter().filter(|it| it.span.file == file);
    own.filter_map(|it| {
        let kind = match it.symbol {
            Symbol::Part(_) | Symbol::Build(_) => 5,
            Symbol::Kind(_) | Symbol::Interface(_) | Symbol::Choice(_) | Symbol::Standard(_) | Symbol::Assembly(_) => 4,
            Symbol::Slot(..) | Symbol::Declared(_) => 6,
            Symbol::Member(..) => 7,
            Symbol::Joint(_) | Symbol::Function(_) | Symbol::Table(_) => 8,
            Symbol::Caution(_) | Symbol::File(_) => return None,
        };
        Some((it.span.start as usize, kind))
    })
    .collect()
}

/// The sort of a token; none for what is left as it is, or has tokens of its own.
fn sort(rule: Rule, name: Option<u32>) -> Option<u32> {
    match rule {
        Rule::comment => Some(1),
        Rule::text => Some(2),
        Rule::number | Rule::figure | Rule::unit => Some(3),
        Rule::path | Rule::part_name => Some(name.unwrap_or(6)),
        Rule::name => name,
        Rule::unknown | Rule::tilde | Rule::plus_minus | Rule::dots | Rule::comparator => Some(9),
        _ if format!("{rule:?}").starts_with("kw_") => Some(0),
        _ => None,
    }
}
