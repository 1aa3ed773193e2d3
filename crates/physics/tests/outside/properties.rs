//! What holds for every rig, whatever its numbers.

use physics::bridge::{BridgeFormulaIn, bridge_formula};
use physics::free_surface::{box_rise, box_shift};
use physics::grade::OnAxles;
use physics::ledger::{AxleAt, CentreOfGravityIn, Group, MassAt, axle_shares, centre_of_gravity};
use physics::lift::{CgHeightAxleLiftIn, cg_height_axle_lift};
use physics::reconcile::{ReconcileIn, ReconcileOut, ScaleReading, reconcile};
use physics::stability::{RollThresholdIn, roll_threshold, speed_at, stability_factor};
use physics::wheels::{lever_arm, roll_shares};
use proptest::prelude::*;

fn close(got: f64, want: f64, scale: f64) -> Result<(), TestCaseError> {
    prop_assert!((got - want).abs() <= 1e-9 * scale.abs().max(want.abs()), "got {got}, want {want}");
    Ok(())
}

fn mass_at() -> impl Strategy<Value = MassAt> {
    (1.0..5000.0, -2.0..8.0, -1.2..1.2, 0.0..4.0).prop_map(|(mass_kg, x_m, y_m, z_m)| MassAt { mass_kg, x_m, y_m, z_m })
}

fn centre(masses: Vec<MassAt>) -> physics::ledger::CentreOfGravityOut {
    centre_of_gravity(&CentreOfGravityIn { masses }).expect("masses are positive")
}

/// Two to five axles of a truck, sprung, the last two of them equalised now and then.
fn axles() -> impl Strategy<Value = Vec<AxleAt>> {
    (prop::collection::vec((0.9..2.5, 1e5..9e5), 1..5), any::<bool>()).prop_map(|(gaps, tandem)| {
        let mut x_m = 0.0;
        let mut axles = vec![AxleAt { x_m, stiffness_n_m: Some(3e5), ..AxleAt::default() }];
        for (gap, k) in gaps {
            x_m += gap;
            axles.push(AxleAt { x_m, stiffness_n_m: Some(k), ..AxleAt::default() });
        }
        if tandem && axles.len() > 2 {
            for axle in axles.iter_mut().rev().take(2) {
                axle.group = Some(Group("tandem".into()));
            }
        }
        axles
    })
}

fn update(prior: [f64; 2], sds: [f64; 2], readings: Vec<ScaleReading>) -> ReconcileOut {
    let covariance_kg2 = vec![vec![sds[0] * sds[0], 0.0], vec![0.0, sds[1] * sds[1]]];
    reconcile(&ReconcileIn { prior_kg: prior.to_vec(), covariance_kg2, readings, shared_covariance_kg2: None }).expect("solvable")
}

fn reading(weights: [f64; 2], value_kg: f64, sd_kg: f64) -> ScaleReading {
    ScaleReading { weights: weights.to_vec(), value_kg, sd_kg }
}

