//! The functions a script answers with. Their doc comments are the page for authors.

use basis::{Basis, BasisKind};
use check::Held;
use check::limits::HeldBound;
use quantity::{Dimension, Estimate, System};
use rhai::plugin::*;
use rhai::{Array, Dynamic, Engine, ImmutableString, Map};
use rig_facts::Gap;
use rig_model::path::{self, Segment};
use rig_model::{Edit, EditOp};

use crate::answer::{Bound, Said, What, way_out};
use crate::values::{Answered, finite, free, noun, number, text, wrong};

pub(crate) fn register(engine: &mut Engine) {
    engine.register_type_with_name::<Said>("answer");
    engine.register_type_with_name::<Bound>("limit");
    engine.register_type_with_name::<Edit>("edit");
    engine.register_global_module(exported_module!(words).into());
}

/// The limits of an id as a script holds them: a list, empty where no chosen set has it.
pub(crate) fn of_held(held: Vec<Held>) -> Dynamic {
    let bound = |held: Held| Bound {
        bound: held.bound.clone(),
        dimension: Some(held.dimension),
        name: None,
        basis: None,
        held: Some(held),
    };
    Dynamic::from_array(held.into_iter().map(|held| Dynamic::from(bound(held))).collect())
}

/// A number in SI from a number or from a text with a unit, and what it measures where a unit says so.
fn quantity_of(value: &Dynamic, what: &str) -> Answered<(Estimate, Option<Dimension>)> {
    let Some(written) = text(value) else { return finite(value, what).map(|estimate| (estimate, None)) };
    let dimension = quantity::dimension_of(&written);
    let read = dimension.map(|dimension| (quantity::parse(&written, dimension), dimension));
    match read {
        Some((Ok(si), dimension)) => Ok((Estimate::exact(si), Some(dimension))),
        Some((Err(why), _)) => wrong(why.to_string()),
        None => wrong(format!("{what} wants a number with a unit, such as \"25 kg\", and this is \"{written}\"")),
    }
}

fn bound(bound: HeldBound, dimension: Option<Dimension>) -> Bound {
    Bound { bound, dimension, name: None, basis: None, held: None }
}

/// Walks from a table along a path. `Err` holds the path of what is absent.
fn walk(from: &Dynamic, way: &str) -> Answered<Result<Dynamic, Gap>> {
    let segments = match path::parse(way) {
        Ok(segments) => segments,
        Err(why) => return wrong(why),
    };
    let mut at = from.clone();
    for (index, segment) in segments.iter().enumerate() {
        let next = match segment {
            Segment::Key(key) | Segment::Name(key) => {
                let Some(map) = at.read_lock::<Map>() else { return Ok(Err(gap_of(from, way))) };
                match (map.get(key.as_str()), segment) {
                    (Some(next), _) => next.clone(),
                    // What an owner's own table has in it is for its script to say.
                    (None, Segment::Name(_)) => return Ok(Err(gap_of(from, way))),
                    (None, Segment::Key(_)) if segments.first() == Some(&Segment::Key("custom".to_owned())) => {
                        return Ok(Err(gap_of(from, way)));
                    }
                    (None, _) => {
                        let known: Vec<&str> = map.keys().map(|key| key.as_str()).collect();
                        let so_far = path::join(segments.get(..index).unwrap_or_default());
                        let place = if so_far.is_empty() { "here".to_owned() } else { format!("in {so_far}") };
                        return wrong(format!("there is no `{key}` {place}; there are {}", known.join(", ")));
                    }
                }
            }
            Segment::Index(number) => {
                let list = at.read_lock::<Array>();
                match list.and_then(|list| list.get(number.checked_sub(1)?).cloned()) {
                    Some(next) => next,
                    None => return Ok(Err(gap_of(from, way))),
                }
            }
        };
        if next.is_unit() {
            return Ok(Err(gap_of(from, way)));
        }
        at = next;
    }
    Ok(Ok(at))
}

/// What is wanted first: facts know why they are not known; of the rig file it is the path itself.
fn gap_of(from: &Dynamic, way: &str) -> Gap {
    let known = from.read_lock::<Map>().and_then(|map| {
        let gaps = map.get("gaps")?.read_lock::<Map>()?.clone();
        let gap = gaps.get(way)?.read_lock::<Map>()?.clone();
        Some(Gap::because(text(gap.get("path")?)?, text(gap.get("why")?)?))
    });
    known.unwrap_or_else(|| Gap::at(way))
}

