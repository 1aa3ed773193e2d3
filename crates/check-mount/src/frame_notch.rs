//! mount/frame-notch: may I cut or drill the rail here?
//!
//! demand      of a web hole its size, its distance to flange and neighbour (m); of a hole or cut in a flange how much
//!             higher the stress is beside it; of both the stress where it is, standing still (Pa)
//! capacity    rules of body builders, at most and at least; a share of the rail's yield strength, at most
//! states      the travel state in which the rail bends most there; one answer a cut, about the rule nearest to being broken
//! leaves out  what the works made; stress at the very edge of a hole or a square corner (2.5 to 5 times higher);
//!             spring hangers and cross members beside it; the bare chassis's own bending

use std::borrow::Cow;

use check::edits::{restate, set, to_step, up_to_step};
use check::remedy::{Effort, Proposal};
use check::{Card, Check, Consequence, Context, Draft, Finding, Holds, List, Scope, Words, draft::Goal, working};
use physics::notch::{self, flange_hole, notched, web_hole};
use physics::section::{Shape, Sizes, properties};
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_model::model::{Cut, Face, FrameHole, MadeBy, Side, YesNo};
use rig_model::{Edit, EditOp, Free};

use crate::frame_rail::{frame, rail, rail_name, stress};
use crate::limits_told::worst_of;
use crate::loads::on_mounts;
use check::limits::NO_LIMIT;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/frame-notch"),
    question: Cow::Borrowed("May I cut or drill the rail here?"),
    words: Words::new("is", "may be"),
    consequence: Consequence::Injury,
    scope: Scope::Once,
    needs: List::Static(&[
        "chassis.frame.rail",
        "chassis.frame.hole.face",
        "chassis.frame.hole.size",
        "chassis.frame.hole.x",
        "chassis.frame.hole.height",
        "chassis.frame.notch.face",
        "chassis.frame.notch.depth",
    ]),
    uses: on_mounts![
        "mount.at",
        "chassis.frame.hole",
        "chassis.frame.notch",
        "chassis.frame.steel",
        "chassis.frame.yield_strength",
        "chassis.frame.heat_treated",
    ],
    limits: List::Static(&[
        "mount/hole-size",
        "mount/hole-share",
        "mount/hole-to-flange",
        "mount/hole-spacing",
        "mount/hole-spacing-share",
        "mount/flange-weakening",
        "mount/rail-stress",
    ]),
    formula: List::Static(&[
        "weakening = W of the whole rail / W of what is left, W = I / distance from the shifted axis to the far fibre",
        "stress = moment of both rails / 2 / W left, standing still; yield over stress is to be three",
        "a web hole keeps to size, distance to the flange, distance to the next hole",
    ]),
    cautions: List::Static(&[
        "never weld, flame or heat a rail that is heat-treated, or whose steel is unknown",
        "changing a frame often needs an approval and the chassis maker's written consent; a pass here is not that consent",
        "arithmetic sees no crack and no rust; a hole that was filled is still a hole",
    ]),
};

/// May I cut or drill the rail here?
#[derive(Debug)]
pub struct FrameNotch;

