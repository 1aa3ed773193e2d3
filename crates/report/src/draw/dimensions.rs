//! Dimension lines.

use check::exhibit::Dimensioned;
use quantity::Dimension;

use super::Shown;
use super::parts::Frame;
use super::place::{Placer, Rect};
use super::sheet::{Anchor, Sheet, room};
use crate::text::clean;

/// Height of a row of dimension lines, and rows at most.
const ROW: f64 = 30.0;
const ROWS: usize = 40;

/// The slanted stroke at the end of a dimension line.
pub(super) fn tick(sheet: &mut Sheet, (x, y): (f64, f64)) {
    sheet.line("ground", (x - 4.0, y + 4.0), (x + 4.0, y - 4.0));
}

/// Dimension lines under the ground of a frame, the short ones nearest to it. Gives the lower end.
pub(super) fn along(sheet: &mut Sheet, frame: Frame, lengths: &[Dimensioned], placer: &mut Placer, shown: Shown) -> f64 {
    let mut told: Vec<&Dimensioned> = lengths.iter().filter(|one| one.from.0.is_finite() && one.to.0.is_finite()).collect();
    told.sort_by(|a, b| (a.to.0 - a.from.0).abs().total_cmp(&(b.to.0 - b.from.0).abs()));
    let mut rows: Vec<Vec<(f64, f64)>> = Vec::new();
    for one in told {
        dimension_line(sheet, frame, one, &mut rows, placer, shown);
    }
    frame.ground + 8.0 + rows.len() as f64 * ROW
}

fn dimension_line(
    sheet: &mut Sheet,
    frame: Frame,
    one: &Dimensioned,
    rows: &mut Vec<Vec<(f64, f64)>>,
    placer: &mut Placer,
    shown: Shown,
) {
    let (from, to) = (frame.x(one.from.0.min(one.to.0)), frame.x(one.from.0.max(one.to.0)));
    let line = vec![format!("{} {}", clean(&one.name), shown.exact((one.to.0 - one.from.0).abs(), Dimension::Length))];
    let (w, h) = room(&line);
    for row in 0..ROWS {
        if rows.get(row).is_some_and(|spans| spans.iter().any(|(a, b)| from < *b && *a < to)) {
            continue;
        }
        let y = frame.ground + (row + 1) as f64 * ROW;
        let slot =
            |middle: f64| Rect::around(middle.max(8.0 + w / 2.0).min(sheet.width - 8.0 - w / 2.0), y - 2.0 - h / 2.0, (w, h));
        let shares = [0.5, 0.35, 0.65, 0.2, 0.8].map(|share| slot(from + (to - from) * share));
        let beside = [slot(to + 6.0 + w / 2.0), slot(from - 6.0 - w / 2.0)];
        let Some(rect) = placer.place(shares.into_iter().chain(beside)) else { continue };
        sheet.line("thin", (from, y), (to, y));
        for end in [from, to] {
            sheet.line("thin", (end, frame.ground + 3.0), (end, y + 4.0));
            tick(sheet, (end, y));
        }
        sheet.label(rect, &line, Anchor::Middle, false);
        rows.resize(rows.len().max(row + 1), Vec::new());
        if let Some(spans) = rows.get_mut(row) {
            spans.push((from, to));
        }
        return;
    }
}