#[export_module]
#[allow(clippy::needless_pass_by_value, clippy::unwrap_used, missing_docs, unreachable_pub)]
mod words {
    use super::*;

    /// The value at a path of `cx.rig`, `cx.facts[..]` or `state`. Where it is absent the answer is `missing` and names the
    /// input that is wanted first: `let mass = need(cx.rig, "mass[\"spare wheel\"].mass");`
    #[rhai_fn(name = "need", return_raw)]
    pub fn need(from: Dynamic, path: &str) -> Answered<Dynamic> {
        match walk(&from, path)? {
            Ok(value) => Ok(value),
            Err(gap) => {
                let said = Dynamic::from(Said::new(What::Missing(gap)));
                Err(Box::new(rhai::EvalAltResult::ErrorRuntime(said, rhai::Position::NONE)))
            }
        }
    }

    /// Whether there is a value at a path: `if !has(cx.rig, "mass[\"spare wheel\"]") { .. }`
    #[rhai_fn(name = "has", return_raw)]
    pub fn has(from: Dynamic, path: &str) -> Answered<bool> {
        Ok(walk(&from, path)?.is_ok())
    }

    /// Holds a number against a limit, or a list of limits: `compare(mass, at_most("25 kg"))`. The range of the number
    /// decides: pass, fail, or unsettled.
    #[rhai_fn(name = "compare", return_raw)]
    pub fn compare(demand: Dynamic, limits: Dynamic) -> Answered<Said> {
        let demand = finite(&demand, "compare")?;
        let limits = match limits.clone().try_cast::<Bound>() {
            Some(one) => vec![one],
            None => match limits.clone().try_cast::<Array>() {
                Some(list) => list
                    .into_iter()
                    .map(|one| match one.clone().try_cast::<Bound>() {
                        Some(bound) => Ok(bound),
                        None => wrong(format!("compare wants limits, such as at_most(\"25 kg\"), and this is {}", noun(&one))),
                    })
                    .collect::<Answered<Vec<_>>>()?,
                None => {
                    return wrong(format!("compare wants a limit, such as at_most(\"25 kg\"), and this is {}", noun(&limits)));
                }
            },
        };
        Ok(Said::new(What::Compare(demand, limits)))
    }

    /// Answers a question without a number: `require(belts >= 2, "two belts hold it")`.
    #[rhai_fn(name = "require")]
    pub fn require(holds: bool, sentence: &str) -> Said {
        Said::new(What::Require(holds, sentence.to_owned()))
    }

    /// An input is absent: its path in the rig file. `need` says so by itself.
    #[rhai_fn(name = "missing")]
    pub fn missing(path: &str) -> Said {
        Said::new(What::Missing(Gap::at(path)))
    }

    /// The question does not arise, and why.
    #[rhai_fn(name = "not_applicable")]
    pub fn not_applicable(why: &str) -> Said {
        Said::new(What::NotApplicable(why.to_owned()))
    }

    /// A number that nothing limits, and why it is worth knowing.
    #[rhai_fn(name = "show", return_raw)]
    pub fn show(number: Dynamic, why: &str) -> Answered<Said> {
        Ok(Said::new(What::Show(finite(&number, "show")?, why.to_owned())))
    }

    /// A limit that may not be passed upwards: a number in SI, or a text with its unit, `at_most("25 kg")`.
    #[rhai_fn(name = "at_most", return_raw)]
    pub fn at_most(limit: Dynamic) -> Answered<Bound> {
        let (value, dimension) = quantity_of(&limit, "at_most")?;
        Ok(bound(HeldBound::AtMost(value), dimension))
    }

    /// A limit that may not be passed downwards: `at_least("0.3 m")`.
    #[rhai_fn(name = "at_least", return_raw)]
    pub fn at_least(limit: Dynamic) -> Answered<Bound> {
        let (value, dimension) = quantity_of(&limit, "at_least")?;
        Ok(bound(HeldBound::AtLeast(value), dimension))
    }

    /// Limits on both sides: `between("0.25 m", "0.30 m")`.
    #[rhai_fn(name = "between", return_raw)]
    pub fn between(low: Dynamic, high: Dynamic) -> Answered<Bound> {
        let (low, dimension) = quantity_of(&low, "between")?;
        let (high, same) = quantity_of(&high, "between")?;
        if dimension.is_some() && same.is_some() && dimension != same {
            return wrong("between wants two values of one kind");
        }
        if low.value() >= high.value() {
            return wrong("the lower limit is not below the upper one");
        }
        Ok(bound(HeldBound::Between(low, high), dimension.or(same)))
    }

