//! The roof from above, to scale: its front at the left as in the side view, so the rig's right side is the upper edge.

use check::exhibit::{Dimensioned, Patch, RoofPiece, RoofPieceKind, RoofPlan};
use quantity::{Dimension, Num};

use super::axis::Scale;
use super::parts::{self, Frame};
use super::place::{Placer, Rect, within};
use super::sheet::{Anchor, Sheet, room};
use super::{Shown, dimensions, hatch, keys, told_list};
use super::{roof_marks, roof_widths};

pub(super) const WIDTH: f64 = 800.0;
/// Room at the left, and over the roof for words and the compass.
const LEFT: f64 = 20.0;
const ABOVE: f64 = 84.0;
const TALLEST: f64 = 460.0;
const GAP: f64 = 8.0;
/// Columns of the numbered list.
const COLUMNS: usize = 2;
/// Pieces of a scale bar's length in the roof's, about.
const BARS: f64 = 8.0;

pub(super) const STYLE: &str = "
.rp .roof{fill:#ffffff;stroke:#1a1a1a;stroke-width:2}.rp .edge{fill:none;stroke:#6b6b6b;stroke-width:1;stroke-dasharray:6 3}
.rp .walk{fill:#e4efe6;stroke:#0b6e4f;stroke-dasharray:2 3}.rp .panel{fill:#cddff1;stroke:#2f5d8a;stroke-width:1.6}
.rp .opening{fill:#ffffff;stroke:#5c6670;stroke-width:1.6}.rp .solid{fill:#f6e9cf;stroke:#7a5b1e;stroke-width:1.6}.rp .rail{fill:#8d949c;stroke:#5c6670}
.rp .shade{fill:#1a1a1a;fill-opacity:0.3;stroke:#1a1a1a;stroke-width:0.7;stroke-dasharray:2 2}.rp .both{fill:#ffffff;fill-opacity:0.5;stroke:#b0007a;stroke-width:2}
.rp .clash{fill:none;stroke:#b0007a;stroke-width:1.6}.rp .needle{fill:#1a1a1a;stroke:#1a1a1a}.rp .ring{fill:none;stroke:#6b6b6b}
@media (prefers-color-scheme:dark){.rp .roof{fill:#1b1f24;stroke:#ececec}.rp .edge,.rp .ring{stroke:#a4a9b0}.rp .walk{fill:#1c3228;stroke:#6fdcb4}
.rp .panel{fill:#23435f;stroke:#86b6e6}.rp .opening{fill:#15181c;stroke:#aab4bf}.rp .solid{fill:#463a20;stroke:#e0bd74}.rp .rail{fill:#6a7078;stroke:#cfd4da}
.rp .shade{fill:#000000;fill-opacity:0.5;stroke:#a4a9b0}.rp .both{fill:#15181c;stroke:#ff7acb}.rp .clash{stroke:#ff7acb}.rp .needle{fill:#ececec;stroke:#ececec}}
";

/// Where the roof stands on the sheet.
#[derive(Clone, Copy)]
pub(super) struct Plan {
    /// Points of the roof's front edge and of its centre line.
    front: f64,
    middle: f64,
    /// Points a metre.
    scale: f64,
    /// The roof.
    pub(super) roof: Rect,
}

impl Plan {
    pub(super) fn point(&self, x: f64, y: f64) -> (f64, f64) {
        (self.front + x * self.scale, self.middle - y * self.scale)
    }

    pub(super) fn rect(&self, patch: &Patch) -> Rect {
        let (left, top) = self.point(patch.x.0, patch.y.0 + patch.width.0);
        Rect::new(left, top, patch.length.0 * self.scale, patch.width.0 * self.scale)
    }
}

/// Whether a patch can be drawn.
pub(super) fn drawable(patch: &Patch) -> bool {
    [patch.x, patch.y, patch.length, patch.width].iter().all(|number| number.0.is_finite())
        && patch.length.0 > 0.0
        && patch.width.0 > 0.0
}

pub(super) fn draw(title: &str, roof: &RoofPlan, shown: Shown) -> Option<Sheet> {
    let mut sheet = Sheet::new(title, WIDTH);
    sheet.style(STYLE);
    let plan = place(roof, sheet.top() + ABOVE)?;
    sheet.rect("roof", plan.roof);
    surfaces(&mut sheet, &plan, roof);
    for overlap in roof.overlaps.iter().filter(|overlap| drawable(&overlap.patch)) {
        keys::swatch(&mut sheet, keys::Swatch::Box(&["both"]), plan.rect(&overlap.patch));
        hatch::rect(&mut sheet, "clash", plan.rect(&overlap.patch));
    }
    roof_marks::above(&mut sheet, &plan, roof, shown);
    let entries = names(&mut sheet, &plan, roof, shown);
    let bottom = measures(&mut sheet, &plan, roof, shown);
    let bottom = scale_bar(&mut sheet, &plan, roof.length.0, bottom + GAP, shown);
    let bottom = keys::rows(&mut sheet, bottom + GAP, &roof_marks::legend(roof, shown));
    parts::legend_in(&mut sheet, bottom + GAP, &entries, COLUMNS);
    sheet.describe(&sentence(roof, shown));
    Some(sheet)
}

/// The roof and all that lies on it or reaches over its edges, as large as the sheet allows.
fn place(roof: &RoofPlan, top: f64) -> Option<Plan> {
    let (length, width) = (roof.length.0, roof.width.0);
    if !(length.is_finite() && width.is_finite() && length > 0.0 && width > 0.0) {
        return None;
    }
    let patches = || patches(roof).filter(|patch| drawable(patch));
    let along = || ends(&roof.lengths).chain(patches().flat_map(|patch| [patch.x.0, patch.x.0 + patch.length.0]));
    let from = along().fold(0.0, f64::min);
    let to = along().fold(length, f64::max);
    let across = ends(&roof.widths).chain(patches().flat_map(|patch| [patch.y.0, patch.y.0 + patch.width.0]));
    let half = across.map(f64::abs).fold(width / 2.0, f64::max);
    let room_for = WIDTH - LEFT - roof_widths::room_for(&roof.widths);
    let scale = (room_for / (to - from)).min(TALLEST / (2.0 * half));
    let (front, middle) = (LEFT - from * scale, top + half * scale);
    let outline = Rect::new(front, middle - width / 2.0 * scale, length * scale, width * scale);
    (scale.is_finite() && scale > 0.0).then_some(Plan { front, middle, scale, roof: outline })
}

fn patches(roof: &RoofPlan) -> impl Iterator<Item = &Patch> {
    let panels = roof.panels.iter().map(|panel| &panel.patch);
    let pieces = roof.pieces.iter().map(|piece| &piece.patch);
    let overlaps = roof.overlaps.iter().map(|overlap| &overlap.patch);
    panels.chain(pieces).chain(overlaps).chain(roof.walkway.as_ref().map(|walkway| &walkway.patch))
}

/// Both ends of every line that can be drawn.
fn ends(lines: &[Dimensioned]) -> impl Iterator<Item = f64> {
    let told = lines.iter().filter(|line| line.from.0.is_finite() && line.to.0.is_finite());
    told.flat_map(|line| [line.from.0, line.to.0])
}

/// The walkway, the edge kept free, panels, shadows, and what stands on the roof.
fn surfaces(sheet: &mut Sheet, plan: &Plan, roof: &RoofPlan) {
    if let Some(walkway) = roof.walkway.filter(|walkway| drawable(&walkway.patch)) {
        sheet.rect("walk", plan.rect(&walkway.patch));
    }
    if let Some(edge) = told_edge(roof) {
        let inset = edge * plan.scale;
        let (w, h) = (plan.roof.w - 2.0 * inset, plan.roof.h - 2.0 * inset);
        sheet.rect("edge", Rect::new(plan.roof.x + inset, plan.roof.y + inset, w, h));
    }
    for panel in roof.panels.iter().filter(|panel| drawable(&panel.patch)) {
        sheet.rect("panel", plan.rect(&panel.patch));
    }
    // Under what stands there: a piece throws its shadow beside itself.
    roof_marks::shadows(sheet, plan, roof);
    for piece in roof.pieces.iter().filter(|piece| drawable(&piece.patch)) {
        sheet.rect(class(piece.kind), plan.rect(&piece.patch));
    }
}

/// The strip kept free, where it leaves something in the middle.
pub(super) fn told_edge(roof: &RoofPlan) -> Option<f64> {
    let most = roof.length.0.min(roof.width.0) / 2.0;
    roof.edge.map(|edge| edge.0).filter(|edge| *edge > 0.0 && *edge < most)
}

pub(super) fn class(kind: RoofPieceKind) -> &'static str {
    match kind {
        RoofPieceKind::Hatch | RoofPieceKind::Vent => "opening",
        RoofPieceKind::Unit | RoofPieceKind::Box => "solid",
        RoofPieceKind::Rail => "rail",
    }
}

/// Names in place where there is room; the others come back for the numbered list.
fn names(sheet: &mut Sheet, plan: &Plan, roof: &RoofPlan, shown: Shown) -> Vec<String> {
    let bounds = Rect::new(LEFT / 2.0, plan.roof.y - GAP, WIDTH - LEFT, plan.roof.h + 2.0 * GAP);
    let mut placer = Placer::new(bounds);
    let overlaps = roof.overlaps.iter().filter(|overlap| drawable(&overlap.patch));
    overlaps.for_each(|overlap| placer.keep_free(plan.rect(&overlap.patch)));
    let pieces = roof.pieces.iter().map(|piece| (&piece.patch, piece_words(piece, shown)));
    let panels = roof.panels.iter().map(|panel| {
        let rated = panel.rated.filter(|rated| rated.0.is_finite()).map(|rated| shown.exact(rated.0, Dimension::Power));
        (&panel.patch, told_list(&panel.name, rated))
    });
    let walkway = roof.walkway.as_ref().map(|walkway| {
        let width = shown.exact(walkway.patch.width.0, Dimension::Length);
        (&walkway.patch, vec!["walkway".to_owned(), width])
    });
    let told: Vec<(Rect, Vec<String>)> = pieces
        .chain(panels)
        .chain(walkway)
        .filter(|(patch, _)| drawable(patch))
        .map(|(patch, words)| (plan.rect(patch), words))
        .collect();
    let mut small = Vec::new();
    for (at, (rect, words)) in told.iter().enumerate() {
        // What stands on this one is named by itself.
        let above: Vec<Rect> = told.iter().take(at).map(|(other, _)| *other).filter(|other| other.overlaps(rect)).collect();
        let clear = |slot: &Rect| !above.iter().any(|other| other.overlaps(slot));
        let forms = [vec![words.join(", ")], words.clone()];
        let placed = forms.into_iter().find_map(|lines| {
            let slots = within(*rect, room(&lines), false).into_iter().filter(clear);
            placer.place(slots).map(|slot| (slot, lines))
        });
        match placed {
            Some((slot, lines)) => sheet.label(slot, &lines, Anchor::Middle, false),
            None => small.push((*rect, words.join(", "))),
        }
    }
    small.sort_by(|(a, _), (b, _)| a.middle().0.total_cmp(&b.middle().0).then(a.middle().1.total_cmp(&b.middle().1)));
    let boxes: Vec<Rect> = small.iter().map(|(rect, _)| *rect).collect();
    parts::dots(sheet, &boxes, &mut placer);
    small.into_iter().map(|(_, words)| words).collect()
}

/// Name and height of a piece.
fn piece_words(piece: &RoofPiece, shown: Shown) -> Vec<String> {
    let height = piece.height.filter(|height| height.0.is_finite() && height.0 > 0.0);
    told_list(&piece.name, height.map(|height| format!("{} high", shown.exact(height.0, Dimension::Length))))
}

/// Dimension lines along and across the roof. Gives the lower end.
fn measures(sheet: &mut Sheet, plan: &Plan, roof: &RoofPlan, shown: Shown) -> f64 {
    let lowest = patches(roof).filter(|patch| drawable(patch)).map(|patch| plan.rect(patch).bottom());
    let ground = lowest.fold(plan.roof.bottom(), f64::max);
    roof_widths::draw(sheet, plan, &roof.widths, shown);
    let frame = Frame { zero_x: plan.front, ground, scale: plan.scale };
    let mut placer = Placer::new(Rect::new(6.0, ground + 2.0, WIDTH - 12.0, f64::from(u16::MAX)));
    dimensions::along(sheet, frame, &roof.lengths, &mut placer, shown)
}

/// A bar of a round length. Gives the lower end.
fn scale_bar(sheet: &mut Sheet, plan: &Plan, length: f64, top: f64, shown: Shown) -> f64 {
    let Some(scale) = Scale::of("m", length, shown) else { return top };
    let Some(one) = scale.ticks(0.0, length, BARS).into_iter().nth(1) else { return top };
    let (from, to) = (plan.roof.x, plan.roof.x + one.si * plan.scale);
    let line = vec![format!("{} {}", one.words, scale.unit())];
    let (w, h) = room(&line);
    let y = top + h / 2.0;
    sheet.line("limit", (from, y), (to, y));
    for end in [from, to] {
        sheet.line("ground", (end, y - 5.0), (end, y + 5.0));
    }
    sheet.label(Rect::new(to + GAP, top, w, h), &line, Anchor::Left, false);
    top + h + GAP
}

/// The picture in words.
fn sentence(roof: &RoofPlan, shown: Shown) -> String {
    let size = |number: Num| shown.exact(number.0, Dimension::Length);
    let watts: f64 =
        roof.panels.iter().filter_map(|panel| panel.rated).map(|rated| rated.0).filter(|rated| rated.is_finite()).sum();
    let overlaps: Vec<String> = roof.overlaps.iter().map(|overlap| overlap.of.join(" and ")).collect();
    let over = if overlaps.is_empty() { "nothing".to_owned() } else { overlaps.join(", ") };
    format!(
        "The roof from above, {} long and {} wide, with {} and {}; {} of panels. One over the other: {over}.",
        size(roof.length),
        size(roof.width),
        crate::text::count(roof.panels.len(), "panel"),
        crate::text::count(roof.pieces.len(), "piece"),
        shown.exact(watts, Dimension::Power),
    )
}
