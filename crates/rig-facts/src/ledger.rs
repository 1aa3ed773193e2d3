//! The mass ledger: what weighs something, read once, and put together for each state.

use std::sync::Arc;

use quantity::{Dimension, Estimate, How, Stated, dim};
use rig_model::model::{CarriedBy, Coord, Mass, PlacedIn, Rig, Word};
use rig_model::{Thing, ThingKind, path};

use crate::axles::Axles;
use crate::extents::Corner;
use crate::gap::Gap;
use crate::inputs::{Inputs, Kind};
use crate::item::{Entry, Item, ItemKind};
use crate::like;
use crate::parts::PartsBook;
use crate::people::People;
use crate::place::{BodyFrame, Spot, place};
use crate::states::Loading;
use crate::tables;
use crate::tanks::TankFacts;

/// A thing that does not change from state to state, stowed and, where it can be, out.
#[derive(Debug)]
struct Fixed {
    stowed: Arc<Item>,
    out: Option<Arc<Item>>,
}

/// A low point, stowed and, where it can be, out.
#[derive(Debug)]
struct Low {
    stowed: Option<Corner>,
    out: Option<Corner>,
}

/// Everything that weighs something.
#[derive(Debug)]
pub struct Ledger {
    fixed: Vec<Fixed>,
    tanks: Vec<TankFacts>,
    people: People,
    nose: Arc<Item>,
    low: Vec<Low>,
}

impl Ledger {
    /// Reads all of it. Each stated value becomes one input, whatever the number of states that use it.
    pub fn read(rig: &Rig, axles: &Axles, frame: &BodyFrame, parts: &PartsBook, inputs: &mut Inputs) -> Self {
        let mut fixed = chassis(rig, axles, inputs);
        fixed.extend(shell(rig, frame, parts, inputs));
        fixed.extend(rig.mass.iter().enumerate().map(|(index, mass)| piece(rig, mass, index, frame, parts, inputs)));
        let tanks: Vec<TankFacts> =
            rig.tank.iter().enumerate().map(|(index, tank)| TankFacts::read(tank, index, frame, inputs)).collect();
        fixed.extend(tanks.iter().map(TankFacts::shell).map(stays));
        let people = People::read(rig, frame, inputs);
        fixed.extend(people.seats().map(stays));
        let mut other = |thing: &dyn Thing, rides| fixed.extend(own_table(rig, thing, rides, frame, parts, inputs));
        rig.roof_item.iter().for_each(|item| other(item, Some(true)));
        rig.awning.iter().for_each(|awning| other(awning, Some(true)));
        // A panel is on the roof unless it says otherwise.
        rig.panel.iter().for_each(|panel| other(panel, Some(panel.on != Some(CarriedBy::Chassis))));
        rig.battery.iter().for_each(|battery| other(battery, None));
        rig.controller.iter().for_each(|controller| other(controller, None));
        rig.charger.iter().for_each(|charger| other(charger, None));
        rig.inverter.iter().for_each(|inverter| other(inverter, None));
        rig.converter.iter().for_each(|converter| other(converter, None));
        rig.portable.iter().for_each(|unit| other(unit, None));
        rig.load.iter().for_each(|load| other(load, None));
        rig.generator.iter().for_each(|generator| other(generator, None));
        Self { fixed, tanks, people, nose: Arc::new(nose(rig, frame, inputs)), low: low_points(rig, frame, inputs) }
    }

    /// The items of one state, in file order, and the share of each tank that is filled.
    pub fn items(&self, rig: &Rig, loading: &Loading, inputs: &mut Inputs) -> (Vec<Arc<Item>>, Vec<Result<Estimate, Gap>>) {
        let mut items: Vec<Arc<Item>> = self
            .fixed
            .iter()
            .filter(|item| !loading.absent.contains(&item.stowed.name))
            .map(|item| match &item.out {
                Some(out) if loading.out.contains(&out.name) => Arc::clone(out),
                _ => Arc::clone(&item.stowed),
            })
            .collect();
        let mut fills = Vec::with_capacity(self.tanks.len());
        for (index, tank) in self.tanks.iter().enumerate() {
            if loading.absent.contains(&tank.name) {
                fills.push(Ok(Estimate::exact(0.0)));
                continue;
            }
            let (item, fill) = tank.liquid(loading.fills.get(index), inputs);
            fills.push(fill);
            items.push(Arc::new(item));
        }
        for sitting in &loading.people {
            items.push(Arc::new(self.people.sitting(rig, loading, sitting, inputs)));
        }
        if loading.trailer {
            items.push(Arc::clone(&self.nose));
        }
        (items, fills)
    }

    /// The low points of one state, in file order.
    #[must_use]
    pub fn low_corners(&self, rig: &Rig, loading: &Loading) -> Vec<Corner> {
        let mut corners = Vec::new();
        for (low, point) in self.low.iter().zip(&rig.low_point) {
            let of = point.of.as_deref().unwrap_or(&point.name);
            if loading.absent.iter().any(|name| name == of) {
                continue;
            }
            let is_out = loading.out.iter().any(|name| name == of);
            let corner = if is_out { low.out.as_ref().or(low.stowed.as_ref()) } else { low.stowed.as_ref() };
            corners.extend(corner.cloned());
        }
        corners
    }
}

