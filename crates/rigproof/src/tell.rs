//! Writes one value into the text of a rig file and leaves every other byte as it is.

use rig_model::path::{self, Segment};
use rig_model::{Document, Edit, Free, Syntax};

use crate::change;

/// The text with the value written, and the edit that says the same.
#[derive(Clone, Debug, PartialEq)]
pub struct Told {
    /// The new text.
    pub text: String,
    /// Where the value stands, in full.
    pub path: String,
    /// What was changed.
    pub edit: Edit,
}

/// Writes a value at a path. The new text is read again before it is given out: it must mean what the edit means. Tables
/// that the file does not have are written along as points in the key; an entry of a list is not made.
///
/// # Errors
/// A sentence: the path makes no sense, nothing is there to hold the value, or the file would no longer be a rig.
pub fn tell(text: &str, syntax: Syntax, path: &str, value: &str) -> Result<Told, String> {
    let (document, problems) = Document::new(text, syntax);
    if let Some(problem) = problems.first() {
        return Err(format!("the file is to be put right first: {problem}"));
    }
    let path = change::resolve(path, &document)?;
    let to = change::free(value);
    let edit = study::told::setting(&document, &path, to.clone())?;
    let wanted = document.with(std::slice::from_ref(&edit)).map_err(|fault| fault.to_string())?;
    let (rig, problems) = wanted.read();
    if let Some(problem) = problems.first() {
        return Err(format!("{}: {}", problem.subject, problem.sentence));
    }
    let text = spliced(&document, &path, &literal(&to, syntax)?)?;
    let (again, mut faults) = Document::new(&text, syntax);
    let (read, more) = again.read();
    faults.extend(more);
    if faults.is_empty() && read == rig {
        Ok(Told { text, path, edit })
    } else {
        Err(format!("{path} cannot be written without touching the rest; edit the file by hand"))
    }
}

/// The value as the file writes it.
fn literal(value: &Free, syntax: Syntax) -> Result<String, String> {
    match value {
        Free::Text(text) => Ok(quoted(text, syntax)),
        Free::Number(number) => Ok(number.to_string()),
        Free::Bool(yes) => Ok(yes.to_string()),
        Free::List(_) | Free::Table(_) => Err("one value at a time".to_owned()),
    }
}

/// A basic string of TOML, which is also a string of JSON.
fn quoted(text: &str, syntax: Syntax) -> String {
    let mut quoted = String::from("\"");
    for c in text.chars() {
        match c {
            '"' | '\\' => quoted.extend(['\\', c]),
            '\n' => quoted.push_str("\\n"),
            '\t' => quoted.push_str("\\t"),
            c if c.is_control() && (syntax == Syntax::Toml || u32::from(c) < 0x20) => {
                quoted.push_str(&format!("\\u{:04X}", u32::from(c)))
            }
            c => quoted.push(c),
        }
    }
    quoted.push('"');
    quoted
}

fn spliced(document: &Document, path: &str, literal: &str) -> Result<String, String> {
    let inner = format!("{path}.value");
    let target = if document.has(&inner) { inner.as_str() } else { path };
    if let Some(span) = document.span(target) {
        return replaced(document.text(), span, literal);
    }
    let segments = path::parse(path)?;
    let (mut above, mut keys) = (segments.as_slice(), Vec::new());
    while let Some((Segment::Key(key), parent)) = above.split_last() {
        keys.insert(0, key.as_str());
        above = parent;
        if parent.is_empty() || takes_keys(document, &path::join(parent)) {
            return inserted(document, &path::join(parent), &keys, literal);
        }
    }
    Err(format!("the file has no {} to hold it; write that first", path::join(above)))
}

/// Whether a table stands there in one piece: with a header, or in braces. One made of points in keys does not.
fn takes_keys(document: &Document, path: &str) -> bool {
    let stands = document.span(path).and_then(|span| document.text().get(span));
    stands.is_some_and(|stands| stands.starts_with(['[', '{']))
}

fn replaced(text: &str, span: std::ops::Range<usize>, with: &str) -> Result<String, String> {
    match (text.get(..span.start), text.get(span.end..)) {
        (Some(before), Some(after)) => Ok(format!("{before}{with}{after}")),
        _ => Err("the file holds no such place".to_owned()),
    }
}

/// A new key under a table that is there.
fn inserted(document: &Document, parent: &str, keys: &[&str], literal: &str) -> Result<String, String> {
    let text = document.text();
    let line_end = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let entry = match document.syntax() {
        Syntax::Toml => format!("{} = {literal}", keys.iter().map(|key| path::quote_key(key)).collect::<Vec<_>>().join(".")),
        Syntax::Json => nested(keys, literal),
    };
    if parent.is_empty() {
        return Ok(match document.syntax() {
            Syntax::Toml => at_line(text, first_header(text), &format!("{entry}{line_end}")),
            Syntax::Json => after_brace(text, 0, &entry),
        });
    }
    let absent = || format!("the file has no {parent} to hold it; write that table first");
    let span = document.span(parent).ok_or_else(absent)?;
    let stands = text.get(span.clone()).unwrap_or_default();
    if document.syntax() == Syntax::Json {
        return Ok(after_brace(text, span.start, &entry));
    }
    if stands.starts_with('{') {
        let empty = stands.trim_start_matches('{').trim_end_matches('}').trim().is_empty();
        let entry = if empty { format!("{{ {entry}") } else { format!("{{ {entry}, ") };
        let rest = stands.trim_start_matches('{');
        let rest = if empty { rest } else { rest.trim_start() };
        return replaced(text, span, &format!("{entry}{rest}"));
    }
    // A table with a header: right below it, ahead of whatever else it holds.
    let after = text.get(span.start..).and_then(|rest| rest.find('\n')).map(|at| span.start + at + 1);
    Ok(match after {
        Some(at) => at_line(text, at, &format!("{entry}{line_end}")),
        None => format!("{text}{line_end}{entry}{line_end}"),
    })
}

