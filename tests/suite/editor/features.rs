//! What an editor can ask, asked of the demo specs.

use super::{Client, at, copy_of, uri};
use serde_json::{Value, json};

struct Heron {
    client: Client,
    folder: tempfile::TempDir,
}

impl Heron {
    fn new() -> Heron {
        let folder = copy_of("specs/heron");
        let client = Client::of(Some(folder.path()), &[]);
        let mut heron = Heron { client, folder };
        let (uri, text) = (heron.uri("heron.cotter"), heron.text("heron.cotter"));
        heron.client.open(&uri, &text);
        heron.client.settled();
        heron
    }

    fn uri(&self, name: &str) -> String {
        uri(&self.folder.path().join(name))
    }

    fn text(&self, name: &str) -> String {
        std::fs::read_to_string(self.folder.path().join(name)).unwrap()
    }

    fn ask(&mut self, method: &str, name: &str, position: Value) -> Value {
        let uri = self.uri(name);
        self.client.result(method, json!({ "textDocument": { "uri": uri }, "position": position }))
    }

    fn hover(&mut self, name: &str, words: &str, nth: usize) -> String {
        let position = at(&self.text(name), words, nth, 1);
        let hover = self.ask("textDocument/hover", name, position);
        hover["contents"]["value"].as_str().unwrap_or_else(|| panic!("{words}: {hover}")).to_owned()
    }

    fn completed(&mut self, name: &str, text: &str, position: Value) -> Vec<(String, String)> {
        let uri = self.uri(name);
        let version = 100 + text.len();
        let change =
            json!({ "textDocument": { "uri": uri, "version": version }, "contentChanges": [{ "text": text }] });
        self.client.tell("textDocument/didChange", change);
        let items = self.ask("textDocument/completion", name, position);
        let text = |it: &Value| it.as_str().unwrap_or("").to_owned();
        items.as_array().unwrap().iter().map(|it| (text(&it["label"]), text(&it["detail"]))).collect()
    }
}

#[test]
fn hover_tells_what_a_name_means() {
    let mut heron = Heron::new();
    let cards = [
        heron.hover("donor.cotter", "rear.gap", 0),
        heron.hover("donor.cotter", "open(126", 0),
        heron.hover("donor.cotter", "forward", 0),
        heron.hover("heron.cotter", "french_pedals", 0),
        heron.hover("heron.cotter", "ring.big ", 0),
        heron.hover("heron.cotter", "heron_winter", 0),
    ];
    insta::assert_snapshot!(cards.join("\n─────\n"));
}

#[test]
fn completion_knows_the_slot() {
    let mut heron = Heron::new();
    let text = heron.text("heron.cotter");
    let changed = text.replace("rear.hub         = cassette_hub_135 ", "rear.hub         = ");
    let position = at(&changed, "rear.hub         = ", 1, "rear.hub         = ".len());
    let hubs = heron.completed("heron.cotter", &changed, position);
    insta::assert_snapshot!(hubs.iter().map(|(label, detail)| format!("{label:20} {detail}\n")).collect::<String>());

    // Facts still missing come first, and are marked.
    let changed = format!("{text}\npart x : rim {{\n  size = 622x19\n  \n}}\n");
    let facts = heron.completed("heron.cotter", &changed, at(&changed, "  size = 622x19\n  ", 0, 0).take_line(1));
    assert!(facts.iter().all(|(label, _)| label != "size"), "{facts:?}");
    assert!(facts[0].1.ends_with("(still missing)"), "{facts:?}");
    assert!(facts.iter().any(|(label, _)| label == "price"));

    // Standards of that port's interface, then the fields of one.
    let changed = format!("{text}\npart x : frame {{\n  rear.dropout = \n}}\n");
    let standards = heron.completed("heron.cotter", &changed, at(&changed, "rear.dropout = ", 0, 15));
    let names: Vec<&str> = standards.iter().map(|(label, _)| label.as_str()).collect();
    assert!(names.contains(&"open") && names.contains(&"thru") && !names.contains(&"qr"), "{names:?}");
    let changed = format!("{text}\npart x : frame {{\n  rear.dropout = open(\n}}\n");
    let fields = heron.completed("heron.cotter", &changed, at(&changed, "open(", 0, 5));
    assert!(fields.iter().any(|(label, _)| label == "spacing"), "{fields:?}");

    let changed = format!("{text}\npart x : ");
    let kinds = heron.completed("heron.cotter", &changed, at(&changed, "part x : ", 0, 9));
    assert!(kinds.iter().any(|(label, _)| label == "seatpost"), "{kinds:?}");
}

trait Line {
    fn take_line(self, further: u64) -> Value;
}

impl Line for Value {
    /// The same column, so many lines further down, two characters in.
    fn take_line(self, further: u64) -> Value {
        json!({ "line": self["line"].as_u64().unwrap() + further, "character": 2 })
    }
}

