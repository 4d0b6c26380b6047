//! The loop: messages in, in their order; what is cancelled is dropped, what changed is compiled once the editor pauses or
//! asks, and no message can end the session.

use super::convert;
use super::diagnostics;
use super::documents::{Document, Units};
use super::messages::{self, Incoming};
use super::requests::{self, Refusal};
use super::tokens;
use super::workspace::Workspace;
use crate::source;
use lsp_server::{ErrorCode, Message, Notification, Request, Response};
use lsp_types::*;
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::io::{BufRead, BufReader, Read, Write};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::Duration;

/// Room for what recurses over a deep text.
const STACK: usize = 16 * 1024 * 1024;
/// How often it is looked whether the editor is still there.
const LOOK: Duration = Duration::from_secs(1);

/// Serves an editor until it goes; the exit code that the protocol asks for.
pub fn serve(input: impl Read + Send + 'static, output: impl Write + Send + 'static) -> u8 {
    let (send, receive) = channel();
    // Reading ends with the process, whatever the editor does with its end.
    std::thread::spawn(move || {
        let mut input = BufReader::new(input);
        read_all(&mut input, |incoming| send.send(incoming).is_ok());
    });
    let worker = std::thread::Builder::new().stack_size(STACK).spawn(move || Server::new(output).run(&receive));
    worker.ok().and_then(|it| it.join().ok()).unwrap_or(1)
}

fn read_all(input: &mut impl BufRead, mut pass: impl FnMut(Incoming) -> bool) {
    loop {
        let incoming = messages::read(input);
        let last = matches!(incoming, Incoming::End);
        if !pass(incoming) || last {
            return;
        }
    }
}

/// Where the session stands.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Stage {
    /// Not greeted yet.
    New,
    /// At work.
    Running,
    /// Told to end.
    Ending,
}

struct Server<W> {
    output: W,
    stage: Stage,
    workspace: Workspace,
    /// Files that the editor was sent diagnostics for, and which.
    published: BTreeMap<String, Vec<Diagnostic>>,
    /// Files that the editor opened or closed, and waits to hear of even if nothing there changes.
    unanswered: BTreeSet<String>,
    /// The editor's process, if it told.
    parent: Option<u32>,
    /// The process that started this one.
    started_by: Option<u32>,
    queue: VecDeque<Incoming>,
}

impl<W: Write> Server<W> {
    fn new(output: W) -> Server<W> {
        Server {
            output,
            stage: Stage::New,
            workspace: Workspace::new(None, Units::Utf16),
            published: BTreeMap::new(),
            unanswered: BTreeSet::new(),
            parent: None,
            started_by: source::parent(),
            queue: VecDeque::new(),
        }
    }

    fn run(mut self, receive: &Receiver<Incoming>) -> u8 {
        loop {
            self.queue.extend(receive.try_iter());
            self.cancel();
            let Some(incoming) = self.queue.pop_front() else {
                if self.stage == Stage::Running && self.workspace.is_stale() {
                    self.guarded(Server::publish);
                    continue;
                }
                match receive.recv_timeout(LOOK) {
                    Ok(incoming) => self.queue.push_back(incoming),
                    Err(RecvTimeoutError::Disconnected) => return self.end(),
                    Err(RecvTimeoutError::Timeout) if self.is_orphan() => return self.end(),
                    Err(RecvTimeoutError::Timeout) => {}
                }
                continue;
            };
            match incoming {
                Incoming::End => return self.end(),
                Incoming::Broken(response) => self.send(Message::Response(response)),
                Incoming::Message(Message::Request(request)) => self.request(request),
                Incoming::Message(Message::Notification(it)) if it.method == "exit" => return self.end(),
                Incoming::Message(Message::Notification(it)) => self.notification(it),
                // Nothing is asked of the editor that it could answer.
                Incoming::Message(Message::Response(_)) => {}
            }
        }
    }

    /// The protocol wants 0 after `shutdown`, 1 without it.
    fn end(&self) -> u8 {
        u8::from(self.stage != Stage::Ending)
    }

    /// Whether the editor's process is gone, where that can be told.
    fn is_orphan(&self) -> bool {
        let gone = |it| match source::runs(it) {
            Some(runs) => !runs,
            // Then the system tells at least whether this process was handed on.
            None => self.started_by == Some(it) && source::parent() != Some(it),
        };
        self.parent.is_some_and(gone)
    }

