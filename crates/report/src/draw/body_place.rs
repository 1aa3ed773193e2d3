//! Axle loads against the place of the body: one panel an axle, all states, the limit, the places that pass.

use check::placement::{Curve, Placement};
use quantity::Dimension;

use super::place::Rect;
use super::sheet::{Anchor, SMALL, Sheet, room};
use super::{Shown, finite};
use crate::text::clean;

const WIDTH: f64 = 1000.0;
/// Room beside the panels: for the scale on the left, for the states' names on the right.
const LEFT: f64 = 90.0;
const RIGHT: f64 = 210.0;
/// Height of a panel, and of the gap below it.
const PANEL: f64 = 210.0;
const GAP: f64 = 66.0;
/// Room above the highest and below the lowest value, as a share of their distance. A drawing's choice.
const AIR: f64 = 0.08;
/// Height that one name takes.
const NAME: f64 = SMALL * 1.35;

/// Where a panel's numbers go on the sheet.
struct Panel {
    top: f64,
    from: f64,
    to: f64,
    low: f64,
    high: f64,
}

impl Panel {
    fn x(&self, place: f64) -> f64 {
        LEFT + (place - self.from) / (self.to - self.from) * (WIDTH - LEFT - RIGHT)
    }

    fn y(&self, load: f64) -> f64 {
        self.top + (self.high - load) / (self.high - self.low) * PANEL
    }
}

pub(super) fn draw(placement: &Placement, shown: Shown) -> Option<Sheet> {
    let told: Vec<&Curve> = placement.curves.iter().filter(|curve| curve.ends.iter().all(finite)).collect();
    if told.is_empty() || placement.to.0 <= placement.from.0 {
        return None;
    }
    let mut sheet = Sheet::new(&format!("{}: axle loads over the place of the body", placement.rig), WIDTH);
    let mut top = sheet.top() + NAME;
    let mut axles: Vec<&str> = told.iter().map(|curve| curve.axle.as_str()).collect();
    axles.sort_unstable();
    axles.dedup();
    // In the order of the file, front first.
    axles.sort_by_key(|axle| told.iter().position(|curve| curve.axle == *axle));
    for axle in axles {
        let curves: Vec<&Curve> = told.iter().copied().filter(|curve| curve.axle == axle).collect();
        panel(&mut sheet, placement, axle, &curves, top, shown)?;
        top += PANEL + GAP;
    }
    sheet.height = top;
    Some(sheet)
}

fn panel(sheet: &mut Sheet, placement: &Placement, axle: &str, curves: &[&Curve], top: f64, shown: Shown) -> Option<()> {
    let rated = curves.iter().find_map(|curve| curve.rated).map(|rated| rated.0);
    let values = || curves.iter().flat_map(|curve| &curve.ends).flat_map(|end| [end.low.0, end.high.0]).chain(rated);
    let (low, high) = (values().min_by(f64::total_cmp)?, values().max_by(f64::total_cmp)?);
    let air = ((high - low) * AIR).max(1.0);
    let panel = Panel { top, from: placement.from.0, to: placement.to.0, low: low - air, high: high + air };
    for range in &placement.ranges {
        let (from, to) = (panel.x(range.from.0), panel.x(range.to.0));
        sheet.rect("passes", Rect::new(from, top, to - from, PANEL));
    }
    for curve in curves {
        let [first, last] = &curve.ends;
        let (a, b) = (panel.x(panel.from), panel.x(panel.to));
        sheet.polygon(
            "band",
            &[(a, panel.y(first.low.0)), (a, panel.y(first.high.0)), (b, panel.y(last.high.0)), (b, panel.y(last.low.0))],
        );
        sheet.line("load", (a, panel.y(first.value.0)), (b, panel.y(last.value.0)));
    }
    if let Some(rated) = rated {
        sheet.line("limit", (LEFT, panel.y(rated)), (WIDTH - RIGHT, panel.y(rated)));
    }
    sheet.line("ground", (LEFT, top + PANEL), (WIDTH - RIGHT, top + PANEL));
    names(sheet, &panel, curves, rated, shown);
    scale(sheet, placement, &panel, axle, (low, high), shown);
    Some(())
}

/// Names of the states and of the limit at the right, each by its line, none over another.
fn names(sheet: &mut Sheet, panel: &Panel, curves: &[&Curve], rated: Option<f64>, shown: Shown) {
    let states = curves.iter().map(|curve| {
        let [_, last] = &curve.ends;
        (panel.y(last.value.0), clean(&curve.state))
    });
    let limit = rated.map(|rated| (panel.y(rated), format!("rated {}", shown.exact(rated, Dimension::Mass))));
    let mut names: Vec<(f64, String)> = states.chain(limit).collect();
    names.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut free = panel.top;
    let left_over = |count: usize| panel.top + PANEL - count as f64 * NAME;
    let count = names.len();
    for (at, (y, name)) in names.into_iter().enumerate() {
        let line = vec![crate::text::cut(&name, super::sheet::fitting(RIGHT - GAP / 2.0))];
        let top = (y - NAME / 2.0).min(left_over(count - at)).max(free);
        sheet.line("leader", (WIDTH - RIGHT + 2.0, y), (WIDTH - RIGHT + 12.0, top + NAME / 2.0));
        sheet.label(Rect::new(WIDTH - RIGHT + 16.0, top, room(&line).0, room(&line).1), &line, Anchor::Left, false);
        free = top + NAME;
    }
}

/// Name of the axle, lowest and highest load at the left; places below.
fn scale(sheet: &mut Sheet, placement: &Placement, panel: &Panel, axle: &str, (low, high): (f64, f64), shown: Shown) {
    let title = vec![format!("{} axle", clean(axle))];
    sheet.label(Rect::new(LEFT, panel.top - NAME - 2.0, room(&title).0, room(&title).1), &title, Anchor::Left, true);
    for load in [low, high] {
        let line = vec![shown.amount(load, Dimension::Mass, (high - low) * AIR)];
        let (w, h) = room(&line);
        sheet.label(Rect::new(LEFT - 8.0 - w, panel.y(load) - h / 2.0, w, h), &line, Anchor::Right, false);
    }
    let mut marks = vec![(panel.from, "", 0), (panel.to, "", 0), (placement.now.0, "now ", 1)];
    if let Some(best) = placement.best {
        marks.push((best.0, "most in hand ", 2));
    }
    for (place, word, row) in marks {
        let x = panel.x(place);
        if !word.is_empty() {
            sheet.line("allowed", (x, panel.top), (x, panel.top + PANEL));
        }
        let line = vec![format!("{word}{}", shown.amount(place, Dimension::Length, 0.005))];
        let (w, h) = room(&line);
        let left = (x - w / 2.0).clamp(LEFT - GAP, WIDTH - RIGHT - w / 2.0);
        sheet.label(Rect::new(left, panel.top + PANEL + 4.0 + f64::from(row) * NAME, w, h), &line, Anchor::Middle, false);
    }
}
