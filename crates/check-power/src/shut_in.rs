//! The air in a locker: what warms it, and how warm it gets.

use check::remedy::{Effort, Proposal};
use check::working::{figure, number};
use check::{Context, edits};
use physics::{locker, store_facts};
use quantity::{Dimension, Estimate, How};
use rig_facts::power::KELVIN;
use rig_facts::tables::usual;
use rig_facts::{Gap, tables};
use rig_model::model::{Bus, ChargerKind, Load, Locker};
use rig_model::path;

use crate::mains;
use crate::unsaid::supply;

/// A locker and what it holds.
#[derive(Debug)]
pub struct ShutIn<'c> {
    /// Its path.
    pub path: String,
    /// Its entry.
    pub entry: &'c Locker,
}

/// What a thing gives off, W, and how that comes about.
#[derive(Debug)]
pub struct Warms {
    /// Its name.
    pub name: String,
    /// Heat, W.
    pub heat: Estimate,
    /// The line that works it out.
    pub line: String,
}

/// All lockers.
#[must_use]
pub fn lockers(cx: &Context) -> Vec<ShutIn<'_>> {
    let all = cx.rig().locker.iter().enumerate();
    all.map(|(index, entry)| ShutIn { path: path::of("locker", &entry.name, index), entry }).collect()
}

/// The locker that a thing is shut into.
#[must_use]
pub fn of<'c>(cx: &'c Context, name: &str) -> Option<ShutIn<'c>> {
    lockers(cx).into_iter().find(|locker| locker.entry.holds.iter().any(|held| held == name))
}

impl ShutIn<'_> {
    fn told<'c>(&self, cx: &'c Context, key: &str) -> Result<&'c Estimate, Gap> {
        cx.facts().power().told(&format!("{}.{key}", self.path))
    }

    /// Everything in it that gets warm, all of it running.
    ///
    /// # Errors
    /// The gap of the first thing whose loss cannot be told.
    pub fn warms(&self, cx: &Context) -> Result<Vec<Warms>, Gap> {
        let all = self.entry.holds.iter().filter_map(|name| heat_of(cx, name).transpose());
        all.collect()
    }

    /// Free area that air passes, m2 of each of two equal openings that let as much through; none where a vent is not told.
    ///
    /// # Errors
    /// The gap at a vent.
    pub fn opening(&self, cx: &Context) -> Result<Estimate, Gap> {
        let (low, high) = (self.told(cx, "vent_low")?, self.told(cx, "vent_high")?);
        Estimate::propagate(&[low, high], |at| match at {
            [low, high] if *low > 0.0 && *high > 0.0 => {
                Ok::<_, Gap>(2.0_f64.sqrt() * low * high / (low * low + high * high).sqrt())
            }
            _ => Ok(0.0),
        })
    }

    /// Heat that its walls pass, W/K.
    ///
    /// # Errors
    /// The gap at their area.
    pub fn walls(&self, cx: &Context) -> Result<Estimate, Gap> {
        let area = self.told(cx, "area")?;
        Ok(match self.told(cx, "u") {
            Ok(u) => area * u,
            Err(_) => area.scale(supply("heat through thin boards, W/m2K")),
        })
    }

    /// Air in it, K, at so much heat (W) and an opening (m2).
    ///
    /// # Errors
    /// The gap at its room, its walls, or the height between its vents.
    pub fn air(&self, cx: &Context, heat: &Estimate, opening: &Estimate) -> Result<Estimate, Gap> {
        let (room, walls) = (self.told(cx, "room")?, self.walls(cx)?);
        let shut = Estimate::exact(0.0);
        let height = if opening.value() > 0.0 { self.told(cx, "vent_height")? } else { &shut };
        Estimate::propagate(&[room, heat, &walls, opening, height], |at| match at {
            [room, heat, walls, opening, height] => {
                let lift = locker::lift(*opening, height.max(0.0), room - KELVIN);
                Ok::<_, Gap>(room + locker::rise(*heat, *walls, lift))
            }
            _ => Ok(f64::NAN),
        })
    }

    /// The working of [`ShutIn::air`]: walls and air carry off the heat at the rise found.
    #[must_use]
    pub fn lines(&self, cx: &Context, warms: &[Warms], opening: &Estimate, air: &Estimate) -> Vec<String> {
        let mut lines: Vec<String> = warms.iter().map(|one| one.line.clone()).collect();
        let (Ok(room), Ok(walls)) = (self.told(cx, "room"), self.walls(cx)) else { return lines };
        let (rise, walls) = (figure(air.value() - room.value(), 2), figure(walls.value(), 3));
        if let Ok(area) = self.told(cx, "area") {
            let area = figure(area.value(), 3);
            let u = figure(walls.get() / area.get(), 3);
            lines.push(format!("walls: {area} m2 x {u} W/m2K = {} W/K", number(area.get() * u.get(), 2)));
        }
        let out = figure(rise.get() * walls.get(), 1);
        lines.push(format!("walls: {walls} W/K x {rise} K = {out} W"));
        let height = self.told(cx, "vent_height").map_or(0.0, Estimate::value);
        if opening.value() > 0.0 {
            let lift = figure(locker::lift(opening.value(), height, room.value() - KELVIN), 3);
            let flow = figure(lift.get() * rise.get().sqrt(), 2);
            lines.push(format!("air: {lift} m3/h x root({rise} K) = {flow} m3/h"));
            let heat = store_facts::heat().air_heat;
            lines.push(format!("air: {heat} Wh/m3K x {flow} m3/h x {rise} K = {} W", number(heat * flow.get() * rise.get(), 1)));
        }
        let room = figure(room.value() - KELVIN, 1);
        lines.push(format!("{room} °C + {rise} K = {} °C", number(room.get() + rise.get(), 1)));
        lines
    }
}

