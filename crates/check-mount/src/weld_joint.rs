//! One group of fillet welds in a load path: the largest stress on its throat, and what that may be.
//!
//! Runs are lines in the plane they stand on: the upright face of a rail or a bracket (along the truck and up), or a
//! flange (along and across). The load acts at the middle of the group, off its plane by the arm. Lengths are of sound
//! weld, craters left out, so nothing more is taken off them.

use check::Context;
use physics::mount_facts;
use physics::weld::{self, Group, Run};
use quantity::Estimate;
use rig_facts::Gap;
use rig_model::model::{Along, On, WeldQuality, Welds};

use crate::bolt_joint::WORST_STEEL;
use crate::places::{Place, arm};
use crate::sources::{JOINT, taken};

/// A group of welds, ready for many forces.
#[derive(Clone, Debug)]
pub struct Joint {
    /// Its path.
    pub path: String,
    /// Throat, or leg, m.
    pub size: Estimate,
    /// Whether `size` is a leg.
    pub by_leg: bool,
    /// Ultimate strength of the weaker of steel and filler, Pa.
    pub ultimate: f64,
    /// Weld factor of the steel.
    pub factor: f64,
    /// What its quality leaves of the strength, and the word of it.
    pub quality: (f64, WeldQuality),
    /// Path of the steel where nobody told it.
    pub open: Option<String>,
    /// What it stands on, as told.
    pub on: Option<On>,
    /// Its rows of runs.
    pub rows: Vec<Row>,
    arm: Estimate,
    /// Of the nominal sizes; none where nothing of it is long enough to count.
    nominal: Option<Group>,
}

/// Alike runs side by side, or one by its ends.
#[derive(Clone, Debug)]
pub enum Row {
    /// Length, how many, how far apart, and whether they run upright (across the plane).
    Lengths {
        /// Length of each, m.
        length: Estimate,
        /// How many.
        count: u32,
        /// From run to run, m; none where it is not told.
        apart: Option<Estimate>,
        /// Path of `apart`.
        apart_path: String,
        /// Across the plane instead of along it.
        across: bool,
        /// Path of the length.
        path: String,
    },
    /// Both ends, m.
    Ends(Run),
}

impl Joint {
    /// A group of welds as the file has it.
    ///
    /// # Errors
    /// The gap that stops it: a size, a run, a steel that no table has, an arm.
    pub fn read(cx: &Context, place: &Place, welds: &Welds, path: String) -> Result<Self, Gap> {
        let told = |key: &str| cx.facts().mounts().told(&format!("{path}.{key}")).cloned();
        let (size, by_leg) = match (told("throat"), told("leg")) {
            (Ok(throat), _) => (throat, false),
            (Err(_), Ok(leg)) => (leg, true),
            (Err(_), Err(gap)) => return Err(gap),
        };
        let steel = welds.steel.as_deref().filter(|steel| *steel != "?");
        let steel_path = format!("{path}.steel");
        let (_, ultimate, factor) =
            weld::steel(steel.unwrap_or(WORST_STEEL)).map_err(|fault| Gap::because(steel_path.clone(), fault.to_string()))?;
        // A filler weaker than the steel gives first.
        let ultimate = told("electrode_strength").map_or(ultimate, |filler| ultimate.min(filler.interval95().0));
        let quality = welds.quality.unwrap_or(WeldQuality::Untested);
        let share = match quality {
            WeldQuality::Untested => taken(JOINT, "strength of an untested weld"),
            WeldQuality::Coupon => taken(JOINT, "strength of a weld with a bent coupon"),
            WeldQuality::Coded => taken(JOINT, "strength of a coded welder's weld"),
        };
        let mut rows = Vec::new();
        for (index, run) in welds.runs.iter().enumerate() {
            let at = welds.runs.path_of(&format!("{path}.runs"), index);
            let here = |key: &str| cx.facts().mounts().told(&format!("{at}.{key}")).cloned();
            rows.push(match (&run.from, &run.to) {
                (Some([x1, y1]), Some([x2, y2])) => match [x1, y1, x2, y2].map(quantity::Stated::value) {
                    [Some(x1), Some(y1), Some(x2), Some(y2)] => Row::Ends(Run { from: [x1, y1], to: [x2, y2] }),
                    _ => return Err(Gap::at(at)),
                },
                _ => Row::Lengths {
                    length: here("length")?,
                    count: run.count.unwrap_or(1).max(1),
                    apart: here("apart").ok(),
                    apart_path: format!("{at}.apart"),
                    across: matches!(run.direction, Some(Along::Up | Along::Across)),
                    path: format!("{at}.length"),
                },
            });
        }
        if rows.is_empty() {
            return Err(Gap::at(format!("{path}.runs")));
        }
        let arm = arm(cx, place, &format!("{path}.arm"))?.unwrap_or(Estimate::exact(0.0));
        let open = steel.is_none().then_some(steel_path);
        let nominal = None;
        let on = welds.on;
        let mut joint = Self { size, by_leg, ultimate, factor, quality: (share, quality), open, on, rows, arm, path, nominal };
        joint.nominal = joint.group(joint.throat_of(joint.size.value()), &joint.sizes());
        Ok(joint)
    }

