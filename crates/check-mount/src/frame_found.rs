//! mount/frame-found: is the used frame fit to carry a body?
//!
//! demand      difference of the two diagonals (m); thickness that rust has left, as a share; stress there, standing still (Pa)
//! capacity    common practice, at most and at least; a share of the rail's yield strength, at most
//! states      the travel state in which the rail bends most there; one answer a place
//! leaves out  cracks, loose rivets, bent flanges: look for them; holes and cuts (`mount/frame-notch`)

use std::borrow::Cow;

use check::{Card, Check, Consequence, Context, Draft, Finding, Held, Holds, List, Scope, Verdict, Words, working};
use physics::section::{Shape, Sizes, properties};
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_model::model::{Face, FrameFound, Side, YesNo};

use crate::frame_rail::{frame, largest_moment, rail, rail_name, steel};
use crate::limits_told::{NO_LIMIT, worst_of};

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
    uses: List::Static(&[
        "chassis.frame.rail",
        "chassis.frame.steel",
        "chassis.frame.yield_strength",
        "chassis.frame.heat_treated",
        "axle.bare_load",
        "axle.x",
        "axle.group",
        "axle.spring_rate",
        "axle.fixed_load",
        "mount.at",
        "mount.in",
        "mount.kind",
        "mount.holds",
        "mount.stiffness",
        "mount.spring.rate",
        "body",
        "mass",
        "tank",
        "seat",
        "person",
        "state",
        "roof_item",
        "awning",
        "coupling",
        "trailer",
    ]),
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
    draft
        .compare(&(longer - shorter), &held)
        .sentence("out of square, the truck runs crabwise and the body's holes do not meet the frame's: measure again on level ground, then ask a frame shop")
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
        let thinning = thinning.sentence(
            "of its thickness; grind to sound steel, measure again, and ask the chassis maker before any plate is welded on",
        );
        let mut answers = vec![thinning.working(lines).done()];
        answers.push(match self.stress(&rail, face, left) {
            Ok(finding) => finding,
            Err(gap) => self.draft().blocked(&gap),
        });
        answers.retain(|finding| finding.verdict != Verdict::NotApplicable);
        Ok(answers)
    }

    /// Stress under what stands on the frame, as if the face were as thin all along and on both sides.
    fn stress(&self, rail: &Sizes, face: Face, left: &Estimate) -> Result<Finding, Gap> {
        let cx = self.cx;
        let x = self.told("x")?;
        let thin = |left: f64| match face {
            Face::Web => Sizes { web: left, ..*rail },
            Face::Top | Face::Bottom => Sizes { flange: left, ..*rail },
        };
        let w_left = |left: f64| properties(Shape::Channel, &thin(left)).w_x;
        let (moment, state) = largest_moment(cx, x.value())?;
        let stress = Estimate::propagate(&[&moment, left], |at| match at {
            [moment, left] => Ok(moment / w_left(*left)),
            _ => Err(Gap::at(self.path.clone())),
        })?;
        let steel = steel(cx);
        let held: Vec<Held> = cx
            .limits("mount/rail-stress")
            .into_iter()
            .map(|held| held.times(&steel.yield_strength, Dimension::Pressure))
            .collect();
        let lines = || {
            let (cm3, moment) = (working::figure(w_left(left.value()) * CM3, 2), working::figure(moment.value(), 1));
            [
                format!("{moment} N m in one rail at x = {}, {}", working::m(x.value()), state.name),
                format!("{moment} N m / {cm3} cm3 = {} MPa", working::number(moment.get() / cm3.get(), 1)),
            ]
        };
        let draft = self.draft().words("bears", "may bear").compare(&stress, &held).working(lines);
        let assumed = if steel.assumed { ", the weakest a rail is made of" } else { "" };
        let finding = draft.sentence(format!("{} is the worst; {}{assumed}", state.name, steel.name)).done();
        if steel.assumed && finding.verdict != Verdict::Pass {
            let why = format!("as {}, the weakest a rail is made of, it would not hold", steel.name);
            return Ok(self.draft().blocked(&Gap::because("chassis.frame.steel", why)));
        }
        Ok(finding)
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

/// What a line of working shows: mm of m, cm3 of m3.
const MILLI: f64 = 1e3;
const CM3: f64 = 1e6;
