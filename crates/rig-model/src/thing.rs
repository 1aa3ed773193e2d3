//! Everything that has a mass or a place, through one trait.

use quantity::{Dim, Stated, dim};

use crate::model::{
    Awning, Battery, Body, CarriedBy, Charger, Controller, Converter, Coord, Generator, Inverter, Load, LowPoint, Mass, Panel,
    PlacedIn, Portable, Rig, RoofItem, Seat, Tank,
};
use crate::path;

/// The table a thing stands in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ThingKind {
    /// `[[mass]]`
    Mass,
    /// `[[tank]]`: the empty shell; what is in it comes from the state.
    Tank,
    /// `[[seat]]`: the seat itself; who sits on it comes from the state.
    Seat,
    /// `[body]`: the empty shell.
    Body,
    /// `[[low_point]]`: a corner, without a mass.
    LowPoint,
    /// `[[roof_item]]`
    RoofItem,
    /// `[[awning]]`
    Awning,
    /// `[[panel]]`
    Panel,
    /// `[[battery]]`
    Battery,
    /// `[[controller]]`
    Controller,
    /// `[[charger]]`
    Charger,
    /// `[[inverter]]`
    Inverter,
    /// `[[converter]]`
    Converter,
    /// `[[portable]]`
    Portable,
    /// `[[load]]`
    Load,
    /// `[[generator]]`
    Generator,
}

impl ThingKind {
    /// The key of the table in the file.
    pub fn key(self) -> &'static str {
        match self {
            ThingKind::Mass => "mass",
            ThingKind::Tank => "tank",
            ThingKind::Seat => "seat",
            ThingKind::Body => "body",
            ThingKind::LowPoint => "low_point",
            ThingKind::RoofItem => "roof_item",
            ThingKind::Awning => "awning",
            ThingKind::Panel => "panel",
            ThingKind::Battery => "battery",
            ThingKind::Controller => "controller",
            ThingKind::Charger => "charger",
            ThingKind::Inverter => "inverter",
            ThingKind::Converter => "converter",
            ThingKind::Portable => "portable",
            ThingKind::Load => "load",
            ThingKind::Generator => "generator",
        }
    }
}

/// What the label says of one piece, by which generic parts are counted. SI.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Amount {
    /// Power, W.
    pub power: Option<f64>,
    /// Charge, C.
    pub charge: Option<f64>,
    /// Energy, J.
    pub energy: Option<f64>,
}

/// Anything of the rig that has a mass or a place.
pub trait Thing {
    /// The table it stands in.
    fn kind(&self) -> ThingKind;
    /// Its name; the body is called "body".
    fn name(&self) -> &str;
    /// Mass of one piece, without what is in it.
    fn mass(&self) -> Option<&Stated<dim::Mass>>;
    /// Where it is: [x, y, z].
    fn at(&self) -> Option<&[Coord; 3]>;
    /// Outer size: [length along the truck, width, height].
    fn size(&self) -> Option<&[Stated<dim::Length>; 3]>;
    /// Whether `at` is counted from inside the body.
    fn in_body(&self) -> bool;
    /// The thing in another table that this entry adds to or belongs to.
    fn of(&self) -> Option<&str>;
    /// Where it is when it is out.
    fn out_at(&self) -> Option<&[Coord; 3]>;
    /// Number of pieces.
    fn count(&self) -> u32 {
        1
    }
    /// The generic part that stands for its mass.
    fn like(&self) -> Option<&str> {
        None
    }
    /// What carries it, where the file says so.
    fn on(&self) -> Option<CarriedBy> {
        None
    }
    /// Of how much a generic part tells the mass: power, charge and energy of one piece by its label.
    fn amount(&self) -> Amount {
        Amount::default()
    }
    /// Its path in the file.
    fn path(&self) -> String {
        format!("{}{}", self.kind().key(), path::entry(Some(self.name()), 1))
    }
}

