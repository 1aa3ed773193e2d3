//! mount/bolt: are the bolts big enough, enough of them, and how tight?
//!
//! demand      what the worst bolt of each line carries across and along itself, as a share of what it may: the worst
//!             travel state and case; and the torque they were tightened to (Nm)
//! capacity    shear, tension, both at once and the plate beside the hole by EN 1993-1-8; the torque of the proof stress
//! states      once: the worst travel state counts, and is named
//! leaves out  friction (rust and paint slip), fatigue, nuts, a plate that punches through

use std::borrow::Cow;

use check::working::{figure, number};
use check::{Card, Check, Consequence, Context, Finding, Held, List, Scope, Verdict, Words};
use physics::{fastener, mount_facts};
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_model::model::{self, Bolts, Many, Short};

use crate::bolt_joint::{Assumed, Joint, Use};
use crate::bolt_ways_out;
use crate::loads::{Under, loads, on_mounts, worst};
use crate::places::{Place, of_members, of_mounts};
use crate::sources::source;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/bolt"),
    question: Cow::Borrowed("Are the bolts big enough, enough of them, and how tight?"),
    words: Words::new("uses", "may use"),
    consequence: Consequence::Injury,
    scope: Scope::Once,
    needs: List::Static(&["mount.bolts", "mount.bolts.size", "mount.at"]),
    uses: on_mounts!["mount.bracket", "mount.welds", "mount.member", "cross_member", "chassis.frame.spacing"],
    limits: List::Static(&[]),
    formula: List::Static(&[
        "shear of a bolt = force across it / number; pull = force along it / number + what a bracket adds that turns on its edge",
        "V / Fv + T / (1.4 Ft) <= 1 and T <= Ft; Fv = av fub A / 1.25, Ft = 0.9 fub As / 1.25",
        "V <= k1 ab fu d t / 1.25 beside the hole",
        "torque = K x preload x diameter; preload = 0.75 x proof stress x stress area",
    ]),
    cautions: List::Static(&[
        "this is arithmetic on what was typed: it sees no crack, no stretched bolt, no rusted rail",
        "nuts of the same class, hardened washers, no nut on the corner radius of a rail",
        "never under a body or a raised axle that a jack, a hoist or a forklift holds alone",
    ]),
};

/// Are the bolts big enough, enough of them, and how tight?
#[derive(Debug)]
pub struct Bolt;

impl Check for Bolt {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        if cx.rig().mount.is_empty() {
            return vec![CARD.about(cx, "mounts").at("mount").missing("mount")];
        }
        let loads = loads(cx);
        let mut findings: Vec<Finding> = Vec::new();
        if let Err(gap) = &loads {
            // Said once, not of every bolt.
            findings.push(CARD.about(cx, "mounts").at("mount").blocked(gap));
        }
        let loads = loads.unwrap_or_default();
        for (place, mount) in of_mounts(cx) {
            if mount.bolts.is_empty() && mount.welds.is_empty() {
                let draft = CARD.about(cx, &*place.about).at(&*place.path);
                findings.push(draft.missing(format!("{}.bolts", place.path)));
            }
            findings.extend(lines(cx, &place, &mount.bolts, &loads));
        }
        for (place, member) in of_members(cx) {
            findings.extend(lines(cx, &place, &member.bolts, &loads));
        }
        if findings.is_empty() {
            findings.push(CARD.about(cx, "mounts").at("mount").not_applicable("nothing here is bolted"));
        }
        findings
    }
}

/// The answers about every line of bolts of a place.
fn lines(cx: &Context, place: &Place, bolts: &Many<Short<Bolts>>, loads: &[Under<'_>]) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (index, one) in bolts.iter().enumerate() {
        let path = bolts.path_of(&format!("{}.bolts", place.path), index);
        match Joint::read(cx, place, one, path.clone()) {
            Err(gap) => findings.push(CARD.about(cx, &*place.about).at(path).blocked(&gap)),
            Ok(joint) => {
                findings.extend(strength(cx, place, &joint, one, loads));
                findings.extend(torque(cx, place, &joint, one));
            }
        }
    }
    findings
}

