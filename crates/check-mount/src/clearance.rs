//! mount/clearance: does the tyre, the cab, the exhaust or the shaft touch the body?
//!
//! demand      the gap now, laden and level (m)
//! capacity    what moves (an axle to its bump stop, chains, a tilting cab, a spring mount) and a reserve by common practice,
//!             at least
//! states      once, as the gaps were taken
//! leaves out  places nobody wrote down; an axle that twists one wheel above its bump stop; overhang and ramps
//!             (`weight/overhang`, `weight/ground-angles`)

use std::borrow::Cow;

use check::edits::{restate, to_step, up_to_step};
use check::remedy::{Effort, Proposal};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, Holds, List, Scope, Words, draft::Goal, working};
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_model::model::{Between, Clearance as Place};
use rig_model::{Edit, EditOp, Free, path};

use crate::limits_told::or_say;
use check::limits::NO_LIMIT;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/clearance"),
    question: Cow::Borrowed("Does the tyre, the cab, the exhaust or the shaft touch the body?"),
    words: Words::new("has a gap of", "needs"),
    consequence: Consequence::Injury,
    scope: Scope::Once,
    needs: List::Static(&[
        "clearance",
        "clearance.between",
        "clearance.gap",
        "clearance.bump_travel",
        "clearance.full_lock_clear",
    ]),
    uses: List::Static(&[
        "clearance.chains",
        "clearance.axle",
        "clearance.stack",
        "clearance.shield",
        "axle.steered",
        "mount.spring.stroke",
    ]),
    limits: List::Static(&["mount/clearance-least"]),
    formula: List::Static(&[
        "tyre: travel to the bump stop + chains + reserve; tilting cab: how far its arc comes nearer + reserve",
        "spring-mounted end: travel of the spring + reserve; all others: the reserve alone",
    ]),
    cautions: List::Static(&[
        "take gaps laden, level, tyres at travel pressure, and again at full lock and with one wheel on a block",
        "never get under a raised axle or body that a jack holds alone: stands on hard ground, wheels chocked",
    ]),
};

/// Does the tyre, the cab, the exhaust or the shaft touch the body?
#[derive(Debug)]
pub struct Clearance;

impl Check for Clearance {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        if cx.rig().clearance.is_empty() {
            return vec![CARD.about(cx, "clearances").at("clearance").missing("clearance")];
        }
        let mut findings = Vec::new();
        for (index, place) in cx.rig().clearance.iter().enumerate() {
            let path = path::of("clearance", &place.name, index);
            let spot = Spot { cx, place, path };
            findings.push(spot.answer().unwrap_or_else(|gap| spot.draft().blocked(&gap)));
            findings.extend(spot.full_lock());
        }
        findings
    }
}

/// One gap.
struct Spot<'c> {
    cx: &'c Context,
    place: &'c Place,
    path: String,
}

