//! Which single reading settles most answers.
//!
//! Every input that findings wait for, every `"?"`, and every stated value that a reading would know better is told to a
//! copy of the file, one at a time, and every check is asked again. What is claimed of a reading is what came of that.

use std::collections::{BTreeMap, BTreeSet};

use check::asking::{Asked, Asking, Expected as Comes, Tell};
use check::audit::Units;
use check::exhibit::Span;
use check::{Audit, Consequence, Context, Detail, Finding, Registry, Verdict};
use quantity::{Dimension, How, Num, System, Z95, show_exact};
use rayon::prelude::*;
use rig_facts::ask::{Ask, Expected, Place, ask as way, ask_as, places, walk};
use rig_facts::tables::how_to_get;
use rig_model::model::Fill;
use rig_model::{Edit, EditOp, Free, path};

use crate::told::{audit, setting, told};

/// Says what to find out next.
#[must_use]
pub fn ask(registry: &Registry, context: &Context) -> Asking {
    let before = audit(registry, context.clone(), Detail::Report);
    let open: Vec<&Finding> = before.findings.iter().filter(|finding| is_open(finding)).collect();
    let mut candidates = absent(context, &open);
    // Of what is missing a better reading of something else settles nothing; without a doubt there is nothing to settle.
    if open.iter().any(|finding| finding.verdict == Verdict::Unsettled) {
        candidates.extend(doubtful(context));
    }
    let tried: Vec<(Asked, bool)> =
        candidates.par_iter().map(|candidate| (candidate.asked(registry, context, &open), candidate.now.is_none())).collect();
    let mut next: Vec<Asked> =
        tried.iter().map(|(asked, _)| asked).filter(|asked| asked.settles + asked.waits > 0).cloned().collect();
    // Where nothing can be judged yet, no single number settles much: what most answers wait for comes first.
    let judged = |finding: &Finding| matches!(finding.verdict, Verdict::Pass | Verdict::Fail | Verdict::Unsettled);
    let at_the_beginning = !before.findings.iter().any(judged);
    next.sort_by(|a, b| {
        let consequence = |asked: &Asked| asked.consequence.map_or(usize::MAX, |consequence| consequence as usize);
        let first = |asked: &Asked| if at_the_beginning { asked.waits } else { asked.settles };
        first(b)
            .cmp(&first(a))
            .then_with(|| consequence(a).cmp(&consequence(b)))
            .then_with(|| a.stop.cmp(&b.stop))
            .then_with(|| a.path.cmp(&b.path))
    });
    let mut round: Vec<Asked> = tried.into_iter().filter(|(_, absent)| *absent).map(|(asked, _)| asked).collect();
    round.sort_by(|a, b| a.stop.cmp(&b.stop).then_with(|| a.path.cmp(&b.path)));
    let units = if context.rig().units == Some(rig_model::Units::Us) { Units::Us } else { Units::Metric };
    Asking { rig: context.rig().rig.clone(), units, open: open.len(), next, round }
}

fn is_open(finding: &Finding) -> bool {
    matches!(finding.verdict, Verdict::Unsettled | Verdict::Missing) && finding.accepted.is_none()
}

/// Whether what was open before is so no longer. Where the subject has become another one (the first low point), the
/// answers to the same question in the same state speak for it.
fn is_settled(before: &Finding, after: &Audit) -> bool {
    if let Some(same) = after.findings.iter().find(|finding| finding.key() == before.key()) {
        return !is_open(same);
    }
    let question = |finding: &&Finding| finding.check == before.check && finding.state == before.state;
    let mut same = after.findings.iter().filter(question).peekable();
    same.peek().is_some() && same.all(|finding| !is_open(finding))
}

/// Something to find out.
struct Candidate {
    path: String,
    /// What the file says, and its dimension; none where it is absent.
    now: Option<(Span, Dimension)>,
    way: Option<&'static Ask>,
    /// What may be told, each choice a list of path and value.
    choices: Vec<Told>,
    /// The same to be filled in.
    write: Vec<Tell>,
}