    /// The throat, m, of a size of this weld.
    #[must_use]
    pub fn throat_of(&self, size: f64) -> f64 {
        if self.by_leg { weld::throat(size) } else { size }
    }

    /// The throat with its doubt, m.
    #[must_use]
    pub fn throat(&self) -> Estimate {
        if self.by_leg { self.size.scale(weld::throat(1.0)) } else { self.size.clone() }
    }

    /// What the throat may be stressed to, Pa.
    #[must_use]
    pub fn may(&self) -> f64 {
        weld::shear_strength(self.ultimate, self.factor, mount_facts::weld().partial) * self.quality.0
    }

    /// Force that all of it holds through its middle, N.
    #[must_use]
    pub fn strength(&self) -> f64 {
        let throat = self.throat_of(self.size.value());
        if throat < mount_facts::weld().throat_least {
            return 0.0;
        }
        self.area() * self.may()
    }

    /// What is told of the runs, m, in the order of the rows.
    fn told(&self) -> Vec<&Estimate> {
        let mut told = Vec::new();
        for row in &self.rows {
            if let Row::Lengths { length, apart, .. } = row {
                told.push(length);
                told.extend(apart);
            }
        }
        told
    }

    fn sizes(&self) -> Vec<f64> {
        self.told().into_iter().map(Estimate::value).collect()
    }

    /// The runs as lines, of those that are long enough to count.
    fn group(&self, throat: f64, sizes: &[f64]) -> Option<Group> {
        let mut sizes = sizes.iter().copied();
        let mut lines = Vec::new();
        for row in &self.rows {
            match row {
                Row::Ends(run) => lines.push(*run),
                Row::Lengths { count, apart, across, .. } => {
                    let length = sizes.next()?;
                    let apart = if apart.is_some() { sizes.next()? } else { 0.0 };
                    if length < weld::least_length(throat) {
                        continue;
                    }
                    let middle = f64::from(count - 1) / 2.0;
                    for at in 0..*count {
                        let off = (f64::from(at) - middle) * apart;
                        let (half, place) =
                            (length / 2.0, |along: f64, off: f64| if *across { [off, along] } else { [along, off] });
                        lines.push(Run { from: place(-half, off), to: place(half, off) });
                    }
                }
            }
        }
        Group::new(&lines, throat)
    }

    /// Largest stress on the throat, Pa, nominal; none where the group does not hold that.
    #[must_use]
    pub fn stress(&self, force: [f64; 3]) -> Option<f64> {
        self.worst(self.nominal.as_ref()?, force, self.arm.value())
    }

    /// Largest stress of a group, Pa.
    fn worst(&self, group: &Group, [x, y, z]: [f64; 3], arm: f64) -> Option<f64> {
        let force = if self.on == Some(On::Flange) { [x, y, z] } else { [x, z, y] };
        let [u, v] = group.centroid;
        let stresses = group.stresses(force, [u, v, arm])?;
        Some(stresses.into_iter().fold(0.0, f64::max))
    }

    /// The same with the doubt of forces and sizes.
    #[must_use]
    pub fn stress_of(&self, [x, y, z]: &[Estimate; 3], lever: f64) -> Option<Estimate> {
        let mut inputs = vec![x, y, z, &self.size, &self.arm];
        inputs.extend(self.told());
        Estimate::propagate(&inputs, |v| {
            let Some(([x, y, z, size, arm], sizes)) = v.split_first_chunk::<5>() else { return Err(()) };
            let group = self.group(self.throat_of(*size), sizes).ok_or(())?;
            self.worst(&group, [x * lever, y * lever, z * lever], *arm).ok_or(())
        })
        .ok()
    }

    /// Nominal throat area of what counts, m2.
    #[must_use]
    pub fn area(&self) -> f64 {
        self.nominal.as_ref().map_or(0.0, |group| group.area)
    }

    /// How far the load stands off its plane, nominal, m.
    #[must_use]
    pub fn arm(&self) -> f64 {
        self.arm.value()
    }

    /// The distance between runs that nobody told, where it matters.
    #[must_use]
    pub fn open_apart(&self) -> Option<&str> {
        self.rows.iter().find_map(|row| match row {
            Row::Lengths { count, apart: None, apart_path, .. } if *count > 1 => Some(&**apart_path),
            _ => None,
        })
    }

    /// The same with its runs so many times as far apart.
    #[must_use]
    pub fn spread(&self, wider: f64) -> Self {
        let mut other = self.clone();
        for row in &mut other.rows {
            if let Row::Lengths { apart: Some(apart), .. } = row {
                *apart = apart.scale(wider);
            }
        }
        other.nominal = other.group(other.throat_of(other.size.value()), &other.sizes());
        other
    }

    /// The same with every length told by itself multiplied, and with another size.
    #[must_use]
    pub fn with(&self, longer: f64, size: Option<&Estimate>) -> Self {
        let mut other = self.clone();
        for row in &mut other.rows {
            if let Row::Lengths { length, .. } = row {
                *length = length.scale(longer);
            }
        }
        if let Some(size) = size {
            other.size = size.clone();
        }
        other.nominal = other.group(other.throat_of(other.size.value()), &other.sizes());
        other
    }
}
