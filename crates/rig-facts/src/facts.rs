//! The door: everything derived from one rig.

use std::ops::Range;
use std::sync::Arc;

use quantity::{Dimension, Estimate, How, InputId};
use rig_model::model::{Rig, RoadUse, StateKind};

use crate::again::same_power;
use crate::axles::Axles;
use crate::beside::Beside;
use crate::custom;
use crate::extents::{ChassisEnds, Extents, Outline, Taped};
use crate::gap::Gap;
use crate::inputs::{Input, Inputs, Kind};
use crate::item::Item;
use crate::ledger::Ledger;
use crate::loads::Loads;
use crate::mounts::Mounts;
use crate::parts::PartsBook;
use crate::place::BodyFrame;
use crate::power::Power;
use crate::states::{Loading, loadings};
use crate::tables;
use crate::tickets::Tickets;

/// What follows from a rig for one state.
#[derive(Clone, Debug)]
pub struct StateFacts {
    /// Its name.
    pub name: String,
    /// Its path.
    pub path: String,
    /// Whether it is travelled in or camped in.
    pub kind: StateKind,
    /// Whether it was made because the file names none.
    pub made: bool,
    /// Whether the trailer is coupled.
    pub trailer: bool,
    /// Which axles are lifted, in file order.
    pub lifted: Vec<bool>,
    /// The ledger, in file order.
    pub items: Vec<Arc<Item>>,
    /// Liquid in each tank, in file order of the tanks: share of the tank that is filled.
    pub fills: Vec<Result<Estimate, Gap>>,
    /// Loads from the ledger alone.
    pub prior: Arc<Loads>,
    /// Loads with the tickets taken in: what every check uses.
    pub loads: Arc<Loads>,
    /// How far the rig reaches.
    pub extents: Arc<Extents>,
    /// Numbers of the inputs that this state alone has.
    pub(crate) inputs: Range<usize>,
}

impl StateFacts {
    /// Load under the axle of that index (file order), kg.
    ///
    /// # Errors
    /// The gap that stops it.
    pub fn axle_load(&self, index: usize) -> Result<&Estimate, &Gap> {
        let loads = self.loads.axles.as_ref()?;
        loads.get(index).ok_or(&NO_AXLE)
    }

    /// Whole mass, kg.
    ///
    /// # Errors
    /// The gap that stops it.
    pub fn mass(&self) -> Result<&Estimate, &Gap> {
        self.loads.sums.mass.as_ref()
    }
}

impl StateFacts {
    pub(crate) fn of(
        loading: Loading,
        rig: &Rig,
        ledger: &Ledger,
        axles: &Axles,
        body: &BodyFrame,
        outline: &Outline,
        inputs: &mut Inputs,
    ) -> Self {
        let first = inputs.count();
        let (items, fills) = ledger.items(rig, &loading, inputs);
        let view: Vec<&Item> = items.iter().map(AsRef::as_ref).collect();
        let prior = Arc::new(Loads::of(&view, axles, &loading.lifted));
        let extents = Arc::new(Extents::of(&view, outline, body, ledger.low_corners(rig, &loading)));
        Self {
            name: loading.name,
            path: loading.path,
            kind: loading.kind,
            made: loading.made,
            trailer: loading.trailer,
            lifted: loading.lifted,
            fills,
            loads: Arc::clone(&prior),
            prior,
            extents,
            items,
            inputs: first..inputs.count(),
        }
    }

    /// Takes in what the tickets taught.
    pub(crate) fn take_in(&mut self, tickets: &Tickets) {
        if tickets.adopted {
            self.loads = Arc::new(self.prior.map(|estimate| tickets.corrected(estimate)));
        }
    }
}

const TRAILER_MASS: &str = "trailer.mass";

static NO_AXLE: Gap = Gap { path: String::new(), why: String::new() };

/// Everything derived from one rig.
#[derive(Clone, Debug)]
pub struct Facts {
    pub(crate) inputs: Arc<Inputs>,
    /// How many of the inputs are the axles'.
    pub(crate) axle_inputs: usize,
    pub(crate) axles: Axles,
    pub(crate) body: BodyFrame,
    pub(crate) ledger: Arc<Ledger>,
    pub(crate) outline: Arc<Outline>,
    pub(crate) states: Vec<StateFacts>,
    pub(crate) tickets: Arc<Tickets>,
    pub(crate) roll: Roll,
    pub(crate) trailer_mass: Result<Estimate, Gap>,
    pub(crate) beside: Arc<Beside>,
    pub(crate) mounts: Mounts,
    /// Numbers of the inputs that the mounts alone have.
    pub(crate) mount_inputs: Range<usize>,
    pub(crate) power: Power,
    /// Numbers of the inputs that power alone has.
    pub(crate) power_inputs: Range<usize>,
}

