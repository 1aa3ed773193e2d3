//! A panel as a diode in light: its whole curve of current over voltage, by light and cell temperature.
//!
//! Everything is a function of the voltage across the diode itself, so no equation is implicit: current is photocurrent
//! less what the diode and the shunt take, voltage is what the series resistance leaves.

use quantity::real::{exp, ln};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged};
use crate::sun_facts as facts;

/// 0 degrees Celsius, K.
const ZERO: f64 = 273.15;

/// Five numbers of a module, or of a part of it, at one light and temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Diode {
    /// Current the light makes, A.
    pub photocurrent: f64,
    /// Saturation current, A.
    pub saturation: f64,
    /// Series resistance, ohm.
    pub series: f64,
    /// Shunt resistance, ohm.
    pub shunt: f64,
    /// Ideality times cells in series times thermal voltage, V.
    pub thermal: f64,
}

/// A module at rated light and temperature, for scaling to others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Module {
    /// The five numbers at rated conditions.
    pub rated: Diode,
    /// Change of short circuit current with temperature, A/K.
    pub alpha: f64,
    /// What that is adjusted by, as a share; 0 leaves it.
    pub adjust: f64,
}

/// A point of the curve.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// Voltage, V.
    pub volts: f64,
    /// Current, A.
    pub amperes: f64,
}

impl Point {
    /// Power, W.
    #[must_use]
    pub fn watts(&self) -> f64 {
        self.volts * self.amperes
    }
}

impl Module {
    /// The module in light (W/m2) at a cell temperature (degrees Celsius); De Soto 2006 with the CEC adjustment.
    #[must_use]
    pub fn at(&self, light: f64, cell: f64) -> Diode {
        let f = facts::panel();
        let (warm, reference) = (cell + ZERO, f.rated_temperature + ZERO);
        let (share, ratio, rise) = (light / f.rated_irradiance, warm / reference, warm - reference);
        let gap = f.silicon_gap * (1.0 + f.silicon_gap_change * rise);
        let grows = exp((f.silicon_gap / reference - gap / warm) / f.boltzmann);
        Diode {
            photocurrent: share * (self.rated.photocurrent + self.alpha * (1.0 - self.adjust) * rise),
            saturation: self.rated.saturation * ratio * ratio * ratio * grows,
            series: self.rated.series,
            shunt: self.rated.shunt / share,
            thermal: self.rated.thermal * ratio,
        }
    }
}

/// Root of a rising function within two ends: Newton's steps, and the middle where one would leave them.
fn root(f: impl Fn(f64) -> (f64, f64), mut low: f64, mut high: f64, mut x: f64) -> f64 {
    // Halving alone would end before: 2^-100 of any span is below rounding.
    for _ in 0..100 {
        let (value, slope) = f(x);
        if value < 0.0 {
            low = x
        } else {
            high = x
        }
        let step = x - value / slope;
        let next = if step > low && step < high { step } else { low + (high - low) / 2.0 };
        if (next - x).abs() <= f64::EPSILON * x.abs() || low >= high {
            return next;
        }
        x = next;
    }
    x
}

impl Diode {
    /// Current at a voltage across the diode itself, and how fast it falls with it.
    fn current(&self, across: f64) -> (f64, f64) {
        let grown = self.saturation * exp(across / self.thermal);
        let current = self.photocurrent - (grown - self.saturation) - across / self.shunt;
        (current, grown / self.thermal + 1.0 / self.shunt)
    }

    fn point(&self, across: f64) -> Point {
        let amperes = self.current(across).0;
        Point { volts: across - amperes * self.series, amperes }
    }

    /// Voltage across the diode at no current.
    fn open_across(&self) -> f64 {
        let most = self.thermal * ln(self.photocurrent / self.saturation + 1.0);
        root(
            |v| {
                let (i, slope) = self.current(v);
                (-i, slope)
            },
            0.0,
            most,
            most,
        )
    }

    /// Open voltage, V.
    #[must_use]
    pub fn open(&self) -> f64 {
        if self.photocurrent > 0.0 { self.open_across() } else { 0.0 }
    }

