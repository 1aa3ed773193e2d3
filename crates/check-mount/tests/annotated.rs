//! The annotated rigs of this trade, and its cards held against them; how they are written stands in
//! `check-weight/tests/support/announced.rs`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

#[path = "../../check-weight/tests/support/announced.rs"]
mod announced;
#[path = "../../check-weight/tests/support/cards.rs"]
mod cards;
#[path = "../../check-weight/tests/support/mod.rs"]
mod support;

mod trade {
    pub(crate) use check_mount::{checks, limits};
    pub(crate) const NAME: &str = "mount";
    /// Words and choices of the first entry of a table, and what they are set to.
    pub(crate) const WORDS: &[(&str, &str, &str)] = &[
        ("mount", "kind", "pivot"),
        ("mount", "holds", "down"),
        ("mount", "bolts.size", "M14"),
        ("mount", "bolts.class", "10.9"),
        ("mount", "bracket.section", "L 100x10"),
        ("mount", "bracket.steel", "S355"),
        ("mount", "welds.quality", "coded"),
        ("mount", "welds.steel", "S275"),
        ("mount", "welds.on", "flange"),
        ("mount", "packer.material", "D40"),
        ("mount", "packer.retained_by", "trough"),
        ("mount", "bracket.gusset", "true"),
        ("mount", "packer.wet", "false"),
    ];
    /// Keys whose value is a list.
    pub(crate) const LISTS: &[&str] = &["holds"];
}
