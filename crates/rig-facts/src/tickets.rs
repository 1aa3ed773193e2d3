//! Readings of scales against the ledger: do they agree, and what the ledger learns from them.
//!
//! The difference of each reading and what the ledger predicts is an estimate of its own. Given that all differences are
//! really nothing, every estimate has a best linear update ([`Estimate::given_zero`]): weighted least squares over the
//! ledger's covariance, carried exactly by the same independent inputs.

use physics::chance::chi_square_tail;
use physics::reconcile::{evidence, unlisted_mass};
use physics::scale::{ScaleToleranceIn, scale_tolerance};
use quantity::real::exp;
use quantity::{Condition, Dimension, Estimate, How, Z95};
use rig_model::model::{Side, Weighing};
use rig_model::path;

use crate::axles::Axles;
use crate::facts::StateFacts;
use crate::gap::Gap;
use crate::inputs::{Inputs, Kind};
use crate::item::Item;
use crate::tables;

/// One reading against the ledger.
#[derive(Clone, Debug)]
pub struct Ticket {
    /// Its name.
    pub name: String,
    /// Its path.
    pub path: String,
    /// What stood on the scale, in words.
    pub what: String,
    /// The state it was read in.
    pub state: String,
    /// What the scale read, with the scale's error, kg.
    pub reading: Estimate,
    /// What the ledger says before any reading is taken in, kg.
    pub predicted: Estimate,
    /// Reading less prediction, kg.
    pub difference: Estimate,
}

impl Ticket {
    /// Difference in its own standard deviations.
    #[must_use]
    pub fn z(&self) -> f64 {
        let sd = self.difference.sd();
        if sd > 0.0 { self.difference.value() / sd } else { 0.0 }
    }
}

/// A piece that may be what the tickets disagree about.
#[derive(Clone, Debug, PartialEq)]
pub struct Suspect {
    /// Its name.
    pub name: String,
    /// Path of the thing.
    pub path: String,
    /// Mass it would have more (or less) if it alone were wrong, kg.
    pub needed_kg: f64,
    /// Share of the evidence, 0 to 1, that falls on it.
    pub share: f64,
    /// Chi-square left over if it alone were wrong.
    pub chi_square_left: f64,
}

/// All readings, and what came of them.
#[derive(Clone, Debug, Default)]
pub struct Tickets {
    /// The readings that could be predicted, in file order.
    pub list: Vec<Ticket>,
    /// Readings that could not be used: path and why.
    pub unused: Vec<(String, Gap)>,
    /// The condition that all differences are nothing; none without readings.
    pub condition: Option<Condition>,
    /// Chi-square of all differences together.
    pub chi_square: f64,
    /// Chance of a larger chi-square if everything were as claimed.
    pub p: f64,
    /// Whether the readings are taken into the ledger: only while they agree with it.
    pub adopted: bool,
    /// What may be wrong while they do not agree, most likely first.
    pub suspects: Vec<Suspect>,
    /// A single unlisted mass and its x that would explain a front and a rear reading, kg and m.
    pub unlisted: Option<(f64, f64)>,
}

impl Tickets {
    /// Weighs all readings against the ledgers of their states.
    pub fn read(list: &[Weighing], states: &[StateFacts], axles: &Axles, inputs: &mut Inputs) -> Self {
        let mut tickets = Self { p: 1.0, ..Self::default() };
        let mut scales: Vec<(String, Estimate)> = Vec::new();
        for (index, weighing) in list.iter().enumerate() {
            let at = path::of("weighing", &weighing.name, index);
            match ticket(weighing, &at, states, axles, inputs, &mut scales) {
                Ok(ticket) => tickets.list.push(ticket),
                Err(gap) => tickets.unused.push((at, gap)),
            }
        }
        if tickets.list.is_empty() {
            return tickets;
        }
        match Condition::new(tickets.list.iter().map(|ticket| ticket.difference.clone()).collect()) {
            Ok(condition) => {
                tickets.chi_square = condition.chi_square();
                tickets.p = chi_square_tail(tickets.chi_square, tickets.list.len());
                tickets.adopted = tickets.p >= physics::facts::weight().significance;
                tickets.condition = Some(condition);
            }
            Err(singular) => {
                let gap = Gap::because(
                    "weighing",
                    "this reading says the same as the ones before it, to the last kilogram; its error is taken as nothing",
                );
                let path = tickets.list.get(singular.index).map_or_else(|| "weighing".to_owned(), |ticket| ticket.path.clone());
                tickets.unused.push((path, gap));
            }
        }
        if !tickets.adopted {
            tickets.accuse(states, axles);
        }
        tickets
    }

