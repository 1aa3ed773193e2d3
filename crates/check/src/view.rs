//! What a check from outside (a script, a plugin) sees of a rig: plain values in SI, numbers in doubt as estimates.
//!
//! It sees the tables of the file that its card names in `needs` and `uses`, and the facts of the states if the card names
//! [`FACTS`]. So a card cannot leave out what moves its answer.

use std::collections::BTreeMap;

use quantity::{Estimate, InputId};
use rig_facts::{Gap, Input, ItemKind, StateFacts, custom};
use rig_model::view::Eye;
pub use rig_model::view::View;
use rig_model::walk::{Given, Trail};

use crate::context::Context;

/// The word in `needs` or `uses` that stands for everything the facts of a state rest on.
pub const FACTS: &str = "facts";

/// The tables of the rig file that the facts of a state rest on.
pub const UNDER_FACTS: [&str; 23] = [
    "awning",
    "axle",
    "battery",
    "body",
    "charger",
    "chassis",
    "controller",
    "converter",
    "coupling",
    "envelope",
    "generator",
    "inverter",
    "load",
    "low_point",
    "mass",
    "panel",
    "person",
    "portable",
    "roof_item",
    "seat",
    "state",
    "tank",
    "trailer",
];

/// The same list of inputs with [`FACTS`] written out.
pub fn written_out<'a>(listed: impl IntoIterator<Item = &'a str>) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for word in listed {
        let words: &[&str] = if word == FACTS { &UNDER_FACTS } else { &[word] };
        for word in words {
            if !all.iter().any(|known| known == word) {
                all.push((*word).to_owned());
            }
        }
    }
    all
}

/// The tables of the file that inputs stand in; what facts rest on is seen through the facts.
pub fn tables<'a>(listed: impl Iterator<Item = &'a str>) -> Vec<String> {
    let first = |path: &'a str| path.split(['.', '[']).next().unwrap_or_default().to_owned();
    let mut tables: Vec<String> = listed.filter(|word| *word != FACTS).map(first).collect();
    tables.sort_unstable();
    tables.dedup();
    tables
}

/// The rig as the file states it: every key of a table that stands there, absent ones as nothing; lists of named entries as
/// tables by name. Only the named tables of the file.
#[must_use]
pub fn rig(cx: &Context, tables: &[String]) -> View {
    let inputs = cx.facts().inputs();
    let by_path: BTreeMap<&str, (InputId, &Input)> =
        (0_u32..).zip(inputs).map(|(number, input)| (input.path.as_str(), (InputId(number), input))).collect();
    let mut seen = cx.document().view(cx.rig(), &mut Look { by_path: &by_path, tables });
    if let View::Map(all) = &mut seen
        && let Some(own) = all.get_mut("custom")
    {
        read_custom(own, &mut "custom".to_owned(), &by_path);
    }
    seen
}

struct Look<'a> {
    by_path: &'a BTreeMap<&'a str, (InputId, &'a Input)>,
    tables: &'a [String],
}

impl Eye for Look<'_> {
    fn value(&mut self, trail: &Trail<'_>, given: &Given<'_>) -> View {
        let Some(value) = given.value else { return View::Nothing };
        if given.how.is_none() {
            return View::Number(value);
        }
        estimate(self.by_path, &trail.path(), value)
    }

    fn wants(&self, table: &str) -> bool {
        table == "custom" || self.tables.iter().any(|wanted| wanted == table)
    }
}

fn estimate(by_path: &BTreeMap<&str, (InputId, &Input)>, path: &str, value: f64) -> View {
    View::Estimate(match by_path.get(path) {
        Some((id, input)) => Estimate::input(*id, value, input.sd),
        None => Estimate::exact(value),
    })
}

/// Texts of the owner's own tables that read as quantities.
fn read_custom(view: &mut View, path: &mut String, by_path: &BTreeMap<&str, (InputId, &Input)>) {
    let so_far = path.len();
    match view {
        View::Text(text) if text == "?" => *view = View::Nothing,
        View::Text(text) => {
            if let Some(value) = custom::value(text) {
                *view = estimate(by_path, path, value);
            }
        }
        View::Map(table) => {
            for (key, value) in table {
                path.push('.');
                path.push_str(&rig_model::path::quote_key(key));
                read_custom(value, path, by_path);
                path.truncate(so_far);
            }
        }
        View::List(list) => {
            for (index, value) in list.iter_mut().enumerate() {
                let name = match value {
                    View::Map(table) => match table.get("name") {
                        Some(View::Text(name)) if !name.is_empty() => Some(name.clone()),
                        _ => None,
                    },
                    _ => None,
                };
                path.push_str(&rig_model::path::entry(name.as_deref(), index + 1));
                read_custom(value, path, by_path);
                path.truncate(so_far);
            }
        }
        _ => {}
    }
}

