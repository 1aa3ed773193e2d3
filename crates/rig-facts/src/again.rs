//! Facts of an edited copy that shares most of them with the rig it was edited from.
//!
//! An edit of a tyre leaves every load as it was; an edit of one state leaves the others. What a fact is read from is
//! compared, not guessed from the edit.

use rig_model::Thing;
use rig_model::model::{Axle, Body, Rig};

use crate::axles::Axles;
use crate::facts::{Before, Facts, StateFacts};
use crate::inputs::Inputs;
use crate::mounts::Mounts;
use crate::states::loadings;

impl Facts {
    /// The facts of `rig`, sharing those of `before`. None where the ledger itself differs, or which inputs there are.
    pub(crate) fn shared_with(&self, rig: &Rig, before: &Rig) -> Option<Self> {
        if !same_ledger(rig, before) || rig.state.len() != before.state.len() {
            return None;
        }
        let mut inputs = Inputs::default();
        let axles = Axles::read(&rig.axle, &mut inputs);
        if !inputs.are_part(&self.inputs, &(0..self.axle_inputs)) {
            return None;
        }
        let mut facts = Self { axles, ..self.clone() };
        if !same_mounts(rig, before) {
            let mut own = self.inputs.again_from(self.mount_inputs.start);
            let mounts = Mounts::read(rig, &self.body, self.states.len(), Some(&self.mounts), &mut own);
            facts.mounts = mounts.found_as(&self.mounts);
            if !own.are_part(&self.inputs, &self.mount_inputs) {
                return None;
            }
        }
        if !same_power(rig, before) {
            facts.read_last(rig, Some(self.power_inputs.start), Some(Before { facts: self, same_power: false }));
        }
        if rig.state == before.state {
            return Some(facts);
        }
        facts.mounts = facts.mounts.forget();
        let states = rig.state.iter().zip(&before.state);
        for ((loading, old), (state, state_before)) in loadings(rig).into_iter().zip(&mut facts.states).zip(states) {
            if state == state_before {
                continue;
            }
            let mut own = self.inputs.again_from(old.inputs.start);
            let mut anew = StateFacts::of(loading, rig, &self.ledger, &facts.axles, &self.body, &self.outline, &mut own);
            if !own.are_part(&self.inputs, &old.inputs) {
                return None;
            }
            anew.take_in(&self.tickets);
            *old = anew;
        }
        Some(facts)
    }
}

/// Whether all that weighs, stands or reaches somewhere is the same. Left out: tyres, which carry and do not weigh (they
/// weigh with their axle), the states, and what no fact is read from.
fn same_ledger(rig: &Rig, before: &Rig) -> bool {
    rig.chassis == before.chassis
        && same_but_heat(rig.body.as_ref(), before.body.as_ref())
        && rig.use_ == before.use_
        && rig.mass == before.mass
        && rig.tank == before.tank
        && rig.seat == before.seat
        && rig.person == before.person
        && rig.coupling == before.coupling
        && rig.trailer == before.trailer
        && rig.envelope == before.envelope
        && rig.low_point == before.low_point
        && same_weights(&rig.roof_item, &before.roof_item)
        && same_weights(&rig.awning, &before.awning)
        && same_weights(&rig.panel, &before.panel)
        && same_weights(&rig.battery, &before.battery)
        && same_weights(&rig.controller, &before.controller)
        && same_weights(&rig.charger, &before.charger)
        && same_weights(&rig.inverter, &before.inverter)
        && same_weights(&rig.converter, &before.converter)
        && same_weights(&rig.portable, &before.portable)
        && same_weights(&rig.load, &before.load)
        && same_weights(&rig.generator, &before.generator)
        && rig.custom == before.custom
        && rig.axle.len() == before.axle.len()
        && rig.axle.iter().zip(&before.axle).all(|(axle, before)| same_but_tyres(axle, before))
}

/// Whether the ledger reads the same of these things.
fn same_weights<T: Thing>(list: &[T], before: &[T]) -> bool {
    let same = |a: &T, b: &T| {
        a.name() == b.name()
            && (a.mass(), a.at(), a.size()) == (b.mass(), b.at(), b.size())
            && (a.in_body(), a.on(), a.of(), a.out_at(), a.count()) == (b.in_body(), b.on(), b.of(), b.out_at(), b.count())
            && a.like() == b.like()
            // A generic part is counted by what the label says.
            && (a.like().is_none() || a.amount() == b.amount())
    };
    list.len() == before.len() && list.iter().zip(before).all(|(a, b)| same(a, b))
}

/// Whether the bodies are the same but for the heat that passes through them, which weighs nothing.
fn same_but_heat(body: Option<&Body>, before: Option<&Body>) -> bool {
    let cold = |body: &Body| Body { heat: None, ..body.clone() };
    body == before || body.map(cold) == before.map(cold)
}

/// Whether all that tells of power is the same.
pub(crate) fn same_power(rig: &Rig, before: &Rig) -> bool {
    let heat = |rig: &Rig| rig.body.as_ref().and_then(|body| body.heat.clone());
    rig.site == before.site
        && rig.power == before.power
        && rig.panel == before.panel
        && rig.battery == before.battery
        && rig.controller == before.controller
        && rig.charger == before.charger
        && rig.alternator == before.alternator
        && rig.inverter == before.inverter
        && rig.converter == before.converter
        && rig.portable == before.portable
        && rig.load == before.load
        && rig.inlet == before.inlet
        && rig.generator == before.generator
        && rig.roof == before.roof
        && rig.locker == before.locker
        && same_absences(rig, before)
        && heat(rig) == heat(before)
}