/// What a bolt may use of itself.
fn whole() -> Held {
    Held::at_most("what a bolt may carry", Estimate::exact(1.0), Dimension::Ratio, source("bolt-interaction").clone())
}

/// None where no load is known.
fn strength(cx: &Context, place: &Place, joint: &Joint, bolts: &Bolts, loads: &[Under<'_>]) -> Option<Finding> {
    let by = |force: [f64; 3]| force.map(|force| force * place.lever);
    let (under, mount) = worst(loads, &place.mounts, |force| joint.under(by(force)).share)?;
    let begin = || CARD.about(cx, &*place.about).at(&*joint.path);
    let worked = under.forces(cx, mount).and_then(|forces| Ok((joint.share(&forces, place.lever)?, forces)));
    let (share, forces) = match worked {
        Ok(worked) => worked,
        Err(gap) => return Some(begin().blocked(&gap)),
    };
    let used = joint.under(by(under.carried.nominal(mount)));
    let mut draft = begin().compare(&share, &[whole()]);
    let open: Vec<&Assumed> = joint.open(&used).collect();
    let assumed = || open.iter().fold(String::new(), |all, one| join(all, &one.words));
    if let (true, Some(first)) = (draft.verdict() != Verdict::Pass, open.first()) {
        let why = format!("{}: if {}, the worst bolt uses {} %", under.words(), assumed(), number(share.value() * PERCENT, 0));
        return Some(begin().blocked(&Gap::because(&*first.path, why)));
    }
    let even = if open.is_empty() { String::new() } else { format!(", even if {}", assumed()) };
    let plate = if used.plate_governs { "; the part beside the hole gives first" } else { "" };
    draft = draft.sentence(format!(
        "worst {}: {} kN across and {} kN along the worst of {}{plate}{even}",
        under.words(),
        number(used.shear / KILO, 1),
        number(used.pull / KILO, 1),
        count_of(joint)
    ));
    if bolts.wood_under_head == Some(true) {
        draft = draft.caution("wood or plastic under the head lets go of the preload in weeks: a steel tube through it, and tighten again after 50 and 500 km");
    }
    let draft = draft.working(|| show_working(joint, &used)).remedies(|_| bolt_ways_out::of(place, joint, &forces));
    Some(draft.done())
}

fn join(all: String, one: &str) -> String {
    if all.is_empty() {
        one.to_owned()
    } else if all.contains(one) {
        all
    } else {
        format!("{all} and {one}")
    }
}

/// "4 x M12 8.8".
#[must_use]
pub fn count_of(joint: &Joint) -> String {
    format!("{} x {} {}", joint.count, joint.thread.name, joint.grade.name)
}

/// Newtons in a kilonewton.
pub(crate) const KILO: f64 = 1e3;
/// Parts in a hundred.
const PERCENT: f64 = 100.0;

pub(crate) fn show_working(joint: &Joint, used: &Use) -> Vec<String> {
    let kn = |value: f64| figure(value / KILO, 3);
    let (shear, pull) = (kn(used.shear), kn(used.pull));
    let mut lines = vec![format!(
        "one {} {} holds {} kN across and {} kN along itself",
        joint.thread.name,
        joint.grade.name,
        kn(joint.shear),
        kn(joint.tension)
    )];
    let share = |line: String, value: f64| format!("{line} = {} %", number(value * PERCENT, 1));
    if used.plate_governs {
        let bearing = kn(used.bearing);
        lines.push(format!("the part beside the hole holds {bearing} kN"));
        lines.push(share(format!("{shear} / {bearing}"), shear.get() / bearing.get()));
        return lines;
    }
    let (holds_shear, holds_pull) = (kn(joint.shear), kn(joint.tension));
    let interaction = figure(mount_facts::bolt().interaction, 1);
    let both = shear.get() / holds_shear.get() + pull.get() / (interaction.get() * holds_pull.get());
    let alone = pull.get() / holds_pull.get();
    lines.push(if alone > both {
        share(format!("{pull} / {holds_pull}"), alone)
    } else {
        share(format!("{shear} / {holds_shear} + {pull} / ({interaction} x {holds_pull})"), both)
    });
    lines
}

/// The torque a bolt was tightened to against that of its proof stress; none where it is not told.
fn torque(cx: &Context, place: &Place, joint: &Joint, bolts: &Bolts) -> Option<Finding> {
    let path = format!("{}.torque", joint.path);
    let torque = cx.facts().mounts().told(&path).ok()?;
    let begin = || CARD.about(cx, &*place.about).at(&*joint.path).case("torque");
    let begin = || begin().words("was tightened to", "may be tightened to").consequence(Consequence::Damage);
    let Some(proof) = joint.grade.proof else {
        return Some(begin().not_applicable(format!("no table here has the proof stress of {}", joint.grade.name)));
    };
    let (greased, told) = match bolts.lubrication {
        // Wax lets most of a torque through to the bolt.
        None => (fastener::Lubrication::Waxed, false),
        Some(model::Lubrication::Dry) => (fastener::Lubrication::Dry, true),
        Some(model::Lubrication::Oiled) => (fastener::Lubrication::Oiled, true),
        Some(model::Lubrication::Waxed) => (fastener::Lubrication::Waxed, true),
        Some(model::Lubrication::Rusty) => (fastener::Lubrication::Rusty, true),
    };
    let (area, diameter) = (joint.thread.stress_area(), joint.thread.diameter);
    let of = |lubrication: fastener::Lubrication, preload: f64| {
        fastener::tightening_torque(lubrication.nut_factor(), preload, diameter)
    };
    let most = of(greased, proof * area);
    let target = |lubrication| of(lubrication, fastener::reusable_preload(proof, area));
    let held = Held::at_most("torque of the proof stress", Estimate::exact(most), Dimension::Torque, nut_basis());
    let draft = begin().compare(torque, &[held]);
    if !told && draft.verdict() != Verdict::Pass {
        let path = format!("{}.lubrication", joint.path);
        return Some(begin().blocked(&Gap::because(path, "with wax on the thread this torque would stretch the bolts")));
    }
    let (dry, oiled) = (target(fastener::Lubrication::Dry), target(fastener::Lubrication::Oiled));
    let draft = draft
        .sentence(format!("aim at {} Nm dry or {} Nm oiled", number(dry, 0), number(oiled, 0)))
        .working(|| {
            let (area, millimetres) = (figure(area / SQUARE_MILLI, 1), figure(diameter / bolt_ways_out::MILLI, 2));
            let (proof, factor) = (figure(proof / MEGA, 0), figure(greased.nut_factor(), 2));
            let force = figure(proof.get() * area.get() / KILO, 3);
            [
                format!("{proof} x {area} / 1000 = {force} kN at the proof stress"),
                format!("{factor} x {force} x {millimetres} = {} Nm", number(factor.get() * force.get() * millimetres.get(), 1)),
            ]
        })
        .remedies(|_| bolt_ways_out::torque(cx, place, &path, bolts, target(greased)));
    Some(draft.done())
}

/// Square metres in a square millimetre, and pascals in a megapascal.
const SQUARE_MILLI: f64 = 1e-6;
const MEGA: f64 = 1e6;

fn nut_basis() -> basis::Basis {
    mount_facts::table("bolt/nut-factor").map_or_else(basis::Basis::common_practice, |table| table.basis.clone())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_taken_twice_is_said_once() {
        let all = ["the bolts are 4.6", "the holes are near", "the holes are near"]
            .iter()
            .fold(String::new(), |all, one| join(all, one));
        assert_eq!(all, "the bolts are 4.6 and the holes are near");
    }
}
