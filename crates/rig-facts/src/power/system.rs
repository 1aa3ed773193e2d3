//! Panels, batteries and what ties them together, with what is usual where nobody told.

use physics::battery::chemistry::{self, Quantity};
use physics::battery::run::{Store, Taper};
use quantity::{Dimension, Estimate, How};
use rig_model::model::{Chemistry, ControllerKind, Facing, FacingWord, Glazing, Mounted, PanelKind, Rig, Serves, Stands};
use rig_model::{Thing, path};

use super::HOUR_S;
use crate::gap::Gap;
use crate::inputs::Inputs;
use crate::tables::usual;
use crate::told::Told;

/// How warm a panel runs: heat it gives to still air and to wind, W/(m2 K) and W/(m2 K) for each m/s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Airing {
    /// To still air.
    pub u0: f64,
    /// To wind.
    pub u1: f64,
}

/// What a switching controller makes of a panel: the battery's voltage, V, and the panel's current for each W/m2, A, at 25 °C.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Switched {
    /// Voltage it holds the panel at.
    pub volts: f64,
    /// Current of all panels together for each W/m2.
    pub amps_for_light: f64,
}

/// One entry of `[[panel]]`, all its panels together.
#[derive(Clone, Debug)]
pub struct Panel {
    /// Its path.
    pub path: String,
    /// Its name.
    pub name: String,
    /// Power by the label of all of them, W.
    pub watts: Result<Estimate, Gap>,
    /// Tilt from level, rad.
    pub tilt: f64,
    /// The way it faces, clockwise from true north, rad; 0 of a flat one.
    pub azimuth: Result<f64, Gap>,
    /// How it is aired; a narrow gap where nobody told.
    pub airing: Airing,
    /// Whether that was told.
    pub airing_told: bool,
    /// What not knowing how it is aired does to its power: 1 and its doubt.
    pub airing_doubt: Estimate,
    /// Change of power for each K, of its power at 25 °C.
    pub power_change: f64,
    /// Share of the power that is left of dust, wires, age and controller.
    pub kept: f64,
    /// Share of the reflection of plain glass that its glass has.
    pub reflects: f64,
    /// Where its controller only switches.
    pub switched: Option<Switched>,
    /// Number of its controller among `[[controller]]`.
    pub controller: Option<usize>,
    /// Most that its controller gives by its plate, W at the bank; infinite where that is not told.
    pub clips_at: f64,
    /// Numbers of the banks it charges, the first filled first.
    pub banks: Vec<usize>,
}

/// A bank of the house: an entry of `[[battery]]`, or a portable unit.
#[derive(Clone, Debug)]
pub struct Bank {
    /// Its path.
    pub path: String,
    /// Its name.
    pub name: String,
    /// Whether it is a portable unit.
    pub portable: bool,
    /// What it is made of, where that is told.
    pub chemistry: Option<Chemistry>,
    /// Nominal voltage of the bank, V.
    pub volts: Result<Estimate, Gap>,
    /// Energy it holds when full, with its age, Wh.
    pub capacity: Result<Estimate, Gap>,
    /// Charge that is never drawn, as a share.
    pub floor: f64,
    /// The bank as the hourly run sees it; capacity as above. None where that is not known.
    pub store: Option<Store>,
    /// Whether frost keeps it from being charged: lithium cells without a heater, outside of the heated room.
    pub feels_frost: bool,
    /// Its turn in being charged.
    pub order: u32,
    /// What its monitor takes, W.
    pub own_draw: f64,
}

/// Panels and banks.
#[derive(Clone, Debug, Default)]
pub struct System {
    /// In file order.
    pub panels: Vec<Panel>,
    /// In the order in which they are filled.
    pub banks: Vec<Bank>,
    /// Bank and power, W, of each charger that runs from the alternator.
    pub driven: Vec<(usize, f64)>,
}

impl System {
    pub(crate) fn read(rig: &Rig, told: &Told, inputs: &mut Inputs) -> Self {
        let mut banks = read_batteries(rig, told, inputs);
        banks.extend(read_portables(rig, told));
        banks.sort_by_key(|bank| bank.order);
        let panels = (0..rig.panel.len()).filter_map(|index| read_panel(rig, index, told, &banks, inputs)).collect();
        let driven = read_driven(rig, told, &banks);
        Self { panels, banks, driven }
    }

    /// Number of the bank of that name.
    #[must_use]
    pub fn bank(&self, name: &str) -> Option<usize> {
        self.banks.iter().position(|bank| bank.name == name)
    }
}

