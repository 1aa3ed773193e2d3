//! weight/bridge-formula: is it too short for its weight on the Interstate System of the United States?
//!
//! demand      load of every group of axles in a row (kg)
//! capacity    by the distance of the group's outer axles: as one axle, as a tandem, by the bridge formula, at most the
//!             cap; two tandems far enough apart may carry their full load
//! states      every travel state; only where the federal rules of the United States are chosen
//! leaves out  single axles (`weight/axle-load`), rules of the states, the trailer's axles

use std::borrow::Cow;

use basis::{Basis, Table};
use check::limits::HeldBound;
use check::{Card, Check, Consequence, Context, Finding, Held, List, Scope, Words, on_ledger};
use physics::bridge::{BridgeFormulaIn, bridge_formula};
use quantity::{Dimension, Estimate, parse};
use rig_facts::{Gap, StateFacts};

use crate::subject::every_state;
use crate::whole;
use crate::working::{self, Figure};

/// All that this check says of itself.
pub static CARD: Card = Card {
    id: Cow::Borrowed("weight/bridge-formula"),
    question: Cow::Borrowed("Is it too short for its weight on the Interstate System?"),
    words: Words::new("carry", "may carry"),
    consequence: Consequence::Legal,
    scope: Scope::Travel,
    // Without the federal rules of the United States the question does not arise, so nothing is needed always.
    needs: List::Static(&[]),
    uses: on_ledger!["axle.driven"],
    limits: List::Static(&[
        "weight/axle-single",
        "weight/axle-tandem",
        "weight/mass-any",
        "weight/tandem-spacing",
        "weight/bridge-two-axles",
        "weight/bridge-two-tandems",
    ]),
    formula: List::Static(&[
        "W = 500 x (L x N / (N - 1) + 12 x N + 36) lb, L in feet between the outer of N axles, to the nearest 500, halves down",
        "outer axles up to 40 in apart: one axle; up to 96 in: a tandem",
    ]),
    cautions: List::Static(&["states differ off the Interstate System, and no tolerance is added to these"]),
};

/// Is it too short for its weight on the Interstate System?
#[derive(Debug)]
pub struct BridgeFormula;

impl Check for BridgeFormula {
    fn card(&self) -> &Card {
        &CARD
    }

    fn run(&self, cx: &Context) -> Vec<Finding> {
        let Some(rules) = Rules::read(cx) else {
            let why = "the federal rules of the United States are not among the chosen sets";
            return vec![CARD.about(cx, whole::NAME).at("codes").not_applicable(why)];
        };
        every_state(cx, &CARD, |state| groups(cx, state, &rules))
    }
}

/// The tables of the federal rules.
struct Rules<'c> {
    spacing: &'c Table,
    two_axles: Option<&'c Table>,
    tandems: Option<&'c Table>,
    single: Vec<Held>,
    tandem: Vec<Held>,
    cap: Vec<Held>,
}

impl<'c> Rules<'c> {
    fn read(cx: &'c Context) -> Option<Self> {
        Some(Self {
            spacing: cx.table("weight/tandem-spacing")?,
            two_axles: cx.table("weight/bridge-two-axles"),
            tandems: cx.table("weight/bridge-two-tandems"),
            single: cx.limits("weight/axle-single"),
            tandem: cx.limits("weight/axle-tandem"),
            cap: cx.limits("weight/mass-any"),
        })
    }

    fn apart(&self, what: &str) -> f64 {
        self.spacing.number("what", what, "distance").unwrap_or(0.0)
    }

    fn is_tandem(&self, x: &[f64]) -> bool {
        let length = span(x);
        length > self.apart("one axle up to") && length <= self.apart("tandem up to")
    }

    /// What a group whose axles stand at x may carry, with a line of working.
    fn held(&self, x: &[f64]) -> Result<(Vec<Held>, String), Gap> {
        let length = span(x);
        if length <= self.apart("one axle up to") {
            return Ok((self.single.clone(), format!("{} apart: counts as one axle", working::m(length))));
        }
        if length <= self.apart("tandem up to") {
            return Ok((self.tandem.clone(), format!("{} apart: a tandem", working::m(length))));
        }
        let (formula, line, basis) = self.formula(x, length)?;
        let mut held = vec![Held::at_most("bridge formula", Estimate::exact(formula), Dimension::Mass, basis)];
        held.extend(self.cap.iter().cloned());
        Ok((held, line))
    }

    /// The formula, the printed row of two axles, or the exception for two tandems, in kg.
    fn formula(&self, x: &[f64], length: f64) -> Result<(f64, String, Basis), Gap> {
        let foot = in_si("1 ft", Dimension::Length)?;
        let pound = in_si("1 lb", Dimension::Mass)?;
        let axles_n = u32::try_from(x.len()).unwrap_or(u32::MAX);
        let by = bridge_formula(&BridgeFormulaIn { axles_n, length_ft: length / foot });
        let lb = by.map_err(|why| Gap::because("axle.x", why.to_string()))?.gross_lb;
        let line = formula_line(axles_n, length, foot, lb, lb * pound);
        let row = self.two_axles.filter(|_| axles_n == 2);
        if let Some(row) = row.filter(|row| row.number("what", "just beyond", "distance").is_some_and(|end| length < end)) {
            let kg = row.number("what", "just beyond", "mass").unwrap_or(lb * pound);
            return Ok((kg, format!("{line}; the printed row just beyond a tandem: {}", working::kg(kg)), row.basis.clone()));
        }
        if let Some((each, least, basis)) = self.two_tandems()
            && let [a, b, c, d] = x
            && self.is_tandem(&[*a, *b])
            && self.is_tandem(&[*c, *d])
            && length >= least
            && each * 2.0 > lb * pound
        {
            let (one, both) = (working::figure(each, 2), working::kg(each * 2.0));
            return Ok((each * 2.0, format!("{line}; two tandems so far apart: 2 x {one} kg = {both}"), basis));
        }
        let source = physics::facts::weight_sources().get("bridge-step-lb");
        Ok((lb * pound, line, source.map_or_else(|| Basis::physics("bridge formula"), |source| source.basis.clone())))
    }

