//! Reads audits back from the JSON that [`crate::json`] writes, as far as a comparison needs them.

use check::audit::FORMAT;
use check::baseline::{Earlier, EarlierFinding};
use serde::de::{Error as _, IgnoredAny};
use serde::{Deserialize, Deserializer};
use serde_json::error::Category;

/// Why a text is no baseline, and where in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoBaseline {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// What is the matter.
    pub text: String,
}

/// The audits in a text: one document, or one a line for several files. Never an empty list.
///
/// # Errors
/// The first place where the text is no audit, or the audit of a rig file that could not be read.
pub fn read(bytes: &[u8]) -> Result<Vec<Earlier>, NoBaseline> {
    let text = std::str::from_utf8(bytes).map_err(|why| {
        let (line, column) = end_of(&String::from_utf8_lossy(bytes.get(..why.valid_up_to()).unwrap_or_default()));
        NoBaseline { line, column: column + 1, text: "this is not text in UTF-8".to_owned() }
    })?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut audits = Vec::new();
    for document in serde_json::Deserializer::from_str(text).into_iter::<Document>() {
        let document = document.map_err(|why| at(text, &why))?;
        audits.push(Earlier { file: document.file, findings: document.findings });
    }
    if audits.is_empty() {
        return Err(NoBaseline { line: 1, column: 1, text: "there is no audit in it".to_owned() });
    }
    Ok(audits)
}

/// What is read of an audit; whatever else it holds is passed over.
#[derive(Deserialize)]
#[serde(expecting = "an audit")]
struct Document {
    #[serde(rename = "format", deserialize_with = "known")]
    _format: (),
    file: String,
    findings: Vec<EarlierFinding>,
    #[serde(rename = "errors", deserialize_with = "none")]
    _errors: (),
}

fn known<'de, D: Deserializer<'de>>(deserializer: D) -> Result<(), D::Error> {
    let format = String::deserialize(deserializer)?;
    if format == FORMAT { Ok(()) } else { Err(D::Error::custom(format!("the format is {format:?}, and {FORMAT:?} is wanted"))) }
}

fn none<'de, D: Deserializer<'de>>(deserializer: D) -> Result<(), D::Error> {
    let errors = Vec::<IgnoredAny>::deserialize(deserializer)?;
    let why = "the rig file of this audit could not be read, so there is nothing to compare with";
    if errors.is_empty() { Ok(()) } else { Err(D::Error::custom(why)) }
}

fn at(text: &str, why: &serde_json::Error) -> NoBaseline {
    let line = text.split('\n').nth(why.line().saturating_sub(1)).unwrap_or_default();
    // Counted in bytes there, and in characters here.
    let bytes = line.as_bytes().get(..why.column()).unwrap_or(line.as_bytes());
    let column = String::from_utf8_lossy(bytes).chars().count();
    NoBaseline { line: why.line().max(1), column: column.max(1), text: sentence(why) }
}

/// The reader's message in our words, without the place that it repeats.
fn sentence(why: &serde_json::Error) -> String {
    let said = why.to_string();
    let said = said.rsplit_once(" at line ").map_or(&*said, |(said, _)| said);
    match why.classify() {
        Category::Eof => "the text ends in the middle of an audit".to_owned(),
        Category::Syntax | Category::Io => format!("this is not JSON: {said}"),
        Category::Data => {
            let said = said
                .replace("invalid type: ", "found ")
                .replace("unknown variant ", "found ")
                .replace("invalid length ", "found a list of ");
            said.strip_prefix("missing field ").map_or(said.clone(), |field| format!("this audit has no {field}"))
        }
    }
}

/// Line and column of the last character of a text.
fn end_of(text: &str) -> (usize, usize) {
    let last = text.rsplit('\n').next().unwrap_or_default();
    (text.matches('\n').count() + 1, last.chars().count())
}

#[cfg(test)]
mod tests {
    use check::Verdict;

    use super::*;
    use crate::{json, sample};

    fn fault(text: &str) -> (usize, usize, String) {
        let fault = read(text.as_bytes()).unwrap_err();
        (fault.line, fault.column, fault.text)
    }

    #[test]
    fn what_the_program_writes_reads_back_key_by_key() {
        let audit = sample::audit();
        for text in [json::render(&audit), json::line(&audit), format!("\u{feff}{}", json::render(&audit))] {
            let back = read(text.as_bytes()).unwrap();
            assert_eq!(back.len(), 1);
            assert_eq!(back[0].file, audit.file);
            assert_eq!(back[0].findings.len(), audit.findings.len());
            for (back, is) in back[0].findings.iter().zip(&audit.findings) {
                assert_eq!((&*back.check, &*back.path, back.case.as_deref(), back.state.as_deref()), is.key());
                assert_eq!(back.verdict, is.verdict);
                assert_eq!(back.utilisation.map(|used| used.0), is.utilisation.map(quantity::Num::rounded));
            }
            assert!(Verdict::ALL.iter().all(|verdict| back[0].findings.iter().any(|f| f.verdict == *verdict)));
        }
    }

    #[test]
    fn several_audits_stand_on_a_line_each() {
        let text = format!("{}{}", json::line(&sample::audit()), json::line(&sample::fine()));
        assert_eq!(read(text.as_bytes()).unwrap().len(), 2);
        let broken = format!("{}{{\"format\": oops", json::line(&sample::audit()));
        assert_eq!((fault(&broken).0, fault(&broken).1), (2, 12));
    }

    #[test]
    fn a_fault_has_a_line_and_a_column_in_characters() {
        assert_eq!(fault(""), (1, 1, "there is no audit in it".to_owned()));
        assert_eq!(fault(" \n "), (1, 1, "there is no audit in it".to_owned()));
        let (line, column, text) = fault("{\n  \"format\": \"rigproof-audit/1\",\n  \"file\": \"冷蔵庫\" x");
        // Worked by hand: `  "file": "冷蔵庫" x`, the x is the 17th character.
        assert_eq!((line, column), (3, 17));
        assert!(text.starts_with("this is not JSON: "), "{text}");
        assert_eq!(fault("{\"format\"").2, "the text ends in the middle of an audit");
        let (line, _, text) = fault("{\n\"format\": \"rigproof-audit/2\"}");
        assert_eq!((line, &*text), (2, "the format is \"rigproof-audit/2\", and \"rigproof-audit/1\" is wanted"));
        let utf16 = read(b"{\n \"\xff").unwrap_err();
        assert_eq!((utf16.line, utf16.column), (2, 3));
    }

    #[test]
    fn a_fault_says_what_is_the_matter() {
        let good = json::render(&sample::audit());
        for (from, to, said) in [
            ("\"verdict\": \"fail\"", "\"verdict\": \"fails\"", "found `fails`, expected one of"),
            ("\"check\": \"weight/axle-load\"", "\"check\": 5", "found integer `5`, expected a string"),
            ("\"findings\":", "\"answers\":", "this audit has no `findings`"),
            ("\"format\":", "\"form\":", "this audit has no `format`"),
        ] {
            assert!(good.contains(from), "{from}");
            let text = fault(&good.replace(from, to)).2;
            assert!(text.contains(said), "{text}");
        }
        let unread = json::render(&sample::unread());
        assert!(fault(&unread).2.starts_with("the rig file of this audit could not be read"));
        assert_eq!(fault("[]").2, "found a list of 0, expected an audit");
        assert_eq!(fault("5").2, "found integer `5`, expected an audit");
    }
}
