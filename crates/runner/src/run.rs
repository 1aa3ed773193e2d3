//! The whole run: which checks, in parallel, in stable order.

use std::collections::BTreeMap;

use check::audit::{self, Audit, AuditInput, AuditState, Fault, Note, SourceFile, Summary, Units};
use check::finding::Where;
use check::{Check, Context, Detail, Finding, Registry, Verdict};
use quantity::{Num, Z95};
use rayon::prelude::*;
use rig_model::Free;
use rig_model::model;

use crate::{excuse, guard, next, prove, views};

/// What to do with a rig.
#[derive(Clone, Debug)]
pub struct Orders {
    /// Ids of checks or names of trades to run; all where empty.
    pub only: Vec<String>,
    /// The one state to look at; all where none.
    pub state: Option<String>,
    /// Whether to look for ways out.
    pub remedies: bool,
    /// How much of the findings is wanted; pictures of the whole rig come with everything.
    pub detail: Detail,
    /// Number of threads; the machine's where none.
    pub threads: Option<usize>,
}

/// What the audit says of the run itself.
#[derive(Clone, Debug)]
pub struct Stamp {
    /// The rig file, as it was named.
    pub file: String,
    /// Files the answer rests on.
    pub sources: Vec<SourceFile>,
    /// Version of the program.
    pub version: String,
}

/// Runs the checks over a rig that was read without problems.
#[must_use]
pub fn run(registry: &Registry, context: Context, orders: &Orders, stamp: Stamp) -> Audit {
    let pool = orders.threads.and_then(|threads| rayon::ThreadPoolBuilder::new().num_threads(threads.max(1)).build().ok());
    match pool {
        Some(pool) => pool.install(|| collect(registry, context, orders, stamp)),
        None => collect(registry, context, orders, stamp),
    }
}

fn collect(registry: &Registry, context: Context, orders: &Orders, stamp: Stamp) -> Audit {
    let context = context.with_remedies(orders.remedies).only_state(orders.state.as_deref()).in_detail(orders.detail);
    let checks: Vec<&dyn Check> =
        registry.checks().iter().map(AsRef::as_ref).filter(|check| wanted(*check, &orders.only)).collect();
    let (mut findings, faults) = ask_all(&checks, &context);
    let excused = excuse::excuse(&context, &mut findings, orders);
    if orders.remedies {
        // What could not run has no say in what the others propose.
        let ran = |check: &&dyn Check| faults.iter().all(|fault| fault.check != check.card().id);
        let able: Vec<&dyn Check> = checks.iter().copied().filter(ran).collect();
        prove::prove(&able, &context, &mut findings);
    }
    let exhibits = if orders.detail == Detail::Everything { views::all(&context, &mut findings) } else { Vec::new() };
    // One path mostly stands for several states.
    let mut places: BTreeMap<String, Where> = BTreeMap::new();
    for finding in &mut findings {
        let place = places.entry(finding.path.clone()).or_insert_with(|| {
            let (place, path) = context.document().nearest_place(&finding.path);
            Where { line: place.line, column: place.column, path }
        });
        finding.place = place.clone();
    }
    let mut notes = remarks(&context, &findings);
    notes.extend(unread_tables(&context, registry));
    notes.extend(excused);
    let rig = context.rig();
    let audit = Audit {
        format: audit::FORMAT.to_owned(),
        rig: rig.rig.clone(),
        file: stamp.file,
        sources: stamp.sources,
        version: stamp.version,
        date: context.today().to_string(),
        codes: context.codes().to_vec(),
        units: if rig.units == Some(model::Units::Us) { Units::Us } else { Units::Metric },
        states: states(&context),
        summary: summary(&findings),
        measure_next: next::measurements(&findings),
        inputs: inputs(&context),
        findings,
        faults,
        notes,
        exhibits,
        baseline: None,
        errors: Vec::new(),
    };
    // Taking down the copies that were tried takes a while, and nobody waits for it.
    rayon::spawn(move || drop(context));
    audit
}

/// Whether a check is among those asked for, by its id or by its trade.
fn wanted(check: &dyn Check, only: &[String]) -> bool {
    only.is_empty() || only.iter().any(|word| *word == check.card().id || word == check.card().trade())
}

/// Asks every check; findings in the order of the checks, whatever the number of threads.
pub(crate) fn ask_all(checks: &[&dyn Check], context: &Context) -> (Vec<Finding>, Vec<Fault>) {
    let answers: Vec<Result<Vec<Finding>, String>> =
        checks.par_iter().with_max_len(1).map(|check| guard::guarded(|| ask(*check, context)).flatten()).collect();
    let all = answers.iter().flatten().map(Vec::len).sum();
    let (mut findings, mut faults) = (Vec::with_capacity(all), Vec::new());
    for (check, answer) in checks.iter().zip(answers) {
        match answer {
            Ok(answer) => findings.extend(answer),
            Err(text) => faults.push(Fault { check: check.card().id.to_string(), text }),
        }
    }
    (findings, faults)
}

