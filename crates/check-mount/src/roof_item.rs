//! mount/roof-item: will the panel or box fly off?
//!
//! demand      case "lift": what the wind of the rig's top speed and a head wind lifts one piece with (N); case "along": what
//!             pushes it along or across the roof, wind and a stop together (N); case "stops": what holds it if glue lets go
//! capacity    what its screws or bolts hold pulled out, and sideways; a strip of glue where nothing else holds it
//! states      once: the mass is that of the travel state in which it weighs most
//! leaves out  what the roof under the screws is worth, vibration; inside the body `mount/inside`; awnings `mount/awning`

use std::borrow::Cow;

use check::draft::has_reserve;
use check::edits::{set, to_step, up_to_step};
use check::remedy::{Effort, Proposal};
use check::working::{figure, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Holds, List, Scope, Words, on_riders};
use physics::facts::gravity;
use physics::{mount_facts, wind};
use quantity::{Dimension, Estimate};
use rig_facts::{Gap, mounts};
use rig_model::model::{EdgeZone, RoofItem as Item};
use rig_model::{Edit, EditOp, Free, Thing, path};

use crate::fastened::{self, Hold, Way};
use crate::sources::{HOLDING, taken};
use crate::things::{self, Laden};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("mount/roof-item"),
    question: Cow::Borrowed("Will the panel or box on the roof fly off?"),
    words: Words::new("is lifted with", "is held with"),
    consequence: Consequence::Injury,
    scope: Scope::Once,
    needs: List::Static(&["roof_item", "top_speed"]),
    uses: on_riders!["head_wind"],
    limits: List::Static(&["mount/bond-stress"]),
    formula: List::Static(&[
        "lift = q x area x coefficient; q = half of the air's density x speed2; speed = top speed + head wind",
        "along = drag + mass x acceleration of a stop; drag = q x area seen from the front x 1.3",
        "screws by EN 1995-1-1 (8.7.2) or NDS, bolts by EN 1993-1-8; the best kind counts, they do not share",
    ]),
    cautions: List::Static(&[
        "a panel that flies off kills whoever drives behind: look at every fixing before each journey",
        "a screw holds what is under the skin, not the skin: a wet or delaminated roof holds nothing",
        "keep off a wet roof, and off any roof without something to hold on to",
    ]),
};

/// Will the panel or box fly off?
#[derive(Debug)]
pub struct RoofItem;

/// Top speeds are spoken of in steps of 5 km/h. A choice of this project.
const SPEED_STEP: &str = "5 km/h";

impl Check for RoofItem {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        if cx.rig().roof_item.is_empty() {
            return vec![CARD.about(cx, "roof").at("roof_item").missing("roof_item")];
        }
        cx.rig().roof_item.iter().enumerate().flat_map(|(index, item)| Subject::of(cx, item, index).findings()).collect()
    }
}

struct Subject<'c> {
    cx: &'c Context,
    item: &'c Item,
    path: String,
    /// The thing in another table that it adds to.
    of: Option<&'c dyn Thing>,
}

/// The wind that the roof meets.
struct Wind {
    top: f64,
    head: f64,
}

impl Wind {
    fn of(cx: &Context) -> Result<Self, Gap> {
        let top = cx.rig().top_speed.ok_or_else(|| Gap::at("top_speed"))?.si();
        let head = cx.rig().head_wind.map_or_else(|| taken(HOLDING, "head wind where none is told, m/s"), |speed| speed.si());
        Ok(Self { top, head })
    }

    fn pressure(&self) -> f64 {
        wind::dynamic_pressure(self.top + self.head, mount_facts::body().air_density)
    }

    fn line(&self) -> String {
        let (top, head) = (figure(self.top, 2), figure(self.head, 2));
        let speed = figure(top.get() + head.get(), 2);
        let density = mount_facts::body().air_density;
        let pressure = number(wind::dynamic_pressure(speed.get(), density), 0);
        format!("q = {density} kg/m3 x ({top} + {head}) m/s x ({top} + {head}) m/s / 2 = {pressure} Pa")
    }

