//! The door: everything derived from one rig.

use std::sync::Arc;

use quantity::{Dimension, Estimate, How, InputId, Stated, dim};
use rig_model::model::{Rig, RoadUse, StateKind};

use crate::axles::Axles;
use crate::extents::{ChassisEnds, Extents, Taped};
use crate::gap::Gap;
use crate::inputs::{Input, Inputs, Kind};
use crate::item::Item;
use crate::ledger::Ledger;
use crate::loads::Loads;
use crate::parts::PartsBook;
use crate::place::BodyFrame;
use crate::states::loadings;
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
    pub prior: Loads,
    /// Loads with the tickets taken in: what every check uses.
    pub loads: Loads,
    /// How far the rig reaches.
    pub extents: Extents,
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

static NO_AXLE: Gap = Gap { path: String::new(), why: String::new() };

/// Everything derived from one rig.
#[derive(Clone, Debug)]
pub struct Facts {
    inputs: Inputs,
    axles: Axles,
    body: BodyFrame,
    states: Vec<StateFacts>,
    tickets: Tickets,
    roll: Roll,
    trailer_mass: Result<Estimate, Gap>,
    parts: Arc<PartsBook>,
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
        Self::derive_with(rig, Arc::default())
    }

    /// The same with an owner's own parts.
    #[must_use]
    pub fn derive_with(rig: Arc<Rig>, parts: Arc<PartsBook>) -> Self {
        Self::build(&rig, parts, None)
    }

    /// Derives the facts of an edited copy. The tickets were read before the edit: what they taught of the inputs stays,
    /// and they are not held against the copy. Where the edit changes a ticket, or which inputs there are, everything is
    /// derived anew.
    #[must_use]
    pub fn derive_after(rig: Arc<Rig>, before: &Rig, facts: &Self) -> Self {
        Self::build(&rig, Arc::clone(&facts.parts), (rig.weighing == before.weighing).then_some(facts))
    }

    fn build(rig: &Rig, parts: Arc<PartsBook>, before: Option<&Self>) -> Self {
        let mut inputs = Inputs::default();
        let axles = Axles::read(&rig.axle, &mut inputs);
        let body = BodyFrame::read(rig.body.as_ref(), &mut inputs);
        let chassis = rig.chassis.as_ref();
        let mut end =
            |key: &str, stated: Option<&Stated<dim::Length>>| inputs.take(|| format!("chassis.{key}"), stated, Kind::Length);
        let ends = ChassisEnds {
            front: end("front_end", chassis.and_then(|c| c.front_end.as_ref())),
            rear: end("rear_end", chassis.and_then(|c| c.rear_end.as_ref())),
            width: end("width", chassis.and_then(|c| c.width.as_ref())),
            height: end("height", chassis.and_then(|c| c.height.as_ref())),
        };
        let roll = Roll::read(rig, &axles, &mut inputs);
        let taped = rig.envelope.as_ref();
        let mut tape = |key: &str, stated: Option<&Stated<dim::Length>>| {
            inputs.take(|| format!("envelope.{key}"), stated, Kind::Length).ok()
        };
        let taped = Taped {
            height: tape("height", taped.and_then(|t| t.height.as_ref())),
            width: tape("width", taped.and_then(|t| t.width.as_ref())),
            length: tape("length", taped.and_then(|t| t.length.as_ref())),
        };
        let ledger = Ledger::read(rig, &axles, &body, &parts, &mut inputs);
        let mut states: Vec<StateFacts> = loadings(rig)
            .into_iter()
            .map(|loading| {
                let (items, fills) = ledger.items(rig, &loading, &mut inputs);
                let view: Vec<&Item> = items.iter().map(AsRef::as_ref).collect();
                let prior = Loads::of(&view, &axles, &loading.lifted);
                let extents = Extents::of(&view, &ends, &body, rig.body.is_some(), &taped, ledger.low_corners(rig, &loading));
                StateFacts {
                    name: loading.name,
                    path: loading.path,
                    kind: loading.kind,
                    made: loading.made,
                    trailer: loading.trailer,
                    lifted: loading.lifted,
                    fills,
                    loads: prior.clone(),
                    prior,
                    extents,
                    items,
                }
            })
            .collect();
        let tickets = match before {
            Some(before) if inputs.begin(&before.inputs) => {
                inputs = before.inputs.clone();
                before.tickets.clone()
            }
            _ => Tickets::read(&rig.weighing, &states, &axles, &mut inputs),
        };
        if tickets.adopted {
            for state in &mut states {
                state.loads = state.prior.map(|estimate| tickets.corrected(estimate));
            }
        }
        let towed = rig.trailer.as_ref().and_then(|trailer| trailer.mass.as_ref());
        let trailer_mass = inputs.take(|| "trailer.mass".to_owned(), towed, Kind::AxleLoad);
        Self { inputs, axles, body, states, tickets, roll, trailer_mass, parts }
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
        &self.parts
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
