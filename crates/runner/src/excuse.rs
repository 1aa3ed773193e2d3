//! Acceptances and replaced limits, and those that touch nothing or are past their date.

use check::audit::Note;
use check::finding::{Accepted, Where};
use check::{Context, Day, Finding, Verdict};
use rig_model::model::{Accept, Until};

use crate::run::Orders;

/// Marks what the owner accepts. Gives a note for each acceptance and each replaced limit that touches nothing, and for
/// each acceptance past its date. With a part of the checks or states left out, silence proves nothing: no such notes.
pub(crate) fn excuse(context: &Context, findings: &mut [Finding], orders: &Orders) -> Vec<Note> {
    let mut notes = Vec::new();
    let whole = orders.only.is_empty() && orders.state.is_none();
    for (index, accept) in context.rig().accept.iter().enumerate() {
        let path = format!("accept[{}]", index + 1);
        if let Some(day) = past(accept, context.today()) {
            notes.push(note(context, "accept-past", format!("the acceptance of {} ended on {day}", accept.check), &path));
            continue;
        }
        let mut touched = false;
        for finding in findings.iter_mut().filter(|finding| meets(accept, finding)) {
            touched = true;
            finding.accepted = Some(Accepted { why: accept.why.clone(), until: accept.until.as_ref().map(until_text) });
        }
        if !touched && whole {
            let text = format!("the acceptance of {} touches nothing that fails, is unsettled or missing", accept.check);
            notes.push(note(context, "accept-unused", text, &path));
        }
    }
    for (index, limit) in context.rig().limit.iter().enumerate() {
        let used = findings.iter().any(|finding| {
            finding.replaced.as_ref().is_some_and(|replaced| replaced.limit.ends_with(&format!(": {}", limit.id)))
        });
        if !used && whole {
            let text = format!("the limit {} is replaced and governs no answer", limit.id);
            notes.push(note(context, "limit-unused", text, &format!("limit[{}]", index + 1)));
        }
    }
    notes
}

fn past(accept: &Accept, today: Day) -> Option<String> {
    match &accept.until {
        Some(Until::Day(day)) if day.0.to_string() < today.to_string() => Some(day.0.to_string()),
        _ => None,
    }
}

fn until_text(until: &Until) -> String {
    match until {
        Until::Day(day) => day.0.to_string(),
        Until::Event(event) => event.clone(),
    }
}

fn meets(accept: &Accept, finding: &Finding) -> bool {
    let same = |wanted: &Option<String>, is: Option<&str>| wanted.as_ref().is_none_or(|wanted| Some(wanted.as_str()) == is);
    let about = accept.about.as_ref().is_none_or(|about| *about == finding.about || *about == finding.path);
    matches!(finding.verdict, Verdict::Fail | Verdict::Unsettled | Verdict::Missing)
        && accept.check == finding.check
        && about
        && same(&accept.state, finding.state.as_deref())
        && same(&accept.case, finding.case.as_deref())
}

fn note(context: &Context, id: &str, text: String, path: &str) -> Note {
    let (place, path) = context.document().nearest_place(path);
    Note { id: id.to_owned(), text, place: Some(Where { line: place.line, column: place.column, path }) }
}
