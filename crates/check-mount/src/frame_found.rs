//! mount/frame-found: is the used frame fit to carry a body?
//!
//! demand      difference of the two diagonals (m); thickness that rust has left, as a share; stress there, standing still (Pa)
//! capacity    common practice, at most and at least; a share of the rail's yield strength, at most
//! states      the travel state in which the rail bends most there; one answer a place
//! leaves out  cracks, loose rivets, bent flanges: look for them; holes and cuts (`mount/frame-notch`)

use std::borrow::Cow;

use check::{Card, Check, Consequence, Context, Draft, Finding, Holds, List, Scope, Verdict, Words, working};
use physics::section::{Shape, Sizes, properties};
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_model::model::{Face, FrameFound, Side, YesNo};

use crate::frame_rail::{frame, rail, rail_name, stress};
use crate::limits_told::{or_say, worst_of};
use crate::loads::on_mounts;
use check::limits::NO_LIMIT;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/frame-found"),
    question: Cow::Borrowed("Is the used frame fit to carry a body?"),
    words: Words::new("is", "may be"),
    consequence: Consequence::Injury,
    scope: Scope::Once,
    needs: List::Static(&[
        "chassis.frame.found",
        "chassis.frame.found.diagonals",
        "chassis.frame.found.thinned.face",
        "chassis.frame.found.thinned.thickness",
    ]),
    uses: on_mounts![
        "mount.at",
        "chassis.frame.rail",
        "chassis.frame.steel",
        "chassis.frame.yield_strength",
        "chassis.frame.heat_treated",
    ],
    limits: List::Static(&["mount/frame-diagonals", "mount/rail-thinning", "mount/rail-stress"]),
    formula: List::Static(&[
        "out of square = difference of the diagonals between the same four holes",
        "thickness left / thickness of the whole rail",
        "stress = moment of both rails / 2 / W with that face as thin all along, standing still; yield over stress is to be three",
    ]),
    cautions: List::Static(&[
        "this is what a tape and a calliper told: it sees no crack, no cold weld, no rust between plates",
        "never weld, flame or heat a rail that is heat-treated, or whose steel is unknown",
        "repairing a frame often needs an approval and the chassis maker's written consent; a pass here is not that consent",
    ]),
};

/// Is the used frame fit to carry a body?
#[derive(Debug)]
pub struct FrameFoundCheck;

impl Check for FrameFoundCheck {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        const PATH: &str = "chassis.frame.found";
        let missing = |path: &str| vec![CARD.about(cx, "used frame").at(path).missing(path)];
        let Some(frame) = frame(cx) else { return missing("chassis.frame") };
        let Some(found) = &frame.found else { return missing(PATH) };
        let mut findings = vec![diagonals(cx)];
        findings.extend(found.thinned.iter().enumerate().map(|(index, thinned)| {
            let path = format!("{PATH}.thinned[{}]", index + 1);
            let place = Place { cx, about: format!("rusty place {}{}", index + 1, on(thinned.rail)), path };
            place.answer(thinned.face)
        }));
        findings.extend(repairs(cx, found, frame.heat_treated));
        findings
    }
}

/// ", left rail", where it is told.
fn on(rail: Option<Side>) -> String {
    rail.map_or(String::new(), |rail| format!(", {}", rail_name(Some(rail))))
}

fn diagonals(cx: &Context) -> Finding {
    const PATH: &str = "chassis.frame.found.diagonals";
    let draft =
        CARD.about(cx, "diagonals of the frame").at(PATH).words("differ by", "may differ by").consequence(Consequence::Damage);
    let told = |index: usize| cx.facts().mounts().told(&format!("{PATH}[{index}]"));
    let (Ok(one), Ok(other)) = (told(1), told(2)) else { return draft.missing(PATH) };
    let (longer, shorter) = if one.value() < other.value() { (other, one) } else { (one, other) };
    let held = cx.limits("mount/frame-diagonals");
    if held.is_empty() {
        return draft.show(&(longer - shorter), Dimension::Length, NO_LIMIT);
    }
    let draft = draft.compare(&(longer - shorter), &held);
    or_say(
        draft,
        "out of square it runs crabwise: measure again on level ground, between the same four holes, then ask a frame shop",
    )
    .working(|| {
        let mm = |value: &Estimate| working::figure(value.value() * MILLI, 1);
        let (longer, shorter) = (mm(longer), mm(shorter));
        [format!("{longer} mm - {shorter} mm = {} mm", working::number(longer.get() - shorter.get(), 1))]
    })
    .done()
}

