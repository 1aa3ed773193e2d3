//! Energy month by month: beside each other what the sun gives, its upper part left over, and what is wanted, its upper part
//! gone without. The same numbers stand in a table under the bars.

use check::exhibit::{MonthBars, MonthEnergy};
use quantity::Num;

use super::axis::Scale;
use super::calendar::{self, BRACKET};
use super::keys::{self, Key, Swatch};
use super::place::Rect;
use super::sheet::{Anchor, Sheet, room};
use super::{Shown, finite};

const WIDTH: f64 = 800.0;
/// Room at the left for the names of the table's rows, and at the right.
const LEFT: f64 = 128.0;
const RIGHT: f64 = 14.0;
const HEIGHT: f64 = 250.0;
/// Widths as shares of a month's room: a bar, what stays free at its left.
const BAR: f64 = 0.34;
const FREE: f64 = 0.13;
/// Half the width of a whisker's ends.
const END: f64 = 4.0;
/// Room over the highest number, as a share of it, and ticks about.
const AIR: f64 = 0.04;
const TICKS: f64 = 8.0;
/// What is gone without shows at least this high, however little it is: a drawing that hides it would lie.
const LEAST: f64 = 2.0;
const ROW: f64 = 20.0;
const GAP: f64 = 6.0;
const SWATCH: (f64, f64) = (20.0, 12.0);
const MARGIN: f64 = 14.0;

