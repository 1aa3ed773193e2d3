//! Ways out for welds: longer runs, a thicker fillet, a coupon that was bent.

use check::Context;
use check::draft::{GOAL, has_reserve_under};
use check::edits::{restate, up_to_step};
use check::remedy::{Effort, Proposal};
use physics::mount_facts;
use physics::weld;
use quantity::Estimate;
use rig_model::model::{WeldQuality, Welds};
use rig_model::{Edit, EditOp, Free};

use crate::bolt_joint::MILLI;
use crate::places::Place;
use crate::sources::{JOINT, taken};
use crate::weld_joint::{Joint, Row};

/// Steps in which a weld is measured, m. Choices of this project.
const LENGTH_STEP_M: f64 = 0.005;
const SIZE_STEP_M: f64 = 0.001;
/// A run is not made more than so many times as long. A choice of this project.
const LONGER: f64 = 3.0;
/// How often a length is tried longer.
const TRIES: usize = 40;
/// A fillet that one pass lays down; thicker ones want several, and a welder. A choice of this project.
const ONE_PASS_LEG_M: f64 = 0.008;

fn is_enough(stress: Option<&Estimate>, may: f64) -> bool {
    stress.is_some_and(|stress| has_reserve_under(may, stress))
}

/// Longer runs, a thicker fillet, a proof of the weld: each the least that does.
pub(crate) fn of(
    cx: &Context,
    place: &Place,
    joint: &Joint,
    welds: &Welds,
    forces: &[Estimate; 3],
    may: f64,
    bumps: bool,
) -> Vec<Proposal> {
    let enough = |other: &Joint| is_enough(other.stress_of(forces, place.lever).as_ref(), may);
    [
        longer(cx, place, joint, welds, &enough),
        wider(cx, place, joint, welds, &enough),
        thicker(cx, place, joint, welds, &enough),
        proved(place, joint, forces, may, bumps),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn longer(cx: &Context, place: &Place, joint: &Joint, welds: &Welds, enough: &dyn Fn(&Joint) -> bool) -> Option<Proposal> {
    let shortest = joint.rows.iter().filter_map(|row| match row {
        Row::Lengths { length, .. } => Some(length.value()),
        Row::Ends(_) => None,
    });
    let shortest = shortest.min_by(f64::total_cmp).filter(|shortest| *shortest > 0.0)?;
    let factors = (1..=TRIES).map(|steps| 1.0 + LENGTH_STEP_M * steps as f64 / shortest);
    let factor = factors.take_while(|factor| *factor <= LONGER).find(|factor| enough(&joint.with(*factor, None)))?;
    let mut edits = Vec::new();
    let mut words = String::new();
    for (row, run) in joint.rows.iter().zip(welds.runs.iter()) {
        if let Row::Lengths { length, path, .. } = row {
            let to = up_to_step(length.value() * factor, LENGTH_STEP_M);
            edits.push(restate(cx, path, run.length.as_ref(), to));
            if words.is_empty() {
                words = format!("{} mm instead of {} mm", (to / MILLI).round(), (length.value() / MILLI).round());
            }
        }
    }
    Some(Proposal { text: format!("runs of sound weld of {words} on {}", place.about), effort: Effort::CuttingAndWelding, edits })
}

/// The runs of one row farther apart, where the load stands off them.
fn wider(cx: &Context, place: &Place, joint: &Joint, welds: &Welds, enough: &dyn Fn(&Joint) -> bool) -> Option<Proposal> {
    let [Row::Lengths { apart: Some(apart), apart_path, .. }] = joint.rows.as_slice() else { return None };
    let now = apart.value();
    if now <= 0.0 {
        return None;
    }
    let places = (1..=TRIES).map(|steps| up_to_step(now + LENGTH_STEP_M * steps as f64, LENGTH_STEP_M));
    let to = places.take_while(|to| *to <= LONGER * now).find(|to| enough(&joint.spread(to / now)))?;
    let stated = welds.runs.first().and_then(|run| run.apart.as_ref());
    Some(Proposal {
        text: format!("runs {} mm apart instead of {} mm on {}", (to / MILLI).round(), (now / MILLI).round(), place.about),
        effort: Effort::CuttingAndWelding,
        edits: vec![restate(cx, apart_path, stated, to)],
    })
}

fn sized(cx: &Context, place: &Place, joint: &Joint, welds: &Welds, to: f64) -> Proposal {
    let (key, stated) = if joint.by_leg { ("leg", welds.leg.as_ref()) } else { ("throat", welds.throat.as_ref()) };
    Proposal {
        text: format!("a {key} of {} mm instead of {} mm on {}", (to / MILLI).round(), joint.size.value() / MILLI, place.about),
        effort: Effort::CuttingAndWelding,
        edits: vec![restate(cx, format!("{}.{key}", joint.path), stated, to)],
    }
}

/// The thickest that one pass lays down, or that the thinner part bears.
fn most(joint: &Joint, welds: &Welds) -> f64 {
    let thick = welds.thickness.as_ref().and_then(quantity::Stated::value).unwrap_or(f64::INFINITY);
    let leg = ONE_PASS_LEG_M.min(thick);
    if joint.by_leg { leg } else { weld::throat(leg) }
}

fn thicker(cx: &Context, place: &Place, joint: &Joint, welds: &Welds, enough: &dyn Fn(&Joint) -> bool) -> Option<Proposal> {
    let most = most(joint, welds);
    let now = joint.size.value();
    let mut to = up_to_step(now + SIZE_STEP_M / 2.0, SIZE_STEP_M);
    while to <= most {
        if enough(&joint.with(1.0, Some(&joint.size.offset(to - now)))) {
            return Some(sized(cx, place, joint, welds, to));
        }
        to += SIZE_STEP_M;
    }
    None
}

/// A throat that counts, with the doubt of a folded card.
pub(crate) fn throat(cx: &Context, place: &Place, joint: &Joint, welds: &Welds) -> Vec<Proposal> {
    let least = mount_facts::weld().throat_least;
    let wanted = least / GOAL;
    let to = up_to_step(if joint.by_leg { weld::leg(wanted) } else { wanted }, SIZE_STEP_M);
    if to > most(joint, welds) { Vec::new() } else { vec![sized(cx, place, joint, welds, to)] }
}

/// A trial piece that is bent and holds.
fn proved(place: &Place, joint: &Joint, forces: &[Estimate; 3], may: f64, bumps: bool) -> Option<Proposal> {
    if bumps || joint.quality.1 != WeldQuality::Untested {
        return None;
    }
    let better = may * taken(JOINT, "strength of a weld with a bent coupon") / joint.quality.0;
    is_enough(joint.stress_of(forces, place.lever).as_ref(), better).then(|| Proposal {
        text: format!("weld a trial piece of the same steel, rod and place as on {} and bend it flat: if it does not crack, the weld counts for more", place.about),
        effort: Effort::AnAfternoon,
        edits: vec![Edit {
            path: format!("{}.quality", joint.path),
            op: EditOp::Set,
            from: None,
            to: Some(Free::Text(WeldQuality::Coupon.word().to_owned())),
        }],
    })
}