    /// Takes requests out of the queue that were cancelled before their turn.
    fn cancel(&mut self) {
        let cancelled: Vec<Value> = self
            .queue
            .iter()
            .filter_map(|it| match it {
                Incoming::Message(Message::Notification(it)) if it.method == "$/cancelRequest" => {
                    it.params.get("id").cloned()
                }
                _ => None,
            })
            .collect();
        if cancelled.is_empty() {
            return;
        }
        for incoming in std::mem::take(&mut self.queue) {
            match incoming {
                Incoming::Message(Message::Request(request)) if cancelled.contains(&json!(request.id)) => {
                    let words = "cancelled".to_owned();
                    self.send(Message::Response(Response::new_err(
                        request.id,
                        ErrorCode::RequestCanceled as i32,
                        words,
                    )));
                }
                other => self.queue.push_back(other),
            }
        }
    }

    fn send(&mut self, message: Message) {
        // Where nobody listens any more, the end of the input tells.
        let _ = messages::write(&mut self.output, &message);
    }

    /// Runs something that a fault must not carry out of the session; none if it failed.
    fn guarded<T>(&mut self, work: impl FnOnce(&mut Self) -> T) -> Option<T> {
        catch_unwind(AssertUnwindSafe(|| work(self))).ok()
    }

    fn request(&mut self, request: Request) {
        let Request { id, method, params } = request;
        let answer = match (self.stage, method.as_str()) {
            (Stage::New, "initialize") => self.initialize(params),
            (Stage::New, _) => Err((ErrorCode::ServerNotInitialized as i32, "not greeted yet".to_owned())),
            (Stage::Ending, _) => Err((ErrorCode::InvalidRequest as i32, "told to end already".to_owned())),
            (Stage::Running, "initialize") => Err((ErrorCode::InvalidRequest as i32, "greeted already".to_owned())),
            (Stage::Running, "shutdown") => {
                self.stage = Stage::Ending;
                Ok(Value::Null)
            }
            (Stage::Running, _) => self
                .guarded(|server| {
                    if server.workspace.is_stale() {
                        server.publish();
                    }
                    requests::answer(&mut server.workspace, &method, params)
                })
                .unwrap_or_else(|| Err((ErrorCode::InternalError as i32, format!("`{method}` failed")))),
        };
        let response = match answer {
            Ok(value) => Response::new_ok(id, value),
            Err((code, words)) => Response::new_err(id, code, words),
        };
        self.send(Message::Response(response));
    }

    fn initialize(&mut self, params: Value) -> Result<Value, Refusal> {
        let process = params.get("processId").and_then(Value::as_u64);
        self.parent = process.and_then(|it| u32::try_from(it).ok());
        let inches = params.pointer("/initializationOptions/inches").and_then(Value::as_bool).unwrap_or(false);
        #[allow(deprecated)]
        let (root, units) = {
            let params: InitializeParams = requests::read(params)?;
            let folder = params.workspace_folders.and_then(|it| it.into_iter().next()).map(|it| it.uri);
            let root = folder.or(params.root_uri).map(|it| convert::path(&it).trim_end_matches('/').to_owned());
            let general = params.capabilities.general.and_then(|it| it.position_encodings).unwrap_or_default();
            let units = if general.contains(&PositionEncodingKind::UTF8) { Units::Utf8 } else { Units::Utf16 };
            (root, units)
        };
        self.workspace = Workspace::new(root.filter(|it| !it.is_empty()), units);
        self.workspace.inches = inches;
        self.stage = Stage::Running;
        let capabilities = capabilities(units);
        let version = env!("CARGO_PKG_VERSION");
        Ok(json!({ "capabilities": capabilities, "serverInfo": { "name": "cotter", "version": version } }))
    }

