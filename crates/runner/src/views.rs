//! Pictures of the whole rig from facts: one side view and one rear view a state, the power of a year, the roof.

mod power;
mod roof;

use check::exhibit::{Dimensioned, Exhibit, GroundLine, Part, PartKind, Picture, RearView, SideView, Span, Wheel};
use check::{Context, Finding};
use quantity::{Estimate, Num, real};
use rig_facts::ground::{Ramp, first_touch};
use rig_facts::{Gap, Item, ItemKind, StateFacts};

/// Names that findings use for the views of their own state.
const SIDE: &str = "side-view";
const REAR: &str = "rear-view";
/// The name of the one picture of the roof.
const ROOF: &str = "roof-plan";

/// The views of every state; findings that name a view get the id of their own state's.
pub(crate) fn all(context: &Context, findings: &mut [Finding]) -> Vec<Exhibit> {
    let mut exhibits = Vec::new();
    for state in context.facts().states() {
        let exhibit = |kind: &str, words: &str, picture| Exhibit {
            id: id(kind, &state.name),
            title: format!("{words}, {}", state.name),
            state: Some(state.name.clone()),
            picture,
        };
        exhibits.push(exhibit(SIDE, "from the left", Picture::SideView(side_view(context, state))));
        exhibits.extend(rear_view(context, state, findings).map(|view| exhibit(REAR, "from behind", Picture::RearView(view))));
    }
    exhibits.extend(power::all(context, findings));
    exhibits.extend(roof::plan(context).map(|plan| Exhibit {
        id: ROOF.to_owned(),
        title: "the roof from above".to_owned(),
        state: None,
        picture: Picture::RoofPlan(plan),
    }));
    let first = context.facts().states().first().map(|state| state.name.clone());
    for finding in findings {
        let state = finding.state.clone().or_else(|| first.clone()).unwrap_or_default();
        for name in &mut finding.exhibits {
            if name == SIDE || name == REAR {
                *name = id(name, &state);
            }
        }
        finding.exhibits.retain(|name| exhibits.iter().any(|exhibit| exhibit.id == *name));
    }
    exhibits
}

fn id(kind: &str, state: &str) -> String {
    format!("{kind}/{state}")
}

fn span(estimate: &Estimate) -> Span {
    let (low, high) = estimate.interval95();
    Span { value: Num(estimate.value()), low: Num(low), high: Num(high) }
}

fn side_view(context: &Context, state: &StateFacts) -> SideView {
    let facts = context.facts();
    let axles = facts.axles().list();
    let wheels = axles.iter().zip(&context.rig().axle).enumerate().filter_map(|(index, (axle, stated))| {
        Some(Wheel {
            axle: axle.name.clone(),
            x: Num(axle.x.as_ref().ok()?.value()),
            radius: Num(axle.radius.as_ref().map_or(0.0, Estimate::value)),
            load: state.axle_load(index).ok().map(span),
            rated: stated.rated.as_ref().and_then(|rated| rated.value()).map(Num),
            lifted: state.lifted.get(index).copied().unwrap_or(false),
        })
    });
    let mut wheels: Vec<Wheel> = wheels.collect();
    wheels.sort_by(|a, b| a.x.0.total_cmp(&b.x.0));
    let sums = &state.loads.sums;
    SideView {
        lengths: lengths(&wheels, state),
        wheels,
        parts: parts(context, state, 0),
        centre_x: sums.x().ok().as_ref().map(span),
        centre_z: sums.z().ok().as_ref().map(span),
        mass: sums.mass.as_ref().ok().map(span),
        ground_lines: ground_lines(context, state),
        height: state.extents.top.as_ref().ok().map(|top| Num(top.value.value())),
    }
}