    fn words(&self, cx: &Context) -> String {
        let told = |speed: f64| quantity::show(speed, Dimension::Speed, check::edits::system(cx), None);
        let assumed = if cx.rig().head_wind.is_some() { "" } else { " (taken: none is told)" };
        format!("at {} against a head wind of {}{assumed}", told(self.top), told(self.head))
    }
}

impl<'c> Subject<'c> {
    fn of(cx: &'c Context, item: &'c Item, index: usize) -> Self {
        let path = path::of("roof_item", &item.name, index);
        Self { cx, item, path, of: item.of.as_deref().and_then(|name| cx.rig().thing(name)) }
    }

    fn begin(&self, case: &'static str) -> Draft<'c> {
        let draft = CARD.about(self.cx, self.item.name.clone()).at(&self.path).case(case);
        if case == "along" { draft.words("is pushed with", "is held with") } else { draft }
    }

    fn key(&self, key: &str) -> String {
        format!("{}.{key}", self.path)
    }

    fn told(&self, key: &str) -> Result<Estimate, Gap> {
        self.cx.facts().mounts().told(&self.key(key)).cloned()
    }

    /// Outer size, m: length, width, height.
    fn size(&self) -> Option<[f64; 3]> {
        let [length, width, height] = self.item.size.as_ref().or_else(|| self.of?.size())?;
        Some([length.value()?, width.value()?, height.value()?])
    }

    fn area(&self) -> Result<Estimate, Gap> {
        self.told("area").or_else(|gap| self.size().map(|[length, width, _]| Estimate::exact(length * width)).ok_or(gap))
    }

    /// Seen from the front: from the roof up, since air that goes under pushes too.
    fn front(&self) -> Result<Estimate, Gap> {
        if let Ok(area) = self.told("front_area") {
            return Ok(area);
        }
        let [_, width, height] = self.size().ok_or_else(|| Gap::at(self.key("front_area")))?;
        Ok(self.told("over_roof").unwrap_or(Estimate::exact(height)).scale(width))
    }

    /// Mass of one piece where it weighs most; none where it never travels.
    fn mass(&self) -> Result<Option<Laden<'c>>, Gap> {
        let (path, count) = match self.of {
            Some(of) if self.item.mass.is_none() => (of.path(), of.count()),
            _ => (self.path.clone(), self.item.count.unwrap_or(1)),
        };
        let laden = things::heaviest(self.cx, &path)?;
        Ok(laden.map(|laden| Laden { mass: laden.mass.scale(1.0 / f64::from(count.max(1))), ..laden }))
    }

    /// Pressure coefficient and its words.
    fn coefficient(&self, area: f64) -> Option<(f64, String)> {
        let moving = |what: &str| wind::moving_body(what).map(|(coefficient, _)| (coefficient, what.to_owned()));
        if self.item.fairing == Some(true) {
            return moving("behind a fairing");
        }
        let zone = match self.item.zone {
            None => return moving("near the front edge"),
            Some(EdgeZone::Corner) => "corner",
            Some(EdgeZone::Edge) => "edge",
            Some(EdgeZone::Middle) => "middle",
        };
        // Tables of building codes write lift as negative.
        wind::flat_roof(zone, area).map(|coefficient| (-coefficient, format!("{zone} of a flat roof")))
    }

    /// What holds it; glue counts where nothing else does.
    fn hold(&self) -> Result<Hold, Gap> {
        let fasteners = fastened::fasteners(self.cx, &self.path, &self.item.screws, &self.item.bolts)?;
        if let Some(hold) = fasteners {
            return Ok(hold);
        }
        let Some(bond) = &self.item.bond else { return Err(Gap::at(self.key("screws"))) };
        let held = self.cx.limits("mount/bond-stress");
        if held.is_empty() {
            return Err(Gap::because(self.key("screws"), "no chosen set says what glue holds"));
        }
        fastened::bond(self.cx, &self.key("bond"), bond, &held)
    }