impl Check for FrameNotch {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let about = |path| CARD.about(cx, "frame rails").at(path);
        let Some(frame) = frame(cx) else { return vec![about("chassis.frame").missing("chassis.frame")] };
        let told = ["chassis.frame.hole", "chassis.frame.notch"].iter().any(|path| cx.document().has(path));
        if !told {
            return vec![about("chassis.frame.hole").missing("chassis.frame.hole")];
        }
        let judged = |by: Option<MadeBy>| by != Some(MadeBy::Factory);
        let holes = frame.hole.iter().enumerate().filter(|(_, hole)| judged(hole.made_by));
        let notches = frame.notch.iter().enumerate().filter(|(_, notch)| judged(notch.made_by));
        let spots: Vec<Spot<'_>> = holes
            .map(|(index, hole)| Spot::hole(cx, index, hole))
            .chain(notches.map(|(index, notch)| {
                let path = format!("chassis.frame.notch[{}]", index + 1);
                let place = match notch.face {
                    Some(Face::Top) => Ok(Place::Notch(notch::Side::Top)),
                    Some(Face::Bottom) => Ok(Place::Notch(notch::Side::Bottom)),
                    _ => Err(Gap::at(format!("{path}.face"))),
                };
                let about = format!("cut {} into the {}", index + 1, rail_name(notch.rail));
                Spot { cx, about, side: notch.rail, cut: notch.cut.unwrap_or(Cut::Square), place, size: "depth", path }
            }))
            .collect();
        if spots.is_empty() {
            return vec![
                about("chassis.frame.hole")
                    .not_applicable("nobody drilled or cut the rails since the works; what the works made is not judged"),
            ];
        }
        let rail = match rail(cx) {
            Ok(rail) => rail,
            Err(gap) => return vec![about("chassis.frame.rail").blocked(&gap)],
        };
        spots.iter().map(|spot| spot.answer(&rail, frame.heat_treated)).collect()
    }
}

/// What was taken out of the rail.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Place {
    /// A hole through the web.
    Web,
    /// A hole through a flange.
    Flange(notch::Side),
    /// A cut from an edge.
    Notch(notch::Side),
}

/// One hole or cut.
struct Spot<'c> {
    cx: &'c Context,
    path: String,
    about: String,
    side: Option<Side>,
    cut: Cut,
    place: Result<Place, Gap>,
    /// The key of its size: diameter of a hole, depth of a cut.
    size: &'static str,
}

impl<'c> Spot<'c> {
    fn hole(cx: &'c Context, index: usize, hole: &FrameHole) -> Self {
        let path = format!("chassis.frame.hole[{}]", index + 1);
        let (place, face) = match hole.face {
            Some(Face::Web) => (Ok(Place::Web), " in the web"),
            Some(Face::Top) => (Ok(Place::Flange(notch::Side::Top)), " in the upper flange"),
            Some(Face::Bottom) => (Ok(Place::Flange(notch::Side::Bottom)), " in the lower flange"),
            None => (Err(Gap::at(format!("{path}.face"))), ""),
        };
        let about = format!("hole {}{face} of the {}", index + 1, rail_name(hole.rail));
        Self { cx, about, side: hole.rail, cut: hole.cut.unwrap_or(Cut::Drilled), place, size: "size", path }
    }

