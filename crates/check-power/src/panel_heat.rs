//! power/panel-heat: does a panel cook on the roof?
//!
//! demand      temperature of its cells that is exceeded in two of a hundred hours of the year, nights included (T98), degC
//! capacity    what its level of IEC TS 63126 is tested for: 70 degC where the label names none, 80 at level 1, 90 at level 2
//! states      once for each panel entry
//! leaves out  the hottest single hour, and what heat does to glue, cable and roof

use std::borrow::Cow;
use std::cell::OnceCell;
use std::sync::Arc;

use check::edits::set;
use check::remedy::{Effort, Proposal};
use check::subject::each_or_missing;
use check::working::{figure, number};
use check::{Card, Check, Consequence, Context, Draft, Finding, Held, List, Scope, Verdict, Words};
use physics::cell::{Mounting, faiman};
use physics::pv_year::Ready;
use physics::sun_facts;
use quantity::{Dimension, Estimate};
use rig_facts::Gap;
use rig_facts::power::{KELVIN, Lit, Site0, planes, system};
use rig_model::model::{Mounted, Panel};
use rig_model::{Edit, EditOp, Free, Thing};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("power/panel-heat"),
    question: Cow::Borrowed("Does the panel cook on the roof?"),
    words: Words::new("reaches", "is tested for"),
    consequence: Consequence::Damage,
    scope: Scope::Once,
    needs: List::Static(&["site.latitude"]),
    uses: List::Static(&[
        "panel.mounted",
        "panel.name",
        "panel.gap",
        "panel.tilt",
        "panel.faces",
        "panel.heat_level",
        "panel.glass",
        "site",
    ]),
    limits: List::Static(&[]),
    formula: List::Static(&[
        "cells = air + light / (u0 + u1 x wind at the panel), hour by hour",
        "T98 = the temperature that 98 of 100 hours of the year stay below, nights included",
        "u0 and u1 from the mounting: 15 and 0 glued down, 18 and 1 over a gap of 10 mm, 21.5 and 4 over 50 mm, 25 and 6.84 in the open",
    ]),
    cautions: List::Static(&[
        "a hot panel burns the hand, and is live: cover it before anyone works under it",
        "a raised panel is lifted by the wind: mount/roof-item asks whether its fixings hold",
    ]),
};

/// Does the panel cook on the roof?
#[derive(Debug)]
pub struct PanelHeat;

/// Years that are looked at of those drawn: the temperature of two hours in a hundred hardly differs from one to the next.
/// A choice of this project.
const YEARS: usize = 3;
/// The share of hours below, by IEC TS 63126.
const SHARE: f64 = 0.98;
/// Hours this near to it, K, stand for it where the mounting is moved a little. A choice of this project.
const NEAR: f64 = 0.5;
/// Gaps are made in steps of 5 mm, 100 mm at most. A choice of this project.
const GAP_STEP: f64 = 0.005;
/// See [`GAP_STEP`].
const GAP_STEPS: u32 = 20;

impl Check for PanelHeat {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let findings = cx.rig().panel.iter().enumerate().map(|(index, panel)| answer(cx, index, panel));
        each_or_missing(cx, &CARD, "panels", "panel", findings)
    }
}

/// Light, air and wind of the hours of a panel.
struct Hours<'c> {
    cx: &'c Context,
    panel: &'c rig_facts::power::Panel,
    site: &'c Site0,
    lit: &'c Lit,
    /// Worked out when first asked for: what was found of a mounting is kept.
    hours: OnceCell<Vec<[f64; 3]>>,
    wind_factor: f64,
}

impl<'c> Hours<'c> {
    fn of(cx: &'c Context, index: usize) -> Result<Self, Gap> {
        let power = cx.facts().power();
        let site = power.site()?;
        let lit = match power.file_year() {
            Some(lit) => lit,
            None => power.drawn()?,
        };
        let panel = power.panels().get(index).ok_or_else(|| Gap::at("panel"))?;
        let plane = planes::plane(panel, site, planes::horizon(site.horizon.as_ref()))?;
        Ready::new(&plane).map_err(|_| Gap::at(format!("{}.tilt", panel.path)))?;
        Ok(Self { cx, panel, site, lit, hours: OnceCell::new(), wind_factor: plane.wind_factor })
    }

