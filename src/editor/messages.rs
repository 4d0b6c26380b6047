//! Messages in and out of a pair of streams. Whatever comes in, the next message is read; only the end of the stream or a
//! header that can't be followed ends it.

use lsp_server::{ErrorCode, Message, RequestId, Response};
use std::io::{BufRead, Read, Write};

/// The longest message that is read; no spec comes near it.
const LONGEST: usize = 16 * 1024 * 1024;

/// What was read.
pub enum Incoming {
    /// A message.
    Message(Message),
    /// Something that is none: what to answer.
    Broken(Response),
    /// Nothing more will come.
    End,
}

/// Reads one message.
pub fn read(input: &mut impl BufRead) -> Incoming {
    let Some(length) = length(input) else { return Incoming::End };
    if length > LONGEST {
        // Passed over, a little at a time.
        let mut rest = input.take(length as u64);
        if std::io::copy(&mut rest, &mut std::io::sink()).is_err() {
            return Incoming::End;
        }
        return broken(ErrorCode::InvalidRequest, "this message is longer than 16 MiB");
    }
    let mut bytes = Vec::new();
    match input.take(length as u64).read_to_end(&mut bytes) {
        Ok(count) if count == length => {}
        _ => return Incoming::End,
    }
    let value: serde_json::Value = match serde_json::from_slice(&bytes) {
        Ok(value) => value,
        Err(error) => return broken(ErrorCode::ParseError, &format!("this is no JSON: {error}")),
    };
    match serde_json::from_value(value) {
        Ok(message) => Incoming::Message(message),
        Err(_) => broken(ErrorCode::InvalidRequest, "this is neither a request, a response nor a notification"),
    }
}

fn broken(code: ErrorCode, words: &str) -> Incoming {
    // Whose answer this is can't be known: the protocol has `null` for that, which the type does not know.
    Incoming::Broken(Response::new_err(RequestId::from(String::new()), code as i32, words.to_owned()))
}

/// The length that a message's header tells; none at the end of the stream, or without one.
fn length(input: &mut impl BufRead) -> Option<usize> {
    let mut length = None;
    loop {
        let mut line = Vec::new();
        // A header line is short: whoever sends more than this speaks another language.
        let count = input.take(4096).read_until(b'\n', &mut line).ok()?;
        if count == 0 || !line.ends_with(b"\n") {
            return None;
        }
        let line = String::from_utf8_lossy(&line);
        let line = line.trim();
        if line.is_empty() {
            return length;
        }
        let (name, value) = line.split_once(':')?;
        if name.eq_ignore_ascii_case("content-length") {
            length = Some(value.trim().parse().ok()?);
        }
    }
}

/// Writes one message.
pub fn write(output: &mut impl Write, message: &Message) -> std::io::Result<()> {
    let mut json = serde_json::to_value(message)?;
    if let Some(fields) = json.as_object_mut() {
        fields.insert("jsonrpc".to_owned(), "2.0".into());
        if fields.get("id").is_some_and(|id| id == "") {
            fields.insert("id".to_owned(), serde_json::Value::Null);
        }
    }
    let body = json.to_string();
    write!(output, "Content-Length: {}\r\n\r\n{body}", body.len())?;
    output.flush()
}
