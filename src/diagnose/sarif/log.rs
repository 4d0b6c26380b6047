//! The part of SARIF 2.1.0 that a check fills, field for field as the standard names them.

use indexmap::IndexMap;
use serde::Serialize;

/// The standard's own schema.
pub(super) const SCHEMA: &str =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

#[derive(Serialize)]
pub(super) struct Log {
    #[serde(rename = "$schema")]
    pub schema: &'static str,
    pub version: &'static str,
    pub runs: [Run; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Run {
    pub tool: Tool,
    pub invocations: [Invocation; 1],
    pub original_uri_base_ids: IndexMap<String, Base>,
    pub column_kind: &'static str,
    pub newline_sequences: [&'static str; 3],
    pub results: Vec<SarifResult>,
}

#[derive(Serialize)]
pub(super) struct Tool {
    pub driver: Driver,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Driver {
    pub name: &'static str,
    pub semantic_version: &'static str,
    pub rules: Vec<Rule>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Rule {
    pub id: String,
    pub short_description: Text,
    pub help: Help,
}

/// The same words for a reader that shows Markdown and one that does not.
#[derive(Serialize)]
pub(super) struct Help {
    pub text: String,
    pub markdown: String,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Invocation {
    pub execution_successful: bool,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub tool_execution_notifications: Vec<Notification>,
}

#[derive(Serialize)]
pub(super) struct Notification {
    pub level: &'static str,
    pub message: Text,
    pub locations: [Location; 1],
}

#[derive(Serialize)]
pub(super) struct Base {
    pub description: Text,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct SarifResult {
    pub rule_id: String,
    pub rule_index: usize,
    pub level: &'static str,
    pub message: Text,
    pub locations: Vec<Location>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub related_locations: Vec<Location>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub fixes: Vec<Fix>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub properties: Option<Properties>,
}

/// What the standard has no field for.
#[derive(Serialize)]
pub(super) struct Properties {
    pub builds: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub joint: Option<String>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Location {
    pub physical_location: PhysicalLocation,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub message: Option<Text>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct PhysicalLocation {
    pub artifact_location: ArtifactLocation,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub region: Option<Region>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct ArtifactLocation {
    pub uri: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub uri_base_id: Option<String>,
}

/// A stretch; lines and columns from 1, the end is the column behind it.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Region {
    pub start_line: usize,
    pub start_column: usize,
    pub end_line: usize,
    pub end_column: usize,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Fix {
    pub description: Text,
    pub artifact_changes: [ArtifactChange; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct ArtifactChange {
    pub artifact_location: ArtifactLocation,
    pub replacements: [Replacement; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Replacement {
    pub deleted_region: Region,
    pub inserted_content: Text,
}

#[derive(Serialize)]
pub(super) struct Text {
    pub text: String,
}
