//! Where along the frame the body leaves each axle its margin.
//!
//! The body is set at many places on a copy of the file and the checks that its place can move are asked at each. What
//! fails at every place is no matter of the place and is listed apart.

use std::collections::{BTreeMap, BTreeSet};

use check::audit::Units;
use check::exhibit::Span;
use check::placement::{Curve, Placement, Range, There};
use check::{Check, Context, Registry, Verdict};
use quantity::{Dimension, Estimate, Num, System, show_exact};
use rayon::prelude::*;
use rig_model::{Edit, EditOp, Free};

use crate::probe::{Answer, Key, probe};

/// Ends of the range are found to this step, m. A choice of this project: what a person alone can set and read.
pub const STEP_M: f64 = 0.01;
/// Places are first tried this far apart, in steps.
const COARSE: i64 = 5;

/// Checks whose answer the body's place can move.
const MOVED: &[&str] = &[
    "weight/axle-load",
    "weight/braking",
    "weight/drive-share",
    "weight/envelope",
    "weight/grade",
    "weight/ground-angles",
    "weight/overhang",
    "weight/steer-share",
    "weight/tyre-load",
    "weight/wheel-load",
];

/// Why no place can be looked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoPlace {
    /// Path of the input that is wanted.
    pub path: String,
}

type Answers = BTreeMap<Key, Answer>;

struct Search<'a> {
    checks: Vec<&'a dyn Check>,
    context: &'a Context,
}

/// Looks for places of the body.
///
/// # Errors
/// The input without which no place can be looked for: `body.front`, or the axles' places.
pub fn place(registry: &Registry, context: &Context) -> Result<Placement, NoPlace> {
    let wanted = |path: &str| NoPlace { path: path.to_owned() };
    let front = context.rig().body.as_ref().ok_or_else(|| wanted("body"))?.front.as_ref();
    let now = front.and_then(|front| front.value()).ok_or_else(|| wanted("body.front"))?;
    let base = context.facts().axles().wheelbase(&[]).map_err(|gap| NoPlace { path: gap.path })?.value();
    let checks = registry.checks().iter().map(AsRef::as_ref).filter(|check: &&dyn Check| MOVED.contains(&&*check.card().id));
    let search = Search { checks: checks.collect(), context };
    // Half a wheelbase either way: farther, the body would stand on another truck.
    let steps = (base / 2.0 / STEP_M).round() as i64;
    let (low, high) = (-steps / COARSE * COARSE, steps / COARSE * COARSE);
    let coarse: Vec<i64> = (low..=high).step_by(usize::try_from(COARSE).unwrap_or(1)).collect();
    let at = |step: i64| now + step as f64 * STEP_M;
    let tried: Vec<(i64, Answers)> = coarse.par_iter().filter_map(|step| Some((*step, search.at(at(*step))?))).collect();
    let nowhere = keys_everywhere(&tried, &[Verdict::Fail, Verdict::Unsettled]);
    let waits = keys_everywhere(&tried, &[Verdict::Missing]);
    let passes = |answers: &Answers| broken(answers, &nowhere).is_empty();
    let mut ranges = Vec::new();
    for (first, last) in runs(&tried, passes) {
        let (first, forward) = search.end(first, low, -1, &at, &nowhere);
        let (last, rearward) = search.end(last, high, 1, &at, &nowhere);
        ranges.push(Range { from: Num(at(first)), to: Num(at(last)), forward_limit: forward, rearward_limit: rearward });
    }
    let fewest = tried.iter().map(|(step, answers)| (at(*step), broken(answers, &nowhere)));
    let fewest = fewest.min_by(|a, b| a.1.len().cmp(&b.1.len()).then((a.0 - now).abs().total_cmp(&(b.0 - now).abs())));
    let best = search.best(&ranges, &nowhere);
    let (longest, longest_limit) = best.map_or((None, Vec::new()), |(place, _)| search.longest(place, &nowhere));
    Ok(Placement {
        rig: context.rig().rig.clone(),
        units: if context.rig().units == Some(rig_model::Units::Us) { Units::Us } else { Units::Metric },
        now: Num(now),
        from: Num(at(low)),
        to: Num(at(high)),
        ranges,
        best: best.map(|(place, _)| Num(place)),
        best_share: best.map(|(_, share)| Num(share)),
        nearest: fewest.filter(|_| best.is_none()).map(|(place, limits)| (Num(place), limits)),
        nowhere: named(&tried, &nowhere),
        waits: named(&tried, &waits),
        longest: longest.map(Num),
        longest_limit,
        payload: payload(context),
        there: search.there(registry, best.map_or(now, |(place, _)| place)),
        curves: search.curves(at(low), at(high)),
    })
}