/// Chargers that run while the engine does.
fn read_driven(rig: &Rig, told: &Told, banks: &[Bank]) -> Vec<(usize, f64)> {
    let from_engine = |one: &&(usize, &rig_model::model::Charger)| one.1.from.as_deref() == Some(ALTERNATOR);
    let of = |(index, one): (usize, &rig_model::model::Charger)| {
        let path = path::of("charger", &one.name, index);
        let bank = match &one.charges {
            Some(name) => banks.iter().position(|bank| bank.name == *name)?,
            None => banks.iter().position(|bank| !bank.portable)?,
        };
        Some((bank, value(told, &path, "current")? * value(told, &path, "voltage")?))
    };
    rig.charger.iter().enumerate().filter(|one| from_engine(&one)).filter_map(of).collect()
}

/// What a charger says it runs from, where that is the engine.
const ALTERNATOR: &str = "alternator";

/// How many pieces an entry speaks of: those of the thing that it adds to, where it adds to one.
pub(crate) fn count(rig: &Rig, thing: &dyn Thing) -> f64 {
    let of = thing.of().and_then(|name| rig.thing(name));
    of.map_or_else(|| thing.count(), |of| of.count()).into()
}

fn value(told: &Told, path: &str, key: &str) -> Option<f64> {
    told.get(&format!("{path}.{key}")).ok().map(Estimate::value)
}

fn estimate(told: &Told, path: &str, key: &str) -> Result<Estimate, Gap> {
    told.get(&format!("{path}.{key}")).cloned()
}

fn times(estimate: Result<Estimate, Gap>, count: f64) -> Result<Estimate, Gap> {
    estimate.map(|estimate| estimate.scale(count))
}

fn read_batteries(rig: &Rig, told: &Told, inputs: &mut Inputs) -> Vec<Bank> {
    let mut banks = Vec::new();
    for (index, battery) in rig.battery.iter().enumerate() {
        if battery.serves == Some(Serves::Starter) {
            continue;
        }
        let path = path::of("battery", &battery.name, index);
        let (series, parallel) = (f64::from(battery.in_series.unwrap_or(1)), f64::from(battery.in_parallel.unwrap_or(1)));
        // Several pieces that are not said to be wired in rows stand side by side.
        let rows = if battery.in_series.is_none() && battery.in_parallel.is_none() { count(rig, battery) } else { parallel };
        let word = battery.chemistry.map(Chemistry::word);
        let of_kind = |what| word.and_then(|word| chemistry::usual(word, what)).map(|usual| usual.middle());
        let volts = times(estimate(told, &path, "voltage"), series);
        let energy = estimate(told, &path, "energy").or_else(|gap| {
            let capacity = estimate(told, &path, "capacity").map_err(|_| gap)?;
            Ok::<_, Gap>(&capacity * &estimate(told, &path, "voltage")?)
        });
        let energy = energy.map_err(|_| Gap::at(format!("{path}.capacity")));
        let left = left_of(told, &path, inputs);
        let capacity = times(energy, series * rows / HOUR_S).map(|energy| &energy * &left);
        let floor = value(told, &path, "floor").or_else(|| of_kind(Quantity::Floor)).unwrap_or(0.0);
        let amps = |key: &str, what| {
            value(told, &path, key)
                .map(|amps| amps * rows)
                .or_else(|| Some(of_kind(what)? * value(told, &path, "capacity")? / HOUR_S * rows))
        };
        let charging =
            volts.as_ref().ok().map(|volts| volts.value() * usual("living/battery", "what", "charging voltage", "number"));
        let store = capacity.as_ref().ok().zip(word).map(|(capacity, word)| {
            let way = of_kind(Quantity::RoundTrip).unwrap_or(1.0).sqrt();
            let lost = of_kind(Quantity::SelfDischarge).map_or(0.0, chemistry::self_discharge_per_h);
            let limit = |key, what| charging.zip(amps(key, what)).map_or(f64::INFINITY, |(volts, amps)| volts * amps);
            let mut store = Store::new(capacity.value(), floor, way, way, limit("max_discharge", Quantity::Discharge), lost);
            store.charge_limit_w = limit("max_charge", Quantity::Charge);
            store.full_from = physics::store_facts::battery().full_share;
            let facts = physics::store_facts::battery();
            let bulk_w = store.charge_limit_w.min(store.power_limit_w);
            let end_w = facts.taper_end * capacity.value();
            store.taper =
                (chemistry::is_lead(word) && bulk_w.is_finite()).then_some(Taper { from: facts.taper_from, bulk_w, end_w });
            store
        });
        let lithium = word.is_some_and(|word| !chemistry::is_lead(word));
        banks.push(Bank {
            name: battery.name.clone(),
            portable: false,
            chemistry: battery.chemistry,
            volts,
            capacity,
            floor,
            store,
            feels_frost: lithium && !told_yes(battery.heated) && battery.stands != Some(Stands::Inside),
            order: battery.order.unwrap_or(u32::MAX),
            own_draw: value(told, &path, "own_draw").unwrap_or(0.0),
            path,
        });
    }
    banks
}

