//! Packs the data files.

fn main() -> Result<(), String> {
    basis::pack::constants("data/weight.toml")?;
    basis::pack::limit_sets(&["data/tyres.toml", "data/scales.toml"])
}