fn set(path: &str, value: f64) -> Edit {
    let text = show_exact(value, Dimension::Length, System::Metric);
    Edit { path: path.to_owned(), op: EditOp::Set, from: None, to: Some(Free::from(text)) }
}

/// Keys that have one of those verdicts somewhere and no other anywhere. A question may not be asked at every place.
fn keys_everywhere(tried: &[(i64, Answers)], verdicts: &[Verdict]) -> BTreeSet<Key> {
    let all = || tried.iter().flat_map(|(_, answers)| answers);
    let other: BTreeSet<&Key> = all().filter(|(_, answer)| !verdicts.contains(&answer.verdict)).map(|(key, _)| key).collect();
    all().map(|(key, _)| key).filter(|key| !other.contains(key)).cloned().collect()
}

/// What does not pass here, other than what passes nowhere or cannot be told.
fn broken(answers: &Answers, nowhere: &BTreeSet<Key>) -> Vec<String> {
    let does_not = answers
        .iter()
        .filter(|(key, answer)| matches!(answer.verdict, Verdict::Fail | Verdict::Unsettled) && !nowhere.contains(*key));
    let mut words: Vec<String> = does_not.map(|(key, answer)| words(key, answer)).collect();
    words.dedup();
    words
}

fn words(key: &Key, answer: &Answer) -> String {
    let (check, _, case, state) = key;
    let case =
        case.as_ref().filter(|case| !answer.about.contains(case.as_str())).map(|case| format!(", {case}")).unwrap_or_default();
    let state = state.as_ref().map(|state| format!(", {state}")).unwrap_or_default();
    format!("{check}: {}{case}{state}", answer.about)
}

fn named(tried: &[(i64, Answers)], keys: &BTreeSet<Key>) -> Vec<String> {
    let answer = |key: &Key| tried.iter().find_map(|(_, answers)| answers.get(key));
    keys.iter().filter_map(|key| Some(words(key, answer(key)?))).collect()
}

/// First and last step of each run of places that pass.
fn runs(tried: &[(i64, Answers)], passes: impl Fn(&Answers) -> bool) -> Vec<(i64, i64)> {
    let mut runs: Vec<(i64, i64)> = Vec::new();
    let mut open = false;
    for (step, answers) in tried {
        if !passes(answers) {
            open = false;
        } else if let (true, Some((_, last))) = (open, runs.last_mut()) {
            *last = *step;
        } else {
            runs.push((*step, *step));
            open = true;
        }
    }
    runs
}