fn lengths(wheels: &[Wheel], state: &StateFacts) -> Vec<Dimensioned> {
    let mut lengths = Vec::new();
    let (Some(front), Some(rear)) = (wheels.first(), wheels.last()) else { return lengths };
    let end = |extent: &Result<rig_facts::Extent, Gap>| extent.as_ref().ok().map(|extent| extent.value.value());
    if let Some(nose) = end(&state.extents.front) {
        lengths.push(Dimensioned { name: "front overhang".to_owned(), from: Num(nose), to: front.x });
    }
    if wheels.len() > 1 {
        lengths.push(Dimensioned { name: "wheelbase".to_owned(), from: front.x, to: rear.x });
    }
    if let Some(tail) = end(&state.extents.rear) {
        lengths.push(Dimensioned { name: "rear overhang".to_owned(), from: rear.x, to: Num(tail) });
    }
    lengths
}

fn ground_lines(context: &Context, state: &StateFacts) -> Vec<GroundLine> {
    let touch = |ramp: Ramp| {
        let touch = first_touch(ramp, state, context.facts().axles()).ok()??;
        Some(GroundLine {
            name: ramp.word().to_owned(),
            angle: Num(touch.angle.value()),
            touches: touch.corner.name.clone(),
            x: Num(touch.corner.x.value()),
            z: Num(touch.corner.z.value()),
            from_x: Num(touch.wheel_x),
        })
    };
    Ramp::ALL.into_iter().filter_map(touch).collect()
}

/// The boxes of a view along one direction (0: from the side, 1: from behind), the largest first.
fn parts(context: &Context, state: &StateFacts, direction: usize) -> Vec<Part> {
    let facts = context.facts();
    let mut parts = Vec::new();
    if context.rig().body.is_some()
        && let (Ok((from, to)), Ok((bottom, top))) = (facts.body().outer(direction), facts.body().outer(2))
    {
        parts.push(boxed("body", PartKind::Body, None, [from.value(), to.value(), bottom.value(), top.value()], true));
    }
    parts.extend(chassis_parts(context, direction));
    parts.extend(state.items.iter().filter_map(|item| part(item, direction)));
    parts.sort_by(|a, b| area(b).total_cmp(&area(a)).then_with(|| a.name.cmp(&b.name)));
    parts
}

fn area(part: &Part) -> f64 {
    (part.to.0 - part.from.0) * (part.top.0 - part.bottom.0)
}

fn boxed(name: &str, kind: PartKind, mass: Option<f64>, [from, to, bottom, top]: [f64; 4], sized: bool) -> Part {
    Part {
        name: name.to_owned(),
        kind,
        mass: mass.map(Num),
        from: Num(from),
        to: Num(to),
        bottom: Num(bottom),
        top: Num(top),
        sized,
    }
}

/// Cab and frame as far as the file tells: the cab reaches back to the body, the frame from end to end.
fn chassis_parts(context: &Context, direction: usize) -> Vec<Part> {
    let Some(chassis) = &context.rig().chassis else { return Vec::new() };
    let value = |stated: &Option<quantity::Stated<quantity::dim::Length>>| stated.as_ref().and_then(|stated| stated.value());
    let frame_top = chassis.frame.as_ref().and_then(|frame| value(&frame.top));
    let half_width = value(&chassis.width).map(|width| width / 2.0);
    let mut parts = Vec::new();
    if let (Some(top), Some(bottom)) = (value(&chassis.height), frame_top) {
        let across = match direction {
            0 => value(&chassis.front_end).zip(context.facts().body().outer(0).ok().map(|(front, _)| front.value())),
            _ => half_width.map(|half| (-half, half)),
        };
        parts.extend(across.map(|(from, to)| boxed("cab", PartKind::Chassis, None, [from, to, bottom, top], true)));
    }
    if let (0, Some(top), Some((front, rear))) = (direction, frame_top, value(&chassis.front_end).zip(value(&chassis.rear_end))) {
        // The rail's own height stands first in its section: "C 220x80x7".
        let rail = chassis.frame.as_ref().and_then(|frame| frame.rail.as_deref()).and_then(rail_height);
        parts.extend(rail.map(|height| boxed("frame", PartKind::Chassis, None, [front, rear, top - height, top], true)));
    }
    parts
}