/// Byte at which the first table's header stands, or the end of the text.
fn first_header(text: &str) -> usize {
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        if line.trim_start().starts_with('[') {
            return at;
        }
        at += line.len();
    }
    at
}

fn at_line(text: &str, at: usize, line: &str) -> String {
    let (before, after) = text.split_at_checked(at).unwrap_or((text, ""));
    let gap = if before.is_empty() || before.ends_with('\n') { "" } else { "\n" };
    format!("{before}{gap}{line}{after}")
}

/// A key of JSON with its value, in the tables around it.
fn nested(keys: &[&str], literal: &str) -> String {
    let Some((first, rest)) = keys.split_first() else { return literal.to_owned() };
    let value = nested(rest, literal);
    let value = if rest.is_empty() { value } else { format!("{{{value}}}") };
    format!("{}: {value}", quoted(first, Syntax::Json))
}

fn after_brace(text: &str, from: usize, entry: &str) -> String {
    let Some(at) = text.get(from..).and_then(|rest| rest.find('{')).map(|at| from + at + 1) else { return text.to_owned() };
    let (before, after) = text.split_at_checked(at).unwrap_or((text, ""));
    let comma = if after.trim_start().starts_with('}') { "" } else { "," };
    format!("{before}{entry}{comma}{after}")
}

#[cfg(test)]
mod tests {
    use super::*;

    const RIG: &str = "# the yard's own\nformat = \"rigproof-rig/1\"\nrig = \"invented\"   # kept\n\n[chassis]  # plate\n# by hand\ngross_mass = { value = \"7500 kg\", how = \"data-plate\" }\n\n[[tank]]\nname = \"fresh\"\nvolume = '300 L' # litres\nfill = \"full\"\n";

    fn told(path: &str, value: &str) -> String {
        tell(RIG, Syntax::Toml, path, value).expect("it can be told").text
    }

    #[test]
    fn a_value_is_replaced_and_nothing_else() {
        assert_eq!(told("tank.fresh.volume", "400 L"), RIG.replace("'300 L'", "\"400 L\""));
        assert_eq!(told("chassis.gross_mass", "8000 kg"), RIG.replace("7500 kg", "8000 kg"));
    }

    #[test]
    fn a_new_key_stands_below_its_header_or_at_the_end_of_the_top() {
        assert_eq!(told("chassis.supply", "24 V"), RIG.replace("# plate\n", "# plate\nsupply = \"24 V\"\n"));
        assert_eq!(told("units", "metric"), RIG.replace("[chassis]", "units = \"metric\"\n[chassis]"));
        let inline = RIG
            .replace("[chassis]  # plate\n# by hand\ngross_mass = ", "chassis = { gross_mass = ")
            .replace("data-plate\" }", "data-plate\" } }");
        let told = tell(&inline, Syntax::Toml, "chassis.supply", "24 V").expect("it can be told");
        assert_eq!(told.text, inline.replace("{ gross_mass", "{ supply = \"24 V\", gross_mass"));
    }

    #[test]
    fn tables_that_are_absent_are_written_along() {
        assert_eq!(told("body.front", "1 m"), RIG.replace("[chassis]", "body.front = \"1 m\"\n[chassis]"));
        let brakes = "brakes.load_sensing_valve = true\n";
        let first = told("chassis.brakes.load_sensing_valve", "true");
        assert_eq!(first, RIG.replace("# plate\n", &format!("# plate\n{brakes}")));
        let second = tell(&first, Syntax::Toml, "chassis.brakes.proved_at", "4000 kg").expect("it can be told").text;
        assert_eq!(second, first.replace(brakes, &format!("brakes.proved_at = \"4000 kg\"\n{brakes}")));
        let json = "{\"format\": \"rigproof-rig/1\", \"rig\": \"invented\"}";
        let told = tell(json, Syntax::Json, "chassis.brakes.proved_at", "4 t").expect("it can be told").text;
        assert_eq!(told, json.replace("{", "{\"chassis\": {\"brakes\": {\"proved_at\": \"4 t\"}},"));
    }

    #[test]
    fn what_is_no_rig_any_more_is_refused() {
        for (path, value) in [
            ("tank.fresh.volume", "400 kg"),
            ("tank.grey.volume", "1 L"),
            ("axle[front].rated", "1 kg"),
            ("body.colour", "red"),
            ("rig..x", "1"),
            ("colour", "red"),
        ] {
            assert!(tell(RIG, Syntax::Toml, path, value).is_err(), "{path} = {value}");
        }
    }

    #[test]
    fn json_is_told_too() {
        let json = "{ \"format\": \"rigproof-rig/1\", \"rig\": \"invented\", \"tank\": [ { \"name\": \"fresh\", \"volume\": \"300 L\" } ] }";
        let told = tell(json, Syntax::Json, "tank.fresh.fill", "half \"full\"");
        assert!(told.is_err());
        let told = tell(json, Syntax::Json, "tank.fresh.fill", "full").expect("it can be told");
        assert_eq!(told.text, json.replace("{ \"name\"", "{\"fill\": \"full\", \"name\""));
    }
}