const STYLE: &str = "
.rp .season{fill:#1a1a1a;fill-opacity:0.06}.rp .grid{stroke:#6b6b6b;stroke-width:0.5;stroke-opacity:0.6}
.rp .sun{fill:#f3d98b;stroke:#6b5310}.rp .over{stroke:#6b5310;stroke-width:1.2;fill:none}.rp .used{fill:#7ba3cc;stroke:#2f5d8a}
.rp .without{fill:#4a0033;stroke:#4a0033}.rp .wanted{stroke:#1a1a1a;stroke-width:2.4}.rp .whisker{stroke:#1a1a1a;stroke-width:1.4}
@media (prefers-color-scheme:dark){.rp .season{fill:#ececec;fill-opacity:0.1}.rp .grid{stroke:#a4a9b0}
.rp .sun{fill:#6b5718;stroke:#e9cf82}.rp .over{stroke:#e9cf82}.rp .used{fill:#33608d;stroke:#86b6e6}
.rp .without{fill:#ffffff;stroke:#ffffff}.rp .wanted,.rp .whisker{stroke:#ececec}}
";

/// Where numbers go on the sheet.
struct Chart {
    top: f64,
    highest: f64,
    months: usize,
}

impl Chart {
    fn y(&self, energy: f64) -> f64 {
        self.top + HEIGHT * (1.0 - energy.clamp(0.0, self.highest) / self.highest)
    }

    fn bottom(&self) -> f64 {
        self.top + HEIGHT
    }

    /// The left border of a month.
    fn x(&self, month: usize) -> f64 {
        LEFT + month as f64 * self.month()
    }

    fn month(&self) -> f64 {
        (WIDTH - LEFT - RIGHT) / self.months as f64
    }

    /// The box of a bar from one energy to a higher one; the first bar of a month or the second.
    fn bar(&self, month: usize, second: bool, from: f64, to: f64) -> Rect {
        let shift = FREE + if second { BAR } else { 0.0 };
        let (top, bottom) = (self.y(to), self.y(from));
        Rect::new(self.x(month) + shift * self.month(), top, BAR * self.month(), bottom - top)
    }
}

pub(super) fn draw(title: &str, bars: &MonthBars, shown: Shown) -> Option<Sheet> {
    let told: Vec<&MonthEnergy> = bars.months.iter().filter(|month| drawable(month)).collect();
    let numbers = told.iter().flat_map(|month| {
        let wanted = month.wanted.map_or(0.0, |wanted| wanted.0);
        [month.sun.value.0, month.sun.high.0, month.used.0 + month.gone_without.0, wanted]
    });
    let highest = numbers.fold(0.0, f64::max) * (1.0 + AIR);
    if highest <= 0.0 || !highest.is_finite() {
        return None;
    }
    let scale = Scale::of("J", highest, shown)?;
    let mut sheet = Sheet::new(title, WIDTH);
    sheet.style(calendar::STYLE);
    sheet.style(STYLE);
    let chart = Chart { top: sheet.top() + BRACKET, highest, months: told.len() };
    let in_use: Vec<bool> = told.iter().map(|month| month.in_use).collect();
    ground(&mut sheet, &chart, scale, &in_use, if bars.a_day { "a day" } else { "a month" });
    for (at, month) in told.iter().enumerate() {
        stacks(&mut sheet, &chart, at, month);
    }
    sheet.line("ground", (LEFT, chart.bottom()), (WIDTH - RIGHT, chart.bottom()));
    table(&mut sheet, &chart, scale, &told);
    sheet.describe(&sentence(&told, scale, bars.a_day));
    Some(sheet)
}

fn drawable(month: &MonthEnergy) -> bool {
    let numbers = [month.used, month.left_over, month.gone_without];
    calendar::name(month.month).is_some()
        && finite(&month.sun)
        && numbers.iter().chain(&month.wanted).all(|number| number.0.is_finite())
}

/// Months of use, the scale and its lines.
fn ground(sheet: &mut Sheet, chart: &Chart, scale: Scale, in_use: &[bool], span: &str) {
    let edges: Vec<f64> = (0..=chart.months).map(|month| chart.x(month)).collect();
    for (month, _) in in_use.iter().enumerate().filter(|(_, used)| **used) {
        sheet.rect("season", Rect::new(chart.x(month), chart.top, chart.month(), HEIGHT));
    }
    calendar::bracket(sheet, in_use, &edges, chart.top);
    for tick in scale.ticks(0.0, chart.highest, TICKS) {
        let y = chart.y(tick.si);
        sheet.line("grid", (LEFT - GAP, y), (WIDTH - RIGHT, y));
        let line = vec![tick.words];
        let (w, h) = room(&line);
        sheet.label(Rect::new(LEFT - GAP - 3.0 - w, y - h / 2.0, w, h), &line, Anchor::Right, false);
    }
    let line = vec![format!("{} {span}", scale.unit())];
    let (w, h) = room(&line);
    sheet.label(Rect::new(MARGIN, chart.top - h - 2.0, w, h), &line, Anchor::Left, false);
}

/// The two stacks of a month, the range of its sun, and what is wanted.
fn stacks(sheet: &mut Sheet, chart: &Chart, at: usize, month: &MonthEnergy) {
    let (sun, used, without) = (month.sun.value.0.max(0.0), month.used.0.max(0.0), month.gone_without.0.max(0.0));
    sheet.rect("sun", chart.bar(at, false, 0.0, sun));
    let over = chart.bar(at, false, (sun - month.left_over.0.max(0.0)).max(0.0), sun);
    if month.left_over.0 > 0.0 {
        keys::swatch(sheet, Swatch::Hatched("sun", "over"), over);
    }
    let (low, high) = (month.sun.low.0, month.sun.high.0);
    if high > low {
        let x = over.middle().0;
        sheet.line("whisker", (x, chart.y(low)), (x, chart.y(high)));
        for end in [low, high] {
            sheet.line("whisker", (x - END, chart.y(end)), (x + END, chart.y(end)));
        }
    }
    sheet.rect("used", chart.bar(at, true, 0.0, used));
    if without > 0.0 {
        let bar = chart.bar(at, true, used, used + without);
        let h = bar.h.max(LEAST);
        sheet.rect("without", Rect::new(bar.x, bar.bottom() - h, bar.w, h));
    }
    if let Some(wanted) = month.wanted {
        let (x, y) = (chart.x(at), chart.y(wanted.0));
        sheet.line("wanted", (x + 2.0, y), (x + chart.month() - 2.0, y));
    }
}

/// A row of the table: how it is drawn, its name, the month's number.
type Row = (Swatch, &'static str, fn(&MonthEnergy) -> Option<Num>);

const ROWS: [Row; 5] = [
    (Swatch::Box(&["sun"]), "sun", |month| Some(month.sun.value)),
    (Swatch::Hatched("sun", "over"), "left over", |month| Some(month.left_over)),
    (Swatch::Line("wanted"), "wanted", |month| month.wanted),
    (Swatch::Box(&["used"]), "used", |month| Some(month.used)),
    (Swatch::Box(&["without"]), "gone without", |month| Some(month.gone_without)),
];

/// The numbers under the bars; the sheet ends under them.
fn table(sheet: &mut Sheet, chart: &Chart, scale: Scale, told: &[&MonthEnergy]) {
    let decimals = decimals(scale.number(chart.highest));
    let mut y = chart.bottom() + GAP;
    let cell = |sheet: &mut Sheet, at: usize, words: String, y: f64, strong: bool| {
        let line = vec![words];
        let (w, h) = room(&line);
        let middle = chart.x(at) + chart.month() / 2.0;
        sheet.label(Rect::new(middle - w / 2.0, y, w, h), &line, Anchor::Middle, strong);
    };
    for (at, month) in told.iter().enumerate() {
        cell(sheet, at, calendar::name(month.month).unwrap_or_default().to_owned(), y, month.in_use);
    }
    for (swatch, name, number) in ROWS {
        if told.iter().all(|month| number(month).is_none()) {
            continue;
        }
        y += ROW;
        sheet.line("grid", (MARGIN, y - 3.0), (WIDTH - RIGHT, y - 3.0));
        keys::swatch(sheet, swatch, Rect::new(MARGIN, y + 1.0, SWATCH.0, SWATCH.1));
        let line = vec![name.to_owned()];
        let (w, h) = room(&line);
        sheet.label(Rect::new(MARGIN + SWATCH.0 + GAP, y, w, h), &line, Anchor::Left, false);
        for (at, month) in told.iter().enumerate() {
            let Some(Num(energy)) = number(month) else { continue };
            let told = scale.number(energy);
            // What is gone without is what the reader looks for.
            let strong = name == "gone without" && energy > 0.0;
            cell(sheet, at, format!("{:.decimals$}", if told.abs() > 0.0 { told } else { 0.0 }), y, strong);
        }
    }
    let mut keys = Vec::new();
    if told.iter().any(|month| month.sun.high.0 > month.sun.low.0) {
        keys.push(Key::new(Swatch::Line("whisker"), "range of the sun, held 95 times in 100"));
    }
    if told.iter().any(|month| month.in_use) {
        keys.push(Key::new(Swatch::Box(&["season"]), "months of use"));
    }
    sheet.height = keys::rows(sheet, y + ROW + GAP, &keys) + if keys.is_empty() { 0.0 } else { GAP };
}

/// Figures enough to add a month up, few enough for its column.
fn decimals(largest: f64) -> usize {
    const TEN: f64 = 10.0;
    usize::from(largest < TEN * TEN * TEN) + usize::from(largest < TEN)
}

/// The picture in words.
fn sentence(told: &[&MonthEnergy], scale: Scale, a_day: bool) -> String {
    let decimals = decimals(told.iter().map(|month| scale.number(month.sun.value.0)).fold(0.0, f64::max));
    let short: Vec<String> = told
        .iter()
        .filter(|month| month.gone_without.0 > 0.0)
        .map(|month| {
            let name = calendar::name(month.month).unwrap_or_default();
            format!("{name} {:.decimals$}", scale.number(month.gone_without.0))
        })
        .collect();
    let span = if a_day { "a day" } else { "a month" };
    let without = if short.is_empty() { "nothing".to_owned() } else { short.join(", ") };
    format!("Sun, used, left over and gone without by month, in {} {span}. Gone without: {without}.", scale.unit())
}
