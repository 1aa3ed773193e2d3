//! Tanks: the shell once, the liquid state by state.

use quantity::{Dimension, Estimate, How, Z95};
use rig_model::model::{Fill, Holds, Tank, TankShape};
use rig_model::path;

use crate::gap::Gap;
use crate::inputs::{Inputs, Kind};
use crate::item::{Entry, Item, ItemKind};
use crate::ledger::{carried_by_body, sizes};
use crate::liquid;
use crate::place::{BodyFrame, Spot, place};
use crate::states::TankFill;
use crate::tables;

/// What facts know of one tank.
#[derive(Debug)]
pub struct TankFacts {
    /// Its name.
    pub name: String,
    path: String,
    holds: Option<Holds>,
    shape: TankShape,
    in_body: bool,
    rides: bool,
    size: Option<[f64; 3]>,
    /// Mass of the shell; nothing where the file does not tell it: then it was weighed with what it hangs on.
    shell: Result<Estimate, Gap>,
    volume: Result<Estimate, Gap>,
    density: Result<Estimate, Gap>,
    at: [Result<Estimate, Gap>; 3],
}

impl TankFacts {
    /// Reads one tank.
    pub fn read(tank: &Tank, index: usize, frame: &BodyFrame, inputs: &mut Inputs) -> Self {
        let path = path::of("tank", &tank.name, index);
        let (size, in_body) = (sizes(tank.size.as_ref()), tank.in_.is_some());
        let shell = tank
            .mass
            .as_ref()
            .map_or(Ok(Estimate::exact(0.0)), |mass| inputs.take(|| format!("{path}.mass"), Some(mass), Kind::Mass));
        Self {
            shell,
            volume: inputs.take(|| format!("{path}.volume"), tank.volume.as_ref(), Kind::Volume),
            density: density(tank, &path, inputs),
            at: place(&Spot { path: &path, key: "at", at: tank.at.as_ref(), in_body, size, corner: false }, frame, inputs),
            name: tank.name.clone(),
            holds: tank.holds,
            shape: tank.shape.unwrap_or(TankShape::Box),
            in_body,
            rides: carried_by_body(tank.on, in_body),
            size,
            path,
        }
    }

    /// The empty shell.
    #[must_use]
    pub fn shell(&self) -> Item {
        let entry = Entry {
            name: self.name.clone(),
            path: self.path.clone(),
            kind: ItemKind::Tank,
            in_body: self.in_body,
            rides: self.rides,
            out: false,
            mass: self.shell.clone(),
            at: self.at.clone(),
            size: self.size,
        };
        Item::from(entry)
    }

    /// What is in it in one state, and the share of it that is filled.
    pub fn liquid(&self, fill: Option<&TankFill>, inputs: &mut Inputs) -> (Item, Result<Estimate, Gap>) {
        let share = self.share(fill, inputs);
        let mass = share.clone().and_then(|share| {
            if share.value() == 0.0 && share.sd() == 0.0 {
                return Ok(Estimate::exact(0.0));
            }
            let volume = self.volume.as_ref().map_err(Clone::clone)?;
            Ok(&(&share * volume) * self.density.as_ref().map_err(Clone::clone)?)
        });
        let mut at = self.at.clone();
        if let (Some([_, _, height]), Ok(share), [_, _, Ok(z)]) = (self.size, &share, &mut at) {
            // The liquid's centre sinks below the tank's middle as the tank empties.
            let full = liquid::centre_share(self.shape, 1.0);
            let sink = |v: &[f64]| {
                Ok::<f64, Gap>(v.first().map_or(0.0, |fill| (liquid::centre_share(self.shape, *fill) - full) * height))
            };
            if let Ok(shift) = Estimate::propagate(&[share], sink) {
                *z = &*z + &shift;
            }
        }
        let entry = Entry {
            name: format!("{} in {}", liquid_word(self.holds), self.name),
            path: self.path.clone(),
            kind: ItemKind::Liquid,
            in_body: self.in_body,
            rides: self.rides,
            out: false,
            mass,
            at,
            size: None,
        };
        (Item::from(entry), share)
    }

    fn share(&self, fill: Option<&TankFill>, inputs: &mut Inputs) -> Result<Estimate, Gap> {
        let (fill, path) = match fill {
            Some(TankFill::Exactly(share)) => return Ok(Estimate::exact(*share)),
            Some(TankFill::Stated(fill, path)) => (fill, path),
            Some(TankFill::Unsaid(path)) => {
                return Err(Gap::because(path.clone(), "the state does not say what is in this tank"));
            }
            None => return Err(Gap::at(format!("{}.fill", self.path))),
        };
        match fill {
            Fill::Share(stated) => match stated.value() {
                // Full and empty are what the state means, not something read off a stick.
                Some(share) if (share == 0.0 || share == 1.0) && stated.how() == How::Unsaid => Ok(Estimate::exact(share)),
                _ => inputs.take(|| path.clone(), Some(stated), Kind::Fill),
            },
            Fill::Volume(stated) => {
                let litres = inputs.take(|| path.clone(), Some(stated), Kind::Volume)?;
                Ok(&litres / self.volume.as_ref().map_err(Clone::clone)?)
            }
            Fill::Mass(stated) => {
                let mass = inputs.take(|| path.clone(), Some(stated), Kind::Mass)?;
                let full = self.density.as_ref().map_err(Clone::clone)? * self.volume.as_ref().map_err(Clone::clone)?;
                Ok(&mass / &full)
            }
            Fill::Unknown => Err(Gap::at(path.clone())),
        }
    }
}

fn density(tank: &Tank, path: &str, inputs: &mut Inputs) -> Result<Estimate, Gap> {
    let path = format!("{path}.density");
    if tank.density.is_some() {
        return inputs.take(|| path.clone(), tank.density.as_ref(), Kind::Plate);
    }
    let number = |want| tables::number("facts/liquid-density", "holds", row(tank.holds)?, want);
    match (number("density"), number("tolerance")) {
        (Some(density), Some(tolerance)) => {
            Ok(inputs.add(path, density, tolerance / Z95, How::Unsaid, Dimension::Density, false))
        }
        _ => Err(Gap::at(path)),
    }
}

/// Row of the density table.
fn row(holds: Option<Holds>) -> Option<&'static str> {
    match holds? {
        Holds::Water => Some("water"),
        Holds::Grey => Some("grey"),
        Holds::Black => Some("black"),
        Holds::Diesel => Some("diesel"),
        Holds::Petrol => Some("petrol"),
        Holds::Urea => Some("urea"),
        Holds::Other => None,
    }
}

fn liquid_word(holds: Option<Holds>) -> &'static str {
    row(holds).unwrap_or("liquid")
}
