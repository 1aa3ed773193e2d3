//! Named values that formulas use.

use borsh::{BorshDeserialize, BorshSerialize};
use quantity::Dimension;
use serde::Deserialize;

use crate::set::LoadError;
use crate::source::Basis;

/// A named value with its unit, the range it is good for, and where it comes from.
#[derive(Clone, Debug, PartialEq, BorshSerialize, BorshDeserialize)]
pub struct Constant {
    /// Its name, unique in its file.
    pub id: String,
    /// Value: SI units of its dimension, or plain where it has none.
    pub value: f64,
    /// Dimension; `None` for a plain number.
    pub dimension: Option<Dimension>,
    /// What it is, and what it is good for.
    pub why: String,
    /// Where it comes from.
    pub basis: Basis,
}

/// The constants of one file.
#[derive(Clone, Debug, Default, PartialEq, BorshSerialize, BorshDeserialize)]
pub struct Constants {
    entries: Vec<Constant>,
}

impl Constants {
    /// Reads a constants file (TOML, `[[constant]]` entries).
    ///
    /// # Errors
    /// The first entry that does not hold together: unreadable value, no basis, a name twice.
    pub fn load(text: &str) -> Result<Self, LoadError> {
        let file: FileText = toml::from_str(text).map_err(|e| LoadError::Syntax(e.to_string()))?;
        let mut entries: Vec<Constant> = Vec::with_capacity(file.constant.len());
        for entry in file.constant {
            let constant = entry.resolve()?;
            if entries.iter().any(|known| known.id == constant.id) {
                return Err(LoadError::Entry { id: constant.id, why: "the id stands twice".into() });
            }
            entries.push(constant);
        }
        Ok(Self { entries })
    }

    /// The constant of that name.
    #[must_use]
    pub fn get(&self, id: &str) -> Option<&Constant> {
        self.entries.iter().find(|c| c.id == id)
    }

    /// All, in file order.
    pub fn iter(&self) -> impl Iterator<Item = &Constant> {
        self.entries.iter()
    }
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct FileText {
    #[serde(default)]
    constant: Vec<ConstantText>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct ConstantText {
    id: String,
    dimension: Option<Dimension>,
    value: String,
    why: String,
    basis: Basis,
}

impl ConstantText {
    fn resolve(self) -> Result<Constant, LoadError> {
        let wrong = |why: String| LoadError::Entry { id: self.id.clone(), why };
        if let Some(why) = self.basis.fault() {
            return Err(wrong(why.to_owned()));
        }
        let value = match self.dimension {
            Some(dimension) => quantity::parse(&self.value, dimension).map_err(|fault| wrong(fault.to_string()))?,
            None => match self.value.parse::<f64>() {
                Ok(number) if number.is_finite() => number,
                _ => return Err(wrong(format!("`{}` is not a number", self.value))),
            },
        };
        Ok(Constant { id: self.id, value, dimension: self.dimension, why: self.why, basis: self.basis })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_constant_without_a_basis_does_not_load() {
        let text = "[[constant]]\nid = \"g\"\nvalue = \"1\"\nwhy = \"x\"\n";
        assert!(matches!(Constants::load(text), Err(LoadError::Syntax(_))));
    }

    #[test]
    fn values_are_read_in_their_dimension() {
        let text = r#"
[[constant]]
id = "water"
dimension = "density"
value = "0.998 kg/L"
why = "water at 20 C"
basis = { kind = "handbook", title = "tables of water", known = "from-memory" }
"#;
        let constants = Constants::load(text).expect("loads");
        let value = constants.get("water").map(|c| c.value).expect("is there");
        assert!((value - 998.0).abs() < 1e-9);
    }
}
