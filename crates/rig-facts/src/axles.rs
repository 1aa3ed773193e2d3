//! How a mass at a place loads each axle.

use physics::ledger::{AxleAt, AxleShares, Group, axle_shares};
use quantity::{Dimension, Estimate, How};
use rig_model::model::{Axle, Tyre};
use rig_model::path;

use crate::gap::Gap;
use crate::inputs::{Inputs, Kind};

/// What facts know of one axle.
#[derive(Clone, Debug)]
pub struct AxleFacts {
    /// Its name.
    pub name: String,
    /// Its path, `axle[front]`.
    pub path: String,
    /// x of its centre, m.
    pub x: Result<Estimate, Gap>,
    /// Track, m.
    pub track: Result<Estimate, Gap>,
    /// Load on the ground of the bare chassis, kg.
    pub bare_load: Result<Estimate, Gap>,
    /// Word of its equalised group.
    pub group: Option<String>,
    /// Stiffness of both springs at the ground, N/m.
    pub spring_rate: Result<Estimate, Gap>,
    /// Roll stiffness, Nm/rad.
    pub roll_stiffness: Result<Estimate, Gap>,
    /// Load held constant by air, kg.
    pub fixed_load: Option<Estimate>,
    /// Height of the hub over ground, laden, m.
    pub radius: Result<Estimate, Gap>,
    /// Pressure of the tyres, cold, gauge, Pa.
    pub pressure: Result<Estimate, Gap>,
    /// Pressure at which the tyres' load index holds, gauge, Pa.
    pub reference_pressure: Result<Estimate, Gap>,
    /// Exponent of the tyres' load over pressure; where not told, between the usual one and 1 (in proportion).
    pub load_exponent: Estimate,
}

impl AxleFacts {
    fn read(axle: &Axle, index: usize, inputs: &mut Inputs) -> Self {
        let at = path::of("axle", &axle.name, index);
        let key = |key: &str| format!("{at}.{key}");
        let tyre = axle.tyre.as_ref();
        let radius = tyre.and_then(|tyre| tyre.radius.as_ref());
        let pressure = tyre.and_then(|tyre| tyre.pressure.as_ref());
        // Moulded on the side: no spread unless stated.
        let reference = tyre.and_then(|tyre| tyre.reference_pressure.as_ref());
        Self {
            name: axle.name.clone(),
            x: inputs.take(|| key("x"), axle.x.as_ref(), Kind::Length),
            track: inputs.take(|| key("track"), axle.track.as_ref(), Kind::Length),
            bare_load: inputs.take(|| key("bare_load"), axle.bare_load.as_ref(), Kind::AxleLoad),
            group: axle.group.clone(),
            spring_rate: inputs.take(|| key("spring_rate"), axle.spring_rate.as_ref(), Kind::Stiffness),
            roll_stiffness: inputs.take(|| key("roll_stiffness"), axle.roll_stiffness.as_ref(), Kind::Stiffness),
            fixed_load: inputs.take(|| key("fixed_load"), axle.fixed_load.as_ref(), Kind::AxleLoad).ok(),
            radius: inputs.take(|| key("tyre.radius"), radius, Kind::Length),
            pressure: inputs.take(|| key("tyre.pressure"), pressure, Kind::Pressure),
            reference_pressure: inputs.take(|| key("tyre.reference_pressure"), reference, Kind::Plate),
            load_exponent: load_exponent(tyre, || key("tyre.load_exponent"), inputs),
            path: at,
        }
    }
}

/// Tables differ: the usual exponent is the far end of what is plausible, the straight line the near one.
fn load_exponent(tyre: Option<&Tyre>, path: impl FnOnce() -> String, inputs: &mut Inputs) -> Estimate {
    let Some(tyre) = tyre else { return Estimate::exact(1.0) };
    match tyre.load_exponent {
        Some(told) => Estimate::exact(told),
        None => {
            let usual = physics::facts::weight().tyre_exponent;
            let sd = (1.0 - usual) / 2.0 / f64::sqrt(3.0);
            inputs.add(path(), (1.0 + usual) / 2.0, sd, How::Unsaid, Dimension::Ratio, true)
        }
    }
}

