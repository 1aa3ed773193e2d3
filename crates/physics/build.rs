//! Packs the data files.

fn main() -> Result<(), String> {
    basis::pack::constants("data/weight.toml")?;
    basis::pack::constants("data/mount.toml")?;
    basis::pack::constants("data/sun.toml")?;
    basis::pack::constants("data/store.toml")?;
    basis::pack::limit_sets(&[
        "data/tyres.toml",
        "data/scales.toml",
        "data/bolts.toml",
        "data/steels.toml",
        "data/sections.toml",
        "data/timber.toml",
        "data/lashing.toml",
        "data/metals.toml",
        "data/wind.toml",
        "data/panels.toml",
        "data/batteries.toml",
        "data/heat.toml",
    ])
}
