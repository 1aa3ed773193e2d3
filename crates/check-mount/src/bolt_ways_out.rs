//! Ways out for bolts that carry too much or were tightened too hard: a higher class, thicker ones, more of them; a
//! torque.

use check::Context;
use check::draft::has_reserve_under;
use check::edits::restate;
use check::remedy::{Effort, Proposal};
use physics::mount_facts;
use quantity::Estimate;
use rig_model::model::Bolts;
use rig_model::{Edit, EditOp, Free};

use crate::bolt_joint::Joint;
use crate::places::Place;

pub(crate) use crate::bolt_joint::MILLI;

/// Classes that are sold everywhere, weakest first: metric and inch. A choice of this project.
const CLASSES: [&str; 2] = ["8.8", "10.9"];
const GRADES: [&str; 2] = ["SAE 5", "SAE 8"];
/// Bolts that are added at most before another size is the better way. A choice of this project.
const MORE: u32 = 8;

/// A share with the reserve that every way out aims at.
pub(crate) fn is_enough(share: &Estimate) -> bool {
    has_reserve_under(1.0, share)
}

/// A higher class, thicker bolts, more bolts: each the least that does.
#[must_use]
pub fn of(place: &Place, joint: &Joint, forces: &[Estimate; 3]) -> Vec<Proposal> {
    let enough = |other: &Joint| other.share(forces, place.lever).is_ok_and(|share| is_enough(&share));
    let (size, class) = (&*joint.thread.name, joint.grade.name);
    let classes = if joint.thread.inch { GRADES } else { CLASSES };
    let stronger = classes.into_iter().find(|other| {
        joint.with(size, other, joint.count).is_some_and(|other| other.grade.ultimate > joint.grade.ultimate && enough(&other))
    });
    let thicker = sizes(joint).find(|other| joint.with(other, class, joint.count).is_some_and(|other| enough(&other)));
    let more = (1..=MORE)
        .map(|more| joint.count + more)
        .find(|count| joint.with(size, class, *count).is_some_and(|other| enough(&other)));
    let set = |key: &str, from: Free, to: Free| Edit {
        path: format!("{}.{key}", joint.path),
        op: EditOp::Set,
        from: Some(from),
        to: Some(to),
    };
    let text = |text: &str| Free::Text(text.to_owned());
    let proposal = |text: String, effort, edit| Proposal { text, effort, edits: vec![edit] };
    let about = &place.about;
    [
        stronger.map(|to| {
            proposal(
                format!("bolts of class {to} instead of {class} on {about}"),
                Effort::PartsToBuy,
                set("class", text(class), text(to)),
            )
        }),
        thicker.map(|to| {
            proposal(format!("{to} bolts instead of {size} on {about}"), Effort::PartsToBuy, set("size", text(size), text(to)))
        }),
        more.map(|to| {
            let words = format!("{to} bolts instead of {} on {about}", joint.count);
            proposal(words, Effort::AnAfternoon, set("count", Free::Number(joint.count.into()), Free::Number(to.into())))
        }),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Sizes of the same kind of thread that are thicker, thinnest first.
fn sizes(joint: &Joint) -> impl Iterator<Item = &'static str> {
    let id = if joint.thread.inch { "bolt/thread-unc" } else { "bolt/thread-metric" };
    let own = joint.thread.diameter;
    let all = mount_facts::table(id).into_iter().flat_map(|table| table.pairs("size", "diameter"));
    all.filter(move |(_, diameter)| *diameter > own).map(|(size, _)| size)
}

/// Steps in which a torque wrench is set, Nm. A choice of this project.
const STEP_NM: f64 = 5.0;

/// The torque that a joint is to have that is taken apart again.
#[must_use]
pub fn torque(cx: &Context, place: &Place, path: &str, bolts: &Bolts, target: f64) -> Vec<Proposal> {
    let to = (target / STEP_NM).floor() * STEP_NM;
    if to <= 0.0 {
        return Vec::new();
    }
    vec![Proposal {
        text: format!("new bolts on {}, tightened to {to} Nm: the old ones may be stretched", place.about),
        effort: Effort::PartsToBuy,
        edits: vec![restate(cx, path, bolts.torque.as_ref(), to)],
    }]
}
