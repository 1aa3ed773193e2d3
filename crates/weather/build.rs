//! Packs the data files.

fn main() -> Result<(), String> {
    basis::pack::constants("data/reader.toml")
}
