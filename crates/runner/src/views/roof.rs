//! The picture of the roof from above, from facts.

use check::Context;
use check::exhibit::{
    Corner, Dimensioned, Exhibit, Overlap, Patch, Picture, RoofPanel, RoofPiece, RoofPieceKind, RoofPlan, Shadow, Walkway,
};
use quantity::{Estimate, Num};
use rig_facts::power::Roof;
use rig_facts::power::roof::Rect;
use rig_model::model::{HatchKind, Walkway as Side};

/// Name that findings use.
pub(crate) const ROOF: &str = "roof-plan";

/// The roof, where panels lie on it.
pub(crate) fn plan(context: &Context) -> Option<Exhibit> {
    let roof = Roof::of(context.rig(), context.facts().power(), context.facts().body()).ok()?;
    roof.rects().next()?;
    let picture = Picture::RoofPlan(drawn(context, &roof));
    Some(Exhibit { id: ROOF.to_owned(), title: "the roof from above".to_owned(), state: None, picture })
}

fn drawn(context: &Context, roof: &Roof) -> RoofPlan {
    let rig = context.rig();
    let patch = |rect: &Rect| Patch {
        x: Num(rect.x0),
        y: Num(rect.y0 - roof.width / 2.0),
        length: Num(rect.x1 - rect.x0),
        width: Num(rect.y1 - rect.y0),
    };
    let named: Vec<(String, Rect)> =
        roof.rects().filter_map(|(at, rect)| Some((rig.panel.get(at)?.name.clone(), rect))).collect();
    let rated = |at: usize| context.facts().power().panels().get(at)?.watts.as_ref().ok().map(Estimate::value);
    let panels = roof.rects().zip(&named).map(|((at, rect), (name, _))| RoofPanel {
        name: name.clone(),
        patch: patch(&rect),
        rated: rated(at).map(Num),
    });
    let standing: Vec<(&rig_facts::power::roof::Piece, Rect)> =
        roof.pieces.iter().filter_map(|piece| Some((piece, piece.rect.clone().ok()?))).collect();
    let pieces = standing.iter().map(|(piece, rect)| RoofPiece {
        name: piece.name.clone(),
        kind: kind(piece.kind),
        patch: patch(rect),
        height: piece.height.as_ref().ok().copied().map(Num),
    });
    let mut all = named.clone();
    all.extend(standing.iter().map(|(piece, rect)| (piece.name.clone(), *rect)));
    let mut overlaps = Vec::new();
    for (at, (name, rect)) in named.iter().enumerate() {
        for (other, beside) in all.iter().skip(at + 1) {
            let both = Rect::new(rect.x0.max(beside.x0), rect.y0.max(beside.y0), rect.x1.min(beside.x1), rect.y1.min(beside.y1));
            if both.x1 > both.x0 && both.y1 > both.y0 {
                overlaps.push(Overlap { of: [name.clone(), other.clone()], patch: patch(&both) });
            }
        }
    }
    let shadows = roof.shadows(context.facts().power());
    let shadow = |(of, corners): &(String, Vec<(f64, f64)>)| Shadow {
        of: of.clone(),
        corners: corners.iter().map(|(x, y)| Corner { x: Num(*x), y: Num(y - roof.width / 2.0) }).collect(),
    };
    let whole = |name: &str, from: f64, to: f64| Dimensioned { name: name.to_owned(), from: Num(from), to: Num(to) };
    RoofPlan {
        length: Num(roof.length),
        width: Num(roof.width),
        edge: rig.roof.as_ref().and_then(|roof| roof.edge.as_ref()).map(|edge| Num(edge.si())),
        panels: panels.collect(),
        pieces: pieces.collect(),
        walkway: walkway(context, roof),
        overlaps,
        shadows: shadows.iter().flat_map(|all| &all.of).map(shadow).collect(),
        shadows_at: shadows.as_ref().map(|all| all.at.clone()),
        heading: context.facts().power().told("site.heading").ok().map(|heading| Num(heading.value())),
        lengths: vec![whole("roof", 0.0, roof.length)],
        widths: vec![whole("roof", -roof.width / 2.0, roof.width / 2.0)],
    }
}

/// The strip to walk on, where its width and its side are told.
fn walkway(context: &Context, roof: &Roof) -> Option<Walkway> {
    let told = context.rig().roof.as_ref()?;
    let wide = told.walkway.as_ref()?.si();
    let left = match told.walkway_side? {
        Side::Left => -roof.width / 2.0,
        Side::Right => roof.width / 2.0 - wide,
        Side::Centre => -wide / 2.0,
        Side::None => return None,
    };
    let patch = Patch { x: Num(0.0), y: Num(left), length: Num(roof.length), width: Num(wide) };
    Some(Walkway { patch, wanted: Some(Num(wide)) })
}

fn kind(told: Option<HatchKind>) -> RoofPieceKind {
    match told {
        Some(HatchKind::Hatch) => RoofPieceKind::Hatch,
        Some(HatchKind::Vent) => RoofPieceKind::Vent,
        Some(HatchKind::Unit) => RoofPieceKind::Unit,
        Some(HatchKind::Rail) => RoofPieceKind::Rail,
        Some(HatchKind::Box) | None => RoofPieceKind::Box,
    }
}
