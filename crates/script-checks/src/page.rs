//! What a script may call, made from the registration itself: as a page, and as definitions for editors.

use serde_json::Value;

use crate::sandbox;

/// The functions as a Markdown table: what is written, and what it does.
#[must_use]
pub fn functions() -> String {
    let mut rows: Vec<(String, String)> = Vec::new();
    let listed = sandbox::engine().gen_fn_metadata_to_json(false).unwrap_or_default();
    let listed: Value = serde_json::from_str(&listed).unwrap_or(Value::Null);
    let list = |of: &Value, key: &str| of.get(key).and_then(Value::as_array).cloned().unwrap_or_default();
    let word = |of: &Value, key: &str| of.get(key).and_then(Value::as_str).unwrap_or_default().to_owned();
    for function in list(&listed, "functions") {
        let comments = list(&function, "docComments");
        let comments = comments.iter().filter_map(Value::as_str);
        let doc: Vec<&str> = comments.flat_map(str::lines).map(|line| line.trim_start_matches('/').trim()).collect();
        if doc.is_empty() {
            continue;
        }
        let name = word(&function, "name");
        // The engine's own first argument is no argument of the author's.
        let parameters = list(&function, "params");
        let parameters = parameters.iter().map(|one| word(one, "name")).filter(|name| name != "context");
        let parameters: Vec<String> = parameters.collect();
        let written = match (name.strip_prefix("get$"), parameters.as_slice()) {
            (Some(property), [of, ..]) => format!("{of}.{property}"),
            (_, [of, rest @ ..]) if of == "answer" || (of == "limit" && !rest.is_empty()) => {
                format!(".{name}({})", rest.join(", "))
            }
            (_, all) => format!("{name}({})", all.join(", ")),
        };
        rows.push((written, doc.join(" ")));
    }
    rows.sort();
    let mut page = String::from("| written | does |\n|---|---|\n");
    for (written, doc) in rows {
        page.push_str(&format!("| `{written}` | {} |\n", doc.replace('|', "\\|")));
    }
    page
}

/// A definition file for editors that know the language.
#[must_use]
pub fn definitions() -> String {
    sandbox::engine().definitions().with_headers(true).include_standard_packages(true).single_file()
}
