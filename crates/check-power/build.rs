//! Packs the data files.

fn main() -> Result<(), String> {
    basis::pack::limit_sets(&["limits/good-practice.toml", "limits/eu.toml", "limits/us-federal.toml"])
}
