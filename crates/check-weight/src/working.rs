//! Numbers and lines for the working: what a reader types into a pocket calculator. Always metric; as many figures as the
//! line needs to be redone.

use quantity::Estimate;
use rig_facts::{Item, StateFacts};

/// How many contributions a working names; the rest is one line.
const NAMED: usize = 6;

/// "5350.2 kg".
#[must_use]
pub fn kg(value: f64) -> String {
    format!("{} kg", number(value, 1))
}

/// "2.202 m".
#[must_use]
pub fn m(value: f64) -> String {
    format!("{} m", number(value, 3))
}

/// "31.7 deg" of an angle in rad.
#[must_use]
pub fn deg(rad: f64) -> String {
    format!("{} deg", number(rad.to_degrees(), 2))
}

/// "47.6 %" of a share.
#[must_use]
pub fn percent(share: f64) -> String {
    format!("{} %", number(share * 100.0, 1))
}

/// A number with that many decimals; never "-0.0".
#[must_use]
pub fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text.trim_start_matches('-').chars().all(|c| c == '0' || c == '.') {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    }
}

/// Lines "1480.0 kg body shell x 0.690 = 1021.2 kg" for the largest contributions, and one for the rest.
#[must_use]
pub fn largest_shares(state: &StateFacts, share: impl Fn(&Item) -> Option<f64>) -> Vec<String> {
    let mut parts: Vec<(f64, String)> = Vec::new();
    for item in &state.items {
        let (Some(share), Ok(mass)) = (share(item), &item.mass) else { continue };
        let part = mass.value() * share;
        if part != 0.0 {
            parts.push((part, format!("{} {} x {} = {}", kg(mass.value()), item.name, number(share, 3), kg(part))));
        }
    }
    parts.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()).then_with(|| a.1.cmp(&b.1)));
    let rest: f64 = parts.iter().skip(NAMED).map(|(part, _)| part).sum();
    let others = parts.len().saturating_sub(NAMED);
    let mut lines: Vec<String> = parts.into_iter().take(NAMED).map(|(_, line)| line).collect();
    if others > 0 {
        lines.push(format!("{others} more = {}", kg(rest)));
    }
    lines
}

/// "between 1.15 m and 1.25 m" of an estimate, through a writer of one number.
#[must_use]
pub fn range(estimate: &Estimate, write: impl Fn(f64) -> String) -> String {
    let (low, high) = estimate.interval95();
    format!("between {} and {}", write(low), write(high))
}