fn told_yes(word: Option<rig_model::model::YesNo>) -> bool {
    word == Some(rig_model::model::YesNo::Yes)
}

/// Share of the label's capacity that is left: as told, else anything between new and worn out.
fn left_of(told: &Told, path: &str, inputs: &mut Inputs) -> Estimate {
    estimate(told, path, "left").unwrap_or_else(|_| {
        let end = |key: &str| usual("living/battery", "what", key, "number");
        let (low, high) = (end("left, low"), end("left, high"));
        let sd = (high - low) / 2.0 / f64::sqrt(3.0);
        inputs.add(format!("{path}.left"), (low + high) / 2.0, sd, How::Unsaid, Dimension::Ratio, true)
    })
}

fn read_portables(rig: &Rig, told: &Told) -> Vec<Bank> {
    let number = |what: &str| usual("living/portable", "what", what, "number");
    let entry = |(index, unit): (usize, &rig_model::model::Portable)| {
        let path = path::of("portable", &unit.name, index);
        let capacity = times(estimate(told, &path, "energy"), count(rig, unit) / HOUR_S);
        let store = capacity.as_ref().ok().map(|capacity| {
            let wh = capacity.value();
            let most = value(told, &path, "continuous").map_or(f64::INFINITY, |w| w / number("way out"));
            let mut store = Store::new(wh, 0.0, number("way in"), number("way out"), most, 0.0);
            store.charge_limit_w = value(told, &path, "solar_power").unwrap_or(wh * number("charging, capacities an hour"));
            store.full_from = physics::store_facts::battery().full_share;
            store
        });
        Bank {
            name: unit.name.clone(),
            portable: true,
            chemistry: None,
            volts: estimate(told, &path, "voltage"),
            capacity,
            floor: 0.0,
            store,
            feels_frost: false,
            order: u32::MAX,
            own_draw: value(told, &path, "idle").unwrap_or(0.0),
            path,
        }
    };
    rig.portable.iter().enumerate().map(entry).collect()
}

fn read_panel(rig: &Rig, index: usize, told: &Told, banks: &[Bank], inputs: &mut Inputs) -> Option<Panel> {
    let panel = rig.panel.get(index)?;
    let path = path::of("panel", &panel.name, index);
    let count = count(rig, panel);
    let flat = usual("living/panel", "what", "tilt that counts as flat, deg", "number").to_radians();
    let tilt = value(told, &path, "tilt").unwrap_or(0.0);
    let azimuth = if tilt <= flat { Ok(0.0) } else { azimuth(panel.faces.as_ref(), told, &path) };
    let (airing, airing_told) = airing(panel.mounted, value(told, &path, "gap"));
    let airing_doubt = if airing_told {
        Estimate::exact(1.0)
    } else {
        let sd = usual("living/panel", "what", "doubt of an untold mounting", "number") / quantity::Z95;
        inputs.add(format!("{path}.mounted"), 1.0, sd, How::Unsaid, Dimension::Ratio, false)
    };
    let controller = panel.controller.as_ref().and_then(|name| rig.controller.iter().position(|one| one.name == *name));
    let controller = controller.or_else(|| (panel.controller.is_none() && rig.controller.len() == 1).then_some(0));
    let charges = charged_by(rig, panel.controller.as_deref(), controller, banks);
    let flexible = panel.kind == Some(PanelKind::Flexible);
    let loss = |what: &str| usual("living/panel-loss", "what", what, "share");
    let practice = |what: &str| usual("living/panel-loss-usual", "what", what, "share");
    let label = if flexible { practice("label of a flexible panel") } else { loss("label of a glass panel") };
    let age = panel.age.unwrap_or(0.0) * practice("year of age");
    let control = controller
        .and_then(|at| Some(path::of("controller", &rig.controller.get(at)?.name, at)))
        .and_then(|path| value(told, &path, "efficiency"))
        .map_or_else(|| practice("controller"), |efficiency| 1.0 - efficiency);
    let switching = controller.and_then(|at| rig.controller.get(at)).is_some_and(|one| one.kind == Some(ControllerKind::Pwm));
    let losses =
        [loss("mismatch"), loss("wires"), loss("connections"), loss("first light"), practice("dust"), label, age, control];
    let first = charges.first().and_then(|bank| banks.get(*bank)?.volts.as_ref().ok());
    let volts = first.map(|volts| volts.value() * usual("living/battery", "what", "charging voltage", "number"));
    let strings = count / f64::from(panel.in_series.unwrap_or(1));
    let amps = value(told, &path, "isc").or_else(|| value(told, &path, "imp"));
    let switched = volts
        .zip(amps)
        .filter(|_| switching)
        .map(|(volts, amps)| Switched { volts, amps_for_light: amps * strings / physics::sun_facts::panel().rated_irradiance });
    Some(Panel {
        name: panel.name.clone(),
        watts: times(estimate(told, &path, "rated"), count),
        tilt,
        azimuth,
        airing,
        airing_told,
        airing_doubt,
        power_change: value(told, &path, "power_change")
            .unwrap_or_else(|| usual("living/panel", "what", "power change", "number")),
        kept: losses.iter().map(|loss| 1.0 - loss).product(),
        reflects: if panel.glass == Some(Glazing::AntiReflective) { practice("anti-reflective glass keeps") } else { 1.0 },
        switched,
        controller,
        clips_at: clips_at(rig, panel.controller.as_deref(), controller, volts, told),
        banks: charges,
        path,
    })
}

