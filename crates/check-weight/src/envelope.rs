//! weight/envelope: how long, wide, high may it be, and does it fit where it must?
//!
//! demand      overall height, width, length, length with the trailer (m); the same and the mass (kg) at each `[[passage]]`
//! capacity    the law's size, at most; the clear height less a reserve, width, length and mass of the passage, at most
//! states      every travel state; with pieces out it stands, so states of the camp are not asked
//! leaves out  swing in bends, ramps (`weight/ground-angles`), mirrors, permits for oversize

use std::borrow::Cow;

use basis::Basis;
use check::limits::HeldBound;
use check::remedy::{Effort, Proposal};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, List, Scope, Words, draft::GOAL, on_weights};
use quantity::{Dimension, Estimate, Stated, dim};
use rig_facts::{Extent, Gap, StateFacts};
use rig_model::model::{Passage, Trailer};
use rig_model::path;

use crate::lower::take_out;
use crate::subject::every_state;
use crate::whole;
use crate::working;
use check::limits::NO_LIMIT;

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/envelope"),
    question: Cow::Borrowed("How long, wide, high may it be, and does it fit where it must?"),
    words: Words::new("is", "may be"),
    consequence: Consequence::Legal,
    scope: Scope::Travel,
    needs: List::Static(&["axle.bare_load"]),
    uses: on_weights!["envelope", "passage", "chassis.front_end", "chassis.rear_end", "chassis.width", "chassis.height"],
    limits: List::Static(&[
        "weight/height",
        "weight/height-reserve",
        "weight/width",
        "weight/width-insulated",
        "weight/insulated-walls",
        "weight/length",
        "weight/length-with-trailer",
    ]),
    formula: List::Static(&[
        "height, width, length = what the tape says in [envelope], else the farthest piece",
        "at a passage the height keeps a reserve below the clear height",
    ]),
    cautions: List::Static(&[
        "measure the height with tyres pumped and the rig empty; a sign is older than the asphalt under it",
        "the wider width for insulated walls is for bodies registered as such: ask the inspector",
    ]),
};

/// How long, wide, high may it be, and does it fit where it must?
#[derive(Debug)]
pub struct Envelope;

impl Check for Envelope {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        every_state(cx, &CARD, |state| {
            let size = Size::of(cx, state);
            let mut findings = laws(cx, state, &size);
            for (index, passage) in cx.rig().passage.iter().enumerate() {
                findings.extend(at_passage(cx, state, &size, passage, index));
            }
            findings
        })
    }
}

/// What has to fit through, the coupled trailer included.
struct Size {
    height: Result<Extent, Gap>,
    width: Result<Extent, Gap>,
    alone: Result<Extent, Gap>,
    length: Result<Extent, Gap>,
    mass: Result<Estimate, Gap>,
}

impl Size {
    fn of(cx: &Context, state: &StateFacts) -> Self {
        let extents = &state.extents;
        let trailer = if state.trailer { cx.rig().trailer.as_ref() } else { None };
        let larger = |own: &Result<Extent, Gap>, key: &str, other: fn(&Trailer) -> &Option<Stated<dim::Length>>| {
            let own = own.clone()?;
            let other = trailer.and_then(|trailer| other(trailer).as_ref()?.value());
            Ok(match other.filter(|other| *other > own.value.value()) {
                Some(other) => of_trailer(other, key),
                None => own,
            })
        };
        let length = match trailer {
            None => extents.length.clone(),
            Some(trailer) => extents.length.clone().and_then(|own| {
                let more = trailer.length.as_ref().and_then(|length| length.value()).ok_or_else(|| Gap::at("trailer.length"))?;
                Ok(Extent { value: own.value.offset(more), ..of_trailer(more, "length") })
            }),
        };
        Self {
            height: larger(&extents.top, "height", |trailer| &trailer.height),
            width: larger(&extents.width, "width", |trailer| &trailer.width),
            alone: extents.length.clone(),
            length,
            mass: whole::combination(cx, state),
        }
    }
}

fn of_trailer(value: f64, key: &str) -> Extent {
    Extent { value: Estimate::exact(value), by: "the trailer".to_owned(), path: format!("trailer.{key}") }
}

fn laws(cx: &Context, state: &StateFacts, size: &Size) -> Vec<Finding> {
    let about = |case: &'static str| CARD.about(cx, format!("overall {case}")).at("envelope").in_state(&state.name).case(case);
    let mut findings = vec![
        against(cx, state, about("height"), &size.height, cx.limits("weight/height")),
        against(cx, state, about("width"), &size.width, widths(cx)),
        against(cx, state, about("length"), &size.alone, cx.limits("weight/length")),
    ];
    if state.trailer {
        findings.push(against(cx, state, about("length with trailer"), &size.length, cx.limits("weight/length-with-trailer")));
    }
    findings
}

