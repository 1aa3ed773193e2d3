//! Edits: the same rig with one thing changed.

use std::fmt;
use std::sync::Arc;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::document::Document;
use crate::free::Free;
use crate::locate::index_of;
use crate::model::leaf::short::table_of;
use crate::path::{self, Segment};
use crate::tree::{Entry, Kind, Node, Number, Span};

/// One change to the rig file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Edit {
    /// What is changed, such as `body.front`; for `add` the list that grows, such as `mass`.
    pub path: String,
    /// How it is changed.
    pub op: EditOp,
    /// What stands there before; for the reader, not compared.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Free>,
    /// What stands there afterwards; not for `remove`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Free>,
}

/// How the file is changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum EditOp {
    /// Replaces the value, or adds the key to its table. Text set on a table with a `value` replaces that and keeps the rest.
    Set,
    /// Appends an entry to a list; makes the list if it is absent.
    Add,
    /// Takes the key or the entry out.
    Remove,
}

/// Why an edit cannot be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum EditFault {
    /// The path makes no sense: what the path's parser says.
    Path(String),
    /// The file has nothing there to hold the value: the path, and how far it was found.
    Absent(String, String),
    /// The edit gives no value: its path.
    NoValue(String),
    /// A list is wanted there: the path.
    NoList(String),
}

impl fmt::Display for EditFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            EditFault::Path(sentence) => f.write_str(sentence),
            EditFault::Absent(path, found) if found.is_empty() => write!(f, "the file has no {path}"),
            EditFault::Absent(path, found) => write!(f, "the file has no {path}, only {found}"),
            EditFault::NoValue(path) => write!(f, "the edit of {path} says no value to write"),
            EditFault::NoList(path) => write!(f, "{path} is no list, and only a list can grow"),
        }
    }
}

impl std::error::Error for EditFault {}

impl Document {
    /// A copy with these edits made, one after the other. Only the way to each edit is copied, the rest is shared.
    ///
    /// # Errors
    /// The first edit that cannot be made; then nothing is changed.
    pub fn with(&self, edits: &[Edit]) -> Result<Document, EditFault> {
        let mut root = Arc::clone(&self.root);
        for edit in edits {
            let segments = path::parse(&edit.path).map_err(EditFault::Path)?;
            let step = Step { edit, whole: &segments };
            step.apply(Arc::make_mut(&mut root), &segments)?;
        }
        Ok(Document { root, ..self.clone() })
    }
}

struct Step<'e> {
    edit: &'e Edit,
    whole: &'e [Segment],
}

impl Step<'_> {
    fn absent(&self, left: usize) -> EditFault {
        let found = self.whole.get(..self.whole.len().saturating_sub(left)).unwrap_or(&[]);
        EditFault::Absent(self.edit.path.clone(), path::join(found))
    }

    fn value(&self, span: Span) -> Result<Node, EditFault> {
        match &self.edit.to {
            Some(free) => Ok(node_of(free, span)),
            None => Err(EditFault::NoValue(self.edit.path.clone())),
        }
    }

    fn apply(&self, node: &mut Node, segments: &[Segment]) -> Result<(), EditFault> {
        let Some((segment, rest)) = segments.split_first() else { return Ok(()) };
        let span = node.span;
        match (&mut node.kind, segment) {
            (Kind::Table(entries), Segment::Key(key)) => {
                let at = entries.iter().position(|entry| *entry.key == **key);
                match (at, rest.is_empty()) {
                    (Some(at), true) if self.edit.op == EditOp::Remove => {
                        entries.remove(at);
                        Ok(())
                    }
                    (Some(at), _) => match entries.get_mut(at) {
                        Some(entry) if rest.is_empty() => self.change(Arc::make_mut(&mut entry.value)),
                        Some(entry) => self.apply(Arc::make_mut(&mut entry.value), rest),
                        None => Err(self.absent(segments.len())),
                    },
                    (None, true) if self.edit.op != EditOp::Remove => {
                        let value = match self.edit.op {
                            EditOp::Add => Node { span, kind: Kind::List(vec![Arc::new(self.value(span)?)]) },
                            _ => self.value(span)?,
                        };
                        entries.push(Entry { key: Arc::from(key.as_str()), key_span: span, value: Arc::new(value) });
                        Ok(())
                    }
                    (None, _) => Err(self.absent(segments.len())),
                }
            }
            (Kind::List(items), segment) => {
                let Some(at) = index_of(items, segment) else { return Err(self.absent(segments.len())) };
                if rest.is_empty() && self.edit.op == EditOp::Remove {
                    items.remove(at);
                    return Ok(());
                }
                match items.get_mut(at) {
                    Some(item) if rest.is_empty() => self.change(Arc::make_mut(item)),
                    Some(item) => self.apply(Arc::make_mut(item), rest),
                    None => Err(self.absent(segments.len())),
                }
            }
            // A table told in one line of text is written out, and then has keys.
            (Kind::Text(line), Segment::Key(_)) if self.edit.op != EditOp::Remove => {
                let before = self.whole.get(..self.whole.len().saturating_sub(segments.len())).unwrap_or(&[]);
                let key = before.iter().rev().find_map(|segment| match segment {
                    Segment::Key(key) => Some(key.as_str()),
                    _ => None,
                });
                match key.and_then(|key| table_of(key, line)) {
                    Some(table) => {
                        *node = node_of(&table, span);
                        self.apply(node, segments)
                    }
                    None => Err(self.absent(segments.len())),
                }
            }
            _ => Err(self.absent(segments.len())),
        }
    }

    /// Sets the value that is there, or lets the list grow.
    fn change(&self, node: &mut Node) -> Result<(), EditFault> {
        let span = node.span;
        if self.edit.op == EditOp::Add {
            let value = self.value(span)?;
            return match &mut node.kind {
                Kind::List(items) => {
                    items.push(Arc::new(value));
                    Ok(())
                }
                _ => Err(EditFault::NoList(self.edit.path.clone())),
            };
        }
        let value = self.value(span)?;
        if matches!(value.kind, Kind::Text(_))
            && let Kind::Table(entries) = &mut node.kind
            && let Some(entry) = entries.iter_mut().find(|entry| &*entry.key == "value")
        {
            // How the value is known, and its tolerance, stay as the owner gave them.
            entry.value = Arc::new(Node { span: entry.value.span, ..value });
            return Ok(());
        }
        *node = value;
        Ok(())
    }
}

/// The tree of a free value, all of it at one place.
fn node_of(free: &Free, span: Span) -> Node {
    let kind = match free {
        Free::Text(text) => Kind::Text(text.as_str().into()),
        Free::Number(value) => {
            // Beyond this an f64 has gaps between whole numbers.
            const EXACT: f64 = 9_007_199_254_740_992.0;
            let whole = (value.fract() == 0.0 && value.abs() <= EXACT).then_some(*value as i64);
            Kind::Number(Number { raw: value.to_string().into(), value: *value, whole })
        }
        Free::Bool(yes) => Kind::Bool(*yes),
        Free::List(list) => Kind::List(list.iter().map(|item| Arc::new(node_of(item, span))).collect()),
        Free::Table(table) => Kind::Table(
            table
                .iter()
                .map(|(key, value)| Entry { key: Arc::from(key.as_str()), key_span: span, value: Arc::new(node_of(value, span)) })
                .collect(),
        ),
    };
    Node { span, kind }
}