fn stays(item: Item) -> Fixed {
    Fixed { stowed: Arc::new(item), out: None }
}

/// Outer size of a thing, where all three numbers are told, m.
pub(crate) fn sizes(size: Option<&[Stated<dim::Length>; 3]>) -> Option<[f64; 3]> {
    let [length, width, height] = size?;
    Some([length.value()?, width.value()?, height.value()?])
}

/// The bare chassis as weighed, axle by axle; its height is one number for all of it.
fn chassis(rig: &Rig, axles: &Axles, inputs: &mut Inputs) -> Vec<Fixed> {
    let height = chassis_height(rig, inputs);
    let entry = |name: String, path: &str, mass, x| Entry {
        name,
        path: path.to_owned(),
        kind: ItemKind::Chassis,
        in_body: false,
        rides: false,
        out: false,
        mass,
        at: [x, Ok(Estimate::exact(0.0)), height.clone()],
        size: None,
    };
    if axles.list().is_empty() {
        let gap = || Err(Gap::at("axle"));
        return vec![stays(Item::from(entry("bare chassis".to_owned(), "chassis", gap(), gap())))];
    }
    let one = |axle: &crate::axles::AxleFacts| {
        let name = format!("bare chassis at axle {}", axle.name);
        stays(Item::from(entry(name, &axle.path, axle.bare_load.clone(), axle.x.clone())))
    };
    axles.list().iter().map(one).collect()
}

/// Where nobody knows it and a lift or plank weighing will tell, begin from knowing next to nothing.
fn chassis_height(rig: &Rig, inputs: &mut Inputs) -> Result<Estimate, Gap> {
    let path = || "chassis.centre_height".to_owned();
    let stated = rig.chassis.as_ref().and_then(|chassis| chassis.centre_height.as_ref());
    let height = inputs.take(path, stated, Kind::Height);
    let raised = rig.weighing.iter().any(|weighing| weighing.lift.is_some() || weighing.plank.is_some());
    if height.is_ok() || !raised {
        return height;
    }
    let end = |want| tables::number("facts/unknown", "what", "height of the bare chassis's centre of gravity", want);
    let (Some(low), Some(high)) = (end("low"), end("high")) else { return height };
    let sd = (high - low) / 2.0 / f64::sqrt(3.0);
    Ok(inputs.add(path(), (low + high) / 2.0, sd, How::Unsaid, Dimension::Length, true))
}

fn shell(rig: &Rig, frame: &BodyFrame, parts: &PartsBook, inputs: &mut Inputs) -> Option<Fixed> {
    let body = rig.body.as_ref()?;
    let by_kind = like::shell(body, frame, parts, inputs);
    let mass = by_kind.unwrap_or_else(|| inputs.take(|| "body.mass".to_owned(), body.mass.as_ref(), Kind::Mass));
    let middle = || Coord::Word(Word::Centre);
    let middle = [middle(), middle(), middle()];
    let at = Some(body.centre.as_ref().unwrap_or(&middle));
    let spot = Spot { path: "body", key: "centre", at, in_body: true, size: None, corner: false };
    let at = place(&spot, frame, inputs);
    let name = "body shell".to_owned();
    Some(stays(Item::from(Entry {
        name,
        path: "body".to_owned(),
        kind: ItemKind::Body,
        in_body: true,
        rides: true,
        out: false,
        mass,
        at,
        size: None,
    })))
}

fn piece(rig: &Rig, mass: &Mass, index: usize, frame: &BodyFrame, parts: &PartsBook, inputs: &mut Inputs) -> Fixed {
    let path = path::of("mass", &mass.name, index);
    let by_kind = like::mass(mass, &path, parts, inputs);
    let one = by_kind.unwrap_or_else(|| inputs.take(|| format!("{path}.mass"), mass.mass.as_ref(), Kind::Mass));
    let usual = like::place(mass, &path, parts, frame, inputs);
    let count = f64::from(mass.count.unwrap_or(1));
    let size = sizes(mass.size.as_ref());
    let (at, placed) = match (&mass.at, &mass.of) {
        (None, Some(of)) => place_of(rig, of).unwrap_or((None, mass.in_)),
        (at, _) => (at.clone(), mass.in_),
    };
    let in_body = placed == Some(PlacedIn::Body) || usual.is_some();
    let rides = carried_by_body(mass.on, in_body && !like::hangs_on_chassis(mass, parts));
    let entry = |at, out| Entry {
        name: mass.name.clone(),
        path: path.clone(),
        kind: ItemKind::Piece,
        in_body,
        rides,
        out,
        mass: one.as_ref().map(|one| one.scale(count)).map_err(Clone::clone),
        at,
        size,
    };
    let spot = Spot { path: &path, key: "at", at: at.as_ref(), in_body, size, corner: false };
    let stowed = usual.unwrap_or_else(|| place(&spot, frame, inputs));
    let out = mass.out_at.as_ref().map(|at| {
        let at = place(&Spot { path: &path, key: "out_at", at: Some(at), in_body, size, corner: false }, frame, inputs);
        Arc::new(Item::from(entry(at, true)))
    });
    Fixed { stowed: Arc::new(Item::from(entry(stowed, false))), out }
}

