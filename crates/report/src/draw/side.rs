//! The rig from its left side: nose at the left, to scale.

use check::exhibit::{GroundLine, Part, SideView, Span, Wheel};
use quantity::Dimension;

use super::dimensions;
use super::parts::{self, Frame};
use super::place::{Placer, Rect, rings};
use super::sheet::{Anchor, SMALL, Sheet, room};
use super::{Shown, degrees, finite, told};
use crate::text::clean;

const WIDTH: f64 = 1200.0;
/// Margins left and right of the rig; the height is told in the right one.
const LEFT: f64 = 150.0;
const RIGHT: f64 = 150.0;
/// Free strip above the rig, for labels of what lies inside it.
const ABOVE: f64 = 84.0;
/// Height of the picture at most.
const TALLEST: f64 = 430.0;
/// A radius to draw where none is told, as a share of the rig's height. A drawing's choice: it carries no number.
const WHEEL_SHARE: f64 = 0.14;
/// How far a ground line is drawn past the point that touches.
const PAST: f64 = 0.15;
/// Radius of the spot that touches.
const TOUCH: f64 = 3.0;

pub(super) fn draw(title: &str, view: &SideView, shown: Shown) -> Option<Sheet> {
    let extent = Extent::of(view)?;
    let mut sheet = Sheet::new(title, WIDTH);
    let scale = ((WIDTH - LEFT - RIGHT) / extent.length()).min(TALLEST / extent.top);
    let spare = (WIDTH - LEFT - RIGHT - extent.length() * scale) / 2.0;
    let ground = sheet.top() + ABOVE + extent.top * scale;
    let frame = Frame { zero_x: LEFT + spare - extent.from * scale, ground, scale };
    let mut placer = Placer::new(Rect::new(6.0, sheet.top(), WIDTH - 12.0, f64::from(u16::MAX)));

    sheet.line("ground", (RIGHT / 2.0, ground), (WIDTH - RIGHT / 2.0, ground));
    parts::outlines(&mut sheet, frame, &view.parts);
    wheels(&mut sheet, frame, view, &extent, &mut placer);
    for line in view.ground_lines.iter().filter(|line| drawable(line)) {
        ground_line(&mut sheet, frame, line, &mut placer);
    }
    overall_height(&mut sheet, frame, view, &extent, &mut placer, shown);
    centre(&mut sheet, frame, view, &mut placer, shown);
    for line in view.ground_lines.iter().filter(|line| drawable(line)) {
        name_ground_line(&mut sheet, frame, line, &view.parts, &mut placer, shown);
    }
    // Nothing of the rig itself is named under the ground.
    let mut above = placer;
    above.keep_free(Rect::new(0.0, ground - 1.0, WIDTH, 0.5));
    let entries = parts::labels(&mut sheet, frame, &view.parts, &mut above, shown);
    let mut below = Placer::new(Rect::new(6.0, ground + 2.0, WIDTH - 12.0, f64::from(u16::MAX)));
    let bottom = dimensions::along(&mut sheet, frame, &view.lengths, &mut below, shown);
    let bottom = loads(&mut sheet, frame, view, &mut below, bottom, shown);
    parts::legend(&mut sheet, bottom + 16.0, &entries);
    Some(sheet)
}

/// What has to be on the sheet, in metres.
struct Extent {
    from: f64,
    to: f64,
    top: f64,
}

impl Extent {
    fn of(view: &SideView) -> Option<Self> {
        let parts = view.parts.iter().filter(|part| parts::placed(part));
        let mut across: Vec<f64> = parts.clone().flat_map(|part| [part.from.0, part.to.0]).collect();
        let mut tops: Vec<f64> = parts.flat_map(|part| [part.bottom.0, part.top.0]).collect();
        for wheel in &view.wheels {
            across.extend([wheel.x.0 - wheel.radius.0, wheel.x.0 + wheel.radius.0]);
            tops.push(wheel.radius.0 * 2.0);
        }
        across.extend(view.ground_lines.iter().filter(|line| drawable(line)).map(|line| line.x.0));
        across.extend(view.lengths.iter().flat_map(|length| [length.from.0, length.to.0]));
        tops.extend(view.height.map(|height| height.0));
        tops.extend(view.centre_z.as_ref().map(|z| z.high.0));
        across.retain(|x| x.is_finite());
        tops.retain(|z| z.is_finite());
        let from = across.iter().copied().fold(f64::INFINITY, f64::min);
        let to = across.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let top = tops.iter().copied().fold(0.0, f64::max);
        let length = to - from;
        (length.is_finite() && length > 0.0 && top > 0.0).then_some(Self { from, to, top })
    }

    fn length(&self) -> f64 {
        self.to - self.from
    }
}