impl<'c> Spot<'c> {
    fn draft(&self) -> Draft<'c> {
        CARD.about(self.cx, self.place.name.clone()).at(&self.path).consequence(match self.place.between {
            Some(Between::CabBody | Between::TiltingCabBody | Between::FuelTankBody | Between::SpringEnd) => Consequence::Damage,
            _ => Consequence::Injury,
        })
    }

    fn told(&self, key: &str) -> Result<&'c Estimate, Gap> {
        self.cx.facts().mounts().told(&format!("{}.{key}", self.path))
    }

    /// The row of the reserves, and what it is for.
    fn row(&self, between: Between) -> &'static str {
        let shielded = self.place.shield == Some(true);
        match between {
            Between::CabBody if self.place.stack == Some(true) => "cab-body with a stack",
            Between::ExhaustWood if shielded => "exhaust-wood with a shield",
            Between::ExhaustLine if shielded => "exhaust-line with a shield",
            other => other.word(),
        }
    }

    fn answer(&self) -> Result<Finding, Gap> {
        let cx = self.cx;
        let between = self.place.between.ok_or_else(|| Gap::at(format!("{}.between", self.path)))?;
        let gap = self.told("gap")?;
        let Some(table) = cx.table("mount/clearance-least") else {
            return Ok(self.draft().show(gap, Dimension::Length, NO_LIMIT));
        };
        let reserve = table.number("between", self.row(between), "least").unwrap_or(f64::INFINITY);
        let moves = self.moves(between)?;
        let sum = Estimate::sum(moves.iter().map(|(_, estimate)| estimate));
        let held = [Held::at_least("reserve", sum.offset(reserve), Dimension::Length, table.basis.clone())];
        let lines = || {
            let mm = |value: f64| working::figure(value * MILLI, 1);
            let mut all = mm(reserve).get();
            let mut words = Vec::new();
            for (name, estimate) in &moves {
                let moved = mm(estimate.value());
                all += moved.get();
                words.push(format!("{moved} mm {name} + "));
            }
            [format!("{}{} mm reserve = {} mm", words.concat(), mm(reserve), working::number(all, 1))]
        };
        let draft = self.draft().compare(gap, &held).working(lines);
        let draft = match self.sentence(between) {
            Some(sentence) => or_say(draft, sentence),
            None => draft,
        };
        Ok(draft.remedies(|goal| self.way_out(between, gap, goal).into_iter().collect()).done())
    }

    /// What comes nearer, and by how much.
    fn moves(&self, between: Between) -> Result<Vec<(&'static str, Estimate)>, Gap> {
        let optional = |key: &str| self.told(key).ok().cloned();
        Ok(match between {
            Between::TyreBody => {
                let bump = ("to the bump stop", self.told("bump_travel")?.clone());
                let chains = optional("chains").map(|chains| ("of chains", chains));
                [bump].into_iter().chain(chains).collect()
            }
            Between::TiltingCabBody => vec![("that the cab's arc comes nearer", self.told("bump_travel")?.clone())],
            Between::SpringEnd => vec![("of spring travel", optional("bump_travel").map_or_else(|| self.longest_spring(), Ok)?)],
            _ => Vec::new(),
        })
    }

    fn longest_spring(&self) -> Result<Estimate, Gap> {
        let mounts = self.cx.facts().mounts();
        let strokes = mounts.list().iter().filter_map(|mount| mounts.told(&format!("{}.spring.stroke", mount.path)).ok());
        let longest = strokes.reduce(|a, b| if a.value() < b.value() { b } else { a });
        longest.cloned().ok_or_else(|| Gap::because(format!("{}.bump_travel", self.path), "no spring mount tells its travel"))
    }

    fn sentence(&self, between: Between) -> Option<&'static str> {
        match between {
            Between::ExhaustWood if self.place.shield != Some(true) => {
                Some("wood beside an exhaust chars for months before it burns")
            }
            Between::ExhaustLine => Some("a gas or fuel line beside an exhaust"),
            Between::TyreBody if self.place.chains.is_none() => Some("without chains"),
            Between::HoseBody => Some("at any travel of the axle; a brake hose that rubs bursts"),
            _ => None,
        }
    }

    /// Raise the body, move it back, put a shield up: each with the gap that it leaves.
    fn way_out(&self, between: Between, gap: &Estimate, goal: &Goal) -> Option<Proposal> {
        // While it is unsettled a tape tells first.
        if goal.margin.interval95().1 >= 0.0 {
            return None;
        }
        let cx = self.cx;
        // Half a step to spare for reading it.
        let by = up_to_step(goal.change() + step::MOVE_M / 2.0, step::MOVE_M);
        let shown = to_step(cx, by, Dimension::Length, step::SHOW_M);
        let to = gap.value() + by;
        let widen = restate(cx, format!("{}.gap", self.path), self.place.gap.as_ref(), to);
        let body = cx.rig().body.as_ref();
        let beside = |path: &str, stated: Option<&quantity::Stated<quantity::dim::Length>>| {
            let stated = stated?;
            Some(restate(cx, path, Some(stated), stated.value()? + by))
        };
        let shield = || {
            let fits = cx.table("mount/clearance-least").and_then(|table| {
                let row = format!("{} with a shield", between.word());
                Some(gap.interval95().0 >= table.number("between", &row, "least")?)
            });
            (self.place.shield != Some(true) && fits == Some(true)).then(|| Proposal {
                text: "a heat shield between, with air on both its sides".to_owned(),
                effort: Effort::PartsToBuy,
                edits: vec![Edit {
                    path: format!("{}.shield", self.path),
                    op: EditOp::Set,
                    from: None,
                    to: Some(Free::Bool(true)),
                }],
            })
        };
        let raise = || Proposal {
            text: format!("raise the body {shown} on packers"),
            effort: Effort::AnAfternoon,
            edits: [widen.clone()].into_iter().chain(beside("body.floor", body.and_then(|body| body.floor.as_ref()))).collect(),
        };
        let apart = |what: &str| Proposal {
            text: format!("move {what} {shown} farther off"),
            effort: Effort::AnAfternoon,
            edits: vec![widen.clone()],
        };
        Some(match between {
            Between::CabBody | Between::TiltingCabBody => Proposal {
                text: format!("move the body {shown} rearward"),
                effort: Effort::AnAfternoon,
                edits: [widen.clone()]
                    .into_iter()
                    .chain(beside("body.front", body.and_then(|body| body.front.as_ref())))
                    .collect(),
            },
            Between::ExhaustWood | Between::ExhaustLine => shield().unwrap_or_else(|| apart("the exhaust")),
            Between::HoseBody => apart("the hose or the rod"),
            Between::TyreBody | Between::ShaftBody | Between::FuelTankBody | Between::SpringEnd => raise(),
        })
    }

    /// Of a steered wheel: turned to full lock both ways.
    fn full_lock(&self) -> Option<Finding> {
        let axle = self.place.axle.as_ref()?;
        let steered = self.cx.rig().axle.iter().any(|other| other.name == *axle && other.steered == Some(true));
        if self.place.between != Some(Between::TyreBody) || !steered {
            return None;
        }
        let draft = self.draft().case("full lock");
        Some(match self.place.full_lock_clear {
            Some(true) => draft.require(Holds::Yes, "turned to full lock both ways without touching").done(),
            Some(false) => {
                draft.require(Holds::No, "it touches at full lock: cut the mudguard or the body free, or move it").done()
            }
            None => draft.missing(format!("{}.full_lock_clear", self.path)),
        })
    }
}

/// What a line of working shows: mm of m.
const MILLI: f64 = 1e3;

/// Steps that bodies are moved by. Choices of this project.
mod step {
    /// 5 mm.
    pub(super) const MOVE_M: f64 = 0.005;
    /// Told to 1 mm.
    pub(super) const SHOW_M: f64 = 0.001;
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::context;

    #[test]
    fn every_two_that_must_not_touch_have_a_reserve() {
        let cx = context("");
        let table = cx.table("mount/clearance-least").expect("it is there");
        let shielded = ["cab-body with a stack", "exhaust-wood with a shield", "exhaust-line with a shield"];
        let words: Vec<&str> = Between::ALL.iter().map(|between| between.word()).chain(shielded).collect();
        for word in &words {
            assert!(table.number("between", word, "least").is_some_and(|least| least > 0.0), "{word}");
        }
        assert_eq!(table.pairs("between", "least").count(), words.len());
    }
}