impl Rig {
    /// All things: masses, tanks, seats, the body, low points, what stands on the roof, awnings, then panels,
    /// batteries and what else makes, keeps or takes power, each in the order of the file.
    pub fn things(&self) -> impl Iterator<Item = &dyn Thing> {
        self.numbered_things().map(|(_, thing)| thing)
    }

    /// All things, with their place in their list from 1.
    pub(crate) fn numbered_things(&self) -> impl Iterator<Item = (usize, &dyn Thing)> {
        fn each<T: Thing>(list: &[T]) -> impl Iterator<Item = (usize, &dyn Thing)> {
            list.iter().enumerate().map(|(index, thing)| (index + 1, thing as &dyn Thing))
        }
        each(&self.mass)
            .chain(each(&self.tank))
            .chain(each(&self.seat))
            .chain(each(self.body.as_slice()))
            .chain(each(&self.low_point))
            .chain(each(&self.roof_item))
            .chain(each(&self.awning))
            .chain(each(&self.panel))
            .chain(each(&self.battery))
            .chain(each(&self.controller))
            .chain(each(&self.charger))
            .chain(each(&self.inverter))
            .chain(each(&self.converter))
            .chain(each(&self.portable))
            .chain(each(&self.load))
            .chain(each(&self.generator))
    }

    /// The first thing with this name.
    pub fn thing(&self, name: &str) -> Option<&dyn Thing> {
        self.things().find(|thing| thing.name() == name)
    }
}

/// The part of the trait that is the same field by field.
macro_rules! placed {
    ($Kind:ident) => {
        fn kind(&self) -> ThingKind {
            ThingKind::$Kind
        }
        fn name(&self) -> &str {
            &self.name
        }
        fn at(&self) -> Option<&[Coord; 3]> {
            self.at.as_ref()
        }
        fn in_body(&self) -> bool {
            self.in_ == Some(PlacedIn::Body)
        }
        fn of(&self) -> Option<&str> {
            self.of.as_deref()
        }
    };
}

/// A thing whose own mass and size stand in its table.
macro_rules! heavy {
    () => {
        fn mass(&self) -> Option<&Stated<dim::Mass>> {
            self.mass.as_ref()
        }
        fn size(&self) -> Option<&[Stated<dim::Length>; 3]> {
            self.size.as_ref()
        }
    };
}

impl Thing for Mass {
    placed!(Mass);
    heavy!();
    fn out_at(&self) -> Option<&[Coord; 3]> {
        self.out_at.as_ref()
    }
    fn count(&self) -> u32 {
        self.count.unwrap_or(1)
    }
    fn like(&self) -> Option<&str> {
        self.like.as_deref()
    }
    fn on(&self) -> Option<CarriedBy> {
        self.on
    }
}

impl Thing for Tank {
    placed!(Tank);
    heavy!();
    fn on(&self) -> Option<CarriedBy> {
        self.on
    }
    fn out_at(&self) -> Option<&[Coord; 3]> {
        None
    }
}

impl Thing for Seat {
    placed!(Seat);
    heavy!();
    fn on(&self) -> Option<CarriedBy> {
        self.on
    }
    fn out_at(&self) -> Option<&[Coord; 3]> {
        None
    }
}

impl Thing for RoofItem {
    placed!(RoofItem);
    heavy!();
    fn out_at(&self) -> Option<&[Coord; 3]> {
        None
    }
    fn count(&self) -> u32 {
        self.count.unwrap_or(1)
    }
}

impl Thing for Awning {
    placed!(Awning);
    heavy!();
    fn out_at(&self) -> Option<&[Coord; 3]> {
        self.out_at.as_ref()
    }
}

/// A thing of the power tables.
macro_rules! powered {
    ($Kind:ident) => {
        placed!($Kind);
        heavy!();
        fn out_at(&self) -> Option<&[Coord; 3]> {
            None
        }
        fn like(&self) -> Option<&str> {
            self.like.as_deref()
        }
    };
    ($($Kind:ident),*) => {
        $(impl Thing for $Kind {
            powered!($Kind);
            counted!();
            carried!();
        })*
    };
}

