//! The file as a tree of values with their places, the same for TOML and JSON.

use std::sync::Arc;

/// From byte to byte in the text.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Span {
    pub(crate) start: usize,
    pub(crate) end: usize,
}

impl From<std::ops::Range<usize>> for Span {
    fn from(range: std::ops::Range<usize>) -> Span {
        Span { start: range.start, end: range.end }
    }
}

/// One value and where it stands. Subtrees are shared, so that an edited copy costs only the path to the edit.
#[derive(Clone, Debug)]
pub struct Node {
    pub(crate) span: Span,
    pub(crate) kind: Kind,
}

#[derive(Clone, Debug)]
pub(crate) enum Kind {
    Text(Box<str>),
    Number(Number),
    Bool(bool),
    /// A date or time as TOML writes it without quotes.
    Moment(Box<str>),
    Null,
    List(Vec<Arc<Node>>),
    Table(Vec<Entry>),
}

/// A number, also as it is written.
#[derive(Clone, Debug)]
pub(crate) struct Number {
    pub(crate) raw: Box<str>,
    pub(crate) value: f64,
    pub(crate) whole: Option<i64>,
}

/// One key with its value, in the order of the file.
#[derive(Clone, Debug)]
pub(crate) struct Entry {
    pub(crate) key: Arc<str>,
    pub(crate) key_span: Span,
    pub(crate) value: Arc<Node>,
}

/// A table without entries, for what is absent.
pub(crate) static EMPTY: Node = Node { span: Span { start: 0, end: 0 }, kind: Kind::Table(Vec::new()) };

impl Node {
    pub(crate) fn table(span: Span, entries: Vec<Entry>) -> Node {
        Node { span, kind: Kind::Table(entries) }
    }

    /// The entries of a table; none for anything else.
    pub(crate) fn entries(&self) -> &[Entry] {
        match &self.kind {
            Kind::Table(entries) => entries,
            _ => &[],
        }
    }

    /// The entries of a list; none for anything else.
    pub(crate) fn items(&self) -> &[Arc<Node>] {
        match &self.kind {
            Kind::List(items) => items,
            _ => &[],
        }
    }

    pub(crate) fn get(&self, key: &str) -> Option<&Arc<Node>> {
        self.entries().iter().find(|entry| *entry.key == *key).map(|entry| &entry.value)
    }

    pub(crate) fn text(&self) -> Option<&str> {
        match &self.kind {
            Kind::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The name the owner gave this table.
    pub(crate) fn name(&self) -> Option<&str> {
        self.get("name").and_then(|node| node.text()).filter(|name| !name.is_empty())
    }

    /// What tells this node from every other of the same tree, while the tree lives.
    pub(crate) fn address(&self) -> usize {
        std::ptr::from_ref(self) as usize
    }

    /// What it is, in plain words with an article.
    pub(crate) fn noun(&self) -> &'static str {
        match &self.kind {
            Kind::Text(_) => "text",
            Kind::Number(_) => "a number",
            Kind::Bool(_) => "true or false",
            Kind::Moment(_) => "a date",
            Kind::Null => "null",
            Kind::List(_) => "a list",
            Kind::Table(_) => "a table",
        }
    }

    /// What stands there, as the file writes it, cut to one short line.
    pub(crate) fn shown(&self) -> String {
        use crate::problem::shorten;
        match &self.kind {
            Kind::Text(text) => format!("\"{}\"", shorten(text)),
            Kind::Number(number) => shorten(&number.raw),
            Kind::Bool(yes) => yes.to_string(),
            Kind::Moment(text) => shorten(text),
            Kind::Null => "null".into(),
            Kind::List(items) if items.is_empty() => "an empty list".into(),
            Kind::List(items) => format!("a list of {}", items.len()),
            Kind::Table(_) => "a table".into(),
        }
    }
}

/// Builds the tree from toml's own. `shift` is added to every span (the byte order mark stands before toml's text).
pub(crate) fn from_toml(table: &toml::Spanned<toml::de::DeTable<'_>>, text: &str, shift: usize) -> Node {
    Toml { text, shift }.table(table.get_ref(), table.span())
}

struct Toml<'t> {
    text: &'t str,
    shift: usize,
}

impl Toml<'_> {
    fn span(&self, range: std::ops::Range<usize>) -> Span {
        Span { start: range.start + self.shift, end: range.end + self.shift }
    }

    fn table(&self, table: &toml::de::DeTable<'_>, range: std::ops::Range<usize>) -> Node {
        let mut entries: Vec<Entry> = table
            .iter()
            .map(|(key, value)| Entry {
                key: Arc::from(key.get_ref().as_ref()),
                key_span: self.span(key.span()),
                value: Arc::new(self.value(value)),
            })
            .collect();
        // toml keeps its tables sorted by key; people read in the order of the file.
        entries.sort_by_key(|entry| entry.key_span.start);
        Node::table(self.span(range), entries)
    }

    fn value(&self, value: &toml::Spanned<toml::de::DeValue<'_>>) -> Node {
        use toml::de::DeValue;
        let range = value.span();
        let raw = || self.text.get(range.clone()).unwrap_or("").into();
        let kind = match value.get_ref() {
            DeValue::String(text) => Kind::Text(text.as_ref().into()),
            DeValue::Integer(number) => {
                let whole = i64::from_str_radix(number.as_str(), number.radix()).ok();
                let value = whole.map_or_else(|| number.as_str().parse().unwrap_or(f64::NAN), |whole| whole as f64);
                Kind::Number(Number { raw: raw(), value, whole })
            }
            DeValue::Float(number) => {
                Kind::Number(Number { raw: raw(), value: number.as_str().parse().unwrap_or(f64::NAN), whole: None })
            }
            DeValue::Boolean(yes) => Kind::Bool(*yes),
            DeValue::Datetime(_) => Kind::Moment(raw()),
            DeValue::Array(items) => Kind::List(items.iter().map(|item| Arc::new(self.value(item))).collect()),
            DeValue::Table(table) => return self.table(table, range),
        };
        Node { span: self.span(range), kind }
    }
}

/// Builds the tree from the JSON parser's. Keys given twice in one object land in `twice`; the first one counts.
pub(crate) fn from_json(value: &jsonc_parser::ast::Value<'_>, shift: usize, twice: &mut Vec<(Span, String)>) -> Node {
    use jsonc_parser::ast::Value;
    use jsonc_parser::common::Ranged;
    let place = |range: jsonc_parser::common::Range| Span { start: range.start + shift, end: range.end + shift };
    let kind = match value {
        Value::StringLit(text) => Kind::Text(text.value.as_ref().into()),
        Value::NumberLit(number) => Kind::Number(Number {
            raw: number.value.into(),
            value: number.value.parse().unwrap_or(f64::NAN),
            whole: number.value.parse().ok(),
        }),
        Value::BooleanLit(yes) => Kind::Bool(yes.value),
        Value::NullKeyword(_) => Kind::Null,
        Value::Array(array) => Kind::List(array.elements.iter().map(|item| Arc::new(from_json(item, shift, twice))).collect()),
        Value::Object(object) => {
            let mut seen = std::collections::BTreeSet::new();
            let mut entries = Vec::with_capacity(object.properties.len());
            for property in &object.properties {
                let key = property.name.as_str();
                let key_span = place(property.name.range());
                if !seen.insert(key) {
                    twice.push((key_span, key.to_owned()));
                    continue;
                }
                let value = Arc::new(from_json(&property.value, shift, twice));
                entries.push(Entry { key: Arc::from(key), key_span, value });
            }
            Kind::Table(entries)
        }
    };
    Node { span: place(value.range()), kind }
}
