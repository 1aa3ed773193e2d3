//! The rig from behind: its right side at the right, to scale.

use check::exhibit::{RearView, Span};
use quantity::{Dimension, Num, real};

use super::parts::{self, Frame};
use super::place::{Placer, Rect, rings};
use super::sheet::{Anchor, Sheet, room};
use super::{Shown, degrees, finite, side, told};

const WIDTH: f64 = 1000.0;
/// Where the rig's middle stands on the sheet.
pub(super) const MIDDLE: f64 = WIDTH / 2.0;
const MARGIN: f64 = 230.0;
const ABOVE: f64 = 84.0;
/// Between the words beside the rig and the rig.
const GAP: f64 = 10.0;
const TALLEST: f64 = 430.0;
/// Width of a drawn tyre as a share of its diameter, and the gap of twins as a share of its width. A drawing's choice:
/// they carry no number.
const TYRE: f64 = 0.28;
const TWIN_GAP: f64 = 0.2;
/// A radius to draw where none is told, as a share of the track. It carries no number either.
const WHEEL_SHARE: f64 = 0.25;
/// A lean line ends over the roof, as a share of the rig's height; but it is never longer than the second share of it.
const OVER_THE_ROOF: f64 = 1.05;
const LONGEST: f64 = 1.22;

pub(super) fn draw(title: &str, view: &RearView, shown: Shown) -> Option<Sheet> {
    let track = view.track.0;
    if !(track.is_finite() && track > 0.0) {
        return None;
    }
    let told = view.radius.0.is_finite() && view.radius.0 > 0.0;
    let drawn = RearView { radius: if told { view.radius } else { Num(track * WHEEL_SHARE) }, ..view.clone() };
    let view = &drawn;
    let (half, top) = extent(view)?;
    let mut sheet = Sheet::new(title, WIDTH);
    let scale = ((WIDTH - 2.0 * MARGIN) / (2.0 * half)).min(TALLEST / top);
    let frame = Frame { zero_x: MIDDLE, ground: sheet.top() + ABOVE + top * scale, scale };
    let mut placer = Placer::new(Rect::new(6.0, sheet.top(), WIDTH - 12.0, frame.ground - sheet.top() - 2.0));

    sheet.line("ground", (MARGIN / 3.0, frame.ground), (WIDTH - MARGIN / 3.0, frame.ground));
    parts::outlines(&mut sheet, frame, &view.parts);
    wheels(&mut sheet, frame, view, &mut placer);
    tips(&mut sheet, frame, view, top, &mut placer, shown);
    let entries = parts::labels(&mut sheet, frame, &view.parts, &mut placer, shown);
    let bottom = under(&mut sheet, frame, view, shown);
    parts::legend(&mut sheet, bottom + 16.0, &entries);
    Some(sheet)
}

/// Half the width and the height that have to be on the sheet, in metres.
fn extent(view: &RearView) -> Option<(f64, f64)> {
    let told = view.parts.iter().filter(|part| parts::placed(part));
    let wide = told.clone().flat_map(|part| [part.from.0.abs(), part.to.0.abs()]);
    let half = wide.fold(view.track.0 / 2.0 + view.radius.0 * TYRE * 2.0, f64::max);
    let high = told
        .flat_map(|part| [part.bottom.0, part.top.0])
        .chain(view.centre_z.as_ref().map(|z| z.high.0).filter(|z| z.is_finite()));
    let top = high.fold(view.radius.0 * 2.0, f64::max);
    (half.is_finite() && top.is_finite()).then_some((half, top))
}

fn wheels(sheet: &mut Sheet, frame: Frame, view: &RearView, placer: &mut Placer) {
    let wide = view.radius.0 * 2.0 * TYRE;
    let apart = wide * (1.0 + TWIN_GAP) / 2.0;
    for side in [-1.0, 1.0] {
        let middle = side * view.track.0 / 2.0;
        let tyres: &[f64] = if view.twin { &[-1.0, 1.0] } else { &[0.0] };
        for at in tyres {
            let (x, y) = frame.point(middle + at * apart - wide / 2.0, view.radius.0 * 2.0);
            let tyre = Rect::new(x, y, wide * frame.scale, view.radius.0 * 2.0 * frame.scale);
            sheet.rect("tyre", tyre);
            placer.keep_free(tyre);
        }
    }
}

/// The centre of gravity and the lines from the tyre it is nearer to. Its own words stand on that side, those of the
/// lines on the other, where they lean to.
fn tips(sheet: &mut Sheet, frame: Frame, view: &RearView, top: f64, placer: &mut Placer, shown: Shown) {
    let (Some(y), Some(z)) = (&view.centre_y, &view.centre_z) else { return };
    if !finite(y) || !finite(z) || z.value.0 <= 0.0 {
        return;
    }
    let nearer = if y.value.0 < 0.0 { -1.0 } else { 1.0 };
    let pivot = pivot(view, nearer, y.value.0, z.value.0);
    let steep = view.tips_rigid.as_ref().filter(|tips| finite(tips)).map_or(1.0, |tips| real::cos(tips.value.0));
    let reach = (top * OVER_THE_ROOF / steep).min(top * LONGEST);
    let foot = frame.point(pivot, 0.0);
    let at = side::mark(sheet, frame, y, z, placer);
    centre_label(sheet, frame, at, (y, z), nearer, placer, shown);
    let exact = |allowed: quantity::Num| Span { value: allowed, low: allowed, high: allowed };
    let rays = [
        ("allowed", "allowed", view.allowed.map(exact)),
        ("angle", "tips on its springs at", view.tips_sprung.clone()),
        ("angle", "tips if stiff at", view.tips_rigid.clone()),
    ];
    for (class, words, span) in rays {
        let Some(span) = span.filter(finite) else { continue };
        let (sin, cos) = real::sin_cos(span.value.0);
        let end = frame.point(pivot - nearer * reach * sin, reach * cos);
        sheet.line(class, foot, end);
        let (value, range) = told(&span, Dimension::Angle, shown);
        let value = if range.is_some() { value } else { degrees(span.value.0, shown) };
        let lines: Vec<String> = [Some(format!("{words} {value}")), range].into_iter().flatten().collect();
        if let Some(rect) =
            placer.place(beside(frame, end, room(&lines), -nearer).chain(rings(end, room(&lines), false, 12.0, 24)))
        {
            sheet.line("leader", rect.nearest(end), end);
            sheet.label(rect, &lines, anchor(-nearer), true);
        }
    }
}