proptest! {
    #[test]
    fn axle_loads_keep_mass_and_moment(axles in axles(), masses in prop::collection::vec(mass_at(), 1..8)) {
        let mass: f64 = masses.iter().map(|m| m.mass_kg).sum();
        let moment: f64 = masses.iter().map(|m| m.mass_kg * m.x_m).sum();
        let loads = axle_shares(&axles).expect("sprung").loads(mass, moment);
        let reach = mass * 12.0;
        close(loads.iter().sum(), mass, reach)?;
        // An equalised group holds its moment at its mean place, which equal loads do too.
        close(loads.iter().zip(&axles).map(|(load, a)| load * a.x_m).sum(), moment, reach)?;
    }

    #[test]
    fn a_fixed_load_keeps_mass_and_moment_too(fixed in 0.0..3000.0_f64, x in 4.5..7.0_f64, m in mass_at()) {
        let free = |x_m| AxleAt { x_m, ..AxleAt::default() };
        let tag = AxleAt { x_m: x, fixed_load_kg: Some(fixed), ..AxleAt::default() };
        let loads = axle_shares(&[free(0.0), free(4.2), tag]).expect("two are free").loads(m.mass_kg, m.mass_kg * m.x_m);
        close(loads.iter().sum(), m.mass_kg, 1e5)?;
        close(loads[1] * 4.2 + loads[2] * x, m.mass_kg * m.x_m, 1e5)?;
        prop_assert_eq!(loads[2], fixed);
    }

    #[test]
    fn springs_drop_out_with_two_axles(k in 1e4..1e7_f64, l in 1.0..8.0_f64, m in mass_at()) {
        let loads = |a: Option<f64>, b: Option<f64>| {
            let axle = |x_m, stiffness_n_m| AxleAt { x_m, stiffness_n_m, ..AxleAt::default() };
            axle_shares(&[axle(0.0, a), axle(l, b)]).expect("two axles").loads(m.mass_kg, m.mass_kg * m.x_m)
        };
        let rear = m.mass_kg * m.x_m / l;
        close(loads(None, None)[1], rear, m.mass_kg * 8.0)?;
        prop_assert_eq!(loads(Some(k), Some(3e5)), loads(None, None));
    }

    #[test]
    fn moving_a_mass_moves_the_rear_axle_by_m_dx_over_l(m in mass_at(), dx in -3.0..3.0_f64, l in 1.0..8.0_f64) {
        let axle = |x_m| AxleAt { x_m, ..AxleAt::default() };
        let shares = axle_shares(&[axle(0.0), axle(l)]).expect("two axles");
        let at = |x: f64| shares.loads(m.mass_kg, m.mass_kg * x)[1];
        close(at(m.x_m + dx) - at(m.x_m), m.mass_kg * dx / l, m.mass_kg * 10.0)?;
        close(shares.axles[1].of_mass_at(m.x_m) * m.mass_kg, at(m.x_m), m.mass_kg * 10.0)?;
    }

    #[test]
    fn a_mass_at_the_centre_leaves_it_there(masses in prop::collection::vec(mass_at(), 1..8), more in 1.0..5000.0_f64) {
        let before = centre(masses.clone());
        let mut with = masses;
        with.push(MassAt { mass_kg: more, x_m: before.x_m, y_m: before.y_m, z_m: before.z_m });
        let after = centre(with);
        close(after.x_m, before.x_m, 10.0)?;
        close(after.y_m, before.y_m, 10.0)?;
        close(after.z_m, before.z_m, 10.0)?;
    }

    #[test]
    fn the_order_of_masses_does_not_matter(masses in prop::collection::vec(mass_at(), 2..8)) {
        let (there, mut turned) = (centre(masses.clone()), masses);
        turned.reverse();
        let back = centre(turned);
        close(back.x_m, there.x_m, 10.0)?;
        close(back.z_m, there.z_m, 10.0)?;
    }

    #[test]
    fn a_mirrored_offset_swaps_left_and_right(load in 0.0..9000.0_f64, track in 1.0..2.5_f64, y in -1.0..1.0_f64) {
        let (left, right) = lever_arm(load, track, y);
        prop_assert_eq!(lever_arm(load, track, -y), (right, left));
        close(left + right, load, load)?;
        close((right - left) * track / 2.0, load * y, load)?;
        prop_assert_eq!(stability_factor(track, 1.4, y), stability_factor(track, 1.4, -y));
    }

    #[test]
    fn a_stiff_frame_holds_the_whole_roll_moment(k in prop::collection::vec((1e4..1e7_f64, 1.0..2.5_f64), 2..5)) {
        let held: f64 = roll_shares(&k).iter().zip(&k).map(|(share, (_, track))| share * track).sum();
        close(held, 1.0, 1.0)?;
    }

    #[test]
    fn a_lift_gives_back_the_height_put_in(h in 0.6..3.0_f64, x in 0.5..3.7_f64, d in 0.1..1.6_f64, m in 1e3..2e4_f64) {
        let (l, r) = (4.2, 0.52);
        // A simulated rig: the front axle rises, the rear stays on the scale; moments about the rear contact line.
        let angle = quantity::real::asin(d / l);
        let (sine, cosine) = quantity::real::sin_cos(angle);
        let rear = m * (x * cosine + (h - r) * sine) / (l * cosine);
        let input = CgHeightAxleLiftIn { mass_kg: m, wheelbase_m: l, axle_load_level_kg: m * x / l, axle_load_lifted_kg: rear, lift_m: d, wheel_radius_m: r };
        prop_assume!(rear <= m);
        close(cg_height_axle_lift(&input).expect("in range").height_m, h, 100.0)?;
    }

    #[test]
    fn the_roll_threshold_has_its_two_limits(t in 1.2..2.5_f64, h in 0.7..3.0_f64, share in 0.0..1.0_f64, m in 1e3..3e4_f64, k in 1e6..1e8_f64) {
        let at = |roll_centre_height_m, roll_stiffness_nm_per_rad| roll_threshold(&RollThresholdIn {
            track_m: t, cg_height_m: h, roll_centre_height_m, roll_stiffness_nm_per_rad, mass_kg: m,
        }).expect("stiff enough").lateral_g;
        let rigid = stability_factor(t, h, 0.0);
        prop_assert!((at(share * h, 1e14) / rigid - 1.0).abs() < 1e-7, "K to infinity gives the static stability factor");
        close(at(h, k), rigid, rigid)?;
        prop_assert!(at(share * h, k) <= rigid * (1.0 + 1e-12), "springs never help");
    }

    #[test]
    fn an_inward_bank_helps_and_four_times_the_radius_doubles_the_speed(q in 0.1..0.9_f64, r in 5.0..500.0_f64, e in 0.0..0.09_f64) {
        prop_assert!(speed_at(q, r, -e) <= speed_at(q, r, 0.0) && speed_at(q, r, 0.0) <= speed_at(q, r, e));
        close(speed_at(q, 4.0 * r, e), 2.0 * speed_at(q, r, e), 1.0)?;
    }

    #[test]
    fn slope_loads_hold_the_rig(x in 0.2..4.0_f64, h in 0.4..3.0_f64, a in -1.0..1.0_f64, dec in -5.0..8.0_f64) {
        let rig = OnAxles { mass_kg: 9800.0, wheelbase_m: 4.2, cg_x_m: x, cg_height_m: h };
        let (front, rear) = rig.loads(a, dec);
        close(front + rear, 9800.0 * quantity::real::cos(a), 1e5)?;
        // Turned about, nose up becomes nose down and the axles change places.
        let turned = OnAxles { cg_x_m: 4.2 - x, ..rig }.loads(-a, -dec);
        close(turned.0, rear, 1e5)?;
        close(turned.1, front, 1e5)?;
    }

    #[test]
    fn cells_divide_by_their_square_and_fill_does_not_matter(b in 0.3..2.0_f64, n in 1_u32..9, share in 0.3..0.7_f64) {
        let n = f64::from(n);
        close(box_rise(1.0, b, n, 1000.0, 9000.0) * n * n, box_rise(1.0, b, 1.0, 1000.0, 9000.0), 1e-6)?;
        // Small enough to stay clear of floor and lid; the moment of the liquid is what counts, whatever the depth.
        let slope = 0.1 / b * 0.5;
        let d = share * 0.5;
        close(box_shift(b, 0.5, d, slope) * d, b * b * slope / 12.0, 1e-3)?;
    }

    #[test]
    fn liquid_stays_in_its_tank(b in 0.3..2.0_f64, d in 0.001..0.499_f64, slope in -20.0..20.0_f64) {
        let shift = box_shift(b, 0.5, d, slope);
        prop_assert!(shift.abs() < b / 2.0 && shift * slope >= 0.0);
        close(box_shift(b, 0.5, d, -slope), -shift, 1.0)?;
        // What is liquid below is air above: the two moments cancel.
        close(box_shift(b, 0.5, 0.5 - d, slope) * (0.5 - d), shift * d, 1.0)?;
    }

    #[test]
    fn the_bridge_formula_rises_with_length_and_nearly_with_axles(n in 2_u32..9, l in 4.0..60.0_f64, more in 0.0..20.0_f64) {
        let at = |axles_n, length_ft| bridge_formula(&BridgeFormulaIn { axles_n, length_ft }).expect("in range").gross_lb;
        prop_assert!(at(n, l + more) >= at(n, l));
        prop_assert!(at(n, l) % 500.0 == 0.0);
        // One more axle adds 12 steps and takes L / (N (N - 1)) of them.
        prop_assume!(l < 12.0 * f64::from(n * (n - 1)));
        prop_assert!(at(n + 1, l) >= at(n, l));
    }

    #[test]
    fn a_useless_scale_returns_the_list_and_a_perfect_one_itself(a in 100.0..9000.0_f64, b in 100.0..9000.0_f64, off in -500.0..500.0_f64) {
        let blind = update([a, b], [50.0, 80.0], vec![reading([0.4, 0.6], a + off, 1e8)]);
        close(blind.posterior_kg[0], a, 1e5)?;
        close(blind.posterior_kg[1], b, 1e5)?;
        let sharp = update([a, b], [1e6, 1e6], vec![reading([0.6, 0.2], 5000.0 + off, 1e-3), reading([0.4, 0.8], 4000.0, 1e-3)]);
        prop_assert!((0.6 * sharp.posterior_kg[0] + 0.2 * sharp.posterior_kg[1] - 5000.0 - off).abs() < 1e-3);
        prop_assert!((0.4 * sharp.posterior_kg[0] + 0.8 * sharp.posterior_kg[1] - 4000.0).abs() < 1e-3);
    }

    #[test]
    fn readings_turned_about_turn_their_z(v in 3000.0..6000.0_f64, w in 3000.0..6000.0_f64) {
        let (one, two) = (reading([0.6, 0.2], v, 15.0), reading([0.4, 0.8], w, 25.0));
        let there = update([7000.0, 2000.0], [40.0, 100.0], vec![one.clone(), two.clone()]);
        let back = update([7000.0, 2000.0], [40.0, 100.0], vec![two, one]);
        close(there.residual_z[0], back.residual_z[1], 1.0)?;
        close(there.residual_z[1], back.residual_z[0], 1.0)?;
        close(there.chi_square, back.chi_square, 1e3)?;
        close(there.posterior_kg[0], back.posterior_kg[0], 1e5)?;
    }

    #[test]
    fn a_suspects_z_is_how_far_it_was_moved(v in 3000.0..6000.0_f64, w in 3000.0..6000.0_f64) {
        let (prior, sds) = ([7000.0, 2000.0], [40.0, 100.0]);
        let out = update(prior, sds, vec![reading([0.6, 0.2], v, 15.0), reading([0.4, 0.8], w, 25.0)]);
        for s in &out.suspects {
            let moved = out.posterior_kg[s.index] - prior[s.index];
            let spread = (sds[s.index] * sds[s.index] - out.covariance_kg2[s.index][s.index]).sqrt();
            prop_assert!((s.z - moved / spread).abs() <= 1e-6 * s.z.abs().max(1.0), "{s:?}");
            prop_assert!(s.chi_square_left <= out.chi_square * (1.0 + 1e-12));
        }
        let shares: f64 = out.suspects.iter().map(|s| s.share).sum();
        prop_assert!(shares < 1.0 + 1e-12, "and nothing wrong has the rest");
    }
}