    fn across_at(&self, volts: f64) -> f64 {
        let f = |v: f64| {
            let (current, slope) = self.current(v);
            (v - current * self.series - volts, 1.0 + slope * self.series)
        };
        // With current out the diode is above the terminals, at most by all photocurrent through the series resistance.
        let high = volts.max(volts + self.photocurrent * self.series).max(0.0);
        let low = volts.min(0.0);
        root(f, low, high, high.min(self.open()).max(low))
    }

    /// Current at a voltage at the terminals, A; below 0 past the open voltage.
    #[must_use]
    pub fn current_at(&self, volts: f64) -> f64 {
        self.current(self.across_at(volts)).0
    }

    /// Short circuit current, A.
    #[must_use]
    pub fn short_circuit(&self) -> f64 {
        self.current_at(0.0)
    }

    /// Point of the most power.
    #[must_use]
    pub fn most(&self) -> Point {
        if self.photocurrent <= 0.0 {
            return Point::default();
        }
        let f = |v: f64| {
            let (current, slope) = self.current(v);
            // Of the exponential's slope alone.
            let bend = (slope - 1.0 / self.shunt) / self.thermal;
            let stiff = 1.0 + slope * self.series;
            let volts = v - current * self.series;
            // Less the rise of power with voltage, and how that grows.
            (slope * volts - current * stiff, 2.0 * slope * stiff + bend * (volts - current * self.series))
        };
        let (low, high) = (self.across_at(0.0), self.open_across());
        self.point(root(f, low, high, high))
    }

    /// Voltage at the terminals at a current, V; far below 0 where the light does not make that current.
    #[must_use]
    pub fn voltage_at(&self, amperes: f64) -> f64 {
        let f = |v: f64| {
            let (current, slope) = self.current(v);
            (amperes - current, slope)
        };
        let low = ((self.photocurrent - amperes) * self.shunt).min(0.0);
        let high = self.thermal * ln((self.photocurrent - amperes).max(0.0) / self.saturation + 1.0);
        root(f, low, high.max(low), high.max(low)) - amperes * self.series
    }

    /// One of `count` equal parts in series.
    #[must_use]
    pub fn part(&self, count: f64) -> Self {
        Self { series: self.series / count, shunt: self.shunt / count, thermal: self.thermal / count, ..*self }
    }
}

/// Parts of a module in series, each with a bypass diode, in uneven light.
#[derive(Clone, Debug, PartialEq)]
pub struct Groups(Vec<Diode>);

/// Halvings of a span of current: to 1e-9 of it by the golden section.
const SECTIONS: usize = 45;

impl Groups {
    /// The groups of a module whose cells are at one temperature, each in its own light (W/m2).
    #[must_use]
    pub fn of(module: &Module, cell: f64, lights: &[f64]) -> Self {
        Self(lights.iter().map(|light| module.at(*light, cell).part(lights.len() as f64)).collect())
    }

    /// Voltage of them all at a current, V: a group that cannot carry it is passed by.
    #[must_use]
    pub fn voltage_at(&self, amperes: f64) -> f64 {
        let drop = facts::panel().bypass_drop;
        let one = |group: &Diode| if group.photocurrent > 0.0 { group.voltage_at(amperes).max(-drop) } else { -drop };
        self.0.iter().map(one).sum()
    }

    /// Currents past which one group after another is passed by, A, in rising order.
    fn knees(&self) -> Vec<f64> {
        let drop = facts::panel().bypass_drop;
        let lit = self.0.iter().filter(|group| group.photocurrent > 0.0);
        let mut knees: Vec<f64> = lit.map(|group| group.current_at(-drop)).collect();
        knees.sort_by(f64::total_cmp);
        knees
    }

    /// Point of the most power of all its peaks.
    #[must_use]
    pub fn most(&self) -> Point {
        let mut best = Point::default();
        let mut from = 0.0;
        for to in self.knees() {
            // Between two knees power has one peak.
            let peak = self.peak(from, to);
            if peak.watts() > best.watts() {
                best = peak;
            }
            from = to;
        }
        best
    }

