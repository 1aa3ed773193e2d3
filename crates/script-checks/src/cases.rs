//! Cases kept beside a script: a rig, or a piece of one, goes in, and the answers that must come out.

use check::{Finding, Verdict};
use serde::Deserialize;

/// The cases of one script: `NAME.cases.toml` beside `NAME.rhai`.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cases {
    /// The cases, in order.
    #[serde(default)]
    pub case: Vec<Case>,
}

/// One case.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Case {
    /// What is special about it.
    pub name: String,
    /// The rig, in TOML; the lines `format` and `rig` may be left out.
    pub rig: String,
    /// Every answer of the script, in any order.
    #[serde(default)]
    pub answers: Vec<Wanted>,
    /// Words of the fault that must come instead.
    pub fault: Option<String>,
}

/// An answer that must come. What is left out may be anything.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wanted {
    /// Its verdict.
    pub verdict: Verdict,
    /// Its subject.
    pub about: Option<String>,
    /// Its state.
    pub state: Option<String>,
    /// Which of several questions about one subject.
    pub case: Option<String>,
    /// Share of the limit that is used, to half a unit of its last figure.
    pub used: Option<f64>,
    /// Path of the input that is absent.
    pub missing: Option<String>,
}

/// Shares are given to hundredths.
const HALF_A_FIGURE: f64 = 0.005;

impl Cases {
    /// Reads the cases of a script.
    ///
    /// # Errors
    /// A sentence with the place in the file.
    pub fn read(file: &str, text: &str) -> Result<Self, String> {
        toml::from_str(text).map_err(|error| {
            let before = error.span().and_then(|span| text.get(..span.start)).unwrap_or_default();
            let line = before.matches('\n').count() + 1;
            let column = before.rsplit('\n').next().unwrap_or_default().chars().count() + 1;
            format!("{file}:{line}:{column}: {}", error.message())
        })
    }
}

impl Case {
    /// The rig as a whole file.
    #[must_use]
    pub fn whole_rig(&self) -> String {
        let has = |key: &str| self.rig.lines().any(|line| line.trim_start().starts_with(key));
        let mut text = String::new();
        if !has("format") {
            text.push_str("format = \"rigproof-rig/1\"\n");
        }
        if !has("rig ") && !has("rig=") {
            text.push_str("rig = \"a case\"\n");
        }
        text.push_str(&self.rig);
        text
    }

    /// What of the answers is not as it must be.
    #[must_use]
    pub fn differences(&self, findings: &[Finding], fault: Option<&str>) -> Vec<String> {
        match (&self.fault, fault) {
            (Some(wanted), Some(fault)) if fault.contains(wanted.as_str()) => return Vec::new(),
            (Some(wanted), Some(fault)) => {
                return vec![format!("a fault with the words \"{wanted}\" is wanted, and it says: {fault}")];
            }
            (Some(wanted), None) => return vec![format!("a fault with the words \"{wanted}\" is wanted, and there is none")],
            (None, Some(fault)) => return vec![format!("it could not run: {fault}")],
            (None, None) => {}
        }
        let mut left: Vec<&Finding> = findings.iter().collect();
        let mut wrong = Vec::new();
        for wanted in &self.answers {
            match left.iter().position(|finding| wanted.is_met_by(finding)) {
                Some(at) => drop(left.remove(at)),
                None => wrong.push(format!("wanted and not given: {}", wanted.in_words())),
            }
        }
        wrong.extend(left.into_iter().map(|finding| {
            let used = finding.utilisation.map(|used| format!(", used {:.2}", used.0)).unwrap_or_default();
            let state = finding.state.as_ref().map(|state| format!(", in {state}")).unwrap_or_default();
            let wants = finding.needs.first().filter(|_| finding.verdict == Verdict::Missing);
            let wants = wants.map(|need| format!(", wants {}", need.path)).unwrap_or_default();
            format!("given and not wanted: {} about {}{state}{used}{wants}", finding.verdict.word(), finding.about)
        }));
        wrong
    }
}

impl Wanted {
    fn is_met_by(&self, finding: &Finding) -> bool {
        let same = |wanted: &Option<String>, is: Option<&str>| wanted.as_deref().is_none_or(|wanted| is == Some(wanted));
        let wants = finding.needs.first().map(|need| need.path.as_str());
        self.verdict == finding.verdict
            && same(&self.about, Some(&finding.about))
            && same(&self.state, finding.state.as_deref())
            && same(&self.case, finding.case.as_deref())
            && same(&self.missing, wants)
            && self.used.is_none_or(|used| finding.utilisation.is_some_and(|is| (is.0 - used).abs() <= HALF_A_FIGURE))
    }

    fn in_words(&self) -> String {
        let mut words = self.verdict.word().to_owned();
        for (label, value) in [("about", &self.about), ("in", &self.state), ("case", &self.case), ("wants", &self.missing)] {
            if let Some(value) = value {
                words.push_str(&format!(", {label} {value}"));
            }
        }
        if let Some(used) = self.used {
            words.push_str(&format!(", used {used:.2}"));
        }
        words
    }
}
