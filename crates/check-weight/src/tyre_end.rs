//! One end of an axle: what it puts on its tyres, and what they carry.

use basis::Basis;
use physics::facts::weight;
use physics::tyre::{index_capacity, pressure_share, pressure_wanted};
use quantity::{Estimate, Z95, real};
use rig_facts::Gap;

use crate::subject::AxleIn;
use crate::working;

/// The heavier end of an axle.
#[derive(Clone, Copy, Debug)]
pub struct End<'a> {
    /// Its load on the ground, kg.
    pub load: &'a Estimate,
    name: &'static str,
    /// Both ends, kg.
    all: f64,
}

impl End<'_> {
    /// A line of working.
    #[must_use]
    pub fn line(&self) -> String {
        format!("{} on the {} end, of {} on the axle", working::kg(self.load.value()), self.name, working::kg(self.all))
    }
}

/// The heavier end of an axle in its state.
///
/// # Errors
/// The gap that stops it.
pub fn heavier_end(axle: AxleIn<'_>) -> Result<End<'_>, Gap> {
    let sides =
        axle.state.loads.sides.get(axle.index).ok_or_else(|| Gap::at(axle.key("track")))?.as_ref().map_err(Clone::clone)?;
    let (name, load) = if sides.left.value() > sides.right.value() { ("left", &sides.left) } else { ("right", &sides.right) };
    Ok(End { load, name, all: sides.left.value() + sides.right.value() })
}

/// Something not told, for which the worst plausible was taken.
#[derive(Clone, Debug)]
pub struct Guess {
    /// Path of the input.
    pub path: String,
    /// What is said where even the worst holds.
    pub even_if: String,
    /// Why it is wanted where the worst does not hold.
    pub wanted: String,
}

/// The tyres at one end of an axle.
#[derive(Clone, Debug)]
pub struct Tyres {
    /// How many.
    pub tyres: f64,
    /// What each carries at its reference pressure, kg.
    pub full_load: f64,
    /// Load index that says so.
    pub index: u16,
    /// Pressure at which it does, Pa.
    pub reference: Estimate,
    /// Pressure there is, Pa.
    pub pressure: Result<Estimate, Gap>,
    /// Path of that.
    pub pressure_path: String,
    /// Exponent of load over pressure.
    pub exponent: Estimate,
    /// What was not told.
    pub guessed: Option<Guess>,
    /// Share of the single index that each of a pair carries, where the second index is not told.
    dual_share: Option<f64>,
}

impl Tyres {
    /// The tyres of an axle.
    ///
    /// # Errors
    /// What is not told.
    pub fn of(axle: AxleIn<'_>) -> Result<Self, Gap> {
        let tyre = axle.axle.tyre.as_ref().ok_or_else(|| Gap::at(axle.key("tyre")))?;
        let single = tyre.load_index.ok_or_else(|| Gap::at(axle.key("tyre.load_index")))?;
        let listed = |index: u16| {
            index_capacity("load_index", u32::from(index))
                .map_err(|why| Gap::because(axle.key("tyre.load_index"), why.to_string()))
        };
        let dual = tyre.per_side == Some(2);
        let (index, dual_share) = match (dual, tyre.load_index_dual) {
            (true, Some(second)) => (second, None),
            (true, None) => (single, Some(weight().tyre_dual_factor)),
            (false, _) => (single, None),
        };
        let guessed = match (tyre.per_side, dual_share) {
            (None, _) => Some(Guess {
                path: axle.key("tyre.per_side"),
                even_if: "even if there is one tyre a side".to_owned(),
                wanted: "one tyre a side would not carry it; two may".to_owned(),
            }),
            (Some(_), Some(_)) => Some(Guess {
                path: axle.key("tyre.load_index_dual"),
                even_if: "even if the tyres of the pair have the lowest second index there is".to_owned(),
                wanted: "each tyre of a pair carries less than a single one; how much less, the second number on its side tells"
                    .to_owned(),
            }),
            (Some(_), None) => None,
        };
        Ok(Self {
            tyres: f64::from(tyre.per_side.unwrap_or(1)),
            full_load: listed(index)? * dual_share.unwrap_or(1.0),
            index,
            reference: axle.facts.reference_pressure.clone()?,
            pressure: axle.facts.pressure.clone(),
            pressure_path: axle.key("tyre.pressure"),
            exponent: axle.facts.load_exponent.clone(),
            guessed,
            dual_share,
        })
    }

    /// Where the load of an index comes from.
    #[must_use]
    pub fn basis() -> Basis {
        physics::facts::table("tyre/load-index").map_or_else(|| Basis::physics("load index"), |table| table.basis.clone())
    }

    /// What they carry together at the pressure there is, kg.
    ///
    /// # Errors
    /// The pressure where it is not told, or below half the reference.
    pub fn capacity(&self) -> Result<Estimate, Gap> {
        self.capacity_at(&self.pressure.clone()?)
    }

    /// What they carry together at a pressure in Pa.
    ///
    /// # Errors
    /// A pressure below half the reference.
    pub fn capacity_at(&self, pressure: &Estimate) -> Result<Estimate, Gap> {
        let share = |pressure: &Estimate| {
            Estimate::propagate(&[pressure, &self.reference, &self.exponent], |v| match v {
                [pressure, reference, exponent] => pressure_share(*pressure, *reference, *exponent),
                _ => Ok(0.0),
            })
        };
        let too_soft = |_| {
            Gap::because(
                self.pressure_path.clone(),
                "below half the reference pressure only the maker's own table says what a tyre carries",
            )
        };
        let nominal = share(pressure).map_err(too_soft)?;
        // Above the reference nothing is gained: the doubt counts downward alone, so the slope is taken below.
        let kink = pressure.value() + pressure.sd() > self.reference.value();
        let below = share(&pressure.offset(-Z95 * pressure.sd())).ok().filter(|_| kink);
        let share = below.map_or(nominal.clone(), |below| below.offset(nominal.value() - below.value()));
        Ok(share.scale(self.full_load * self.tyres))
    }

    /// Least pressure that carries a load at this end, Pa. None where no pressure does.
    #[must_use]
    pub fn pressure_for(&self, load: &Estimate) -> Option<Estimate> {
        let each = load.scale(1.0 / self.tyres);
        let wanted = Estimate::propagate(&[&each, &self.reference, &self.exponent], |v| match v {
            [load, reference, exponent] => pressure_wanted(load.max(0.0), self.full_load, *reference, *exponent),
            _ => Ok(0.0),
        });
        wanted.ok()
    }

    /// What the index of one tyre says.
    fn index_line(&self) -> String {
        let single = self.full_load / self.dual_share.unwrap_or(1.0);
        format!("load index {}: {} a tyre", self.index, working::kg(single))
    }

    /// Lines of working for the pressure that a load wants.
    #[must_use]
    pub fn pressure_working(&self, load: &Estimate) -> Vec<String> {
        let (reference, load) = (working::bar(self.reference.value()), working::figure(load.value(), 1));
        let (each, exponent) = (working::figure(self.full_load, 2), working::figure(self.exponent.value(), 3));
        let share = real::pow((load.get() / (self.tyres * each.get())).max(0.0), 1.0 / exponent.get());
        let (wanted, least) = (working::figure(reference.get() * share, 3), weight().tyre_pressure_share_least);
        let mut lines = vec![format!(
            "wanted = {reference} bar x ({load} kg / ({} x {each} kg))^(1 / {exponent}) = {wanted} bar",
            self.tyres
        )];
        if share < least {
            let floor = working::number(reference.get() * least, 3);
            lines.push(format!("below that no table reaches: {reference} bar x {least} = {floor} bar"));
        }
        lines
    }

    /// Lines of working for the capacity at the pressure there is.
    #[must_use]
    pub fn working(&self) -> Vec<String> {
        let Ok(pressure) = &self.pressure else { return Vec::new() };
        let (reference, used) =
            (working::bar(self.reference.value()), working::bar(pressure.value().min(self.reference.value())));
        let (each, exponent) = (working::figure(self.full_load, 2), working::figure(self.exponent.value(), 3));
        let carries = self.tyres * each.get() * real::pow(used.get() / reference.get(), exponent.get());
        let mut lines = vec![self.index_line()];
        lines.extend(self.dual_share.map(|share| {
            let single = working::figure(self.full_load / share, 1);
            format!("each of a pair, where the second index is not told: {single} kg x {share} = {each} kg")
        }));
        lines.push(format!(
            "carries {} x {each} kg x ({used} bar / {reference} bar)^{exponent} = {}",
            self.tyres,
            working::kg(carries)
        ));
        lines
    }
}
