//! The audit as a summary for a pull request comment or a job's summary page.

use check::{Audit, Finding, Verdict};

use crate::machine;
use crate::numbers;
use crate::terminal::block;
use crate::text::{clean, count};

/// Failures that have a row, and open answers; how many more there are is counted. With these a summary stays far below
/// what a comment may hold.
const FAILURES: usize = 40;
const OPEN: usize = 30;
/// Remarks that are told.
const REMARKS: usize = 10;

/// All audits, one section each. `strict`: what is unsettled or missing stands open rather than folded away.
#[must_use]
pub fn render(audits: &[Audit], strict: bool) -> String {
    audits.iter().map(|audit| section(audit, strict)).collect::<Vec<_>>().join("\n")
}

fn section(audit: &Audit, strict: bool) -> String {
    let name = if audit.rig.is_empty() { &audit.file } else { &audit.rig };
    let mut out = format!("## {}\n\n", escaped(name));
    if !audit.errors.is_empty() {
        errors(audit, &mut out);
        return out;
    }
    out.push_str(&format!("{}\n\n", counts(audit)));
    since(audit, &mut out);
    for fault in &audit.faults {
        out.push_str(&format!("**could not run**: {}: {}\n\n", escaped(&fault.check), escaped(&fault.text)));
    }
    let findings = machine::worst_first(audit);
    let of = |meets: &dyn Fn(&Finding) -> bool| findings.iter().copied().filter(|finding| meets(finding)).collect::<Vec<_>>();
    let counted = |finding: &Finding| finding.accepted.is_none();
    table(audit, "Fails", &of(&|f| counted(f) && f.verdict == Verdict::Fail), FAILURES, true, &mut out);
    table(audit, "Not settled", &of(&|f| counted(f) && f.verdict.rank() == 1), OPEN, strict, &mut out);
    table(audit, "Accepted by the owner", &of(&|f| f.accepted.is_some()), OPEN, false, &mut out);
    remarks(audit, &mut out);
    out.push_str(&format!("<sub>{}</sub>\n", escaped(&about(audit))));
    out
}

/// "**1 fail**, 2 unsettled, 40 pass of 58 answers".
fn counts(audit: &Audit) -> String {
    let parts: Vec<String> = Verdict::ALL
        .iter()
        .filter(|verdict| audit.summary.of(**verdict) > 0)
        .map(|verdict| {
            let part = format!("{} {}", audit.summary.of(*verdict), verdict.word());
            if *verdict == Verdict::Fail { format!("**{part}**") } else { part }
        })
        .collect();
    let accepted = if audit.summary.accepted > 0 { format!("; {} accepted", audit.summary.accepted) } else { String::new() };
    let answers = count(audit.summary.answers, "answer");
    if parts.is_empty() { format!("{answers}.") } else { format!("{answers}: {}{accepted}.", parts.join(", ")) }
}

fn since(audit: &Audit, out: &mut String) {
    let Some(baseline) = &audit.baseline else { return };
    let worse = match baseline.worse {
        0 => "Nothing became worse".to_owned(),
        worse => format!("**{} became worse**", count(worse, "answer")),
    };
    let from = escaped(&baseline.from);
    out.push_str(&format!(
        "{worse} since {from}; {} that are not in order stood before, {} gone.\n\n",
        baseline.stood, baseline.gone
    ));
}

fn table(audit: &Audit, title: &str, findings: &[&Finding], most: usize, open: bool, out: &mut String) {
    if findings.is_empty() {
        return;
    }
    let title = format!("{title}: {}", findings.len());
    if open {
        out.push_str(&format!("### {title}\n\n"));
    } else {
        out.push_str(&format!("<details><summary>{title}</summary>\n\n"));
    }
    out.push_str("| verdict | check | subject | what it comes to | of the limit | what next |\n|---|---|---|---|---|---|\n");
    findings.iter().take(most).for_each(|finding| out.push_str(&row(audit, finding)));
    out.push('\n');
    if findings.len() > most {
        out.push_str(&format!("and {} more\n\n", findings.len() - most));
    }
    if !open {
        out.push_str("</details>\n\n");
    }
}

fn row(audit: &Audit, finding: &Finding) -> String {
    let place = if finding.place.line > 0 { format!(", line {}", finding.place.line) } else { String::new() };
    let used = finding.utilisation.map(|used| numbers::share(used.0)).unwrap_or_default();
    let verdict = match machine::worse(finding) {
        true => format!("**{}, worse**", finding.verdict.word()),
        false => finding.verdict.word().to_owned(),
    };
    let cells = [
        verdict,
        escaped(&finding.check),
        escaped(&format!("{}{place}", machine::about(finding))),
        escaped(&comes_to(audit, finding)),
        used,
        escaped(&next(finding)),
    ];
    format!("| {} |\n", cells.join(" | "))
}