/// A thing whose table says how many there are.
macro_rules! counted {
    () => {
        fn count(&self) -> u32 {
            self.count.unwrap_or(1)
        }
    };
}

/// A thing whose table says what carries it.
macro_rules! carried {
    () => {
        fn on(&self) -> Option<CarriedBy> {
            self.on
        }
    };
}

fn value<D: Dim>(stated: &Option<Stated<D>>) -> Option<f64> {
    stated.as_ref().and_then(Stated::value)
}

powered!(Controller, Charger, Inverter, Converter, Generator);

impl Thing for Panel {
    powered!(Panel);
    counted!();
    carried!();
    fn amount(&self) -> Amount {
        Amount { power: value(&self.rated), ..Amount::default() }
    }
}

impl Thing for Battery {
    powered!(Battery);
    carried!();
    /// Those of the whole bank.
    fn count(&self) -> u32 {
        self.count.unwrap_or_else(|| self.in_series.unwrap_or(1).saturating_mul(self.in_parallel.unwrap_or(1)))
    }
    fn amount(&self) -> Amount {
        let (charge, voltage) = (value(&self.capacity), value(&self.voltage));
        let energy = value(&self.energy).or_else(|| Some(charge? * voltage?));
        Amount { charge, energy, ..Amount::default() }
    }
}

impl Thing for Portable {
    powered!(Portable);
    counted!();
    carried!();
    fn amount(&self) -> Amount {
        Amount { energy: value(&self.energy), ..Amount::default() }
    }
}

impl Thing for Load {
    powered!(Load);
    counted!();
}

impl Thing for LowPoint {
    placed!(LowPoint);
    fn mass(&self) -> Option<&Stated<dim::Mass>> {
        None
    }
    fn size(&self) -> Option<&[Stated<dim::Length>; 3]> {
        None
    }
    fn out_at(&self) -> Option<&[Coord; 3]> {
        self.out_at.as_ref()
    }
}

/// The name the body goes by where other tables speak of it.
pub(crate) const BODY: &str = "body";

impl Thing for Body {
    fn kind(&self) -> ThingKind {
        ThingKind::Body
    }
    fn name(&self) -> &str {
        BODY
    }
    fn mass(&self) -> Option<&Stated<dim::Mass>> {
        self.mass.as_ref()
    }
    /// The shell's own centre of gravity, where the file gives it.
    fn at(&self) -> Option<&[Coord; 3]> {
        self.centre.as_ref()
    }
    /// None: the body's size is three fields of its own, inside.
    fn size(&self) -> Option<&[Stated<dim::Length>; 3]> {
        None
    }
    fn in_body(&self) -> bool {
        true
    }
    fn of(&self) -> Option<&str> {
        None
    }
    fn out_at(&self) -> Option<&[Coord; 3]> {
        None
    }
    fn path(&self) -> String {
        BODY.into()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::{Syntax, read_rig};

    #[test]
    fn all_things_are_walked_and_found_by_their_paths() {
        let text = "format = \"rigproof-rig/1\"\nrig = \"R\"\n\
            [body]\nfront = \"1 m\"\nmass = \"1 t\"\n\
            [[low_point]]\nname = \"corner\"\nof = \"2nd stair\"\n\
            [[seat]]\nname = \"driver seat\"\nmass = \"20 kg\"\n\
            [[mass]]\nname = \"2nd stair\"\nmass = \"10 kg\"\ncount = 3\nin = \"body\"\n\
            [[tank]]\nname = \"fresh\"\n";
        let (document, rig) = read_rig(text, Syntax::Toml).unwrap();
        let paths: Vec<String> = rig.things().map(Thing::path).collect();
        let wanted = ["mass[\"2nd stair\"]", "tank[fresh]", "seat[\"driver seat\"]", "body", "low_point[corner]"];
        assert_eq!(paths, wanted);
        assert!(paths.iter().all(|path| document.has(path)));
        let stair = rig.thing("2nd stair").unwrap();
        assert_eq!((stair.count(), stair.in_body()), (3, true));
        assert!(rig.thing("ghost").is_none());
    }
}
