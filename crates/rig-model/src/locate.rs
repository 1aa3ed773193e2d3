//! From a path to the node it names, and from a node to its subject in the owner's words.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::path::{self, Segment};
use crate::tree::{Kind, Node, Span};

/// A node found, or the nearest one above it.
pub(crate) struct Located<'t> {
    pub(crate) node: &'t Node,
    /// The node that holds it.
    pub(crate) parent: Option<&'t Node>,
    /// How many of the path's steps were found.
    pub(crate) depth: usize,
    /// The path so far, with names where entries have them.
    pub(crate) path: String,
    /// The same in the owner's words: `axle "front", rated`.
    pub(crate) subject: String,
    /// The key it stands under, if its last step is a key.
    pub(crate) key: Option<&'t str>,
    /// The key's own place.
    pub(crate) key_span: Option<Span>,
}

/// Which entry of a list a step means.
pub(crate) fn index_of(items: &[Arc<Node>], segment: &Segment) -> Option<usize> {
    match segment {
        Segment::Index(index) => index.checked_sub(1).filter(|index| *index < items.len()),
        Segment::Name(name) => items.iter().position(|item| item.name() == Some(name)),
        Segment::Key(_) => None,
    }
}

/// Follows the path as far as it goes.
pub(crate) fn locate<'t>(root: &'t Node, segments: &[Segment]) -> Located<'t> {
    let mut found =
        Located { node: root, parent: None, depth: 0, path: String::new(), subject: String::new(), key: None, key_span: None };
    for segment in segments {
        let parent = found.node;
        let child = match segment {
            Segment::Key(key) => match parent.entries().iter().find(|entry| *entry.key == **key) {
                Some(entry) => {
                    say_key(&mut found, &entry.key);
                    found.key = Some(&entry.key);
                    found.key_span = Some(entry.key_span);
                    &entry.value
                }
                None => break,
            },
            _ => match index_of(parent.items(), segment).and_then(|index| Some((index, parent.items().get(index)?))) {
                Some((index, item)) => {
                    say_entry(&mut found, parent, item, index);
                    found.key = None;
                    found.key_span = None;
                    item
                }
                None => break,
            },
        };
        found.parent = Some(parent);
        found.node = child;
        found.depth += 1;
    }
    if found.subject.is_empty() {
        found.subject.push_str("the file");
    }
    found
}

fn say_key(found: &mut Located<'_>, key: &str) {
    if !found.path.is_empty() {
        found.path.push('.');
        found.subject.push_str(", ");
    }
    found.path.push_str(&path::quote_key(key));
    found.subject.push_str(&crate::problem::shorten(key));
}

fn say_entry(found: &mut Located<'_>, list: &Node, item: &Node, index: usize) {
    let name = item.name();
    // The path must lead to one entry alone; the subject speaks to the owner, who knows the name.
    let first = name.and_then(|name| list.items().iter().position(|other| other.name() == Some(name)));
    found.path.push_str(&path::entry(name.filter(|_| first == Some(index)), index + 1));
    match (name, &item.kind) {
        (Some(name), _) => found.subject.push_str(&format!(" \"{}\"", crate::problem::shorten(name))),
        (None, Kind::Table(_)) => found.subject.push_str(&format!(" {}", index + 1)),
        (None, _) => found.subject.push_str(&format!(", value {}", index + 1)),
    }
}

/// The paths of the nodes with these addresses. One walk through the tree, however many are wanted.
pub(crate) fn paths_of(root: &Node, wanted: &[usize]) -> BTreeMap<usize, Vec<Segment>> {
    fn visit(node: &Node, trail: &mut Vec<Segment>, wanted: &[usize], found: &mut BTreeMap<usize, Vec<Segment>>) {
        if wanted.binary_search(&node.address()).is_ok() {
            found.insert(node.address(), trail.clone());
        }
        for entry in node.entries() {
            if matches!(entry.value.kind, Kind::Table(_) | Kind::List(_)) || wanted.binary_search(&entry.value.address()).is_ok()
            {
                trail.push(Segment::Key(entry.key.to_string()));
                visit(&entry.value, trail, wanted, found);
                trail.pop();
            }
        }
        for (index, item) in node.items().iter().enumerate() {
            trail.push(Segment::Index(index + 1));
            visit(item, trail, wanted, found);
            trail.pop();
        }
    }
    let mut wanted = wanted.to_vec();
    wanted.sort_unstable();
    let mut found = BTreeMap::new();
    visit(root, &mut Vec::new(), &wanted, &mut found);
    found
}
