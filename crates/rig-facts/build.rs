//! Packs the data files.

fn main() -> Result<(), String> {
    basis::pack::limit_sets(&["data/tolerances.toml", "data/yard.toml", "data/ask.toml"])
}
