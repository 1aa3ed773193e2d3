//! power/neutral-bond: is neutral joined to earth once, and once only, on each source of mains voltage?
//!
//! subjects    each inverter; each inlet, by what it is plugged into; generators and portable units that feed the rig
//! states      once: each source by itself
//! leaves out  what residual-current devices do, earth rods, a relay that changes over: a licensed person tests those
//!
//! There is no way out to be typed: who may make or break that joint is a licensed person.

use std::borrow::Cow;

use check::{Card, Check, Consequence, Context, Finding, Holds, List, Scope, Words};
use rig_model::model::{InletSource, YesNo};
use rig_model::path;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/neutral-bond"),
    question: Cow::Borrowed("Is neutral joined to earth once, and once only, on each source of mains voltage?"),
    words: Words::new("is joined", "must be joined"),
    consequence: Consequence::Injury,
    scope: Scope::Once,
    needs: List::Static(&["inverter.bond", "inlet.bond", "generator.bond", "portable.bond"]),
    uses: List::Static(&["inverter.name", "inlet.name", "inlet.source", "generator.name", "portable.name", "portable.feeds"]),
    limits: List::Static(&[]),
    formula: List::Static(&["on each source: joints between neutral and earth = 1, at the source"]),
    cautions: List::Static(&[
        "mains voltage kills: a licensed electrician makes, breaks and tests this joint, never a plug wired at home",
        "where an inverter joins them and a lead is plugged in, its joint must open: have that tested too",
        "the local electrical code comes first; it asks for a residual-current device on every socket",
    ]),
};

/// Is neutral joined to earth once?
#[derive(Debug)]
pub struct NeutralBond;

impl Check for NeutralBond {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let rig = cx.rig();
        let inverters = rig.inverter.iter().enumerate().map(|(at, one)| {
            let path = path::of("inverter", &one.name, at);
            joined(cx, &one.name, &path, &[(format!("{path}.bond"), one.bond)])
        });
        let inlets = rig.inlet.iter().enumerate().map(|(at, _)| inlet(cx, at));
        let generators = rig.generator.iter().enumerate().map(|(at, one)| {
            let path = path::of("generator", &one.name, at);
            let feeds = !rig.inlet.is_empty();
            if feeds { joined(cx, &one.name, &path, &[(format!("{path}.bond"), one.bond)]) } else { apart(cx, &one.name, &path) }
        });
        let units = rig.portable.iter().enumerate().map(|(at, one)| {
            let path = path::of("portable", &one.name, at);
            let feeds = one.feeds.is_some();
            if feeds { joined(cx, &one.name, &path, &[(format!("{path}.bond"), one.bond)]) } else { apart(cx, &one.name, &path) }
        });
        let all: Vec<Finding> = inverters.chain(inlets).chain(generators).chain(units).collect();
        if all.is_empty() {
            return vec![
                CARD.about(cx, "mains voltage")
                    .at("inverter")
                    .not_applicable("nothing that is told makes or brings mains voltage"),
            ];
        }
        all
    }
}

fn apart(cx: &Context, name: &str, path: &str) -> Finding {
    let why = "it feeds nothing of the rig's own wiring; plug one appliance at a time into it";
    CARD.about(cx, name.to_owned()).at(path.to_owned()).not_applicable(why)
}

/// An inlet has the joint of what it is plugged into.
fn inlet(cx: &Context, at: usize) -> Finding {
    let rig = cx.rig();
    let Some(one) = rig.inlet.get(at) else { return CARD.about(cx, "inlet").at("inlet").missing("inlet") };
    let path = path::of("inlet", &one.name, at);
    let feeds = rig.generator.iter().enumerate().filter(|_| one.source == Some(InletSource::Generator));
    let generators = feeds.map(|(at, other)| (&other.name, path::of("generator", &other.name, at), other.bond));
    let units = rig.portable.iter().enumerate().filter(|(_, unit)| {
        // A pedestal or a house has a joint of its own; the unit is then asked for the times it stands in for it.
        one.source.is_none() && unit.feeds.as_deref() == Some(one.name.as_str())
    });
    let units = units.map(|(at, other)| (&other.name, path::of("portable", &other.name, at), other.bond));
    let behind: Vec<_> = generators.chain(units).collect();
    // What stands behind it is asked by itself, unless the inlet tells of the joint too.
    if let (None, Some((name, ..))) = (one.bond.and_then(YesNo::told), behind.first()) {
        let why = format!("it has the joint of \"{name}\", which is asked by itself");
        return CARD.about(cx, one.name.clone()).at(path).not_applicable(why);
    }
    let own = (format!("{path}.bond"), one.bond);
    let told: Vec<_> = std::iter::once(own).chain(behind.into_iter().map(|(_, at, bond)| (format!("{at}.bond"), bond))).collect();
    joined(cx, &one.name, &path, &told)
}

/// What is told of the joint of one source, in up to several places.
fn joined(cx: &Context, name: &str, path: &str, told: &[(String, Option<YesNo>)]) -> Finding {
    let draft = CARD.about(cx, name.to_owned()).at(path.to_owned());
    let answers: Vec<bool> = told.iter().filter_map(|(_, bond)| bond.and_then(YesNo::told)).collect();
    let first = told.first().map_or_else(|| path.to_owned(), |(path, _)| path.clone());
    match (answers.contains(&true), answers.contains(&false)) {
        (true, false) => draft.require(Holds::Yes, "neutral and earth are joined once, in the source").done(),
        (false, true) => {
            let sentence = "neutral and earth are joined nowhere: a first fault trips nothing, and the next touch is a shock. A licensed \
                            electrician makes the joint, at the source";
            draft.require(Holds::No, sentence).done()
        }
        (true, true) => {
            let sentence =
                "two entries tell different things of the same source; an electrician with an ohmmeter tells which holds";
            draft.require(Holds::Unknown(first), sentence).done()
        }
        (false, false) => {
            let sentence = "nobody has looked: two joints let current run in the chassis, none leaves a fault live";
            draft.require(Holds::Unknown(first), sentence).done()
        }
    }
}
