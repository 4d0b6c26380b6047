//! The language server, spoken to as an editor does: over a pair of pipes.

mod abuse;
mod edits;
mod features;
mod neovim;
#[cfg(unix)]
mod orphan;

use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, PipeReader, PipeWriter, Read, Write};
use std::path::{Path, PathBuf};

/// An editor at its simplest.
pub struct Client {
    input: Option<PipeWriter>,
    output: BufReader<PipeReader>,
    server: Option<std::thread::JoinHandle<u8>>,
    asked: i32,
    /// The diagnostics sent last, by URI, and the version that they are of.
    pub diagnostics: BTreeMap<String, (Value, Option<i64>)>,
    /// Versions of each publish, in order.
    pub versions: Vec<(String, i64)>,
}

impl Client {
    /// A server that knows no folder; nothing is said yet.
    pub fn silent() -> Client {
        let (server_input, input) = std::io::pipe().unwrap();
        let (output, server_output) = std::io::pipe().unwrap();
        let server = std::thread::spawn(move || cotter::editor::serve(server_input, server_output));
        Client {
            input: Some(input),
            output: BufReader::new(output),
            server: Some(server),
            asked: 0,
            diagnostics: BTreeMap::new(),
            versions: Vec::new(),
        }
    }

    /// A server that has been greeted.
    pub fn of(folder: Option<&Path>, encodings: &[&str]) -> Client {
        let mut client = Client::silent();
        let root = folder.map(uri);
        let general = json!({ "general": { "positionEncodings": encodings } });
        let answer = client.ask("initialize", json!({ "processId": null, "rootUri": root, "capabilities": general }));
        assert!(answer["result"]["capabilities"]["hoverProvider"].as_bool().unwrap());
        client.tell("initialized", json!({}));
        client
    }

    pub fn raw(&mut self, bytes: &[u8]) {
        let input = self.input.as_mut().unwrap();
        input.write_all(bytes).unwrap();
        input.flush().unwrap();
    }

    pub fn send(&mut self, message: &Value) {
        let body = message.to_string();
        self.raw(format!("Content-Length: {}\r\n\r\n{body}", body.len()).as_bytes());
    }

    pub fn tell(&mut self, method: &str, params: Value) {
        self.send(&json!({ "jsonrpc": "2.0", "method": method, "params": params }));
    }

    /// Asks, and reads on until the answer has come.
    pub fn ask(&mut self, method: &str, params: Value) -> Value {
        self.asked += 1;
        let id = self.asked;
        self.send(&json!({ "jsonrpc": "2.0", "id": id, "method": method, "params": params }));
        loop {
            let message = self.read();
            if message["id"] == id {
                return message;
            }
        }
    }

    pub fn result(&mut self, method: &str, params: Value) -> Value {
        let answer = self.ask(method, params);
        assert!(answer.get("error").is_none(), "{answer}");
        answer["result"].clone()
    }

    pub fn read(&mut self) -> Value {
        let mut length = 0;
        loop {
            let mut line = String::new();
            assert!(self.output.read_line(&mut line).unwrap() > 0, "the server is gone");
            match line.trim().split_once(": ") {
                Some(("Content-Length", it)) => length = it.parse().unwrap(),
                _ if line.trim().is_empty() => break,
                _ => {}
            }
        }
        let mut body = vec![0; length];
        self.output.read_exact(&mut body).unwrap();
        let message: Value = serde_json::from_slice(&body).unwrap();
        if message["method"] == "textDocument/publishDiagnostics" {
            let params = &message["params"];
            let uri = params["uri"].as_str().unwrap().to_owned();
            let version = params["version"].as_i64();
            self.versions.extend(version.map(|it| (uri.clone(), it)));
            self.diagnostics.insert(uri, (params["diagnostics"].clone(), version));
        }
        message
    }

    pub fn open(&mut self, uri: &str, text: &str) {
        let document = json!({ "uri": uri, "languageId": "cotter", "version": 1, "text": text });
        self.tell("textDocument/didOpen", json!({ "textDocument": document }));
    }

    /// All diagnostics as they are once everything sent so far has been taken in.
    pub fn settled(&mut self) -> BTreeMap<String, Value> {
        self.result("workspace/symbol", json!({ "query": "no such name" }));
        let some = self.diagnostics.iter().filter(|(_, (it, _))| it.as_array().is_some_and(|it| !it.is_empty()));
        some.map(|(uri, (it, _))| (uri.clone(), it.clone())).collect()
    }

    /// Closes the input; the exit code.
    pub fn hang_up(mut self) -> u8 {
        self.input = None;
        self.server.take().unwrap().join().unwrap()
    }

    pub fn leave(mut self) -> u8 {
        assert_eq!(self.ask("shutdown", Value::Null)["result"], Value::Null);
        self.tell("exit", Value::Null);
        self.server.take().unwrap().join().unwrap()
    }
}

pub fn uri(path: &Path) -> String {
    format!("file://{}", path.display())
}

/// A copy of a demo folder that may be changed.
pub fn copy_of(folder: &str) -> tempfile::TempDir {
    let copy = tempfile::tempdir().unwrap();
    let from: PathBuf = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    for entry in std::fs::read_dir(from).unwrap().flatten() {
        std::fs::copy(entry.path(), copy.path().join(entry.file_name())).unwrap();
    }
    copy
}

/// The position of the `nth` place where `words` stand, `off` characters further on.
pub fn at(text: &str, words: &str, nth: usize, off: usize) -> Value {
    let start = text.match_indices(words).nth(nth).unwrap_or_else(|| panic!("{words}")).0;
    let before = &text[..start];
    let line = before.matches('\n').count();
    let column = before.rsplit('\n').next().unwrap().encode_utf16().count() + off;
    json!({ "line": line, "character": column })
}
