//! What one table alone cannot tell.
use crate::document::Document;
use crate::model::Rig;
use crate::reader::Note;
pub(crate) fn check(_rig: &Rig, _document: &Document, _notes: &mut Vec<Note>) {}