/// The facts of a rig that a copy was edited from.
#[derive(Clone, Copy)]
pub(crate) struct Before<'a> {
    /// The facts.
    pub(crate) facts: &'a Facts,
    /// Whether the copy tells the same of power.
    pub(crate) same_power: bool,
}

/// How the rig rolls on its springs.
#[derive(Clone, Debug)]
pub struct Roll {
    /// Height of the axis it rolls about, m.
    pub centre: Result<Estimate, Gap>,
    /// Roll stiffness of all axles together, tyres included, Nm/rad.
    pub stiffness: Result<Estimate, Gap>,
    /// Share of the rigid rig's limit that is left on springs, where centre and stiffness are not told.
    pub factor: Estimate,
}

impl Roll {
    fn read(rig: &Rig, axles: &Axles, inputs: &mut Inputs) -> Self {
        let stated = rig.chassis.as_ref().and_then(|chassis| chassis.roll_centre_height.as_ref());
        let centre = inputs.take(|| "chassis.roll_centre_height".to_owned(), stated, Kind::Length);
        let each = axles.list().iter().map(|axle| axle.roll_stiffness.as_ref().map_err(Clone::clone));
        let stiffness = each.collect::<Result<Vec<_>, _>>().map(|each| Estimate::sum(each.into_iter()));
        let key = if matches!(rig.use_, Some(RoadUse::Tracks | RoadUse::Rock)) { "soft" } else { "road" };
        let end = |want| tables::number("facts/roll-factor", "use", key, want).unwrap_or(1.0);
        let (low, high) = (end("low"), end("high"));
        let path = axles.list().first().map_or_else(|| "axle".to_owned(), |axle| format!("{}.roll_stiffness", axle.path));
        let sd = (high - low) / 2.0 / f64::sqrt(3.0);
        let factor = inputs.add(path, (low + high) / 2.0, sd, How::Unsaid, Dimension::Ratio, true);
        Self { centre, stiffness, factor }
    }
}

impl Facts {
    /// Derives all facts. Never fails: what cannot be derived is a gap that names the absent input.
    #[must_use]
    pub fn derive(rig: Arc<Rig>) -> Self {
        Self::derive_with(rig, Beside::default())
    }

    /// The same with what stands beside the file.
    #[must_use]
    pub fn derive_with(rig: Arc<Rig>, beside: impl Into<Beside>) -> Self {
        Self::build(&rig, Arc::new(beside.into()), None)
    }

    /// Derives the facts of an edited copy. The tickets were read before the edit: what they taught of the inputs stays,
    /// and they are not held against the copy. Where the edit changes a ticket, or which inputs there are, everything is
    /// derived anew.
    #[must_use]
    pub fn derive_after(rig: Arc<Rig>, before: &Rig, facts: &Self) -> Self {
        if rig.weighing != before.weighing {
            return Self::build(&rig, Arc::clone(&facts.beside), None);
        }
        facts.shared_with(&rig, before).unwrap_or_else(|| {
            let same_power = same_power(&rig, before);
            Self::build(&rig, Arc::clone(&facts.beside), Some(Before { facts, same_power }))
        })
    }

