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
    pub(crate) use check_power::{checks, limits};
    pub(crate) const NAME: &str = "power";
    /// Words and choices of the first entry of a table, and what they are set to.
    pub(crate) const WORDS: &[(&str, &str, &str)] = &[
        ("site", "horizon", "wood"),
        ("site", "setting", "coast"),
        ("site", "ground", "snow"),
        ("panel", "mounted", "bonded"),
        ("panel", "kind", "flexible"),
        ("panel", "faces", "left"),
        ("panel", "half_cut", "true"),
        ("panel", "glass", "anti-reflective"),
        ("controller", "kind", "pwm"),
        ("controller", "common_relay", "true"),
        ("battery", "chemistry", "agm"),
        ("battery", "stands", "outside"),
        ("battery", "cold_protected", "true"),
        ("battery", "heated", "true"),
        ("battery", "vents_to", "inside"),
        ("battery", "serves", "starter"),
        ("charger", "kind", "direct"),
        ("inverter", "waveform", "modified"),
        ("inverter", "search_mode", "true"),
        ("load", "kind", "cooling"),
        ("load", "medical", "true"),
        ("load", "safety", "true"),
        ("load", "needs_sine", "true"),
        ("load", "tap", "true"),
        ("power", "then", "drive"),
        ("inlet", "source", "generator"),
        ("body.heat", "colour", "black"),
        ("body.heat", "window_kind", "single"),
        ("body.heat", "metal_frames", "true"),
        ("roof", "walkway_side", "none"),
    ];
    /// Keys whose value is a list.
    pub(crate) const LISTS: &[&str] = &["months"];
}
