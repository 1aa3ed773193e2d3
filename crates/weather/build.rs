//! Packs the data files.

fn main() -> Result<(), String> {
    basis::pack::constants("data/reader.toml")?;
    basis::pack::constants("data/sun.toml")?;
    basis::pack::constants("data/climate.toml")?;
    basis::pack::constants("data/generator.toml")?;
    basis::pack::limit_sets(&["data/routes.toml"])
}