/// One way to tell it.
struct Told {
    edits: Vec<Edit>,
    tells: Vec<Tell>,
}

impl Candidate {
    fn asked(&self, registry: &Registry, context: &Context, open: &[&Finding]) -> Asked {
        let waits: Vec<&Finding> = open.iter().copied().filter(|finding| waits_for(finding, &self.path)).collect();
        let settled = self.choices.iter().filter_map(|choice| {
            let after = audit(registry, told(registry, context, &choice.edits)?, Detail::Answers);
            let settled: Vec<&Finding> = open.iter().copied().filter(|finding| is_settled(finding, &after)).collect();
            Some((settled, choice))
        });
        // Whatever comes out, no fewer than this.
        let least = settled.min_by_key(|(settled, _)| settled.len());
        let worst = |findings: &[&Finding]| findings.iter().map(|finding| finding.consequence).min();
        let consequence: Option<Consequence> = least.as_ref().and_then(|(settled, _)| worst(settled)).or_else(|| worst(&waits));
        let place = self.way.map_or("desk", |way| place(way, &self.path, context));
        let value = self.now.as_ref().map(|(now, _)| now.value.0).or_else(|| self.way.and_then(middle));
        Asked {
            path: self.path.clone(),
            how: how_to_get(&self.path).to_owned(),
            tool: self.way.map(|way| way.tool.clone()).unwrap_or_default(),
            place: place.to_owned(),
            stand: known(place).map_or(place, |known| &known.stand).to_owned(),
            stop: walk(place),
            careful: known(place).map(|known| known.careful.clone()).filter(|careful| !careful.is_empty()),
            now: self.now.as_ref().map(|(now, _)| now.clone()),
            dimension: self.now.as_ref().map(|(_, dimension)| *dimension).or_else(|| self.way?.dimension()),
            expected: self.way.and_then(comes),
            spread: self.way.zip(value).and_then(|(way, value)| reading(way, value)).map(Num),
            settles: least.as_ref().map_or(0, |(settled, _)| settled.len()),
            tried: least.is_some(),
            waits: waits.len(),
            consequence,
            write: if least.is_some() { self.write.clone() } else { Vec::new() },
            told: least.map(|(_, choice)| choice.tells.clone()).unwrap_or_default(),
            add: self.way.filter(|way| is_table(way, &self.path)).map(|_| self.path.clone()),
        }
    }
}

fn waits_for(finding: &Finding, path: &str) -> bool {
    finding.verdict == Verdict::Missing && finding.needs.iter().any(|need| need.share.is_none() && need.path == path)
}

/// Where one stands: the axle at hand is the front one or another.
fn place(way: &'static Ask, path: &str, context: &Context) -> &'static str {
    if way.place != "axle" {
        return &way.place;
    }
    let first = context.rig().axle.first().map(|axle| format!("axle{}", path::entry(Some(&axle.name), 1)));
    if first.is_some_and(|first| path.starts_with(&first)) { "front axle" } else { "rear axle" }
}

fn known(place: &str) -> Option<&'static Place> {
    places().iter().find(|known| known.name == place)
}

/// Whether the path is a table's own, rather than a key in it that has no way of its own.
fn is_table(way: &Ask, path: &str) -> bool {
    matches!(way.expected, Expected::Entry(_) | Expected::Table) && !path.contains(['.', '['])
}

fn comes(way: &Ask) -> Option<Comes> {
    match &way.expected {
        Expected::Nothing | Expected::Table => None,
        Expected::Quantity { low, high, .. } | Expected::Number { low, high } => Some(Comes::Between(Num(*low), Num(*high))),
        Expected::OneOf(words) => Some(Comes::OneOf(words.clone())),
        Expected::Word(word) => Some(Comes::SuchAs(word.clone())),
        Expected::Entry(_) => None,
    }
}

