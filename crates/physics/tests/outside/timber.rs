//! Packers and screws.

use crate::F64;
use physics::timber::{
    Duration, PackerIn, ScrewRule, ScrewWithdrawalIn, ec5_factor, half_dent, nds_factor, nds_withdrawal, packer,
    packer_stiffness, screw_withdrawal, shrinkage, wind_duration, wood,
};

fn use_of(wood: f64, factor: f64, length_m: f64) -> f64 {
    let input = PackerIn { load_n: 12_450.0, length_m, width_m: 0.08, strength_pa: wood, factor };
    packer(&input).expect("answers").utilisation
}

/// Computed elsewhere: 12.45 kN on 100 x 80 mm. EN 338 strengths were read, the NDS one of spruce-pine-fir is from memory.
#[test]
fn one_packer_by_two_rules() {
    let stress = packer(&PackerIn { load_n: 12_450.0, length_m: 0.1, width_m: 0.08, strength_pa: 2.5e6, factor: 1.0 });
    assert_close!(stress.expect("answers").stress_pa, 1.556e6, 5e-4, "pressure");
    let wet = ec5_factor(Duration::ShortOutdoors);
    let of = |name: &str| wood(name).expect("listed").strength;
    assert_close!(of("C24") * wet, 1.35e6, 5e-3, "C24 outdoors");
    assert_close!(use_of(of("C24"), wet, 0.1), 1.156, 1e-3, "C24");
    assert_close!(use_of(of("C24"), wet, 0.122), 0.95, 5e-3, "C24, 122 mm long");
    assert_close!(use_of(of("D40"), wet, 0.1), 0.525, 2e-3, "D40");
    let nds = of("Spruce-pine-fir");
    assert_close!(nds * nds_factor(true, 0.1, 0.1), 2.15e6, 2e-3, "spruce-pine-fir, wet");
    assert_close!(use_of(nds, nds_factor(true, 0.1, 0.1), 0.1), 0.724, 2e-3, "inside its length");
    assert_close!(use_of(nds, nds_factor(true, 0.1, 0.0), 0.1), 0.793, 2e-3, "flush at its end");
    assert_close!(half_dent(nds), 0.73 * nds, F64, "0.02 in");
}

/// Computed elsewhere: C24 100 x 80 x 50 mm is 59 MN/m; 50 mm from 20 to 12 % moisture shrinks 0.8 to 1.4 mm.
#[test]
fn stiffness_and_shrinkage() {
    assert_close!(packer_stiffness(370e6, 0.008, 0.05), 59e6, 5e-3, "stiffness");
    let (low, high) = shrinkage(0.05, 8.0);
    assert_close!(low, 0.8e-3, F64, "low");
    assert_close!(high, 1.4e-3, F64, "high");
}

/// Published: a public engineering page, #10 screw (0.190 in) in wood of 0.45: 109 lb for each inch (it rounds 109.7 down).
#[test]
fn a_wood_screw_by_nds() {
    assert_close!(nds_withdrawal(0.45, 0.190 * 0.0254, 0.0254) / 4.448_221_615, 109.7, 1e-3, "for each inch");
    // Computed elsewhere: eight #10 with 25 mm of thread in 0.50 under wind.
    let one = ScrewWithdrawalIn {
        rule: ScrewRule::Nds,
        diameter_m: 0.190 * 0.0254,
        thread_m: 0.025,
        specific_gravity: Some(0.5),
        density_kg_m3: None,
        duration_factor: 1.0,
    };
    let all = 8.0 * screw_withdrawal(&one).expect("answers").withdrawal_n;
    assert_close!(all, 4.74e3, 2e-3, "eight screws");
    let wind =
        8.0 * screw_withdrawal(&ScrewWithdrawalIn { duration_factor: wind_duration(), ..one }).expect("answers").withdrawal_n;
    assert_close!(wind, 7.59e3, 2e-3, "under wind");
    assert_close!(4.428e3 / wind, 0.58, 1e-2, "utilisation of the roof panel");
}

/// Computed elsewhere: EN 1995-1-1, d 6, 40 mm in, 350 kg/m3: 2.87 kN.
#[test]
fn a_screw_by_en_1995() {
    let screw = ScrewWithdrawalIn {
        rule: ScrewRule::En1995,
        diameter_m: 0.006,
        thread_m: 0.04,
        specific_gravity: None,
        density_kg_m3: Some(350.0),
        duration_factor: 1.0,
    };
    assert_close!(screw_withdrawal(&screw).expect("answers").withdrawal_n, 2.87e3, 2e-3, "2.87 kN");
}
