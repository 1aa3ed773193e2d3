//! What is on board when camped: states that differ in nothing electric share one year.

use rig_model::model::{Rig, StateKind};

use super::loads::Drawn;
use super::system::System;

/// Loads, panels and banks of one or more camp states.
#[derive(Clone, Debug, PartialEq)]
pub struct Set {
    /// Names of the states; none where the file names no camp state, and everything is on board.
    pub states: Vec<String>,
    /// Which of the loads are used, by number.
    pub loads: Vec<usize>,
    /// Which of the panels are on board, by number.
    pub panels: Vec<usize>,
    /// Which of the banks are on board, by number.
    pub banks: Vec<usize>,
}

pub(crate) fn of(rig: &Rig, system: &System, loads: &[Drawn]) -> Vec<Set> {
    let set = |state: Option<&rig_model::model::State>| {
        let here = |name: &str| state.is_none_or(|state| state.absent.iter().all(|absent| absent != name));
        let kept = |names: &mut dyn Iterator<Item = &str>| -> Vec<usize> {
            names.enumerate().filter(|(_, name)| here(name)).map(|(at, _)| at).collect()
        };
        let used = loads.iter().enumerate().filter(|(_, load)| load.camp && here(&load.name)).map(|(at, _)| at).collect();
        Set {
            states: state.map(|state| state.name.clone()).into_iter().collect(),
            loads: used,
            panels: kept(&mut system.panels.iter().map(|panel| panel.name.as_str())),
            banks: kept(&mut system.banks.iter().map(|bank| bank.name.as_str())),
        }
    };
    let mut sets: Vec<Set> = Vec::new();
    for state in rig.state.iter().filter(|state| state.kind == StateKind::Camp) {
        let mut one = set(Some(state));
        let same = |known: &&mut Set| (&known.loads, &known.panels, &known.banks) == (&one.loads, &one.panels, &one.banks);
        match sets.iter_mut().find(same) {
            Some(known) => known.states.append(&mut one.states),
            None => sets.push(one),
        }
    }
    if sets.is_empty() { vec![set(None)] } else { sets }
}
