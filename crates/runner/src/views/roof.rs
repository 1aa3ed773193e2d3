//! The roof from above: panels, hatches, the strip to walk on.

use check::Context;
use check::exhibit::{Patch, RoofPanel, RoofPiece, RoofPieceKind, RoofPlan, Walkway};
use quantity::{Estimate, Num};
use rig_model::model::{HatchKind, Walkway as Side};
use rig_model::path;

/// The roof, where its size can be had; panels that are told where they lie.
pub(super) fn plan(context: &Context) -> Option<RoofPlan> {
    let (rig, facts) = (context.rig(), context.facts());
    let told = |path: &str| facts.power().told(path).map(Estimate::value).ok();
    if rig.panel.is_empty() && rig.roof.is_none() {
        return None;
    }
    let body = rig.body.as_ref()?;
    let walls = body.walls.as_ref().and_then(|walls| walls.value()).unwrap_or(0.0);
    let inside = |stated: Option<&quantity::Stated<quantity::dim::Length>>| Some(stated?.value()? + 2.0 * walls);
    let length = told("roof.length").or_else(|| inside(body.length.as_ref()))?;
    let width = told("roof.width").or_else(|| inside(body.width.as_ref()))?;
    let front = facts.body().front.as_ref().ok()?.value() - walls;
    let (mut panels, mut pieces) = (Vec::new(), Vec::new());
    let roof = rig.roof.as_ref();
    let between = roof.and_then(|roof| roof.gap.as_ref()).map_or(0.0, |gap| gap.si());
    for panel in &rig.panel {
        let item = facts.states().first().and_then(|state| state.items.iter().find(|item| item.name == panel.name));
        let Some([long, wide, _]) = item.and_then(|item| item.size) else { continue };
        let Some([Ok(x), Ok(y), _]) = item.map(|item| &item.at) else { continue };
        // Several of one entry share a middle: they are drawn in a row along the truck.
        let count = panel.count.unwrap_or(1).max(1);
        let first = x.value() - front - (f64::from(count) * (long + between) - between) / 2.0;
        for piece in 0..count {
            panels.push(RoofPanel {
                name: panel.name.clone(),
                patch: Patch {
                    x: Num(first + f64::from(piece) * (long + between)),
                    y: Num(y.value() - wide / 2.0),
                    length: Num(long),
                    width: Num(wide),
                },
                rated: panel.rated.as_ref().and_then(|rated| rated.value()).map(Num),
            });
        }
    }
    for (index, hatch) in roof.into_iter().flat_map(|roof| roof.hatch.iter().enumerate()) {
        let path = format!("roof.hatch{}", path::entry(Some(&hatch.name), index + 1));
        let at = |key: &str, axis: usize| told(&format!("{path}.{key}[{axis}]"));
        let (Some(x), Some(y), Some(long), Some(wide)) = (at("at", 1), at("at", 2), at("size", 1), at("size", 2)) else {
            continue;
        };
        pieces.push(RoofPiece {
            name: hatch.name.clone(),
            kind: match hatch.kind {
                Some(HatchKind::Vent) => RoofPieceKind::Vent,
                Some(HatchKind::Unit) => RoofPieceKind::Unit,
                Some(HatchKind::Rail) => RoofPieceKind::Rail,
                Some(HatchKind::Box) => RoofPieceKind::Box,
                Some(HatchKind::Hatch) | None => RoofPieceKind::Hatch,
            },
            patch: Patch { x: Num(x - long / 2.0), y: Num(y - wide / 2.0), length: Num(long), width: Num(wide) },
            height: told(&format!("{path}.height")).map(Num),
        });
    }
    let edge = roof.and_then(|roof| roof.edge.as_ref()).map(|edge| edge.si());
    let walkway = roof.and_then(|roof| {
        let wide = roof.walkway.as_ref()?.si();
        let y = match roof.walkway_side? {
            Side::Left => -width / 2.0,
            Side::Right => width / 2.0 - wide,
            Side::Centre => -wide / 2.0,
            Side::None => return None,
        };
        Some(Walkway { patch: Patch { x: Num(0.0), y: Num(y), length: Num(length), width: Num(wide) }, wanted: Some(Num(wide)) })
    });
    Some(RoofPlan {
        length: Num(length),
        width: Num(width),
        edge: edge.map(Num),
        panels,
        pieces,
        walkway,
        overlaps: Vec::new(),
        shadows: Vec::new(),
        shadows_at: None,
        heading: told("site.heading").map(Num),
        lengths: Vec::new(),
        widths: Vec::new(),
    })
}