    fn peak(&self, mut low: f64, mut high: f64) -> Point {
        let at = |amperes: f64| Point { volts: self.voltage_at(amperes), amperes };
        let golden = (5_f64.sqrt() - 1.0) / 2.0;
        let (mut left, mut right) = (at(high - golden * (high - low)), at(low + golden * (high - low)));
        for _ in 0..SECTIONS {
            if left.watts() < right.watts() {
                low = left.amperes;
                left = right;
                right = at(low + golden * (high - low));
            } else {
                high = right.amperes;
                right = left;
                left = at(high - golden * (high - low));
            }
        }
        left
    }

    /// Current at a voltage of them all, A; 0 where they do not reach it.
    #[must_use]
    pub fn current_at(&self, volts: f64) -> f64 {
        let (mut low, mut high) = (0.0, self.knees().last().copied().unwrap_or(0.0));
        if self.voltage_at(0.0) <= volts {
            return 0.0;
        }
        while high - low > f64::EPSILON * high {
            let middle = low + (high - low) / 2.0;
            if middle <= low || middle >= high {
                break;
            }
            if self.voltage_at(middle) > volts { low = middle } else { high = middle }
        }
        low
    }
}

/// Input of [`single_diode`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<SingleDiodeIn>)]
pub struct SingleDiodeIn {
    /// Current the light makes.
    pub photocurrent_a: f64,
    /// Saturation current of the diode.
    pub saturation_a: f64,
    /// Series resistance.
    pub series_ohm: f64,
    /// Shunt resistance.
    pub shunt_ohm: f64,
    /// Ideality times cells in series times thermal voltage.
    pub n_ns_vth_v: f64,
}

ranged!(SingleDiodeIn {
    photocurrent_a ["A"] Range::over(0.0, 1e4),
    saturation_a ["A"] Range::of(1e-30, 1.0),
    series_ohm ["ohm"] Range::of(0.0, 1e3),
    shunt_ohm ["ohm"] Range::of(1e-3, 1e12),
    n_ns_vth_v ["V"] Range::of(1e-3, 1e3),
});

/// Output of [`single_diode`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SingleDiodeOut {
    /// Short circuit current.
    pub isc_a: f64,
    /// Open voltage.
    pub voc_v: f64,
    /// Current at the most power.
    pub imp_a: f64,
    /// Voltage at the most power.
    pub vmp_v: f64,
    /// Most power.
    pub pmp_w: f64,
}

/// Ends and best point of a panel's curve.
///
/// | input            | unit | range         | note                                                  |
/// |------------------|------|---------------|-------------------------------------------------------|
/// | `photocurrent_a` | A    | over 0 to 10000 |                                                     |
/// | `saturation_a`   | A    | 1e-30 to 1    |                                                       |
/// | `series_ohm`     | ohm  | 0 to 1000     |                                                       |
/// | `shunt_ohm`      | ohm  | 0.001 to 1e12 |                                                       |
/// | `n_ns_vth_v`     | V    | 0.001 to 1000 | ideality times cells in series times thermal voltage  |
///
/// Gives `isc_a`, `voc_v`, `imp_a`, `vmp_v` and `pmp_w`.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above.
///
/// # Source
/// Single diode equation with series and shunt resistance (physics), solved in the diode's own voltage.
///
/// # Checked against
/// `tests/outside/diode.rs`: an open library, 36 points of invented modules.
pub fn single_diode(input: &SingleDiodeIn) -> Result<SingleDiodeOut, KernelError> {
    input.check()?;
    let diode = Diode {
        photocurrent: input.photocurrent_a,
        saturation: input.saturation_a,
        series: input.series_ohm,
        shunt: input.shunt_ohm,
        thermal: input.n_ns_vth_v,
    };
    let most = diode.most();
    Ok(SingleDiodeOut {
        isc_a: finite("isc_a", diode.short_circuit())?,
        voc_v: finite("voc_v", diode.open())?,
        imp_a: finite("imp_a", most.amperes)?,
        vmp_v: finite("vmp_v", most.volts)?,
        pmp_w: finite("pmp_w", most.watts())?,
    })
}

