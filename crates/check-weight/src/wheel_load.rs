//! weight/wheel-load: is one side of an axle heavier?
//!
//! demand      difference of the left and the right wheels' load as a share of the axle's; case "wheel": load on one wheel
//!             of the heavier side (kg)
//! capacity    the share that the chosen sets allow; case "wheel": the wheel's own rating (kg), at most
//! states      every travel state
//! leaves out  the tyre (`weight/tyre-load`), leaning (`weight/roll-stability`)

use std::borrow::Cow;

use check::remedy::{Effort, Proposal};
use check::{Card, Check, Consequence, Context, Finding, Held, List, Scope, Verdict, Words, on_ledger};
use quantity::{Dimension, Estimate};
use rig_facts::{Item, ItemKind, SideRule, Sides};

use crate::remedy::{self, step};
use crate::subject::{AxleIn, every_axle};
use crate::working;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/wheel-load"),
    question: Cow::Borrowed("Is one side of an axle heavier?"),
    words: Words::new("differs by", "may differ by"),
    consequence: Consequence::Damage,
    scope: Scope::Travel,
    needs: List::Static(&["axle.track", "axle.bare_load", "axle.x", "axle.wheel_rated", "mass.at"]),
    uses: on_ledger!["axle.track", "axle.roll_stiffness", "axle.wheel_rated", "axle.tyre.per_side"],
    limits: List::Static(&["weight/side-difference"]),
    formula: List::Static(&[
        "right = axle load / 2 + moment on this axle / track; left = axle load / 2 - moment / track",
        "moment = sum of mass x place right of the centreline, shared by lever arm, or by the axles' roll stiffness where told",
    ]),
    cautions: List::Static(&["packers make it stand level and leave the wheel loads as they are"]),
};

/// Is one side of an axle heavier?
#[derive(Debug)]
pub struct WheelLoad;

impl Check for WheelLoad {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        every_axle(cx, &CARD, |axle| vec![difference(cx, axle), wheel(cx, axle)])
    }
}

/// Left and right, or the finding that says why not.
fn sides(cx: &Context, axle: AxleIn<'_>, case: Option<&str>) -> Result<Sides, Box<Finding>> {
    let begin = || {
        let draft = CARD.about(cx, axle.about()).at(&axle.facts.path).in_state(&axle.state.name);
        if let Some(case) = case { draft.case(case) } else { draft }
    };
    match axle.state.loads.sides.get(axle.index) {
        Some(Ok(sides)) if sides.left.value() + sides.right.value() > 0.0 => Ok(sides.clone()),
        Some(Ok(_)) => Err(Box::new(begin().require(check::Holds::No, "the axle carries nothing: it lifts").done())),
        Some(Err(gap)) => Err(Box::new(begin().blocked(gap))),
        None => Err(Box::new(begin().missing(axle.key("track")))),
    }
}

fn difference(cx: &Context, axle: AxleIn<'_>) -> Finding {
    let sides = match sides(cx, axle, None) {
        Ok(sides) => sides,
        Err(finding) => return *finding,
    };
    let load = &sides.left + &sides.right;
    let over = &sides.right - &sides.left;
    let sign = over.value().signum();
    let share = (&over / &load).scale(sign);
    let heavier = if sign < 0.0 { "left" } else { "right" };
    let shared = match sides.rule {
        SideRule::LeverArm => "each load counts on the axles it stands between, as on a frame that twists",
        SideRule::RollStiffness => "shared by the axles' roll stiffness, as on a frame that does not twist",
    };
    let [left, right] = [&sides.left, &sides.right].map(|load| working::figure(load.value(), 2));
    let sum = working::figure(left.get() + right.get(), 2);
    let [more, less] = if sign < 0.0 { [left, right] } else { [right, left] };
    let percent = working::percent((more.get() - less.get()) / sum.get());
    let draft = CARD.about(cx, axle.about()).at(&axle.facts.path).in_state(&axle.state.name);
    let draft = draft
        .working(|| {
            [format!("left {left} kg, right {right} kg; {shared}"), format!("({more} kg - {less} kg) / {sum} kg = {percent}")]
        })
        .sentence(format!("the {heavier} side is heavier; {shared}"));
    let held = cx.limits("weight/side-difference");
    if held.is_empty() {
        return draft.show(&share, Dimension::Ratio, check::limits::NO_LIMIT);
    }
    draft
        .compare(&share, &held)
        .exhibit("rear-view")
        .remedies(|goal| move_across(cx, axle, &sides, goal.change() * load.value() / 2.0 * sign).into_iter().collect())
        .done()
}