    /// What the limit is called in the report: `at_most(rated).named("rating of the lashing eye")`.
    #[rhai_fn(name = "named")]
    pub fn named(limit: Bound, name: &str) -> Bound {
        Bound { name: Some(name.to_owned()), ..limit }
    }

    /// Where this limit comes from, where it is not what the card says: `.basis("data-plate", "plate of the winch")`.
    /// Other kinds: regulation, standard, handbook, physics, common-practice, owner. It counts as known from memory.
    #[rhai_fn(name = "basis", return_raw)]
    pub fn basis(limit: Bound, kind: &str, title: &str) -> Answered<Bound> {
        let Ok(kind) = serde_json::from_value::<BasisKind>(serde_json::Value::from(kind)) else {
            return wrong(format!(
                "\"{kind}\" is no kind of basis; there are regulation, standard, handbook, physics, common-practice, data-plate, owner"
            ));
        };
        let basis = match kind {
            BasisKind::DataPlate => Basis::data_plate(title),
            BasisKind::Owner => Basis::owner(title),
            BasisKind::Physics => Basis::physics(title),
            _ => {
                Basis { kind, title: title.to_owned(), clause: None, edition: None, known: basis::Known::FromMemory, seen: None }
            }
        };
        match basis.fault() {
            Some(fault) => wrong(fault),
            None => Ok(Bound { basis: Some(basis), ..limit }),
        }
    }

    /// What the answer is about, as a person would name it: `.about("spare wheel")`.
    #[rhai_fn(name = "about")]
    pub fn about(answer: Said, name: &str) -> Said {
        Said { about: Some(name.to_owned()), ..answer }
    }

    /// Path of the subject in the rig file; the report gives its line: `.at("mass[\"spare wheel\"]")`.
    #[rhai_fn(name = "at", return_raw)]
    pub fn at(answer: Said, path: &str) -> Answered<Said> {
        match path::parse(path) {
            Ok(_) => Ok(Said { path: Some(path.to_owned()), ..answer }),
            Err(why) => wrong(why),
        }
    }

    /// Which of several questions about the same subject: `.case_of("wind")`.
    #[rhai_fn(name = "case_of")]
    pub fn case_of(answer: Said, word: &str) -> Said {
        Said { case: Some(word.to_owned()), ..answer }
    }

    /// The two verbs of the sentence, where they are not the card's: `.words("pulls", "may pull")`.
    #[rhai_fn(name = "words")]
    pub fn verbs(answer: Said, demand: &str, capacity: &str) -> Said {
        Said { words: Some((demand.to_owned(), capacity.to_owned())), ..answer }
    }

    /// What the number measures, where it is not what the card says: `.measures("force")`.
    #[rhai_fn(name = "measures", return_raw)]
    pub fn measures(answer: Said, kind: &str) -> Answered<Said> {
        match dimension(kind) {
            Some(dimension) => Ok(Said { measures: Some(dimension), ..answer }),
            None => wrong(format!("\"{kind}\" is no kind of quantity; there are {}", kinds())),
        }
    }

    /// A sentence beside the number.
    #[rhai_fn(name = "note")]
    pub fn note(answer: Said, sentence: &str) -> Said {
        Said { sentence: Some(sentence.to_owned()), ..answer }
    }

    /// A line of working that a pocket calculator can redo, or a list of them.
    #[rhai_fn(name = "working", return_raw)]
    pub fn working(answer: Said, lines: Dynamic) -> Answered<Said> {
        let mut answer = answer;
        match (text(&lines), lines.clone().try_cast::<Array>()) {
            (Some(line), _) => answer.working.push(line),
            (None, Some(list)) => {
                for line in &list {
                    match text(line) {
                        Some(line) => answer.working.push(line),
                        None => return wrong(format!("working wants lines of text, and one is {}", noun(line))),
                    }
                }
            }
            (None, None) => {
                return wrong(format!("working wants a line of text or a list of them, and this is {}", noun(&lines)));
            }
        }
        Ok(answer)
    }

    /// Something to be careful of.
    #[rhai_fn(name = "careful")]
    pub fn careful(answer: Said, caution: &str) -> Said {
        let mut answer = answer;
        answer.cautions.push(caution.to_owned());
        answer
    }

