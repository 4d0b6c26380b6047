//! A check as SARIF 2.1.0, the form in which code hosts and editors take what a compiler found: one run, a result for each
//! thing that is to be told, the rules that were broken, and nothing that depends on the machine.
//!
//! A finding is shown at the first fact of the person's own that it rests on; the others are related places.

mod log;

use super::found::{self, Found};
use super::{Diagnostic, Label, Severity};
use crate::Compiled;
use crate::clean;
use crate::mistake;
use crate::source::{File, Span};
use crate::witness::Stale;
use indexmap::IndexMap;
use log::*;

/// The report of a check as SARIF text with a line end; `roots` has the project folder of each unit. Limited to the build
/// `only`, where that is given.
pub fn report(units: &[Compiled], roots: &[String], only: Option<&str>, stale: &[(String, Stale)]) -> String {
    let places = Places::of(roots);
    let (mut rules, mut results) = (IndexMap::new(), Vec::new());
    for found in found::merged(units, only) {
        let rule = rules.entry(found.diagnostic.code.clone());
        let index = rule.index();
        rule.or_insert_with(|| rule_of(units, &found));
        results.push(result(&places, units, &found, index));
    }
    let notifications = stale.iter().map(|(file, _)| notification(&places, file)).collect();
    let driver =
        Driver { name: "cotter", semantic_version: env!("CARGO_PKG_VERSION"), rules: rules.into_values().collect() };
    let run = Run {
        tool: Tool { driver },
        invocations: [Invocation { execution_successful: true, tool_execution_notifications: notifications }],
        original_uri_base_ids: places.bases(),
        column_kind: "utf16CodeUnits",
        newline_sequences: ["\r\n", "\n", "\r"],
        results,
    };
    let log = Log { schema: SCHEMA, version: "2.1.0", runs: [run] };
    // Nothing in these structs can fail to be written: keys are text, and there are no floats.
    let mut text = serde_json::to_string_pretty(&log).unwrap_or_default();
    text.push('\n');
    clean::escaped_json(&text)
}

/// The project folders that files are named from.
struct Places<'r> {
    /// Of each unit.
    of_units: &'r [String],
    /// Each once.
    distinct: Vec<&'r str>,
}

impl<'r> Places<'r> {
    fn of(roots: &'r [String]) -> Places<'r> {
        let mut distinct: Vec<&str> = Vec::new();
        for root in roots {
            if !distinct.contains(&root.as_str()) {
                distinct.push(root);
            }
        }
        Places { of_units: roots, distinct }
    }

    /// The usual name of the folder that sources lie below; a second one is numbered.
    fn name(number: usize) -> String {
        if number == 0 { "%SRCROOT%".to_owned() } else { format!("%SRCROOT{}%", number + 1) }
    }

    /// What the names stand for, in words: where the folders lie is the machine's own affair.
    fn bases(&self) -> IndexMap<String, Base> {
        let words = |root: &str| match root {
            "" => "the folder that the check was run in",
            _ => "a project folder that the check was pointed at",
        };
        let bases = self.distinct.iter().enumerate();
        bases.map(|(number, root)| (Self::name(number), Base { description: text(words(root)) })).collect()
    }

    /// A file of a unit, named from its project folder; one of the embedded library by its own name.
    fn artifact(&self, unit: usize, name: &str) -> ArtifactLocation {
        let root = self.of_units.get(unit).map_or("", String::as_str);
        if let Some(embedded) = name.strip_prefix("library:") {
            return ArtifactLocation { uri: format!("library:{}", encoded(embedded)), uri_base_id: None };
        }
        let below = match root {
            "" => Some(name),
            "/" => name.strip_prefix('/'),
            _ => name.strip_prefix(root).and_then(|it| it.strip_prefix('/')),
        };
        let number = self.distinct.iter().position(|it| *it == root).unwrap_or(0);
        ArtifactLocation { uri: encoded(below.unwrap_or(name)), uri_base_id: Some(Self::name(number)) }
    }

    fn location(&self, unit: usize, found: &Found, label: &Label) -> Option<Location> {
        let file = found.files.get(label.span.file)?;
        let physical = PhysicalLocation {
            artifact_location: self.artifact(unit, &file.name),
            region: Some(region(file, label.span)),
        };
        let message = (!label.text.is_empty()).then(|| text(&label.text));
        Some(Location { physical_location: physical, message })
    }
}

fn result(places: &Places, units: &[Compiled], found: &Found, rule_index: usize) -> SarifResult {
    let diagnostic = found.diagnostic;
    let own = |label: &Label| found.files.get(label.span.file).is_some_and(|it| !it.name.starts_with("library:"));
    let main = found.labels.iter().position(own);
    let location = main.and_then(|it| places.location(found.unit, found, found.labels.get(it)?));
    let location = location.or_else(|| whole(places, units, found.unit));
    let others = found.labels.iter().enumerate().filter(|(number, _)| Some(*number) != main);
    let mut lines = vec![diagnostic.message.clone()];
    lines.extend(diagnostic.further());
    SarifResult {
        rule_id: diagnostic.code.clone(),
        rule_index,
        level: match diagnostic.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Advice => "note",
        },
        message: text(&lines.join("\n")),
        locations: location.into_iter().collect(),
        related_locations: others.filter_map(|(_, it)| places.location(found.unit, found, it)).collect(),
        fixes: fixes(places, found),
        properties: (!found.builds.is_empty()).then(|| Properties {
            builds: found.builds.iter().map(|it| (*it).to_owned()).collect(),
            joint: diagnostic.joint.clone(),
        }),
    }
}