fn wheel(cx: &Context, axle: AxleIn<'_>) -> Finding {
    let begin = || {
        let draft = CARD.about(cx, axle.about()).at(&axle.facts.path).in_state(&axle.state.name);
        draft.case("wheel").words("puts on one wheel", "may put").consequence(Consequence::Injury)
    };
    let Some(rated) = axle.axle.wheel_rated.as_ref().and_then(|rated| rated.value()) else {
        return begin().missing(axle.key("wheel_rated"));
    };
    let sides = match sides(cx, axle, Some("wheel")) {
        Ok(sides) => sides,
        Err(finding) => return *finding,
    };
    let (name, load, sign) =
        if sides.left.value() > sides.right.value() { ("left", &sides.left, -1.0) } else { ("right", &sides.right, 1.0) };
    let told = axle.axle.tyre.as_ref().and_then(|tyre| tyre.per_side).map(f64::from);
    let wheels = told.unwrap_or(1.0);
    let one = load.scale(1.0 / wheels);
    let rating = Held::plate("wheel rating", Estimate::exact(rated), Dimension::Mass);
    let draft = begin().compare(&one, &[rating]).working(|| {
        let load = working::figure(load.value(), 1);
        [format!("{load} kg on the {name} side / {wheels} = {} a wheel", working::kg(load.get() / wheels))]
    });
    match (told, draft.verdict()) {
        (None, Verdict::Pass) => draft.sentence("even if there is one wheel a side").done(),
        (None, _) => begin().missing(axle.key("tyre.per_side")),
        (Some(_), _) => {
            draft.remedies(|goal| move_across(cx, axle, &sides, goal.change() * wheels * sign).into_iter().collect()).done()
        }
    }
}

/// Move one piece across, away from the heavier side, so that the right side loses `change` kg (negative: gains): the
/// piece that has to move least of those that stay within the body.
fn move_across(cx: &Context, axle: AxleIn<'_>, sides: &Sides, change: f64) -> Option<Proposal> {
    let track = axle.facts.track.as_ref().ok()?.value();
    let (left, right) = cx.facts().body().outer(1).ok()?;
    let walls = cx.facts().body().walls.value();
    let (left, right) = (left.value() + walls, right.value() - walls);
    let mut best: Option<(f64, f64, &Item)> = None;
    for item in axle.state.items.iter().filter(|item| item.kind == ItemKind::Piece && item.in_body && !item.out) {
        let ([Ok(x), Ok(y), _], Ok(mass)) = (&item.at, &item.mass) else { continue };
        let share = moment_share(cx, axle, sides.rule, x.value())?;
        if mass.value() <= 0.0 || share <= 0.0 {
            continue;
        }
        let by = change * track / (mass.value() * share);
        let by = remedy::up_to_step(by.abs(), step::MOVE_M) * -by.signum();
        let half = item.size.map_or(0.0, |[_, width, _]| width / 2.0);
        let to = y.value() + by;
        if to - half >= left && to + half <= right && best.is_none_or(|(least, ..)| by.abs() < least) {
            best = Some((by.abs(), to, item));
        }
    }
    let (by, to, item) = best?;
    let direction = if change > 0.0 { "left" } else { "right" };
    Some(Proposal {
        text: format!(
            "move {} ({}) {} to the {direction}",
            item.name,
            remedy::kilograms(cx, item.mass.as_ref().ok()?.value()),
            remedy::metres(cx, by)
        ),
        effort: Effort::AnAfternoon,
        edits: vec![remedy::restate(cx, format!("{}.at[2]", item.path), remedy::coordinate(cx, &item.name, 1), to)],
    })
}

/// Share of a side moment at x that this axle carries.
fn moment_share(cx: &Context, axle: AxleIn<'_>, rule: SideRule, x: f64) -> Option<f64> {
    let axles = cx.facts().axles();
    match rule {
        SideRule::LeverArm => Some(axles.shares(&axle.state.lifted).ok()?.of_mass_at(axle.index, x)),
        SideRule::RollStiffness => {
            let stiffness = |index: usize| Some(axles.list().get(index)?.roll_stiffness.as_ref().ok()?.value());
            let all: f64 = axles.standing(&axle.state.lifted).filter_map(stiffness).sum();
            Some(stiffness(axle.index)? / all)
        }
    }
}