    fn notification(&mut self, notification: Notification) {
        if self.stage != Stage::Running {
            return;
        }
        let Notification { method, params } = notification;
        self.guarded(|server| match method.as_str() {
            "textDocument/didOpen" => {
                if let Ok(it) = requests::read::<DidOpenTextDocumentParams>(params) {
                    let path = convert::path(&it.text_document.uri);
                    let document = Document::new(it.text_document.text, it.text_document.version);
                    server.workspace.changed(&path);
                    server.unanswered.insert(path.clone());
                    server.workspace.open.insert(path, document);
                }
            }
            "textDocument/didChange" => {
                if let Ok(it) = requests::read::<DidChangeTextDocumentParams>(params) {
                    server.changed(it);
                }
            }
            "textDocument/didClose" => {
                if let Ok(it) = requests::read::<DidCloseTextDocumentParams>(params) {
                    let path = convert::path(&it.text_document.uri);
                    server.workspace.open.remove(&path);
                    server.unanswered.insert(path.clone());
                    server.workspace.changed(&path);
                }
            }
            "textDocument/didSave" | "workspace/didChangeWatchedFiles" => {
                let files = serde_json::from_value::<DidChangeWatchedFilesParams>(params).map(|it| it.changes);
                for file in files.unwrap_or_default() {
                    server.workspace.changed_on_disk(&convert::path(&file.uri));
                }
            }
            "workspace/didChangeConfiguration" => {
                let inches = params.pointer("/settings/cotter/inches").and_then(Value::as_bool);
                server.workspace.inches = inches.unwrap_or(server.workspace.inches);
            }
            _ => {}
        });
    }

    fn changed(&mut self, params: DidChangeTextDocumentParams) {
        let path = convert::path(&params.text_document.uri);
        let units = self.workspace.units_of_text;
        let Some(document) = self.workspace.open.get_mut(&path) else { return };
        // What speaks of an older text than the one that stands here would spoil it.
        if params.text_document.version > document.version {
            document.change(params.content_changes, params.text_document.version, units);
            self.workspace.changed(&path);
            self.unanswered.insert(path);
        }
    }

    /// Compiles what changed, and sends the diagnostics of every file where they are others than before.
    fn publish(&mut self) {
        let mut touched = self.workspace.refresh();
        touched.extend(self.unanswered.iter().cloned());
        self.unanswered.clear();
        for (path, diagnostics) in diagnostics::of_files(&mut self.workspace, &touched) {
            let version = self.workspace.open.get(&path).map(|it| it.version);
            let nothing = Vec::new();
            let before = self.published.get(&path).unwrap_or(&nothing);
            if *before == diagnostics && version.is_none() {
                continue;
            }
            let Some(uri) = convert::uri(&path) else { continue };
            let params = PublishDiagnosticsParams { uri, diagnostics: diagnostics.clone(), version };
            let method = "textDocument/publishDiagnostics".to_owned();
            let message = Message::Notification(Notification::new(method, params));
            let _ = messages::write(&mut self.output, &message);
            self.published.insert(path, diagnostics);
        }
        self.published.retain(|_, it| !it.is_empty());
        self.workspace.tidy();
    }
}

/// What this server can do.
fn capabilities(units: Units) -> ServerCapabilities {
    ServerCapabilities {
        position_encoding: Some(match units {
            Units::Utf8 => PositionEncodingKind::UTF8,
            Units::Utf16 => PositionEncodingKind::UTF16,
        }),
        text_document_sync: Some(TextDocumentSyncCapability::Kind(TextDocumentSyncKind::INCREMENTAL)),
        hover_provider: Some(HoverProviderCapability::Simple(true)),
        completion_provider: Some(CompletionOptions {
            trigger_characters: Some(["=", "(", ",", ".", ":"].map(str::to_owned).into()),
            ..CompletionOptions::default()
        }),
        definition_provider: Some(OneOf::Left(true)),
        references_provider: Some(OneOf::Left(true)),
        rename_provider: Some(OneOf::Right(RenameOptions {
            prepare_provider: Some(true),
            work_done_progress_options: WorkDoneProgressOptions::default(),
        })),
        document_symbol_provider: Some(OneOf::Left(true)),
        workspace_symbol_provider: Some(OneOf::Left(true)),
        folding_range_provider: Some(FoldingRangeProviderCapability::Simple(true)),
        code_action_provider: Some(CodeActionProviderCapability::Simple(true)),
        code_lens_provider: Some(CodeLensOptions { resolve_provider: Some(false) }),
        document_formatting_provider: Some(OneOf::Left(true)),
        inlay_hint_provider: Some(OneOf::Left(true)),
        semantic_tokens_provider: Some(
            SemanticTokensOptions {
                legend: SemanticTokensLegend { token_types: tokens::TYPES.to_vec(), token_modifiers: Vec::new() },
                full: Some(SemanticTokensFullOptions::Bool(true)),
                ..SemanticTokensOptions::default()
            }
            .into(),
        ),
        ..ServerCapabilities::default()
    }
}
