//! Dimension lines across the roof, at its right.

use check::exhibit::Dimensioned;
use quantity::Dimension;

use super::place::Rect;
use super::roof::{Plan, WIDTH};
use super::sheet::{Anchor, Sheet, fitting, room};
use super::{Shown, dimensions};
use crate::text::{clean, cut};

/// Distance of the lines from each other, and room for their words.
const COLUMN: f64 = 18.0;
const WORDS: f64 = 114.0;
/// All of it at most, however many lines there are.
const MOST: f64 = WIDTH / 2.0;
const GAP: f64 = 8.0;

/// Room that the lines and their words take.
pub(super) fn room_for(widths: &[Dimensioned]) -> f64 {
    let columns = columns(widths).iter().map(|(_, column)| column + 1).max().unwrap_or_default();
    (WORDS + (columns + 1) as f64 * COLUMN).min(MOST)
}

/// The lines that can be drawn, the short ones in the columns nearest to the roof; lines that do not meet share one.
fn columns(widths: &[Dimensioned]) -> Vec<(&Dimensioned, usize)> {
    let length = |one: &Dimensioned| (one.to.0 - one.from.0).abs();
    let mut told: Vec<&Dimensioned> = widths.iter().filter(|one| one.from.0.is_finite() && one.to.0.is_finite()).collect();
    told.sort_by(|a, b| length(a).total_cmp(&length(b)));
    let meet = |a: &Dimensioned, b: &Dimensioned| {
        a.from.0.min(a.to.0) < b.from.0.max(b.to.0) && b.from.0.min(b.to.0) < a.from.0.max(a.to.0)
    };
    let mut placed: Vec<(&Dimensioned, usize)> = Vec::new();
    for one in told {
        let free = |column: usize| !placed.iter().any(|(other, at)| *at == column && meet(one, other));
        let column = (0..=placed.len()).find(|column| free(*column)).unwrap_or_default();
        placed.push((one, column));
    }
    placed
}

/// The lines, and their words beside them from the top down.
pub(super) fn draw(sheet: &mut Sheet, plan: &Plan, widths: &[Dimensioned], shown: Shown) {
    let placed = columns(widths);
    let most = placed.iter().map(|(_, column)| column + 1).max().unwrap_or_default();
    // So many lines that their words would leave the sheet stand closer together.
    let apart = COLUMN.min((MOST - WORDS) / (most + 1) as f64);
    let words_at = plan.roof.right() + (most + 1) as f64 * apart;
    let mut words: Vec<(f64, f64, Vec<String>)> = Vec::new();
    for (one, column) in placed {
        let x = plan.roof.right() + (column + 1) as f64 * apart;
        let ((_, from), (_, to)) = (plan.point(0.0, one.from.0), plan.point(0.0, one.to.0));
        sheet.line("thin", (x, from), (x, to));
        for end in [from, to] {
            sheet.line("thin", (plan.roof.right() + 3.0, end), (x + 4.0, end));
            dimensions::tick(sheet, (x, end));
        }
        let size = shown.exact((one.to.0 - one.from.0).abs(), Dimension::Length);
        let lines = [clean(&one.name), size].map(|line| cut(&line, fitting(WIDTH - words_at - GAP)));
        words.push((f64::midpoint(from, to), x, lines.to_vec()));
    }
    words.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut free = plan.roof.y;
    for (middle, x, lines) in words {
        let (w, h) = room(&lines);
        let top = (middle - h / 2.0).max(free);
        sheet.line("leader", (x, middle), (words_at - 2.0, top + h / 2.0));
        sheet.label(Rect::new(words_at, top, w, h), &lines, Anchor::Left, false);
        free = top + h + 2.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use quantity::Num;

    #[test]
    fn lines_that_do_not_meet_share_a_column() {
        let line = |from: f64, to: f64| Dimensioned { name: "one".to_owned(), from: Num(from), to: Num(to) };
        let lines = [line(-1.0, 1.0), line(-1.0, 0.0), line(0.0, 0.5), line(0.2, 0.4), line(f64::NAN, 1.0)];
        let placed: Vec<usize> = columns(&lines).into_iter().map(|(_, column)| column).collect();
        // By length: 0.2 to 0.4, then 0 to 0.5 which meets it, -1 to 0 beside the first, the longest farthest out.
        assert_eq!(placed, [0, 1, 0, 2]);
        assert_eq!(room_for(&lines), 114.0 + 4.0 * 18.0);
    }
}
