//! Every kernel as a function of its `calc` name, with `_` for `-`: a table in, a table out, doubts carried through.

use kernels::{Kernel, NoFiles};
use quantity::Estimate;
use rhai::{Dynamic, Engine, FuncRegistration, Map};
use serde_json::Value;

use crate::values::{Answered, json, of_estimate, of_json, wrong};

pub(crate) fn register(engine: &mut Engine) {
    for kernel in kernels::all() {
        let name = kernel.name.replace('-', "_");
        FuncRegistration::new(name)
            .with_params_info(["inputs: Map", "Map"])
            .with_comments([
                format!("/// {} Fields: `rigproof calc {} --schema`.", kernel.summary, kernel.name),
                format!("/// Example: `{}`", kernel.example),
            ])
            .register_into_engine(engine, move |inputs: Map| call(kernel, inputs));
    }
}

fn call(kernel: &'static Kernel, inputs: Map) -> Answered<Dynamic> {
    let mut doubts = Vec::new();
    let middle = json(&Dynamic::from_map(inputs), "", &mut doubts)?;
    let ask = |input: Value| kernel.call(input, &NoFiles);
    let answer = match ask(middle.clone()) {
        Ok(answer) => answer,
        Err(why) => return wrong(format!("{}: {why}", kernel.name)),
    };
    if doubts.is_empty() {
        return Ok(of_json(&answer));
    }
    // One standard deviation to either side of each number in doubt: slopes of all outputs at once.
    let mut slopes = Vec::with_capacity(doubts.len());
    for (way, estimate) in &doubts {
        let beside = |sign: f64| {
            let mut moved = middle.clone();
            *moved.pointer_mut(way)? = Value::from(estimate.value() + sign * estimate.sd());
            ask(moved).ok()
        };
        slopes.push((estimate, beside(-1.0), beside(1.0)));
    }
    spread(kernel, &answer, "", &slopes)
}

type Beside<'a> = (&'a Estimate, Option<Value>, Option<Value>);

fn spread(kernel: &Kernel, answer: &Value, way: &str, slopes: &[Beside<'_>]) -> Answered<Dynamic> {
    match answer {
        Value::Number(number) => {
            let middle = number.as_f64().unwrap_or(f64::NAN);
            let mut parts = Vec::with_capacity(slopes.len());
            for (estimate, below, above) in slopes {
                let at = |side: &Option<Value>| side.as_ref()?.pointer(way)?.as_f64();
                let rise = match (at(below), at(above)) {
                    (Some(below), Some(above)) => (above - below) / 2.0,
                    (None, Some(above)) => above - middle,
                    (Some(below), None) => middle - below,
                    (None, None) => return wrong(format!("{}: its inputs are too much in doubt to work it out", kernel.name)),
                };
                parts.push((rise / estimate.sd(), *estimate));
            }
            let doubt = Estimate::weighted_sum(&parts);
            Ok(of_estimate(doubt.offset(middle - doubt.value())))
        }
        Value::Object(map) => {
            let all =
                map.iter().map(|(key, value)| Ok((key.as_str().into(), spread(kernel, value, &format!("{way}/{key}"), slopes)?)));
            all.collect::<Answered<Map>>().map(Dynamic::from_map)
        }
        Value::Array(list) => {
            let all = list.iter().enumerate().map(|(at, value)| spread(kernel, value, &format!("{way}/{at}"), slopes));
            all.collect::<Answered<Vec<_>>>().map(Dynamic::from_array)
        }
        plain => Ok(of_json(plain)),
    }
}
