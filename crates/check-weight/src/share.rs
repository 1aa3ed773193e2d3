//! What steer-share and drive-share have in common: the share of the mass on some axles, at least.

use check::remedy::Proposal;
use check::{Card, Context, Finding, draft::Goal};
use quantity::{Dimension, Estimate};
use rig_facts::StateFacts;

use crate::{remedy, whole, working};

/// Which axles are meant, and of what.
#[derive(Clone, Copy, Debug)]
pub struct Share<'c> {
    /// The check's card.
    pub card: &'c Card,
    /// Key of an axle that says whether it is meant: "steered", "driven".
    pub key: &'c str,
    /// Whether each axle is meant, in file order; none where it is not told.
    pub told: &'c [Option<bool>],
    /// Id of the limit.
    pub limit: &'c str,
}

/// The answer in one state, of a whole in kg.
#[must_use]
pub fn answer(cx: &Context, state: &StateFacts, share: Share<'_>, of: &Estimate) -> Finding {
    let draft = share.card.about(cx, whole::NAME).at(whole::PATH).in_state(&state.name);
    let chosen: Vec<usize> = standing(cx, state).filter(|index| share.told.get(*index) == Some(&Some(true))).collect();
    if chosen.is_empty() {
        let first = cx.facts().axles().list().first().map_or("axle", |axle| axle.path.as_str());
        return draft.missing(format!("{first}.{}", share.key));
    }
    let (load, parts) = match whole::load_on(cx, state, |index| chosen.contains(&index)) {
        Ok(found) => found,
        Err(gap) => return draft.blocked(&gap),
    };
    let part = &load / of;
    let held = cx.limits(share.limit);
    let lines = || {
        let all = working::figure(of.value(), 1);
        let on_them = working::figure(parts.iter().map(|(load, _)| load.get()).sum(), 1);
        let percent = working::percent(on_them.get() / all.get());
        let sum: Vec<String> = parts.iter().map(|(load, name)| format!("{load} kg {name}")).collect();
        [format!("{on_them} kg on the {} axles = {}", share.key, sum.join(" + ")), format!("{on_them} kg / {all} kg = {percent}")]
    };
    if held.is_empty() {
        return draft.working(lines).show(&part, Dimension::Ratio, check::limits::NO_LIMIT);
    }
    let draft = draft.compare(&part, &held).working(lines).exhibit("side-view");
    let draft = if load.value() < 0.0 { draft.sentence("these axles would lift off the ground") } else { draft };
    draft.remedies(|goal| ways_out(cx, state, &chosen, goal, of)).done()
}

fn standing(cx: &Context, state: &StateFacts) -> impl Iterator<Item = usize> {
    cx.facts().axles().standing(&state.lifted)
}

/// Moves the body or a piece towards these axles; one axle is moved towards where there is only one.
fn ways_out(cx: &Context, state: &StateFacts, chosen: &[usize], goal: &Goal, of: &Estimate) -> Vec<Proposal> {
    let [index] = chosen else { return Vec::new() };
    let change = goal.change() * of.value();
    [remedy::move_body(cx, state, *index, change), remedy::move_piece(cx, state, *index, change)].into_iter().flatten().collect()
}
