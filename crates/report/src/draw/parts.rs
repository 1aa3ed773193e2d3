//! Boxes of a view: outlines, pieces, tanks; the large ones named in place, the small ones numbered and told below.

use check::exhibit::{Part, PartKind};
use quantity::Dimension;

use super::Shown;
use super::place::{Placer, Rect, rings, within};
use super::sheet::{Anchor, Sheet, fitting, room};
use crate::text::{clean, cut};

/// A numbered dot.
const DOT: (f64, f64) = (18.0, 18.0);
/// How far out a dot may stand from its piece: this many rings of this width.
const DOT_RINGS: u32 = 16;
const DOT_STEP: f64 = 10.0;
/// The spot that a dot's line ends at, and the room kept free around it.
const SPOT: f64 = 2.0;
const SPOT_ROOM: (f64, f64) = (6.0, 6.0);
/// Pieces nearer to each other than this share a place: a dot on one would lie over the spot of the other.
const SAME_PLACE: f64 = 13.0;
/// Columns of the legend, its margin and the height of its lines.
const COLUMNS: usize = 3;
const MARGIN: f64 = 20.0;
const ROW: f64 = 18.0;
/// Room for the number in front of a legend line.
const NUMBER: f64 = 26.0;

/// Where a view stands on the sheet: metres to points.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    /// Points of the view's zero.
    pub(super) zero_x: f64,
    pub(super) ground: f64,
    /// Points a metre.
    pub(super) scale: f64,
}

impl Frame {
    pub(super) fn x(&self, metres: f64) -> f64 {
        self.zero_x + metres * self.scale
    }

    pub(super) fn y(&self, metres: f64) -> f64 {
        self.ground - metres * self.scale
    }

    pub(super) fn point(&self, x: f64, z: f64) -> (f64, f64) {
        (self.x(x), self.y(z))
    }

    pub(super) fn rect(&self, part: &Part) -> Rect {
        let (left, right) = (part.from.0.min(part.to.0), part.from.0.max(part.to.0));
        let (low, high) = (part.bottom.0.min(part.top.0), part.bottom.0.max(part.top.0));
        Rect::new(self.x(left), self.y(high), (right - left) * self.scale, (high - low) * self.scale)
    }
}

/// Whether a part has a place that can be drawn.
pub(super) fn placed(part: &Part) -> bool {
    [part.from, part.to, part.bottom, part.top].iter().all(|number| number.0.is_finite())
}

/// Outlines first, so that nothing inside them is covered.
pub(super) fn outlines(sheet: &mut Sheet, frame: Frame, parts: &[Part]) {
    let outer = |part: &&Part| matches!(part.kind, PartKind::Chassis | PartKind::Body | PartKind::Trailer);
    let told: Vec<&Part> = parts.iter().filter(|part| placed(part) && part.sized).collect();
    for part in told.iter().filter(|part| outer(part)).chain(told.iter().filter(|part| !outer(part))) {
        sheet.rect(class(part.kind), frame.rect(part));
    }
}

fn class(kind: PartKind) -> &'static str {
    match kind {
        PartKind::Chassis => "chassis",
        PartKind::Body => "body",
        PartKind::Piece => "piece",
        PartKind::Tank => "tank",
        PartKind::Person => "person",
        PartKind::Out => "out",
        PartKind::Trailer => "trailer",
    }
}

/// Names and numbers of all parts; what does not fit in place comes back for the legend.
pub(super) fn labels(sheet: &mut Sheet, frame: Frame, parts: &[Part], placer: &mut Placer, shown: Shown) -> Vec<String> {
    let mut small = Vec::new();
    for part in parts.iter().filter(|part| placed(part)) {
        if !named_in_place(sheet, frame, part, placer, shown) {
            small.push(part);
        }
    }
    // Numbered from left to right, so that a number of the legend is soon found.
    small.sort_by(|a, b| {
        let (a, b) = (frame.rect(a).middle(), frame.rect(b).middle());
        a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
    });
    let boxes: Vec<Rect> = small.iter().map(|part| frame.rect(part)).collect();
    dots(sheet, &boxes, placer);
    small.into_iter().map(|part| told(part, shown).join(", ")).collect()
}

