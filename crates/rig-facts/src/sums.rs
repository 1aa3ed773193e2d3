//! Mass and its moments.

use quantity::Estimate;

use crate::gap::Gap;
use crate::item::Item;

/// Sums over the items of a state. Each is a gap of its own: a piece without a place still weighs.
#[derive(Clone, Debug)]
pub struct Sums {
    /// Whole mass, kg.
    pub mass: Result<Estimate, Gap>,
    /// Sum of mass times x, kg m.
    pub mass_x: Result<Estimate, Gap>,
    /// Sum of mass times y, kg m.
    pub mass_y: Result<Estimate, Gap>,
    /// Sum of mass times z, kg m.
    pub mass_z: Result<Estimate, Gap>,
    /// Sum of mass times x times y, kg m2: how a side load falls on front and rear.
    pub mass_xy: Result<Estimate, Gap>,
}

impl Sums {
    /// Sums the items. The first gap in file order stops a sum.
    #[must_use]
    pub fn of(items: &[&Item]) -> Self {
        let items = items.iter().copied();
        Self {
            mass: total(items.clone(), |item| item.mass.as_ref()),
            mass_x: total(items.clone(), |item| item.mass_x.as_ref()),
            mass_y: total(items.clone(), |item| item.mass_y.as_ref()),
            mass_z: total(items.clone(), |item| item.mass_z.as_ref()),
            mass_xy: total(items.clone(), |item| item.mass_xy.as_ref()),
        }
    }

    /// The same with every sum mapped, gaps kept.
    #[must_use]
    pub fn map(&self, mut f: impl FnMut(&Estimate) -> Estimate) -> Self {
        let mut each = |sum: &Result<Estimate, Gap>| sum.as_ref().map(&mut f).map_err(Clone::clone);
        Self {
            mass: each(&self.mass),
            mass_x: each(&self.mass_x),
            mass_y: each(&self.mass_y),
            mass_z: each(&self.mass_z),
            mass_xy: each(&self.mass_xy),
        }
    }

    /// Centre of gravity along x, m behind the front axle.
    ///
    /// # Errors
    /// The gap that stops it.
    pub fn x(&self) -> Result<Estimate, Gap> {
        ratio(&self.mass_x, &self.mass)
    }

    /// Centre of gravity across, m to the right.
    ///
    /// # Errors
    /// The gap that stops it.
    pub fn y(&self) -> Result<Estimate, Gap> {
        ratio(&self.mass_y, &self.mass)
    }

    /// Height of the centre of gravity over ground, m.
    ///
    /// # Errors
    /// The gap that stops it.
    pub fn z(&self) -> Result<Estimate, Gap> {
        ratio(&self.mass_z, &self.mass)
    }
}

/// Sum of one thing over the items; the first gap in file order stops it.
pub(crate) fn total<'a>(
    items: impl Iterator<Item = &'a Item> + Clone,
    what: impl Fn(&'a Item) -> Result<&'a Estimate, &'a Gap>,
) -> Result<Estimate, Gap> {
    match items.clone().find_map(|item| what(item).err()) {
        Some(gap) => Err(gap.clone()),
        None => Ok(Estimate::sum(items.filter_map(|item| what(item).ok()))),
    }
}

fn ratio(moment: &Result<Estimate, Gap>, mass: &Result<Estimate, Gap>) -> Result<Estimate, Gap> {
    let mass = mass.as_ref().map_err(Clone::clone)?;
    let moment = moment.as_ref().map_err(Clone::clone)?;
    if mass.value() <= 0.0 {
        return Err(Gap::because("chassis", "the ledger is empty"));
    }
    Ok(moment / mass)
}
