//! What is drawn on and over a roof plan: shadows, the compass, the legend.

use check::exhibit::{RoofPieceKind, RoofPlan, Shadow};
use quantity::{Dimension, real};

use super::Shown;
use super::keys::{Key, Swatch};
use super::place::Rect;
use super::roof::{Plan, WIDTH, class, drawable, told_edge};
use super::sheet::{Anchor, SMALL, Sheet, room};
use crate::text::{clean, cut};

/// The compass: its radius, the needle's half width, how far out the letter stands, and where its middle is from the right.
const RING: f64 = 22.0;
const NEEDLE: f64 = 6.0;
const LETTER: f64 = 32.0;
const FROM_RIGHT: f64 = 60.0;
/// A bearing is told to whole degrees: nobody parks finer. The half width that rounds so.
const BEARING: f64 = 5.0;

/// Points off the sheet that a shadow may reach: a low sun's ends there, and what is farther is no shadow.
const FARTHEST: f64 = 1e9;

/// Corner points of a shadow on the sheet, cut at the roof's edges.
fn on_the_roof(plan: &Plan, shadow: &Shadow) -> Vec<(f64, f64)> {
    let corners: Vec<(f64, f64)> = shadow.corners.iter().map(|corner| plan.point(corner.x.0, corner.y.0)).collect();
    if corners.iter().any(|(x, y)| !(x.abs() <= FARTHEST && y.abs() <= FARTHEST)) {
        return Vec::new();
    }
    let roof = plan.roof;
    let corners = cut_at(&corners, |(x, _)| x - roof.x);
    let corners = cut_at(&corners, |(x, _)| roof.right() - x);
    let corners = cut_at(&corners, |(_, y)| y - roof.y);
    cut_at(&corners, |(_, y)| roof.bottom() - y)
}

/// The part of a polygon where a linear function is not negative (Sutherland and Hodgman's way, from memory).
fn cut_at(corners: &[(f64, f64)], inside: impl Fn((f64, f64)) -> f64) -> Vec<(f64, f64)> {
    let mut kept = Vec::new();
    for (at, here) in corners.iter().enumerate() {
        let Some(next) = corners.get((at + 1) % corners.len()) else { continue };
        let (a, b) = (inside(*here), inside(*next));
        if a >= 0.0 {
            kept.push(*here);
        }
        if (a < 0.0) != (b < 0.0) {
            let share = a / (a - b);
            kept.push((here.0 + (next.0 - here.0) * share, here.1 + (next.1 - here.1) * share));
        }
    }
    kept
}

pub(super) fn shadows(sheet: &mut Sheet, plan: &Plan, roof: &RoofPlan) {
    for shadow in &roof.shadows {
        let corners = on_the_roof(plan, shadow);
        if corners.len() > 2 {
            sheet.polygon("shade", &corners);
        }
    }
}

/// Over the roof: how to read it, and the compass.
pub(super) fn above(sheet: &mut Sheet, plan: &Plan, roof: &RoofPlan, shown: Shown) {
    let heading = roof.heading.map(|heading| heading.0).filter(|heading| heading.is_finite());
    let mut lines = vec!["seen from above, the front at the left, the rig's right side up".to_owned()];
    lines.extend(heading.map(|heading| {
        let bearing = shown.amount(heading, Dimension::Angle, BEARING.to_radians());
        format!("parked with the nose to {bearing}, clockwise from true north")
    }));
    lines.extend(
        roof.shadows_at.iter().filter(|_| !roof.shadows.is_empty()).map(|at| cut(&format!("shadows of {}", clean(at)), LONGEST)),
    );
    let (w, h) = room(&lines);
    sheet.label(Rect::new(MARGIN, sheet.top() + 2.0, w, h), &lines, Anchor::Left, false);
    arrow(sheet, (plan.roof.x, plan.roof.y - SMALL));
    if let Some(heading) = heading {
        compass(sheet, (WIDTH - FROM_RIGHT, sheet.top() + LETTER + SMALL / 2.0), heading);
    }
}

