//! A year, its days across and the hours of the day down: one colour a step, from pale for full to dark for the floor; what
//! was gone without is nearly black, so that it stands out in grey print too.

use check::exhibit::{DayHourMap, HourRun};

use super::calendar::{self, BRACKET, MONTHS};
use super::capital;
use super::keys::{self, Key, Swatch};
use super::place::Rect;
use super::sheet::{Anchor, Sheet, figure, room};
use crate::numbers::percent;
use crate::text::{clean, count, cut};

/// Hours of a day, and those that the scale names.
const HOURS: usize = 24;
const NAMED_HOURS: [usize; 5] = [0, 6, 12, 18, 24];
/// Room at the left for the hours' names; a day's width and an hour's height. A leap year just fits.
const LEFT: f64 = 52.0;
const DAY: f64 = 2.0;
const HOUR: f64 = 10.0;
const WIDTH: f64 = 800.0;
/// Height of the strip that marks days with short hours, and of a row of words under the map.
const STRIP: f64 = 9.0;
const ROW: f64 = 18.0;
const GAP: f64 = 6.0;
/// The upper ends of the steps between nothing and full. A drawing's choice: five tones are told apart in grey print.
const FIFTHS: [f64; 5] = [0.2, 0.4, 0.6, 0.8, 1.0];
/// So near to the floor counts as at it: half a percent, what the words are rounded to.
const NEAR: f64 = 0.005;

