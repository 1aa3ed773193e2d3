//! Lines for the working of this trade: what things add up to, what tickets add.

pub use check::working::{Figure, bar, deg, figure, kg, m, number, percent, range, rounded, sum_of};
use rig_facts::{Item, StateFacts};

/// How many contributions a working names; the rest is one line.
const NAMED: usize = 6;

/// Lines "1480.0 kg body shell x 0.69048 = 1021.9 kg" for the largest contributions, and one for the rest: together they
/// come to `whole`. The rest takes up the rounding.
#[must_use]
pub fn largest_shares(state: &StateFacts, whole: f64, share: impl Fn(&Item) -> Option<f64>) -> Vec<String> {
    let mut parts: Vec<(f64, f64, String)> = Vec::new();
    for item in &state.items {
        let (Some(share), Ok(mass)) = (share(item), &item.mass) else { continue };
        let part = mass.value() * share;
        if part != 0.0 {
            let (mass, share) = (figure(mass.value(), 1), figure(share, 5));
            let shown = figure(mass.get() * share.get(), 1);
            let line = if share.get() == 1.0 {
                format!("{mass} kg {}", item.name)
            } else {
                format!("{mass} kg {} x {share} = {shown} kg", item.name)
            };
            let shown = shown.get();
            parts.push((part, shown, line));
        }
    }
    parts.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()).then_with(|| a.2.cmp(&b.2)));
    let named: f64 = parts.iter().take(NAMED).map(|(_, shown, _)| shown).sum();
    let others = parts.len().saturating_sub(NAMED);
    let mut lines: Vec<String> = parts.into_iter().take(NAMED).map(|(.., line)| line).collect();
    let rest = figure(rounded(whole, 1) - named, 1);
    if others > 0 {
        lines.push(format!("{others} more = {rest} kg"));
    } else if rest.get() != 0.0 {
        lines.push(format!("rounding = {rest} kg"));
    }
    lines
}

/// The line that says what the tickets add to what the list gives; none where they are not taken in.
#[must_use]
pub fn tickets(list: f64, corrected: f64) -> Option<String> {
    let (list, corrected) = (rounded(list, 1), rounded(corrected, 1));
    let by = corrected - list;
    (by != 0.0).then(|| {
        format!("weighbridge tickets: {} {}, so {}", kg(by.abs()), if by > 0.0 { "more" } else { "less" }, kg(corrected))
    })
}