/// "carries 5350 kg, between 5250 and 5450; may carry 5200 kg (axle rating)".
fn comes_to(audit: &Audit, finding: &Finding) -> String {
    let numbers = machine::numbers(audit);
    let mut parts: Vec<String> = finding.sentence.iter().cloned().collect();
    if let Some(demand) = &finding.demand {
        let (value, range) = numbers.with_range(demand);
        parts.push(format!("{} {}", finding.demand_words, range.map_or(value.clone(), |range| format!("{value}, {range}"))));
    }
    if let Some(capacity) = &finding.capacity {
        let basis = finding.basis.as_ref().map(|basis| format!(" ({})", block::basis_line(basis))).unwrap_or_default();
        parts.push(format!("{} {}{basis}", finding.capacity_words, numbers.with_range(capacity).0));
    }
    parts.extend(machine::since(finding));
    parts.join("; ")
}

/// Why it is accepted, the first way out, or what to find out.
fn next(finding: &Finding) -> String {
    if let Some(accepted) = &finding.accepted {
        return format!("accepted: {}", machine::accepted(accepted));
    }
    let way_out = finding.remedies.first().map(|remedy| remedy.text.clone());
    let need = finding.needs.first().map(block::need_text);
    let (first, second) = if finding.verdict == Verdict::Fail { (way_out, need) } else { (need, way_out) };
    first.or(second).unwrap_or_default()
}

fn remarks(audit: &Audit, out: &mut String) {
    if audit.notes.is_empty() {
        return;
    }
    out.push_str(&format!("<details><summary>Remarks: {}</summary>\n\n", audit.notes.len()));
    for note in audit.notes.iter().take(REMARKS) {
        out.push_str(&format!("- {}\n", escaped(&note.text)));
    }
    if audit.notes.len() > REMARKS {
        out.push_str(&format!("- and {} more\n", audit.notes.len() - REMARKS));
    }
    out.push_str("\n</details>\n\n");
}

/// File, date, limits, version.
fn about(audit: &Audit) -> String {
    let mut parts = vec![audit.file.clone(), audit.date.clone()];
    parts.extend((!audit.codes.is_empty()).then(|| format!("limits {}", audit.codes.join(", "))));
    parts.push(format!("rigproof {}", audit.version));
    parts.join("; ")
}

fn errors(audit: &Audit, out: &mut String) {
    let found = count(audit.errors.len(), "error");
    out.push_str(&format!("**{found} in {}. Nothing was checked.**\n\n", escaped(&audit.file)));
    for error in audit.errors.iter().take(FAILURES) {
        let place = if error.line > 0 { format!("line {}, column {}: ", error.line, error.column) } else { String::new() };
        out.push_str(&format!("- {place}{}\n", escaped(&machine::error(error))));
    }
    if audit.errors.len() > FAILURES {
        out.push_str(&format!("- and {} more\n", audit.errors.len() - FAILURES));
    }
}

/// Text that stays text: no markup, no table cell of its own, nobody notified and no issue linked by a name in a rig file.
fn escaped(text: &str) -> String {
    let text = clean(&text.replace('\u{a0}', " "));
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '&' => out.push_str("&amp;"),
            // An empty remark parts the sign from the word behind it.
            '@' | '#' => out.extend([c, '\u{2060}']),
            '\\' | '`' | '*' | '_' | '[' | ']' | '|' | '~' | '!' | '$' => out.extend(['\\', c]),
            c => out.push(c),
        }
    }
    out.replace('\u{2060}', "<!-- -->")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    #[test]
    fn a_name_stays_a_name() {
        assert_eq!(
            escaped("a|b *c* <b>@you #12 `x` [l](u)"),
            "a\\|b \\*c\\* &lt;b&gt;@<!-- -->you #<!-- -->12 \\`x\\` \\[l\\](u)"
        );
        assert_eq!(escaped("a\nb"), "a\\\\nb");
    }

    #[test]
    fn every_row_has_as_many_cells_as_the_table() {
        for audit in [sample::audit(), sample::since(), sample::many()] {
            let text = render(&[audit], true);
            let mut rows = 0;
            for line in text.lines().filter(|line| line.starts_with('|')) {
                assert_eq!(line.replace("\\|", "").matches('|').count(), 7, "{line}");
                rows += 1;
            }
            assert!(rows > 4);
        }
    }

    #[test]
    fn open_answers_are_folded_away_unless_strict() {
        let audit = sample::audit();
        assert!(render(std::slice::from_ref(&audit), false).contains("<details><summary>Not settled"));
        assert!(render(&[audit], true).contains("### Not settled"));
    }

    #[test]
    fn the_longest_summary_fits_a_comment() {
        // What a comment may hold on the largest host, from memory.
        const COMMENT: usize = 65_536;
        let longest = render(&[sample::many()], true).len();
        assert!(longest < COMMENT / 2, "{longest}");
    }
}