/// Tones by step, the lowest first; the floor's own is darker than all. The lines are a little thicker than an hour so that no
/// paper shows between them.
const STYLE: &str = "
.rp .cells{fill:none;stroke-width:1.05;shape-rendering:crispEdges}
.rp .k1{fill:#5f8fbf;stroke:#5f8fbf}.rp .k2{fill:#85abd2;stroke:#85abd2}.rp .k3{fill:#a8c5e1;stroke:#a8c5e1}
.rp .k4{fill:#c9dcee;stroke:#c9dcee}.rp .k5{fill:#eef5fb;stroke:#eef5fb}
.rp .kf{fill:#3f6f9f;stroke:#3f6f9f}.rp .ks{fill:#4a0033;stroke:#4a0033}.rp .cells.k1,.rp .cells.k2,.rp .cells.k3,.rp .cells.k4,.rp .cells.k5,.rp .cells.kf,.rp .cells.ks{fill:none}
.rp .frame{fill:none;stroke:#1a1a1a;stroke-width:1}
@media (prefers-color-scheme:dark){.rp .k1{fill:#5d93c4;stroke:#5d93c4}.rp .k2{fill:#46759f;stroke:#46759f}.rp .k3{fill:#355a7c;stroke:#355a7c}
.rp .k4{fill:#29435c;stroke:#29435c}.rp .k5{fill:#202f3e;stroke:#202f3e}.rp .kf{fill:#8fc1ec;stroke:#8fc1ec}.rp .ks{fill:#ffffff;stroke:#ffffff}.rp .frame{stroke:#ececec}}
";

/// The classes of the fifths, and of the floor.
const CLASSES: [&str; 5] = ["k1", "k2", "k3", "k4", "k5"];
const SWATCHES: [&[&str]; 5] = [&["k1", "frame"], &["k2", "frame"], &["k3", "frame"], &["k4", "frame"], &["k5", "frame"]];

/// A step of the scale: hours up to this share, and no lower step, are drawn in this class.
struct Step {
    class: &'static str,
    swatch: &'static [&'static str],
    up_to: f64,
    words: String,
}

pub(super) fn draw(title: &str, map: &DayHourMap) -> Option<Sheet> {
    let days = map.days()?;
    let mut sheet = Sheet::new(title, WIDTH);
    sheet.style(calendar::STYLE);
    sheet.style(STYLE);
    let top = sheet.top() + BRACKET;
    let frame = Rect::new(LEFT, top, days as f64 * DAY, HOURS as f64 * HOUR);
    let steps = steps(map.floor.map(|floor| floor.0).filter(|floor| floor.is_finite() && *floor >= 0.0));
    let short = short_hours(map);
    // The palest first: what is darker lies over it.
    for (at, step) in steps.iter().enumerate().rev() {
        let here = |day: usize, hour: usize| step_of(map, &steps, day, hour) == Some(at);
        cells(&mut sheet, step.class, frame, days, here);
    }
    cells(&mut sheet, "ks", frame, days, |day, hour| short.get(day * HOURS + hour).copied().unwrap_or_default());
    let in_use: Vec<bool> = (1..=12).map(|month| map.months_of_use.is_empty() || map.months_of_use.contains(&month)).collect();
    let edges: Vec<f64> = calendar::starts(days).iter().map(|day| LEFT + *day as f64 * DAY).collect();
    calendar::bracket(&mut sheet, &in_use, &edges, top);
    lines(&mut sheet, frame, &edges);
    let short_days: Vec<bool> = (0..days).map(|day| short.iter().skip(day * HOURS).take(HOURS).any(|short| *short)).collect();
    let bottom = under(&mut sheet, frame, &edges, &short_days, &in_use);
    let keys = legend(map, &steps, &short, &short_days);
    sheet.height = keys::rows(&mut sheet, bottom + GAP, &keys) + GAP;
    sheet.describe(&told(map, &short, &short_days, days));
    Some(sheet)
}

/// The scale from its lowest step: the floor, if there is one, then what is left of each fifth above it.
fn steps(floor: Option<f64>) -> Vec<Step> {
    let mut steps: Vec<Step> = floor
        .map(|floor| Step {
            class: "kf",
            swatch: &["kf", "frame"],
            up_to: floor + NEAR,
            words: format!("at the floor, {}", percent(floor)),
        })
        .into_iter()
        .collect();
    let mut from = floor.unwrap_or_default();
    for ((up_to, class), swatch) in FIFTHS.into_iter().zip(CLASSES).zip(SWATCHES) {
        if up_to > from + NEAR {
            steps.push(Step {
                class,
                swatch,
                up_to,
                words: format!("{} to {}", percent(from).trim_end_matches(" %"), percent(up_to)),
            });
            from = up_to;
        }
    }
    steps
}

/// The step of an hour; none where its share is not known. Over full is full.
fn step_of(map: &DayHourMap, steps: &[Step], day: usize, hour: usize) -> Option<usize> {
    let share = map.hours.get(day * HOURS + hour)?.0;
    share.is_finite().then(|| steps.iter().position(|step| share <= step.up_to).unwrap_or(steps.len().saturating_sub(1)))
}

/// One word an hour: whether something was gone without.
fn short_hours(map: &DayHourMap) -> Vec<bool> {
    let mut short = vec![false; map.hours.len()];
    for HourRun { from, hours } in &map.short {
        short.iter_mut().skip(usize::from(*from)).take(usize::from(*hours)).for_each(|hour| *hour = true);
    }
    short
}

/// Hours of one kind as one path, hours on end as one line: along the days or along the hours, whichever takes fewer.
fn cells(sheet: &mut Sheet, class: &str, frame: Rect, days: usize, here: impl Fn(usize, usize) -> bool) {
    let along_days = runs(HOURS, days, |hour, day| here(day, hour));
    let along_hours = runs(days, HOURS, &here);
    if along_days.is_empty() {
        return;
    }
    let scale = format!("scale({} {})", figure(DAY), figure(HOUR));
    let class = format!("cells {class}");
    let at = |x: f64, y: f64| format!("translate({} {}) {scale}", figure(frame.x + x), figure(frame.y + y));
    if along_days.len() <= along_hours.len() {
        let path: String = along_days.iter().map(|(hour, day, count)| format!("M{day} {hour}h{count}")).collect();
        sheet.path(&class, &path, Some(&at(0.0, HOUR / 2.0)));
    } else {
        let path: String = along_hours.iter().map(|(day, hour, count)| format!("M{day} {hour}v{count}")).collect();
        sheet.path(&class, &path, Some(&at(DAY / 2.0, 0.0)));
    }
}

/// Runs in each row: (row, first, count).
fn runs(rows: usize, columns: usize, here: impl Fn(usize, usize) -> bool) -> Vec<(usize, usize, usize)> {
    let mut runs: Vec<(usize, usize, usize)> = Vec::new();
    for row in 0..rows {
        for column in (0..columns).filter(|column| here(row, *column)) {
            match runs.last_mut() {
                Some((of, first, count)) if *of == row && *first + *count == column => *count += 1,
                _ => runs.push((row, column, 1)),
            }
        }
    }
    runs
}

/// Frame, months' borders, names of the hours.
fn lines(sheet: &mut Sheet, frame: Rect, edges: &[f64]) {
    for edge in edges {
        sheet.line("month", (*edge, frame.y), (*edge, frame.bottom()));
    }
    for hour in NAMED_HOURS {
        let y = frame.y + hour as f64 * HOUR;
        sheet.line("month", (frame.x - GAP, y), (frame.right(), y));
        let line = vec![format!("{hour} h")];
        let (w, h) = room(&line);
        sheet.label(Rect::new(frame.x - GAP - 2.0 - w, y - h / 2.0, w, h), &line, Anchor::Right, false);
    }
    sheet.rect("frame", frame);
}

/// The strip of days with short hours, the months' names, and how many such days each month has. Gives the lower end.
fn under(sheet: &mut Sheet, frame: Rect, edges: &[f64], short_days: &[bool], in_use: &[bool]) -> f64 {
    let y = frame.bottom() + GAP;
    for (_, day, days) in runs(1, short_days.len(), |_, day| short_days.get(day).copied().unwrap_or_default()) {
        sheet.rect("ks", Rect::new(frame.x + day as f64 * DAY, y, days as f64 * DAY, STRIP));
    }
    let starts = calendar::starts(short_days.len());
    let mut side = |words: &str, y: f64| {
        let line = vec![words.to_owned()];
        let (w, h) = room(&line);
        sheet.label(Rect::new(frame.x - GAP - w, y, w, h), &line, Anchor::Right, false);
    };
    let any = short_days.iter().any(|short| *short);
    let (names, counts) = (y + STRIP + 2.0, y + STRIP + 2.0 + ROW);
    if any {
        side("short", names);
        side("days", counts);
    }
    for (month, ((name, edge), used)) in MONTHS.iter().zip(edges.windows(2)).zip(in_use).enumerate() {
        let (Some(from), Some(to)) = (edge.first(), edge.last()) else { continue };
        let mut middle = |words: String, y: f64, strong: bool| {
            let line = vec![words];
            let (w, h) = room(&line);
            sheet.label(Rect::new((from + to - w) / 2.0, y, w, h), &line, Anchor::Middle, strong);
        };
        middle((*name).to_owned(), names, *used);
        if let (true, Some(first), Some(end)) = (any, starts.get(month), starts.get(month + 1)) {
            let days = short_days.iter().take(*end).skip(*first).filter(|short| **short).count();
            middle(days.to_string(), counts, days > 0);
        }
    }
    if any { counts + ROW } else { names + ROW }
}

fn legend(map: &DayHourMap, steps: &[Step], short: &[bool], short_days: &[bool]) -> Vec<Key> {
    let what = cut(&capital(&clean(&map.what)), MONTHS.len() * 2);
    let mut keys = vec![Key::new(Swatch::None, format!("{what}:"))];
    keys.extend(steps.iter().rev().map(|step| Key::new(Swatch::Box(step.swatch), step.words.as_str())));
    keys.push(Key::new(Swatch::Box(&["ks"]), short_words(short, short_days)));
    if map.hours.iter().any(|hour| !hour.0.is_finite()) {
        keys.push(Key::new(Swatch::Box(&["frame"]), "not known"));
    }
    keys.push(Key::new(Swatch::None, "Hours are standard time."));
    keys
}

/// "short: 402 h, on 49 days".
fn short_words(short: &[bool], short_days: &[bool]) -> String {
    let hours = short.iter().filter(|short| **short).count();
    let days = short_days.iter().filter(|short| **short).count();
    if hours == 0 { "short: no hour".to_owned() } else { format!("short: {hours} h, on {}", count(days, "day")) }
}

/// The picture in words.
fn told(map: &DayHourMap, short: &[bool], short_days: &[bool], days: usize) -> String {
    let known = map.hours.iter().enumerate().filter(|(_, hour)| hour.0.is_finite());
    let lowest = known.min_by(|(_, a), (_, b)| a.0.total_cmp(&b.0)).map(|(hour, share)| {
        let (month, day) = calendar::date(hour / HOURS, days);
        let month = MONTHS.get(month).copied().unwrap_or_default();
        format!("; lowest {} on {day} {month} at {} h", percent(share.0), hour % HOURS)
    });
    let what = capital(&clean(&map.what));
    format!("{what} in each hour of {days} days{}; {}.", lowest.unwrap_or_default(), short_words(short, short_days))
}