/// Vents are cut to so much, m2. A choice of this project.
const VENT_STEP: f64 = 0.0025;
/// A cm2 in m2: what words tell.
const CM2: f64 = 1e-4;

impl ShutIn<'_> {
    /// Larger vents, such that the air (K) is what `does` wants even where they come out a little small.
    #[must_use]
    pub fn vents(&self, cx: &Context, heat: &Estimate, does: impl Fn(&Estimate) -> bool) -> Option<Proposal> {
        let largest = supply("largest vent cut into a locker, m2");
        let now = self.opening(cx).map_or(0.0, |opening| opening.value());
        let steps = (1..).map(|step| f64::from(step) * VENT_STEP).take_while(|area| *area <= largest + f64::EPSILON);
        let area = steps.filter(|area| *area > now).find(|area| {
            let small = area - tables::tolerance("held/area-tolerance", How::Unsaid, *area);
            self.air(cx, heat, &Estimate::exact(small)).is_ok_and(|air| does(&air))
        })?;
        let edit = |key: &str| {
            let was = self.told(cx, key).ok().map(Estimate::value);
            edits::set(format!("{}.{key}", self.path), was, area, Dimension::Area)
        };
        let words = edits::to_step(cx, area, Dimension::Area, CM2);
        let text = format!("two vents of {words} each in \"{}\", one low, one high", self.entry.name);
        Some(Proposal { text, effort: Effort::AnAfternoon, edits: vec![edit("vent_low"), edit("vent_high")] })
    }
}

/// Heat of the thing of that name; none of one that does not get warm to speak of.
fn heat_of(cx: &Context, name: &str) -> Result<Option<Warms>, Gap> {
    let rig = cx.rig();
    if let Some(source) = mains::source_named(cx, name) {
        return of_source(cx, &source).map(Some);
    }
    if let Some(index) = rig.charger.iter().position(|one| one.name == name) {
        let facts = store_facts::supply();
        let kind = rig.charger.get(index).and_then(|one| one.kind);
        let usual = if kind == Some(ChargerKind::DcDc) { facts.dc_dc_efficiency } else { facts.charger_efficiency };
        let direct = kind == Some(ChargerKind::Direct);
        return if direct { Ok(None) } else { of_converter(cx, name, &path::of("charger", name, index), usual).map(Some) };
    }
    if let Some(index) = rig.converter.iter().position(|one| one.name == name) {
        let usual = store_facts::supply().converter_efficiency;
        return of_converter(cx, name, &path::of("converter", name, index), usual).map(Some);
    }
    if let Some(index) = rig.controller.iter().position(|one| one.name == name) {
        return of_controller(cx, name, index).map(Some);
    }
    if let Some((index, load)) = rig.load.iter().enumerate().find(|(_, one)| one.name == name) {
        return of_load(cx, load, &path::of("load", name, index)).map(Some);
    }
    Ok(None)
}

fn of_source(cx: &Context, source: &mains::Source<'_>) -> Result<Warms, Gap> {
    let (gives, _) = source.most_watts(cx)?;
    let name = source.name.to_owned();
    if source.portable {
        let way = usual("living/portable", "what", "way out", "number");
        let heat = gives.scale(1.0 / way - 1.0);
        let gives = figure(gives.value(), 1);
        let line = format!("{name}: {gives} W / {way} - {gives} W = {} W", number(gives.get() / way - gives.get(), 1));
        return Ok(Warms { name, heat, line });
    }
    let takes = mains::from_battery(cx, &source.path, &gives);
    let heat = &takes - &gives;
    let (takes_figure, gives_figure) = (figure(takes.value(), 1), figure(gives.value(), 1));
    let left = number(takes_figure.get() - gives_figure.get(), 1);
    let line = format!("{name}: takes {takes_figure} W, gives {gives_figure} W: {takes_figure} W - {gives_figure} W = {left} W");
    Ok(Warms { name, heat, line })
}