/// What carries a thing: what its entry says; else the body if it is placed there.
pub(crate) fn carried_by_body(on: Option<CarriedBy>, in_body: bool) -> bool {
    on.map_or(in_body, |on| on == CarriedBy::Body)
}

/// A thing whose table is about something else than its mass. Where it says neither a mass nor a kind it weighs nothing of its
/// own: another table has it, or nobody does. `rides`: whether the body carries it, where that does not follow from its place;
/// what stands on the roof or hangs on a wall does, whatever its place is counted from.
fn own_table(
    rig: &Rig,
    thing: &dyn Thing,
    rides: Option<bool>,
    frame: &BodyFrame,
    parts: &PartsBook,
    inputs: &mut Inputs,
) -> Option<Fixed> {
    thing.mass().map(|_| ()).or_else(|| thing.like().map(|_| ()))?;
    let path = thing.path();
    let by_kind = like::labelled(thing, &path, parts, inputs);
    let mass = by_kind.unwrap_or_else(|| inputs.take(|| format!("{path}.mass"), thing.mass(), Kind::Mass));
    let usual = like::place(thing, &path, parts, frame, inputs);
    let count = f64::from(thing.count());
    let size = sizes(thing.size());
    let (place_told, in_body) = match (thing.at(), thing.of()) {
        (None, Some(of)) => place_of(rig, of).map_or((None, thing.in_body()), |(at, placed)| (at, placed.is_some())),
        (at, _) => (at.cloned(), thing.in_body()),
    };
    let in_body = in_body || usual.is_some();
    let rides = rides.unwrap_or_else(|| carried_by_body(thing.on(), in_body && !like::hangs_on_chassis(thing, parts)));
    let entry = |at, out| Entry {
        name: thing.name().to_owned(),
        path: path.clone(),
        kind: ItemKind::Piece,
        in_body,
        rides,
        out,
        mass: mass.as_ref().map(|one| one.scale(count)).map_err(Clone::clone),
        at,
        size,
    };
    let spot = Spot { path: &path, key: "at", at: place_told.as_ref(), in_body, size, corner: false };
    let stowed = usual.unwrap_or_else(|| place(&spot, frame, inputs));
    let out = thing.out_at().map(|at| {
        let at = place(&Spot { path: &path, key: "out_at", at: Some(at), in_body, size, corner: false }, frame, inputs);
        Arc::new(Item::from(entry(at, true)))
    });
    Some(Fixed { stowed: Arc::new(Item::from(entry(stowed, false))), out })
}

/// Place of the thing that another table describes.
fn place_of(rig: &Rig, name: &str) -> Option<(Option<[Coord; 3]>, Option<PlacedIn>)> {
    let thing =
        rig.things().find(|thing| thing.name() == name && !matches!(thing.kind(), ThingKind::Body | ThingKind::LowPoint))?;
    Some((thing.at().cloned(), thing.in_body().then_some(PlacedIn::Body)))
}

/// What the trailer puts on the coupling.
fn nose(rig: &Rig, frame: &BodyFrame, inputs: &mut Inputs) -> Item {
    let load = rig.trailer.as_ref().and_then(|trailer| trailer.nose_load.as_ref());
    let mass = inputs.take(|| "trailer.nose_load".to_owned(), load, Kind::AxleLoad);
    let at = rig.coupling.as_ref().and_then(|coupling| coupling.at.as_ref());
    let at = place(&Spot { path: "coupling", key: "at", at, in_body: false, size: None, corner: false }, frame, inputs);
    let name = "trailer on the coupling".to_owned();
    Item::from(Entry {
        name,
        path: "trailer".to_owned(),
        kind: ItemKind::Nose,
        in_body: false,
        rides: false,
        out: false,
        mass,
        at,
        size: None,
    })
}

fn low_points(rig: &Rig, frame: &BodyFrame, inputs: &mut Inputs) -> Vec<Low> {
    rig.low_point
        .iter()
        .enumerate()
        .map(|(index, point)| {
            let path = path::of("low_point", &point.name, index);
            let mut corner = |key: &str, at: Option<&[Coord; 3]>| {
                let spot = Spot { path: &path, key, at: Some(at?), in_body: point.in_.is_some(), size: None, corner: true };
                let [Ok(x), _, Ok(z)] = place(&spot, frame, inputs) else { return None };
                Some(Corner { name: point.name.clone(), path: path.clone(), x, z })
            };
            Low { stowed: corner("at", point.at.as_ref()), out: corner("out_at", point.out_at.as_ref()) }
        })
        .collect()
}
