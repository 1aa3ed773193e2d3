//! Centre of gravity, axle loads, wheel loads, coupling.

use crate::F64;
use physics::coupling::{CouplingLoadsIn, coupling_loads};
use physics::ledger::{AxleAt, AxleLoadsIn, CentreOfGravityIn, Group, MassAlong, MassAt, axle_loads, centre_of_gravity};
use physics::wheels::{WheelLoadsIn, wheel_loads};

fn axle(x_m: f64) -> AxleAt {
    AxleAt { x_m, ..AxleAt::default() }
}

fn loads(axles: Vec<AxleAt>, masses: &[(f64, f64)]) -> Vec<f64> {
    let masses = masses.iter().map(|(mass_kg, x_m)| MassAlong { mass_kg: *mass_kg, x_m: *x_m }).collect();
    axle_loads(&AxleLoadsIn { axles, masses }).expect("answers").loads_kg
}

/// Computed elsewhere. (mass kg, x m, z m) of an invented rig, wheelbase 4.2 m.
const RIG: [(f64, f64, f64); 8] = [
    (3910.0, 0.0, 0.95),
    (3290.0, 4.2, 0.95),
    (1480.0, 2.9, 2.05),
    (399.28, 3.6, 1.35),
    (160.0, 2.2, 1.10),
    (150.0, 0.35, 1.75),
    (300.0, 3.1, 1.9),
    (135.0, 5.55, 1.6),
];

#[test]
fn a_whole_ledger() {
    let masses = RIG.iter().map(|(mass_kg, x_m, z_m)| MassAt { mass_kg: *mass_kg, x_m: *x_m, y_m: 0.0, z_m: *z_m });
    let cg = centre_of_gravity(&CentreOfGravityIn { masses: masses.collect() }).expect("answers");
    assert_close!(cg.mass_kg, 9824.28, F64, "ledger");
    assert_close!(cg.x_m, 2.201805933869963, F64, "ledger");
    assert_close!(cg.z_m, 1.1845680294128424, F64, "ledger");
    let along: Vec<_> = RIG.iter().map(|(mass, x, _)| (*mass, *x)).collect();
    let axles = loads(vec![axle(0.0), axle(4.2)], &along);
    assert_close!(axles[0], 4674.004285714287, F64, "front axle");
    assert_close!(axles[1], 5150.275714285714, F64, "rear axle");
}

/// Computed elsewhere: the spare wheel of that rig alone, behind the rear axle.
#[test]
fn a_mass_behind_the_rear_axle_lifts_the_front() {
    let axles = loads(vec![axle(0.0), axle(4.2)], &[(135.0, 5.55)]);
    assert_close!(axles[0], -43.39285714285714, F64, "front");
    assert_close!(axles[1], 178.39285714285714, F64, "rear");
}

/// Computed elsewhere: 15 t at 2.9 m on axles at 0, 3.6 and 4.95 m, the rear two equalised.
#[test]
fn an_equalised_tandem() {
    let tandem = |x_m| AxleAt { x_m, group: Some(Group("rear".into())), ..AxleAt::default() };
    let axles = loads(vec![axle(0.0), tandem(3.6), tandem(4.95)], &[(15_000.0, 2.9)]);
    assert_close!(axles[0], 4824.561403508773, F64, "front");
    assert_close!(axles[1], 5087.719298245614, F64, "tandem");
    assert_close!(axles[2], 5087.719298245614, F64, "tandem");
}

/// Computed elsewhere by solving the two equations of heave and pitch with numpy; 1e-11 because it is printed so.
#[test]
fn three_axles_on_springs() {
    let sprung = |x_m, k| AxleAt { x_m, stiffness_n_m: Some(k), ..AxleAt::default() };
    let axles = loads(vec![sprung(0.0, 250e3), sprung(3.6, 400e3), sprung(4.95, 400e3)], &[(15_000.0, 2.9)]);
    for (got, want) in axles.iter().zip([4705.7840187228, 5523.236375794, 4770.9796054831]) {
        assert_close!(*got, want, 1e-11, "three sprung axles");
    }
    let two = loads(vec![sprung(0.0, 1e5), sprung(4.2, 7e5)], &[(1000.0, 2.9)]);
    assert_close!(two[0], 309.5238095238095, F64, "two axles: springs drop out");
    assert_close!(two[1], 690.4761904761905, F64, "two axles: springs drop out");
}

