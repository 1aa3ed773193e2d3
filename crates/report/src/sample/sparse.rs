//! A rig of which little is told: nothing fails, some answers are unsettled, most wait for an input.

use basis::Basis;
use check::audit::Audit;
use check::finding::{Consequence, Finding, Sense, Verdict};
use check::remedy::Effort;
use quantity::Dimension;

use super::made::{also, blank, held, load, measure, missing, need, next, remedy};
use super::of;

/// Five inputs absent; two unsettled answers that hang on a pressure, three that hang on two masses; eight numbers that
/// nothing limits.
#[must_use]
pub fn sparse() -> Audit {
    let mut findings = waiting();
    findings.extend(on_the_pressure());
    findings.extend(on_the_masses());
    findings.extend(shown());
    let mut audit = of(findings);
    audit.measure_next = vec![
        next("low_point", LOW_POINT, 8, Consequence::Damage),
        next(PRESSURE, GAUGE, 5, Consequence::Injury),
        next("chassis.height", "straight edge from the highest point, plumb to the ground", 4, Consequence::Legal),
        next("axle[rear].tyre.load_index", "read the number after the size on the tyre's side", 3, Consequence::Injury),
        next("chassis.width", "tape across the widest fixed part", 2, Consequence::Legal),
        next("person", "write who drives", 1, Consequence::Legal),
        next("weighing", "weigh it", 1, Consequence::Legal),
    ];
    audit
}

const LOW_POINT: &str = "write a table for what hangs lowest: bumper, step, tank, tow ring, exhaust, silencer, spare wheel \
    carrier, jack and whatever else was hung under the frame by former owners";
const PRESSURE: &str = "axle[front].tyre.pressure";
const GAUGE: &str = "checked gauge, tyres cold, in the morning before driving";

fn waiting() -> Vec<Finding> {
    let mut all = Vec::new();
    let two = ["travel-full", "travel-empty"];
    for state in two {
        for about in ["approach", "departure", "breakover", "clearance"] {
            all.push(missing("weight/ground-angles", about, Some(state), "low_point", LOW_POINT));
        }
        for check in ["weight/envelope", "weight/roll-stability"] {
            let how = "straight edge from the highest point, plumb to the ground";
            all.push(missing(check, "overall height", Some(state), "chassis.height", how));
        }
        all.push(missing("weight/envelope", "overall width", Some(state), "chassis.width", "tape across the widest fixed part"));
    }
    for state in ["travel-full", "travel-empty", "camped"] {
        let how = "read the number after the size on the tyre's side";
        let mut tyre = missing("weight/tyre-load", "rear axle", Some(state), "axle[rear].tyre.load_index", how);
        tyre.cautions = vec!["an old or damaged tyre carries less".to_owned()];
        all.push(tyre);
    }
    // One answer that waits for two inputs, and names one of them twice.
    let mut licence = missing("weight/licence", "driver", None, "person", "write who drives");
    licence.needs.extend(missing("", "", None, "weighing", "weigh it").needs);
    licence.needs.extend(missing("", "", None, "person", "write who drives").needs);
    all.push(licence);
    all
}

/// Two questions about one tyre, and the same way out for both.
fn on_the_pressure() -> Vec<Finding> {
    let pump = |demand: f64, used: f64| {
        let fails = also("weight/wheel-load", "rim", Verdict::Pass, Verdict::Fail);
        remedy("pump the tyres of the front axle to 4.6 bar, cold", Effort::Minutes, demand, used, vec![fails])
    };
    let mut tyre = load("weight/tyre-load", "front axle", "travel-full", 1150.0, 40.0, 1160.0);
    tyre.needs = vec![need(PRESSURE, GAUGE, 0.55), need("axle[front].bare_load", "weigh it", 0.3)];
    tyre.cautions = ["stand beside the tread when pumping", "slower is not credited", "a third one"].map(str::to_owned).to_vec();
    tyre.remedies = vec![pump(1150.0, 0.93), remedy("fit stronger tyres", Effort::PartsToBuy, 1150.0, 0.92, Vec::new())];
    let mut pressure = blank("weight/tyre-load", "front axle, pressure", Some("travel-full"), Verdict::Unsettled);
    pressure.case = Some("pressure".to_owned());
    (pressure.demand_words, pressure.capacity_words) = ("is pumped to".to_owned(), "wants".to_owned());
    let mut pressure = held(pressure, (450_000.0, 20_000.0), 440_000.0, Dimension::Pressure, Sense::AtLeast);
    pressure.basis = Some(Basis::owner("ground.approach"));
    pressure.needs = tyre.needs.clone();
    pressure.cautions = vec!["stand beside the tread when pumping".to_owned()];
    pressure.remedies = vec![pump(460_000.0, 0.95)];
    vec![tyre, pressure]
}

/// Three limits on one mass.
fn on_the_masses() -> Vec<Finding> {
    let three = [("gross-mass", "whole rig"), ("payload-left", "whole rig"), ("envelope", "lake ferry, mass")];
    let made = three.map(|(check, about)| {
        let mut mass = load(&format!("weight/{check}"), about, "travel-full", 11_970.0, 50.0, 12_000.0);
        mass.consequence = Consequence::Legal;
        mass.basis = Some(Basis::data_plate("registration papers"));
        mass.case = Some("mass".to_owned());
        mass.cautions = vec!["plates and papers decide".to_owned()];
        mass.needs = vec![
            need(
                "mass[\"mounted specimens\"].mass",
                "weigh it: crane scale, pallet-truck scale, or bathroom scale under each end",
                0.22,
            ),
            need("person[botanist].mass", "bathroom scale, clothes and boots on", 0.21),
        ];
        if check == "payload-left" {
            let settled = ["gross-mass of the rig", "lake ferry, mass", "papers"];
            let settled = settled.map(|about| also("weight/other", about, Verdict::Unsettled, Verdict::Pass));
            mass.remedies =
                vec![remedy("carry 255 L in fresh instead of 280 L", Effort::Minutes, 11_945.0, 0.99, settled.to_vec())];
        }
        mass
    });
    made.to_vec()
}

fn shown() -> Vec<Finding> {
    let mut all = Vec::new();
    for n in 0..8 {
        for (state, lean) in [("camped", 0.3142), ("travel-full", 0.3089), ("travel-empty", 0.3176)] {
            let mut one = blank("weight/side-slope", &format!("rig with load {n}"), Some(state), Verdict::NotApplicable);
            one.demand_words = "may lean".to_owned();
            one.demand = Some(measure(lean, 0.03, Dimension::Angle));
            one.sentence = Some("no slope is asked for; write side_slope in [ground] for a verdict".to_owned());
            one.cautions = vec!["a slope that is wet is less".to_owned()];
            all.push(one);
        }
    }
    all
}