/// Where the rig tips over: where the stiff line through the centre of gravity meets the ground, if that is under the
/// tyres as drawn; the middle of the tyres otherwise.
fn pivot(view: &RearView, nearer: f64, y: f64, z: f64) -> f64 {
    let middle = nearer * view.track.0 / 2.0;
    let under_tyres = view.radius.0 * 2.0 * TYRE * (1.0 + TWIN_GAP);
    let tips = view.tips_rigid.as_ref().filter(|tips| finite(tips)).map(|tips| y + nearer * z * real::tan(tips.value.0));
    tips.filter(|x| (x - middle).abs() <= under_tyres).unwrap_or(middle)
}

/// Words beside the rig end where the rig begins.
fn anchor(side: f64) -> Anchor {
    if side < 0.0 { Anchor::Right } else { Anchor::Left }
}

/// Slots left (-1) or right (1) of the rig, nearest in height to a point first.
fn beside(frame: Frame, (_, y): (f64, f64), (w, h): (f64, f64), side: f64) -> impl Iterator<Item = Rect> {
    let x = if side < 0.0 { (MARGIN - GAP - w).max(8.0) } else { (WIDTH - MARGIN + GAP).min(WIDTH - 8.0 - w) };
    (0_u32..40).map(move |step| {
        let far = f64::from(step.div_ceil(2)) * h * 0.4;
        let middle = if step % 2 == 0 { y + far } else { y - far };
        Rect::new(x, middle.min(frame.ground - h) - h / 2.0, w, h)
    })
}

fn centre_label(
    sheet: &mut Sheet,
    frame: Frame,
    at: (f64, f64),
    (y, z): (&Span, &Span),
    nearer: f64,
    placer: &mut Placer,
    shown: Shown,
) {
    let aside = if nearer < 0.0 { "left of the middle" } else { "right of the middle" };
    let mut lines = vec!["centre of gravity".to_owned()];
    let turned = Span {
        value: quantity::Num(y.value.0 * nearer),
        low: quantity::Num(y.low.0 * nearer),
        high: quantity::Num(y.high.0 * nearer),
    };
    let (low, high) = (turned.low.0.min(turned.high.0), turned.low.0.max(turned.high.0));
    let (value, range) = shown.span(turned.value.0, low, high, Dimension::Length);
    lines.push(format!("{aside} {value}"));
    lines.extend(range);
    let (value, range) = told(z, Dimension::Length, shown);
    lines.push(format!("over the ground {value}"));
    lines.extend(range);
    let size = room(&lines);
    if let Some(rect) = placer.place(beside(frame, at, size, nearer).chain(rings(at, size, false, 16.0, 24))) {
        sheet.line("leader", rect.nearest(at), at);
        sheet.label(rect, &lines, anchor(nearer), true);
    }
}

/// Loads of the two sides and the track, under the ground. Gives the lower end.
fn under(sheet: &mut Sheet, frame: Frame, view: &RearView, shown: Shown) -> f64 {
    let half = view.track.0 / 2.0;
    let (left, right, y) = (frame.x(-half), frame.x(half), frame.ground + 30.0);
    sheet.line("thin", (left, y), (right, y));
    for x in [left, right] {
        sheet.line("thin", (x, frame.ground + 3.0), (x, y + 4.0));
        sheet.line("ground", (x - 4.0, y + 4.0), (x + 4.0, y - 4.0));
    }
    let track = vec![format!("track {}", shown.exact(view.track.0, Dimension::Length))];
    let mut placer = Placer::new(Rect::new(6.0, frame.ground + 4.0, WIDTH - 12.0, f64::from(u16::MAX)));
    let (w, h) = room(&track);
    if let Some(rect) = placer.place([Rect::around(MIDDLE, y - 2.0 - h / 2.0, (w, h)), Rect::around(MIDDLE, y + h, (w, h))]) {
        sheet.label(rect, &track, Anchor::Middle, false);
    }
    let mut bottom = y + 10.0;
    for (name, x, outward, load) in [("left wheels", left, -1.0, &view.left), ("right wheels", right, 1.0, &view.right)] {
        let Some(load) = load.as_ref().filter(|load| finite(load)) else { continue };
        let (value, range) = told(load, Dimension::Mass, shown);
        let lines: Vec<String> = [Some(name.to_owned()), Some(format!("carry {value}")), range].into_iter().flatten().collect();
        let (w, h) = room(&lines);
        let slots = [0.0, 0.5, 1.0, 1.5].map(|step| Rect::around(x + outward * step * w / 2.0, y + 14.0 + h / 2.0, (w, h)));
        let lower = Rect::around(x, y + 20.0 + h * 1.5, (w, h));
        if let Some(rect) = placer.place(slots.into_iter().chain([lower])) {
            sheet.label(rect, &lines, Anchor::Middle, true);
            bottom = bottom.max(rect.bottom());
        }
    }
    bottom
}
