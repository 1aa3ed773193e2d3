//! One number that something is held against.

use borsh::{BorshDeserialize, BorshSerialize};
use quantity::Dimension;
use serde::Deserialize;

use crate::set::LoadError;
use crate::source::Basis;

/// A bound in SI units of the limit's dimension.
#[derive(Clone, Copy, Debug, PartialEq, BorshSerialize, BorshDeserialize)]
pub enum Bound {
    /// The demand may not be above it.
    AtMost(f64),
    /// The demand may not be below it.
    AtLeast(f64),
    /// The demand stays between the two.
    Between(f64, f64),
}

/// A limit: what it asks, its bound, its dimension and where it comes from.
#[derive(Clone, Debug, PartialEq, BorshSerialize, BorshDeserialize)]
pub struct Limit {
    /// Name of the set it belongs to; the key of a limit is set and id together.
    pub set: String,
    /// `trade/quantity-limited`, unique within its set.
    pub id: String,
    /// What is limited, in words.
    pub asks: String,
    /// Dimension of the bound; the bound itself is SI.
    pub dimension: Dimension,
    /// The bound.
    pub bound: Bound,
    /// Why there is such a limit, or what happens beyond it.
    pub why: String,
    /// Where it comes from.
    pub basis: Basis,
}

impl Limit {
    /// `set: id`, as reports name it.
    #[must_use]
    pub fn key(&self) -> String {
        format!("{}: {}", self.set, self.id)
    }
}

/// A limit as its file writes it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LimitText {
    id: String,
    asks: String,
    dimension: Dimension,
    at_most: Option<String>,
    at_least: Option<String>,
    between: Option<[String; 2]>,
    why: String,
    basis: Basis,
}

impl LimitText {
    pub(crate) fn resolve(self, set: &str) -> Result<Limit, LoadError> {
        let wrong = |why: &str| LoadError::Entry { id: self.id.clone(), why: why.to_owned() };
        let number = |text: &str| quantity::parse(text, self.dimension).map_err(|fault| wrong(&fault.to_string()));
        if let Some(why) = self.basis.fault() {
            return Err(wrong(why));
        }
        if self.asks.trim().is_empty() || self.why.trim().is_empty() {
            return Err(wrong("it does not say what it asks, or why"));
        }
        let bound = match (&self.at_most, &self.at_least, &self.between) {
            (Some(text), None, None) => Bound::AtMost(number(text)?),
            (None, Some(text), None) => Bound::AtLeast(number(text)?),
            (None, None, Some([low, high])) => {
                let (low, high) = (number(low)?, number(high)?);
                if low >= high {
                    return Err(wrong("its lower bound is not below its upper one"));
                }
                Bound::Between(low, high)
            }
            _ => return Err(wrong("it needs exactly one of at_most, at_least, between")),
        };
        Ok(Limit {
            set: set.to_owned(),
            id: self.id,
            asks: self.asks,
            dimension: self.dimension,
            bound,
            why: self.why,
            basis: self.basis,
        })
    }
}
