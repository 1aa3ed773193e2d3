//! Bars against their limits, one under the other.

use check::exhibit::{Bar, Bars};
use quantity::Dimension;

use super::place::Rect;
use super::sheet::{Anchor, Sheet, fitting, room};
use super::{Shown, finite, told_in_one};
use crate::text::{clean, cut};

const WIDTH: f64 = 1000.0;
const MARGIN: f64 = 20.0;
const THICK: f64 = 16.0;
/// Height that one bar takes with its words above and its limit below.
const ROW: f64 = 66.0;

pub(super) fn draw(title: &str, bars: &Bars, shown: Shown) -> Option<Sheet> {
    let dimension = Dimension::ALL.into_iter().find(|dimension| dimension.si_unit() == bars.unit)?;
    let told: Vec<&Bar> = bars.bars.iter().filter(|bar| finite(&bar.value)).collect();
    let limits = told.iter().filter_map(|bar| bar.limit).map(|limit| limit.0).filter(|limit| limit.is_finite());
    let longest = told.iter().flat_map(|bar| [bar.value.value.0, bar.value.high.0]).chain(limits).fold(0.0, f64::max);
    if told.is_empty() || longest <= 0.0 {
        return None;
    }
    let mut sheet = Sheet::new(title, WIDTH);
    let scale = (WIDTH - 2.0 * MARGIN) / longest;
    let mut top = sheet.top() + 6.0;
    for bar in told {
        one(&mut sheet, bar, top, scale, dimension, shown);
        top += ROW;
    }
    sheet.height = top + MARGIN / 2.0;
    Some(sheet)
}

fn one(sheet: &mut Sheet, bar: &Bar, top: f64, scale: f64, dimension: Dimension, shown: Shown) {
    let value = vec![told_in_one(&bar.value, dimension, shown)];
    let (w, h) = room(&value);
    let right = Rect::new(WIDTH - MARGIN - w, top, w, h);
    let name = vec![cut(&clean(&bar.name), fitting(right.x - 2.0 * MARGIN))];
    sheet.label(Rect::new(MARGIN, top, room(&name).0, h), &name, Anchor::Left, true);
    sheet.label(right, &value, Anchor::Left, false);
    let y = top + h + 3.0;
    let x = |value: f64| MARGIN + value.max(0.0) * scale;
    sheet.rect("bar", Rect::new(MARGIN, y, x(bar.value.value.0) - MARGIN, THICK));
    let (low, high) = (x(bar.value.low.0), x(bar.value.high.0));
    sheet.rect("doubt", Rect::new(low, y + 4.0, high - low, THICK - 8.0));
    let Some(limit) = bar.limit.filter(|limit| limit.0.is_finite()) else { return };
    sheet.line("limit", (x(limit.0), y - 3.0), (x(limit.0), y + THICK + 3.0));
    let words = vec![format!("limit {}", shown.exact(limit.0, dimension))];
    let (w, h) = room(&words);
    let left = (x(limit.0) - w / 2.0).max(MARGIN).min(WIDTH - MARGIN - w);
    sheet.label(Rect::new(left, y + THICK + 4.0, w, h), &words, Anchor::Middle, false);
}