/// Columns of the longest line over the roof, and where it begins.
const MARGIN: f64 = 20.0;
const LONGEST: usize = 76;

/// An arrow to the front, with its word.
fn arrow(sheet: &mut Sheet, (x, y): (f64, f64)) {
    sheet.polygon("needle", &[(x, y), (x + 2.0 * NEEDLE, y - NEEDLE), (x + 2.0 * NEEDLE, y + NEEDLE)]);
    let line = vec!["front".to_owned()];
    let (w, h) = room(&line);
    sheet.label(Rect::new(x + 2.0 * NEEDLE + 5.0, y - h / 2.0, w, h), &line, Anchor::Left, false);
}

/// A needle to true north. The nose points left and bearings run clockwise as seen from above, so north lies `heading`
/// counter-clockwise from the left.
fn compass(sheet: &mut Sheet, (x, y): (f64, f64), heading: f64) {
    let (sin, cos) = real::sin_cos(heading);
    let north = (-cos, sin);
    let at = |along: f64, aside: f64| (x + north.0 * along - north.1 * aside, y + north.1 * along + north.0 * aside);
    sheet.circle("ring", (x, y), RING);
    sheet.polygon("needle", &[at(RING, 0.0), at(-RING / 2.0, NEEDLE), at(-RING / 4.0, 0.0), at(-RING / 2.0, -NEEDLE)]);
    let letter = vec!["N".to_owned()];
    let (tip, size) = (at(LETTER, 0.0), room(&letter));
    sheet.label(Rect::around(tip.0, tip.1, size), &letter, Anchor::Middle, true);
}

/// What the marks mean.
pub(super) fn legend(roof: &RoofPlan, shown: Shown) -> Vec<Key> {
    let length = |metres: f64| shown.exact(metres, Dimension::Length);
    let mut keys = Vec::new();
    if roof.panels.iter().any(|panel| drawable(&panel.patch)) {
        keys.push(Key::new(Swatch::Box(&["panel"]), "panel"));
    }
    let kinds: [(RoofPieceKind, &'static [&'static str], &str); 3] = [
        (RoofPieceKind::Hatch, &["opening"], "hatch or vent"),
        (RoofPieceKind::Unit, &["solid"], "unit or box"),
        (RoofPieceKind::Rail, &["rail"], "rail"),
    ];
    let drawn = |kind| roof.pieces.iter().any(|piece| drawable(&piece.patch) && class(piece.kind) == class(kind));
    keys.extend(
        kinds.into_iter().filter(|(kind, ..)| drawn(*kind)).map(|(_, swatch, words)| Key::new(Swatch::Box(swatch), words)),
    );
    if let Some(walkway) = roof.walkway.filter(|walkway| drawable(&walkway.patch)) {
        let wanted = walkway.wanted.filter(|wanted| wanted.0.is_finite());
        let wanted = wanted.map(|wanted| format!(", {} wanted", length(wanted.0))).unwrap_or_default();
        keys.push(Key::new(Swatch::Box(&["walk"]), format!("walkway{wanted}")));
    }
    keys.extend(told_edge(roof).map(|edge| Key::new(Swatch::Box(&["edge"]), format!("edge kept free, {}", length(edge)))));
    let casting: Vec<String> = roof.shadows.iter().map(|shadow| clean(&shadow.of)).collect();
    if !casting.is_empty() {
        keys.push(Key::new(Swatch::Box(&["shade"]), format!("shadow of {}", casting.join(", "))));
    }
    for overlap in roof.overlaps.iter().filter(|overlap| drawable(&overlap.patch)) {
        let [one, other] = &overlap.of;
        let size = format!("{} by {}", length(overlap.patch.length.0), length(overlap.patch.width.0));
        let words = format!("{} lies over {}, {size}", clean(one), clean(other));
        keys.push(Key::new(Swatch::Hatched("both", "clash"), words));
    }
    keys
}
