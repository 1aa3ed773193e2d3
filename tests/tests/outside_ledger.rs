//! The complete example's ledger, made by hand: another program, other code, the same file.
//!
//! The figures come from a short script that reads the TOML with another library, places each piece (words by the inside
//! of the body and the piece's size), sums in extended precision (`math.fsum`), and takes moments about the front axle.
//! Known: computed. They rest on no code of this repository; densities as `facts/liquid-density` gives them. Tickets are
//! left out here. Tolerance 1e-6 relative: both are exact to rounding, and the audit prints nine digits.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing, reason = "a test")]

use std::sync::Arc;

use rig_facts::Facts;
use rigproof::Options;
use rigproof_tests::json_edit::rig_as_json;
use rigproof_tests::{FULL, example, quick};

/// State; total kg; centre of gravity x, y, z m; front and rear axle kg.
const BY_HAND: [(&str, f64, [f64; 3], f64, f64); 5] = [
    (
        "travel-full",
        11872.04,
        [2.311915222657605, 0.009044359688815064, 1.3202278631136688],
        5337.004285714287,
        6535.035714285714,
    ),
    (
        "travel-empty",
        11315.58,
        [2.3096580113436516, -0.017274854669402713, 1.3178647953908305],
        5092.932380952381,
        6222.647619047619,
    ),
    (
        "weighing day",
        11118.1,
        [2.3017053273490973, 0.0051389176208165065, 1.2930727661586576],
        5025.102380952381,
        6092.997619047619,
    ),
    ("camped", 11575.12, [2.346364443737948, 0.010770946651093034, 1.3096066909025565], 5108.584285714286, 6466.535714285715),
    (
        "ferry queue",
        11625.664,
        [2.311111176101425, 0.012679275781581166, 1.3020900600602252],
        5228.473047619049,
        6397.190952380952,
    ),
];

/// Load under the left and right wheels of front and rear axle, kg, by lever arm (a frame that twists freely).
const SIDES_BY_HAND: [(&str, [f64; 2], [f64; 2]); 5] = [
    ("travel-full", [2705.2256946489942, 2631.7785910652924], [3175.446367206676, 3359.5893470790375]),
    ("travel-empty", [2654.777555228277, 2438.154825724104], [3103.772754050073, 3118.874864997545]),
    ("weighing day", [2570.5640157093767, 2454.538365243004], [2959.034953362788, 3133.9626656848304]),
    ("camped", [2602.1953706431027, 2506.388915071183], [3121.0991654393715, 3345.4365488463427]),
    ("ferry queue", [2663.2710721649487, 2565.2019754540997], [3073.5789690721645, 3323.611983308787]),
];

const TOLERANCE: f64 = 1e-6;

fn close(got: f64, want: f64, scale: f64, what: &str) {
    assert!((got - want).abs() <= TOLERANCE * scale, "{what}: {got} by the program, {want} by hand");
}

fn without_tickets() -> String {
    let mut rig = rig_as_json(&example(FULL));
    rig.as_object_mut().unwrap().remove("weighing");
    serde_json::to_string_pretty(&rig).unwrap()
}

#[test]
fn the_ledger_is_as_made_by_hand() {
    let (_, rig) = rig_model::read_rig(&without_tickets(), rig_model::Syntax::Json).unwrap();
    let facts = Facts::derive(Arc::new(rig));
    assert_eq!(facts.states().len(), BY_HAND.len());
    for ((name, total, centre, front, rear), (_, left_right_front, left_right_rear)) in BY_HAND.iter().zip(SIDES_BY_HAND) {
        let state = facts.state(name).unwrap();
        let sums = &state.loads.sums;
        close(state.mass().unwrap().value(), *total, *total, name);
        close(sums.x().unwrap().value(), centre[0], 1.0, name);
        close(sums.y().unwrap().value(), centre[1], 1.0, name);
        close(sums.z().unwrap().value(), centre[2], 1.0, name);
        close(state.axle_load(0).unwrap().value(), *front, *total, name);
        close(state.axle_load(1).unwrap().value(), *rear, *total, name);
        for (sides, [left, right]) in state.loads.sides.iter().zip([left_right_front, left_right_rear]) {
            let sides = sides.as_ref().unwrap();
            close(sides.left.value(), left, *total, name);
            close(sides.right.value(), right, *total, name);
        }
    }
}

#[test]
fn the_audit_reports_the_ledger_made_by_hand() {
    let audit = rigproof::audit(&without_tickets(), &Options { json: true, ..quick() });
    assert!(audit.errors.is_empty(), "{:?}", audit.errors);
    let demand = |check: &str, path: &str, state: &str| {
        let found = audit.findings.iter().find(|f| f.check == check && f.path == path && f.state.as_deref() == Some(state));
        found.and_then(|f| f.demand.as_ref()).map(|demand| demand.value.0)
    };
    let mut compared = 0;
    for (state, total, _, front, rear) in BY_HAND {
        for (path, want) in [("axle[front]", front), ("axle[rear]", rear)] {
            // Camped is no travel state; the check is silent there.
            if let Some(got) = demand("weight/axle-load", path, state) {
                close(got, want, total, &format!("{state}, {path}"));
                compared += 1;
            }
        }
        let whole = audit.findings.iter().find(|f| f.check == "weight/gross-mass" && f.state.as_deref() == Some(state));
        if let Some(got) = whole.and_then(|f| f.demand.as_ref()) {
            close(got.value.0, total, total, state);
            compared += 1;
        }
    }
    assert_eq!(compared, 12, "four travel states, two axles and the whole");
}
