//! Data files, packed when the program is built: reading TOML took a fifth of an audit, each time the program starts. A
//! file that does not hold together stops the build.
//!
//! A crate with data files has a build script that calls [`limit_sets`] or [`constants`], and takes them in again with
//! [`packed!`](crate::packed) and [`unpack`].

use std::path::Path;
use std::{env, fs};

use borsh::{BorshDeserialize, BorshSerialize};

use crate::{Constants, LimitSet, LoadError};

/// The bytes of a data file by its name without ending, as the build script of the same crate packed it.
#[macro_export]
macro_rules! packed {
    ($name:literal) => {
        include_bytes!(concat!(env!("OUT_DIR"), "/", $name, ".packed"))
    };
}

/// What was packed.
///
/// # Errors
/// When the bytes are not those of such a thing: they were packed by another build.
pub fn unpack<T: BorshDeserialize>(bytes: &[u8]) -> Result<T, LoadError> {
    borsh::from_slice(bytes).map_err(|why| LoadError::Syntax(why.to_string()))
}

/// Packs files of limits and tables, for a build script. Paths count from the crate's own folder.
///
/// # Errors
/// The first file that is not there or does not load.
pub fn limit_sets(files: &[&str]) -> Result<(), String> {
    files.iter().try_for_each(|file| pack(file, LimitSet::load))
}

/// Packs a file of constants, for a build script. Its path counts from the crate's own folder.
///
/// # Errors
/// When it is not there or does not load.
pub fn constants(file: &str) -> Result<(), String> {
    pack(file, Constants::load)
}

#[allow(clippy::print_stdout, reason = "how a build script speaks to cargo")]
fn pack<T: BorshSerialize>(file: &str, load: impl FnOnce(&str) -> Result<T, LoadError>) -> Result<(), String> {
    println!("cargo::rerun-if-changed={file}");
    let wrong = |why: &dyn std::fmt::Display| format!("{file}: {why}");
    let text = fs::read_to_string(file).map_err(|why| wrong(&why))?;
    let bytes = borsh::to_vec(&load(&text).map_err(|why| wrong(&why))?).map_err(|why| wrong(&why))?;
    let folder = env::var_os("OUT_DIR").ok_or_else(|| wrong(&"OUT_DIR is not set: this is for build scripts"))?;
    let name = Path::new(file).with_extension("packed");
    let name = name.file_name().ok_or_else(|| wrong(&"it has no name"))?;
    fs::write(Path::new(&folder).join(name), bytes).map_err(|why| wrong(&why))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_packed_comes_out_the_same() {
        let text = r#"
set = "good-practice"
[[limit]]
id = "weight/a"
asks = "a share"
dimension = "ratio"
between = ["20 %", "60 %"]
why = "because"
basis = { kind = "standard", title = "a standard", clause = "4", known = "read", seen = "its text" }
[[table]]
id = "weight/b"
asks = "a table"
columns = [{ name = "what" }, { name = "how much", dimension = "mass" }, { name = "n", plain = true }]
rows = [["this", "2 t", "-0.5"]]
basis = { kind = "common-practice", title = "common practice, no source", known = "from-memory" }
"#;
        let set = LimitSet::load(text).expect("it loads");
        let bytes = borsh::to_vec(&set).expect("it packs");
        assert_eq!(unpack::<LimitSet>(&bytes), Ok(set));
        assert!(unpack::<LimitSet>(bytes.split_last().expect("it is not empty").1).is_err());
    }
}