impl Search<'_> {
    fn at(&self, front: f64) -> Option<Answers> {
        probe(&self.checks, self.context, &[set("body.front", front)])
    }

    /// Walks from a coarse place that passes towards one that does not, step by step, and says what ends the range.
    fn end(&self, from: i64, bound: i64, towards: i64, at: &impl Fn(i64) -> f64, nowhere: &BTreeSet<Key>) -> (i64, Vec<String>) {
        let mut last = from;
        for ahead in 1..=COARSE {
            let step = from + towards * ahead;
            if step * towards > bound * towards {
                return (last, Vec::new());
            }
            let limits = self.at(at(step)).map_or_else(Vec::new, |answers| broken(&answers, nowhere));
            if !limits.is_empty() {
                return (last, limits);
            }
            last = step;
        }
        (last, Vec::new())
    }

    /// The place within the ranges where the largest far-end share of any limit is smallest.
    fn best(&self, ranges: &[Range], nowhere: &BTreeSet<Key>) -> Option<(f64, f64)> {
        let places: Vec<f64> = ranges
            .iter()
            .flat_map(|range| {
                let steps = ((range.to.0 - range.from.0) / STEP_M).round() as i64;
                (0..=steps).map(|step| range.from.0 + step as f64 * STEP_M)
            })
            .collect();
        let shares: Vec<Option<f64>> = places
            .par_iter()
            .map(|place| {
                let answers = self.at(*place)?;
                let of = answers.iter().filter(|(key, _)| !nowhere.contains(*key));
                of.filter_map(|(_, answer)| answer.far_share).max_by(f64::total_cmp)
            })
            .collect();
        let both = places.iter().zip(shares).filter_map(|(place, share)| Some((*place, share?)));
        both.min_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// Longest body that passes at a place, found by halving; what one more step breaks.
    fn longest(&self, front: f64, nowhere: &BTreeSet<Key>) -> (Option<f64>, Vec<String>) {
        let Some(now) = self.context.rig().body.as_ref().and_then(|body| body.length.as_ref()?.value()) else {
            return (None, Vec::new());
        };
        let limits = |length: f64| {
            let edits = [set("body.front", front), set("body.length", length)];
            probe(&self.checks, self.context, &edits)
                .map_or_else(|| vec!["the file takes no longer body".to_owned()], |answers| broken(&answers, nowhere))
        };
        // Twice the length is more than any frame carries; where even that passes there is nothing to say.
        let (mut low, mut high) = (0_i64, (now / STEP_M).round() as i64);
        let at = |steps: i64| now + steps as f64 * STEP_M;
        if !limits(at(low)).is_empty() || limits(at(high)).is_empty() {
            return (None, Vec::new());
        }
        while high - low > 1 {
            let middle = (low + high) / 2;
            if limits(at(middle)).is_empty() { low = middle } else { high = middle }
        }
        (Some(at(low)), limits(at(high)))
    }

    fn curves(&self, from: f64, to: f64) -> Vec<Curve> {
        let ends: Vec<Context> =
            [from, to].iter().filter_map(|front| self.context.with(&[set("body.front", *front)]).ok()).collect();
        let [first, last] = ends.as_slice() else { return Vec::new() };
        let mut curves = Vec::new();
        for state in self.context.states(check::Scope::Every) {
            for (index, axle) in self.context.rig().axle.iter().enumerate() {
                let load = |context: &Context| context.facts().state(&state.name)?.axle_load(index).ok().map(span);
                let (Some(first), Some(last)) = (load(first), load(last)) else { continue };
                curves.push(Curve {
                    axle: axle.name.clone(),
                    state: state.name.clone(),
                    rated: axle.rated.as_ref().and_then(|rated| rated.value()).map(Num),
                    ends: [first, last],
                });
            }
        }
        curves
    }
}

/// Checks whose numbers a plan is looked at for.
const TOLD: &[&str] = &["weight/envelope", "weight/overhang", "weight/side-slope"];

impl Search<'_> {
    /// What these checks measure with the body there: each subject once, in the first state that tells it.
    fn there(&self, registry: &Registry, front: f64) -> Vec<There> {
        let Ok(context) = self.context.with(&[set("body.front", front)]) else { return Vec::new() };
        let mut told: Vec<There> = Vec::new();
        for check in TOLD.iter().filter_map(|id| registry.find(id)) {
            for finding in check.try_run(&context).unwrap_or_default() {
                let Some(measure) = finding.demand else { continue };
                if told.iter().any(|known| known.about == finding.about && known.words == finding.demand_words) {
                    continue;
                }
                told.push(There { about: finding.about, words: finding.demand_words, state: finding.state, measure });
            }
        }
        told
    }
}

fn payload(context: &Context) -> Vec<(String, Span)> {
    let chassis = context.rig().chassis.as_ref();
    let plates = chassis.map(|chassis| [&chassis.gross_mass, &chassis.registered_mass]);
    let rated = plates.into_iter().flatten().filter_map(|plate| plate.as_ref()?.value()).min_by(f64::total_cmp);
    let states = context.states(check::Scope::Travel);
    states
        .filter_map(|state| {
            let left = &Estimate::exact(rated?) - state.mass().ok()?;
            Some((state.name.clone(), span(&left)))
        })
        .collect()
}

fn span(estimate: &Estimate) -> Span {
    let (low, high) = estimate.interval95();
    Span { value: Num(estimate.value()), low: Num(low), high: Num(high) }
}
