//! A change written as `PATH = VALUE`: for trying it without editing the file, and for telling the file a value.

use rig_model::path::{self, Segment};
use rig_model::{Document, Edit, Free};

/// Reads `PATH = VALUE`. Entries of lists may be named by a dot as well as by brackets: `tank.fresh.volume` is
/// `tank[fresh].volume`. The value is text unless it is written as a number, true, false, or in quotes.
///
/// # Errors
/// A sentence that says what makes no sense.
pub fn read(text: &str, document: &Document) -> Result<Edit, String> {
    let (path, value) = text
        .split_once('=')
        .ok_or_else(|| format!("\"{text}\" is no change; write PATH = VALUE, such as tank.fresh.volume = 400 L"))?;
    edit(path.trim(), value.trim(), document)
}

/// The edit that sets the value at a path, with the tables around it where the file has none.
///
/// # Errors
/// A sentence that says what makes no sense.
pub fn edit(path: &str, value: &str, document: &Document) -> Result<Edit, String> {
    study::told::setting(document, &resolve(path, document)?, free(value))
}

/// The path in full, with entries of lists in brackets.
///
/// # Errors
/// A sentence that says where the path makes no sense.
pub(crate) fn resolve(path: &str, document: &Document) -> Result<String, String> {
    let mut found: Vec<Segment> = Vec::new();
    for segment in path::parse(path)? {
        if let (Segment::Key(key), false) = (&segment, found.is_empty()) {
            let as_entry = with(&found, Segment::Name(key.clone()));
            if document.has(&path::join(&as_entry)) {
                found = as_entry;
                continue;
            }
        }
        found.push(segment);
    }
    Ok(path::join(&found))
}

fn with(segments: &[Segment], last: Segment) -> Vec<Segment> {
    let mut all = segments.to_vec();
    all.push(last);
    all
}

/// Text, unless it is plainly something else.
pub(crate) fn free(value: &str) -> Free {
    let quoted = value.strip_prefix('"').and_then(|rest| rest.strip_suffix('"'));
    match (value, quoted) {
        (_, Some(text)) => Free::from(text),
        ("true", _) => Free::Bool(true),
        ("false", _) => Free::Bool(false),
        _ => match value.parse::<f64>() {
            Ok(number) if number.is_finite() => Free::Number(number),
            _ => Free::from(value),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn document() -> Document {
        let text = "rig = \"invented\"\n[[tank]]\nname = \"fresh water\"\nvolume = \"300 L\"\n[body]\nfront = \"1 m\"\n";
        Document::from_toml(text).0
    }

    #[test]
    fn entries_are_found_by_dot_and_by_bracket() {
        for path in ["tank.\"fresh water\".volume", "tank[\"fresh water\"].volume"] {
            let edit = read(&format!("{path} = 400 L"), &document()).expect("reads");
            assert_eq!(edit.path, "tank[\"fresh water\"].volume");
            assert_eq!(edit.to, Some(Free::from("400 L")));
        }
        assert_eq!(read("body.front=1.2 m", &document()).map(|edit| edit.path), Ok("body.front".to_owned()));
        assert!(read("body.front", &document()).is_err());
    }

    #[test]
    fn values_are_text_unless_they_are_plainly_something_else() {
        assert_eq!(free("2"), Free::Number(2.0));
        assert_eq!(free("true"), Free::Bool(true));
        assert_eq!(free("\"2\""), Free::from("2"));
        assert_eq!(free("2 m"), Free::from("2 m"));
    }
}
