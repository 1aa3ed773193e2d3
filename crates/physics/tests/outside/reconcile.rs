//! Readings against a list, and chi-square tails.

use crate::F64;
use physics::chance::chi_square_tail;
use physics::reconcile::{ReconcileIn, ReconcileOut, ScaleReading, reconcile, unlisted_mass};

/// Computed elsewhere with scipy 1.17 (`chi2.sf`); tolerance 1e-11: that is what its own tail is good for there.
#[test]
fn tails_of_a_statistics_library() {
    let rows = [
        (12.243268443409091, 2, 0.0021948661326795273),
        (2.097902097902098, 1, 0.14750139990262856),
        (0.001, 1, 0.9747728793699604),
        (30.0, 7, 9.495972508134177e-05),
        (200.0, 9, 3.312992393909567e-38),
        (50.0, 60, 0.8178960840225449),
        (1000.0, 200, 1.5008794119251172e-106),
    ];
    for (chi_square, dof, want) in rows {
        assert_close!(chi_square_tail(chi_square, dof), want, 1e-11, format!("{chi_square}, {dof}"));
    }
}

/// From memory: the 95 % points of every printed table. Tolerance: half of the last printed digit moves p by less than
/// 2e-4 of itself.
#[test]
fn the_95_percent_points() {
    for (dof, point) in [(1, 3.841), (2, 5.991), (3, 7.815), (4, 9.488)] {
        assert_close!(chi_square_tail(point, dof), 0.05, 4e-4, format!("{dof} degrees of freedom"));
    }
}

fn diagonal(sds: &[f64]) -> Vec<Vec<f64>> {
    let row = |i: usize| sds.iter().enumerate().map(|(j, sd)| if i == j { sd * sd } else { 0.0 }).collect();
    (0..sds.len()).map(row).collect()
}

/// Computed elsewhere and by hand: 7000 (50) and 2000 (200) kg, one reading of both, 9300 (20) kg.
#[test]
fn two_masses_on_one_scale() {
    let input = ReconcileIn {
        prior_kg: vec![7000.0, 2000.0],
        covariance_kg2: diagonal(&[50.0, 200.0]),
        readings: vec![ScaleReading { weights: vec![1.0, 1.0], value_kg: 9300.0, sd_kg: 20.0 }],
        shared_covariance_kg2: None,
    };
    let out = reconcile(&input).expect("answers");
    assert_close!(out.posterior_kg[0], 7017.482517482517, F64, "first");
    assert_close!(out.posterior_kg[1], 2279.72027972028, F64, "second");
    assert_close!(out.chi_square, 2.097902097902098, F64, "chi-square");
    assert_close!(out.residual_z[0], 1.448413648756, F64, "z");
    assert_close!(out.covariance_kg2[0][0], 2354.312354312354, F64, "first variance");
    assert_close!(out.covariance_kg2[1][1], 2703.962703962708, F64, "second variance");
    assert_close!(out.covariance_kg2[0][1], -2331.002331002331, F64, "covariance");
    assert!(out.adopt && out.dof == 1);
}

/// An invented truck on two scales: chassis, body, water, battery, stores; front and rear axle read.
fn truck() -> ReconcileOut {
    let places = [1.92, 2.9, 3.6, 2.2, 3.1];
    let front: Vec<f64> = places.iter().map(|x| 1.0 - x / 4.2).collect();
    let rear: Vec<f64> = places.iter().map(|x| x / 4.2).collect();
    let input = ReconcileIn {
        prior_kg: vec![7200.0, 1480.0, 400.0, 160.0, 450.0],
        covariance_kg2: diagonal(&[40.0, 111.0, 8.0, 3.2, 67.5]),
        readings: vec![
            ScaleReading { weights: front, value_kg: 4690.0, sd_kg: 15.0 },
            ScaleReading { weights: rear, value_kg: 5340.0, sd_kg: 15.0 },
        ],
        shared_covariance_kg2: None,
    };
    reconcile(&input).expect("answers")
}

/// Computed elsewhere.
#[test]
fn a_truck_on_two_scales() {
    let out = truck();
    assert_close!(out.chi_square, 12.243268443409091, F64, "chi-square");
    assert_close!(out.p, 0.0021948661326795277, F64, "p");
    assert!(!out.adopt && out.dof == 2);
    assert_close!(out.residual_z[0], 1.540514380878, F64, "front");
    assert_close!(out.residual_z[1], 2.828889493544, F64, "rear");
    let masses = [7170.16816019773, 1725.448357687346, 403.037971852292, 159.921909437116, 576.626204570173];
    for (got, want) in out.posterior_kg.iter().zip(masses) {
        assert_close!(*got, want, F64, "posterior");
    }
    let sds = [30.172984253565, 65.041821780239, 7.950018185816, 3.197404444505, 55.977834242641];
    for (i, want) in sds.iter().enumerate() {
        assert_close!(out.covariance_kg2[i][i].sqrt(), *want, F64, "posterior sd");
    }
    let total: f64 = out.covariance_kg2.iter().flatten().sum();
    assert_close!(total.sqrt(), 20.268709210317, F64, "sd of the total");
}

/// Computed elsewhere: index, z, needed kg, chi-square left, ln of the evidence, share; to the printed digits. The largest z
/// (water, 2) would need 244 kg more in a tank known to 8 kg; the evidence ranks the stores (4) first.
#[test]
fn the_suspects_by_evidence() {
    let want = [
        (4, 3.357083, 405.516018, 0.973265, 3.90191649, 0.780),
        (1, 2.728794, 373.789785, 4.796950, 2.09152349, 0.128),
        (2, 3.402492, 243.888050, 0.666315, 1.20143731, 0.052),
        (3, -0.606012, -48.157550, 11.876017, -0.01221112, 0.016),
        (0, -1.136015, -69.216307, 10.952737, -0.62595533, 0.008),
    ];
    let suspects = truck().suspects;
    assert_eq!(suspects.len(), want.len());
    for (got, (index, z, needed, left, evidence, share)) in suspects.iter().zip(want) {
        assert_eq!(got.index, index);
        assert!((got.z - z).abs() < 5e-7, "{got:?}");
        assert!((got.needed_kg - needed).abs() < 5e-7, "{got:?}");
        assert!((got.chi_square_left - left).abs() < 5e-7, "{got:?}");
        assert!((got.evidence_ln - evidence).abs() < 5e-9, "{got:?}");
        assert!((got.share - share).abs() < 5e-4, "{got:?}");
    }
}

/// By hand: 72.142857 kg more in front and 267.857143 kg more behind are 340 kg at 4.2 x 267.857143 / 340 m.
#[test]
fn something_that_is_not_on_the_list() {
    let (mass, x) = unlisted_mass(72.142857142856, 267.857142857143, 4.2).expect("they do not cancel");
    assert_close!(mass, 340.0, F64, "mass");
    assert_close!(x, 3.308823529411777, F64, "place");
    assert_eq!(unlisted_mass(100.0, -100.0, 4.2), None);
}
