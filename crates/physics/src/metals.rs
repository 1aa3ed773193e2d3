//! Two metals in contact: which one is eaten, and how far apart they are.
//!
//! A potential says which metal suffers, not how fast: area, water and the film on the metal decide that.

use crate::error::KernelError;
use crate::mount_facts as facts;

const TABLES: [&str; 2] = ["metal/potential", "metal/potential-sign-assumed"];

/// Two metals in contact.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Couple {
    /// Difference of their potentials, V; never negative.
    pub difference: f64,
    /// The one that is eaten; `None` when neither is.
    pub eaten: Option<&'static str>,
}

/// Potential of a metal in flowing sea water against the calomel electrode, V, and its name in the table.
///
/// # Errors
/// `NotListed` for a metal that no table has.
pub fn potential(metal: &str) -> Result<(&'static str, f64), KernelError> {
    let name = facts::names(&TABLES, "metal").into_iter().find(|name| name.eq_ignore_ascii_case(metal.trim()));
    let found = name.and_then(|name| Some((name, facts::number(&TABLES, "metal", name, "volt")?.0)));
    found.ok_or_else(|| KernelError::NotListed {
        field: "metal".into(),
        value: metal.into(),
        wanted: "a metal of the galvanic series such as \"carbon steel\", \"aluminium 3003\", \"zinc\", \"stainless 304 passive\", \"copper\"",
    })
}

/// What happens where two metals touch and get wet.
///
/// # Errors
/// `NotListed` for a metal that no table has.
pub fn couple(one: &str, other: &str) -> Result<Couple, KernelError> {
    let ((a, high), (b, low)) = (potential(one)?, potential(other)?);
    let eaten = match high.total_cmp(&low) {
        std::cmp::Ordering::Less => Some(a),
        std::cmp::Ordering::Greater => Some(b),
        std::cmp::Ordering::Equal => None,
    };
    Ok(Couple { difference: (high - low).abs(), eaten })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_less_noble_one_is_eaten_whichever_is_named_first() {
        for (a, b) in [("zinc", "carbon steel"), ("Carbon steel", "Zinc")] {
            assert_eq!(couple(a, b).map(|c| c.eaten), Ok(Some("zinc")));
        }
        assert_eq!(potential("BRONZE g").map(|(name, _)| name), Ok("bronze G"));
        assert_eq!(couple("copper", "copper"), Ok(Couple { difference: 0.0, eaten: None }));
        assert!(matches!(couple("wood", "zinc"), Err(KernelError::NotListed { .. })));
    }
}