#[test]
fn names_lead_to_their_declarations_across_files_and_into_the_library() {
    let mut heron = Heron::new();
    let text = heron.text("heron.cotter");
    let found = heron.ask("textDocument/definition", "heron.cotter", at(&text, "trekking_frame", 0, 3));
    assert_eq!(found["uri"], heron.uri("donor.cotter"));
    assert_eq!(found["range"]["start"], at(&heron.text("donor.cotter"), "trekking_frame", 0, 0));
    let found = heron.ask("textDocument/definition", "heron.cotter", at(&text, "bin.cotter", 0, 3));
    assert_eq!(found["uri"], heron.uri("bin.cotter"));
    let donor = heron.text("donor.cotter");
    let found = heron.ask("textDocument/definition", "donor.cotter", at(&donor, "open(126", 0, 1));
    let path = found["uri"].as_str().unwrap().strip_prefix("file://").unwrap().to_owned();
    let library = std::fs::read_to_string(&path).unwrap();
    let line = found["range"]["start"]["line"].as_u64().unwrap() as usize;
    assert!(library.lines().nth(line).unwrap().starts_with("standard open : axle_seat"));
    assert!(std::fs::metadata(&path).unwrap().permissions().readonly());
    // From the library's own file on.
    let position = json!({ "line": line, "character": "standard open : ax".len() });
    let params = json!({ "textDocument": { "uri": found["uri"] }, "position": position });
    let interface = heron.client.result("textDocument/definition", params);
    let line = interface["range"]["start"]["line"].as_u64().unwrap() as usize;
    assert!(library.lines().nth(line).unwrap().starts_with("interface axle_seat"), "{interface}");

    let uri = heron.uri("heron.cotter");
    let params = json!({
        "textDocument": { "uri": uri }, "position": at(&text, "trekking_frame", 0, 3),
        "context": { "includeDeclaration": true },
    });
    let references = heron.client.result("textDocument/references", params);
    assert_eq!(references.as_array().unwrap().len(), 2);
    assert_eq!(heron.client.leave(), 0);
    assert!(!std::path::Path::new(&path).exists(), "the library's files are gone with the server");
}

#[test]
fn a_name_is_changed_in_every_file_or_not_at_all() {
    let mut heron = Heron::new();
    let text = heron.text("heron.cotter");
    let uri = heron.uri("heron.cotter");
    let mut rename = |position: Value, name: &str| {
        heron.client.ask(
            "textDocument/rename",
            json!({ "textDocument": { "uri": uri }, "position": position, "newName": name }),
        )
    };
    let done = rename(at(&text, "old_rim", 0, 2), "first_rim");
    let changes = done["result"]["changes"].as_object().unwrap();
    let counts: Vec<usize> = changes.values().map(|it| it.as_array().unwrap().len()).collect();
    assert_eq!(counts.iter().sum::<usize>(), 3, "{done}");
    assert_eq!(changes.len(), 2);
    for (words, name, why) in [
        ("old_rim", "touring_tyre", "called `touring_tyre` already"),
        ("old_rim", "two words", "can't be a name"),
        ("old_rim", "and", "can't be a name"),
        ("rear.hub", "hub", "the library's names stay"),
    ] {
        let refused = rename(at(&text, words, 0, 2), name);
        assert!(refused["error"]["message"].as_str().unwrap().contains(why), "{refused}");
    }
}

#[test]
fn every_remedy_offered_takes_its_clash_away() {
    let mut heron = Heron::new();
    let uri = heron.uri("heron.cotter");
    let text = heron.text("heron.cotter");
    let (found, _) = heron.client.diagnostics[&uri].clone();
    let mut applied = 0;
    for diagnostic in found.as_array().unwrap().iter().filter(|it| it["severity"] == 1) {
        let params =
            json!({ "textDocument": { "uri": uri }, "range": diagnostic["range"], "context": { "diagnostics": [] } });
        let actions = heron.client.result("textDocument/codeAction", params);
        let own = actions.as_array().unwrap().iter().filter(|it| it["diagnostics"][0] == *diagnostic);
        for action in own.take(2) {
            let edits = action["edit"]["changes"][&uri].as_array().unwrap();
            let changed = edited(&text, edits);
            applied += 1;
            let version = 1000 + applied;
            let change =
                json!({ "textDocument": { "uri": uri, "version": version }, "contentChanges": [{ "text": changed }] });
            heron.client.tell("textDocument/didChange", change);
            let after = heron.client.settled();
            let now = after.get(&uri).and_then(Value::as_array).cloned().unwrap_or_default();
            let same = |it: &Value| it["code"] == diagnostic["code"] && it["message"] == diagnostic["message"];
            assert!(!now.iter().any(same), "{action}");
        }
    }
    assert!(applied > 10, "{applied}");
}