fn middle(way: &Ask) -> Option<f64> {
    match way.expected {
        Expected::Quantity { low, high, .. } => Some((low + high) / 2.0),
        _ => None,
    }
}

/// Half width of a reading, to two figures: nobody writes more.
fn reading(way: &Ask, value: f64) -> Option<f64> {
    way.spread(value).map(|spread| format!("{spread:.1e}").parse().unwrap_or(spread))
}

/// Inputs that findings name as absent, and every `"?"`.
fn absent(context: &Context, open: &[&Finding]) -> Vec<Candidate> {
    let mut paths: BTreeSet<String> = BTreeSet::new();
    for finding in open.iter().filter(|finding| finding.verdict == Verdict::Missing) {
        paths.extend(finding.needs.iter().filter(|need| need.share.is_none()).map(|need| need.path.clone()));
    }
    context.rig().each_value(&mut |trail, given| {
        if given.value.is_none() {
            paths.insert(trail.path());
        }
    });
    let fills = |at: String, fills: &BTreeMap<String, Fill>| -> Vec<String> {
        let unknown = fills.iter().filter(|(_, fill)| **fill == Fill::Unknown);
        unknown.map(|(tank, _)| format!("{at}.fill.{}", path::quote_key(tank))).collect()
    };
    for (index, state) in context.rig().state.iter().enumerate() {
        paths.extend(fills(path::of("state", &state.name, index), &state.fill));
    }
    for (index, tank) in context.rig().tank.iter().enumerate().filter(|(_, tank)| tank.fill == Some(Fill::Unknown)) {
        paths.insert(format!("{}.fill", path::of("tank", &tank.name, index)));
    }
    paths.into_iter().map(|path| missing(path, context)).collect()
}

fn missing(path: String, context: &Context) -> Candidate {
    let way = way(&path);
    let one = |text: Free, said: String| {
        let edits = vec![setting(context.document(), &path, text).ok()?];
        Some(Told { edits, tells: vec![Tell { path: path.clone(), value: said }] })
    };
    let choices: Vec<Told> = match way.map(|way| (way, &way.expected)) {
        Some((way, Expected::Quantity { dimension, .. })) => {
            let text = middle(way).map(|middle| said(middle, *dimension, way));
            text.and_then(|text| one(Free::from(text.as_str()), text.clone())).into_iter().collect()
        }
        Some((_, Expected::Number { low, high })) => {
            let number = ((low + high) / 2.0).round();
            one(Free::Number(number), number.to_string()).into_iter().collect()
        }
        Some((_, Expected::OneOf(words))) => words.iter().filter_map(|word| one(plain(word), word.clone())).collect(),
        Some((_, Expected::Word(word))) => one(Free::from(word.as_str()), format!("\"{word}\"")).into_iter().collect(),
        Some((_, Expected::Entry(entry))) if way.is_some_and(|way| is_table(way, &path)) => {
            let edit = Edit { path: path.clone(), op: EditOp::Add, from: None, to: Some(entry.clone()) };
            vec![Told { edits: vec![edit], tells: Vec::new() }]
        }
        _ => Vec::new(),
    };
    let value = match way.map(|way| (way, &way.expected)) {
        Some((way, Expected::Quantity { dimension, .. })) => blank(*dimension, way, None, context),
        Some((_, Expected::OneOf(words))) => words.join("|"),
        _ => "...".to_owned(),
    };
    let write = vec![Tell { path: path.clone(), value }];
    Candidate { path, now: None, way, choices, write }
}

/// True, false and numbers are no texts in the file.
fn plain(word: &str) -> Free {
    match (word, word.parse::<f64>()) {
        ("true", _) => Free::Bool(true),
        ("false", _) => Free::Bool(false),
        (_, Ok(number)) => Free::Number(number),
        _ => Free::from(word),
    }
}