    fn findings(&self) -> Vec<Finding> {
        let stops = self.stops();
        let unprimed = self.item.bond.as_ref().is_some_and(|bond| bond.primed == Some(false));
        let mut findings = if stops.is_some() && unprimed {
            let why = "only glue holds it, and that counts for nothing here";
            ["lift", "along"].map(|case| self.begin(case).not_applicable(why)).into()
        } else {
            vec![self.lift(), self.along()]
        };
        findings.extend(stops);
        findings
    }

    fn lift(&self) -> Finding {
        let parts = || Ok((Wind::of(self.cx)?, self.area()?, self.hold()?));
        let (wind, area, hold) = match parts() {
            Ok(parts) => parts,
            Err(gap) => return self.begin("lift").blocked(&gap),
        };
        let Some((coefficient, place)) = self.coefficient(area.value()) else {
            return self.begin("lift").missing(self.key("zone"));
        };
        let lift = area.scale(wind.pressure() * coefficient);
        let draft = match hold.judge(|| self.begin("lift"), &lift, Way::Pull) {
            Ok(draft) => draft,
            Err(finding) => return *finding,
        };
        let sentence = hold.remark(&draft, wind.words(self.cx));
        draft
            .sentence(sentence)
            .working(|| {
                let (pressure, area) = (figure(wind.pressure(), 0), figure(area.value(), 3));
                let cp = figure(coefficient, 2);
                let lift = figure(pressure.get() * area.get() * cp.get(), 0);
                let line = format!(
                    "{pressure} Pa x {area} m2 x {cp} ({place}) = {lift} N; its weight is not counted: a bump takes it off"
                );
                [wind.line(), line].into_iter().chain(hold.lines(Way::Pull)).collect::<Vec<_>>()
            })
            .remedies(|_| {
                let through = self.through(&lift, Way::Pull);
                [more(&hold, &lift, Way::Pull, self.item), through, slower(self.cx, &wind, &lift, &hold)]
                    .into_iter()
                    .flatten()
                    .collect()
            })
            .done()
    }

    fn along(&self) -> Finding {
        let parts = || Ok((Wind::of(self.cx)?, self.front()?, self.mass()?, self.hold()?));
        let (wind, front, laden, hold) = match parts() {
            Ok((wind, front, Some(laden), hold)) => (wind, front, laden, hold),
            Ok((_, _, None, _)) => return self.begin("along").not_applicable("it is at home in every travel state"),
            Err(gap) => return self.begin("along").blocked(&gap),
        };
        let drag_of = wind::moving_body("drag").map_or(f64::NAN, |(coefficient, _)| coefficient);
        let drag = front.scale(wind.pressure() * drag_of);
        let (push, g, name) = worst_push(self.cx, &laden.mass, &drag);
        let draft = match hold.judge(|| self.begin("along"), &push, Way::Sideways) {
            Ok(draft) => draft,
            Err(finding) => return *finding,
        };
        let sentence = hold.remark(&draft, format!("{name}, in {}", laden.state.name));
        draft
            .sentence(sentence)
            .working(|| {
                let (mass, g) = (figure(laden.mass.value(), 1), figure(g, 2));
                let stop = figure(mass.get() * g.get() * gravity(), 0);
                let drag = figure(if name == REARWARD { drag.value() } else { 0.0 }, 0);
                let push = number(stop.get() + drag.get(), 0);
                let line =
                    format!("{mass} kg x {g} x {} m/s2 = {stop} N; with the wind {stop} N + {drag} N = {push} N", gravity());
                [wind.line(), line].into_iter().chain(hold.lines(Way::Sideways)).collect::<Vec<_>>()
            })
            .remedies(|_| {
                [more(&hold, &push, Way::Sideways, self.item), self.through(&push, Way::Sideways)].into_iter().flatten().collect()
            })
            .done()
    }

    /// Bolts through the roof, two for each foot, where none are there yet.
    fn through(&self, force: &Estimate, way: Way) -> Option<Proposal> {
        let count = 2 * self.item.feet.unwrap_or(2).max(2);
        let holds = |hold: &Hold| has_reserve(&hold.strength(way), force);
        let none = self.item.bolts.is_empty();
        none.then(|| fastened::through_bolts(self.cx, &self.path, &self.item.name, count, holds))?
    }