    /// Load of each tandem, kg, least distance of the outer axles, m, and who says so.
    fn two_tandems(&self) -> Option<(f64, f64, Basis)> {
        const ROW: &str = "each tandem, outer axles at least this far apart";
        let table = self.tandems?;
        Some((table.number("what", ROW, "mass")?, table.number("what", ROW, "distance")?, table.basis.clone()))
    }
}

/// The formula with its numbers, from the rounded length on.
fn formula_line(axles_n: u32, length: f64, foot: f64, lb: f64, kg: f64) -> String {
    let facts = physics::facts::weight();
    let (step, per_axle, base) = (facts.bridge_step_lb, facts.bridge_per_axle, facts.bridge_base);
    let (n, length) = (f64::from(axles_n), working::figure(length, 4));
    let feet = working::figure(length.get() / foot, 3);
    let exact = working::figure((feet.get() * n / (n - 1.0) + per_axle * n + base) * step, 0);
    format!(
        "L = {length} m = {feet} ft, N = {axles_n}; {step} x ({feet} x {n} / ({n} - 1) + {per_axle} x {n} + {base}) = {exact} lb, \
         rounded to {step} lb; {} lb = {}",
        working::number(lb, 0),
        working::kg(kg)
    )
}

fn span(x: &[f64]) -> f64 {
    x.last().copied().unwrap_or(0.0) - x.first().copied().unwrap_or(0.0)
}

fn in_si(text: &str, dimension: Dimension) -> Result<f64, Gap> {
    parse(text, dimension).map_err(|why| Gap::because("axle.x", why.to_string()))
}

/// An axle on the ground.
struct Standing<'c> {
    name: &'c str,
    path: &'c str,
    x: f64,
    load: &'c Estimate,
}

fn groups(cx: &Context, state: &StateFacts, rules: &Rules<'_>) -> Vec<Finding> {
    let axles = match standing(cx, state) {
        Ok(axles) => axles,
        Err(gap) => return vec![CARD.about(cx, "axles").at("axle").in_state(&state.name).blocked(&gap)],
    };
    let ends = (0..axles.len()).flat_map(|from| (from + 2..=axles.len()).map(move |to| (from, to)));
    ends.filter_map(|(from, to)| Some(group(cx, state, rules, axles.get(from..to)?, axles.len()))).collect()
}

/// The axles on the ground, front first.
fn standing<'c>(cx: &'c Context, state: &'c StateFacts) -> Result<Vec<Standing<'c>>, Gap> {
    let list = cx.facts().axles().list();
    let mut axles = Vec::new();
    for index in cx.facts().axles().standing(&state.lifted) {
        let facts = list.get(index).ok_or_else(|| Gap::at("axle"))?;
        let x = facts.x.as_ref().map_err(Clone::clone)?.value();
        let load = state.axle_load(index).map_err(Clone::clone)?;
        axles.push(Standing { name: &facts.name, path: &facts.path, x, load });
    }
    axles.sort_by(|a, b| a.x.total_cmp(&b.x));
    if axles.len() < 2 { Err(Gap::because("axle", "two axles on the ground are wanted")) } else { Ok(axles) }
}

fn group(cx: &Context, state: &StateFacts, rules: &Rules<'_>, axles: &[Standing<'_>], all: usize) -> Finding {
    let (first, last) = (axles.first(), axles.last());
    let name = format!("{} to {}", first.map_or("", |axle| axle.name), last.map_or("", |axle| axle.name));
    let path = first.map_or("axle", |axle| axle.path);
    let draft = CARD.about(cx, format!("axles {name}")).at(path).in_state(&state.name).case(&name);
    let x: Vec<f64> = axles.iter().map(|axle| axle.x).collect();
    let (held, line) = match rules.held(&x) {
        Ok(found) => found,
        Err(gap) => return draft.blocked(&gap),
    };
    let load = Estimate::sum(axles.iter().map(|axle| axle.load));
    let loads: Vec<Figure> = axles.iter().map(|axle| working::figure(axle.load.value(), 1)).collect();
    let parts: Vec<String> = axles.iter().zip(&loads).map(|(axle, load)| format!("{load} kg {}", axle.name)).collect();
    let least = |held: &Held| match &held.bound {
        HeldBound::AtMost(most) | HeldBound::Between(_, most) => most.value(),
        HeldBound::AtLeast(_) => f64::INFINITY,
    };
    let may = held.iter().map(least).fold(f64::INFINITY, f64::min);
    draft
        .compare(&load, &held)
        .working(|| {
            [format!("{} = {}", parts.join(" + "), working::sum_of(&loads)), line, format!("may carry {}", working::kg(may))]
        })
        .remedies(|goal| if axles.len() == all { whole::less(cx, state, goal) } else { Vec::new() })
        .done()
}
