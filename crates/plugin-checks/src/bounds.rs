//! Time, memory and bytes of one question.

use std::time::Duration;

/// What a plugin may take. All of it is a choice of this project: far more than an honest check wants, and little enough that
/// an audit ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bounds {
    /// How long it may take to load and to greet.
    pub greeting: Duration,
    /// How long one answer may take.
    pub answer: Duration,
    /// Bytes of memory that its process may map beyond what the program itself needs.
    pub memory: u64,
    /// Bytes of one answer.
    pub reply: usize,
}

impl Default for Bounds {
    fn default() -> Self {
        Self { greeting: Duration::from_secs(5), answer: Duration::from_secs(10), memory: 1 << 30, reply: 16 << 20 }
    }
}

/// A check whose plugin ended or hung so many times over it is not asked again.
pub(crate) const DEATHS: u32 = 2;

/// Bytes of what a plugin writes on its terminal that are kept for the sentence of a fault.
pub(crate) const KEPT: usize = 4096;

/// How long the last words of a process that has ended are waited for.
pub(crate) const LAST_WORDS: Duration = Duration::from_millis(500);

/// Checks in one plugin.
pub(crate) const CARDS: usize = 256;

/// No quantity of a rig is larger, in SI: what is larger would overflow further on.
pub(crate) const LARGEST: f64 = 1e15;
