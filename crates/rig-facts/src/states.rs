//! The states, stated or made: what is in each tank, who sits where, what is out or left home.

use rig_model::model::{Fill, Holds, Rig, State, StateKind};
use rig_model::path;

use crate::tables;

/// A loading of the rig, ready for the ledger.
#[derive(Clone, Debug)]
pub struct Loading {
    /// Its name.
    pub name: String,
    /// Its path; for a made state the parent of all states.
    pub path: String,
    /// Whether it is travelled in or camped in.
    pub kind: StateKind,
    /// Whether it was made because the file names none.
    pub made: bool,
    /// What is in each tank, in file order of the tanks.
    pub fills: Vec<TankFill>,
    /// Who sits where: name of the seat, of the person, and where it is written.
    pub people: Vec<Sitting>,
    /// Names of things left home.
    pub absent: Vec<String>,
    /// Names of things that are out.
    pub out: Vec<String>,
    /// Which axles are lifted, in file order of the axles.
    pub lifted: Vec<bool>,
    /// Whether the trailer is coupled.
    pub trailer: bool,
}

/// What a state says of one tank.
#[derive(Clone, Debug)]
pub enum TankFill {
    /// Stated, with the path where it stands.
    Stated(Fill, String),
    /// A share of the tank, by the definition of the state.
    Exactly(f64),
    /// Nothing is said: the path where it would stand.
    Unsaid(String),
}

/// Somebody on a seat.
#[derive(Clone, Debug)]
pub struct Sitting {
    /// Name of the seat.
    pub seat: String,
    /// Name of the person, where it is said.
    pub person: Option<String>,
    /// Index in the state's list, where a mass may stand.
    pub occupant: Option<usize>,
}

/// All states of a rig: its own, or three made from what it has.
#[must_use]
pub fn loadings(rig: &Rig) -> Vec<Loading> {
    if rig.state.is_empty() {
        made(rig)
    } else {
        rig.state.iter().enumerate().map(|(index, state)| stated(rig, state, index)).collect()
    }
}

fn stated(rig: &Rig, state: &State, index: usize) -> Loading {
    let at = path::of("state", &state.name, index);
    let fills = rig
        .tank
        .iter()
        .enumerate()
        .map(|(tank_index, tank)| match (state.fill.get(&tank.name), &tank.fill) {
            (Some(fill), _) => TankFill::Stated(fill.clone(), format!("{at}.fill.{}", path::quote_key(&tank.name))),
            (None, Some(fill)) => TankFill::Stated(fill.clone(), format!("{}.fill", path::of("tank", &tank.name, tank_index))),
            (None, None) => TankFill::Unsaid(format!("{at}.fill.{}", path::quote_key(&tank.name))),
        })
        .collect();
    Loading {
        name: state.name.clone(),
        path: at,
        kind: state.kind,
        made: false,
        fills,
        people: state
            .people
            .iter()
            .enumerate()
            .map(|(at, occupant)| Sitting { seat: occupant.seat.clone(), person: occupant.person.clone(), occupant: Some(at) })
            .collect(),
        absent: state.absent.clone(),
        out: state.out.clone(),
        lifted: rig.axle.iter().map(|axle| state.lifted.contains(&axle.name)).collect(),
        trailer: state.trailer.unwrap_or(false),
    }
}

/// travel-full, travel-empty and camped, from what the rig has.
fn made(rig: &Rig) -> Vec<Loading> {
    let low_fuel = tables::number("facts/made-state", "what", "fuel in travel-empty", "share").unwrap_or(0.0);
    let fills = |fresh: f64, used: f64, fuel: f64| {
        rig.tank
            .iter()
            .map(|tank| {
                TankFill::Exactly(match tank.holds {
                    Some(Holds::Grey | Holds::Black) => used,
                    Some(Holds::Diesel | Holds::Petrol | Holds::Urea) => fuel,
                    Some(Holds::Water | Holds::Other) | None => fresh,
                })
            })
            .collect::<Vec<_>>()
    };
    let people: Vec<Sitting> = rig
        .seat
        .iter()
        .filter(|seat| seat.travel != Some(false))
        .map(|seat| Sitting { seat: seat.name.clone(), person: None, occupant: None })
        .collect();
    let masses = rig.mass.iter().filter(|mass| mass.out_at.is_some()).map(|mass| mass.name.clone());
    let awnings = rig.awning.iter().filter(|awning| awning.out_at.is_some()).map(|awning| awning.name.clone());
    let out: Vec<String> = masses.chain(awnings).collect();
    let state = |name: &str, kind, fills, people: &[Sitting], out: &[String]| Loading {
        name: name.to_owned(),
        path: "state".to_owned(),
        kind,
        made: true,
        fills,
        people: people.to_vec(),
        absent: Vec::new(),
        out: out.to_vec(),
        lifted: vec![false; rig.axle.len()],
        trailer: rig.trailer.is_some() && kind == StateKind::Travel,
    };
    vec![
        state("travel-full", StateKind::Travel, fills(1.0, 0.0, 1.0), &people, &[]),
        state("travel-empty", StateKind::Travel, fills(0.0, 1.0, low_fuel), &people, &[]),
        state("camped", StateKind::Camp, fills(1.0, 0.0, 1.0), &[], &out),
    ]
}
