//! Named lines over one number, each with its range, told apart by their strokes and by their names at the right.

use check::exhibit::{Curve, CurvePoint, Series};

use super::axis::Scale;
use super::keys::{self, Key, Swatch};
use super::place::Rect;
use super::sheet::{Anchor, SMALL, Sheet, fitting, room};
use super::{Shown, capital, finite};
use crate::text::{clean, cut, wrap};

const WIDTH: f64 = 800.0;
/// Room beside the chart: for the scale on the left, for names on the right.
const LEFT: f64 = 76.0;
const RIGHT: f64 = 176.0;
const HEIGHT: f64 = 300.0;
/// Room over the highest value as a share of their distance; ticks about, up and across.
const AIR: f64 = 0.05;
const TICKS: (f64, f64) = (7.0, 9.0);
/// A scale begins at nothing if the lowest value is nearer to it than this share of the highest.
const FROM_NOTHING: f64 = 0.5;
const GAP: f64 = 6.0;
/// Points of a line that are few enough to be marked, and the size of a mark.
const MARKED: usize = 13;
const MARK: f64 = 2.6;
/// From the end of the chart to the names.
const LEADER: f64 = 14.0;

const STYLE: &str = "
.rp .grid{stroke:#6b6b6b;stroke-width:0.5;stroke-opacity:0.6}.rp .level{stroke:#1a1a1a;stroke-width:1.2}
.rp .c0,.rp .c1,.rp .c2,.rp .c3{fill:none;stroke-width:2.2;stroke-linejoin:round}.rp .c0{stroke:#1f4f82}.rp .c1{stroke:#8a4b00;stroke-dasharray:9 4}
.rp .c2{stroke:#7a1f5c;stroke-dasharray:3 3}.rp .c3{stroke:#1a1a1a;stroke-dasharray:11 3 2 3}
.rp .b0,.rp .b1,.rp .b2,.rp .b3{fill-opacity:0.15}.rp .b0{fill:#1f4f82}.rp .b1{fill:#8a4b00}.rp .b2{fill:#7a1f5c}.rp .b3{fill:#1a1a1a}
@media (prefers-color-scheme:dark){.rp .grid{stroke:#a4a9b0}.rp .level{stroke:#ececec}.rp .c0{stroke:#86b6e6}.rp .c1{stroke:#e9b36a}.rp .c2{stroke:#ff9ad6}.rp .c3{stroke:#ececec}
.rp .b0,.rp .b1,.rp .b2,.rp .b3{fill-opacity:0.2}.rp .b0{fill:#86b6e6}.rp .b1{fill:#e9b36a}.rp .b2{fill:#ff9ad6}.rp .b3{fill:#ececec}}
";

/// Strokes and their bands; more lines than these begin again, and have their names.
const STROKES: [(&str, &str); 4] = [("c0", "b0"), ("c1", "b1"), ("c2", "b2"), ("c3", "b3")];

/// Where numbers go on the sheet.
struct Chart {
    top: f64,
    from: f64,
    to: f64,
    low: f64,
    high: f64,
}

impl Chart {
    fn x(&self, across: f64) -> f64 {
        LEFT + (across - self.from) / (self.to - self.from) * (WIDTH - LEFT - RIGHT)
    }

    fn y(&self, up: f64) -> f64 {
        self.top + (self.high - up) / (self.high - self.low) * HEIGHT
    }

    fn bottom(&self) -> f64 {
        self.top + HEIGHT
    }
}

pub(super) fn draw(title: &str, curve: &Curve, shown: Shown) -> Option<Sheet> {
    let told: Vec<(&Series, Vec<&CurvePoint>)> = curve
        .series
        .iter()
        .map(|series| (series, series.points.iter().filter(|point| point.x.0.is_finite() && finite(&point.y)).collect()))
        .filter(|(_, points): &(_, Vec<_>)| points.len() > 1)
        .collect();
    let mut sheet = Sheet::new(title, WIDTH);
    let chart = chart(curve, &told, sheet.top() + SMALL * 2.0)?;
    let across = Scale::of(&curve.across.unit, chart.from.abs().max(chart.to.abs()), shown)?;
    let up = Scale::of(&curve.up.unit, chart.low.abs().max(chart.high.abs()), shown)?;
    sheet.style(STYLE);
    scales(&mut sheet, &chart, curve, across, up);
    for ((_, points), (stroke, band)) in told.iter().zip(STROKES.iter().cycle()) {
        line(&mut sheet, &chart, points, stroke, band);
    }
    for level in curve.levels.iter().filter(|level| level.y.0.is_finite()) {
        sheet.line("level", (LEFT, chart.y(level.y.0)), (WIDTH - RIGHT, chart.y(level.y.0)));
    }
    names(&mut sheet, &chart, curve, &told);
    let bottom = chart.bottom() + SMALL * 4.0;
    let ranged = told.iter().any(|(_, points)| points.iter().any(|point| point.y.high.0 > point.y.low.0));
    let keys = if ranged { vec![Key::new(Swatch::Box(&["b3"]), "range, held 95 times in 100")] } else { Vec::new() };
    sheet.height = if keys.is_empty() { bottom } else { keys::rows(&mut sheet, bottom + GAP, &keys) + GAP };
    sheet.describe(&sentence(curve, &told, across, up));
    Some(sheet)
}

/// The chart that holds every point, range and level; none where there is nothing to hold.
fn chart(curve: &Curve, told: &[(&Series, Vec<&CurvePoint>)], top: f64) -> Option<Chart> {
    let points = || told.iter().flat_map(|(_, points)| points);
    let levels = curve.levels.iter().map(|level| level.y.0).filter(|level| level.is_finite());
    let ups: Vec<f64> = points().flat_map(|point| [point.y.value.0, point.y.low.0, point.y.high.0]).chain(levels).collect();
    let (low, high) = (ups.iter().copied().min_by(f64::total_cmp)?, ups.iter().copied().max_by(f64::total_cmp)?);
    let (from, to) = (points().map(|p| p.x.0).min_by(f64::total_cmp)?, points().map(|p| p.x.0).max_by(f64::total_cmp)?);
    // A flat line still wants a height to stand in.
    let air = if high > low { (high - low) * AIR } else { high.abs().max(1.0) * AIR };
    let low = if low >= 0.0 && low < high * FROM_NOTHING { 0.0 } else { low - air };
    let chart = Chart { top, from, to, low, high: high + air };
    ((to - from).is_finite() && to > from && (chart.high - chart.low).is_finite()).then_some(chart)
}

/// Both scales with their lines and words.
fn scales(sheet: &mut Sheet, chart: &Chart, curve: &Curve, across: Scale, up: Scale) {
    for tick in up.ticks(chart.low, chart.high, TICKS.0) {
        let y = chart.y(tick.si);
        sheet.line("grid", (LEFT - GAP, y), (WIDTH - RIGHT, y));
        let line = vec![tick.words];
        let (w, h) = room(&line);
        sheet.label(Rect::new(LEFT - GAP - 3.0 - w, y - h / 2.0, w, h), &line, Anchor::Right, false);
    }
    for tick in across.ticks(chart.from, chart.to, TICKS.1) {
        let x = chart.x(tick.si);
        sheet.line("grid", (x, chart.top), (x, chart.bottom() + GAP));
        let line = vec![tick.words];
        let (w, h) = room(&line);
        sheet.label(Rect::new(x - w / 2.0, chart.bottom() + GAP + 2.0, w, h), &line, Anchor::Middle, false);
    }
    sheet.line("ground", (LEFT, chart.bottom()), (WIDTH - RIGHT, chart.bottom()));
    let words = vec![cut(&axis_words(&curve.up.name, up), fitting(WIDTH - 2.0 * GAP - LEFT / 2.0))];
    let (w, h) = room(&words);
    sheet.label(Rect::new(20.0, chart.top - h - SMALL / 2.0, w, h), &words, Anchor::Left, false);
    let words = vec![cut(&axis_words(&curve.across.name, across), fitting(WIDTH - LEFT - RIGHT))];
    let (w, h) = room(&words);
    let middle = f64::midpoint(LEFT, WIDTH - RIGHT);
    sheet.label(Rect::new(middle - w / 2.0, chart.bottom() + SMALL * 2.0, w, h), &words, Anchor::Middle, false);
}

/// "Battery, kWh".
fn axis_words(name: &str, scale: Scale) -> String {
    format!("{}, {}", capital(&clean(name)), scale.unit())
}

/// A line over its range; its points marked where they are few.
fn line(sheet: &mut Sheet, chart: &Chart, points: &[&CurvePoint], stroke: &str, band: &str) {
    let at = |point: &CurvePoint, up: f64| (chart.x(point.x.0), chart.y(up));
    let high = points.iter().map(|point| at(point, point.y.high.0));
    let low = points.iter().rev().map(|point| at(point, point.y.low.0));
    if points.iter().any(|point| point.y.high.0 > point.y.low.0) {
        sheet.polygon(band, &high.chain(low).collect::<Vec<_>>());
    }
    let places: Vec<(f64, f64)> = points.iter().map(|point| at(point, point.y.value.0)).collect();
    sheet.polyline(stroke, &places);
    if places.len() <= MARKED {
        places.into_iter().for_each(|place| sheet.circle("spot", place, MARK));
    }
}

/// Names of lines and levels at the right, each by its end, none over another.
fn names(sheet: &mut Sheet, chart: &Chart, curve: &Curve, told: &[(&Series, Vec<&CurvePoint>)]) {
    let columns = fitting(RIGHT - LEADER - SMALL - GAP);
    let wrapped = |name: &str| in_two_lines(&clean(name), columns);
    let ends = told.iter().filter_map(|(series, points)| {
        let last = points.last()?;
        Some((chart.x(last.x.0), chart.y(last.y.value.0), wrapped(&series.name)))
    });
    let levels = curve.levels.iter().filter(|level| level.y.0.is_finite());
    let levels = levels.map(|level| (WIDTH - RIGHT, chart.y(level.y.0), wrapped(&level.name)));
    let mut names: Vec<(f64, f64, Vec<String>)> = ends.chain(levels).collect();
    names.sort_by(|a, b| a.1.total_cmp(&b.1));
    let gap = 2.0;
    let mut left: f64 = names.iter().map(|(.., lines)| room(lines).1 + gap).sum();
    let mut free = chart.top;
    for (x, y, lines) in names {
        let (w, h) = room(&lines);
        let top = (y - h / 2.0).min(chart.bottom() - left).max(free);
        sheet.line("leader", (x + 2.0, y), (WIDTH - RIGHT + LEADER, top + h / 2.0));
        sheet.label(Rect::new(WIDTH - RIGHT + LEADER + 4.0, top, w, h), &lines, Anchor::Left, false);
        free = top + h + gap;
        left -= h + gap;
    }
}

/// The name in two lines at most, with full stops where something is left out.
fn in_two_lines(name: &str, columns: usize) -> Vec<String> {
    let mut lines = wrap(name, columns);
    if lines.len() > 2 {
        let rest = lines.split_off(1).join(" ");
        lines.push(cut(&rest, columns));
    }
    lines
}

/// The picture in words.
fn sentence(curve: &Curve, told: &[(&Series, Vec<&CurvePoint>)], across: Scale, up: Scale) -> String {
    let names: Vec<String> = told.iter().map(|(series, _)| clean(&series.name)).collect();
    let (up, across) = (axis_words(&curve.up.name, up), axis_words(&curve.across.name, across));
    format!("{up}, over: {across}. Lines: {}.", names.join("; "))
}