    fn hours(&self) -> &[[f64; 3]] {
        self.hours.get_or_init(|| {
            let mut hours = Vec::new();
            let plane = planes::plane(self.panel, self.site, planes::horizon(self.site.horizon.as_ref()));
            let Some(ready) = plane.ok().as_ref().and_then(|plane| Ready::new(plane).ok()) else { return hours };
            for year in self.lit.years.iter().take(YEARS) {
                let first = hours.len();
                hours.extend(year.air_c.iter().zip(&year.wind_m_s).map(|(air, wind)| [0.0, *air, *wind]));
                planes::for_each_light(self.lit, year, |hour, sun, above, [ghi, dni, dhi], air, wind| {
                    let light = ready.light(sun, above, ghi, dni, dhi).total();
                    if let Some(of) = hours.get_mut(first + hour) {
                        *of = [light, air, wind];
                    }
                });
            }
            hours
        })
    }

    fn cell(&self, [light, air, wind]: [f64; 3], mounting: Mounting) -> f64 {
        faiman(light, air, self.wind_factor * wind, mounting)
    }

    /// T98 of a mounting, degrees Celsius, with the hours that are about as hot.
    fn t98(&self, mounting: Mounting) -> T98<'_> {
        let Ok(plane) = planes::plane(self.panel, self.site, planes::horizon(self.site.horizon.as_ref())) else {
            return T98 { hours: self, mounting, kept: Arc::default() };
        };
        let key = format!("t98 {plane:?} {mounting:?}");
        let kept = self.cx.facts().power().kept(&key, || Hottest::of(self.hours(), |hour| self.cell(hour, mounting)));
        T98 { hours: self, mounting, kept }
    }
}

/// The temperature that two hours in a hundred pass, deg C, and the hours that stand for it.
#[derive(Debug)]
struct Hottest {
    value: f64,
    near: Vec<[f64; 3]>,
}

impl Hottest {
    fn of(hours: &[[f64; 3]], cell: impl Fn([f64; 3]) -> f64) -> Self {
        let mut cells: Vec<f64> = hours.iter().map(|hour| cell(*hour)).collect();
        let at = ((cells.len() as f64 * SHARE) as usize).min(cells.len().saturating_sub(1));
        let value = if cells.is_empty() { f64::NAN } else { *cells.select_nth_unstable_by(at, f64::total_cmp).1 };
        let near = hours.iter().filter(|hour| (cell(**hour) - value).abs() < NEAR).copied().collect();
        Self { value, near }
    }
}

impl Default for Hottest {
    fn default() -> Self {
        Self { value: f64::NAN, near: Vec::new() }
    }
}

/// T98 of one mounting.
struct T98<'h> {
    hours: &'h Hours<'h>,
    mounting: Mounting,
    kept: Arc<Hottest>,
}

impl T98<'_> {
    /// Mean of one column of the hours that stand for it.
    fn mean(&self, of: impl Fn([f64; 3]) -> f64) -> f64 {
        self.kept.near.iter().map(|hour| of(*hour)).sum::<f64>() / self.kept.near.len().max(1) as f64
    }

    /// With the doubt of light and gap, K. `mounting` makes the heat loss of a gap (m).
    fn estimate(&self, gap: Option<&Estimate>, mounting: impl Fn(f64) -> Mounting) -> Estimate {
        let rise = |mounting: Mounting| self.mean(|hour| self.hours.cell(hour, mounting) - hour[1]);
        let now = rise(self.mounting);
        let exact = Estimate::exact(0.0);
        let moved = Estimate::propagate(&[&self.hours.site.model, gap.unwrap_or(&exact)], |at| match at {
            [light, metres] if gap.is_some() => Ok::<_, Gap>(light * rise(mounting(*metres)) - now),
            [light, _] => Ok(light * now - now),
            _ => Ok(0.0),
        });
        moved.unwrap_or(exact).offset(self.kept.value + KELVIN)
    }
}

fn as_mounting(airing: system::Airing) -> Mounting {
    Mounting { u0: airing.u0, u1: airing.u1 }
}