    /// A way out: what to do, its effort ("minutes", "an afternoon", "parts to buy", "cutting and welding"), and the same as
    /// edits of the rig file. It is tried on a copy and shown only if it settles the answer.
    #[rhai_fn(name = "way_out", return_raw)]
    pub fn way(answer: Said, what_to_do: &str, effort: &str, edits: Array) -> Answered<Said> {
        let edits = edits.iter().map(|edit| match edit.clone().try_cast::<Edit>() {
            Some(edit) => Ok(edit),
            None => wrong(format!("way_out wants edits, such as set(\"body.front\", \"0.9 m\"), and one is {}", noun(edit))),
        });
        let edits = edits.collect::<Answered<Vec<_>>>()?;
        match way_out(what_to_do.to_owned(), effort, edits) {
            Ok(way) => {
                let mut answer = answer;
                answer.ways.push(way);
                Ok(answer)
            }
            Err(why) => wrong(why),
        }
    }

    /// By how much the number has to change for a way out to reach 95 % of the limit, range included: above zero where one
    /// is wanted. 0 where nothing is compared.
    #[rhai_fn(get = "too_much", pure)]
    pub fn too_much(answer: &mut Said) -> f64 {
        let What::Compare(demand, bounds) = &answer.what else { return 0.0 };
        let change = |demand: &Estimate, limit: &Estimate, upwards: bool| {
            let (middle, margin) = if upwards {
                (demand.value() - check::draft::GOAL * limit.value(), limit - demand)
            } else {
                (limit.value() / check::draft::GOAL - demand.value(), demand - limit)
            };
            middle.max(-margin.interval95().0)
        };
        let each = bounds.iter().map(|bound| match &bound.bound {
            HeldBound::AtMost(limit) => change(demand, limit, true),
            HeldBound::AtLeast(limit) => change(demand, limit, false),
            HeldBound::Between(low, high) => change(demand, low, false).max(change(demand, high, true)),
        });
        each.fold(0.0, f64::max)
    }

    /// An edit: the value at a path of the rig file becomes this one.
    #[rhai_fn(name = "set", return_raw)]
    pub fn set(path: &str, to: Dynamic) -> Answered<Edit> {
        Ok(Edit { path: path.to_owned(), op: EditOp::Set, from: None, to: Some(free(&to)?) })
    }

    /// An edit: one more entry in a list of the rig file.
    #[rhai_fn(name = "add", return_raw)]
    pub fn add(path: &str, entry: Dynamic) -> Answered<Edit> {
        Ok(Edit { path: path.to_owned(), op: EditOp::Add, from: None, to: Some(free(&entry)?) })
    }

    /// An edit: what stands at a path of the rig file goes.
    #[rhai_fn(name = "remove")]
    pub fn remove(path: &str) -> Edit {
        Edit { path: path.to_owned(), op: EditOp::Remove, from: None, to: None }
    }

    /// A quantity as text in SI: `si("13 ft 6 in")` is 4.1148.
    #[rhai_fn(name = "si", return_raw)]
    pub fn si(quantity: &str) -> Answered<f64> {
        quantity_of(&Dynamic::from(ImmutableString::from(quantity)), "si").map(|(value, _)| value.value())
    }

    /// A number in SI as text with a unit: `written(0.4, "length")` is "400 mm".
    #[rhai_fn(name = "written", return_raw)]
    pub fn written(number: Dynamic, kind: &str) -> Answered<String> {
        let estimate = finite(&number, "written")?;
        let Some(dimension) = dimension(kind) else {
            return wrong(format!("\"{kind}\" is no kind of quantity; there are {}", kinds()));
        };
        let tolerance = Some(estimate.sd() * quantity::Z95).filter(|tolerance| *tolerance > 0.0);
        Ok(quantity::show(estimate.value(), dimension, System::Metric, tolerance))
    }

    /// Whether a value is a number, in doubt or not.
    #[rhai_fn(name = "is_number")]
    pub fn is_number(value: Dynamic) -> bool {
        number(&value).is_some()
    }

    /// Adds up a list of numbers, with their doubt.
    #[rhai_fn(name = "total", return_raw)]
    pub fn total(numbers: Array) -> Answered<Dynamic> {
        let all = numbers.iter().map(|number| finite(number, "total")).collect::<Answered<Vec<_>>>()?;
        Ok(crate::values::of_estimate(Estimate::sum(all.iter())))
    }
}

fn dimension(kind: &str) -> Option<Dimension> {
    serde_json::from_value(serde_json::Value::from(kind)).ok()
}

fn kinds() -> String {
    let words = Dimension::ALL.iter().filter_map(|dimension| serde_json::to_value(dimension).ok()?.as_str().map(str::to_owned));
    words.collect::<Vec<_>>().join(", ")
}
