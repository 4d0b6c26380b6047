//! Each request to the file that answers it.

use super::workspace::Workspace;
use super::{actions, completion, convert, folding, formatting, hover, inlay, lens, navigate, rename, symbols, tokens};
use lsp_server::ErrorCode;
use lsp_types::*;
use serde::de::DeserializeOwned;
use serde_json::Value;

/// Why a request has no answer: a code of the protocol, and words.
pub type Refusal = (i32, String);

/// Answers a request.
pub fn answer(workspace: &mut Workspace, method: &str, params: Value) -> Result<Value, Refusal> {
    match method {
        "textDocument/hover" => {
            let it: HoverParams = read(params)?;
            let at = it.text_document_position_params;
            written(hover::hover(workspace, &path(&at.text_document), at.position))
        }
        "textDocument/completion" => {
            let it: CompletionParams = read(params)?;
            let at = it.text_document_position;
            written(completion::completion(workspace, &path(&at.text_document), at.position))
        }
        "textDocument/definition" => {
            let it: GotoDefinitionParams = read(params)?;
            let at = it.text_document_position_params;
            written(navigate::definition(workspace, &path(&at.text_document), at.position))
        }
        "textDocument/references" => {
            let it: ReferenceParams = read(params)?;
            let at = it.text_document_position;
            let declarations = it.context.include_declaration;
            written(navigate::references(workspace, &path(&at.text_document), at.position, declarations))
        }
        "textDocument/prepareRename" => {
            let it: TextDocumentPositionParams = read(params)?;
            written(rename::prepare(workspace, &path(&it.text_document), it.position).ok())
        }
        "textDocument/rename" => {
            let it: RenameParams = read(params)?;
            let at = it.text_document_position;
            let edit = rename::rename(workspace, &path(&at.text_document), at.position, &it.new_name);
            written(edit.map_err(|words| (ErrorCode::RequestFailed as i32, words))?)
        }
        "textDocument/codeAction" => {
            let it: CodeActionParams = read(params)?;
            written(actions::actions(workspace, &path(&it.text_document), it.range))
        }
        "textDocument/documentSymbol" => {
            let it: DocumentSymbolParams = read(params)?;
            written(symbols::of_file(workspace, &path(&it.text_document)))
        }
        "workspace/symbol" => {
            let it: WorkspaceSymbolParams = read(params)?;
            written(symbols::of_project(workspace, &it.query))
        }
        "textDocument/foldingRange" => {
            let it: FoldingRangeParams = read(params)?;
            written(workspace.text(&path(&it.text_document)).map(|text| folding::folding(&text)))
        }
        "textDocument/semanticTokens/full" => {
            let it: SemanticTokensParams = read(params)?;
            let data = tokens::tokens(workspace, &path(&it.text_document));
            written(SemanticTokens { result_id: None, data })
        }
        "textDocument/inlayHint" => {
            let it: InlayHintParams = read(params)?;
            let inches = workspace.inches;
            written(inlay::hints(workspace, &path(&it.text_document), it.range, inches))
        }
        "textDocument/codeLens" => {
            let it: CodeLensParams = read(params)?;
            written(lens::lenses(workspace, &path(&it.text_document)))
        }
        "textDocument/formatting" => {
            let it: DocumentFormattingParams = read(params)?;
            let units = workspace.units_of_text;
            written(workspace.text(&path(&it.text_document)).map(|text| formatting::formatting(&text, units)))
        }
        _ => Err((ErrorCode::MethodNotFound as i32, format!("`{method}` is not known here"))),
    }
}

fn path(document: &TextDocumentIdentifier) -> String {
    convert::path(&document.uri)
}

/// Parameters as the protocol has them.
pub fn read<T: DeserializeOwned>(params: Value) -> Result<T, Refusal> {
    serde_json::from_value(params).map_err(|error| (ErrorCode::InvalidParams as i32, error.to_string()))
}

fn written(result: impl serde::Serialize) -> Result<Value, Refusal> {
    serde_json::to_value(result).map_err(|error| (ErrorCode::InternalError as i32, error.to_string()))
}
