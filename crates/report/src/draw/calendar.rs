//! Months on a sheet: their names, their days, and the bracket over the months of use.

use super::place::Rect;
use super::sheet::{Anchor, Sheet, fitting, room};

/// The months, the short names that reports use.
pub(super) const MONTHS: [&str; 12] = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
/// Days before each month and after the last, in a common year.
const BEFORE: [usize; 13] = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334, 365];
/// Room over a picture that the bracket takes.
pub(super) const BRACKET: f64 = 26.0;
/// The bracket's bar, and the gap under it.
const THICK: f64 = 5.0;
const GAP: f64 = 4.0;

pub(super) const STYLE: &str = "
.rp .use{fill:#1a1a1a}.rp .month{stroke:#1a1a1a;stroke-width:0.8;stroke-opacity:0.55}
@media (prefers-color-scheme:dark){.rp .use{fill:#ececec}.rp .month{stroke:#ececec}}
";

/// Name of a month, 1 to 12.
pub(super) fn name(month: u8) -> Option<&'static str> {
    usize::from(month).checked_sub(1).and_then(|at| MONTHS.get(at)).copied()
}

/// The first day of each month and the day after the last one, in a year of that many days.
pub(super) fn starts(days: usize) -> [usize; 13] {
    let mut starts = BEFORE;
    let leap = days.saturating_sub(BEFORE.last().copied().unwrap_or_default());
    // January's and February's beginnings come before the day that a leap year has more.
    starts.iter_mut().skip(2).for_each(|start| *start += leap);
    starts
}

/// The month that a day of the year lies in, 0 to 11, and the day of that month, from 1.
pub(super) fn date(day: usize, days: usize) -> (usize, usize) {
    let starts = starts(days);
    let month = starts.iter().rposition(|start| *start <= day).unwrap_or_default().min(MONTHS.len() - 1);
    (month, day - starts.get(month).copied().unwrap_or_default() + 1)
}

/// Runs of months that follow each other: (first, last), 0 to 11.
pub(super) fn runs(in_use: &[bool]) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for (month, _) in in_use.iter().enumerate().filter(|(_, used)| **used) {
        match runs.last_mut() {
            Some(run) if run.1 + 1 == month => run.1 = month,
            _ => runs.push((month, month)),
        }
    }
    runs
}

/// A bar over each run of months of use, named where there is room. `edges` are the months' beginnings on the sheet and the
/// end of the last.
pub(super) fn bracket(sheet: &mut Sheet, in_use: &[bool], edges: &[f64], bottom: f64) {
    for (first, last) in runs(in_use) {
        let (Some(from), Some(to)) = (edges.get(first), edges.get(last + 1)) else { continue };
        sheet.rect("use", Rect::new(from + 1.0, bottom - GAP - THICK, to - from - 2.0, THICK));
        let all = last + 1 - first == in_use.len();
        let words = vec![if all { "in use all year" } else { "in use" }.to_owned()];
        let (w, h) = room(&words);
        if fitting(to - from) >= crate::text::columns(&words.concat()) {
            let rect = Rect::new((from + to - w) / 2.0, bottom - GAP - THICK - h, w, h);
            sheet.label(rect, &words, Anchor::Middle, false);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn months_begin_where_the_calendar_says() {
        assert_eq!(starts(365)[2..4], [59, 90]);
        assert_eq!(starts(366)[1..4], [31, 60, 91]);
        assert_eq!((date(0, 365), date(58, 365), date(59, 365), date(364, 365)), ((0, 1), (1, 28), (2, 1), (11, 31)));
        assert_eq!((date(59, 366), date(60, 366), date(365, 366)), ((1, 29), (2, 1), (11, 31)));
    }

    #[test]
    fn months_that_follow_each_other_are_one_run() {
        let mut used = [false; 12];
        for month in [0, 3, 4, 5, 11] {
            used[month] = true;
        }
        assert_eq!(runs(&used), [(0, 0), (3, 5), (11, 11)]);
        assert_eq!(runs(&[true; 12]), [(0, 11)]);
        assert_eq!(name(12), Some("Dec"));
        assert_eq!((name(0), name(13)), (None, None));
    }
}