    fn draft(&self) -> Draft<'c> {
        CARD.about(self.cx, self.about.clone()).at(&self.path)
    }

    fn told(&self, key: &str) -> Result<&'c Estimate, Gap> {
        self.cx.facts().mounts().told(&format!("{}.{key}", self.path))
    }

    /// The rule nearest to being broken, or what is missing.
    fn answer(&self, rail: &Sizes, heat_treated: Option<YesNo>) -> Finding {
        match self.answers(rail, heat_treated) {
            Ok(answers) => worst_of(answers).unwrap_or_else(|| self.draft().not_applicable(NO_LIMIT)),
            Err(gap) => self.draft().blocked(&gap),
        }
    }

    fn answers(&self, rail: &Sizes, heat_treated: Option<YesNo>) -> Result<Vec<Finding>, Gap> {
        let place = self.place.clone()?;
        let size = self.told(self.size)?;
        let left = |size: f64, height: f64| match place {
            Place::Web => web_hole(rail, size, height).w_x,
            Place::Flange(side) => flange_hole(rail, size, side).w_x,
            Place::Notch(side) => notched(rail, size, side).w_x,
        };
        let height = match place {
            Place::Web => self.told("height")?.clone(),
            _ => Estimate::exact(rail.height / 2.0),
        };
        if size.value() >= rail.height {
            return Err(Gap::because(format!("{}.{}", self.path, self.size), "nothing of the rail would be left"));
        }
        let mut answers = match place {
            Place::Web => self.in_the_web(rail, size, &height)?,
            Place::Flange(_) | Place::Notch(_) => self.in_a_flange(rail, place, size, &left),
        };
        answers.extend(self.flame(heat_treated));
        // Where nobody knows what the rail carries, the rules about its shape still hold.
        let both = |at: &[f64]| match at {
            [size, height] => left(*size, *height),
            _ => 0.0,
        };
        answers.extend(self.told("x").and_then(|x| stress(self.cx, &|| self.draft(), x, &[size, &height], &both)));
        answers.retain(|finding| finding.verdict != check::Verdict::NotApplicable);
        Ok(answers)
    }

    /// Size, distance to the flanges, distance to the next hole.
    fn in_the_web(&self, rail: &Sizes, size: &Estimate, height: &Estimate) -> Result<Vec<Finding>, Gap> {
        let cx = self.cx;
        let mm = |value: f64| to_step(cx, value, Dimension::Length, step::DRILL_M);
        let hole = cx.rig().chassis.as_ref().and_then(|chassis| chassis.frame.as_ref()).and_then(|frame| {
            let index =
                frame.hole.iter().enumerate().position(|(at, _)| self.path == format!("chassis.frame.hole[{}]", at + 1))?;
            frame.hole.get(index)
        });
        let whole = Estimate::exact(rail.height);
        let mut sizes = cx.limits("mount/hole-size");
        sizes.extend(cx.limits("mount/hole-share").into_iter().map(|held| held.times(&whole, Dimension::Length)));
        let smaller = |goal: &Goal| {
            // Half a step to spare for reading it, here and below.
            let to = ((size.value() - goal.change()) / step::DRILL_M - 1.0 / 2.0).floor() * step::DRILL_M;
            let edits = vec![restate(cx, format!("{}.size", self.path), hole.and_then(|hole| hole.size.as_ref()), to)];
            vec![Proposal {
                text: format!("if it is not drilled yet, drill it {} at most", mm(to)),
                effort: Effort::Minutes,
                edits,
            }]
        };
        let wide = self.draft().words("is wide", "may be wide").compare(size, &sizes);
        let mut answers = vec![wide.working(|| [format!("{} mm wide", figure_mm(size))]).remedies(smaller).done()];

        // Below and above, whichever is nearer.
        let below = Estimate::weighted_sum(&[(1.0, height), (-1.0 / 2.0, size)]).offset(-rail.flange);
        let above = Estimate::weighted_sum(&[(-1.0, height), (-1.0 / 2.0, size)]).offset(rail.height - rail.flange);
        let (near, up) = if below.value() < above.value() { (below, true) } else { (above, false) };
        let elsewhere = |goal: &Goal| {
            let edge =
                up_to_step(size.value() / 2.0 + rail.flange + near.value() + goal.change() + step::DRILL_M / 2.0, step::DRILL_M);
            let to = if up { edge } else { rail.height - edge };
            let fits = edge <= rail.height / 2.0;
            let edits = vec![restate(cx, format!("{}.height", self.path), hole.and_then(|hole| hole.height.as_ref()), to)];
            let text = format!("if it is not drilled yet, drill it {} above the rail's lower edge", mm(to));
            fits.then_some(Proposal { text, effort: Effort::Minutes, edits }).into_iter().collect()
        };
        let flange = if up { "lower" } else { "upper" };
        answers.push(
            self.draft()
                .words("leaves", "is to leave")
                .compare(&near, &cx.limits("mount/hole-to-flange"))
                .sentence(format!("steel between the hole and the inside of the {flange} flange"))
                .working(|| self.edge_lines(rail, size, height, up))
                .remedies(elsewhere)
                .done(),
        );
        answers.extend(self.beside(size, height)?);
        Ok(answers)
    }

    fn edge_lines(&self, rail: &Sizes, size: &Estimate, height: &Estimate, up: bool) -> Vec<String> {
        let mm = |value: f64| working::figure(value * MILLI, 1);
        let (height, half, flange, whole) = (mm(height.value()), mm(size.value() / 2.0), mm(rail.flange), mm(rail.height));
        let left = height.get() - half.get() - flange.get();
        if up {
            return vec![format!("{height} - {half} - {flange} = {} mm to the lower flange", working::number(left, 1))];
        }
        let left = whole.get() - height.get() - half.get() - flange.get();
        vec![format!("{whole} - {height} - {half} - {flange} = {} mm to the upper flange", working::number(left, 1))]
    }

    /// The distance to the nearest other hole in the web of the same rail, whoever made it; none where it is alone.
    fn beside(&self, size: &Estimate, height: &Estimate) -> Result<Option<Finding>, Gap> {
        let cx = self.cx;
        let Some(frame) = frame(cx) else { return Ok(None) };
        let x = self.told("x")?;
        let told = cx.facts().mounts();
        let mut nearest: Option<(Estimate, f64, String, f64)> = None;
        for (index, other) in frame.hole.iter().enumerate() {
            let path = format!("chassis.frame.hole[{}]", index + 1);
            let apart = matches!((other.rail, self.side), (Some(a), Some(b)) if a != b);
            if path == self.path || apart || other.face != Some(Face::Web) {
                continue;
            }
            let get = |key: &str| told.told(&format!("{path}.{key}"));
            let (Ok(there), Ok(up), Ok(wide)) = (get("x"), get("height"), get("size")) else { continue };
            let inputs = [x, there, height, up, size, wide];
            let steel = Estimate::propagate(&inputs, |at| match at {
                [x, there, height, up, size, wide] => {
                    let (along, over) = (x - there, height - up);
                    Ok((along * along + over * over).sqrt() - (size + wide) / 2.0)
                }
                _ => Err(Gap::at(self.path.clone())),
            })?;
            if nearest.as_ref().is_none_or(|(least, ..)| steel.value() < least.value()) {
                nearest = Some((steel, wide.value(), format!("hole {}", index + 1), there.value()));
            }
        }
        let Some((steel, wide, name, there)) = nearest else { return Ok(None) };
        let larger = Estimate::exact(size.value().max(wide));
        let mut held = cx.limits("mount/hole-spacing");
        held.extend(cx.limits("mount/hole-spacing-share").into_iter().map(|held| held.times(&larger, Dimension::Length)));
        let stated = self.path.strip_prefix("chassis.frame.hole[").and_then(|rest| rest.strip_suffix(']')?.parse::<usize>().ok());
        let stated = stated.and_then(|at| frame.hole.get(at.checked_sub(1)?)?.x.as_ref());
        let away = |goal: &Goal| {
            let way = if x.value() < there { -1.0 } else { 1.0 };
            let apart = (wide + size.value()) / 2.0 + steel.value() + goal.change() + step::DRILL_M / 2.0;
            let to = there + way * up_to_step(apart, step::DRILL_M);
            let edits = vec![restate(cx, format!("{}.x", self.path), stated, to)];
            let text = format!(
                "if it is not drilled yet, drill it at {} from the front axle",
                to_step(cx, to, Dimension::Length, step::DRILL_M)
            );
            vec![Proposal { text, effort: Effort::Minutes, edits }]
        };
        let draft = self.draft().words("leaves", "is to leave").compare(&steel, &held);
        let draft = draft.sentence(format!("steel between it and {name}"));
        Ok(Some(draft.working(|| [format!("{} mm of steel to {name}", figure_mm(&steel))]).remedies(away).done()))
    }

    /// A flange is not to be drilled or cut; how little is left of the rail's strength.
    fn in_a_flange(&self, rail: &Sizes, place: Place, size: &Estimate, left: &dyn Fn(f64, f64) -> f64) -> Vec<Finding> {
        let whole = properties(Shape::Channel, rail).w_x;
        let ratio = Estimate::propagate(&[size], |at| match at {
            [size] => Ok::<f64, Gap>(whole / left(*size, 0.0)),
            _ => Err(Gap::at(self.path.clone())),
        });
        let Ok(ratio) = ratio else { return Vec::new() };
        let lines = || {
            let cm3 = |w: f64| working::figure(w * CM3, 2);
            let (whole, left) = (cm3(whole), cm3(left(size.value(), 0.0)));
            [format!("{whole} cm3 whole / {left} cm3 left = {}", working::number(whole.get() / left.get(), 3))]
        };
        let held = self.cx.limits("mount/flange-weakening");
        let draft = self.draft().words("raises the stress to", "may raise it to").compare(&ratio, &held);
        let draft = draft.sentence(match place {
            Place::Notch(_) => "a flange is not to be cut: it carries the truck; packers at the other corners make a body level",
            Place::Flange(_) | Place::Web => "a flange is not to be drilled: it carries the truck",
        });
        let draft = draft.working(lines);
        let draft = draft.remedies(|_| self.through_the_web(rail, place).into_iter().collect());
        let passes = draft.verdict() == check::Verdict::Pass;
        let mut answers = vec![draft.done()];
        if passes {
            let more = working::percent(ratio.value() - 1.0);
            let sentence = format!(
                "{more} more stress is little, but a flange is not to be drilled or cut without the chassis maker's letter"
            );
            answers.push(self.draft().require(Holds::Unknown(format!("{}.made_by", self.path)), sentence).done());
        }
        answers
    }

    /// A hole that is not drilled yet goes through the middle of the web.
    fn through_the_web(&self, rail: &Sizes, place: Place) -> Option<Proposal> {
        if !matches!(place, Place::Flange(_)) {
            return None;
        }
        let path = |key: &str| format!("{}.{key}", self.path);
        let face = Edit { path: path("face"), op: EditOp::Set, from: None, to: Some(Free::Text(Face::Web.word().to_owned())) };
        Some(Proposal {
            text: format!(
                "if it is not drilled yet, drill it through the web, {} above the rail's lower edge",
                to_step(self.cx, rail.height / 2.0, Dimension::Length, step::DRILL_M)
            ),
            effort: Effort::Minutes,
            edits: vec![face, set(path("height"), None, rail.height / 2.0, Dimension::Length)],
        })
    }

    /// A torch spoils the steel beside the cut of a heat-treated rail.
    fn flame(&self, heat_treated: Option<YesNo>) -> Option<Finding> {
        if self.cut != Cut::Flame {
            return None;
        }
        let (holds, sentence) = match heat_treated {
            Some(YesNo::Yes) => {
                (Holds::No, "a torch was at a heat-treated rail: beside the cut it is soft, and nobody can say how far")
            }
            Some(YesNo::No) => return None,
            _ => (
                Holds::Unknown("chassis.frame.heat_treated".to_owned()),
                "a torch was at the rail: if it is heat-treated, it is spoiled beside the cut",
            ),
        };
        Some(self.draft().require(holds, sentence).done())
    }
}

