//! One entry of the mass ledger.

use quantity::Estimate;

use crate::gap::Gap;

/// What an entry of the ledger is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ItemKind {
    /// A load of the bare chassis under one axle.
    Chassis,
    /// Shell of the body.
    Body,
    /// A thing.
    Piece,
    /// An empty tank.
    Tank,
    /// What is in a tank.
    Liquid,
    /// Somebody on a seat.
    Person,
    /// The trailer's load on the coupling.
    Nose,
}

/// A mass at a place, with the products the sums need.
#[derive(Clone, Debug)]
pub struct Item {
    /// Its name.
    pub name: String,
    /// Path of the thing it belongs to.
    pub path: String,
    /// What it is.
    pub kind: ItemKind,
    /// Whether its place is counted from the body, so that moving the body moves it.
    pub in_body: bool,
    /// Whether the body's mounts carry it: what is placed in the body, stands on its roof or walls, or says so by `on`.
    pub rides: bool,
    /// Whether it is out in this state.
    pub out: bool,
    /// Mass, kg.
    pub mass: Result<Estimate, Gap>,
    /// Place of its centre of gravity: x, y, z, m.
    pub at: [Result<Estimate, Gap>; 3],
    /// Outer size along x, y, z, m.
    pub size: Option<[f64; 3]>,
    /// Mass times x.
    pub mass_x: Result<Estimate, Gap>,
    /// Mass times y.
    pub mass_y: Result<Estimate, Gap>,
    /// Mass times z.
    pub mass_z: Result<Estimate, Gap>,
    /// Mass times x times y.
    pub mass_xy: Result<Estimate, Gap>,
}

/// What an item is made of, before its products are.
#[derive(Debug)]
pub struct Entry {
    /// Its name.
    pub name: String,
    /// Path of the thing it belongs to.
    pub path: String,
    /// What it is.
    pub kind: ItemKind,
    /// Whether its place is counted from the body.
    pub in_body: bool,
    /// Whether the body's mounts carry it.
    pub rides: bool,
    /// Whether it is out.
    pub out: bool,
    /// Mass, kg.
    pub mass: Result<Estimate, Gap>,
    /// Place, m.
    pub at: [Result<Estimate, Gap>; 3],
    /// Outer size, m.
    pub size: Option<[f64; 3]>,
}

impl From<Entry> for Item {
    fn from(entry: Entry) -> Self {
        let [x, y, z] = &entry.at;
        let mass_y = product(&entry.mass, y);
        Self {
            mass_x: product(&entry.mass, x),
            mass_xy: product(&mass_y, x),
            mass_y,
            mass_z: product(&entry.mass, z),
            name: entry.name,
            path: entry.path,
            kind: entry.kind,
            in_body: entry.in_body,
            rides: entry.rides,
            out: entry.out,
            mass: entry.mass,
            at: entry.at,
            size: entry.size,
        }
    }
}

fn product(mass: &Result<Estimate, Gap>, place: &Result<Estimate, Gap>) -> Result<Estimate, Gap> {
    let mass = mass.as_ref().map_err(Clone::clone)?;
    // Where nothing is, no place is wanted.
    if mass.value() == 0.0 && mass.sd() == 0.0 {
        return Ok(Estimate::exact(0.0));
    }
    let place = place.as_ref().map_err(Clone::clone)?;
    Ok(mass * place)
}
