//! The earlier audits that a run is held against.

use std::path::Path;

use check::Audit;
use check::baseline::{self, Earlier, EarlierFinding};

use super::Choice;
use super::form::relative;
use crate::output;

/// The earlier audits of one file, never none.
#[derive(Debug)]
pub(super) struct Past {
    from: String,
    audits: Vec<Earlier>,
}

impl Past {
    /// Reads them.
    ///
    /// # Errors
    /// A sentence with file, line and column where the text is no audit.
    pub(super) fn read(path: &Path) -> Result<Self, String> {
        let from = path.to_string_lossy().into_owned();
        let bytes = output::read_audits(&from)?;
        let audits = report::baseline::read(&bytes).map_err(|why| format!("{from}:{}:{}: {}", why.line, why.column, why.text))?;
        Ok(Self { from, audits })
    }

    /// Holds an audit against the earlier one of the same file.
    ///
    /// # Errors
    /// A sentence: there is no earlier one of that file among several.
    pub(super) fn compare(&self, audit: &mut Audit, several: bool, choice: &Choice, strict: bool) -> Result<(), String> {
        let earlier = self.of(&audit.file, several)?;
        baseline::compare(audit, earlier, &self.from, strict, |finding| asked(choice, finding));
        Ok(())
    }

    /// One rig against one earlier audit needs no name: the file may have moved.
    fn of(&self, file: &str, several: bool) -> Result<&Earlier, String> {
        if let [only] = self.audits.as_slice()
            && !several
        {
            return Ok(only);
        }
        let same = |earlier: &&Earlier| relative(&earlier.file) == relative(file);
        self.audits.iter().find(same).ok_or_else(|| {
            let names: Vec<&str> = self.audits.iter().map(|earlier| earlier.file.as_str()).collect();
            format!("{}: there is no audit of {file} in it; there are those of {}", self.from, names.join(", "))
        })
    }
}

/// Whether this run was asked for an answer of the earlier one.
fn asked(choice: &Choice, finding: &EarlierFinding) -> bool {
    let trade = basis::before_slash(&finding.check).unwrap_or(&finding.check);
    let check = choice.only.is_empty() || choice.only.iter().any(|word| *word == finding.check || word == trade);
    let state = choice.state.as_ref().is_none_or(|wanted| finding.state.as_ref().is_none_or(|state| state == wanted));
    check && state
}
