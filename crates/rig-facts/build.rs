//! Packs the data files.

fn main() -> Result<(), String> {
    basis::pack::limit_sets(&[
        "data/tolerances.toml",
        "data/held-tolerances.toml",
        "data/living.toml",
        "data/mounts.toml",
        "data/power.toml",
        "data/yard.toml",
        "data/ask.toml",
    ])
}