fn ask(check: &dyn Check, context: &Context) -> Result<Vec<Finding>, String> {
    let card = check.card();
    let without = context.rig().without.iter().any(|trade| trade.word() == card.trade());
    if without {
        let sentence = format!("the rig says it is without {}", card.trade());
        return Ok(vec![card.about(context, card.trade().to_owned()).at("without").not_applicable(sentence)]);
    }
    check.try_run(context)
}

fn states(context: &Context) -> Vec<AuditState> {
    let all = context.facts().states().iter();
    all.map(|state| AuditState { name: state.name.clone(), kind: state.kind.word().to_owned(), made: state.made }).collect()
}

fn inputs(context: &Context) -> Vec<AuditInput> {
    let all = context.facts().inputs().iter();
    all.map(|input| {
        // Hard bounds end where they end: root three standard deviations from the middle.
        let reach = input.sd * if input.even { f64::sqrt(3.0) } else { Z95 };
        AuditInput {
            path: input.path.clone(),
            value: Num(input.value),
            unit: input.dimension.si_unit().to_owned(),
            how: input.how.word().to_owned(),
            low: Num(input.value - reach),
            high: Num(input.value + reach),
        }
    })
    .collect()
}

/// Counts by verdict.
fn summary(findings: &[Finding]) -> Summary {
    let count = |verdict| findings.iter().filter(|finding| finding.verdict == verdict).count();
    let memory = |finding: &&Finding| {
        let counts = !matches!(finding.verdict, Verdict::NotApplicable | Verdict::Missing);
        counts
            && finding
                .basis
                .as_ref()
                .is_some_and(|basis| basis.known == basis::Known::FromMemory && basis.kind != basis::BasisKind::CommonPractice)
    };
    Summary {
        answers: findings.len(),
        pass: count(Verdict::Pass),
        fail: count(Verdict::Fail),
        unsettled: count(Verdict::Unsettled),
        missing: count(Verdict::Missing),
        not_applicable: count(Verdict::NotApplicable),
        accepted: findings.iter().filter(|finding| finding.accepted.is_some()).count(),
        from_memory: findings.iter().filter(memory).count(),
    }
}

/// The owner's own tables that no check reads, where the owner has checks of his own: a slip in a name; and what names
/// files beside the rig and stands in such a table, where it names nothing.
fn unread_tables(context: &Context, registry: &Registry) -> Vec<Note> {
    let rig = context.rig();
    let read = |name: &str| registry.checks().iter().any(|check| check.card().name() == name);
    let mut notes = Vec::new();
    for (name, table) in &rig.custom {
        let path = format!("custom.{}", rig_model::path::quote_key(name));
        let (place, found) = context.document().nearest_place(&path);
        let mut note = |text: String| {
            let place = Some(Where { line: place.line, column: place.column, path: found.clone() });
            notes.push(Note { id: "custom-unread".to_owned(), text, place });
        };
        if let Free::Table(keys) = table {
            for key in ["scripts", "parts"].into_iter().filter(|key| keys.contains_key(*key)) {
                note(format!("{key} stands inside [{path}] and names nothing there; move it above the first [table]"));
            }
        }
        if rig.scripts.is_some() && !read(name) {
            note(format!("no check reads [{path}]; its name is that of a check without its trade"));
        }
    }
    notes
}

/// What is worth saying beside the answers.
fn remarks(context: &Context, findings: &[Finding]) -> Vec<Note> {
    let mut notes = Vec::new();
    let mut note = |id: &str, text: String, path: Option<&str>| {
        let place = path.map(|path| {
            let (place, path) = context.document().nearest_place(path);
            Where { line: place.line, column: place.column, path }
        });
        notes.push(Note { id: id.to_owned(), text, place });
    };
    let facts = context.facts();
    if facts.states().iter().any(|state| state.made) {
        let names: Vec<&str> = facts.states().iter().map(|state| state.name.as_str()).collect();
        note("states-made", format!("the file names no states; {} were made from what it has", names.join(", ")), None);
    }
    if context.rig().codes.is_empty() {
        note("codes-chosen", format!("the file chooses no limits; {} is taken", context.codes().join(", ")), None);
    }
    for (path, gap) in &facts.tickets().unused {
        let why = if gap.why.is_empty() { format!("{} is wanted first", gap.path) } else { gap.why.clone() };
        note("ticket-unused", format!("this ticket is not taken in: {why}"), Some(path));
    }
    if !facts.tickets().list.is_empty() && !facts.tickets().adopted {
        note(
            "tickets-disagree",
            "the tickets and the list of masses disagree; the list is used as it is until that is settled".to_owned(),
            Some("weighing"),
        );
    }
    for (text, path) in facts.power().remarks() {
        note("weather", text, Some(path));
    }
    for (trade, waits) in check::audit::trades_not_told(findings) {
        let wait = if waits == 1 { "1 answer waits".to_owned() } else { format!("{waits} answers wait") };
        note("trade-not-told", format!("{trade}: nothing told yet; {wait}"), None);
    }
    notes
}
