//! The rig as plain values, for checks that are written outside: every key of a table that stands in the file, absent
//! ones as nothing.

use std::collections::BTreeMap;

use quantity::Estimate;

use crate::document::Document;
use crate::free::Free;
use crate::model::Rig;
use crate::tree::{Kind, Node};
use crate::walk::{Given, Trail, Walk};

/// A plain value. Numbers with a unit are in SI.
#[derive(Clone, Debug, PartialEq)]
pub enum View {
    /// Absent, or written as "?".
    Nothing,
    /// true or false.
    Bool(bool),
    /// A number without doubt.
    Number(f64),
    /// A number that carries its doubt.
    Estimate(Estimate),
    /// Text, words and dates.
    Text(String),
    /// A list of what has no names.
    List(Vec<View>),
    /// A table; a list of named entries by their names.
    Map(BTreeMap<String, View>),
}

impl View {
    /// A table of these.
    pub fn map<const N: usize>(entries: [(&str, View); N]) -> View {
        View::Map(entries.into_iter().map(|(key, view)| (key.to_owned(), view)).collect())
    }
}

impl From<&Free> for View {
    fn from(free: &Free) -> View {
        match free {
            Free::Text(text) => View::Text(text.clone()),
            Free::Number(number) => View::Number(*number),
            Free::Bool(yes) => View::Bool(*yes),
            Free::List(list) => View::List(list.iter().map(View::from).collect()),
            Free::Table(table) => View::Map(table.iter().map(|(key, free)| (key.clone(), View::from(free))).collect()),
        }
    }
}

/// Turns the values of a file into what is to be seen.
pub trait Eye {
    /// What a value with a dimension is to be seen as.
    fn value(&mut self, trail: &Trail<'_>, given: &Given<'_>) -> View;

    /// Whether this table of the file is wanted at all.
    fn wants(&self, table: &str) -> bool;
}

impl Document {
    /// The rig that was read from this document as a plain value.
    pub fn view(&self, rig: &Rig, eye: &mut dyn Eye) -> View {
        rig.view(&self.root, &mut Trail::default(), eye)
    }
}

/// What the file writes there, without regard to what it means.
pub(crate) fn as_written(node: &Node) -> View {
    match &node.kind {
        Kind::Text(text) | Kind::Moment(text) => View::Text(text.to_string()),
        Kind::Number(number) => View::Number(number.value),
        Kind::Bool(yes) => View::Bool(*yes),
        Kind::Null => View::Nothing,
        Kind::List(list) => View::List(list.iter().map(|item| as_written(item)).collect()),
        Kind::Table(table) => View::Map(table.iter().map(|entry| (entry.key.to_string(), as_written(&entry.value))).collect()),
    }
}

/// A value with a dimension: the one that this part holds.
pub(crate) fn of_value<'r, T: Walk>(part: &'r T, trail: &mut Trail<'r>, eye: &mut dyn Eye) -> View {
    let mut seen = View::Nothing;
    part.walk(trail, &mut |trail, given| seen = eye.value(trail, given));
    seen
}

/// A list: by names where every entry has one.
pub(crate) fn of_entries<'r, T: Walk>(entries: &'r [T], node: &Node, trail: &mut Trail<'r>, eye: &mut dyn Eye) -> View {
    let mut all = Vec::with_capacity(entries.len());
    for (index, (entry, node)) in entries.iter().zip(node.items()).enumerate() {
        let name = entry.entry_name().filter(|name| !name.is_empty());
        trail.enter_entry(name, index + 1);
        all.push((name, entry.view(node, trail, eye)));
        trail.leave();
    }
    if !all.is_empty() && all.iter().all(|(name, _)| name.is_some()) {
        return View::Map(all.into_iter().filter_map(|(name, view)| Some((name?.to_owned(), view))).collect());
    }
    View::List(all.into_iter().map(|(_, view)| view).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Syntax, read_rig};

    struct Plain;

    impl Eye for Plain {
        fn value(&mut self, _: &Trail<'_>, given: &Given<'_>) -> View {
            given.value.map_or(View::Nothing, View::Number)
        }
        fn wants(&self, table: &str) -> bool {
            table != "tank"
        }
    }

    #[test]
    fn every_key_of_a_table_is_there_in_si_and_named_entries_go_by_name() {
        let text = "format = \"rigproof-rig/1\"\nrig = \"invented\"\n[[axle]]\nname = \"front\"\nx = \"0 m\"\nrated = \"?\"\n\
                    tyre = { load_index = 152, pressure = \"5.5 bar\" }\n[[mass]]\nname = \"crate\"\nmass = \"100 lb\"\n\
                    at = [\"1 m\", \"left\", \"floor\"]\nin = \"body\"\n[[tank]]\nname = \"fresh\"\n\
                    [body]\nfront = \"0.9 m\"\nfloor = \"1.2 m\"\nlength = \"4 m\"\nwidth = \"2 m\"\n\
                    [custom.crane]\nrope = \"8 mm\"\n";
        let (document, rig) = read_rig(text, Syntax::Toml).expect("it reads");
        let View::Map(all) = document.view(&rig, &mut Plain) else { panic!("it is a table") };
        let get = |way: &[&str]| {
            way.iter().skip(1).fold(all[way[0]].clone(), |view, key| match view {
                View::Map(map) => map[*key].clone(),
                other => panic!("{key} of {other:?}"),
            })
        };
        assert_eq!(get(&["axle", "front", "rated"]), View::Nothing);
        assert_eq!(get(&["axle", "front", "track"]), View::Nothing);
        assert_eq!(get(&["axle", "front", "tyre", "pressure"]), View::Number(550_000.0));
        assert_eq!(get(&["axle", "front", "tyre", "load_index"]), View::Number(152.0));
        assert_eq!(get(&["mass", "crate", "mass"]), View::Number(45.359_237));
        let at = [View::Number(1.0), View::Text("left".to_owned()), View::Text("floor".to_owned())];
        assert_eq!(get(&["mass", "crate", "at"]), View::List(at.to_vec()));
        assert_eq!(get(&["mass", "crate", "in"]), View::Text("body".to_owned()));
        assert_eq!(get(&["custom", "crane", "rope"]), View::Text("8 mm".to_owned()));
        assert_eq!(get(&["seat"]), View::Map(BTreeMap::new()), "a list that is absent has no entries");
        assert!(!all.contains_key("tank") && all["trailer"] == View::Nothing && all["use"] == View::Nothing);
    }
}