    /// Glue alone wants something that holds when it peels.
    fn stops(&self) -> Option<Finding> {
        let bond = self.item.bond.as_ref()?;
        if !self.item.screws.is_empty() || !self.item.bolts.is_empty() {
            return None;
        }
        let draft = self.begin("stops");
        let wanted = taken(HOLDING, "stops beside a bond");
        let Some(stops) = self.item.stops else { return Some(draft.missing(self.key("stops"))) };
        let holds = if f64::from(stops) >= wanted && bond.primed != Some(false) { Holds::Yes } else { Holds::No };
        let sentence = match (&holds, bond.primed) {
            (Holds::Yes, _) => format!("{stops} stops hold it if the glue peels"),
            (_, Some(false)) => "glue on a skin that was not cleaned and primed counts for nothing".to_owned(),
            _ => format!("glue peels from its ends: {wanted} bolted stops as well, {stops} there now"),
        };
        let edit = || Edit {
            path: self.key("stops"),
            op: EditOp::Set,
            from: Some(Free::Number(stops.into())),
            to: Some(Free::Number(wanted)),
        };
        let text = format!("bolt {wanted} stops to the roof that hold {} if the glue peels", self.item.name);
        let proposal =
            || (bond.primed != Some(false)).then(|| Proposal { text, effort: Effort::AnAfternoon, edits: vec![edit()] });
        Some(draft.require(holds, sentence).proposal(proposal).done())
    }
}

const REARWARD: &str = "starting off against the wind";

/// The hardest push along or across: drag helps a stop, and adds to starting off.
fn worst_push(cx: &Context, mass: &Estimate, drag: &Estimate) -> (Estimate, f64, &'static str) {
    let mut worst = (drag.clone(), 0.0, REARWARD);
    for case in mounts::cases::in_force(cx.rig()) {
        let [x, y, _] = case.g;
        let (g, name, with) = if x > 0.0 {
            (x, REARWARD, true)
        } else if x < 0.0 {
            (-x, "braking", false)
        } else {
            (y.abs(), "swerving", false)
        };
        let force = mass.scale(g * gravity());
        let push = if with { &force + drag } else { force };
        if push.value() > worst.0.value() {
            worst = (push, g, name);
        }
    }
    worst
}

/// More of the fasteners that hold it, in whole numbers for each foot.
fn more(hold: &Hold, force: &Estimate, way: Way, item: &Item) -> Option<Proposal> {
    let [group] = hold.groups.as_slice() else { return None };
    let feet = item.feet.unwrap_or(1).max(1);
    fastened::enough(group, force, way, feet).map(|count| fastened::more_of(group, count, &item.name))
}

/// The speed at which the wind lifts no more than is held.
fn slower(cx: &Context, wind: &Wind, lift: &Estimate, hold: &Hold) -> Option<Proposal> {
    let strength = hold.strength(Way::Pull);
    let step = quantity::parse(SPEED_STEP, Dimension::Speed).ok()?;
    let holds_at = |top: f64| {
        let share = (top + wind.head) / (wind.top + wind.head);
        let lift = lift.scale(share * share);
        has_reserve(&strength, &lift)
    };
    let mut to = up_to_step(wind.top, step) - step;
    while to > wind.top / 2.0 && !holds_at(to) {
        to -= step;
    }
    (to > wind.top / 2.0).then(|| Proposal {
        text: format!("never drive faster than {}", to_step(cx, to, Dimension::Speed, step)),
        effort: Effort::Minutes,
        edits: vec![set("top_speed", Some(wind.top), to, Dimension::Speed)],
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked example: 130 km/h and 10 m/s of head wind: 1302.3 Pa; on 1.7 m2 with 2.0: 4.428 kN (own figures, computed).
    #[test]
    fn a_panel_is_lifted_with_four_and_a_half_kilonewton() {
        let wind = Wind { top: 130.0 / 3.6, head: 10.0 };
        assert!((wind.pressure() - 1302.3).abs() < 0.1);
        assert!((wind.pressure() * 1.7 * 2.0 - 4428.0).abs() < 1.0);
    }
}
