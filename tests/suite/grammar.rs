//! The grammars of editors against the compiler's: the same words, and every token of every spec of the sort that the
//! language server says it is.

mod textmate;

use super::editor::Client;
use cotter::syntax::Rule;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use textmate::Grammar;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn text(path: &str) -> String {
    std::fs::read_to_string(root().join(path)).unwrap()
}

/// The words of the language, as the grammar has them.
fn keywords() -> BTreeSet<String> {
    let pest = text("grammar/cotter.pest");
    let rules = pest.lines().filter(|it| it.starts_with("kw_"));
    let words: BTreeSet<String> = rules.map(|it| it.split('"').nth(1).unwrap().to_owned()).collect();
    assert!(words.len() > 60, "{words:?}");
    words
}

/// Words in a pattern: runs of letters that are no escape and no class.
fn words(pattern: &str) -> BTreeSet<String> {
    let mut rest = String::new();
    let mut marks = pattern.chars();
    while let Some(mark) = marks.next() {
        match mark {
            '\\' => {
                let escaped = marks.next();
                if escaped == Some('p') || escaped == Some('u') {
                    // `\p{L}`, `\u00A0`
                    let after = marks.as_str();
                    let end = if escaped == Some('p') { after.find('}').unwrap() + 1 } else { 4 };
                    marks = after[end..].chars();
                }
                rest.push(' ');
            }
            other => rest.push(other),
        }
    }
    let words = rest.split(|it: char| !it.is_ascii_lowercase()).filter(|it| it.len() > 1);
    words.map(str::to_owned).collect()
}

#[test]
fn editors_know_the_words_of_the_language_and_no_others() {
    let keywords = keywords();
    let grammar = Grammar::read(&text("grammar/cotter.tmLanguage.json"));
    let in_textmate: BTreeSet<String> = grammar.patterns().iter().flat_map(|it| words(it)).collect();
    assert_eq!(in_textmate, keywords);
    let vim = text("grammar/neovim/syntax/cotter.vim");
    let of_words = vim.lines().filter(|it| it.starts_with("syntax match"));
    let in_vim: BTreeSet<String> = of_words
        .map(|it| it.split_once('"').unwrap().1.replace("[:alnum:]", "").replace("[[:alnum:]·/²]", ""))
        .flat_map(|it| words(it.split("\" contains").next().unwrap()))
        .collect();
    assert_eq!(in_vim, keywords);
}

/// What a place in a text is, as far as an editor can tell without knowing names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sort {
    Keyword,
    Comment,
    Text,
    Number,
    Mark,
    Name,
    Nothing,
}

/// The sorts of the server's tokens, by their numbers.
fn of_server(kind: u64) -> Sort {
    match kind {
        0 => Sort::Keyword,
        1 => Sort::Comment,
        2 => Sort::Text,
        3 => Sort::Number,
        9 => Sort::Mark,
        _ => Sort::Name,
    }
}

fn of_scope(scope: &str) -> Sort {
    match scope {
        "" => Sort::Nothing,
        it if it.starts_with("comment.") => Sort::Comment,
        it if it.starts_with("string.") || it.starts_with("constant.character.") => Sort::Text,
        it if it.starts_with("constant.numeric.") || it.starts_with("keyword.other.unit.") => Sort::Number,
        it if it.starts_with("keyword.operator.") => Sort::Mark,
        it if it.starts_with("keyword.") => Sort::Keyword,
        it if it.starts_with("variable.") || it.starts_with("entity.") => Sort::Name,
        it if it.starts_with("punctuation.") => Sort::Nothing,
        other => panic!("{other} is no scope that the server has a sort for"),
    }
}

/// The specs of the project: the library, the demos, and what the tests compile without a mistake.
fn specs() -> Vec<PathBuf> {
    let mut found = Vec::new();
    for folder in ["specs", "tests/trolley", "tests/fixtures/joints", "tests/fixtures/sheets"] {
        let all = cotter::source::spec_files(&root().join(folder).to_string_lossy()).unwrap();
        found.extend(all.into_iter().map(PathBuf::from));
    }
    assert!(found.len() > 80, "{}", found.len());
    found
}