/// A numbered dot on every piece; those that share a place stand around it, each with a line to it.
pub(super) fn dots(sheet: &mut Sheet, boxes: &[Rect], placer: &mut Placer) {
    let middles: Vec<(f64, f64)> = boxes.iter().map(Rect::middle).collect();
    let near = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).abs() < SAME_PLACE && (a.1 - b.1).abs() < SAME_PLACE;
    let crowded = |at: usize, own: (f64, f64)| middles.iter().enumerate().any(|(other, place)| other != at && near(own, *place));
    let (shared, alone): (Vec<_>, Vec<_>) =
        middles.iter().copied().enumerate().zip(boxes).partition(|((at, own), _)| crowded(*at, *own));
    let spots: Vec<(usize, (f64, f64))> = shared.into_iter().map(|((at, own), piece)| (at, spot(own, *piece, placer))).collect();
    for (_, spot) in &spots {
        placer.keep_free(Rect::around(spot.0, spot.1, SPOT_ROOM));
    }
    let mut placed = Vec::new();
    for ((at, own), piece) in alone {
        if let Some(dot) = placer.place([Rect::around(own.0, own.1, DOT)]) {
            placed.push((at, dot));
            continue;
        }
        let spot = spot(own, *piece, placer);
        placer.keep_free(Rect::around(spot.0, spot.1, SPOT_ROOM));
        placed.extend(beside(sheet, spot, placer).map(|dot| (at, dot)));
    }
    for (at, spot) in spots {
        placed.extend(beside(sheet, spot, placer).map(|dot| (at, dot)));
    }
    // After all lines, so that none runs over a number.
    placed.into_iter().for_each(|(at, dot)| sheet.dot(dot, at + 1));
}

/// A place for a dot near a spot, with a line to it.
fn beside(sheet: &mut Sheet, spot: (f64, f64), placer: &mut Placer) -> Option<Rect> {
    let dot = placer.place(rings(spot, DOT, false, DOT_STEP, DOT_RINGS));
    if let Some(dot) = dot {
        sheet.line("leader", spot, dot.middle());
    }
    sheet.circle("spot", spot, SPOT);
    dot
}

/// Where the spot of a piece stands: in its middle; where a label covers that, at another point of it if one is free.
fn spot(own: (f64, f64), piece: Rect, placer: &Placer) -> (f64, f64) {
    let middle = Rect::around(own.0, own.1, SPOT_ROOM);
    let slots = [middle].into_iter().chain(within(piece, SPOT_ROOM, false));
    slots.into_iter().find(|slot| placer.is_free(slot)).map_or(own, |slot| slot.middle())
}

fn named_in_place(sheet: &mut Sheet, frame: Frame, part: &Part, placer: &mut Placer, shown: Shown) -> bool {
    if !part.sized {
        return false;
    }
    let lines = told(part, shown);
    let from_top = matches!(part.kind, PartKind::Chassis | PartKind::Body | PartKind::Trailer);
    for lines in [vec![lines.join(", ")], lines] {
        if let Some(rect) = placer.place(within(frame.rect(part), room(&lines), from_top)) {
            sheet.label(rect, &lines, Anchor::Middle, false);
            return true;
        }
    }
    false
}

/// Name and mass.
fn told(part: &Part, shown: Shown) -> Vec<String> {
    let mut lines = vec![clean(&part.name)];
    lines.extend(part.mass.filter(|mass| mass.0.is_finite() && mass.0 > 0.0).map(|mass| shown.exact(mass.0, Dimension::Mass)));
    if part.kind == PartKind::Out {
        lines.push("out".to_owned());
    }
    lines
}

/// The numbered list below a view; the sheet ends under it.
pub(super) fn legend(sheet: &mut Sheet, top: f64, entries: &[String]) {
    legend_in(sheet, top, entries, COLUMNS);
}

/// The same in so many columns.
pub(super) fn legend_in(sheet: &mut Sheet, top: f64, entries: &[String], columns: usize) {
    let width = (sheet.width - 2.0 * MARGIN) / columns as f64;
    let rows = entries.len().div_ceil(columns);
    for (at, entry) in entries.iter().enumerate() {
        let x = MARGIN + (at / rows.max(1)) as f64 * width;
        let y = top + (at % rows.max(1)) as f64 * ROW;
        sheet.dot(Rect::new(x, y - 1.0, 17.0, 17.0), at + 1);
        let line = vec![cut(entry, fitting(width - NUMBER - 8.0))];
        let (w, h) = room(&line);
        sheet.label(Rect::new(x + NUMBER, y, w, h), &line, Anchor::Left, false);
    }
    sheet.height = top + rows as f64 * ROW + MARGIN;
}
