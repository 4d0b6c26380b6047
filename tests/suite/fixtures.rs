//! Small specs that say what is expected of them.
//!
//! `#!` at the end of a line says which diagnostics point at that line, or, on the line of a `build`, what is found of
//! it: `fits`, `clashes CODE …`, `open PATH …`, each optionally with `, advises CODE …` (or `nothing`), and after ` -- `
//! where that expectation is from. Everything found must be expected and the other way round.

use cotter::Compiled;
use cotter::judge::Verdict;
use cotter::source::Disk;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// What a fixture line expects.
#[derive(Debug, Default)]
struct Expected {
    verdict: String,
    names: BTreeSet<String>,
    advises: Option<BTreeSet<String>>,
    source: String,
}

fn parse(words: &str) -> Expected {
    let (what, source) = words.split_once(" -- ").unwrap_or((words, ""));
    let (main, advises) = what.split_once(", advises ").map_or((what, None), |(main, codes)| (main, Some(codes)));
    let mut words = main.split_whitespace();
    Expected {
        verdict: words.next().unwrap_or("").trim_end_matches(',').to_owned(),
        names: words.map(|word| word.trim_end_matches(',').to_owned()).collect(),
        advises: advises.map(|codes| {
            codes.split([' ', ',']).filter(|code| !code.is_empty() && *code != "nothing").map(str::to_owned).collect()
        }),
        source: source.trim().to_owned(),
    }
}

/// Every fixture file below a folder of `tests/fixtures`.
pub fn files(folder: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut open = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fixtures").join(folder)];
    while let Some(here) = open.pop() {
        for entry in std::fs::read_dir(&here).into_iter().flatten().flatten() {
            let path = entry.path();
            if path.is_dir() {
                open.push(path);
            } else if path.extension().is_some_and(|it| it == "cotter") {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

pub fn compile(path: &Path) -> Compiled {
    let name = path.to_string_lossy();
    let folder = path.parent().map(|it| it.to_string_lossy().into_owned()).unwrap_or_default();
    cotter::compile(&Disk::below(&folder), &name, &folder).expect("a fixture can be read")
}

/// What is wrong with one fixture of pairs.
fn faults_of_pairs(path: &Path, sources: &mut BTreeMap<&'static str, usize>) -> Vec<String> {
    let compiled = compile(path);
    let text = std::fs::read_to_string(path).expect("a fixture can be read");
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let mut faults = Vec::new();
    for diagnostic in compiled.diagnostics.iter().filter(|it| it.build.is_none()) {
        let place = diagnostic.labels.first().map(|it| {
            let file = compiled.files.get(it.span.file).expect("a label lies in a file");
            (file.name.clone(), file.lines().place(&file.text, it.span.start as usize).line)
        });
        faults.push(format!("{name}: {} {} at {place:?}", diagnostic.code, diagnostic.message));
    }
    for (number, line) in text.lines().enumerate() {
        let Some((before, words)) = line.split_once("#!") else { continue };
        let build = before.trim_start().strip_prefix("build ").and_then(|rest| rest.split([' ', ':']).next());
        let Some(build) = build.filter(|it| !it.is_empty()) else {
            faults.push(format!("{name}:{}: `#!` stands on no build", number + 1));
            continue;
        };
        let expected = parse(words.trim());
        let standing = expected.source.split([':', ' ']).next().unwrap_or("");
        match ["published", "practice", "memory", "derived"].into_iter().find(|it| *it == standing) {
            Some(standing) => *sources.entry(standing).or_default() += 1,
            None => faults.push(format!("{name}:{}: no source: {}", number + 1, expected.source)),
        }
        let Some(judged) =
            compiled.model.build_named(build).and_then(|id| compiled.builds.iter().find(|it| it.build == id))
        else {
            faults.push(format!("{name}:{}: no build {build}", number + 1));
            continue;
        };
        if judged.joints.is_empty() {
            faults.push(format!("{name}:{}: {build} has no joint at all", number + 1));
        }
        let failing = |required: bool| -> BTreeSet<String> {
            let findings = judged.joints.iter().flat_map(|it| &it.findings);
            findings.filter(|it| it.fails && it.required == required).map(|it| it.code.clone()).collect()
        };
        let hangs: BTreeSet<String> = judged
            .joints
            .iter()
            .flat_map(|joint| joint.hangs_on.iter().map(|fact| joint.path_of(&compiled.model, *fact)))
            .collect();
        let (clashes, open) = (judged.count(Verdict::Clashes), judged.count(Verdict::Open));
        let found = if clashes > 0 {
            "clashes"
        } else if open > 0 {
            "open"
        } else {
            "fits"
        };
        let names = match found {
            "clashes" => failing(true),
            "open" => hangs,
            _ => BTreeSet::new(),
        };
        if found != expected.verdict || names != expected.names {
            let details: Vec<String> = judged
                .joints
                .iter()
                .flat_map(|it| {
                    it.findings
                        .iter()
                        .filter(|it| it.required)
                        .map(move |f| format!("{}:{}{}", it.name, f.code, if f.fails { "" } else { "?" }))
                })
                .collect();
            faults.push(format!(
                "{name}:{}: {build}: expected {} {:?}, found {found} {names:?} ({})",
                number + 1,
                expected.verdict,
                expected.names,
                details.join(" ")
            ));
        }
        let advises = failing(false);
        if let Some(wanted) = &expected.advises
            && *wanted != advises
        {
            faults.push(format!("{name}:{}: {build}: expected advice {wanted:?}, found {advises:?}", number + 1));
        }
    }
    faults
}

#[test]
fn pairs_of_every_joint_are_judged_as_they_say() {
    let mut sources = BTreeMap::new();
    let faults: Vec<String> = files("joints").iter().flat_map(|path| faults_of_pairs(path, &mut sources)).collect();
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
    let sourced: usize = sources.values().sum();
    assert!(sourced >= 150, "{sources:?}");
}

#[test]
fn every_fixture_expects_something() {
    // A fixture without any expectation tests nothing.
    for path in files("joints") {
        let text = std::fs::read_to_string(&path).expect("a fixture can be read");
        assert!(text.contains("#!"), "{} expects nothing", path.display());
    }
}
