//! Paths into a rig file: `axle[front].rated`, `mass["insulated body shell"].at[1]`.
//!
//! A key stands bare or, if it is not a bare word, in quotes. An entry of a list stands in brackets: its name, quoted
//! unless it is a bare word that does not begin with a digit, or its place counted from 1 where entries have no name.

use std::borrow::Cow;

/// One step of a path.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Segment {
    /// A key of a table.
    Key(String),
    /// The name of an entry in a list of tables.
    Name(String),
    /// The place of an entry in a list, from 1.
    Index(usize),
}

/// A key as it stands in a path or a TOML file: bare if it can be, else in quotes.
pub fn quote_key(key: &str) -> Cow<'_, str> {
    let bare = !key.is_empty() && key.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'_' || b == b'-');
    if bare { Cow::Borrowed(key) } else { Cow::Owned(quote(key)) }
}

/// The bracket for an entry of a list: `[front]`, `["body shell"]` or `[2]`.
pub fn entry(name: Option<&str>, index: usize) -> String {
    let mut text = String::new();
    push_entry(&mut text, name, index);
    text
}

/// Writes the bracket for an entry of a list after a path. Paths are written by the thousand: no formatter.
pub(crate) fn push_entry(text: &mut String, name: Option<&str>, index: usize) {
    text.push('[');
    match name.filter(|name| !name.is_empty()) {
        None => text.push_str(&index.to_string()),
        Some(name) if name.starts_with(|c: char| c.is_ascii_digit() || c == '-') => text.push_str(&quote(name)),
        Some(name) => text.push_str(&quote_key(name)),
    }
    text.push(']');
}

/// Path of an entry of a list by its name; `index` counts from 0 and stands in where it has none: `axle[front]`, `axle[2]`.
#[must_use]
pub fn of(list: &str, name: &str, index: usize) -> String {
    // Room for the name, brackets and quotes.
    let mut path = String::with_capacity(list.len() + name.len() + 4);
    path.push_str(list);
    push_entry(&mut path, Some(name), index + 1);
    path
}

/// Text in double quotes, with `\` before quotes and backslashes.
fn quote(text: &str) -> String {
    let mut quoted = String::with_capacity(text.len() + 2);
    quoted.push('"');
    for c in text.chars() {
        if c == '"' || c == '\\' {
            quoted.push('\\');
        }
        quoted.push(c);
    }
    quoted.push('"');
    quoted
}

/// Takes a path apart.
///
/// # Errors
/// A sentence that says at which character the path stops making sense.
pub fn parse(path: &str) -> Result<Vec<Segment>, String> {
    let mut rest = path;
    let mut segments = Vec::new();
    let fault = |rest: &str, wanted: &str| {
        let at = path.len() - rest.len();
        let character = path.get(..at).map_or(0, |before| before.chars().count()) + 1;
        Err(format!("the path {path} makes no sense at character {character}: {wanted} is wanted there"))
    };
    while !rest.is_empty() {
        if let Some(inside) = rest.strip_prefix('[') {
            let (text, quoted, after) = match word(inside) {
                Some(found) => found,
                None => return fault(inside, "a name or a number"),
            };
            let Some(after) = after.strip_prefix(']') else { return fault(after, "]") };
            segments.push(match text.parse::<usize>() {
                Ok(0) if !quoted => return fault(inside, "a number from 1"),
                Ok(index) if !quoted => Segment::Index(index),
                _ => Segment::Name(text),
            });
            rest = after;
        } else {
            if !segments.is_empty() {
                rest = match rest.strip_prefix('.') {
                    Some(after) => after,
                    None => return fault(rest, "a point or ["),
                };
            }
            let Some((text, _, after)) = word(rest) else { return fault(rest, "a key") };
            segments.push(Segment::Key(text));
            rest = after;
        }
    }
    if segments.is_empty() { fault(rest, "a key") } else { Ok(segments) }
}

/// Reads one bare or quoted word: its text, whether it was quoted, and what follows.
fn word(rest: &str) -> Option<(String, bool, &str)> {
    if let Some(inside) = rest.strip_prefix('"') {
        let mut text = String::new();
        let mut characters = inside.char_indices();
        while let Some((at, c)) = characters.next() {
            match c {
                '"' => return Some((text, true, inside.get(at + 1..)?)),
                '\\' => text.push(characters.next()?.1),
                c => text.push(c),
            }
        }
        return None;
    }
    let end = rest.find(['.', '[', ']', '"']).unwrap_or(rest.len());
    let text = rest.get(..end).filter(|text| !text.is_empty())?;
    Some((text.to_owned(), false, rest.get(end..)?))
}

/// The path of these steps, written out.
pub fn join(segments: &[Segment]) -> String {
    let mut text = String::new();
    for segment in segments {
        match segment {
            Segment::Key(key) => {
                if !text.is_empty() {
                    text.push('.');
                }
                text.push_str(&quote_key(key));
            }
            Segment::Name(name) => push_entry(&mut text, Some(name), 0),
            Segment::Index(index) => push_entry(&mut text, None, *index),
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_written_out_reads_back() {
        for path in [
            "axle",
            "axle[front].rated",
            "mass[\"insulated body shell\"].at[1]",
            "state[\"2 up\"].fill.\"fresh water\"",
            "custom.a-b.c_1",
            "mass[\"say \\\"hi\\\" \\\\\"].mass",
            "mass[\"a.b[c]\"].mass",
        ] {
            assert_eq!(join(&parse(path).unwrap()), path);
        }
    }

    #[test]
    fn a_number_in_quotes_is_a_name() {
        assert_eq!(parse("axle[\"2\"]").unwrap()[1], Segment::Name("2".into()));
        assert_eq!(parse("axle[2]").unwrap()[1], Segment::Index(2));
    }

    #[test]
    fn a_broken_path_says_where() {
        for (path, character) in
            [("", 1), ("axle[", 6), ("axle[front", 11), ("axle.", 6), ("axle[0]", 6), ("axle[a]b", 8), ("ä[", 3)]
        {
            let fault = parse(path).unwrap_err();
            assert!(fault.contains(&format!("character {character}:")), "{path}: {fault}");
        }
    }
}
