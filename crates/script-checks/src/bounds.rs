//! Bounds that no script may break. Choices of this project: generous for arithmetic on a rig, small enough that their
//! product cannot exhaust a machine.

use std::time::Duration;

/// Steps of one call: about a fifth of a second of the engine's work.
pub(crate) const STEPS: u64 = 5_000_000;
/// Time for one call.
pub(crate) const DEADLINE: Duration = Duration::from_millis(500);
/// Time for all calls of one script in one run, so that many states and ways out do not add up to a hang.
pub(crate) const ALL_CALLS: Duration = Duration::from_secs(3);
/// Memory that one call may hold, bytes.
pub(crate) const MEMORY: usize = 64 << 20;
/// Calls within calls.
pub(crate) const CALL_LEVELS: usize = 32;
/// Depth of an expression outside a function, and inside one.
pub(crate) const EXPRESSION_DEPTH: [usize; 2] = [64, 32];
/// Characters of a text.
pub(crate) const TEXT: usize = 16 << 10;
/// Entries of a list.
pub(crate) const LIST: usize = 10_000;
/// Entries of a table.
pub(crate) const TABLE: usize = 2_000;
/// Functions of a script.
pub(crate) const FUNCTIONS: usize = 200;
/// Variables in reach at a time.
pub(crate) const VARIABLES: usize = 500;
/// Bytes of a script file.
pub(crate) const FILE: usize = 256 << 10;
/// Findings of one call.
pub(crate) const FINDINGS: usize = 200;
