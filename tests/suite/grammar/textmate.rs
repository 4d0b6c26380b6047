//! As much of TextMate's way of colouring as the grammar uses: `match`, `begin` and `end`, `captures`, `include`. The rule
//! that matches first in the line is taken, of several at one place the one that stands first.

use fancy_regex::{Captures, Regex};
use serde_json::Value;
use std::collections::BTreeMap;

/// A grammar, ready to use.
pub struct Grammar {
    rules: Vec<Rule>,
}

struct Rule {
    name: String,
    start: Regex,
    captures: BTreeMap<usize, String>,
    /// Of a rule that goes on until something else: that, and the rules within.
    within: Option<(Regex, Vec<Rule>)>,
}

impl Grammar {
    pub fn read(json: &str) -> Grammar {
        let grammar: Value = serde_json::from_str(json).unwrap();
        Grammar { rules: rules(&grammar["patterns"], &grammar["repository"]) }
    }

    /// Every pattern as it is written.
    pub fn patterns(&self) -> Vec<&str> {
        fn all<'r>(rules: &'r [Rule], patterns: &mut Vec<&'r str>) {
            for rule in rules {
                patterns.push(rule.start.as_str());
                if let Some((end, within)) = &rule.within {
                    patterns.push(end.as_str());
                    all(within, patterns);
                }
            }
        }
        let mut patterns = Vec::new();
        all(&self.rules, &mut patterns);
        patterns
    }

    /// Of each character of each line, the innermost scope.
    pub fn lines(&self, text: &str) -> Vec<Vec<String>> {
        let mut open: Vec<&Rule> = Vec::new();
        text.split('\n').map(|line| self.line(line, &mut open)).collect()
    }

    fn line<'g>(&'g self, line: &str, open: &mut Vec<&'g Rule>) -> Vec<String> {
        // Scopes by byte, brought down to characters at the end.
        let mut scopes = vec![String::new(); line.len()];
        let mut at = 0;
        // What each rule of the grammar itself found last: as long as that lies ahead, it would be found again.
        let mut ahead: Vec<Option<Option<Captures>>> = self.rules.iter().map(|_| None).collect();
        loop {
            let outer = open.last().map_or("", |it| it.name.as_str()).to_owned();
            let within = open.last().and_then(|it| it.within.as_ref());
            let end = within.and_then(|(end, _)| end.find_from_pos(line, at).unwrap());
            let place = |it: &Captures| it.get(0).unwrap().start();
            let mut inner: Vec<Option<Option<Captures>>> = Vec::new();
            let (rules, found) = match within {
                None => (&self.rules, &mut ahead),
                Some((_, rules)) => {
                    inner.resize_with(rules.len(), || None);
                    (rules, &mut inner)
                }
            };
            let mut first: Option<(&Rule, &Captures)> = None;
            for (rule, found) in rules.iter().zip(found) {
                if found.as_ref().is_none_or(|it| it.as_ref().is_some_and(|it| place(it) < at)) {
                    *found = Some(rule.start.captures_from_pos(line, at).unwrap());
                }
                let Some(Some(found)) = found else { continue };
                let empty = found.get(0).unwrap().as_str().is_empty();
                if !empty && first.as_ref().is_none_or(|(_, it)| place(found) < place(it)) {
                    first = Some((rule, found));
                }
            }
            let start = first.as_ref().map(|(_, found)| place(found));
            match (end, first) {
                (Some(end), _) if start.is_none_or(|it| end.start() <= it) => {
                    scopes[at..end.end()].fill(outer);
                    at = end.end();
                    open.pop();
                }
                (_, Some((rule, found))) => {
                    let whole = found.get(0).unwrap();
                    scopes[at..whole.start()].fill(outer.clone());
                    let name = if rule.name.is_empty() { outer } else { rule.name.clone() };
                    scopes[whole.range()].fill(name);
                    for (number, name) in &rule.captures {
                        if let Some(part) = found.get(*number) {
                            scopes[part.range()].fill(name.clone());
                        }
                    }
                    at = whole.end();
                    if rule.within.is_some() {
                        open.push(rule);
                    }
                }
                (_, None) => {
                    scopes[at..].fill(outer);
                    break;
                }
            }
        }
        line.char_indices().map(|(at, _)| scopes[at].clone()).collect()
    }
}

fn rules(patterns: &Value, repository: &Value) -> Vec<Rule> {
    let mut all = Vec::new();
    for pattern in patterns.as_array().unwrap() {
        if let Some(name) = pattern["include"].as_str() {
            let named = &repository[name.strip_prefix('#').unwrap()];
            match named.get("patterns").filter(|_| named.get("begin").is_none()) {
                Some(patterns) => all.extend(rules(patterns, repository)),
                None => all.push(rule(named, repository)),
            }
        } else {
            all.push(rule(pattern, repository));
        }
    }
    all
}

fn rule(pattern: &Value, repository: &Value) -> Rule {
    let regex = |key: &str| Some(Regex::new(pattern.get(key)?.as_str()?).unwrap());
    let captures = pattern["captures"].as_object().into_iter().flatten();
    let within = regex("end").map(|end| (end, rules(&pattern["patterns"], repository)));
    Rule {
        name: pattern["name"].as_str().unwrap_or("").to_owned(),
        start: regex("match").or_else(|| regex("begin")).expect("a rule begins with something"),
        captures: captures.map(|(at, it)| (at.parse().unwrap(), it["name"].as_str().unwrap().to_owned())).collect(),
        within,
    }
}
