//! The objects of SARIF that an audit needs, with the names and the order they are written in.

use std::collections::BTreeMap;

use serde::Serialize;
use serde_json::Value;

#[derive(Debug, Serialize)]
pub(super) struct Log<'a> {
    #[serde(rename = "$schema")]
    pub(super) schema: &'static str,
    pub(super) version: &'static str,
    pub(super) runs: Vec<Run<'a>>,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Run<'a> {
    pub(super) tool: Tool<'a>,
    pub(super) automation_details: Details,
    pub(super) invocations: [Invocation; 1],
    pub(super) artifacts: Vec<Artifact>,
    pub(super) column_kind: &'static str,
    pub(super) results: Vec<SarifResult>,
    pub(super) properties: Value,
}

#[derive(Debug, Serialize)]
pub(super) struct Tool<'a> {
    pub(super) driver: Driver<'a>,
}

#[derive(Debug, Serialize)]
pub(super) struct Driver<'a> {
    pub(super) name: &'static str,
    pub(super) version: &'a str,
    pub(super) rules: Vec<Descriptor>,
    pub(super) notifications: Vec<Descriptor>,
}

/// A rule, or a kind of notification.
#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Descriptor {
    pub(super) id: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) short_description: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) full_description: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) help: Option<Text>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) default_configuration: Option<Configuration>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) properties: Option<Value>,
}

impl Descriptor {
    /// One of which nothing but the name is known.
    pub(super) fn named(id: &str) -> Self {
        Self {
            id: id.to_owned(),
            short_description: None,
            full_description: None,
            help: None,
            default_configuration: None,
            properties: None,
        }
    }
}

#[derive(Debug, Serialize)]
pub(super) struct Configuration {
    pub(super) level: &'static str,
}

#[derive(Debug, Serialize)]
pub(super) struct Details {
    pub(super) id: String,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Invocation {
    pub(super) execution_successful: bool,
    pub(super) tool_execution_notifications: Vec<Notification>,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Notification {
    pub(super) descriptor: Id,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) associated_rule: Option<Id>,
    pub(super) level: &'static str,
    pub(super) message: Text,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) locations: Option<[Location; 1]>,
}

#[derive(Debug, Serialize)]
pub(super) struct Id {
    pub(super) id: String,
}

#[derive(Debug, Serialize)]
pub(super) struct Text {
    pub(super) text: String,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct SarifResult {
    pub(super) rule_id: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) rule_index: Option<usize>,
    pub(super) kind: &'static str,
    pub(super) level: &'static str,
    pub(super) message: Text,
    pub(super) locations: [Location; 1],
    pub(super) partial_fingerprints: BTreeMap<&'static str, String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) suppressions: Option<Vec<Suppression>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) baseline_state: Option<&'static str>,
    pub(super) properties: Value,
}

#[derive(Debug, Serialize)]
pub(super) struct Suppression {
    pub(super) kind: &'static str,
    pub(super) justification: String,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Location {
    pub(super) physical_location: PhysicalLocation,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) logical_locations: Option<[LogicalLocation; 1]>,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct PhysicalLocation {
    pub(super) artifact_location: ArtifactLocation,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) region: Option<Region>,
}

#[derive(Debug, Serialize)]
pub(super) struct ArtifactLocation {
    pub(super) uri: String,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Region {
    pub(super) start_line: u32,
    pub(super) start_column: u32,
}

#[derive(Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct LogicalLocation {
    pub(super) fully_qualified_name: String,
}

#[derive(Debug, Serialize)]
pub(super) struct Artifact {
    pub(super) location: ArtifactLocation,
    pub(super) hashes: BTreeMap<&'static str, String>,
}