    /// The ledger's estimate with the readings taken in; unchanged where they are not adopted.
    #[must_use]
    pub fn corrected(&self, estimate: &Estimate) -> Estimate {
        match (&self.condition, self.adopted) {
            (Some(condition), true) => estimate.given_zero(condition),
            _ => estimate.clone(),
        }
    }

    fn accuse(&mut self, states: &[StateFacts], axles: &Axles) {
        let Some(condition) = &self.condition else { return };
        let innovations = condition.innovations();
        let mut suspects: Vec<(Suspect, f64)> = Vec::new();
        for item in
            states.iter().filter(|state| self.list.iter().any(|ticket| ticket.state == state.name)).flat_map(|state| &state.items)
        {
            if suspects.iter().any(|(known, _)| known.path == item.path && known.name == item.name) {
                continue;
            }
            suspects.extend(self.suspect(item, condition, &innovations));
        }
        // "Nothing wrong" is a candidate too, with evidence 1: ln 0. Scaled by the largest, so that nothing overflows.
        let most = suspects.iter().map(|(_, ln)| *ln).fold(0.0, f64::max);
        let total = exp(-most) + suspects.iter().map(|(_, ln)| exp(ln - most)).sum::<f64>();
        let mut ranked: Vec<Suspect> =
            suspects.into_iter().map(|(suspect, ln)| Suspect { share: exp(ln - most) / total, ..suspect }).collect();
        ranked.sort_by(|a, b| b.share.total_cmp(&a.share).then_with(|| a.name.cmp(&b.name)));
        self.suspects = ranked;
        self.unlisted = self.unlisted_mass(axles);
    }

    fn suspect(&self, item: &Item, condition: &Condition, innovations: &[f64]) -> Option<(Suspect, f64)> {
        let mass = item.mass.as_ref().ok()?;
        let variance = mass.variance();
        if variance <= 0.0 {
            return None;
        }
        let weights = condition.weights(mass);
        let covariance: Vec<f64> = self.list.iter().map(|ticket| mass.covariance(&ticket.difference)).collect();
        // The difference falls by h for each kg more of the item: covariance = -variance * h.
        let score = -weights.iter().zip(innovations).map(|(w, v)| w * v).sum::<f64>() / variance;
        let quadratic = weights.iter().zip(&covariance).map(|(w, c)| w * c).sum::<f64>() / (variance * variance);
        if quadratic <= 0.0 {
            return None;
        }
        let suspect = Suspect {
            name: item.name.clone(),
            path: item.path.clone(),
            needed_kg: score / quadratic,
            share: 0.0,
            chi_square_left: (self.chi_square - score * score / quadratic).max(0.0),
        };
        Some((suspect, evidence(variance, quadratic, score)))
    }

    /// Front and rear reading of a two-axle rig in one state: the sum of the differences, at the x that explains both.
    fn unlisted_mass(&self, axles: &Axles) -> Option<(f64, f64)> {
        let [_, _] = axles.list() else { return None };
        let (front, rear) = axles.ends(&[])?;
        let find = |index: usize| {
            let words = axle_words(&axles.list().get(index)?.name);
            self.list.iter().find(|ticket| ticket.what == words)
        };
        let (front, rear) = (find(front)?, find(rear)?);
        let base = axles.wheelbase(&[]).ok()?.value();
        if front.state != rear.state {
            return None;
        }
        unlisted_mass(front.difference.value(), rear.difference.value(), base)
    }
}