    pub(crate) fn build(rig: &Rig, beside: Arc<Beside>, given: Option<Before<'_>>) -> Self {
        let before = given.map(|given| given.facts);
        let mut inputs = Inputs::default();
        let axles = Axles::read(&rig.axle, &mut inputs);
        let axle_inputs = inputs.list().len();
        let body = BodyFrame::read(rig.body.as_ref(), &mut inputs);
        let ends = ChassisEnds::read(rig.chassis.as_ref(), &mut inputs);
        let roll = Roll::read(rig, &axles, &mut inputs);
        let taped = Taped::read(rig.envelope.as_ref(), &mut inputs);
        let outline = Arc::new(Outline { ends, taped, has_body: rig.body.is_some() });
        let ledger = Arc::new(Ledger::read(rig, &axles, &body, &beside.parts, &mut inputs));
        let mut states: Vec<StateFacts> = loadings(rig)
            .into_iter()
            .map(|loading| StateFacts::of(loading, rig, &ledger, &axles, &body, &outline, &mut inputs))
            .collect();
        custom::read(&rig.custom, &mut inputs);
        let first = inputs.count();
        let mounts = Mounts::read(rig, &body, states.len(), before.map(|before| &before.mounts), &mut inputs);
        let mount_inputs = first..inputs.count();
        let (inputs, tickets) = match before {
            Some(before) if inputs.begin(&before.inputs) => (Arc::clone(&before.inputs), Arc::clone(&before.tickets)),
            _ => {
                let tickets = Tickets::read(&rig.weighing, &states, &axles, &mut inputs);
                (Arc::new(inputs), Arc::new(tickets))
            }
        };
        states.iter_mut().for_each(|state| state.take_in(&tickets));
        let shared = before.filter(|before| Arc::ptr_eq(&inputs, &before.inputs));
        let mut facts = Self {
            inputs,
            axle_inputs,
            axles,
            body,
            ledger,
            outline,
            states,
            tickets,
            roll,
            trailer_mass: Err(Gap::at(TRAILER_MASS)),
            beside,
            mounts,
            mount_inputs,
            power: Power::default(),
            power_inputs: 0..0,
        };
        facts.read_last(rig, shared.map(|before| before.power_inputs.start), given);
        facts
    }

    /// What comes last of all inputs, since no ticket is read against it: power, and the mass of the laden trailer. `first`
    /// is where these begin in the inputs, which a copy has already.
    pub(crate) fn read_last(&mut self, rig: &Rig, first: Option<usize>, before: Option<Before<'_>>) {
        let first = first.unwrap_or(self.inputs.count());
        let mut own = self.inputs.again_from(first);
        match before {
            // Its years stand, and the same inputs are met.
            Some(Before { facts, same_power: true }) if facts.power_inputs.start == first => {
                self.power = facts.power.clone();
                own.copy_part(&facts.inputs, &facts.power_inputs);
            }
            _ => self.power = Power::read(rig, &self.beside, before.map(|before| &before.facts.power), &mut own),
        }
        self.power_inputs = first..own.count();
        let stated = rig.trailer.as_ref().and_then(|trailer| trailer.mass.as_ref());
        self.trailer_mass = own.take(|| TRAILER_MASS.to_owned(), stated, Kind::AxleLoad);
        if !own.are_part(&self.inputs, &(first..self.inputs.count())) {
            Arc::make_mut(&mut self.inputs).replace_from(first, own);
        }
    }

    /// The states, in file order.
    #[must_use]
    pub fn states(&self) -> &[StateFacts] {
        &self.states
    }

    /// The state of that name.
    #[must_use]
    pub fn state(&self, name: &str) -> Option<&StateFacts> {
        self.states.iter().find(|state| state.name == name)
    }

    /// The axles.
    #[must_use]
    pub fn axles(&self) -> &Axles {
        &self.axles
    }

    /// The body's inside frame.
    #[must_use]
    pub fn body(&self) -> &BodyFrame {
        &self.body
    }

    /// The parts that `like` may name.
    #[must_use]
    pub fn parts(&self) -> &PartsBook {
        &self.beside.parts
    }

    /// The tickets and what came of them.
    #[must_use]
    pub fn tickets(&self) -> &Tickets {
        &self.tickets
    }

    /// How the rig rolls on its springs.
    #[must_use]
    pub fn roll(&self) -> &Roll {
        &self.roll
    }

    /// Mass of the laden trailer, kg.
    ///
    /// # Errors
    /// The gap that stops it.
    pub fn trailer_mass(&self) -> Result<&Estimate, &Gap> {
        self.trailer_mass.as_ref()
    }

    /// Every stated value that carries a range.
    #[must_use]
    pub fn inputs(&self) -> &[Input] {
        self.inputs.list()
    }

    /// The input of that number.
    #[must_use]
    pub fn input(&self, id: InputId) -> Option<&Input> {
        self.inputs.get(id)
    }

    /// How to get an input in a yard.
    #[must_use]
    pub fn how_to_get(&self, path: &str) -> &'static str {
        tables::how_to_get(path)
    }
}
