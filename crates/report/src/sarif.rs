//! The audit as SARIF 2.1.0, one run a rig file.
//!
//! Every finding is a result, every check that answers a rule. A check that could not run, a problem of the rig file and
//! a remark are notifications of the invocation.

mod rules;
mod shape;

use std::collections::BTreeMap;

use check::audit::{InputError, Note, SourceFile};
use check::finding::Where;
use check::{Audit, Card, Finding};
use serde_json::{Value, json};

use crate::machine::{self, Level, Standing};
use crate::text::clean;
use rules::Rules;
use shape::{
    Artifact, ArtifactLocation, Descriptor, Details, Driver, Id, Invocation, Location, Log, LogicalLocation, Notification,
    PhysicalLocation, Region, Run, SarifResult, Suppression, Text, Tool,
};

/// Version of the form.
const VERSION: &str = "2.1.0";
/// Where the form's schema is published.
const SCHEMA: &str = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";
/// Name of the one fingerprint that each result has. Another way to make it gets another number.
const FINGERPRINT: &str = "findingKey/v1";
/// Kinds of notifications that are no remark of the audit.
const FAULT: &str = "fault";
const INPUT_ERROR: &str = "input-error";

/// All audits as one document. `cards` are what checks say of themselves; a check without a card is a rule with a name
/// and no more. `strict`: what is unsettled or missing fails.
#[must_use]
pub fn render(audits: &[Audit], cards: &[&Card], strict: bool) -> String {
    let runs = audits.iter().map(|audit| run(audit, cards, strict)).collect();
    crate::json::pretty(&Log { schema: SCHEMA, version: VERSION, runs })
}

fn run<'a>(audit: &'a Audit, cards: &[&'a Card], strict: bool) -> Run<'a> {
    let rules = Rules::of(audit, cards);
    // On all results of a run or on none.
    let excused = audit.findings.iter().any(|finding| finding.accepted.is_some());
    Run {
        tool: Tool {
            driver: Driver {
                name: "rigproof",
                version: &audit.version,
                rules: rules.descriptors(&audit.file),
                notifications: kinds(audit),
            },
        },
        automation_details: Details { id: format!("rigproof/{}/", machine::address(&audit.file)) },
        invocations: [invocation(audit)],
        artifacts: artifacts(audit),
        column_kind: "unicodeCodePoints",
        results: audit.findings.iter().map(|finding| result(audit, finding, &rules, excused, strict)).collect(),
        properties: json!({
            "rig": clean(&audit.rig),
            "date": audit.date,
            "codes": audit.codes,
            "units": audit.units,
            "summary": audit.summary,
            "baseline": audit.baseline,
        }),
    }
}

fn result(audit: &Audit, finding: &Finding, rules: &Rules<'_>, excused: bool, strict: bool) -> SarifResult {
    // A level other than none is for what fails alone.
    let (kind, level) = match Standing::of(finding, strict) {
        Standing::Fails(loud) => ("fail", level(loud)),
        Standing::Open => ("open", "none"),
        Standing::Holds => ("pass", "none"),
        Standing::NotAsked => ("notApplicable", "none"),
    };
    let suppression = |accepted| Suppression { kind: "inSource", justification: machine::accepted(accepted) };
    SarifResult {
        rule_id: finding.check.clone(),
        rule_index: rules.index(&finding.check),
        kind,
        level,
        message: Text { text: machine::message(finding, machine::numbers(audit)) },
        locations: [location(&audit.file, &finding.place, Some(&finding.path))],
        partial_fingerprints: BTreeMap::from([(FINGERPRINT, fingerprint(finding))]),
        suppressions: excused.then(|| finding.accepted.iter().map(suppression).collect()),
        baseline_state: finding.since.map(|since| match (since.was, since.changed) {
            (None, _) => "new",
            (_, true) => "updated",
            (_, false) => "unchanged",
        }),
        properties: properties(finding),
    }
}

fn level(loud: Level) -> &'static str {
    match loud {
        Level::Error => "error",
        Level::Warning => "warning",
        Level::Note => "note",
    }
}