fn drawable(line: &GroundLine) -> bool {
    [line.angle, line.x, line.z, line.from_x].iter().all(|number| number.0.is_finite())
}

fn wheels(sheet: &mut Sheet, frame: Frame, view: &SideView, extent: &Extent, placer: &mut Placer) {
    for wheel in view.wheels.iter().filter(|wheel| wheel.x.0.is_finite()) {
        let told = wheel.radius.0.is_finite() && wheel.radius.0 > 0.0;
        let radius = if told { wheel.radius.0 } else { extent.top * WHEEL_SHARE };
        let lift = if wheel.lifted { radius / 4.0 } else { 0.0 };
        let hub = frame.point(wheel.x.0, radius + lift);
        sheet.circle("tyre", hub, radius * frame.scale);
        sheet.circle("hub", hub, radius * frame.scale * 0.45);
        let size = radius * frame.scale * 2.0;
        placer.keep_free(Rect::around(hub.0, hub.1, (size, size)));
    }
}

fn ground_line(sheet: &mut Sheet, frame: Frame, line: &GroundLine, placer: &mut Placer) {
    let foot = frame.point(line.from_x.0, 0.0);
    let touch = frame.point(line.x.0, line.z.0);
    let end = (touch.0 + (touch.0 - foot.0) * PAST, touch.1 + (touch.1 - foot.1) * PAST);
    sheet.line("angle", foot, end);
    sheet.circle("spot", touch, TOUCH);
    placer.keep_free(Rect::around(touch.0, touch.1, (TOUCH * 3.0, TOUCH * 3.0)));
}

/// The angle and what touches, outside the rig where the line points outside, and on no piece where there is room.
fn name_ground_line(sheet: &mut Sheet, frame: Frame, line: &GroundLine, parts: &[Part], placer: &mut Placer, shown: Shown) {
    let lines = vec![format!("{} {}", clean(&line.name), degrees(line.angle.0, shown)), clean(&line.touches)];
    let touch = frame.point(line.x.0, line.z.0);
    let size = room(&lines);
    let outward = if line.x.0 < line.from_x.0 { -1.0 } else { 1.0 };
    let aside = (0..72_u32).map(|step| {
        let (far, down) =
            (14.0 + f64::from(step / 3) * 12.0, [0.0, -1.0, 1.0].get(step as usize % 3).copied().unwrap_or_default());
        Rect::around(touch.0 + outward * (far + size.0 / 2.0), touch.1 + down * size.1, size)
    });
    let slots = aside.chain(rings(touch, size, false, 14.0, 24)).filter(|slot| slot.bottom() <= frame.ground - 2.0);
    let slots: Vec<Rect> = slots.collect();
    let pieces: Vec<Rect> = parts.iter().filter(|part| part.sized && parts::placed(part)).map(|part| frame.rect(part)).collect();
    let bare = |slot: &&Rect| !pieces.iter().any(|piece| slot.overlaps(piece));
    let slots: Vec<Rect> = slots.iter().filter(bare).chain(&slots).copied().collect();
    if let Some(rect) = placer.place(slots) {
        sheet.line("leader", rect.nearest(touch), touch);
        sheet.label(rect, &lines, Anchor::Middle, true);
    }
}

/// The centre of gravity: its sign, the box it lies in 95 times in 100, and its label in the strip above the rig.
fn centre(sheet: &mut Sheet, frame: Frame, view: &SideView, placer: &mut Placer, shown: Shown) {
    let (Some(x), Some(z)) = (&view.centre_x, &view.centre_z) else { return };
    if !finite(x) || !finite(z) {
        return;
    }
    let mut lines =
        vec!["centre of gravity".to_owned(), sentence("behind the front axle", x, shown), sentence("over the ground", z, shown)];
    if let Some(mass) = view.mass.as_ref().filter(|mass| finite(mass)) {
        let (value, range) = told(mass, Dimension::Mass, shown);
        lines.push(format!("whole mass {value}{}", range.map(|range| format!(", {range}")).unwrap_or_default()));
    }
    let at = mark(sheet, frame, x, z, placer);
    let (w, h) = room(&lines);
    let strip = sheet.top() + 6.0 + h / 2.0;
    let aside = [0.0, 1.0, -1.0, 2.0, -2.0, 3.0, -3.0].map(|step| Rect::around(at.0 + step * w / 2.0, strip, (w, h)));
    if let Some(rect) = placer.place(aside.into_iter().chain(rings(at, (w, h), false, 20.0, 20))) {
        let end = rect.nearest(at);
        sheet.line("leader", end, at);
        if end.0 == at.0 {
            placer.keep_free(Rect::new(at.0 - 1.0, end.1, 2.0, at.1 - end.1));
        }
        sheet.label(rect, &lines, Anchor::Middle, true);
    }
}