/// Input of [`partial_shade`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<PartialShadeIn>)]
pub struct PartialShadeIn {
    /// Current the light makes in an unshaded module.
    pub photocurrent_a: f64,
    /// Saturation current of the diode.
    pub saturation_a: f64,
    /// Series resistance of the module.
    pub series_ohm: f64,
    /// Shunt resistance of the module.
    pub shunt_ohm: f64,
    /// Ideality times cells in series times thermal voltage of the module.
    pub n_ns_vth_v: f64,
    /// Light of each bypassed group as a share of full.
    pub light: Vec<f64>,
    /// Voltage that a controller without tracking holds the module at.
    pub battery_v: Option<f64>,
}

ranged!(PartialShadeIn {
    photocurrent_a ["A"] Range::over(0.0, 1e4),
    saturation_a ["A"] Range::of(1e-30, 1.0),
    series_ohm ["ohm"] Range::of(0.0, 1e3),
    shunt_ohm ["ohm"] Range::of(1e-3, 1e12),
    n_ns_vth_v ["V"] Range::of(1e-3, 1e3),
    light [""] Range::of(0.0, 2.0),
    battery_v ["V"] Range::of(0.0, 1e3),
});

/// Output of [`partial_shade`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PartialShadeOut {
    /// Most power of all peaks.
    pub pmp_w: f64,
    /// Current there.
    pub imp_a: f64,
    /// Voltage there.
    pub vmp_v: f64,
    /// Most power as a share of that of the unshaded module.
    pub share: f64,
    /// Power at the battery's voltage, without tracking.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at_battery_w: Option<f64>,
}

/// Power of a module with some of its bypassed groups in shade.
///
/// | input            | unit | range           | note                                                |
/// |------------------|------|-----------------|-----------------------------------------------------|
/// | `photocurrent_a` | A    | over 0 to 10000 | of the unshaded module                              |
/// | `saturation_a`   | A    | 1e-30 to 1      |                                                     |
/// | `series_ohm`     | ohm  | 0 to 1000       | of the whole module                                 |
/// | `shunt_ohm`      | ohm  | 0.001 to 1e12   | of the whole module                                 |
/// | `n_ns_vth_v`     | V    | 0.001 to 1000   | of the whole module                                 |
/// | `light`          | 1    | 0 to 2          | of each group, as a share; 1 to 12 of them          |
/// | `battery_v`      | V    | 0 to 1000       | for the power without tracking                      |
///
/// Gives `pmp_w`, `imp_a`, `vmp_v` of the best of all peaks, `share` of the unshaded power, and `at_battery_w`. A tracking
/// controller may sit on a lesser peak.
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above; `Count` no group or over 12.
///
/// # Source
/// Single diode equation of each group, a bypass diode that conducts at 0.5 V (`data/sun.toml`).
///
/// # Checked against
/// `tests/outside/diode.rs`: an open library's curves scanned.
pub fn partial_shade(input: &PartialShadeIn) -> Result<PartialShadeOut, KernelError> {
    /// Most bypassed groups of a module.
    const GROUPS: usize = 12;
    crate::range::check_count("light", input.light.len(), 1, GROUPS)?;
    input.check()?;
    let whole = Diode {
        photocurrent: input.photocurrent_a,
        saturation: input.saturation_a,
        series: input.series_ohm,
        shunt: input.shunt_ohm,
        thermal: input.n_ns_vth_v,
    };
    let part = whole.part(input.light.len() as f64);
    let lit = |share: &f64| Diode { photocurrent: part.photocurrent * share, shunt: part.shunt / share, ..part };
    let groups = Groups(input.light.iter().map(lit).collect());
    let most = groups.most();
    let at_battery_w = match input.battery_v {
        Some(volts) => Some(finite("at_battery_w", volts * groups.current_at(volts))?),
        None => None,
    };
    Ok(PartialShadeOut {
        pmp_w: finite("pmp_w", most.watts())?,
        imp_a: finite("imp_a", most.amperes)?,
        vmp_v: finite("vmp_v", most.volts)?,
        share: finite("share", most.watts() / whole.most().watts())?,
        at_battery_w,
    })
}
