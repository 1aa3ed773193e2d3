//! The audit as workflow commands, which a hosted build shows beside the lines of a pull request.
//!
//! Such a build shows ten of each level and step, so the worst come first, at most nine a level, and a last one counts
//! the rest.

use check::audit::{InputError, Note};
use check::baseline::GONE;
use check::{Audit, Finding};

use crate::machine::{self, Level, Standing};
use crate::terminal::fold::TRADE_NOT_TOLD;
use crate::text::{clean, count};

/// Annotations of one level that are told; one more counts the rest.
const MOST: usize = 9;

/// One command.
#[derive(Debug)]
struct Annotation {
    level: Level,
    /// File, line and column; none where it has no place.
    place: Option<(String, u32, u32)>,
    title: String,
    text: String,
}

/// The audits as commands, one a line: errors, warnings, notices. Nothing where nothing is to be said. `strict`: what is
/// unsettled or missing is a warning.
#[must_use]
pub fn render(audits: &[Audit], strict: bool) -> String {
    let all: Vec<Annotation> = audits.iter().flat_map(|audit| of(audit, strict)).collect();
    let mut out = String::new();
    for level in [Level::Error, Level::Warning, Level::Note] {
        let these: Vec<&Annotation> = all.iter().filter(|one| one.level == level).collect();
        these.iter().take(MOST).for_each(|one| out.push_str(&one.line()));
        if these.len() > MOST {
            out.push_str(&the_rest(level, these.len() - MOST).line());
        }
    }
    out
}

fn the_rest(level: Level, rest: usize) -> Annotation {
    let text = format!("and {rest} more of this kind; the report has them all");
    Annotation { level, place: None, title: "rigproof".to_owned(), text }
}

/// Problems of the file first, then what could not run or is gone, then findings, the worst first.
fn of(audit: &Audit, strict: bool) -> Vec<Annotation> {
    let mut all: Vec<Annotation> = audit.errors.iter().map(|error| input_error(audit, error)).collect();
    all.extend(audit.faults.iter().map(|fault| Annotation {
        level: Level::Error,
        place: None,
        title: clean(&format!("{}: could not run", fault.check)),
        text: clean(&fault.text),
    }));
    let gone: Vec<String> = audit.notes.iter().filter(|note| note.id == GONE).map(|note| clean(&note.text)).collect();
    if !gone.is_empty() {
        let text = format!("{} of the earlier audit: {}", count(gone.len(), "answer"), gone.join("; "));
        all.push(Annotation { level: Level::Note, place: None, title: "not asked any more".to_owned(), text });
    }
    // What waits for a trade of which nothing is told comes last: of such there are many, and one table begins them all.
    let untold: Vec<&Note> = audit.notes.iter().filter(|note| note.id == TRADE_NOT_TOLD).collect();
    let is_told = |finding: &&Finding| untold.iter().all(|note| note.text.split(':').next() != Some(finding.trade()));
    let (told, waiting): (Vec<&Finding>, Vec<&Finding>) = machine::worst_first(audit).into_iter().partition(is_told);
    all.extend(told.into_iter().chain(waiting).filter_map(|finding| answer(audit, finding, strict)));
    all
}

fn answer(audit: &Audit, finding: &Finding, strict: bool) -> Option<Annotation> {
    let level = match Standing::of(finding, strict) {
        Standing::Fails(level) => level,
        // What fails the build is no mere remark.
        Standing::Open if machine::worse(finding) => Level::Warning,
        Standing::Open => Level::Note,
        Standing::Holds | Standing::NotAsked => return None,
    };
    if finding.accepted.is_some() {
        return None;
    }
    Some(Annotation {
        level,
        place: place(&audit.file, finding.place.line, finding.place.column),
        title: clean(&finding.check),
        text: machine::message(finding, machine::numbers(audit)),
    })
}

fn input_error(audit: &Audit, error: &InputError) -> Annotation {
    Annotation {
        level: Level::Error,
        place: place(&audit.file, error.line, error.column),
        title: "the rig file cannot be read".to_owned(),
        text: machine::error(error),
    }
}

