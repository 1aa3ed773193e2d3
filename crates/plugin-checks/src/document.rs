//! The rig as a plugin sees it.

use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use check::limits::HeldBound;
use check::{Card, Context, Scope, view};
use plugin_api::wire::{self, LimitInForce, RigDocument};
use quantity::Estimate;
use rig_facts::StateFacts;
use rig_model::view::View;
use serde_json::{Map, Value, json};

use crate::answer::same_word;
use crate::fault::Fault;

/// What one check sees: nothing that its card does not name.
#[derive(Debug)]
pub(crate) struct Sight {
    tables: Vec<String>,
    facts: bool,
    limits: Vec<String>,
}

impl Sight {
    pub(crate) fn of(card: &Card, said: &wire::Card) -> Self {
        let facts = said.needs.iter().chain(&said.uses).any(|word| word == view::FACTS);
        Self { tables: view::tables(card.needs.iter().chain(card.uses.iter())), facts, limits: said.limits.clone() }
    }
}

/// A rig document as it is sent, and a number that no other has.
#[derive(Debug)]
pub(crate) struct Document {
    pub(crate) number: u64,
    pub(crate) bytes: Vec<u8>,
}

impl Document {
    /// The document of that rig for that sight; written once for all checks that see the same.
    pub(crate) fn of(cx: &Context, sight: &Sight) -> Result<Arc<Self>, Fault> {
        let states: Vec<&str> = cx.states(Scope::Every).map(|state| state.name.as_str()).collect();
        let key = format!("{sight:?} {states:?} {}", cx.wants_remedies());
        let made = cx.shared(&key, || Self::new(cx, sight));
        match made.as_ref() {
            Ok(document) => Ok(Arc::clone(document)),
            Err(fault) => Err(fault.clone()),
        }
    }

    fn new(cx: &Context, sight: &Sight) -> Result<Arc<Self>, Fault> {
        static NUMBER: AtomicU64 = AtomicU64::new(1);
        let (Value::Object(rig), states) = (to_json(cx, view::rig(cx, &sight.tables)), states(cx, sight.facts)) else {
            return Err(Fault::Senseless("the rig is no table".to_owned()));
        };
        let limits = limits(cx, sight).map_err(Fault::Senseless)?;
        let document = RigDocument { rig, states, limits, today: cx.today().to_string(), remedies: cx.wants_remedies() };
        let bytes = serde_json::to_vec(&wire::Request::Rig(document)).map_err(|why| Fault::Senseless(why.to_string()))?;
        Ok(Arc::new(Self { number: NUMBER.fetch_add(1, Ordering::Relaxed), bytes }))
    }
}

fn states(cx: &Context, facts: bool) -> Vec<Map<String, Value>> {
    let seen = |state: &StateFacts| match to_json(cx, if facts { view::state(cx, state) } else { view::state_alone(state) }) {
        Value::Object(all) => all,
        _ => Map::new(),
    };
    cx.states(Scope::Every).map(seen).collect()
}

fn limits(cx: &Context, sight: &Sight) -> Result<BTreeMap<String, Vec<LimitInForce>>, String> {
    let mut all = BTreeMap::new();
    for id in &sight.limits {
        let mut held = Vec::new();
        for limit in cx.limits(id) {
            let (at_most, at_least) = match &limit.bound {
                HeldBound::AtMost(most) => (Some(most.value()), None),
                HeldBound::AtLeast(least) => (None, Some(least.value())),
                HeldBound::Between(least, most) => (Some(most.value()), Some(least.value())),
            };
            held.push(LimitInForce { name: limit.name, at_most, at_least, dimension: same_word(&limit.dimension)? });
        }
        all.insert(id.clone(), held);
    }
    Ok(all)
}

fn to_json(cx: &Context, view: View) -> Value {
    match view {
        View::Nothing => Value::Null,
        View::Bool(yes) => json!(yes),
        View::Number(number) => json!(number),
        View::Estimate(estimate) => number(cx, &estimate),
        View::Text(text) => json!(text),
        View::List(list) => list.into_iter().map(|view| to_json(cx, view)).collect(),
        View::Map(map) => map.into_iter().map(|(key, view)| (key, to_json(cx, view))).collect::<Map<_, _>>().into(),
    }
}

/// A number in doubt: an estimate holds slope times standard deviation, a plugin wants the slope.
fn number(cx: &Context, estimate: &Estimate) -> Value {
    let (value, sd) = (estimate.value(), estimate.sd());
    let terms: Vec<_> = estimate
        .terms()
        .into_iter()
        .filter_map(|(id, term)| cx.facts().input(id).filter(|input| input.sd > 0.0).map(|input| (id.0, term, input.sd)))
        .collect();
    match terms.as_slice() {
        [] => json!(value),
        [(input, term, input_sd)] if term == input_sd => json!({ "value": value, "sd": sd, "input": input }),
        terms => {
            let by = |(input, term, sd): &(u32, f64, f64)| json!({ "input": input, "by": term / sd, "sd": sd });
            json!({ "value": value, "sd": sd, "by": terms.iter().map(by).collect::<Vec<_>>() })
        }
    }
}