/// A reading as the file takes it: "300 kg +- 6 kg weighed".
fn said(value: f64, dimension: Dimension, way: &Ask) -> String {
    let exact = |si: f64| show_exact(si, dimension, System::Metric);
    let how = way.how.map(|how| format!(" {}", how.word())).unwrap_or_default();
    match reading(way, value).filter(|spread| *spread > 0.0) {
        Some(spread) => format!("{} +- {}{how}", exact(value), exact(spread)),
        None => format!("{}{how}", exact(value)),
    }
}

/// The same with three points for the number, in the rig's units.
fn blank(dimension: Dimension, way: &Ask, value: Option<f64>, context: &Context) -> String {
    let system = context.rig().units.map_or(System::Metric, rig_model::Units::system);
    let shown = quantity::show(value.or_else(|| middle(way)).unwrap_or(1.0), dimension, system, None);
    let how = way.how.map(|how| format!(" {}", how.word())).unwrap_or_default();
    let value = value.or_else(|| middle(way).filter(|_| way.is_own_spread()));
    let spread = value.and_then(|value| reading(way, value)).filter(|spread| *spread > 0.0);
    let spread = spread.map(|spread| format!(" +- {}", show_exact(spread, dimension, system))).unwrap_or_default();
    format!("... {}{spread}{how}", shown.rsplit(' ').next().unwrap_or_default())
}

/// Stated values that a reading would know better than they are known.
fn doubtful(context: &Context) -> Vec<Candidate> {
    let mut found = Vec::new();
    context.rig().each_value(&mut |trail, given| {
        let (Some(value), Some(how)) = (given.value, given.how) else { return };
        let path = trail.path();
        let Some(way) = ask_as(&path, given.dimension) else { return };
        let input = context.facts().inputs().iter().find(|input| input.path == path);
        let half = match (input, given.bounds, given.tolerance) {
            (Some(input), ..) => input.sd * Z95,
            (None, Some((low, high)), _) => (high - low) / 2.0 / f64::sqrt(3.0) * Z95,
            (None, None, Some(tolerance)) => tolerance,
            (None, None, None) => way.known(how, value).unwrap_or(0.0),
        };
        if reading(way, value).is_none_or(|spread| spread >= half) {
            return;
        }
        let Some((choice, write)) = better(context, &path, value, given.dimension, way) else { return };
        let ends = (value - half, value + half);
        let (low, high) = given.bounds.unwrap_or(ends);
        let now = Span { value: Num(value), low: Num(low), high: Num(high) };
        found.push(Candidate { path, now: Some((now, given.dimension)), way: Some(way), choices: vec![choice], write });
    });
    found
}

/// The same value, known as a reading knows it; and that to be filled in. In the long form the keys beside it say so.
fn better(context: &Context, path: &str, value: f64, dimension: Dimension, way: &Ask) -> Option<(Told, Vec<Tell>)> {
    let document = context.document();
    let (mut tells, mut write) = (Vec::new(), Vec::new());
    let filled = blank(dimension, way, Some(value), context);
    let mut tell = |key: &str, value: String, filled: String| {
        tells.push(Tell { path: format!("{path}{key}"), value });
        write.push(Tell { path: format!("{path}{key}"), value: filled });
    };
    if document.has(&format!("{path}.value")) {
        if document.has(&format!("{path}.bounds")) {
            tell(".bounds", "false".to_owned(), "false".to_owned());
        }
        let number: Vec<&str> = filled.split(' ').take(2).collect();
        tell("", show_exact(value, dimension, System::Metric), number.join(" "));
        let how = way.how.unwrap_or(How::Measured).word();
        tell(".how", how.to_owned(), how.to_owned());
        let spread = show_exact(reading(way, value)?, dimension, System::Metric);
        tell(".tolerance", spread.clone(), spread);
    } else {
        tell("", said(value, dimension, way), filled);
    }
    let edits = tells.iter().map(|tell| setting(document, &tell.path, plain(&tell.value)).ok());
    let edits = edits.collect::<Option<_>>()?;
    Some((Told { edits, tells }, write))
}
