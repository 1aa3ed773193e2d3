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
        11933.44,
        [2.316525662340448, 0.0013185636329507686, 1.3224392966319853],
        5351.506666666668,
        6581.9333333333325,
    ),
    (
        "travel-empty",
        11376.98,
        [2.31450613431684, -0.02523648630831732, 1.3201971455894774],
        5107.434761904762,
        6269.545238095237,
    ),
    (
        "weighing day",
        11179.5,
        [2.3066827675656336, -0.0030864528825081607, 1.2955824787717314],
        5039.604761904762,
        6139.895238095238,
    ),
    ("camped", 11636.52, [2.3509107533867515, 0.0028389071646849765, 1.311930594370138], 5123.086666666667, 6513.433333333333),
    (
        "ferry queue",
        11687.064,
        [2.315823033056035, 0.0047715148988659644, 1.3044434030651324],
        5242.97542857143,
        6444.0885714285705,
    ),
];

/// Load under the left and right wheels of front and rear axle, kg, by lever arm (a frame that twists freely).
const SIDES_BY_HAND: [(&str, [f64; 2], [f64; 2]); 5] = [
    ("travel-full", [2711.7799042709876, 2639.7267623956805], [3246.8292709867446, 3335.104062346588]),
    ("travel-empty", [2661.3317648502702, 2446.102997054492], [3175.155657830142, 3094.3895802650954]),
    ("weighing day", [2577.11822533137, 2462.486536573392], [3030.417857142857, 3109.477380952381]),
    ("camped", [2608.749580265096, 2514.337086401571], [3192.4820692194403, 3320.951264113893]),
    ("ferry queue", [2669.825281786942, 2573.150146784488], [3144.9618728522332, 3299.1266985763373]),
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