/// Of a state what every check sees, facts or no facts: `name` and `kind`.
#[must_use]
pub fn state_alone(state: &StateFacts) -> View {
    View::map([("name", View::Text(state.name.clone())), ("kind", View::Text(state.kind.word().to_owned()))])
}

/// The facts of one state. What is not known is nothing, and `gaps` says which input is wanted for it and why.
///
/// | key | holds |
/// |---|---|
/// | `name`, `kind`, `trailer` | its name; "travel" or "camp"; whether the trailer is coupled |
/// | `mass_kg`, `x_m`, `y_m`, `z_m` | whole mass and its centre of gravity: behind the front axle, to the right, over ground |
/// | `axle.NAME` | `load_kg`, `left_kg`, `right_kg` on the ground; `x_m`, `track_m`; `lifted` |
/// | `front_x_m`, `rear_x_m`, `length_m`, `width_m`, `height_m` | how far the rig reaches |
/// | `thing.NAME` | everything that weighs: `mass_kg`, `x_m`, `y_m`, `z_m` over ground, `out` |
/// | `gaps` | by the paths of the above, such as `axle[front].load_kg`: `path` of the input that is wanted, `why` |
#[must_use]
pub fn state(cx: &Context, state: &StateFacts) -> View {
    state_with(cx, state, true)
}

/// The same, with `thing` only where somebody looks at it: it is by far the longest.
#[must_use]
pub fn state_with(cx: &Context, state: &StateFacts, things: bool) -> View {
    let mut gaps = BTreeMap::new();
    let mut known = |key: String, value: Result<Estimate, Gap>| match value {
        Ok(estimate) => View::Estimate(estimate),
        Err(gap) => {
            gaps.insert(key, View::map([("path", View::Text(gap.path)), ("why", View::Text(gap.why))]));
            View::Nothing
        }
    };
    let (loads, extents) = (&state.loads, &state.extents);
    let mut all = BTreeMap::new();
    let mut put = |key: &str, view: View| all.insert(key.to_owned(), view);
    put("name", View::Text(state.name.clone()));
    put("kind", View::Text(state.kind.word().to_owned()));
    put("trailer", View::Bool(state.trailer));
    put("mass_kg", known("mass_kg".to_owned(), loads.sums.mass.clone()));
    put("x_m", known("x_m".to_owned(), loads.sums.x()));
    put("y_m", known("y_m".to_owned(), loads.sums.y()));
    put("z_m", known("z_m".to_owned(), loads.sums.z()));
    for (key, extent) in [
        ("front_x_m", &extents.front),
        ("rear_x_m", &extents.rear),
        ("length_m", &extents.length),
        ("width_m", &extents.width),
        ("height_m", &extents.top),
    ] {
        put(key, known(key.to_owned(), extent.as_ref().map(|extent| extent.value.clone()).map_err(Clone::clone)));
    }
    let axles = cx.facts().axles().list().iter().enumerate().map(|(index, axle)| {
        let sides = || loads.sides.get(index).cloned().unwrap_or_else(|| Err(Gap::at(axle.path.clone())));
        let (left, right) = (sides().map(|sides| sides.left), sides().map(|sides| sides.right));
        let values = [
            ("load_kg", state.axle_load(index).cloned().map_err(Clone::clone)),
            ("left_kg", left),
            ("right_kg", right),
            ("x_m", axle.x.clone()),
            ("track_m", axle.track.clone()),
        ];
        let mut seen: BTreeMap<String, View> = values
            .into_iter()
            .map(|(key, value)| {
                (key.to_owned(), known(format!("{}.{key}", rig_model::path::of("axle", &axle.name, index)), value))
            })
            .collect();
        seen.insert("lifted".to_owned(), View::Bool(state.lifted.get(index).copied().unwrap_or_default()));
        (axle.name.clone(), View::Map(seen))
    });
    put("axle", View::Map(axles.collect()));
    let weighs = state.items.iter().filter(|item| things && item.kind != ItemKind::Chassis);
    let seen_things = weighs.map(|item| {
        let [x, y, z] = item.at.clone();
        let values = [("mass_kg", item.mass.clone()), ("x_m", x), ("y_m", y), ("z_m", z)];
        let mut seen: BTreeMap<String, View> = values
            .into_iter()
            .map(|(key, value)| {
                (key.to_owned(), known(format!("thing{}.{key}", rig_model::path::entry(Some(&item.name), 1)), value))
            })
            .collect();
        seen.insert("out".to_owned(), View::Bool(item.out));
        (item.name.clone(), View::Map(seen))
    });
    put("thing", View::Map(seen_things.collect()));
    put("gaps", View::Map(gaps));
    View::Map(all)
}