/// A text with edits made, the last first.
pub fn edited(text: &str, edits: &[Value]) -> String {
    let byte = |position: &Value| {
        let line = position["line"].as_u64().unwrap() as usize;
        let start: usize = text.split_inclusive('\n').take(line).map(str::len).sum();
        let rest: Vec<u16> =
            text[start..].encode_utf16().take(position["character"].as_u64().unwrap() as usize).collect();
        start + String::from_utf16(&rest).unwrap().len()
    };
    let mut all: Vec<(usize, usize, &str)> = edits
        .iter()
        .map(|it| (byte(&it["range"]["start"]), byte(&it["range"]["end"]), it["newText"].as_str().unwrap()))
        .collect();
    all.sort_by_key(|it| std::cmp::Reverse(it.0));
    let mut text = text.to_owned();
    for (start, end, new) in all {
        text.replace_range(start..end, new);
    }
    text
}

#[test]
fn missing_facts_and_misspelt_names_have_actions() {
    let mut client = Client::of(None, &[]);
    let uri = "file:///nowhere/a.cotter";
    let text = "part a : rim {\n  sise = 622x19\n}\n";
    client.open(uri, text);
    client.settled();
    let params = json!({ "textDocument": { "uri": uri }, "range": { "start": { "line": 1, "character": 3 }, "end": { "line": 1, "character": 3 } }, "context": { "diagnostics": [] } });
    let actions = client.result("textDocument/codeAction", params);
    let titles: Vec<&str> = actions.as_array().unwrap().iter().map(|it| it["title"].as_str().unwrap()).collect();
    assert!(titles.contains(&"change `sise` to `size`"), "{titles:?}");
    let fill =
        actions.as_array().unwrap().iter().find(|it| it["title"].as_str().unwrap().starts_with("fill in")).unwrap();
    let changed = edited(text, fill["edit"]["changes"][uri].as_array().unwrap());
    assert!(changed.contains("size") && changed.contains("holes") && changed.contains("= ?"), "{changed}");
}

#[test]
fn the_rest_of_what_can_be_asked() {
    let mut heron = Heron::new();
    let uri = heron.uri("heron.cotter");
    let document = json!({ "textDocument": { "uri": uri } });
    let lenses = heron.client.result("textDocument/codeLens", document.clone());
    let titles: Vec<&str> =
        lenses.as_array().unwrap().iter().map(|it| it["command"]["title"].as_str().unwrap()).collect();
    assert_eq!(titles.len(), 3);
    assert!(titles[1].contains("19 clash"), "{titles:?}");
    let symbols = heron.client.result("textDocument/documentSymbol", document.clone());
    let names: Vec<&str> = symbols.as_array().unwrap().iter().map(|it| it["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["heron_as_bought", "heron_first_try", "heron_winter"]);
    let found = heron.client.result("workspace/symbol", json!({ "query": "TREKKING" }));
    assert_eq!(found.as_array().unwrap().len(), 2);
    let folds = heron.client.result("textDocument/foldingRange", document.clone());
    assert!(folds.as_array().unwrap().len() >= 5, "{folds}");
    let tokens = heron.client.result("textDocument/semanticTokens/full", document.clone());
    assert!(tokens["data"].as_array().unwrap().len() > 500);
    let whole = json!({ "start": { "line": 0, "character": 0 }, "end": { "line": 999, "character": 0 } });
    let hints =
        heron.client.result("textDocument/inlayHint", json!({ "textDocument": { "uri": uri }, "range": whole }));
    let labels: Vec<&str> = hints.as_array().unwrap().iter().map(|it| it["label"].as_str().unwrap()).collect();
    assert!(labels.contains(&"fits") && labels.contains(&"open") && labels.contains(&"clashes"), "{labels:?}");
    // Inches are told on request only.
    let donor = json!({ "textDocument": { "uri": heron.uri("donor.cotter") }, "range": whole });
    assert_eq!(heron.client.result("textDocument/inlayHint", donor.clone()), json!([]));
    heron.client.tell("workspace/didChangeConfiguration", json!({ "settings": { "cotter": { "inches": true } } }));
    let hints = heron.client.result("textDocument/inlayHint", donor);
    assert!(hints.as_array().unwrap().iter().any(|it| it["label"] == "1.055 in"), "26.8 mm: {hints}");

    let rough = heron.text("heron.cotter").replace("  paid             = 140 EUR", "paid=140 EUR");
    heron.client.tell(
        "textDocument/didChange",
        json!({ "textDocument": { "uri": uri, "version": 9 }, "contentChanges": [{ "text": rough }] }),
    );
    let options = json!({ "textDocument": { "uri": uri }, "options": { "tabSize": 2, "insertSpaces": true } });
    let edits = heron.client.result("textDocument/formatting", options);
    assert_eq!(edited(&rough, edits.as_array().unwrap()), heron.text("heron.cotter"));
    assert_eq!(
        edits[0]["range"]["end"]["line"].as_u64().unwrap() - edits[0]["range"]["start"]["line"].as_u64().unwrap(),
        1
    );
}