/// Of each character of each line, what the server says; a UTF-16 half at a time.
fn served(client: &mut Client, path: &Path, text: &str) -> Vec<Vec<Sort>> {
    let uri = super::editor::uri(path);
    client.open(&uri, text);
    let document = serde_json::json!({ "textDocument": { "uri": uri } });
    let tokens = client.result("textDocument/semanticTokens/full", document.clone());
    client.tell("textDocument/didClose", document);
    let mut lines: Vec<Vec<Sort>> =
        text.split('\n').map(|line| vec![Sort::Nothing; line.encode_utf16().count()]).collect();
    let data: Vec<u64> = tokens["data"].as_array().unwrap().iter().map(|it| it.as_u64().unwrap()).collect();
    let (mut line, mut start) = (0, 0);
    for token in data.chunks(5) {
        line += token[0] as usize;
        start = if token[0] > 0 { token[1] as usize } else { start + token[1] as usize };
        lines[line][start..start + token[2] as usize].fill(of_server(token[3]));
    }
    lines
}

/// Where a grammar and the server disagree, at most `most` lines of it, and how many characters they agree on.
fn disagreements(grammar: &Grammar, texts: &[(PathBuf, String, Vec<Vec<Sort>>)], most: usize) -> (Vec<String>, usize) {
    let (mut found, mut agreed) = (Vec::new(), 0);
    for (path, text, served) in texts {
        if found.len() >= most {
            break;
        }
        for (number, ((line, scopes), served)) in text.split('\n').zip(grammar.lines(text)).zip(served).enumerate() {
            let mut half = 0;
            for ((at, mark), scope) in line.char_indices().zip(scopes) {
                let (server, editor) = (served[half], of_scope(&scope));
                half += mark.len_utf16();
                // A name that the server can't resolve is left as it is; space has no sort.
                let same = server == editor || server == Sort::Nothing && editor == Sort::Name || mark.is_whitespace();
                agreed += usize::from(same && server != Sort::Nothing);
                if !same {
                    let path = path.strip_prefix(root()).unwrap().display();
                    found.push(format!("{path}:{}:{at}: {server:?}, not {editor:?}: {line}", number + 1));
                    break;
                }
            }
        }
    }
    (found, agreed)
}

#[test]
fn the_textmate_grammar_colours_every_spec_as_the_server_does() {
    let mut client = Client::of(None, &[]);
    let texts: Vec<(PathBuf, String, Vec<Vec<Sort>>)> = specs()
        .into_iter()
        .map(|path| {
            let text = std::fs::read_to_string(&path).unwrap();
            let served = served(&mut client, &path, &text);
            (path, text, served)
        })
        .collect();
    client.leave();
    let json = text("grammar/cotter.tmLanguage.json");
    let (found, agreed) = disagreements(&Grammar::read(&json), &texts, 20);
    assert!(found.is_empty(), "{} lines:\n{}", found.len(), found.join("\n"));
    assert!(agreed > 500_000, "{agreed} characters are too few to show it");
    // A word that is missing is noticed.
    for word in ["consumes", "fact", "when", "of"] {
        let broken = json.replace(&format!("|{word}|"), "|");
        let broken = if broken == json { json.replace(&format!("({word})"), "(nothing)") } else { broken };
        assert_ne!(broken, json, "{word}");
        assert!(
            !disagreements(&Grammar::read(&broken), &texts, 1).0.is_empty(),
            "{word} is missing, and nothing shows it"
        );
    }
}

/// Every word of the language stands in some spec as what it is, so that the comparison above has seen it.
#[test]
fn every_word_of_the_language_is_seen() {
    use pest::Parser;
    let mut seen: BTreeSet<String> = BTreeSet::new();
    for path in specs() {
        let text = std::fs::read_to_string(path).unwrap();
        for pair in cotter::syntax::Grammar::parse(Rule::file, &text).unwrap().flatten() {
            let rule = format!("{:?}", pair.as_rule());
            assert!(!rule.starts_with("bad_"), "{rule}: {}", pair.as_str());
            seen.extend(rule.strip_prefix("kw_").map(str::to_owned));
        }
    }
    assert_eq!(seen, keywords());
}

#[test]
fn the_extension_for_vs_code_is_of_one_piece() {
    let json = |path: &str| -> serde_json::Value { serde_json::from_str(&text(path)).unwrap() };
    let package = json("grammar/vscode/package.json");
    let grammar = json("grammar/cotter.tmLanguage.json");
    assert_eq!(package["contributes"]["grammars"][0]["scopeName"], grammar["scopeName"]);
    assert_eq!(package["contributes"]["languages"][0]["extensions"][0], ".cotter");
    assert_eq!(package["version"], env!("CARGO_PKG_VERSION"));
    assert_eq!(json("grammar/vscode/language-configuration.json")["comments"]["lineComment"], "#");
    let script = text("grammar/vscode/extension.js");
    for setting in package["contributes"]["configuration"]["properties"].as_object().unwrap().keys() {
        let name = setting.strip_prefix("cotter.").unwrap();
        assert!(script.contains(&format!("settings.get(\"{name}\")")), "{setting} is used");
    }
}
