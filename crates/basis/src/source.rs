//! The source of a value.

use borsh::{BorshDeserialize, BorshSerialize};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What kind of source a limit, a constant or a formula has.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema, BorshSerialize, BorshDeserialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum BasisKind {
    /// Law or a rule with the force of law.
    Regulation,
    /// A published technical standard.
    Standard,
    /// A handbook, a textbook, a maker's manual.
    Handbook,
    /// Follows from physics or from a definition.
    Physics,
    /// What the trade does; nobody wrote it down with authority.
    CommonPractice,
    /// The plate or the papers of the thing itself.
    DataPlate,
    /// The owner's own wish.
    Owner,
}

impl BasisKind {
    /// The word of the kind, as files and reports write it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Regulation => "regulation",
            Self::Standard => "standard",
            Self::Handbook => "handbook",
            Self::Physics => "physics",
            Self::CommonPractice => "common practice",
            Self::DataPlate => "data plate",
            Self::Owner => "owner",
        }
    }
}

/// How we know the value.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema, BorshSerialize, BorshDeserialize,
)]
#[serde(rename_all = "kebab-case")]
pub enum Known {
    /// Read in a source that [`Basis::seen`] names.
    Read,
    /// Computed, as [`Basis::seen`] says.
    Computed,
    /// Recalled. The report says so beside the value.
    FromMemory,
}

impl Known {
    /// The word of it, as files and reports write it.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::Computed => "computed",
            Self::FromMemory => "from memory",
        }
    }
}

/// Where a value comes from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, BorshSerialize, BorshDeserialize)]
#[serde(deny_unknown_fields)]
pub struct Basis {
    /// What kind of source it is.
    pub kind: BasisKind,
    /// Title of the source; never empty.
    pub title: String,
    /// Clause, section, table or page in it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clause: Option<String>,
    /// Edition or year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub edition: Option<String>,
    /// How we know it.
    pub known: Known,
    /// Where it was read, or how it was computed. Required unless the value is from memory or the owner's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seen: Option<String>,
}

impl Basis {
    /// The basis of a value that stands on the plate or in the papers of the thing itself.
    #[must_use]
    pub fn data_plate(title: &str) -> Self {
        Self::said(BasisKind::DataPlate, title, "stated in the rig file")
    }

    /// The basis of a value that is the owner's own wish.
    #[must_use]
    pub fn owner(title: &str) -> Self {
        Self::said(BasisKind::Owner, title, "stated in the rig file")
    }

    /// The basis of what the trade does without a source that anybody could name.
    #[must_use]
    pub fn common_practice() -> Self {
        Self {
            kind: BasisKind::CommonPractice,
            title: "common practice, no source".to_owned(),
            clause: None,
            edition: None,
            known: Known::FromMemory,
            seen: None,
        }
    }

    /// The basis of something that follows from physics.
    #[must_use]
    pub fn physics(title: &str) -> Self {
        Self { known: Known::Computed, ..Self::said(BasisKind::Physics, title, "follows from the inputs") }
    }

    fn said(kind: BasisKind, title: &str, seen: &str) -> Self {
        Self { kind, title: title.to_owned(), clause: None, edition: None, known: Known::Read, seen: Some(seen.to_owned()) }
    }

    /// One line for a report: title, clause, edition, and whether it is from memory.
    #[must_use]
    pub fn line(&self) -> String {
        let mut line = self.title.clone();
        for part in [&self.clause, &self.edition].into_iter().flatten() {
            line.push_str(", ");
            line.push_str(part);
        }
        if self.known == Known::FromMemory && self.kind != BasisKind::CommonPractice {
            line.push_str(" (from memory)");
        }
        line
    }

    /// What is wrong with this basis, if anything: an empty title, or a claim to have read or computed without where.
    #[must_use]
    pub fn fault(&self) -> Option<&'static str> {
        let empty = |text: &Option<String>| text.as_ref().is_none_or(|t| t.trim().is_empty());
        let blank = |text: &Option<String>| text.as_ref().is_some_and(|t| t.trim().is_empty());
        if self.title.trim().is_empty() {
            Some("its basis has no title")
        } else if blank(&self.clause) || blank(&self.edition) {
            Some("its basis has an empty clause or edition")
        } else if self.known != Known::FromMemory && empty(&self.seen) {
            Some("its basis claims to be read or computed and does not say where (`seen`)")
        } else {
            None
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_claim_to_have_read_must_say_where() {
        let mut basis = Basis::data_plate("plate");
        assert_eq!(basis.fault(), None);
        basis.seen = None;
        assert!(basis.fault().is_some());
        basis.known = Known::FromMemory;
        assert_eq!(basis.fault(), None);
        basis.title = " ".into();
        assert!(basis.fault().is_some());
    }

    #[test]
    fn the_line_says_when_a_value_is_from_memory() {
        let basis = Basis {
            kind: BasisKind::Standard,
            title: "ISO 1".into(),
            clause: Some("2.3".into()),
            edition: None,
            known: Known::FromMemory,
            seen: None,
        };
        assert_eq!(basis.line(), "ISO 1, 2.3 (from memory)");
    }
}