fn place(file: &str, line: u32, column: u32) -> Option<(String, u32, u32)> {
    let file = file.strip_prefix("./").unwrap_or(file);
    (line > 0 && file != "-").then(|| (clean(file), line, column.max(1)))
}

impl Annotation {
    fn line(&self) -> String {
        let level = match self.level {
            Level::Error => "error",
            Level::Warning => "warning",
            Level::Note => "notice",
        };
        let place = self.place.as_ref().map(|(file, line, column)| format!("file={},line={line},col={column},", property(file)));
        format!("::{level} {}title={}::{}\n", place.unwrap_or_default(), property(&self.title), data(&self.text))
    }
}

/// The text of a command: what would end it, or begin an escape, is escaped.
fn data(text: &str) -> String {
    text.replace('%', "%25").replace('\r', "%0D").replace('\n', "%0A")
}

/// A property of a command: also what would end the property.
fn property(text: &str) -> String {
    data(text).replace(':', "%3A").replace(',', "%2C")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample;

    #[test]
    fn what_ends_a_property_or_a_command_is_escaped() {
        assert_eq!(property("a:b,c%d\r\n"), "a%3Ab%2Cc%25d%0D%0A");
        assert_eq!(data("a:b,c%d\r\n"), "a:b,c%25d%0D%0A");
    }

    #[test]
    fn what_is_open_and_fails_the_build_is_a_warning() {
        let mut audit = sample::audit();
        audit.findings.retain(|finding| finding.verdict == check::Verdict::Unsettled && finding.accepted.is_none());
        audit.findings.truncate(1);
        let open =
            |audit: &Audit| render(std::slice::from_ref(audit), false).lines().filter(|line| line.contains("unsettled")).count();
        assert_eq!((audit.findings.len(), open(&audit)), (1, 1));
        let starts = |audit: &Audit, with: &str| render(std::slice::from_ref(audit), false).contains(with);
        assert!(!starts(&audit, "::warning "));
        let was = Some(check::Verdict::Pass);
        for finding in &mut audit.findings {
            finding.since = Some(check::baseline::Since { was, was_utilisation: None, changed: true, worse: true });
        }
        assert!(starts(&audit, "::warning ") && starts(&audit, "worse: was pass"));
    }

    #[test]
    fn a_name_cannot_begin_a_command_of_its_own() {
        let mut audit = sample::audit();
        for finding in &mut audit.findings {
            finding.about = "x\n::error::y\r\n::add-mask::%0A".to_owned();
        }
        let text = render(&[audit], false);
        assert!(
            text.lines()
                .all(|line| line.starts_with("::error ") || line.starts_with("::warning ") || line.starts_with("::notice "))
        );
        assert!(!text.contains("%0A:") && text.contains("%250A"), "{text}");
    }

    #[test]
    fn at_most_ten_a_level_and_the_last_counts_the_rest() {
        let audit = sample::many();
        let text = render(&[audit.clone(), audit], true);
        for level in ["::error ", "::warning "] {
            let lines: Vec<&str> = text.lines().filter(|line| line.starts_with(level)).collect();
            assert_eq!(lines.len(), MOST + 1, "{level}");
            assert!(lines[MOST].contains("title=rigproof::and ") && lines[MOST].contains(" more of this kind"));
        }
    }

    #[test]
    fn the_worst_stand_first_and_a_fault_has_no_place() {
        let text = render(&[sample::audit()], false);
        let first: Vec<&str> = text.lines().take(2).collect();
        assert_eq!(first[0], "::error title=own/spare-wheel-lift%3A could not run::the script ran past its time of 1 s");
        assert!(first[1].starts_with("::error file=rig.toml,line=10,col=1,title=weight/"), "{}", first[1]);
    }

    #[test]
    fn nothing_to_say_is_nothing_at_all() {
        assert_eq!(render(&[sample::fine()], true), "");
    }
}