/// A charger or a converter at its rating.
fn of_converter(cx: &Context, name: &str, path: &str, usual: f64) -> Result<Warms, Gap> {
    let told = |key: &str| cx.facts().power().told(&format!("{path}.{key}"));
    let (amps, volts) = (told("current")?, told("voltage")?);
    let efficiency = told("efficiency").cloned().unwrap_or_else(|_| Estimate::exact(usual));
    let gives = amps * volts;
    let heat = &(&gives / &efficiency) - &gives;
    let (watt, share) = (figure(gives.value(), 1), figure(efficiency.value(), 3));
    let line = format!("{name}: {watt} W / {share} - {watt} W = {} W", number(watt.get() / share.get() - watt.get(), 1));
    Ok(Warms { name: name.to_owned(), heat, line })
}

/// A controller in full sun.
fn of_controller(cx: &Context, name: &str, index: usize) -> Result<Warms, Gap> {
    let panels = cx.facts().power().panels().iter().filter(|panel| panel.controller == Some(index));
    let watts = panels.map(|panel| panel.watts.clone()).collect::<Result<Vec<_>, _>>()?;
    let sun = Estimate::sum(watts.iter());
    let told = cx.facts().power().told(&format!("{}.efficiency", path::of("controller", name, index)));
    let lost = told.map_or_else(
        |_| Estimate::exact(usual("living/panel-loss-usual", "what", "controller", "share")),
        |efficiency| efficiency.scale(-1.0).offset(1.0),
    );
    let (watt, share) = (figure(sun.value(), 1), figure(lost.value(), 4));
    let line = format!("{name}: {watt} W x {share} = {} W", number(watt.get() * share.get(), 1));
    Ok(Warms { name: name.to_owned(), heat: &sun * &lost, line })
}

/// A load: all that it takes becomes heat, for the share of the time that it runs.
fn of_load(cx: &Context, load: &Load, path: &str) -> Result<Warms, Gap> {
    let told = |key: &str| cx.facts().power().told(&format!("{path}.{key}"));
    let power = match (load.current.is_some(), load.on.map(bus_volts)) {
        (true, Some(Some(volts))) => told("current")?.scale(volts),
        (true, _) => return Err(Gap::at(format!("{path}.power"))),
        _ => told("power")?.clone(),
    };
    let count = f64::from(load.count.unwrap_or(1));
    let duty = match told("duty") {
        Ok(duty) => duty.clone(),
        Err(_) => Estimate::exact(usual_duty(load)),
    };
    let (watt, share) = (figure(power.value(), 1), figure(duty.value(), 3));
    let line = format!("{}: {count} x {watt} W x {share} = {} W", load.name, number(count * watt.get() * share.get(), 1));
    Ok(Warms { name: load.name.clone(), heat: (&power * &duty).scale(count), line })
}

fn usual_duty(load: &Load) -> f64 {
    let found = rig_facts::tables::number("living/fridge", "kind", mains::kind(load).word(), "share");
    found.unwrap_or(1.0)
}

/// Nominal voltage of a bus; none of mains.
#[must_use]
pub fn bus_volts(bus: Bus) -> Option<f64> {
    let (volts, unit) = bus.word().split_once(' ')?;
    (unit == "V").then(|| volts.parse().ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::test_rig::context;

    const LOCKER: &str = r#"
        [[inverter]]
        name = "i"
        [[load]]
        name = "kettle"
        on = "ac"
        power = "1000 W"
        power_factor = 1
        [[locker]]
        name = "bench"
        holds = ["i"]
        area = "1.2 m2"
        u = "3 W/m2K"
        vent_low = "50 cm2"
        vent_high = "50 cm2"
        vent_height = "0.4 m"
        room = "20 °C"
    "#;

    /// 3.5 of the power reference: 65 W in 1.2 m2 of U 3: shut 18 K above the room; two openings of 50 cm2, 0.4 m apart: 13 K.
    /// Computed outside this project.
    #[test]
    fn an_inverter_in_a_locker_by_the_reference() {
        let cx = context(LOCKER);
        let locker = of(&cx, "i").expect("it is in one");
        let warms = locker.warms(&cx).expect("all told");
        let heat = Estimate::sum(warms.iter().map(|one| &one.heat));
        let rise = |opening: &Estimate| locker.air(&cx, &heat, opening).expect("all told").value() - 20.0 - KELVIN;
        assert!((rise(&Estimate::exact(0.0)) - 18.06).abs() < 0.01);
        assert!((rise(&locker.opening(&cx).expect("told")) - 13.0).abs() < 0.5);
    }

    #[test]
    fn buses_have_their_voltage() {
        assert_eq!((bus_volts(Bus::V24), bus_volts(Bus::Ac)), (Some(24.0), None));
    }
}
