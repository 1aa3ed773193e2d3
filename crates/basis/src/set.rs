//! The limits and tables of one file.

use borsh::{BorshDeserialize, BorshSerialize};
use serde::Deserialize;

use crate::limit::{Limit, LimitText};
use crate::table::{Table, TableText};

/// Why a file of limits or constants does not load. Such files are part of the program, so a user never meets this.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum LoadError {
    /// The text is not TOML of the wanted shape.
    #[error("{0}")]
    Syntax(String),
    /// One entry does not hold together.
    #[error("{id}: {why}")]
    Entry {
        /// Its id.
        id: String,
        /// What is the matter.
        why: String,
    },
}

/// A named group of limits, as one trade's file of one set holds them.
#[derive(Clone, Debug, PartialEq, BorshSerialize, BorshDeserialize)]
pub struct LimitSet {
    /// Name of the set, as a rig's `codes` list names it.
    pub name: String,
    /// Limits in file order.
    pub limits: Vec<Limit>,
    /// Tables in file order.
    pub tables: Vec<Table>,
}

impl LimitSet {
    /// Reads a limit file (TOML: `set`, `[[limit]]`, `[[table]]`).
    ///
    /// # Errors
    /// The first entry that does not hold together: unreadable bound, no basis, an id twice.
    pub fn load(text: &str) -> Result<Self, LoadError> {
        let file: FileText = toml::from_str(text).map_err(|e| LoadError::Syntax(e.to_string()))?;
        let mut limits: Vec<Limit> = Vec::with_capacity(file.limit.len());
        for entry in file.limit {
            let limit = entry.resolve(&file.set)?;
            if limits.iter().any(|known| known.id == limit.id) {
                return Err(LoadError::Entry { id: limit.id, why: "the id stands twice".into() });
            }
            limits.push(limit);
        }
        let tables = file.table.into_iter().map(TableText::resolve).collect::<Result<_, _>>()?;
        Ok(Self { name: file.set, limits, tables })
    }

    /// The limit of that id.
    #[must_use]
    pub fn limit(&self, id: &str) -> Option<&Limit> {
        self.limits.iter().find(|limit| limit.id == id)
    }

    /// The table of that id.
    #[must_use]
    pub fn table(&self, id: &str) -> Option<&Table> {
        self.tables.iter().find(|table| table.id == id)
    }
}

/// What stands before the slash of an id: the trade of a limit, the file of a table. None without a slash.
#[must_use]
pub fn before_slash(id: &str) -> Option<&str> {
    id.get(..id.bytes().position(|byte| byte == b'/')?)
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct FileText {
    set: String,
    #[serde(default)]
    limit: Vec<LimitText>,
    #[serde(default)]
    table: Vec<TableText>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limit::Bound;

    const GOOD: &str = r#"
set = "good-practice"
[[limit]]
id = "weight/a"
asks = "a share"
dimension = "ratio"
between = ["20 %", "60 %"]
why = "because"
basis = { kind = "common-practice", title = "common practice, no source", known = "from-memory" }
"#;

    #[test]
    fn a_limit_is_read_in_its_dimension() {
        let set = LimitSet::load(GOOD).expect("loads");
        assert_eq!(set.limit("weight/a").map(|l| l.bound), Some(Bound::Between(0.2, 0.6)));
    }

    #[test]
    fn what_does_not_hold_together_does_not_load() {
        for (from, to) in [
            ("between = [\"20 %\", \"60 %\"]", "between = [\"60 %\", \"20 %\"]"),
            ("between = [\"20 %\", \"60 %\"]", "at_most = \"60 %\"\nat_least = \"20 %\""),
            ("between = [\"20 %\", \"60 %\"]", "at_most = \"60 kg\""),
            ("title = \"common practice, no source\"", "title = \"\""),
            ("known = \"from-memory\"", "known = \"read\""),
            ("why = \"because\"", "why = \"\""),
        ] {
            let text = GOOD.replace(from, to);
            assert_ne!(text, GOOD, "{from} stands in the sample");
            assert!(LimitSet::load(&text).is_err(), "{to}");
        }
        let twice = format!("{GOOD}{}", GOOD.replace("set = \"good-practice\"", ""));
        assert!(LimitSet::load(&twice).is_err());
    }
}
