//! The explicit list of checks.

use std::sync::Arc;

use crate::card::Card;
use crate::context::Context;
use crate::finding::Finding;
use crate::limits::{LimitBook, LimitSource};

/// A check: one question, asked of every subject it concerns. It must not keep state, print, or read files.
pub trait Check: Send + Sync {
    /// All that the check says of itself.
    fn card(&self) -> &Card;

    /// Its answers: one for every subject and state of its scope; without a subject one that says so. Never silent.
    fn run(&self, cx: &Context) -> Vec<Finding>;

    /// The same for what somebody else wrote, which may break in a way that is not a panic.
    ///
    /// # Errors
    /// Why it could not run, in words.
    fn try_run(&self, cx: &Context) -> Result<Vec<Finding>, String> {
        Ok(self.run(cx))
    }
}

impl<T: Check + ?Sized> Check for Arc<T> {
    fn card(&self) -> &Card {
        (**self).card()
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        (**self).run(cx)
    }

    fn try_run(&self, cx: &Context) -> Result<Vec<Finding>, String> {
        (**self).try_run(cx)
    }
}

/// Two checks with the same id, or an id without a trade.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RegistryFault(pub String);

impl std::fmt::Display for RegistryFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for RegistryFault {}

/// All checks of a run, sorted by id, and the limit files of their trades.
pub struct Registry {
    checks: Vec<Arc<dyn Check>>,
    book: Arc<LimitBook>,
}

impl std::fmt::Debug for Registry {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_list().entries(self.checks.iter().map(|check| &check.card().id)).finish()
    }
}

impl Registry {
    /// No checks and no limits.
    #[must_use]
    pub fn empty() -> Self {
        Self { checks: Vec::new(), book: Arc::new(LimitBook::default()) }
    }

    /// Joins the trades' lists.
    ///
    /// # Errors
    /// When two checks share an id, or an id is not `trade/what-is-asked`.
    pub fn new(checks: Vec<Box<dyn Check>>, limits: impl IntoIterator<Item = LimitSource>) -> Result<Self, RegistryFault> {
        Self::joined(checks.into_iter().map(Arc::from).collect(), Arc::new(LimitBook::new(limits)))
    }

    /// The same list with checks that are known at run time alone: scripts and plugins.
    ///
    /// # Errors
    /// As for [`Registry::new`].
    pub fn with(&self, more: Vec<Box<dyn Check>>) -> Result<Self, RegistryFault> {
        let checks = self.checks.iter().cloned().chain(more.into_iter().map(Arc::from)).collect();
        Self::joined(checks, Arc::clone(&self.book))
    }

    fn joined(mut checks: Vec<Arc<dyn Check>>, book: Arc<LimitBook>) -> Result<Self, RegistryFault> {
        checks.sort_by(|a, b| a.card().id.cmp(&b.card().id));
        for pair in checks.windows(2) {
            if let [a, b] = pair
                && a.card().id == b.card().id
            {
                return Err(RegistryFault(format!("two checks are called {}", a.card().id)));
            }
        }
        if let Some(odd) = checks.iter().find(|check| parts_of_id(&check.card().id).is_none()) {
            return Err(RegistryFault(format!("a check is called \"{}\"; an id is written trade/what-is-asked", odd.card().id)));
        }
        Ok(Self { checks, book })
    }

    /// The checks, sorted by id.
    #[must_use]
    pub fn checks(&self) -> &[Arc<dyn Check>] {
        &self.checks
    }

    /// The limit files of the trades.
    #[must_use]
    pub fn book(&self) -> &Arc<LimitBook> {
        &self.book
    }

    /// The check of that id.
    #[must_use]
    pub fn find(&self, id: &str) -> Option<&dyn Check> {
        self.checks.iter().find(|check| check.card().id == id).map(AsRef::as_ref)
    }
}

/// Trade and name of an id that is written `trade/what-is-asked`; none for any other text.
#[must_use]
pub fn parts_of_id(id: &str) -> Option<(&str, &str)> {
    id.split_once('/').filter(|(trade, name)| is_word(trade) && is_word(name))
}

/// Whether a text can be either part of an id: small letters, figures and dashes.
#[must_use]
pub fn is_word(part: &str) -> bool {
    !part.is_empty() && part.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-')
}