fn axle_words(name: &str) -> String {
    format!("axle {name}")
}

fn ticket(
    weighing: &Weighing,
    at: &str,
    states: &[StateFacts],
    axles: &Axles,
    inputs: &mut Inputs,
    scales: &mut Vec<(String, Estimate)>,
) -> Result<Ticket, Gap> {
    let state_name = weighing.state.as_deref().ok_or_else(|| Gap::at(format!("{at}.state")))?;
    let state = states.iter().find(|state| state.name == state_name).ok_or_else(|| Gap::at(format!("{at}.state")))?;
    let value = weighing.reading.as_ref().and_then(|reading| reading.value()).ok_or_else(|| Gap::at(format!("{at}.reading")))?;
    let (what, level) = on_the_scale(weighing, at, state, axles)?;
    let predicted = raised(weighing, at, &level, state, axles, inputs)?;
    let sd = reading_sd(weighing, value);
    let own = inputs.add(format!("{at}.reading"), value, sd, How::Weighed, Dimension::Mass, false);
    let reading = match &weighing.scale {
        Some(scale) => &own + &calibration(scale, at, inputs, scales).scale(value),
        None => own,
    };
    Ok(Ticket {
        name: weighing.name.clone(),
        path: at.to_owned(),
        what,
        state: state.name.clone(),
        difference: &reading - &predicted,
        reading,
        predicted,
    })
}

/// What stood on the scale, in words, and its load with the rig level.
fn on_the_scale(weighing: &Weighing, at: &str, state: &StateFacts, axles: &Axles) -> Result<(String, Estimate), Gap> {
    let side_of = |index: usize, side: Side| {
        let sides = state.prior.sides.get(index).cloned().unwrap_or_else(|| Err(Gap::at("axle")))?;
        Ok(match side {
            Side::Left => sides.left,
            Side::Right => sides.right,
        })
    };
    let loads = || state.prior.axles.as_ref().map_err(Clone::clone);
    match (&weighing.axle, weighing.side, &weighing.group, weighing.whole) {
        (Some(name), side, _, _) => {
            let index = axles.find(name).ok_or_else(|| Gap::at(format!("{at}.axle")))?;
            match side {
                Some(side) => Ok((format!("{} wheels of axle {name}", side_word(side)), side_of(index, side)?)),
                None => Ok((axle_words(name), loads()?.get(index).cloned().ok_or_else(|| Gap::at("axle"))?)),
            }
        }
        (None, Some(side), _, _) => {
            let sides = (0..axles.list().len()).map(|index| side_of(index, side)).collect::<Result<Vec<_>, Gap>>()?;
            Ok((format!("{} wheels of all axles", side_word(side)), Estimate::sum(sides.iter())))
        }
        (None, None, Some(group), _) => {
            let members: Vec<Estimate> = axles
                .list()
                .iter()
                .zip(loads()?)
                .filter(|(axle, _)| axle.group.as_ref() == Some(group))
                .map(|(_, load)| load.clone())
                .collect();
            Ok((format!("group {group}"), Estimate::sum(members.iter())))
        }
        (None, None, None, Some(true)) => Ok(("whole rig".to_owned(), state.prior.sums.mass.clone()?)),
        (None, None, None, _) => {
            Err(Gap::because(at, "it does not say which wheels stood on the scale: axle, side, group, or whole = true"))
        }
    }
}

fn side_word(side: Side) -> &'static str {
    match side {
        Side::Left => "left",
        Side::Right => "right",
    }
}

