//! From an edit to its diagnostics, on a folder of 200 specs and 2,000 parts: `cargo bench --bench editor`.
//!
//! Prints the median and the 99th percentile, of edits in a spec and of edits in a shelf that twenty specs use. Ends with 1
//! when either takes longer than it may.

#![allow(clippy::unwrap_used, clippy::print_stdout, clippy::indexing_slicing)]

use serde_json::{Value, json};
use std::io::{BufRead, BufReader, PipeReader, PipeWriter, Read, Write};
use std::process::ExitCode;
use std::time::{Duration, Instant};

/// The one that the program has.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

const MOST: Duration = Duration::from_millis(20);

struct Client {
    input: PipeWriter,
    output: BufReader<PipeReader>,
}

impl Client {
    fn send(&mut self, message: &Value) {
        let body = message.to_string();
        write!(self.input, "Content-Length: {}\r\n\r\n{body}", body.len()).unwrap();
        self.input.flush().unwrap();
    }

    fn read(&mut self) -> Value {
        let mut length = 0;
        loop {
            let mut line = String::new();
            self.output.read_line(&mut line).unwrap();
            match line.trim().strip_prefix("Content-Length: ") {
                Some(it) => length = it.parse().unwrap(),
                None if line.trim().is_empty() => break,
                None => {}
            }
        }
        let mut body = vec![0; length];
        self.output.read_exact(&mut body).unwrap();
        serde_json::from_slice(&body).unwrap()
    }

    fn ask(&mut self, method: &str, params: Value) {
        self.send(&json!({ "jsonrpc": "2.0", "id": 1, "method": method, "params": params }));
        while self.read()["id"] != 1 {}
    }

    /// How long each of many edits of one line takes until the diagnostics of its version are there, sorted.
    fn edits(&mut self, path: &str, line: usize, words: &[&str], count: i64) -> Vec<Duration> {
        let (uri, text) = (format!("file://{path}"), std::fs::read_to_string(path).unwrap());
        let mut now = text.lines().nth(line).unwrap().to_owned();
        let document = json!({ "uri": uri, "languageId": "cotter", "version": 1, "text": text });
        let open =
            json!({ "jsonrpc": "2.0", "method": "textDocument/didOpen", "params": { "textDocument": document } });
        self.send(&open);
        self.ask("workspace/symbol", json!({ "query": "no such name" }));
        let mut taken = Vec::new();
        for version in 2..2 + count {
            let new = words[version as usize % words.len()];
            let range =
                json!({ "start": { "line": line, "character": 0 }, "end": { "line": line, "character": now.len() } });
            let params = json!({
                "textDocument": { "uri": uri, "version": version },
                "contentChanges": [{ "range": range, "text": new }],
            });
            now = new.to_owned();
            let start = Instant::now();
            self.send(&json!({ "jsonrpc": "2.0", "method": "textDocument/didChange", "params": params }));
            loop {
                let message = self.read();
                if message["params"]["uri"] == uri && message["params"]["version"] == version {
                    break;
                }
            }
            taken.push(start.elapsed());
        }
        taken.sort_unstable();
        taken
    }
}

fn part(shelf: usize, number: usize) -> String {
    let width = 126 + number % 10;
    let (kind, facts) = match number % 5 {
        0 => ("hub", "axle = qr(135 mm, stub = 9.5 mm)\n  holes = 36".to_owned()),
        1 => ("rim", "size = 622x19\n  holes = 36\n  track = true".to_owned()),
        2 => ("tyre", "size = 37-622\n  bead = wire".to_owned()),
        3 => ("frame", format!("material = steel\n  rear.dropout = open({width} mm)\n  rear.gap = 46 mm ± 1 mm")),
        _ => ("fork", "material = steel\n  dropout = open(100 mm, slot = 9 mm)\n  gap = 52 mm".to_owned()),
    };
    format!("part p{shelf}_{number} : {kind} \"a {kind}\" {{\n  source = bin\n  mass = 300 g\n  {facts}\n}}\n\n")
}

fn main() -> ExitCode {
    let folder = tempfile::tempdir().unwrap();
    let path = |name: String| folder.path().join(name).to_string_lossy().into_owned();
    for shelf in 0..10 {
        let parts: String = (0..200).map(|number| part(shelf, number)).collect();
        std::fs::write(path(format!("shelf{shelf}.cotter")), parts).unwrap();
    }
    for spec in 0..200 {
        let (shelf, first) = (spec % 10, spec / 10 * 5);
        let slots = [("rear.hub", 0), ("rear.rim", 1), ("rear.tyre", 2), ("frame", 3), ("fork", 4)];
        let slots: String = slots.iter().map(|(slot, off)| format!("  {slot} = p{shelf}_{}\n", first + off)).collect();
        let text = format!("use \"shelf{shelf}.cotter\"\n\nbuild b{spec} : bicycle {{\n  rider = 80 kg\n{slots}}}\n");
        std::fs::write(path(format!("spec{spec}.cotter")), text).unwrap();
    }
    let (server_input, input) = std::io::pipe().unwrap();
    let (output, server_output) = std::io::pipe().unwrap();
    std::thread::spawn(move || cotter::editor::serve(server_input, server_output));
    let mut client = Client { input, output: BufReader::new(output) };
    let root = format!("file://{}", folder.path().display());
    client.ask("initialize", json!({ "processId": null, "rootUri": root, "capabilities": {} }));
    let start = Instant::now();
    client.ask("workspace/symbol", json!({ "query": "no such name" }));
    println!("cold start        {:>8.1} ms", start.elapsed().as_secs_f64() * 1e3);
    let mut slow = false;
    let of_spec = ["  rear.hub = p7_5", "  rear.hub = p7_0", "  rear.hub = p7_"];
    let of_shelf = ["  rear.dropout = open(130 mm)", "  rear.dropout = open(126 mm)", "  rear.dropout = "];
    for (what, name, line, words, count) in
        [("edit in a spec ", "spec7", 4, of_spec, 500), ("edit in a shelf", "shelf3", 29, of_shelf, 500)]
    {
        let taken = client.edits(&path(format!("{name}.cotter")), line, &words, count);
        let (median, last) = (taken[taken.len() / 2], taken[taken.len() * 99 / 100]);
        println!("{what}   {:>8.1} ms, 99th {:>8.1} ms", median.as_secs_f64() * 1e3, last.as_secs_f64() * 1e3);
        slow |= last > MOST;
    }
    ExitCode::from(u8::from(slow))
}