/// The spec as a whole, for what has no place of its own.
fn whole(places: &Places, units: &[Compiled], unit: usize) -> Option<Location> {
    let files = &units.get(unit)?.files;
    let (_, entry) = files.iter().find(|(_, file)| !file.name.starts_with("library:"))?;
    let physical = PhysicalLocation { artifact_location: places.artifact(unit, &entry.name), region: None };
    Some(Location { physical_location: physical, message: None })
}

/// Each edit is a way out of its own. The library is not the person's to change.
fn fixes(places: &Places, found: &Found) -> Vec<Fix> {
    let fix = |edit: &mistake::Edit| {
        let file = found.files.get(edit.span.file).filter(|it| !it.name.starts_with("library:"))?;
        let words = match (found.files.text(edit.span).trim(), edit.text.trim()) {
            (old, "") => format!("take `{old}` away"),
            ("", new) => format!("put `{new}` in"),
            (old, new) => format!("change `{old}` to `{new}`"),
        };
        let replacement = Replacement { deleted_region: region(file, edit.span), inserted_content: text(&edit.text) };
        let change =
            ArtifactChange { artifact_location: places.artifact(found.unit, &file.name), replacements: [replacement] };
        Some(Fix { description: text(&words), artifact_changes: [change] })
    };
    found.diagnostic.edits.iter().filter_map(fix).collect()
}

/// What the code of a finding means: its page beside the compiler, or what its rule says of itself.
fn rule_of(units: &[Compiled], found: &Found) -> Rule {
    let Diagnostic { code, .. } = found.diagnostic;
    let (title, help) = match mistake::code(code) {
        Some(known) => (known.title.to_owned(), page(known.page)),
        None => of_library(units, found).unwrap_or_default(),
    };
    let more = format!("More: `cotter explain {code}`");
    let help = if help.is_empty() { more } else { format!("{help}\n\n{more}") };
    Rule {
        id: code.clone(),
        short_description: text(if title.is_empty() { code } else { &title }),
        help: Help { text: help.clone(), markdown: help },
    }
}

/// A page without its title, its examples as plain ones.
fn page(page: &str) -> String {
    let lines = page.lines().skip(1).map(|line| match line.strip_prefix("```cotter") {
        Some(mark) if mark.trim_start().starts_with("bad") => "Wrong:\n\n```",
        Some(_) => "Right:\n\n```",
        None => line,
    });
    lines.collect::<Vec<_>>().join("\n").trim().to_owned()
}

/// What a rule of a joint says of itself: what must hold; why, and what to beware of.
fn of_library(units: &[Compiled], found: &Found) -> Option<(String, String)> {
    let model = &units.get(found.unit)?.model;
    let mut rules = model.joints.iter().flat_map(|joint| joint.rules.iter().map(move |rule| (joint, rule)));
    let (joint, rule) = rules.find(|(_, rule)| rule.code.text == found.diagnostic.code)?;
    let of_joint = format!("A rule of the joint `{}`: {}.", joint.name.text, joint.about.doc);
    let mut help: Vec<String> = vec![of_joint, rule.words.why.clone()];
    for it in rule.words.cautions.iter().chain(&joint.cautions) {
        help.extend(model.cautions.get(&it.name).map(|caution| format!("Caution: {}", caution.text.as_str())));
    }
    help.retain(|it| !it.is_empty());
    help.dedup();
    Some((rule.words.about.doc.clone(), help.join("\n\n")))
}

fn notification(places: &Places, file: &str) -> Notification {
    let unit = places.of_units.iter().position(|root| root.is_empty() || file.starts_with(root.as_str())).unwrap_or(0);
    let physical = PhysicalLocation { artifact_location: places.artifact(unit, file), region: None };
    Notification {
        level: "warning",
        message: text("the witness is out of date: `cotter witness` writes it anew"),
        locations: [Location { physical_location: physical, message: None }],
    }
}

fn region(file: &File, span: Span) -> Region {
    let place = |at: u32| file.lines().place_in_utf16(&file.text, at as usize);
    let (start, end) = (place(span.start), place(span.end));
    Region { start_line: start.line, start_column: start.column, end_line: end.line, end_column: end.column }
}

fn text(text: &str) -> Text {
    Text { text: text.to_owned() }
}

/// A path as it stands in a URI.
fn encoded(path: &str) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || matches!(byte, b'/' | b'.' | b'-' | b'_' | b'~');
    path.bytes().map(|it| if plain(it) { char::from(it).to_string() } else { format!("%{it:02X}") }).collect()
}