/// The load with the other axle lifted, or the other side on planks: the height of the centre of gravity pushes it down.
fn raised(
    weighing: &Weighing,
    at: &str,
    level: &Estimate,
    state: &StateFacts,
    axles: &Axles,
    inputs: &mut Inputs,
) -> Result<Estimate, Gap> {
    let sums = &state.prior.sums;
    if weighing.lift.is_some() {
        let rise = inputs.take(|| format!("{at}.lift"), weighing.lift.as_ref(), Kind::Length)?;
        let index = weighing.axle.as_deref().and_then(|name| axles.find(name)).ok_or_else(|| Gap::at(format!("{at}.axle")))?;
        let radius = axles.list().get(index).ok_or_else(|| Gap::at("axle"))?.radius.clone()?;
        let base = axles.wheelbase(&[])?;
        let (mass, height) = (sums.mass.clone()?, sums.z()?);
        let push = Estimate::propagate(&[&mass, &height, &radius, &base, &rise], |v| match v {
            [mass, height, radius, base, rise] => Ok(mass * (height - radius) * rise_ratio(*rise, *base) / base),
            _ => Err(Gap::at(at)),
        })?;
        let share = tables::number("facts/scale", "what", "axle lift, of the height found", "share").unwrap_or(0.0);
        let doubt = push.value().abs() * share / Z95;
        let model = inputs.add(format!("{at}.springs_blocked"), 0.0, doubt, How::Unsaid, Dimension::Mass, false);
        return Ok(&(level + &push) + &model);
    }
    if weighing.plank.is_some() {
        let rise = inputs.take(|| format!("{at}.plank"), weighing.plank.as_ref(), Kind::Length)?;
        let track = axles.list().first().ok_or_else(|| Gap::at("axle"))?.track.clone()?;
        let moment = sums.mass_z.clone()?;
        let push = Estimate::propagate(&[&moment, &track, &rise], |v| match v {
            [moment, track, rise] => Ok(moment * rise_ratio(*rise, *track) / track),
            _ => Err(Gap::at(at)),
        })?;
        return Ok(level + &push);
    }
    Ok(level.clone())
}

/// Tangent of the lean that a rise makes over a base measured along the slope.
fn rise_ratio(rise: f64, base: f64) -> f64 {
    rise / (base * base - rise * rise).max(f64::MIN_POSITIVE).sqrt()
}

/// Standard deviation of one reading, kg: as stated, else from the scale's division, else by common practice.
fn reading_sd(weighing: &Weighing, value: f64) -> f64 {
    if let Some(error) = &weighing.error {
        return error.si() / Z95;
    }
    let stated = weighing.reading.as_ref().and_then(|reading| reading.tolerance()).map(|tolerance| tolerance / Z95);
    let division = weighing
        .division
        .as_ref()
        .and_then(|e| scale_tolerance(&ScaleToleranceIn { reading_kg: value, division_kg: e.si() }).ok());
    let division = division.map(|out| out.sd_kg);
    let scale = stated.or(division).unwrap_or_else(|| tables::tolerance("facts/axle-load-tolerance", How::Weighed, value) / Z95);
    let rolling = if weighing.in_motion == Some(true) {
        tables::number("facts/scale", "what", "truck rolling over the scale", "share").unwrap_or(0.0) * value / Z95
    } else {
        0.0
    };
    scale.max(rolling)
}

/// The calibration error that all readings of one scale share, as a share of the reading.
fn calibration(scale: &str, at: &str, inputs: &mut Inputs, scales: &mut Vec<(String, Estimate)>) -> Estimate {
    if let Some((_, shared)) = scales.iter().find(|(name, _)| name == scale) {
        return shared.clone();
    }
    let share = tables::number("facts/scale", "what", "calibration shared by readings of one scale", "share").unwrap_or(0.0);
    let shared = inputs.add(format!("{at}.scale"), 0.0, share / Z95, How::Unsaid, Dimension::Ratio, false);
    scales.push((scale.to_owned(), shared.clone()));
    shared
}
