//! What is the matter with the rig file: place, subject, sentence; what was found, what is wanted, what to write.

use check::Audit;
use check::audit::InputError;

use crate::text;

/// Column of what was found, wanted and to be written.
const LABEL: usize = 8;

pub(super) fn render(audit: &Audit) -> String {
    let file = text::clean(&audit.file);
    let mut errors: Vec<&InputError> = audit.errors.iter().collect();
    errors.sort_by_key(|error| (error.line, error.column));
    let mut out = String::new();
    for error in errors {
        one(&mut out, &file, error);
        out.push('\n');
    }
    out.push_str(&format!("{} in {file}. Nothing was checked.\n", text::count(audit.errors.len(), "error")));
    out
}

fn one(out: &mut String, file: &str, error: &InputError) {
    let subject = if error.subject.is_empty() { String::new() } else { format!("{}: ", text::clean(&error.subject)) };
    let place = if error.line == 0 { file.to_owned() } else { format!("{file}:{}:{}", error.line, error.column) };
    out.push_str(&format!("{place}: {subject}{}\n", text::clean(&error.text)));
    for (label, said) in [("found", &error.found), ("expected", &error.expected), ("write", &error.write)] {
        if let Some(said) = said {
            out.push_str(&format!("    {label:<LABEL$}  {}\n", text::clean(said)));
        }
    }
}
