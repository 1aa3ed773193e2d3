//! Acceptances and replaced limits, and those that touch nothing or are past their date.

use check::audit::Note;
use check::finding::{Accepted, Where};
use check::{Context, Day, Finding, Verdict};
use quantity::{Dimension, System};
use rig_facts::forgotten::Forgotten;
use rig_model::model::{Accept, Units, Until};

use crate::run::Orders;

/// Marks what the owner accepts. Gives a note for each acceptance and each replaced limit that touches nothing, and for
/// each acceptance past its date. With a part of the checks or states left out, silence proves nothing: no such notes.
pub(crate) fn excuse(context: &Context, findings: &mut [Finding], orders: &Orders) -> Vec<Note> {
    let mut notes = Vec::new();
    let whole = orders.only.is_empty() && orders.state.is_none();
    let mut forgotten = if whole { context.facts().forgotten(context.rig()) } else { Vec::new() };
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
        if accept.check == FORGOTTEN {
            let before = forgotten.len();
            forgotten.retain(|piece| accept.about.as_ref().is_some_and(|about| about != piece.name));
            touched = forgotten.len() < before;
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
    if !forgotten.is_empty() {
        notes.push(note(context, FORGOTTEN, absent_pieces(context, &forgotten), "mass"));
    }
    notes
}

/// The word by which usual pieces that the file does not show are named, and accepted as not aboard.
const FORGOTTEN: &str = "forgotten";

/// "windows and glass 18 to 70 kg, cable 11 to 33 kg": each once, with what it tends to add.
fn absent_pieces(context: &Context, pieces: &[Forgotten]) -> String {
    let us = context.rig().units == Some(Units::Us);
    let system = if us { System::Us } else { System::Metric };
    let mass = |kg: f64, low: f64, high: f64| quantity::show(kg, Dimension::Mass, system, Some((high - low) / 2.0));
    let range = |low: f64, high: f64| {
        let (from, to) = (mass(low, low, high), mass(high, low, high));
        let unit = to.rsplit_once(' ').map_or("", |(_, unit)| unit);
        format!("{} to {to}", from.strip_suffix(unit).unwrap_or(&from).trim_end())
    };
    let each: Vec<String> = pieces.iter().map(|piece| format!("{} {}", piece.name, range(piece.low, piece.high))).collect();
    let [low, high] =
        [|piece: &Forgotten| piece.low, |piece: &Forgotten| piece.high].map(|end| pieces.iter().map(end).sum::<f64>());
    format!(
        "usually on board and not in the file: {}; all together {}. `rigproof add forgotten FILE` prints lines for them; an \
         [[accept]] of \"forgotten\" says that they are not aboard",
        each.join(", "),
        range(low, high)
    )
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