/// Computed elsewhere.
#[test]
fn an_offset_axle() {
    let out = wheel_loads(&WheelLoadsIn { axle_load_kg: 5200.0, track_m: 1.94, offset_y_m: 0.06 }).expect("answers");
    assert_close!(out.left_kg, 2439.175257731959, F64, "left");
    assert_close!(out.right_kg, 2760.824742268041, F64, "right");
}

/// Computed elsewhere.
#[test]
fn a_trailer_on_a_pintle_far_back() {
    let input = CouplingLoadsIn {
        nose_load_kg: 250.0,
        coupling_x_m: 5.7,
        wheelbase_m: 4.2,
        truck_mass_kg: Some(9800.0),
        trailer_mass_kg: Some(3500.0),
    };
    let out = coupling_loads(&input).expect("answers");
    assert_close!(out.rear_change_kg, 339.2857142857143, F64, "rear");
    assert_close!(out.front_change_kg, -89.28571428571428, F64, "front");
    assert_close!(out.d_kn.expect("both masses are given"), 25.290834210526313, F64, "D");
}

/// Published: a textbook on ship stability, worked example on pages 116 and 117, its answers read: final KG 7.35 m,
/// G 0.035 m to starboard. 8000 t at KG 7.6 m load 250 t at 6.1 m, 7.6 m to starboard, and 300 t at 0.6 m, 6.1 m to
/// port, and discharge 50 t at 1.2 m, 4.6 m to port. What goes off is taken from the ship first, since the kernel takes no negative
/// mass. Tolerance: half of the last printed digit.
#[test]
fn a_ship_is_loaded() {
    // Ship less the 50 t that go ashore; starboard is right.
    let left = 7950.0;
    let ship = MassAt { mass_kg: left, x_m: 0.0, y_m: 50.0 * 4.6 / left, z_m: (8000.0 * 7.6 - 50.0 * 1.2) / left };
    let on = |mass_kg, y_m, z_m| MassAt { mass_kg, x_m: 0.0, y_m, z_m };
    let masses = vec![ship, on(250.0, 7.6, 6.1), on(300.0, -6.1, 0.6)];
    let cg = centre_of_gravity(&CentreOfGravityIn { masses }).expect("answers");
    assert!((cg.z_m - 7.35).abs() < 0.005, "KG {}", cg.z_m);
    assert!((cg.y_m - 0.035).abs() < 0.0005, "G {}", cg.y_m);
    assert_eq!(cg.mass_kg, 8500.0);
}

/// Published, one of two with an error: a vehicle-lift page finds the centre of gravity from axle loads, lb and
/// inches: 3500 at 40 and 5500 at 195 gives 134.72 (read). For 5800 at 52 and 9500 at 222 it prints 157.52; by hand
/// (301600 + 2109000) / 15300 = 157.5556, so the page dropped 600 lb in. The right one is held.
/// Tolerance: half of the last printed digit.
#[test]
fn a_vehicle_on_a_lift() {
    let at = |front: (f64, f64), rear: (f64, f64)| {
        let mass = |(mass_kg, x_m): (f64, f64)| MassAt { mass_kg, x_m, y_m: 0.0, z_m: 0.0 };
        centre_of_gravity(&CentreOfGravityIn { masses: vec![mass(front), mass(rear)] }).expect("answers").x_m
    };
    assert!((at((3500.0, 40.0), (5500.0, 195.0)) - 134.72).abs() < 0.005);
    assert!((at((5800.0, 52.0), (9500.0, 222.0)) - 2_410_600.0 / 15_300.0).abs() < 1e-9);
}
