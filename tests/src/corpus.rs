//! The corpus of broken rig files in `tests/hostile`, and what each says must come of it.
//!
//! The first line of a file is a comment: `#! clean`, or `#! exit 2` and the place of every problem. A place is
//! `LINE:COLUMN`, or `LINE` where the column is the parser's affair. `#! exit 2 200 problems` counts instead.
//! Files that cannot hold a comment stand in `expected.txt`.

use std::collections::BTreeMap;
use std::path::PathBuf;

use check::audit::InputError;

/// What must come of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Want {
    /// It is read without problems and audited.
    Clean,
    /// Exactly these problems, in the order of the file.
    Problems(Vec<At>),
    /// So many problems.
    Count(usize),
}

/// The place of a problem.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct At {
    /// Line, from 1.
    pub line: u32,
    /// Column in characters, from 1; none where any will do.
    pub column: Option<u32>,
}

/// One file of the corpus.
#[derive(Clone, Debug)]
pub struct Hostile {
    /// Name of the file.
    pub name: String,
    /// Where it stands.
    pub path: PathBuf,
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// Whether it is JSON.
    pub json: bool,
    /// What must come of it.
    pub want: Want,
}

/// All files of the corpus, sorted by name.
///
/// # Panics
/// When a file does not say what must come of it.
#[must_use]
pub fn hostile() -> Vec<Hostile> {
    let folder = crate::root().join("tests/hostile");
    let table = std::fs::read_to_string(folder.join("expected.txt")).unwrap();
    let listed: BTreeMap<&str, &str> =
        table.lines().filter_map(|line| line.split_once("  ")).filter(|(name, _)| name.contains('.')).collect();
    let mut files: Vec<Hostile> = std::fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.file_name().is_some_and(|name| name != "expected.txt"))
        .map(|path| {
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            let bytes = std::fs::read(&path).unwrap();
            let head = String::from_utf8_lossy(bytes.split(|byte| *byte == b'\n').next().unwrap_or_default()).into_owned();
            let said = listed.get(name.as_str()).copied().or_else(|| head.strip_prefix("#! "));
            let want = said.and_then(read_want).unwrap_or_else(|| panic!("{name} does not say what must come of it"));
            Hostile { json: name.ends_with(".json"), name, path, bytes, want }
        })
        .collect();
    files.sort_by(|a, b| a.name.cmp(&b.name));
    let known = |name: &str| files.iter().any(|file| file.name == name);
    assert!(listed.keys().all(|name| known(name)), "expected.txt speaks of a file that is not there");
    files
}

fn read_want(text: &str) -> Option<Want> {
    let text = text.trim();
    if text == "clean" {
        return Some(Want::Clean);
    }
    let rest = text.strip_prefix("exit 2")?.trim();
    if let Some(count) = rest.strip_suffix(" problems") {
        return count.parse().ok().map(Want::Count);
    }
    let at = |word: &str| {
        let (line, column) = match word.split_once(':') {
            Some((line, column)) => (line, Some(column.parse().ok()?)),
            None => (word, None),
        };
        Some(At { line: line.parse().ok()?, column })
    };
    let places: Option<Vec<At>> = rest.split_whitespace().map(at).collect();
    places.filter(|places| !places.is_empty()).map(Want::Problems)
}

impl Want {
    /// Whether these problems are what is wanted.
    #[must_use]
    pub fn is_met_by(&self, errors: &[InputError]) -> bool {
        match self {
            Self::Clean => errors.is_empty(),
            Self::Count(count) => errors.len() == *count,
            Self::Problems(places) => {
                places.len() == errors.len()
                    && places
                        .iter()
                        .zip(errors)
                        .all(|(at, error)| at.line == error.line && at.column.is_none_or(|column| column == error.column))
            }
        }
    }
}
