//! The pages of mistakes: what they call wrong raises just that mistake, and what they call right raises nothing of it.
//!
//! A page is `src/mistake/pages/CODE.md`. Its examples stand in fences marked `cotter bad` and `cotter good`; those of one
//! mark belong together. With `file=NAME` there may be several files, of which the first is compiled. An example lies in
//! `specs/heron/`, so it may use the demo there; only what is found in its own files and builds counts.

use cotter::Compiled;
use cotter::mistake::{CODES, Code};
use cotter::source::{Disk, Memory, ReadError, Sources};
use std::collections::BTreeSet;

/// Where the examples lie.
const FOLDER: &str = "specs/heron";

/// Pages without examples, and why; a fixture raises the mistake instead.
const WITHOUT: &[(&str, &str)] = &[
    ("text.not_utf8", "a page is UTF-8 itself"),
    ("text.too_large", "4 MiB is no example"),
    ("text.long_line", "nobody could read it on a screen"),
    ("stock.encoding", "a page is UTF-8 itself"),
    ("stock.more", "six rows that are wrong in one way are no example"),
    ("use.unreadable", "a text can't say that it is a folder"),
];

/// A page's example of one mark.
struct Example {
    /// Files in the order of the page.
    order: Vec<String>,
    texts: Memory,
    disk: Disk,
}

impl Sources for Example {
    fn read(&self, path: &str) -> Result<Vec<u8>, ReadError> {
        self.texts.read(path).or_else(|_| self.disk.read(path))
    }
}

fn example(page: &str, mark: &str) -> Example {
    let mut example = Example { order: Vec::new(), texts: Memory::default(), disk: Disk::below(FOLDER) };
    for fence in page.split("```cotter ").skip(1) {
        let (info, rest) = fence.split_once('\n').expect("a fence has a first line");
        let (text, _) = rest.split_once("```").expect("a fence ends");
        let mut words = info.split_whitespace();
        if words.next() != Some(mark) {
            continue;
        }
        let file = words.next().and_then(|it| it.strip_prefix("file=")).unwrap_or("example.cotter");
        let path = format!("{FOLDER}/{file}");
        example.texts.texts.insert(path.clone(), text.as_bytes().to_vec());
        example.order.push(path);
    }
    example
}

/// The codes that are found in an example's own files and builds, and what they say.
fn found(example: &Example) -> (BTreeSet<String>, Vec<String>) {
    let compiled: Compiled = cotter::compile(example, &example.order[0], FOLDER).expect("the example is in memory");
    let own = |name: &str| example.order.iter().any(|it| it == name);
    let file_of = |span: cotter::source::Span| compiled.files.get(span.file).map_or("", |it| it.name.as_str());
    let builds: Vec<&str> =
        compiled.model.builds.iter().filter(|it| own(file_of(it.name.span))).map(|it| it.name.text.as_str()).collect();
    let of_build = |build: &Option<String>| build.as_deref().is_some_and(|it| builds.contains(&it));
    let found: Vec<_> = compiled
        .diagnostics
        .iter()
        .filter(|it| of_build(&it.build) || it.labels.first().is_some_and(|it| own(file_of(it.span))))
        .collect();
    (
        found.iter().map(|it| it.code.clone()).collect(),
        found.iter().map(|it| format!("{}: {}", it.code, it.message)).collect(),
    )
}

#[test]
fn every_page_of_a_mistake_begins_with_its_code_and_title() {
    for Code { id, title, page } in CODES {
        assert_eq!(page.lines().next(), Some(format!("# {id}: {title}").as_str()));
        let wide = page.lines().filter(|line| line.chars().count() > 120).count();
        assert_eq!(wide, 0, "{id} has lines wider than the rest of the house");
        assert!(page.ends_with('\n') && !page.ends_with("\n\n"), "{id} ends as a text does");
    }
}

#[test]
fn what_a_page_calls_wrong_raises_just_that_mistake() {
    let mut faults = Vec::new();
    for Code { id, page, .. } in CODES {
        let (bad, good) = (example(page, "bad"), example(page, "good"));
        if WITHOUT.iter().any(|(code, _)| code == id) {
            assert!(bad.order.is_empty() && good.order.is_empty(), "{id} has an example after all");
            continue;
        }
        if bad.order.is_empty() || good.order.is_empty() {
            faults.push(format!("{id} lacks an example of what is wrong, or of what is right"));
            continue;
        }
        let (codes, said) = found(&bad);
        if codes != BTreeSet::from([(*id).to_owned()]) {
            faults.push(format!("{id}: the bad example raises {said:#?}"));
        }
        let (codes, said) = found(&good);
        if codes.contains(*id) || !codes.is_empty() {
            faults.push(format!("{id}: the good example raises {said:#?}"));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
