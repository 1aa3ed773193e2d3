//! Reading an edited copy: what it shares with the original is taken over, only the rest is read.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde::Deserialize;
use serde::de::DeserializeOwned;

use super::spot::Reader;
use super::{Notes, ReadError};
use crate::model::Rig;
use crate::tree::{Kind, Node};

/// The rig of `new`, from the rig read without a problem from `old`. None if anything needs a note or the trees differ
/// in more than the model's own keys: then the whole is to be read, so that the words are those of a full reading.
pub(crate) fn read_again(old: &Node, read: &Rig, new: &Node) -> Option<Rig> {
    let mut rig = read.clone();
    let notes = Notes::default();
    for entry in new.entries() {
        let before = old.get(&entry.key);
        if !before.is_some_and(|before| Arc::ptr_eq(before, &entry.value)) {
            field(&mut rig, &entry.key, before.map(AsRef::as_ref), Some(&entry.value), &notes)?.ok()?;
        }
    }
    for entry in old.entries() {
        if new.get(&entry.key).is_none() {
            field(&mut rig, &entry.key, Some(&entry.value), None, &notes)?.ok()?;
        }
    }
    let clean = notes.structure.borrow().is_empty() && notes.texts.borrow().is_empty();
    clean.then_some(rig)
}

/// One key of the rig file that is read again.
trait Field: Sized {
    /// Takes over what is shared and reads the rest. `new` is none where the key is gone.
    fn again(&mut self, old: Option<&Node>, new: Option<&Node>, notes: &Notes) -> Result<(), ReadError>;
}

impl<T: DeserializeOwned> Field for Option<T> {
    fn again(&mut self, _: Option<&Node>, new: Option<&Node>, notes: &Notes) -> Result<(), ReadError> {
        *self = match new {
            Some(node) => Option::deserialize(Reader::here(node, notes))?,
            None => None,
        };
        Ok(())
    }
}

impl<T: DeserializeOwned> Field for Vec<T> {
    fn again(&mut self, old: Option<&Node>, new: Option<&Node>, notes: &Notes) -> Result<(), ReadError> {
        let Some(new) = new else {
            self.clear();
            return Ok(());
        };
        if !matches!(new.kind, Kind::List(_)) {
            *self = Vec::deserialize(Reader::here(new, notes))?;
            return Ok(());
        }
        let before = old.map_or(&[][..], Node::items);
        let mut kept = std::mem::take(self).into_iter();
        for (index, item) in new.items().iter().enumerate() {
            // Entries keep their order in an edit; one taken out moves those behind it, which are then read.
            let same = before.get(index).is_some_and(|before| Arc::ptr_eq(before, item));
            match kept.next().filter(|_| same) {
                Some(entry) => self.push(entry),
                None => self.push(T::deserialize(Reader::here(item, notes))?),
            }
        }
        Ok(())
    }
}

impl<T: DeserializeOwned> Field for BTreeMap<String, T> {
    fn again(&mut self, _: Option<&Node>, new: Option<&Node>, notes: &Notes) -> Result<(), ReadError> {
        *self = match new {
            Some(node) => BTreeMap::deserialize(Reader::here(node, notes))?,
            None => BTreeMap::new(),
        };
        Ok(())
    }
}

/// Reads one key again. None for a key that is not here: wanted ones, whose absence is worth a note, and unknown ones.
fn field(rig: &mut Rig, key: &str, old: Option<&Node>, new: Option<&Node>, notes: &Notes) -> Option<Result<(), ReadError>> {
    macro_rules! keys {
        ($($key:literal $field:ident),* $(,)?) => {
            match key {
                $($key => Some(rig.$field.again(old, new, notes)),)*
                _ => None,
            }
        };
    }
    keys! {
        "note" note, "codes" codes, "units" units, "use" use_, "top_speed" top_speed, "without" without,
        "chassis" chassis, "axle" axle, "mass" mass, "tank" tank, "seat" seat, "person" person, "body" body,
        "state" state, "weighing" weighing, "coupling" coupling, "trailer" trailer, "envelope" envelope,
        "passage" passage, "ground" ground, "low_point" low_point, "accept" accept, "limit" limit,
        "head_wind" head_wind, "mount" mount, "cross_member" cross_member, "levelling" levelling, "strap" strap,
        "lifting" lifting, "roof_item" roof_item, "awning" awning, "clearance" clearance, "contact" contact, "tie" tie,
        "fixing" fixing, "recovery" recovery,
        "site" site, "power" power, "panel" panel, "battery" battery, "controller" controller, "charger" charger,
        "alternator" alternator, "inverter" inverter, "converter" converter, "portable" portable, "load" load,
        "inlet" inlet, "generator" generator, "roof" roof, "locker" locker,
        "scripts" scripts, "custom" custom,
    }
}
