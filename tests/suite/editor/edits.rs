//! After any edits, the server says what a cold one says of the same texts.
//!
//! `COTTER_EDITS=1000` runs as many scripts; without it fewer are run.

use super::super::robust::Dice;
use super::{Client, uri};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::path::Path;

const SCRAPS: &[&str] = &[
    "",
    "x",
    "é",
    "名",
    "👼🏼",
    "\u{2028}",
    "\t",
    "\r",
    "\r\n",
    "\n",
    "}",
    "{",
    "\"",
    "#",
    " = ",
    "?",
    "~",
    "126 mm",
    "~46 mm",
    "rear.gap = 44 mm\n",
    "part c : hub { axle = qr(135 mm) }\n",
    "part b : hub { holes = 32 }\n",
    "use \"b.cotter\"\n",
    "use \"a.cotter\"\n",
    "  rear.hub = b\n",
    "build e from d { }\n",
    "bike_mass = 17 kg",
    "open(",
    "standalone\n",
];

const FIRST: &str = "\u{feff}use \"b.cotter\"\n\npart a : frame \"Rahmen für 名\" {\n  material = steel\n  rear.dropout = open(126 mm)\n  rear.gap = 46 mm ± 1 mm  # 👼🏼\n}\n\nbuild d : bicycle {\n  frame = a\n  rear.hub = b\n}\n";
const SECOND: &str = "part b : hub {\r\n  axle = qr(135 mm)\r\n  holes = 36\r\n}\r\n";

/// Uses the same parts as the first, behind another number of its own.
const THIRD: &str = "use \"b.cotter\"\n\npart f : fork { gap = ? }\n\npart g : frame {\n  rear.dropout = ~130 mm\n}\n\nbuild h : bicycle {\n  frame = g\n  fork = f\n  rear.hub = b\n}\n";

/// The text as an editor holds it: halves of UTF-16.
struct Model(Vec<u16>);

impl Model {
    fn text(&self) -> String {
        String::from_utf16(&self.0).unwrap()
    }

    /// A place between two characters, as index and as position.
    fn place(&self, dice: &mut Dice, utf8: bool) -> (usize, Value) {
        let text = self.text();
        let places: Vec<usize> = text.char_indices().map(|(at, _)| at).chain([text.len()]).collect();
        let byte = places[dice.roll(places.len())];
        // A place between `\r` and `\n` has no position.
        let byte =
            if byte > 0 && text[..byte].ends_with('\r') && text[byte..].starts_with('\n') { byte - 1 } else { byte };
        let before = &text[..byte];
        let (mut line, mut start) = (0, 0);
        let bytes = before.as_bytes();
        for (at, mark) in bytes.iter().enumerate() {
            if *mark == b'\n' || *mark == b'\r' && text.as_bytes().get(at + 1) != Some(&b'\n') {
                line += 1;
                start = at + 1;
            }
        }
        let rest = &before[start..];
        let character = if utf8 { rest.len() } else { rest.encode_utf16().count() };
        (before.encode_utf16().count(), json!({ "line": line, "character": character }))
    }
}

/// What was said, whatever folder the library's texts were put in for this server.
fn plain(said: BTreeMap<String, Value>) -> Vec<(String, String)> {
    let plain = |text: &str| {
        let mut pieces = text.split("cotter-library-");
        let first = pieces.next().unwrap_or("").to_owned();
        pieces.fold(first, |all, piece| format!("{all}library{}", &piece[piece.find('/').unwrap()..]))
    };
    said.into_iter().map(|(uri, it)| (uri, plain(&it.to_string()))).collect()
}

/// What a server says that opens these texts first.
fn cold(folder: &Path, texts: &[(String, String)], encodings: &[&str]) -> Vec<(String, String)> {
    let mut client = Client::of(Some(folder), encodings);
    for (uri, text) in texts {
        client.open(uri, text);
    }
    let found = plain(client.settled());
    assert_eq!(client.leave(), 0);
    found
}

#[test]
fn edits_lead_where_a_cold_start_does() {
    let most: usize = std::env::var("COTTER_EDITS").ok().and_then(|it| it.parse().ok()).unwrap_or(150);
    let folder = tempfile::tempdir().unwrap();
    let all = [("a.cotter", FIRST), ("b.cotter", SECOND), ("c.cotter", THIRD)];
    for (name, text) in all {
        std::fs::write(folder.path().join(name), text).unwrap();
    }
    let mut dice = Dice(0x0ed1_7005);
    let mut checked = 0;
    for script in 0..most {
        let utf8 = script % 2 == 1;
        let encodings: &[&str] = if utf8 { &["utf-8", "utf-16"] } else { &[] };
        let mut client = Client::of(Some(folder.path()), encodings);
        let names = all.map(|(name, _)| uri(&folder.path().join(name)));
        let mut models = all.map(|(_, text)| Model(text.encode_utf16().collect()));
        for (name, (_, text)) in names.iter().zip(all) {
            client.open(name, text);
        }
        for version in 2..8 + dice.roll(6) {
            let file = dice.roll(all.len());
            let mut changes = Vec::new();
            for _ in 0..=dice.roll(2) {
                let (mut start, mut end) = (models[file].place(&mut dice, utf8), models[file].place(&mut dice, utf8));
                if start.0 > end.0 {
                    std::mem::swap(&mut start, &mut end);
                }
                if end.0 - start.0 > 20 && dice.roll(3) > 0 {
                    end = start.clone();
                }
                let scrap = SCRAPS[dice.roll(SCRAPS.len())];
                models[file].0.splice(start.0..end.0, scrap.encode_utf16());
                changes.push(json!({ "range": { "start": start.1, "end": end.1 }, "text": scrap }));
            }
            let document = json!({ "uri": names[file], "version": version });
            client.tell("textDocument/didChange", json!({ "textDocument": document, "contentChanges": changes }));
        }
        let warm = plain(client.settled());
        let texts: Vec<(String, String)> = names.iter().cloned().zip(models.iter().map(Model::text)).collect();
        let cold = cold(folder.path(), &texts, encodings);
        assert_eq!(warm, cold, "script {script}:\n{texts:#?}");
        checked += warm.len();
        assert_eq!(client.leave(), 0);
    }
    assert!(checked > 0, "some script should leave something to say");
}

#[test]
fn the_server_says_what_the_command_line_says() {
    for folder in ["specs/heron", "specs/curlew", "tests/trolley"] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        let mut client = Client::of(Some(&folder), &[]);
        let mut said: Vec<(String, String)> = client
            .settled()
            .values()
            .flat_map(|it| it.as_array().unwrap().clone())
            .map(|it| {
                let message = it["message"].as_str().unwrap().lines().next().unwrap().to_owned();
                (it["code"].as_str().unwrap().to_owned(), message)
            })
            .collect();
        let root = folder.to_string_lossy().into_owned();
        let entry = format!("{root}/{}.cotter", folder.file_name().unwrap().to_str().unwrap());
        let compiled = cotter::compile(&cotter::source::Disk::below(&root), &entry, &root).unwrap();
        let mut wanted: Vec<(String, String)> =
            compiled.diagnostics.iter().map(|it| (it.code.clone(), it.message.clone())).collect();
        said.sort();
        said.dedup();
        wanted.sort();
        wanted.dedup();
        assert!(!wanted.is_empty());
        assert_eq!(said, wanted, "{}", folder.display());
    }
}
