//! Whatever an editor sends, the next sound message is answered, and nothing outlives the editor.

use super::{Client, uri};
use serde_json::{Value, json};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

#[test]
fn stages_are_kept() {
    let mut client = Client::silent();
    assert_eq!(client.ask("textDocument/hover", json!({}))["error"]["code"], -32002);
    client.tell("textDocument/didOpen", json!({}));
    assert!(client.ask("initialize", json!({ "capabilities": {} }))["result"].is_object());
    assert_eq!(client.ask("initialize", json!({ "capabilities": {} }))["error"]["code"], -32600);
    assert_eq!(client.ask("no/such", json!({}))["error"]["code"], -32601);
    assert_eq!(client.ask("textDocument/hover", json!({ "what": 1 }))["error"]["code"], -32602);
    client.ask("shutdown", Value::Null);
    assert_eq!(client.ask("textDocument/hover", json!({}))["error"]["code"], -32600);
    client.tell("exit", Value::Null);
    assert_eq!(client.server.take().unwrap().join().unwrap(), 0);

    let mut client = Client::of(None, &[]);
    client.tell("exit", Value::Null);
    assert_eq!(client.server.take().unwrap().join().unwrap(), 1, "without `shutdown`");
    assert_eq!(Client::of(None, &[]).hang_up(), 1);
    assert_eq!(Client::of(None, &[]).leave(), 0);
}

#[test]
fn broken_messages_are_answered_and_passed_over() {
    let mut client = Client::of(None, &[]);
    let deep = format!("{}{}", "[".repeat(100_000), "]".repeat(100_000));
    let bodies: Vec<(Vec<u8>, i64)> = vec![
        (b"{".to_vec(), -32700),
        (b"\xff\xfe".to_vec(), -32700),
        (deep.into_bytes(), -32700),
        (b"{}".to_vec(), -32600),
        (b"[]".to_vec(), -32600),
        (b"{\"jsonrpc\":\"2.0\",\"id\":[]}".to_vec(), -32600),
        (vec![b' '; 17 * 1024 * 1024], -32600),
    ];
    for (body, code) in bodies {
        // A large body must be written while the server reads.
        client.raw(format!("Content-Length: {}\r\nX-Other: y\r\n\r\n", body.len()).as_bytes());
        client.raw(&body);
        let answer = client.read();
        assert_eq!(answer["error"]["code"], code, "{answer}");
        assert_eq!(answer["id"], Value::Null);
        client.settled();
    }
    // Notifications that make no sense change nothing.
    client.tell("textDocument/didChange", json!({ "textDocument": 3 }));
    client.tell(
        "textDocument/didChange",
        json!({ "textDocument": { "uri": "file:///nowhere.cotter", "version": 2 }, "contentChanges": [] }),
    );
    client.tell("$/setTrace", json!({ "value": "off" }));
    client.settled();
    assert_eq!(client.leave(), 0);
}

#[test]
fn a_header_that_can_not_be_followed_ends_the_session() {
    for header in
        ["Content-Length: x\r\n\r\n", "nonsense\r\n\r\n", "\r\n\r\n", "Content-Length: 99999999999999999999999\r\n\r\n"]
    {
        let mut client = Client::of(None, &[]);
        client.raw(header.as_bytes());
        assert_eq!(client.server.take().unwrap().join().unwrap(), 1, "{header:?}");
    }
    // A length that no memory holds is passed over, not asked for.
    let mut client = Client::of(None, &[]);
    client.raw(b"Content-Length: 200000000000\r\n\r\n{}");
    assert_eq!(client.hang_up(), 1);
}

#[test]
fn cancelled_requests_are_answered_so() {
    let mut client = Client::of(None, &[]);
    // Both come in one piece, so that the second is there before the first has its turn; what is quicker is answered.
    let frame = |message: Value| {
        let body = message.to_string();
        format!("Content-Length: {}\r\n\r\n{body}", body.len())
    };
    let mut all = String::new();
    for id in 100..140 {
        all += &frame(json!({ "jsonrpc": "2.0", "id": id, "method": "workspace/symbol", "params": { "query": "" } }));
    }
    all += &frame(json!({ "jsonrpc": "2.0", "method": "$/cancelRequest", "params": { "id": 139 } }));
    client.raw(all.as_bytes());
    let mut answered = Vec::new();
    while answered.len() < 40 {
        let message = client.read();
        answered.push(message["id"].as_i64().unwrap());
        if let Some(error) = message.get("error") {
            assert_eq!((message["id"].as_i64(), error["code"].as_i64()), (Some(139), Some(-32800)));
        }
    }
    answered.sort_unstable();
    assert_eq!(answered, (100..140).collect::<Vec<i64>>());
}

#[test]
fn versions_rise_and_stale_changes_are_dropped() {
    let mut client = Client::of(None, &[]);
    let uri = "file:///nowhere/a.cotter";
    client.open(uri, "part a : frame {\n}\n");
    for version in 2..102 {
        let text = format!("part a{version} : nothing {{\n}}\n");
        client.tell(
            "textDocument/didChange",
            json!({ "textDocument": { "uri": uri, "version": version }, "contentChanges": [{ "text": text }] }),
        );
    }
    let stale =
        json!({ "textDocument": { "uri": uri, "version": 50 }, "contentChanges": [{ "text": "part x : frame {}" }] });
    client.tell("textDocument/didChange", stale);
    client.settled();
    let versions: Vec<i64> = client.versions.iter().filter(|(it, _)| it == uri).map(|(_, it)| *it).collect();
    assert!(versions.is_sorted(), "{versions:?}");
    assert_eq!(versions.last(), Some(&101));
    let symbols = client.result("textDocument/documentSymbol", json!({ "textDocument": { "uri": uri } }));
    assert_eq!(symbols[0]["name"], "a101");
}

/// The program as an editor starts it.
fn program() -> std::process::Child {
    Command::new(env!("CARGO_BIN_EXE_cotter")).arg("lsp").stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap()
}

fn gone(child: &mut std::process::Child) -> Option<i32> {
    let start = Instant::now();
    while start.elapsed() < Duration::from_secs(5) {
        if let Some(status) = child.try_wait().unwrap() {
            return status.code();
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    child.kill().unwrap();
    None
}

#[test]
fn nothing_outlives_the_editor() {
    // The editor's end of the pipe closes.
    let mut child = program();
    drop(child.stdin.take());
    assert_eq!(gone(&mut child), Some(1));
    // The pipe stays open in some other process, but the editor's process is gone.
    let mut editor = Command::new("true").spawn().unwrap();
    let process = editor.id();
    editor.wait().unwrap();
    let mut child = program();
    let folder = tempfile::tempdir().unwrap();
    let params = json!({ "processId": process, "rootUri": uri(folder.path()), "capabilities": {} });
    let body = json!({ "jsonrpc": "2.0", "id": 1, "method": "initialize", "params": params }).to_string();
    use std::io::Write;
    let mut input = child.stdin.take().unwrap();
    write!(input, "Content-Length: {}\r\n\r\n{body}", body.len()).unwrap();
    input.flush().unwrap();
    if std::path::Path::new("/proc/self").exists() {
        assert_eq!(gone(&mut child), Some(1));
    } else {
        drop(input);
        assert_eq!(gone(&mut child), Some(1));
    }
}