/// Width limits of the chosen sets; where a set allows more for insulated walls and these are thick enough, that.
fn widths(cx: &Context) -> Vec<Held> {
    let thick = cx.table("weight/insulated-walls").and_then(|table| table.number("what", "insulated walls", "thickness"));
    let walls = cx.rig().body.as_ref().and_then(|body| body.walls.as_ref()?.value());
    let insulated = walls.zip(thick).is_some_and(|(walls, thick)| walls >= thick);
    let set = |held: &Held| held.name.split(':').next().unwrap_or_default().to_owned();
    let wider = if insulated { cx.limits("weight/width-insulated") } else { Vec::new() };
    let usual = cx.limits("weight/width").into_iter().filter(|usual| !wider.iter().any(|wider| set(wider) == set(usual)));
    usual.collect::<Vec<_>>().into_iter().chain(wider.iter().cloned()).collect()
}

fn against(cx: &Context, state: &StateFacts, draft: Draft<'_>, extent: &Result<Extent, Gap>, held: Vec<Held>) -> Finding {
    let extent = match extent {
        Ok(extent) => extent,
        Err(gap) => return draft.blocked(gap),
    };
    if held.is_empty() {
        return draft.show(&extent.value, Dimension::Length, NO_LIMIT);
    }
    fits(cx, state, draft, extent, &held)
}

fn fits(cx: &Context, state: &StateFacts, draft: Draft<'_>, extent: &Extent, held: &[Held]) -> Finding {
    draft
        .compare(&extent.value, held)
        .working(|| [format!("{}: {}", extent.by, working::m(extent.value.value()))])
        .exhibit("side-view")
        .remedies(|goal| leave_highest(cx, state, extent, goal.capacity.value()).into_iter().collect())
        .done()
}

/// Leave at home the piece that reaches farthest, where without it the rig is small enough.
fn leave_highest(cx: &Context, state: &StateFacts, extent: &Extent, most: f64) -> Option<Proposal> {
    let item = state.items.iter().find(|item| item.path == extent.path && item.name == extent.by)?;
    let edit = take_out(state, item);
    let without = cx.with(std::slice::from_ref(&edit)).ok()?;
    let after = &without.facts().state(&state.name)?.extents;
    let same = [(&state.extents.top, &after.top), (&state.extents.width, &after.width), (&state.extents.length, &after.length)];
    let left = same.into_iter().find(|(was, _)| was.as_ref().is_ok_and(|was| was.path == extent.path))?.1.as_ref().ok()?;
    let enough = left.value.interval95().1 <= most && left.value.value() * GOAL <= most;
    enough.then(|| Proposal { text: format!("leave {} at home", item.name), effort: Effort::Minutes, edits: vec![edit] })
}

fn at_passage(cx: &Context, state: &StateFacts, size: &Size, passage: &Passage, index: usize) -> Vec<Finding> {
    let at = path::of("passage", &passage.name, index);
    let begin = |case: &'static str| {
        let draft = CARD.about(cx, passage.name.clone()).at(&at).in_state(&state.name).case(case);
        draft.words("is", "may be").consequence(Consequence::Damage)
    };
    let posted = |key: &str, most: f64, dimension| {
        let name = format!("{key} of {}", passage.name);
        Held::at_most(&name, Estimate::exact(most), dimension, Basis::owner(&name))
    };
    let mut findings = Vec::new();
    let lengths = [
        ("height", &size.height, passage.height),
        ("width", &size.width, passage.width),
        ("length", &size.length, passage.length),
    ];
    for (case, extent, most) in lengths {
        let Some(most) = most.map(|most| most.si()) else { continue };
        let mut held = vec![posted(case, most, Dimension::Length)];
        if case == "height" {
            held.extend(cx.limits("weight/height-reserve").into_iter().map(|reserve| below(reserve, most)));
        }
        findings.push(match extent {
            Ok(extent) => fits(cx, state, begin(case), extent, &held),
            Err(gap) => begin(case).blocked(gap),
        });
    }
    if let Some(most) = passage.mass.map(|most| most.si()) {
        findings.push(match &size.mass {
            Ok(mass) => begin("mass")
                .words("weighs", "may weigh")
                .compare(mass, &[posted("mass", most, Dimension::Mass)])
                .working(|| mass_line(cx, state, mass))
                .done(),
            Err(gap) => begin("mass").blocked(gap),
        });
    }
    if findings.is_empty() {
        findings.push(begin("height").missing(format!("{at}.height")));
    }
    findings
}

/// The truck, and what is coupled to it.
fn mass_line(cx: &Context, state: &StateFacts, mass: &Estimate) -> Option<String> {
    if !state.trailer {
        return Some(format!("truck: {}", working::kg(mass.value())));
    }
    Some(whole::combination_line(state.mass().ok()?, &whole::nose(state).ok()?, cx.facts().trailer_mass().ok()?))
}

/// A reserve below a clear height, as a height.
fn below(reserve: Held, clear: f64) -> Held {
    let bound = match &reserve.bound {
        HeldBound::AtLeast(gap) | HeldBound::AtMost(gap) | HeldBound::Between(gap, _) => gap.scale(-1.0).offset(clear),
    };
    Held { bound: HeldBound::AtMost(bound), ..reserve }
}
