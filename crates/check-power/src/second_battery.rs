//! power/second-battery: are two batteries charged in the right order, and apart?
//!
//! case "apart"   nothing ties two batteries that one controller charges
//! case "order"   the starter comes last, lithium before lead
//! states         once
//! leaves out     what each bears (`power/battery-charge-rate`), how full each gets in a year (`power/full-charge`)

use std::borrow::Cow;

use check::remedy::{Effort, Proposal};
use check::working::listed;
use check::{Card, Check, Consequence, Context, Draft, Finding, Holds, List, Scope, Words};
use rig_model::model::{Controller, YesNo};
use rig_model::{Edit, EditOp, Free, path};

use crate::banks::{self, Unit};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/second-battery"),
    question: Cow::Borrowed("Are two batteries charged in the right order, and apart?"),
    words: Words::new("charges", "must charge"),
    consequence: Consequence::Damage,
    scope: Scope::Once,
    needs: List::Static(&["controller.common_relay"]),
    uses: List::Static(&[
        "battery.chemistry",
        "controller.name",
        "controller.charges",
        "battery.name",
        "battery.serves",
        "battery.order",
    ]),
    limits: List::Static(&[]),
    formula: List::Static(&[
        "filled first: by the order each battery tells, else by the list of its controller",
        "lithium of the house, then lead of the house, then the starter, which wants 1 to 2 % a day",
    ]),
    cautions: List::Static(&[
        "two batteries tied together pour hundreds of amperes into each other: a fuse at each post, drawn before you work",
        "lead-acid gives off explosive gas when it is overcharged",
    ]),
};

/// Are two batteries charged in the right order, and apart?
#[derive(Debug)]
pub struct SecondBattery;

impl Check for SecondBattery {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let all = cx.rig().controller.iter().enumerate();
        let several: Vec<_> = all.filter(|(_, controller)| controller.charges.len() > 1).collect();
        if several.is_empty() {
            let why = "no controller is told to charge more than one battery";
            return vec![CARD.about(cx, "batteries").at("controller").not_applicable(why)];
        }
        several.into_iter().flat_map(|(index, controller)| answers(cx, index, controller)).collect()
    }
}

fn answers(cx: &Context, index: usize, controller: &Controller) -> Vec<Finding> {
    let path = path::of("controller", &controller.name, index);
    let begin = |case: &str| CARD.about(cx, controller.name.clone()).at(path.clone()).case(case);
    let units: Vec<Unit<'_>> = controller.charges.iter().filter_map(|name| banks::named(cx, name)).collect();
    vec![apart(begin("apart"), controller, &path), order(begin("order"), &path, &units)]
}

fn apart(draft: Draft<'_>, controller: &Controller, path: &str) -> Finding {
    let key = format!("{path}.common_relay");
    let names = listed(&controller.charges.iter().map(String::as_str).collect::<Vec<_>>());
    let way_out = || Proposal {
        text: "an output of its own for each battery: a controller with two, or a charger from one battery to the other"
            .to_owned(),
        effort: Effort::PartsToBuy,
        edits: vec![Edit { path: key.clone(), op: EditOp::Set, from: Some(Free::Bool(true)), to: Some(Free::Bool(false)) }],
    };
    match controller.common_relay.and_then(YesNo::told) {
        None => draft.require(Holds::Unknown(key), format!("whether a relay ties {names} decides")).done(),
        Some(false) => draft.require(Holds::Yes, format!("{names} each have an output of their own")).done(),
        Some(true) => {
            let sentence = format!("a relay ties {names}: the fuller pours into the emptier, and neither is charged as it wants");
            draft.require(Holds::No, sentence).proposal(|| Some(way_out())).done()
        }
    }
}

/// What ought to be filled first: lithium of the house, lead of the house, the starter. None where its chemistry decides and
/// is not told.
fn rank(unit: &Unit<'_>, all: &[Unit<'_>]) -> Option<u32> {
    if !unit.is_house() {
        return Some(2);
    }
    let alone = all.iter().filter(|one| one.is_house()).count() < 2;
    match unit.entry.chemistry {
        _ if alone => Some(0),
        Some(chemistry) => Some(u32::from(chemistry.is_lead())),
        None => None,
    }
}

fn order(draft: Draft<'_>, path: &str, units: &[Unit<'_>]) -> Finding {
    let mut ranked = Vec::new();
    for (at, unit) in units.iter().enumerate() {
        let Some(rank) = rank(unit, units) else { return draft.missing(format!("{}.chemistry", unit.path())) };
        ranked.push((unit.entry.order.unwrap_or(u32::MAX), at, rank, unit));
    }
    // As it is: by the turn each tells, then by the controller's list.
    ranked.sort_by_key(|(turn, at, ..)| (*turn, *at));
    let names = |list: &[(u32, usize, u32, &Unit<'_>)]| {
        list.iter().map(|(.., unit)| unit.entry.name.as_str()).collect::<Vec<_>>().join(", then ")
    };
    let now = names(&ranked);
    if ranked.iter().zip(ranked.iter().skip(1)).all(|(one, next)| one.2 <= next.2) {
        return draft.require(Holds::Yes, format!("filled in this order: {now}")).done();
    }
    let mut wanted = ranked.clone();
    wanted.sort_by_key(|(_, at, rank, _)| (*rank, *at));
    let better = names(&wanted);
    let way_out = || {
        let turns = (1_u32..).zip(&wanted).map(|(turn, (.., unit))| Edit {
            path: format!("{}.order", unit.path()),
            op: EditOp::Set,
            from: unit.entry.order.map(|order| Free::Number(order.into())),
            to: Some(Free::Number(turn.into())),
        });
        let list = wanted.iter().map(|(.., unit)| Free::Text(unit.entry.name.clone())).collect();
        let list = Edit { path: format!("{path}.charges"), op: EditOp::Set, from: None, to: Some(Free::List(list)) };
        let edits = turns.chain([list]).collect();
        Proposal { text: format!("fill {better}"), effort: Effort::Minutes, edits }
    };
    let sentence = format!(
        "filled in this order: {now}; the starter wants little and comes last, lithium takes the sun fastest and comes first"
    );
    draft.require(Holds::No, sentence).proposal(|| Some(way_out())).done()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::context;
    use check::Verdict;

    #[test]
    fn the_starter_comes_last() {
        let rig = |first: &str, second: &str| {
            let text = format!(
                "[[battery]]\nname = \"house\"\n[[battery]]\nname = \"start\"\nserves = \"starter\"\n[[controller]]\nname = \"c\"\n\
                 charges = [\"{first}\", \"{second}\"]"
            );
            let found = SecondBattery.run(&context(&text));
            found.iter().map(|finding| finding.verdict).collect::<Vec<_>>()
        };
        assert_eq!(rig("house", "start"), [Verdict::Missing, Verdict::Pass]);
        assert_eq!(rig("start", "house"), [Verdict::Missing, Verdict::Fail]);
    }
}