/// Height in m of a section such as "C 220x80x7", written in millimetres.
fn rail_height(section: &str) -> Option<f64> {
    let digits = section.split(|c: char| !c.is_ascii_digit() && c != '.').find(|part| !part.is_empty())?;
    quantity::parse(&format!("{digits} mm"), quantity::Dimension::Length).ok()
}

fn part(item: &Item, direction: usize) -> Option<Part> {
    let kind = match (item.kind, item.out) {
        (_, true) => PartKind::Out,
        (ItemKind::Piece, _) => PartKind::Piece,
        (ItemKind::Tank | ItemKind::Liquid, _) => PartKind::Tank,
        (ItemKind::Person, _) => PartKind::Person,
        (ItemKind::Nose, _) => PartKind::Trailer,
        // The chassis and the body's shell have outlines of their own.
        (ItemKind::Chassis | ItemKind::Body, _) => return None,
    };
    let across = item.at.get(direction)?.as_ref().ok()?.value();
    let [_, _, up] = &item.at;
    let up = up.as_ref().ok()?.value();
    let mass = item.mass.as_ref().ok().map(Estimate::value).filter(|mass| item.kind != ItemKind::Tank || *mass > 0.0);
    if item.kind == ItemKind::Liquid && mass.is_none_or(|mass| mass <= 0.0) {
        return None;
    }
    let half = |direction: usize| item.size.and_then(|size| size.get(direction).copied()).map_or(0.0, |size| size / 2.0);
    let (wide, high) = (half(direction), half(2));
    Some(boxed(&item.name, kind, mass, [across - wide, across + wide, up - high, up + high], item.size.is_some()))
}

fn rear_view(context: &Context, state: &StateFacts, findings: &[Finding]) -> Option<RearView> {
    let axles = context.facts().axles().list();
    let narrow = |index: usize| axles.get(index).and_then(|axle| axle.track.as_ref().ok());
    let index = (0..axles.len()).filter(|index| narrow(*index).is_some()).min_by(|a, b| {
        let track = |index: usize| narrow(index).map_or(f64::INFINITY, Estimate::value);
        track(*a).total_cmp(&track(*b))
    })?;
    let track = narrow(index)?;
    let sums = &state.loads.sums;
    let (y, z) = (sums.y().ok(), sums.z().ok());
    let lean = |factor: Option<&Estimate>| {
        let (y, z) = (y.as_ref()?, z.as_ref()?);
        let one = Estimate::exact(1.0);
        let factor = factor.unwrap_or(&one);
        let tipping = Estimate::propagate(&[track, y, z, factor], |v| match v {
            [track, y, z, factor] => Ok(real::atan(factor * (track / 2.0 - y.abs()) / z)),
            _ => Err(Gap::at("axle")),
        });
        tipping.ok().as_ref().map(span)
    };
    let side = |pick: fn(&rig_facts::Sides) -> &Estimate| {
        let sides: Option<Vec<&Estimate>> = state.loads.sides.iter().map(|sides| sides.as_ref().ok().map(pick)).collect();
        sides.filter(|sides| !sides.is_empty()).map(|sides| span(&Estimate::sum(sides.into_iter())))
    };
    let allowed =
        findings.iter().find(|finding| finding.check == "weight/side-slope" && finding.state.as_deref() == Some(&state.name));
    Some(RearView {
        track: Num(track.value()),
        radius: Num(axles.get(index)?.radius.as_ref().map_or(0.0, Estimate::value)),
        twin: context.rig().axle.get(index).and_then(|axle| axle.tyre.as_ref()?.per_side).is_some_and(|tyres| tyres > 1),
        parts: parts(context, state, 1),
        centre_y: y.as_ref().map(span),
        centre_z: z.as_ref().map(span),
        left: side(|sides| &sides.left),
        right: side(|sides| &sides.right),
        tips_rigid: lean(None),
        tips_sprung: lean(Some(&context.facts().roll().factor)),
        allowed: allowed.and_then(|finding| finding.capacity.as_ref()).map(|capacity| capacity.value),
    })
}