/// All axles, in file order.
#[derive(Clone, Debug, Default)]
pub struct Axles {
    list: Vec<AxleFacts>,
}

impl Axles {
    /// Reads all axles.
    pub fn read(axles: &[Axle], inputs: &mut Inputs) -> Self {
        Self { list: axles.iter().enumerate().map(|(index, axle)| AxleFacts::read(axle, index, inputs)).collect() }
    }

    /// The axles, in file order.
    #[must_use]
    pub fn list(&self) -> &[AxleFacts] {
        &self.list
    }

    /// Index of the axle of that name.
    #[must_use]
    pub fn find(&self, name: &str) -> Option<usize> {
        self.list.iter().position(|axle| axle.name == name)
    }

    /// Places of the foremost and the rearmost axle that stands on the ground, by index.
    #[must_use]
    pub fn ends(&self, lifted: &[bool]) -> Option<(usize, usize)> {
        let standing = || self.standing(lifted).filter_map(|index| Some((index, self.list.get(index)?.x.as_ref().ok()?.value())));
        let front = standing().min_by(|a, b| a.1.total_cmp(&b.1))?;
        let rear = standing().max_by(|a, b| a.1.total_cmp(&b.1))?;
        (front.0 != rear.0).then_some((front.0, rear.0))
    }

    /// Indices of the axles on the ground.
    pub fn standing(&self, lifted: &[bool]) -> impl Iterator<Item = usize> {
        (0..self.list.len()).filter(move |index| !lifted.get(*index).copied().unwrap_or(false))
    }

    /// Distance between the foremost and the rearmost standing axle, m.
    ///
    /// # Errors
    /// The gap that stops it.
    pub fn wheelbase(&self, lifted: &[bool]) -> Result<Estimate, Gap> {
        for axle in &self.list {
            axle.x.as_ref().map_err(Clone::clone)?;
        }
        let ends = self.ends(lifted).and_then(|(front, rear)| Some((self.list.get(front)?, self.list.get(rear)?)));
        let (front, rear) = ends.ok_or_else(|| Gap::because("axle", "two axles on the ground are wanted"))?;
        Ok(rear.x.as_ref().map_err(Clone::clone)? - front.x.as_ref().map_err(Clone::clone)?)
    }

    /// How the standing axles share any load, at the nominal places and stiffnesses: one share an axle in file order,
    /// none for a lifted one.
    ///
    /// # Errors
    /// The gap that stops it: a place, or a stiffness where three or more groups are free.
    pub fn shares(&self, lifted: &[bool]) -> Result<Shares, Gap> {
        let standing: Vec<usize> = self.standing(lifted).collect();
        let mut knobs = Vec::new();
        for index in &standing {
            let Some(axle) = self.list.get(*index) else { continue };
            knobs.push(axle.x.clone()?);
            if let Ok(rate) = &axle.spring_rate {
                knobs.push(rate.clone());
            }
        }
        let template = Template { axles: self, standing };
        let values: Vec<f64> = knobs.iter().map(Estimate::value).collect();
        let nominal = template.solve(&values)?;
        Ok(Shares { nominal, template: template.axle_at(&values)?, standing: template.standing, knobs })
    }

    fn stiffness_gap(&self, standing: &[usize]) -> Gap {
        let bare = standing.iter().filter_map(|index| self.list.get(*index)).find(|axle| axle.spring_rate.is_err());
        let path = bare.map_or_else(|| "axle".to_owned(), |axle| format!("{}.spring_rate", axle.path));
        Gap::because(
            path,
            "three or more axles that are not equalised share by their springs; without their stiffness the loads are not determined",
        )
    }
}

/// Axles and which of them stand, ready to be solved for any values of the knobs (places, then stiffness, axle by axle).
struct Template<'a> {
    axles: &'a Axles,
    standing: Vec<usize>,
}

