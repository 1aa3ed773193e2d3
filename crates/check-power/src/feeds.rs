//! What the panels feed: each solar controller, and each portable unit that a panel names.

use check::draft::has_reserve_under;
use check::remedy::{Effort, Proposal};
use quantity::Estimate;
use rig_facts::{Gap, tables};
use rig_model::model::{Panel, Rig};
use rig_model::{Edit, EditOp, Free, Thing};

/// What is taken of strings of panels where nobody told: the facts' table of that name.
pub(crate) const STRINGS: &str = "living/string";

/// A number of [`STRINGS`].
pub(crate) fn taken(what: &str) -> f64 {
    tables::usual(STRINGS, "what", what, "number")
}

/// A controller or a portable unit with the panels on it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Feed {
    /// Its name.
    pub(crate) name: String,
    /// Its path.
    pub(crate) path: String,
    /// Its number in its table.
    pub(crate) index: usize,
    /// Whether it is a portable unit.
    pub(crate) portable: bool,
    /// Numbers of the panels on it.
    pub(crate) panels: Vec<usize>,
}

/// Number of the controller that a panel feeds: the one it names, else the only one there is.
pub(crate) fn controller_of(rig: &Rig, panel: &Panel) -> Option<usize> {
    match &panel.controller {
        Some(name) => rig.controller.iter().position(|one| one.name == *name),
        None => (rig.controller.len() == 1).then_some(0),
    }
}

/// Number of the portable unit that a panel names.
pub(crate) fn portable_of(rig: &Rig, panel: &Panel) -> Option<usize> {
    let name = panel.controller.as_ref()?;
    rig.portable.iter().position(|one| one.name == *name)
}

/// All controllers, and the portable units that panels feed.
pub(crate) fn feeds(rig: &Rig) -> Vec<Feed> {
    let on = |is: &dyn Fn(&Panel) -> bool| -> Vec<usize> {
        rig.panel.iter().enumerate().filter(|(_, panel)| is(panel)).map(|(at, _)| at).collect()
    };
    let controllers = rig.controller.iter().enumerate().map(|(index, one)| Feed {
        name: one.name.clone(),
        path: one.path(),
        index,
        portable: false,
        panels: on(&|panel| controller_of(rig, panel) == Some(index)),
    });
    let portables = rig.portable.iter().enumerate().map(|(index, one)| Feed {
        name: one.name.clone(),
        path: one.path(),
        index,
        portable: true,
        panels: on(&|panel| portable_of(rig, panel) == Some(index)),
    });
    controllers.chain(portables.filter(|feed| !feed.panels.is_empty())).collect()
}

/// The gap that stops a question about controllers: no panel, no controller, or a panel that does not say which.
pub(crate) fn gap(rig: &Rig) -> Option<Gap> {
    if rig.panel.is_empty() {
        return Some(Gap::at("panel"));
    }
    let loose = |panel: &&Panel| controller_of(rig, panel).is_none() && portable_of(rig, panel).is_none();
    let loose = rig.panel.iter().find(loose)?;
    Some(Gap::at(if rig.controller.is_empty() { "controller".to_owned() } else { format!("{}.controller", loose.path()) }))
}

/// Panels in series in one string.
pub(crate) fn in_series(panel: &Panel) -> u32 {
    panel.in_series.unwrap_or(1).max(1)
}

/// Panels of an entry.
pub(crate) fn count(panel: &Panel) -> u32 {
    panel.count.unwrap_or(1).max(1)
}

/// Strings of an entry, side by side; a part of one where its string goes on in another entry.
pub(crate) fn strings(panel: &Panel) -> f64 {
    f64::from(count(panel)) / f64::from(in_series(panel))
}

/// Lengths of string that an entry can be wired in without a panel left over, but the one it has.
pub(crate) fn other_lengths(panel: &Panel) -> impl Iterator<Item = u32> + use<> {
    let (count, now) = (count(panel), in_series(panel));
    (1..=count).filter(move |length| count.is_multiple_of(*length) && *length != now)
}

/// Wires an entry anew, in strings of so many.
pub(crate) fn rewire(panel: &Panel, length: u32) -> Proposal {
    let name = &panel.name;
    let number = |length: u32| Some(Free::Number(length.into()));
    let text = match (length, count(panel) / length.max(1)) {
        (1, strings) => format!("wire the {strings} panels of {name} in parallel"),
        (length, 1) => format!("wire the {length} panels of {name} in series"),
        (length, strings) => format!("wire {name} as {strings} strings of {length} in series"),
    };
    let path = format!("{}.in_series", panel.path());
    Proposal {
        text,
        effort: Effort::AnAfternoon,
        edits: vec![Edit { path, op: EditOp::Set, from: panel.in_series.and_then(number), to: number(length) }],
    }
}

/// The smallest size on sale of a kind that a demand fits into: its nominal value within the goal, its far end inside.
pub(crate) fn on_sale(kind: &str, demand: &Estimate) -> Option<f64> {
    let sizes = tables::table("living/on-sale")?;
    let mine = sizes.pairs("size", "number").filter(|(size, _)| size.starts_with(kind)).map(|(_, number)| number);
    mine.filter(|size| has_reserve_under(*size, demand)).min_by(f64::total_cmp)
}

/// Direct voltage that bare parts may have, V.
pub(crate) fn touch() -> f64 {
    tables::number("living/touch", "what", "volts", "number").unwrap_or(0.0)
}

/// The share that the owner bears, where the file tells it, else the limits of the chosen sets.
pub(crate) fn owners(cx: &check::Context, wish: Option<f64>, path: &str, limit: &str) -> Vec<check::Held> {
    let Some(wish) = wish else { return cx.limits(limit) };
    let name = format!("the owner's own {path}");
    let basis = basis::Basis::owner(&name);
    vec![check::Held::at_most(&name, Estimate::exact(wish), quantity::Dimension::Ratio, basis)]
}

/// The coldest that a rig gets where nobody told, degrees Celsius.
pub(crate) fn coldest() -> f64 {
    tables::usual("living/cold", "what", "coldest", "number")
}