/// The way a tilted panel faces, clockwise from true north.
fn azimuth(faces: Option<&Facing>, told: &Told, path: &str) -> Result<f64, Gap> {
    let heading = told.get("site.heading")?.value();
    let quarter = std::f64::consts::FRAC_PI_2;
    let turned = match faces {
        None => return Err(Gap::at(format!("{path}.faces"))),
        Some(Facing::Word(FacingWord::Forward)) => 0.0,
        Some(Facing::Word(FacingWord::Right)) => quarter,
        Some(Facing::Word(FacingWord::Rearward)) => 2.0 * quarter,
        Some(Facing::Word(FacingWord::Left)) => -quarter,
        Some(Facing::Angle(_)) => told.get(&format!("{path}.faces"))?.value(),
    };
    Ok((heading + turned).rem_euclid(std::f64::consts::TAU))
}

/// How a panel is aired, and whether that was told. Between the two gaps of the table on a straight line.
#[must_use]
pub fn airing(mounted: Option<Mounted>, gap: Option<f64>) -> (Airing, bool) {
    let number = |table: &str, key: &str, want: &str| {
        physics::sun_facts::table(table).and_then(|table| table.number("mounting", key, want)).unwrap_or(f64::NAN)
    };
    let of = |key| Airing { u0: number("panel/mounting", key, "u0"), u1: number("panel/mounting", key, "u1") };
    match mounted {
        Some(Mounted::Open) => (of("open"), true),
        Some(Mounted::Bonded) => (of("bonded"), true),
        Some(Mounted::Gap) | None => {
            let mm =
                gap.map_or_else(|| usual("living/panel", "what", "gap of a panel that nobody told, mm", "number"), |m| m * 1e3);
            let end =
                |want: &str| (number("panel/mounting-gap", "narrow gap", want), number("panel/mounting-gap", "wide gap", want));
            let (from, to) = end("gap");
            let share = ((mm - from) / (to - from)).clamp(0.0, 1.0);
            let on = |(narrow, wide): (f64, f64)| narrow + share * (wide - narrow);
            (Airing { u0: on(end("u0")), u1: on(end("u1")) }, gap.is_some())
        }
    }
}

/// Most that a controller, or a portable unit's solar socket, takes on, W.
fn clips_at(rig: &Rig, named: Option<&str>, controller: Option<usize>, volts: Option<f64>, told: &Told) -> f64 {
    let unit = named.and_then(|name| rig.portable.iter().position(|unit| unit.name == name));
    if let Some((at, unit)) = unit.and_then(|at| Some((at, rig.portable.get(at)?))) {
        let path = path::of("portable", &unit.name, at);
        return value(told, &path, "solar_power").unwrap_or(f64::INFINITY);
    }
    let path = controller.and_then(|at| Some(path::of("controller", &rig.controller.get(at)?.name, at)));
    let amps = path.and_then(|path| value(told, &path, "max_current"));
    volts.zip(amps).map_or(f64::INFINITY, |(volts, amps)| volts * amps)
}

/// The banks that a panel's controller charges, in order: those it names, else all of the house.
fn charged_by(rig: &Rig, named: Option<&str>, controller: Option<usize>, banks: &[Bank]) -> Vec<usize> {
    let of = |name: &str| banks.iter().position(|bank| bank.name == name);
    if let Some(unit) = named.filter(|name| rig.portable.iter().any(|unit| unit.name == **name)) {
        return of(unit).into_iter().collect();
    }
    let charges = controller.and_then(|at| rig.controller.get(at)).map_or(&[][..], |one| &one.charges);
    if charges.is_empty() {
        return (0..banks.len()).filter(|at| banks.get(*at).is_some_and(|bank| !bank.portable)).collect();
    }
    charges.iter().filter_map(|name| of(name)).collect()
}
