//! Seats and who sits on them.

use quantity::{Dimension, Estimate, How, Z95};
use rig_model::model::Rig;
use rig_model::path;

use crate::gap::Gap;
use crate::inputs::{Inputs, Kind};
use crate::item::{Entry, Item, ItemKind};
use crate::ledger::{carried_by_body, sizes};
use crate::place::{BodyFrame, Spot, place};
use crate::states::{Loading, Sitting};
use crate::tables;

#[derive(Debug)]
struct Seat {
    name: String,
    path: String,
    in_body: bool,
    rides: bool,
    size: Option<[f64; 3]>,
    mass: Option<Result<Estimate, Gap>>,
    at: [Result<Estimate, Gap>; 3],
    /// Somebody of whom nothing is told, on this seat: the same person in every state.
    anybody: Result<Estimate, Gap>,
}

/// Seats and people of a rig.
#[derive(Debug)]
pub struct People {
    seats: Vec<Seat>,
    persons: Vec<(String, Option<Result<Estimate, Gap>>)>,
}

impl People {
    /// Reads all seats and persons.
    pub fn read(rig: &Rig, frame: &BodyFrame, inputs: &mut Inputs) -> Self {
        let persons = rig.person.iter().enumerate().map(|(index, person)| {
            let path = format!("{}.mass", path::of("person", &person.name, index));
            let mass = person.mass.as_ref().map(|mass| inputs.take(|| path, Some(mass), Kind::Mass));
            (person.name.clone(), mass)
        });
        let persons = persons.collect();
        let seats = rig.seat.iter().enumerate().map(|(index, seat)| {
            let path = path::of("seat", &seat.name, index);
            let (size, in_body) = (sizes(seat.size.as_ref()), seat.in_.is_some());
            Seat {
                name: seat.name.clone(),
                mass: seat.mass.as_ref().map(|mass| inputs.take(|| format!("{path}.mass"), Some(mass), Kind::Mass)),
                at: place(&Spot { path: &path, key: "at", at: seat.at.as_ref(), in_body, size, corner: false }, frame, inputs),
                anybody: anybody(rig, &seat.name, index, inputs),
                path,
                in_body,
                rides: carried_by_body(seat.on, in_body),
                size,
            }
        });
        Self { seats: seats.collect(), persons }
    }

    /// The seats that weigh something of their own.
    pub fn seats(&self) -> impl Iterator<Item = Item> {
        self.seats.iter().filter_map(|seat| {
            Some(Item::from(Entry {
                name: seat.name.clone(),
                path: seat.path.clone(),
                kind: ItemKind::Piece,
                in_body: seat.in_body,
                rides: seat.rides,
                out: false,
                mass: seat.mass.clone()?,
                at: seat.at.clone(),
                size: seat.size,
            }))
        })
    }

    /// Somebody on a seat in one state.
    pub fn sitting(&self, rig: &Rig, loading: &Loading, sitting: &Sitting, inputs: &mut Inputs) -> Item {
        let seat = self.seats.iter().find(|seat| seat.name == sitting.seat);
        let own = sitting
            .occupant
            .and_then(|at| rig.state.iter().find(|state| state.name == loading.name)?.people.get(at)?.mass.as_ref());
        let person = sitting.person.as_deref().and_then(|name| self.persons.iter().find(|(known, _)| known == name));
        let mass = match (own, person, seat) {
            (Some(own), _, _) => {
                let at = sitting.occupant.map_or(1, |at| at + 1);
                inputs.take(|| format!("{}.people[{at}].mass", loading.path), Some(own), Kind::Mass)
            }
            (None, Some((_, Some(mass))), _) => mass.clone(),
            (None, _, Some(seat)) => seat.anybody.clone(),
            (None, _, None) => Err(Gap::at("seat")),
        };
        let gap = || Err(Gap::at("seat"));
        Item::from(Entry {
            name: sitting.person.clone().unwrap_or_else(|| format!("person on {}", sitting.seat)),
            path: seat.map_or_else(|| loading.path.clone(), |seat| seat.path.clone()),
            kind: ItemKind::Person,
            in_body: seat.is_some_and(|seat| seat.in_body),
            rides: seat.is_some_and(|seat| seat.rides),
            out: false,
            mass,
            at: seat.map_or_else(|| [gap(), gap(), gap()], |seat| seat.at.clone()),
            size: None,
        })
    }
}

/// Where a mass would be written: at the first state that has somebody on the seat.
fn anybody(rig: &Rig, seat: &str, index: usize, inputs: &mut Inputs) -> Result<Estimate, Gap> {
    let first = rig.state.iter().enumerate().find_map(|(state_index, state)| {
        let at = state.people.iter().position(|occupant| occupant.seat == seat && occupant.mass.is_none())?;
        Some(format!("state{}.people[{}]", path::entry(Some(&state.name), state_index + 1), at + 1))
    });
    let path = first.unwrap_or_else(|| path::of("seat", seat, index));
    let number = |want| tables::number("facts/person", "who", "anybody", want);
    match (number("mass"), number("tolerance")) {
        (Some(mass), Some(tolerance)) => Ok(inputs.add(path, mass, tolerance / Z95, How::Unsaid, Dimension::Mass, false)),
        _ => Err(Gap::at(path)),
    }
}