/// The key and nothing else, so that an edit above does not make an old finding new.
fn fingerprint(finding: &Finding) -> String {
    let (check, path, case, state) = finding.key();
    json!([check, path, case, state]).to_string()
}

fn properties(finding: &Finding) -> Value {
    let measure = |measure: &Option<check::Measure>| {
        let figure = machine::figure;
        measure
            .as_ref()
            .map(|m| json!({ "value": figure(m.value), "low": figure(m.low), "high": figure(m.high), "unit": m.unit }))
    };
    json!({
        "verdict": finding.verdict.word(),
        "consequence": finding.consequence.word(),
        "about": clean(&finding.about),
        "case": finding.case.as_deref().map(clean),
        "state": finding.state.as_deref().map(clean),
        "demand": measure(&finding.demand),
        "capacity": measure(&finding.capacity),
        "margin": measure(&finding.margin),
        "utilisation": finding.utilisation.and_then(machine::figure),
        "basis": finding.basis.as_ref().map(|basis| clean(&basis.line())),
        "worse": finding.since.map(|since| since.worse),
    })
}

fn location(file: &str, place: &Where, path: Option<&str>) -> Location {
    let region = (place.line > 0).then_some(Region { start_line: place.line, start_column: place.column.max(1) });
    Location {
        physical_location: PhysicalLocation { artifact_location: ArtifactLocation { uri: machine::address(file) }, region },
        logical_locations: path.map(|path| [LogicalLocation { fully_qualified_name: clean(path) }]),
    }
}

fn artifacts(audit: &Audit) -> Vec<Artifact> {
    let hashes = |sha256: &str| BTreeMap::from([("sha-256", sha256.to_owned())]);
    let artifact = |source: &SourceFile| Artifact {
        location: ArtifactLocation { uri: machine::address(&source.path) },
        hashes: hashes(&source.sha256),
    };
    audit.sources.iter().map(artifact).collect()
}

fn invocation(audit: &Audit) -> Invocation {
    let errors = audit.errors.iter().map(|error| input_error(audit, error));
    let faults = audit.faults.iter().map(|fault| Notification {
        descriptor: Id { id: FAULT.to_owned() },
        associated_rule: Some(Id { id: fault.check.clone() }),
        level: "error",
        message: Text { text: clean(&format!("{} could not run: {}", fault.check, fault.text)) },
        locations: None,
    });
    let notes = audit.notes.iter().map(|note| remark(audit, note));
    Invocation {
        execution_successful: audit.errors.is_empty() && audit.faults.is_empty(),
        tool_execution_notifications: errors.chain(faults).chain(notes).collect(),
    }
}

fn input_error(audit: &Audit, error: &InputError) -> Notification {
    let place = Where { line: error.line, column: error.column, path: String::new() };
    Notification {
        descriptor: Id { id: INPUT_ERROR.to_owned() },
        associated_rule: None,
        level: "error",
        message: Text { text: machine::error(error) },
        locations: Some([location(&audit.file, &place, None)]),
    }
}

fn remark(audit: &Audit, note: &Note) -> Notification {
    Notification {
        descriptor: Id { id: note.id.clone() },
        associated_rule: None,
        level: "note",
        message: Text { text: clean(&note.text) },
        locations: note.place.as_ref().map(|place| [location(&audit.file, place, None)]),
    }
}

/// The kinds of notifications that this run has, sorted.
fn kinds(audit: &Audit) -> Vec<Descriptor> {
    let mut ids: Vec<&str> = audit.notes.iter().map(|note| note.id.as_str()).collect();
    ids.extend((!audit.faults.is_empty()).then_some(FAULT));
    ids.extend((!audit.errors.is_empty()).then_some(INPUT_ERROR));
    ids.sort_unstable();
    ids.dedup();
    ids.into_iter().map(Descriptor::named).collect()
}

#[cfg(test)]
mod tests;
