//! One line a finding: for a search, a log, a screen reader. Nothing wraps, nothing is folded, nothing is styled.

use check::{Audit, Consequence, Finding, Verdict};

use super::block;
use super::closing;
use super::fold::{Folded, TRADE_NOT_TOLD};
use super::ways;
use crate::numbers::{self, Numbers};
use crate::text::clean;

pub(super) fn render(audit: &Audit, folded: &Folded<'_>, numbers: Numbers, all: bool) -> String {
    let mut lines: Vec<String> = Vec::new();
    let told = |blocks: &[super::fold::Block<'_>]| -> Vec<String> {
        blocks.iter().flat_map(super::fold::Block::findings).map(|finding| line(audit, finding, numbers)).collect()
    };
    lines.extend(told(&folded.fails));
    lines.extend(
        audit.notes.iter().filter(|note| note.id == TRADE_NOT_TOLD).map(|note| format!("not told: {}", clean(&note.text))),
    );
    lines.extend(audit.faults.iter().map(|fault| clean(&format!("could not run: {}: {}", fault.check, fault.text))));
    lines.extend(told(&folded.open));
    lines.extend(told(&folded.waiting));
    lines.extend(told(&folded.accepted));
    lines
        .extend(audit.notes.iter().filter(|note| note.id != TRADE_NOT_TOLD).map(|note| format!("remark: {}", clean(&note.text))));
    let rest = folded.passing.iter().chain(&folded.not_applicable);
    // A limit that the owner weakened is told also where the answer passes.
    let shown = rest.filter(|finding| all || finding.replaced.as_ref().is_some_and(|replaced| replaced.weaker));
    lines.extend(shown.map(|finding| line(audit, finding, numbers)));
    lines.extend(super::since::lines(audit));
    let mut counts = closing::sentences(audit, folded);
    if !audit.faults.is_empty() {
        counts.push(format!("{} could not run.", crate::text::count(audit.faults.len(), "check")));
    }
    lines.push(counts.join("  "));
    let mut out = lines.join("\n").replace('\u{a0}', " ");
    out.push('\n');
    out
}

/// "fail  weight/axle-load: front axle, travel-full; carries 5350 kg, between 5250 and 5450; may carry 5200 kg, ...".
fn line(audit: &Audit, finding: &Finding, numbers: Numbers) -> String {
    let mut parts = vec![format!("{}  {}", finding.verdict.word(), block::subject(finding))];
    parts.push(format!("{} if it fails", consequence(finding.consequence)));
    parts.extend(told(finding, numbers));
    if finding.place.line > 0 {
        parts.push(clean(&format!("{}:{}:{}", audit.file, finding.place.line, finding.place.column)));
    }
    parts.join("; ")
}

/// All that is to be said of an answer beside its subject and its place, one thing each.
pub(crate) fn told(finding: &Finding, numbers: Numbers) -> Vec<String> {
    let mut parts = Vec::new();
    parts.extend(finding.sentence.as_deref().map(clean));
    for (words, measure) in [(&finding.demand_words, &finding.demand), (&finding.capacity_words, &finding.capacity)] {
        if let Some(measure) = measure {
            let (value, range) = numbers.with_range(measure);
            let range = range.map(|range| format!(", {range}")).unwrap_or_default();
            parts.push(format!("{} {value}{range}", clean(words)));
        }
    }
    parts.extend(finding.basis.as_ref().map(|basis| clean(&block::basis_line(basis))));
    parts.extend(finding.utilisation.map(|used| format!("{} of the limit", numbers::share(used.0))));
    if finding.verdict == Verdict::Unsettled && finding.consequence == Consequence::Injury {
        parts.push("treat as fail until measured".to_owned());
    }
    parts.extend(finding.needs.first().filter(|_| finding.verdict.rank() == 1).map(block::need_text));
    parts.extend(
        finding.remedies.iter().take(1).map(|remedy| format!("way out: {}", ways::remedy_text(finding, remedy, numbers))),
    );
    parts.extend(finding.replaced.as_ref().map(|replaced| block::replaced_text(replaced, block::dimension(finding), numbers)));
    parts.extend(finding.accepted.as_ref().map(|accepted| format!("accepted: {}", clean(&accepted.why))));
    parts.extend(finding.cautions.iter().map(|caution| format!("careful: {}", clean(caution))));
    parts
}

fn consequence(consequence: Consequence) -> &'static str {
    match consequence {
        Consequence::Injury => "can injure",
        Consequence::Legal => "against the law",
        Consequence::Damage => "can break",
        Consequence::Comfort => "discomfort",
    }
}