/// A place that rust has thinned.
struct Place<'c> {
    cx: &'c Context,
    path: String,
    about: String,
}

impl<'c> Place<'c> {
    fn draft(&self) -> Draft<'c> {
        CARD.about(self.cx, self.about.clone()).at(&self.path)
    }

    fn told(&self, key: &str) -> Result<&'c Estimate, Gap> {
        self.cx.facts().mounts().told(&format!("{}.{key}", self.path))
    }

    fn answer(&self, face: Option<Face>) -> Finding {
        match self.answers(face) {
            Ok(answers) => worst_of(answers).unwrap_or_else(|| self.draft().not_applicable(NO_LIMIT)),
            Err(gap) => self.draft().blocked(&gap),
        }
    }

    /// What is left of the thickness, and what that bears.
    fn answers(&self, face: Option<Face>) -> Result<Vec<Finding>, Gap> {
        let cx = self.cx;
        let face = face.ok_or_else(|| Gap::at(format!("{}.face", self.path)))?;
        let left = self.told("thickness")?;
        let rail = rail(cx)?;
        let whole = if face == Face::Web { rail.web } else { rail.flange };
        let lines = || {
            let mm = |value: f64| working::figure(value * MILLI, 1);
            let (left, whole) = (mm(left.value()), mm(whole));
            [format!("{left} mm left / {whole} mm whole = {}", working::percent(left.get() / whole.get()))]
        };
        let thinning = self
            .draft()
            .words("has left", "is to have left")
            .compare(&left.scale(1.0 / whole), &cx.limits("mount/rail-thinning"));
        let thinning = or_say(
            thinning.sentence("thickness of what rust has left"),
            "thickness of what rust has left: grind to sound steel, measure again, and ask the chassis maker before any plate is welded on",
        );
        let mut answers = vec![thinning.working(lines).done()];
        // Where nobody knows what the rail carries, the thickness still counts.
        let thin = |left: f64| match face {
            Face::Web => Sizes { web: left, ..rail },
            Face::Top | Face::Bottom => Sizes { flange: left, ..rail },
        };
        let modulus = |at: &[f64]| at.first().map_or(0.0, |left| properties(Shape::Channel, &thin(*left)).w_x);
        answers.extend(self.told("x").and_then(|x| stress(cx, &|| self.draft(), x, &[left], &modulus)));
        answers.retain(|finding| finding.verdict != Verdict::NotApplicable);
        Ok(answers)
    }
}

/// A repaired rail: welding spoils one that is heat-treated.
fn repairs(cx: &Context, found: &FrameFound, heat_treated: Option<YesNo>) -> Vec<Finding> {
    let repairs = found.repair.iter().enumerate().map(|(index, repair)| {
        let what = repair.what.as_deref().map_or(String::new(), |what| format!(": {what}"));
        let about = format!("repair {}{}{what}", index + 1, on(repair.rail));
        let draft = CARD.about(cx, about).at(format!("chassis.frame.found.repair[{}]", index + 1));
        let (holds, sentence) = match heat_treated {
            Some(YesNo::Yes) => (
                Holds::No,
                "a heat-treated rail takes no weld and no heat: have a frame shop look at it before it carries anything",
            ),
            Some(YesNo::No) => (Holds::Yes, "a mild rail can be repaired; have the seam looked at by somebody who welds frames"),
            _ => (
                Holds::Unknown("chassis.frame.heat_treated".to_owned()),
                "whether a repair by heat did harm depends on the rail's steel",
            ),
        };
        draft.require(holds, sentence).done()
    });
    repairs.collect()
}

/// What a line of working shows: mm of m.
const MILLI: f64 = 1e3;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::first;

    /// The longer diagonal is whichever is.
    #[test]
    fn diagonals_differ_either_way() {
        for told in ["[\"4.214 m\", \"4.2 m\"]", "[\"4.2 m\", \"4.214 m\"]"] {
            let finding = first(&FrameFoundCheck, &format!("[chassis.frame.found]\ndiagonals = {told}"));
            assert!(finding.demand.is_some_and(|demand| (demand.value.0 - 0.014).abs() < 1e-9), "{told}");
        }
    }
}
