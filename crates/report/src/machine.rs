//! What all renderers for machines share: how a verdict counts, what is said of a finding, how a file is addressed.
//!
//! | verdict                  | counts as                          |
//! |--------------------------|------------------------------------|
//! | fail, injury or legal    | fails, an error                    |
//! | fail, damage             | fails, a warning                   |
//! | fail, comfort            | fails, a note                      |
//! | unsettled, missing       | open; strictly: fails, a warning   |
//! | pass                     | holds                              |
//! | not-applicable           | not asked                          |
//!
//! An acceptance by the owner is told beside that.

use check::audit::InputError;
use check::finding::Accepted;
use check::{Audit, Consequence, Finding, Verdict};
use quantity::Num;

use crate::numbers::Numbers;
use crate::terminal::{block, plain, since};
use crate::text::clean;

/// How loud a failure is, loudest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Level {
    Error,
    Warning,
    Note,
}

impl Level {
    /// What the failure of a check with that consequence is.
    pub(crate) fn of(consequence: Consequence) -> Self {
        match consequence {
            Consequence::Injury | Consequence::Legal => Self::Error,
            Consequence::Damage => Self::Warning,
            Consequence::Comfort => Self::Note,
        }
    }
}

/// How a finding counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Standing {
    Fails(Level),
    Open,
    Holds,
    NotAsked,
}

impl Standing {
    pub(crate) fn of(finding: &Finding, strict: bool) -> Self {
        match finding.verdict {
            Verdict::Fail => Self::Fails(Level::of(finding.consequence)),
            Verdict::Unsettled | Verdict::Missing if strict => Self::Fails(Level::Warning),
            Verdict::Unsettled | Verdict::Missing => Self::Open,
            Verdict::Pass => Self::Holds,
            Verdict::NotApplicable => Self::NotAsked,
        }
    }
}

/// Whether a finding became worse than in the earlier audit.
pub(crate) fn worse(finding: &Finding) -> bool {
    finding.since.is_some_and(|since| since.worse)
}

/// What the finding was in the earlier audit, where the audit was held against one.
pub(crate) fn since(finding: &Finding) -> Option<String> {
    let since = finding.since?;
    let said = since::was(&since);
    Some(if since.worse { format!("worse: {said}") } else { said })
}

/// The numbers of an audit in plain characters.
pub(crate) fn numbers(audit: &Audit) -> Numbers {
    Numbers::new(audit.units, false)
}

/// "front axle, travel-full".
pub(crate) fn about(finding: &Finding) -> String {
    block::about(finding)
}

/// All that is to be said of a finding, one thing each: its sentence, numbers, limit, what would settle it, a way out.
pub(crate) fn told(finding: &Finding, numbers: Numbers) -> Vec<String> {
    let mut parts: Vec<String> = plain::told(finding, numbers).into_iter().map(|part| part.replace('\u{a0}', " ")).collect();
    parts.extend(since(finding));
    parts
}

/// "fail: front axle, travel-full; carries 5350 kg, between 5250 and 5450; ...".
pub(crate) fn message(finding: &Finding, numbers: Numbers) -> String {
    let mut parts = vec![format!("{}: {}", finding.verdict.word(), about(finding))];
    parts.extend(told(finding, numbers));
    parts.join("; ")
}

/// "first weighing comes next week, until 2027-05-01".
pub(crate) fn accepted(accepted: &Accepted) -> String {
    let until = accepted.until.as_ref().map(|until| format!(", until {until}")).unwrap_or_default();
    clean(&format!("{}{until}", accepted.why))
}

/// "axle "front", rated: the number has no unit; found 5200; expected a mass".
pub(crate) fn error(error: &InputError) -> String {
    let subject = if error.subject.is_empty() { String::new() } else { format!("{}: ", error.subject) };
    let mut parts = vec![clean(&format!("{subject}{}", error.text))];
    for (label, said) in [("found", &error.found), ("expected", &error.expected), ("write", &error.write)] {
        parts.extend(said.as_ref().map(|said| clean(&format!("{label} {said}"))));
    }
    parts.join("; ")
}

/// The findings, those that became worse first, then the worst.
pub(crate) fn worst_first(audit: &Audit) -> Vec<&Finding> {
    let mut findings: Vec<&Finding> = audit.findings.iter().collect();
    findings.sort_by(|a, b| worse(b).cmp(&worse(a)).then_with(|| a.worse_first(b)));
    findings
}

/// A number with its nine figures; none where it is no number.
pub(crate) fn figure(number: Num) -> Option<f64> {
    Some(number.rounded()).filter(|number| number.is_finite())
}

/// The address of the rig file as a relative URI: what a URI gives another meaning is written out in bytes. An absolute
/// path, which only its machine understands, becomes a file address.
pub(crate) fn address(file: &str) -> String {
    let file = file.strip_prefix("./").unwrap_or(file);
    if file == "-" {
        return "stdin".to_owned();
    }
    let mut out = if file.starts_with('/') { "file://".to_owned() } else { String::new() };
    for byte in file.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte) {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    #[test]
    fn the_table_above_holds_for_each_verdict_and_consequence() {
        use Consequence::{Comfort, Damage, Injury, Legal};
        let mut finding = sample::audit().findings.remove(0);
        let mut standing = |verdict, consequence, strict| {
            (finding.verdict, finding.consequence) = (verdict, consequence);
            Standing::of(&finding, strict)
        };
        for (consequence, level) in
            [(Injury, Level::Error), (Legal, Level::Error), (Damage, Level::Warning), (Comfort, Level::Note)]
        {
            for strict in [false, true] {
                assert_eq!(standing(Verdict::Fail, consequence, strict), Standing::Fails(level));
                assert_eq!(standing(Verdict::Pass, consequence, strict), Standing::Holds);
                assert_eq!(standing(Verdict::NotApplicable, consequence, strict), Standing::NotAsked);
            }
            for verdict in [Verdict::Unsettled, Verdict::Missing] {
                assert_eq!(standing(verdict, consequence, false), Standing::Open);
                assert_eq!(standing(verdict, consequence, true), Standing::Fails(Level::Warning));
            }
        }
    }

    #[test]
    fn an_address_is_relative_and_a_uri() {
        assert_eq!(address("./rigs/my truck.toml"), "rigs/my%20truck.toml");
        assert_eq!(address("a:b#c?d%e.toml"), "a%3Ab%23c%3Fd%25e.toml");
        assert_eq!(address("Kühl.toml"), "K%C3%BChl.toml");
        assert_eq!(address("-"), "stdin");
        assert_eq!(address("/tmp/rig.toml"), "file:///tmp/rig.toml");
    }

    #[test]
    fn what_became_worse_stands_first_then_the_worst() {
        let audit = sample::since();
        let order = worst_first(&audit);
        let first_same = order.iter().position(|finding| !worse(finding)).unwrap();
        assert!(first_same > 0 && order[first_same..].iter().all(|finding| !worse(finding)));
        for part in [&order[..first_same], &order[first_same..]] {
            assert!(part.windows(2).all(|pair| pair[0].consequence <= pair[1].consequence));
        }
    }
}