/// What a line of working shows: mm of m, cm3 of m3.
const MILLI: f64 = 1e3;
const CM3: f64 = 1e6;

/// Steps that holes are drilled by. A choice of this project.
mod step {
    /// 1 mm.
    pub(super) const DRILL_M: f64 = 0.001;
}

fn figure_mm(value: &Estimate) -> working::Figure {
    working::figure(value.value() * MILLI, 1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::first;

    fn weakening(cut: &str) -> f64 {
        let finding = first(&FrameNotch, &format!("[chassis.frame]\nrail = \"C 250x80x8\"\nsteel = \"S355\"\n{cut}"));
        finding.demand.expect("it is a number").value.0
    }

    /// C 250x80x8, computed with numpy on the trade's reference page: 8 mm off the top 2.078, 40 mm 2.706; one hole of 14 mm
    /// in the flange 1.1045.
    #[test]
    fn a_flange_that_is_cut_bears_as_worked() {
        let cut = |depth: &str| weakening(&format!("notch = [{{ face = \"top\", depth = \"{depth}\" }}]"));
        assert!((cut("8 mm") - 2.078).abs() < 0.001);
        assert!((cut("40 mm") - 2.706).abs() < 0.001);
        assert!((weakening("hole = [{ face = \"bottom\", size = \"14 mm\" }]") - 1.1045).abs() < 0.001);
    }
}