impl Template<'_> {
    fn axle_at(&self, values: &[f64]) -> Result<Vec<AxleAt>, Gap> {
        let mut values = values.iter().copied();
        let mut list = Vec::with_capacity(self.standing.len());
        for index in &self.standing {
            let Some(axle) = self.axles.list.get(*index) else { continue };
            list.push(AxleAt {
                x_m: values.next().unwrap_or(0.0),
                group: axle.group.clone().map(Group),
                stiffness_n_m: if axle.spring_rate.is_ok() { values.next() } else { None },
                fixed_load_kg: axle.fixed_load.as_ref().map(Estimate::value),
            });
        }
        Ok(list)
    }

    fn solve(&self, values: &[f64]) -> Result<AxleShares, Gap> {
        let list = self.axle_at(values)?;
        axle_shares(&list).map_err(|fault| {
            if list.len() < 2 {
                Gap::because("axle", "two axles on the ground are wanted")
            } else if list.iter().any(|axle| axle.stiffness_n_m.is_none() && axle.fixed_load_kg.is_none()) && list.len() > 2 {
                self.axles.stiffness_gap(&self.standing)
            } else {
                Gap::because("axle", fault.to_string())
            }
        })
    }
}

/// How the standing axles share any load.
#[derive(Clone, Debug)]
pub struct Shares {
    nominal: AxleShares,
    template: Vec<AxleAt>,
    standing: Vec<usize>,
    knobs: Vec<Estimate>,
}

impl Shares {
    /// Share of a mass at x that the axle of that index (file order) feels; 0 for a lifted one.
    #[must_use]
    pub fn of_mass_at(&self, axle: usize, x: f64) -> f64 {
        let at = self.standing.iter().position(|index| *index == axle);
        at.and_then(|at| self.nominal.axles.get(at)).map_or(0.0, |share| share.of_mass_at(x))
    }

    /// Whether springs decide.
    #[must_use]
    pub fn sprung(&self) -> bool {
        self.nominal.sprung
    }

    /// Loads by axle in file order (nothing on a lifted one) for a mass and its moment. With `fixed` the air-loaded axles
    /// carry their fixed load, else their share of a change is nothing.
    #[must_use]
    pub fn spread(&self, mass: &Estimate, moment: &Estimate, axles: usize, fixed: bool) -> Vec<Estimate> {
        let mut loads = vec![Estimate::exact(0.0); axles];
        for (at, index) in self.standing.iter().enumerate() {
            if let Some(slot) = loads.get_mut(*index) {
                *slot = self.one(at, mass, moment, fixed);
            }
        }
        loads
    }

    /// The load of one axle: exact in mass and moment, by central differences in places and stiffnesses.
    fn one(&self, at: usize, mass: &Estimate, moment: &Estimate, fixed: bool) -> Estimate {
        let Some(share) = self.nominal.axles.get(at) else { return Estimate::exact(0.0) };
        let (m, mx) = (mass.value(), moment.value());
        let pick = |shares: &AxleShares| {
            shares.axles.get(at).map_or(0.0, |share| if fixed { share.load(m, mx) } else { share.load(m, mx) - share.fixed_kg })
        };
        let knobs: Vec<&Estimate> = self.knobs.iter().collect();
        let geometry = Estimate::propagate(&knobs, |values| self.solve(values).map(|shares| pick(&shares)));
        let linear = Estimate::weighted_sum(&[(share.per_kg, mass), (share.per_kg_m, moment)]);
        let constant = if fixed { share.fixed_kg } else { 0.0 };
        match geometry {
            // Its value is the nominal load again: keep its terms alone.
            Ok(geometry) => {
                Estimate::weighted_sum(&[(1.0, &linear), (1.0, &geometry.offset(-geometry.value()))]).offset(constant)
            }
            Err(_) => linear.offset(constant),
        }
    }

    fn solve(&self, values: &[f64]) -> Result<AxleShares, physics::KernelError> {
        let mut values = values.iter().copied();
        let list: Vec<AxleAt> = self
            .template
            .iter()
            .map(|axle| AxleAt {
                x_m: values.next().unwrap_or(axle.x_m),
                stiffness_n_m: axle.stiffness_n_m.map(|rate| values.next().unwrap_or(rate)),
                ..axle.clone()
            })
            .collect();
        axle_shares(&list)
    }
}