fn sentence(what: &str, span: &Span, shown: Shown) -> String {
    let (value, range) = told(span, Dimension::Length, shown);
    format!("{what} {value}{}", range.map(|range| format!(", {range}")).unwrap_or_default())
}

/// The sign of a centre of gravity and its range; gives the point.
pub(super) fn mark(sheet: &mut Sheet, frame: Frame, across: &Span, up: &Span, placer: &mut Placer) -> (f64, f64) {
    let (left, right) = (frame.x(across.low.0), frame.x(across.high.0));
    let (top, bottom) = (frame.y(up.high.0), frame.y(up.low.0));
    let range = Rect::new(left.min(right), top.min(bottom), (right - left).abs(), (bottom - top).abs());
    sheet.rect("doubt", range);
    let at = frame.point(across.value.0, up.value.0);
    sheet.circle("centre", at, 8.0);
    sheet.line("centre", (at.0 - 12.0, at.1), (at.0 + 12.0, at.1));
    sheet.line("centre", (at.0, at.1 - 12.0), (at.0, at.1 + 12.0));
    placer.keep_free(Rect::around(at.0, at.1, (26.0, 26.0)));
    placer.keep_free(range);
    at
}

fn overall_height(sheet: &mut Sheet, frame: Frame, view: &SideView, extent: &Extent, placer: &mut Placer, shown: Shown) {
    let Some(height) = view.height.filter(|height| height.0.is_finite() && height.0 > 0.0) else { return };
    let x = frame.x(extent.to) + 34.0;
    let (top, ground) = (frame.y(height.0), frame.ground);
    sheet.line("thin", (x, top), (x, ground));
    sheet.line("thin", (x - 28.0, top), (x + 5.0, top));
    dimensions::tick(sheet, (x, top));
    dimensions::tick(sheet, (x, ground));
    let lines = vec!["height".to_owned(), shown.exact(height.0, Dimension::Length)];
    let (w, h) = room(&lines);
    let middle = (top + ground) / 2.0;
    let slots = [0.0, -2.0, 2.0, -4.0, 4.0].map(|step| Rect::new(x + 8.0, middle - h / 2.0 + step * h, w, h));
    if let Some(rect) = placer.place(slots) {
        sheet.label(rect, &lines, Anchor::Left, false);
    }
    placer.keep_free(Rect::new(x - 1.0, top, 2.0, ground - top));
}

/// What each axle carries and may carry, under its wheel. Gives the lower end.
fn loads(sheet: &mut Sheet, frame: Frame, view: &SideView, placer: &mut Placer, top: f64, shown: Shown) -> f64 {
    let mut bottom = top;
    for wheel in view.wheels.iter().filter(|wheel| wheel.x.0.is_finite()) {
        let lines = load_lines(wheel, shown);
        let (w, h) = room(&lines);
        let x = frame.x(wheel.x.0);
        let slot = |row: u32, side: f64| {
            let middle = (x + side * w / 2.0).max(8.0 + w / 2.0).min(WIDTH - 8.0 - w / 2.0);
            Rect::new(middle - w / 2.0, top + 14.0 + f64::from(row) * (h + 8.0), w, h)
        };
        let slots = (0..u32::from(u8::MAX)).flat_map(|row| [0.0, 0.8, -0.8].map(|side| slot(row, side)));
        if let Some(rect) = placer.place(slots) {
            let head = (x, frame.ground + 6.0);
            sheet.line("leader", head, (x, top + 6.0));
            sheet.line("leader", (x, top + 6.0), rect.nearest((x, top + 6.0)));
            if !wheel.lifted {
                sheet.line("ground", head, (x - 4.0, head.1 + 7.0));
                sheet.line("ground", head, (x + 4.0, head.1 + 7.0));
            }
            sheet.label(rect, &lines, Anchor::Middle, true);
            bottom = bottom.max(rect.bottom());
        }
    }
    bottom + SMALL / 2.0
}

fn load_lines(wheel: &Wheel, shown: Shown) -> Vec<String> {
    let mut lines = vec![clean(&wheel.axle)];
    match wheel.load.as_ref().filter(|load| finite(load)) {
        _ if wheel.lifted => lines.push("lifted".to_owned()),
        Some(load) => {
            let (value, range) = told(load, Dimension::Mass, shown);
            lines.push(format!("carries {value}"));
            lines.extend(range);
        }
        None => lines.push("load not known".to_owned()),
    }
    lines.extend(
        wheel.rated.filter(|rated| rated.0.is_finite()).map(|rated| format!("rated {}", shown.exact(rated.0, Dimension::Mass))),
    );
    lines
}
