//! Ways out for tyres that carry too little: pump them up, or fit tyres of a higher load index.

use check::Context;
use check::draft::GOAL;
use check::remedy::{Effort, Proposal};
use physics::tyre::index_capacity;
use quantity::{Dimension, Estimate};
use rig_model::{Edit, EditOp, Free};

use crate::remedy::{self, step};
use crate::subject::AxleIn;
use crate::tyre_end::Tyres;

/// Whether a capacity carries a load with the reserve that every way out aims at.
fn carries(capacity: &Estimate, load: &Estimate) -> bool {
    (capacity - load).interval95().0 >= 0.0 && load.value() <= GOAL * capacity.value()
}

/// Pump, else fit others.
#[must_use]
pub fn of(cx: &Context, axle: AxleIn<'_>, tyres: &Tyres, load: &Estimate) -> Vec<Proposal> {
    [pump(cx, axle, tyres, load), higher_index(axle, tyres, load)].into_iter().flatten().collect()
}

/// Raise the pressure by whole steps, up to the reference pressure.
#[must_use]
pub fn pump(cx: &Context, axle: AxleIn<'_>, tyres: &Tyres, load: &Estimate) -> Option<Proposal> {
    let now = tyres.pressure.as_ref().ok()?;
    let reference = tyres.reference.value();
    let enough = |to: f64| {
        let pumped = now.offset(to - now.value());
        let needed = tyres.pressure_for(load).is_some_and(|wanted| (&pumped - &wanted).interval95().0 >= 0.0);
        needed && tyres.capacity_at(&pumped).is_ok_and(|capacity| carries(&capacity, load))
    };
    let steps = |to: f64| remedy::up_to_step(to, step::PRESSURE_PA);
    // From the pressure that the nominal load wants, upward: a few steps at most lie between it and the reserve.
    let mut to = steps(tyres.pressure_for(load)?.value().max(now.value()));
    while to < reference && !enough(to) {
        to = steps(to + step::PRESSURE_PA / 2.0);
    }
    let to = to.min(reference);
    if to <= now.value() || !enough(to) {
        return None;
    }
    let stated = axle.axle.tyre.as_ref().and_then(|tyre| tyre.pressure.as_ref());
    Some(Proposal {
        text: format!(
            "pump the tyres of the {} to {}, cold",
            axle.about(),
            remedy::to_step(cx, to, Dimension::Pressure, step::PRESSURE_PA)
        ),
        effort: Effort::Minutes,
        edits: vec![remedy::restate(cx, axle.key("tyre.pressure"), stated, to)],
    })
}

/// Tyres of the least load index that carries it at the pressures there are.
fn higher_index(axle: AxleIn<'_>, tyres: &Tyres, load: &Estimate) -> Option<Proposal> {
    let capacity = tyres.capacity().ok()?;
    let now = f64::from(tyres.index);
    let index = (u32::from(tyres.index)..).map_while(|index| Some((index, index_capacity("load_index", index).ok()?)));
    let (index, _) = index.skip(1).find(|(_, full)| carries(&capacity.scale(full / tyres.full_load), load))?;
    let dual = tyres.tyres > 1.0;
    let key = if dual { "tyre.load_index_dual" } else { "tyre.load_index" };
    let set = |key: &str, from: f64| Edit {
        path: axle.key(key),
        op: EditOp::Set,
        from: Some(Free::Number(from)),
        to: Some(Free::Number(f64::from(index))),
    };
    let second = if dual { " as the second number" } else { "" };
    Some(Proposal {
        text: format!("fit tyres with a load index of {index} or more{second} on the {} ({now} now)", axle.about()),
        effort: Effort::PartsToBuy,
        edits: vec![set(key, now)],
    })
}
