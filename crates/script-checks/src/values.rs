//! Plain values to the engine's, and back.

use std::collections::BTreeMap;
use std::sync::Arc;

use check::view::View;
use quantity::Estimate;
use rhai::{Array, Dynamic, EvalAltResult, Map, Position};
use rig_model::Free;
use serde_json::Value;

/// A number in doubt, cheap to copy.
#[derive(Clone, Debug)]
pub(crate) struct Doubt(pub(crate) Arc<Estimate>);

impl From<Estimate> for Doubt {
    fn from(estimate: Estimate) -> Self {
        Self(Arc::new(estimate))
    }
}

/// What a function of ours gives: a value, or a sentence for the author of the script.
pub(crate) type Answered<T> = Result<T, Box<EvalAltResult>>;

/// A sentence for the author of the script; the engine adds the place.
pub(crate) fn wrong<T>(text: impl Into<String>) -> Answered<T> {
    Err(Box::new(EvalAltResult::ErrorRuntime(Dynamic::from(text.into()), Position::NONE)))
}

/// An estimate as a script sees it: a plain number where there is no doubt.
pub(crate) fn of_estimate(estimate: Estimate) -> Dynamic {
    if estimate.sd() == 0.0 { Dynamic::from_float(estimate.value()) } else { Dynamic::from(Doubt::from(estimate)) }
}

/// A plain value as the engine's.
pub(crate) fn of_view(view: &View) -> Dynamic {
    match view {
        View::Nothing => Dynamic::UNIT,
        View::Bool(yes) => Dynamic::from_bool(*yes),
        View::Number(number) => Dynamic::from_float(*number),
        View::Estimate(estimate) => of_estimate(estimate.clone()),
        View::Text(text) => Dynamic::from(text.clone()),
        View::List(list) => Dynamic::from_array(list.iter().map(of_view).collect()),
        View::Map(map) => Dynamic::from_map(map.iter().map(|(key, view)| (key.as_str().into(), of_view(view))).collect()),
    }
}

/// A number, in doubt or not.
pub(crate) fn number(value: &Dynamic) -> Option<Estimate> {
    if let Some(doubt) = value.read_lock::<Doubt>() {
        return Some((*doubt.0).clone());
    }
    if let Ok(number) = value.as_float() {
        return Some(Estimate::exact(number));
    }
    value.as_int().ok().map(|number| Estimate::exact(number as f64))
}

/// A number that makes sense: neither infinite nor none at all.
pub(crate) fn finite(value: &Dynamic, what: &str) -> Answered<Estimate> {
    let Some(estimate) = number(value) else {
        let absent = if value.is_unit() { "; it is absent from the file: ask for it with need(value, path)" } else { "" };
        return wrong(format!("{what} wants a number, and this is {}{absent}", noun(value)));
    };
    if !estimate.value().is_finite() || !estimate.sd().is_finite() {
        return wrong(format!("{what} wants a number, and this is {}", estimate.value()));
    }
    Ok(estimate)
}

/// What a value is, in plain words.
pub(crate) fn noun(value: &Dynamic) -> &'static str {
    if value.is_unit() {
        "nothing"
    } else if value.is_bool() {
        "true or false"
    } else if value.is_string() || value.is_char() {
        "text"
    } else if value.is_array() {
        "a list"
    } else if value.is_map() {
        "a table"
    } else if value.is_fnptr() {
        "a function"
    } else if number(value).is_some() {
        "a number"
    } else {
        "something else"
    }
}

/// Text of a value that is text.
pub(crate) fn text(value: &Dynamic) -> Option<String> {
    value.read_lock::<rhai::ImmutableString>().map(|text| text.to_string())
}

/// A value as an edit writes it.
pub(crate) fn free(value: &Dynamic) -> Answered<Free> {
    if let Some(text) = text(value) {
        return Ok(Free::Text(text));
    }
    if let Ok(yes) = value.as_bool() {
        return Ok(Free::Bool(yes));
    }
    if let Some(list) = value.read_lock::<Array>() {
        return list.iter().map(free).collect::<Answered<_>>().map(Free::List);
    }
    if let Some(map) = value.read_lock::<Map>() {
        let table: Answered<BTreeMap<_, _>> = map.iter().map(|(key, value)| Ok((key.to_string(), free(value)?))).collect();
        return table.map(Free::Table);
    }
    finite(value, "an edit").map(|estimate| Free::Number(estimate.value()))
}

/// A value as a kernel takes it; numbers in doubt as their middle, named by their keys in `doubts`.
pub(crate) fn json(value: &Dynamic, way: &str, doubts: &mut Vec<(String, Estimate)>) -> Answered<Value> {
    if value.is_unit() {
        return Ok(Value::Null);
    }
    if let Some(text) = text(value) {
        return Ok(Value::String(text));
    }
    if let Ok(yes) = value.as_bool() {
        return Ok(Value::Bool(yes));
    }
    if let Ok(whole) = value.as_int() {
        return Ok(Value::from(whole));
    }
    if let Some(list) = value.read_lock::<Array>() {
        let list = list.iter().enumerate().map(|(at, value)| json(value, &format!("{way}/{at}"), doubts));
        return list.collect::<Answered<_>>().map(Value::Array);
    }
    if let Some(map) = value.read_lock::<Map>() {
        let table = map.iter().map(|(key, value)| Ok((key.to_string(), json(value, &format!("{way}/{key}"), doubts)?)));
        return table.collect::<Answered<_>>().map(Value::Object);
    }
    let estimate = finite(value, "a physics function")?;
    if estimate.sd() > 0.0 {
        doubts.push((way.to_owned(), estimate.clone()));
    }
    Ok(Value::from(estimate.value()))
}

/// What a kernel gave.
pub(crate) fn of_json(value: &Value) -> Dynamic {
    match value {
        Value::Null => Dynamic::UNIT,
        Value::Bool(yes) => Dynamic::from_bool(*yes),
        Value::Number(number) => Dynamic::from_float(number.as_f64().unwrap_or(f64::NAN)),
        Value::String(text) => Dynamic::from(text.clone()),
        Value::Array(list) => Dynamic::from_array(list.iter().map(of_json).collect()),
        Value::Object(map) => Dynamic::from_map(map.iter().map(|(key, value)| (key.as_str().into(), of_json(value))).collect()),
    }
}
