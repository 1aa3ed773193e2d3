//! What became worse since the earlier audit, and that the rest stood before.

use check::audit::Note;
use check::baseline::{Baseline, GONE, Since};
use check::{Audit, Finding, Verdict};
use quantity::Num;

use super::block;
use super::paper::Paper;
use crate::numbers;
use crate::text::{clean, count, tie_numbers};

/// Answers that became worse, told by name.
const TOLD: usize = 20;
/// Answers that are gone, told by name.
const GONE_TOLD: usize = 5;

/// The section; nothing where the audit was not held against an earlier one.
pub(super) fn section(paper: &mut Paper, audit: &Audit) {
    let Some(baseline) = &audit.baseline else { return };
    paper.heading(&format!("SINCE {}", clean(&baseline.from)));
    let worse = worse(audit);
    let told = if paper.look().all { worse.len() } else { TOLD };
    for (finding, since) in worse.iter().take(told) {
        paper.running(4, &tie_numbers(&format!("worse: {}", changed(finding, since))));
    }
    if worse.len() > told {
        paper.running(4, &format!("and {} more, with --all", worse.len() - told));
    }
    paper.running(4, &stood(audit, baseline));
    let gone: Vec<&Note> = audit.notes.iter().filter(|note| note.id == GONE).collect();
    let told = if paper.look().all { gone.len() } else { GONE_TOLD };
    for note in gone.iter().take(told) {
        paper.running(4, &tie_numbers(&format!("gone: {}", clean(&note.text))));
    }
    if gone.len() > told {
        paper.running(4, &format!("and {} more, with --all", gone.len() - told));
    }
}

/// The same, one line each.
pub(super) fn lines(audit: &Audit) -> Vec<String> {
    let Some(baseline) = &audit.baseline else { return Vec::new() };
    let mut lines: Vec<String> =
        worse(audit).iter().map(|(finding, since)| format!("worse: {}", changed(finding, since))).collect();
    lines.push(stood(audit, baseline));
    lines
}

/// What became worse, the worst first.
fn worse(audit: &Audit) -> Vec<(&Finding, Since)> {
    let marked = audit.findings.iter().filter_map(|finding| Some((finding, finding.since?)));
    let mut worse: Vec<_> = marked.filter(|(_, since)| since.worse).collect();
    worse.sort_by(|(a, _), (b, _)| a.worse_first(b));
    worse
}

/// "weight/axle-load: front axle, travel-full: was pass 0.95, now fail 1.03".
fn changed(finding: &Finding, since: &Since) -> String {
    let now = stand(finding.verdict, finding.utilisation);
    format!("{}: {}, now {now}", block::subject(finding), was(since))
}

/// "was pass 0.95", "not asked before".
pub(crate) fn was(since: &Since) -> String {
    since.was.map_or_else(|| "not asked before".to_owned(), |was| format!("was {}", stand(was, since.was_utilisation)))
}

fn stand(verdict: Verdict, utilisation: Option<Num>) -> String {
    let used = utilisation.map(|used| format!(" {}", numbers::share(used.0))).unwrap_or_default();
    format!("{}{used}", verdict.word())
}

/// "The rest stood before: 2 fail, 3 unsettled."
fn stood(audit: &Audit, baseline: &Baseline) -> String {
    let standing = |verdict| {
        let same = |finding: &&Finding| finding.verdict == verdict && finding.since.is_some_and(|since| !since.worse);
        audit.findings.iter().filter(same).count()
    };
    let counts: Vec<String> = [Verdict::Fail, Verdict::Unsettled, Verdict::Missing]
        .into_iter()
        .filter(|verdict| standing(*verdict) > 0)
        .map(|verdict| format!("{} {}", standing(verdict), verdict.word()))
        .collect();
    let rest = if counts.is_empty() {
        "Nothing else asks for anything.".to_owned()
    } else {
        format!("The rest stood before: {}.", counts.join(", "))
    };
    let said = if baseline.worse == 0 {
        "Nothing became worse.".to_owned()
    } else {
        format!("{} became worse.", count(baseline.worse, "answer"))
    };
    format!("{said}  {rest}")
}