fn aired(mounted: Mounted, gap: Option<f64>) -> Mounting {
    as_mounting(system::airing(Some(mounted), gap).0)
}

/// Mountings to try: the worst first; what it would be called; the input that would tell.
fn mountings(panel: &Panel, gap: Option<f64>) -> (Vec<(Mounting, &'static str)>, Option<&'static str>) {
    // Ends of the table of gaps and beyond.
    let (narrow, wide) = (aired(Mounted::Gap, Some(0.0)), aired(Mounted::Gap, Some(f64::MAX)));
    match (panel.mounted, gap) {
        (Some(Mounted::Gap), None) => (vec![(narrow, "even over a narrow gap"), (wide, "even over a wide gap")], Some("gap")),
        (Some(mounted), gap) => (vec![(aired(mounted, gap), "")], None),
        (None, Some(gap)) => (vec![(aired(Mounted::Gap, Some(gap)), "")], None),
        (None, None) => (
            vec![(aired(Mounted::Bonded, None), "even glued down"), (aired(Mounted::Open, None), "even with air all round")],
            Some("mounted"),
        ),
    }
}

fn answer(cx: &Context, index: usize, panel: &Panel) -> Finding {
    let path = panel.path();
    let begin = || -> Draft<'_> { CARD.about(cx, &panel.name).at(&path) };
    let hours = match Hours::of(cx, index) {
        Ok(hours) => hours,
        Err(gap) => return begin().blocked(&gap),
    };
    let gap =
        cx.facts().power().told(&format!("{path}.gap")).ok().filter(|_| panel.mounted.is_none_or(|how| how == Mounted::Gap));
    let (mountings, open) = mountings(panel, gap.map(Estimate::value));
    let held = [tested_for(panel)];
    let estimate = |t98: &T98<'_>| t98.estimate(gap, |metres| aired(Mounted::Gap, Some(metres)));
    let (mut answered, mut chosen) = (None, 0);
    for (at, (mounting, _)) in mountings.iter().enumerate() {
        let t98 = hours.t98(*mounting);
        let draft = begin().compare(&estimate(&t98), &held);
        // The worst that holds, or the best that does not.
        let settled = match draft.verdict() {
            Verdict::Pass => at == 0,
            Verdict::Fail => at + 1 == mountings.len(),
            _ => mountings.len() == 1,
        };
        if settled {
            (answered, chosen) = (Some((draft, t98)), at);
            break;
        }
    }
    let (Some((draft, t98)), (_, even)) = (answered, mountings.get(chosen).copied().unwrap_or((aired(Mounted::Open, None), "")))
    else {
        return begin().missing(format!("{path}.{}", open.unwrap_or("mounted")));
    };
    let level = match panel.heat_level {
        Some(level) if level > 0 => format!("level {level} of IEC TS 63126"),
        _ => "no level on its label".to_owned(),
    };
    let even = if even.is_empty() { String::new() } else { format!(", {even}") };
    draft
        .sentence(format!("two hours in a hundred are hotter; {level}{even}"))
        .working(|| working(&t98))
        .remedies(|_| raise(panel, &hours, &held).into_iter().collect())
        .done()
}

/// The temperature that its level is tested for.
fn tested_for(panel: &Panel) -> Held {
    let table = sun_facts::table("panel/heat-level");
    let level = panel.heat_level.unwrap_or(0).to_string();
    let degrees = table.and_then(|table| table.number("level", &level, "temperature")).unwrap_or(f64::NAN);
    let basis = table.map_or_else(basis::Basis::common_practice, |table| table.basis.clone());
    Held::at_most("temperature its level is tested for", Estimate::exact(degrees + KELVIN), Dimension::Temperature, basis)
}

fn working(t98: &T98<'_>) -> Vec<String> {
    let air = figure(t98.mean(|hour| hour[1]), 1);
    let wind = figure(t98.mean(|hour| hour[2]) * t98.hours.wind_factor, 2);
    let Mounting { u0, u1 } = t98.mounting;
    let loss = figure(u0 + u1 * wind.get(), 2);
    // Light of one hour that stands for the hours about as hot.
    let light = figure((t98.kept.value - air.get()) * loss.get(), 0);
    let cells = number(air.get() + light.get() / loss.get(), 1);
    vec![
        format!("it loses {} + {} x {wind} m/s = {loss} W/m2K", number(u0, 2), number(u1, 2)),
        format!("in an hour as hot as that: {air} degC + {light} W/m2 / {loss} = {cells} degC"),
    ]
}

/// The smallest gap under which it stays cool enough; else air all round.
fn raise(panel: &Panel, hours: &Hours<'_>, held: &[Held]) -> Option<Proposal> {
    let most = held.first().map(|held| held.upper().value())?;
    let stays = |mounting: Mounting| hours.t98(mounting).estimate(None, |_| mounting).interval95().1 <= most;
    let now = panel.gap.as_ref().and_then(quantity::Stated::value);
    let gaps = (1..=GAP_STEPS).map(|step| f64::from(step) * GAP_STEP).filter(|gap| now.is_none_or(|now| *gap > now));
    let path = panel.path();
    let word = |mounted: Mounted| Some(Free::Text(mounted.word().to_owned()));
    let mounted =
        |to: Mounted| Edit { path: format!("{path}.mounted"), op: EditOp::Set, from: panel.mounted.and_then(word), to: word(to) };
    // A step more than the least: its own rule is not exact.
    let narrow = sun_facts::table("panel/mounting-gap").and_then(|table| table.number("mounting", "narrow gap", "gap"))? * MM;
    let gaps = gaps.filter(|gap| gap - GAP_STEP >= narrow - MM);
    let enough = gaps.map(|gap| (gap, aired(Mounted::Gap, Some(gap - GAP_STEP)))).find(|(_, mounting)| stays(*mounting));
    let (text, edits) = match enough {
        Some((gap, _)) => {
            let mut edits = vec![set(format!("{path}.gap"), now, gap, Dimension::Length)];
            if panel.mounted != Some(Mounted::Gap) {
                edits.insert(0, mounted(Mounted::Gap));
            }
            (format!("raise {} to a clear gap of {} mm, open at both ends", panel.name, number(gap / MM, 0)), edits)
        }
        None if panel.mounted != Some(Mounted::Open) && stays(aired(Mounted::Open, None)) => {
            (format!("stand {} on feet with air all round", panel.name), vec![mounted(Mounted::Open)])
        }
        None => return None,
    };
    let effort = if panel.mounted == Some(Mounted::Gap) { Effort::AnAfternoon } else { Effort::PartsToBuy };
    Some(Proposal { text, effort, edits })
}

const MM: f64 = 1e-3;

#[cfg(test)]
mod tests {
    use super::*;

    /// A hundred hours: 97 of a night of 10 degC, and three of 1000 W/m2 at 25 degC in a wind of 1 m/s.
    fn hours() -> Vec<[f64; 3]> {
        let mut hours = vec![[0.0, 10.0, 1.0]; 97];
        hours.extend([[1000.0, 25.0, 1.0]; 3]);
        hours
    }

    fn t98(hours: &[[f64; 3]], mounting: Mounting) -> f64 {
        Hottest::of(hours, |[light, air, wind]| faiman(light, air, wind, mounting)).value
    }

    #[test]
    fn two_hours_in_a_hundred_are_hotter_than_t98() {
        // Worked example of the reference: 56.407 degC in the open, 91.667 glued down.
        let of = |mounted| t98(&hours(), aired(mounted, None));
        assert!((of(Mounted::Open) - 56.407).abs() < 1e-3);
        assert!((of(Mounted::Bonded) - 91.667).abs() < 1e-3);
        // Of 97 hours of night and one of sun fewer, it is the night's.
        let mut fewer = hours();
        fewer.truncate(98);
        fewer.extend([[0.0, 10.0, 1.0]; 2]);
        assert_eq!(t98(&fewer, aired(Mounted::Bonded, None)), 10.0);
    }

    #[test]
    fn between_two_gaps_the_heat_loss_lies_on_a_line() {
        // Half way from 10 to 50 mm: 19.75 + 2.5 x 1 m/s: 25 + 1000 / 22.25 = 69.94 degC.
        assert!((t98(&hours(), aired(Mounted::Gap, Some(0.030))) - 69.944).abs() < 1e-3);
    }
}
