//! What is not told but has a worst and a best that it can be.

use basis::Basis;
use check::{Draft, Verdict};
use rig_facts::{Gap, tables};

/// Which end of what an untold value can be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The one nearest to trouble.
    Worst,
    /// The one farthest from it.
    Best,
}

/// An answer that stands whatever the untold value is.
#[derive(Debug)]
pub struct Judged<'c> {
    /// The answer.
    pub draft: Draft<'c>,
    /// The end it was asked at.
    pub end: End,
    /// Whether it passes although something is not told.
    pub even: bool,
}

/// Asks at the worst of what is not told: where that holds, it holds; where even the best does not, it does not. None
/// where the untold value decides. With nothing open the worst is all there is.
pub fn judge<'c>(open: Option<&Gap>, mut ask: impl FnMut(End) -> Draft<'c>) -> Option<Judged<'c>> {
    let worst = ask(End::Worst);
    if open.is_none() {
        return Some(Judged { draft: worst, end: End::Worst, even: false });
    }
    if worst.verdict() == Verdict::Pass {
        return Some(Judged { draft: worst, end: End::Worst, even: true });
    }
    let best = ask(End::Best);
    (best.verdict() == Verdict::Fail).then_some(Judged { draft: best, end: End::Best, even: false })
}

/// A number of the table of what is taken of inverters, cables and lockers.
#[must_use]
pub fn supply(what: &str) -> f64 {
    tables::usual("living/supply", "what", what, "number")
}

/// Where the numbers of such a table come from.
#[must_use]
pub fn usual_basis(table: &str) -> Basis {
    tables::table(table).map_or_else(Basis::common_practice, |table| table.basis.clone())
}

/// Where a constant of the battery and charging kernels comes from.
#[must_use]
pub fn constant_basis(id: &str) -> Basis {
    physics::store_facts::store_sources().get(id).map_or_else(Basis::common_practice, |constant| constant.basis.clone())
}

/// The least size that is sold and does.
#[must_use]
pub fn size_sold(table: &str, want: &str, does: impl Fn(f64) -> bool) -> Option<f64> {
    tables::table(table)?.pairs("size", want).map(|(_, size)| size).find(|size| does(*size))
}

/// Chargers are set in steps of so many amperes. A choice of this project.
pub const AMPERE_STEP: f64 = 1.0;
/// So many steps are tried.
const STEPS: u32 = 1000;

/// Currents below one, in whole steps, the highest first.
pub fn lower(now: f64) -> impl Iterator<Item = f64> {
    let at = move |step: u32| ((now / AMPERE_STEP).ceil() - f64::from(step)) * AMPERE_STEP;
    (1..STEPS).map(at).take_while(|amps| *amps >= AMPERE_STEP)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::context;
    use check::{Check, Holds};

    #[test]
    fn what_is_not_told_decides_only_between_its_ends() {
        let cx = context("");
        let check = crate::inverter_continuous::InverterContinuous;
        let draft = |yes: bool| check.card().about(&cx, "x").require(if yes { Holds::Yes } else { Holds::No }, "");
        let gap = Gap::at("load");
        let ends = |open, worst: bool, best: bool| {
            judge(open, |end| draft(if end == End::Worst { worst } else { best })).map(|judged| (judged.end, judged.even))
        };
        assert_eq!(ends(Some(&gap), true, true), Some((End::Worst, true)));
        assert_eq!(ends(Some(&gap), false, false), Some((End::Best, false)));
        assert_eq!(ends(Some(&gap), false, true), None);
        assert_eq!(ends(None, false, true), Some((End::Worst, false)));
    }

    #[test]
    fn sizes_and_what_is_usual() {
        assert_eq!(size_sold("living/inverter-size", "watt", |size| size > 2000.0), Some(2500.0));
        assert_eq!(size_sold("living/inverter-size", "watt", |size| size > 1e6), None);
        assert!(supply("heat through thin boards, W/m2K") == 3.0 && supply("no such").is_nan());
    }
}