/// Whether the same things stay at home in the same states: of states, years rest on nothing else.
fn same_absences(rig: &Rig, before: &Rig) -> bool {
    let same = |(a, b): (&rig_model::model::State, &rig_model::model::State)| {
        a.name == b.name && a.kind == b.kind && a.absent == b.absent
    };
    rig.state.len() == before.state.len() && rig.state.iter().zip(&before.state).all(same)
}

/// Whether all that tells how the body is held is the same; chassis and body are looked at with the ledger.
fn same_mounts(rig: &Rig, before: &Rig) -> bool {
    rig.codes == before.codes
        && rig.mount == before.mount
        && rig.cross_member == before.cross_member
        && rig.levelling == before.levelling
        && rig.strap == before.strap
        && rig.lifting == before.lifting
        && rig.roof_item == before.roof_item
        && rig.awning == before.awning
        && rig.clearance == before.clearance
        && rig.fixing == before.fixing
        && rig.recovery == before.recovery
}

fn same_but_tyres(axle: &Axle, before: &Axle) -> bool {
    axle == before || Axle { tyre: None, ..axle.clone() } == Axle { tyre: None, ..before.clone() }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use rig_model::{Edit, EditOp, Free, Syntax, read_rig};

    use crate::facts::{Before, Facts};

    /// What is shared is what would have been derived; what changes a load or an input is not shared.
    #[test]
    fn shared_facts_are_those_derived_anew() {
        let text = include_str!("../../../examples/herbarium-truck/rig.toml");
        let (document, rig) = read_rig(text, Syntax::Toml).expect("it reads");
        let before = Facts::derive(Arc::new(rig.clone()));
        for (path, op, to, is_shared) in [
            ("axle[front].tyre.pressure", EditOp::Set, "6.7 bar measured", true),
            ("axle[front].tyre.radius", EditOp::Set, "0.51 m measured", true),
            ("state[\"ferry queue\"].absent", EditOp::Add, "herbarium presses", true),
            ("ground.side_slope", EditOp::Set, "10 %", true),
            // Full is a word without doubt, so many litres is an input more.
            ("state[travel-full].fill.fresh", EditOp::Set, "255 L", false),
            ("axle[front].bare_load", EditOp::Set, "3500 kg", false),
            ("body.front", EditOp::Set, "1.51 m", false),
        ] {
            let edit = Edit { path: path.to_owned(), op, from: None, to: Some(Free::Text(to.to_owned())) };
            let (edited, problems) = document.with(&[edit]).expect("it applies").read();
            assert_eq!(problems, [], "{path}");
            let anew = Facts::build(&edited, Arc::clone(&before.beside), Some(Before { facts: &before, same_power: false }));
            let facts = before.shared_with(&edited, &rig);
            assert_eq!(facts.is_some(), is_shared, "{path}");
            if let Some(facts) = facts {
                assert_eq!(format!("{:#?}", facts.states), format!("{:#?}", anew.states), "{path}");
                assert_eq!(format!("{:#?}", facts.axles), format!("{:#?}", anew.axles), "{path}");
                assert_eq!(facts.inputs.list(), anew.inputs.list(), "{path}");
            }
        }
    }

    /// An edit of the power tables shares every load; what it tells and takes out of the inputs is as if read anew.
    #[test]
    fn power_is_read_again_and_nothing_else_is() {
        let text = include_str!("../../rig-model/tests/rigs/good.toml");
        let (document, rig) = read_rig(text, Syntax::Toml).expect("it reads");
        let before = Facts::derive(Arc::new(rig.clone()));
        for (path, to, is_shared) in [
            ("battery[house].resistance", "15 mohm", true),
            ("battery[house].resistance", "?", true),
            ("body.heat.u", "0.7 W/m2K", true),
            ("site.heading", "90 deg", true),
            ("inverter[\"big inverter\"].continuous", "2500 W", true),
            ("load[fridge].daily", "?", true),
            ("roof.walkway", "0.5 m", true),
            ("battery[house].mass", "30 kg", false),
            ("panel[\"front panels\"].count", "6", false),
            ("panel[\"rear panel\"].rated", "120 W", false),
        ] {
            let to = to.parse().map_or_else(|_| Free::Text(to.to_owned()), Free::Number);
            let edit = Edit { path: path.to_owned(), op: EditOp::Set, from: None, to: Some(to) };
            let (edited, problems) = document.with(&[edit]).expect("it applies").read();
            assert_eq!(problems, [], "{path}");
            let anew = Facts::derive(Arc::new(edited.clone()));
            let facts = before.shared_with(&edited, &rig);
            assert_eq!(facts.is_some(), is_shared, "{path}");
            let Some(facts) = facts else { continue };
            let paths = |facts: &Facts| facts.inputs.list().iter().map(|input| input.path.clone()).collect::<Vec<_>>();
            assert_eq!(paths(&facts), paths(&anew), "{path}");
            assert_eq!(format!("{:?}", facts.power), format!("{:?}", anew.power), "{path}");
            assert_eq!(facts.trailer_mass, anew.trailer_mass, "{path}");
            assert_eq!(format!("{:?}", facts.states), format!("{:?}", before.states), "{path}");
            let built = Facts::build(&edited, Arc::clone(&before.beside), Some(Before { facts: &before, same_power: false }));
            assert_eq!((paths(&built), &built.trailer_mass), (paths(&anew), &anew.trailer_mass), "{path}");
        }
    }
}
