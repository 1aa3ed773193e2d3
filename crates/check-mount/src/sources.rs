//! Numbers that stand in for what nobody told, and where the numbers of this trade come from.

use std::sync::LazyLock;

use basis::Basis;
use physics::mount_facts;
use rig_facts::tables;

/// What is taken of joints whose making nobody told: the facts' table `mounts/joint`.
pub const JOINT: &str = "mounts/joint";
/// What is taken of fixings, lifts and undoing: the facts' table `mounts/holding`.
pub const HOLDING: &str = "mounts/holding";

static COMMON_PRACTICE: LazyLock<Basis> = LazyLock::new(Basis::common_practice);

/// A number of one of these tables.
#[must_use]
pub fn taken(table: &str, what: &str) -> f64 {
    tables::usual(table, "what", what, "number")
}

/// Where the numbers of such a table come from.
#[must_use]
pub fn taken_basis(table: &str) -> &'static Basis {
    tables::table(table).map_or(&COMMON_PRACTICE, |table| &table.basis)
}

/// Basis of a constant of the mount kernels.
#[must_use]
pub fn source(id: &str) -> &'static Basis {
    mount_facts::mount_sources().get(id).map_or(&COMMON_PRACTICE, |constant| &constant.basis)
}
