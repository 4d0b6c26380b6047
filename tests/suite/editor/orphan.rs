//! An editor that is killed leaves no server behind, whether or not it is the one that holds the pipe.

use serde_json::json;
use std::io::{BufRead, BufReader, Read, Write};
use std::process::{Child, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::Duration;

/// Longer than the server needs to notice.
const LONG: Duration = Duration::from_secs(15);

fn message(body: &serde_json::Value) -> String {
    let body = body.to_string();
    format!("Content-Length: {}\r\n\r\n{body}", body.len())
}

fn greeting(process: Option<u32>) -> String {
    let params = json!({ "processId": process, "rootUri": null, "capabilities": {} });
    message(&json!({ "jsonrpc": "2.0", "id": 1, "method": "initialize", "params": params }))
}

/// What the server prints, and its end: only when the last process that holds the pipe is gone does it come to one.
fn output(parent: &mut Child) -> (String, Receiver<usize>) {
    let mut output = BufReader::new(parent.stdout.take().unwrap());
    let mut head = String::new();
    output.read_line(&mut head).unwrap();
    let (send, end) = channel();
    std::thread::spawn(move || {
        let mut rest = Vec::new();
        let count = output.read_to_end(&mut rest).unwrap();
        send.send(count)
    });
    (head, end)
}

/// A server that its parent has started ends with that, and not before.
fn serves_until_killed(mut parent: Child) {
    let (head, end) = output(&mut parent);
    assert!(head.starts_with("Content-Length"), "{head}");
    std::thread::sleep(Duration::from_millis(1500));
    assert!(end.try_recv().is_err(), "it serves as long as its editor lives");
    parent.kill().unwrap();
    // Nobody has taken note of it yet.
    let ended = end.recv_timeout(LONG);
    parent.wait().unwrap();
    assert!(ended.is_ok(), "the server is still there");
}

#[test]
fn a_killed_parent_is_missed_though_the_pipe_stays_open() {
    // In the background, a shell would take the input away.
    let mut parent = Command::new("sh")
        .args(["-c", "exec 3<&0; \"$0\" lsp <&3 & wait", env!("CARGO_BIN_EXE_cotter")])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = parent.stdin.take().unwrap();
    input.write_all(greeting(Some(parent.id())).as_bytes()).unwrap();
    serves_until_killed(parent);
    drop(input);
}

#[test]
fn a_killed_parent_takes_the_pipe_along() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("greeting"), greeting(None)).unwrap();
    // The shell itself holds the writing end, as an editor does.
    let script = "mkfifo pipe; \"$0\" lsp < pipe & exec 3> pipe; cat greeting >&3; wait";
    let parent = Command::new("sh")
        .args(["-c", script, env!("CARGO_BIN_EXE_cotter")])
        .current_dir(folder.path())
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    serves_until_killed(parent);
}
