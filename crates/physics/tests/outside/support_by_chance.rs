//! A rigid body on mounts: bodies drawn by chance, held against another formulation, and those that chance found.

// The lint that frees tests of this sees only functions marked #[test], not the helpers they share.
#![allow(clippy::panic)]

use crate::support::held;
use nalgebra::{DMatrix, DVector};
use physics::support::{Answer, FreeMotion, Load, Mount, Pushes, reactions};
use proptest::prelude::*;

/// Another formulation: the stretched springs as one dense least-squares problem, solved by an orthogonal factorisation about
/// the vehicle's own axes, unscaled. Not by nalgebra's singular value decomposition: of some such matrices it comes back with
/// factors whose product is another matrix, as one below.
fn by_least_squares(mounts: &[Mount], load: &Load) -> Option<Sprung> {
    let n = mounts.len() * 3;
    // Forces f = -k u with u = A q and A^T K A q = w. With sqrt(K) A = Q R, the forces over sqrt(K) are -Q R^-T w.
    // Rows of nothing do not matter, and a matrix that is never wide has all six singular values.
    let mut a = DMatrix::<f64>::zeros(n.max(6), 6);
    for (i, m) in mounts.iter().enumerate() {
        let [x, y, z] = m.at;
        let rows = [[1.0, 0.0, 0.0, 0.0, z, -y], [0.0, 1.0, 0.0, -z, 0.0, x], [0.0, 0.0, 1.0, y, -x, 0.0]];
        for (axis, row) in rows.iter().enumerate() {
            for (j, value) in row.iter().enumerate() {
                a[(3 * i + axis, j)] = value * m.stiffness[axis].sqrt();
            }
        }
    }
    let ([fx, fy, fz], [x, y, z]) = (load.force, load.at);
    let w = DVector::from_vec(vec![fx, fy, fz, y * fz - z * fy, z * fx - x * fz, x * fy - y * fx]);
    // Squares of the singular values.
    let squares = a.tr_mul(&a).symmetric_eigenvalues();
    if squares.min() <= 1e-4 * 1e-4 * squares.max() {
        return None;
    }
    let qr = a.qr();
    let half = qr.r().transpose().solve_lower_triangular(&w)?;
    let (scaled, shift) = (qr.q() * &half, qr.r().solve_upper_triangular(&half)?);
    let force = |(i, m): (usize, &Mount)| std::array::from_fn(|axis| -scaled[3 * i + axis] * m.stiffness[axis].sqrt());
    let on_body = mounts.iter().enumerate().map(force).collect();
    let part = |from: usize| std::array::from_fn(|i| shift[from + i]);
    Some(Sprung { on_body, motion: FreeMotion { translation: part(0), rotation: part(3), axis_point: None, advance: 0.0 } })
}

/// Reactions, and where the body goes.
struct Sprung {
    on_body: Vec<[f64; 3]>,
    motion: FreeMotion,
}

/// Four mounts among three that hold nothing, which a singular value decomposition got wrong by 280 N. The reactions are of
/// the same numbers in exact fractions (Python's `fractions`, normal equations by elimination), rounded at the end.
#[test]
fn reactions_in_exact_fractions() {
    let nothing = ([0.0; 3], [0.0; 3]);
    let mounts = [
        ([3.3772485154071434, 0.0, 0.01931645670926717], [0.0, 913709647.4711772, 0.0]),
        ([0.0, -0.2833061882572042, -0.04286425740742462], [8161702.954143214, 0.0, 1e8]),
        nothing,
        nothing,
        ([6.339262242124167, 0.48948266743886204, -0.030819601425805775], [1e8, 0.0, 703364015.3851167]),
        nothing,
        ([6.069765196956627, -0.06184246633625515, -0.06871107803385283], [0.0, 330878996.74541587, 425747064.21422946]),
    ]
    .map(|(at, stiffness)| Mount { at, stiffness, ..Mount::default() });
    let load = Load { force: [0.0, 0.0, -26814.73412586245], at: [0.0; 3] };
    let exact = [
        [0.0, -8.303568016614133, 0.0],
        [-28.930923675104598, 0.0, 27437.517411792436],
        [0.0; 3],
        [0.0; 3],
        [28.930923675104598, 0.0, 14027.97115959755],
        [0.0; 3],
        [0.0, 8.303568016614133, -14650.754445527533],
    ];
    let held = held(&mounts, &load);
    let other = by_least_squares(&mounts, &load).expect("nothing is free");
    for answer in [&held.on_body, &other.on_body] {
        for (is, wanted) in answer.iter().flatten().zip(exact.iter().flatten()) {
            assert!((is - wanted).abs() < 1e-7, "{is} {wanted}");
        }
    }
}

fn any_mount() -> impl Strategy<Value = Mount> {
    let k = || prop_oneof![Just(0.0), 1e5..1e9f64, Just(1e8)];
    // Anywhere, or in rows as one builds.
    let x = prop_oneof![-1.0..8.0, (0..4).prop_map(f64::from)];
    let y = prop_oneof![-1.0..1.0, Just(-0.4), Just(0.4)];
    let z = prop_oneof![-0.3..0.3, Just(0.0)];
    ((x, y, z), (k(), k(), k())).prop_map(|((x, y, z), (kx, ky, kz))| Mount {
        at: [x, y, z],
        stiffness: [kx, ky, kz],
        ..Mount::default()
    })
}

fn any_load() -> impl Strategy<Value = Load> {
    let f = || prop_oneof![2 => -5e4..5e4f64, 1 => Just(0.0)];
    ((f(), f(), f()), (0.0..5.0, prop_oneof![-0.5..0.5, Just(0.0)], 0.0..2.0))
        .prop_map(|((a, b, c), (x, y, z))| Load { force: [a, b, c], at: [x, y, z] })
}

fn any_pushes() -> impl Strategy<Value = [Pushes; 3]> {
    let one = || prop_oneof![Just(Pushes::Both), Just(Pushes::Positive), Just(Pushes::Negative)];
    (one(), one(), one()).prop_map(|(x, y, z)| [x, y, z])
}

/// How a free motion moves a point.
fn moves(motion: &FreeMotion, [x, y, z]: [f64; 3]) -> [f64; 3] {
    let ([tx, ty, tz], [wx, wy, wz]) = (motion.translation, motion.rotation);
    [tx + wy * z - wz * y, ty + wz * x - wx * z, tz + wx * y - wy * x]
}

/// How far a motion that counts as free may stretch a spring: a ten-thousandth of the largest singular value (at most the
/// root of the number of springs) times the motion's size, turns scaled by the mounts' spread about their middle.
fn free_stretch(mounts: &[Mount], motion: &FreeMotion) -> f64 {
    let size = |v: [f64; 3]| v.iter().map(|c| c * c).sum::<f64>().sqrt();
    let middle = [0, 1, 2].map(|axis| mounts.iter().map(|m| m.at[axis]).sum::<f64>() / mounts.len() as f64);
    let from_middle = |m: &Mount| size([0, 1, 2].map(|axis| m.at[axis] - middle[axis]));
    let spread = mounts.iter().map(from_middle).fold(0.0, f64::max);
    let reach = if spread > 0.0 { spread } else { 1.0 };
    let springs = mounts.iter().flat_map(|m| m.stiffness).filter(|k| *k > 0.0).count().max(1);
    let (shift, turn) = (size(moves(motion, middle)), size(motion.rotation) * reach);
    1e-4 * (springs as f64).sqrt() * size([shift, turn, 0.0])
}

/// Force and moment that the mounts and the load leave over, as a share of what they come to.
fn left_over(mounts: &[Mount], on_body: &[[f64; 3]], load: &Load) -> f64 {
    let cross = |[x, y, z]: [f64; 3], [a, b, c]: [f64; 3]| [y * c - z * b, z * a - x * c, x * b - y * a];
    let all = || mounts.iter().zip(on_body).map(|(m, f)| (m.at, *f)).chain([(load.at, load.force)]);
    let (mut worst, mut size): (f64, f64) = (0.0, 1e-9);
    for axis in 0..3 {
        let force: f64 = all().map(|(_, f)| f[axis]).sum();
        let moment: f64 = all().map(|(at, f)| cross(at, f)[axis]).sum();
        worst = worst.max(force.abs()).max(moment.abs());
        size = all().map(|(at, f)| f[axis].abs().max(cross(at, f)[axis].abs())).fold(size, f64::max);
    }
    worst / size
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn forces_and_moments_close_and_another_formulation_agrees(
        mounts in prop::collection::vec(any_mount(), 1..12),
        load in any_load(),
    ) {
        match reactions(&mounts, &load) {
            Answer::Held(held) => {
                let left = left_over(&mounts, &held.on_body, &load);
                prop_assert!(left < 1e-9, "{left}");
                if let Some(other) = by_least_squares(&mounts, &load) {
                    let size = other.on_body.iter().flatten().fold(0.0_f64, |size, f| size.max(f.abs()));
                    for (a, b) in held.on_body.iter().flatten().zip(other.on_body.iter().flatten()) {
                        prop_assert!((a - b).abs() <= 1e-6 * size, "{a} {b}");
                    }
                }
            }
            Answer::Free(motions) => {
                for motion in &motions {
                    let rounding = free_stretch(&mounts, motion);
                    for m in &mounts {
                        for (u, k) in moves(motion, m.at).iter().zip(m.stiffness) {
                            prop_assert!(k == 0.0 || u.abs() < rounding, "{motion:?} moves a mount that holds by {u}");
                        }
                    }
                }
            }
            other => prop_assert!(false, "{other:?}"),
        }
    }

    #[test]
    fn one_sided_mounts_push_only_their_way(
        mounts in prop::collection::vec((any_mount(), any_pushes()).prop_map(|(m, pushes)| Mount { pushes, ..m }), 3..12),
        load in any_load(),
    ) {
        one_sided(&mounts, &load)?;
    }
}

/// One-sided mounts push only their way, close the sums, and what let go has no reason to hold: the answer is the
/// one place where all that holds. When the body lets go, some motion that no mount resists takes the load with it.
fn one_sided(mounts: &[Mount], load: &Load) -> Result<(), TestCaseError> {
    match reactions(mounts, load) {
        Answer::Held(held) => {
            let left = left_over(mounts, &held.on_body, load);
            prop_assert!(left < 1e-9, "{left}");
            let size = held.on_body.iter().flatten().fold(0.0_f64, |size, f| size.max(f.abs()));
            for (m, f) in mounts.iter().zip(&held.on_body) {
                for (force, pushes) in f.iter().zip(m.pushes) {
                    let ok = match pushes {
                        Pushes::Both => true,
                        Pushes::Positive => *force >= -1e-9 * size,
                        Pushes::Negative => *force <= 1e-9 * size,
                    };
                    prop_assert!(ok, "{force} {pushes:?}");
                }
            }
            // Without those that let go the rest must carry as much, and the body go where none of those would push.
            let mut rest = mounts.to_vec();
            for (m, f) in rest.iter_mut().zip(&held.on_body) {
                for (k, f) in m.stiffness.iter_mut().zip(f) {
                    *k = if *f == 0.0 { 0.0 } else { *k };
                }
            }
            if let Some(other) = by_least_squares(&rest, load) {
                for (a, b) in held.on_body.iter().flatten().zip(other.on_body.iter().flatten()) {
                    prop_assert!((a - b).abs() <= 1e-6 * size, "{a} {b}");
                }
                for (m, f) in mounts.iter().zip(&held.on_body) {
                    for (axis, stretch) in moves(&other.motion, m.at).into_iter().enumerate() {
                        let push = match m.pushes[axis] {
                            _ if f[axis] != 0.0 => 0.0,
                            Pushes::Both => 0.0,
                            Pushes::Positive => -stretch * m.stiffness[axis],
                            Pushes::Negative => stretch * m.stiffness[axis],
                        };
                        prop_assert!(push <= 1e-6 * size, "{m:?} would push with {push}");
                    }
                }
            }
        }
        Answer::LetsGo { motions, .. } => {
            prop_assert!(!motions.is_empty());
            // With one motion left the proof is short: the load drives it one way, and no mount resists that way.
            if let [motion] = motions.as_slice() {
                let (rounding, at_load) = (free_stretch(mounts, motion), moves(motion, load.at));
                let drive: f64 = at_load.iter().zip(load.force).map(|(u, f)| u * f).sum();
                let least: f64 = 1e-6 * at_load.iter().zip(load.force).map(|(u, f)| (u * f).abs()).sum::<f64>();
                let springs: Vec<_> = mounts
                    .iter()
                    .flat_map(|m| moves(motion, m.at).into_iter().zip(m.stiffness.into_iter().zip(m.pushes)))
                    .collect();
                let goes = |way: f64| {
                    springs.iter().filter(|(_, (k, _))| *k > 0.0).all(|(u, (_, pushes))| match pushes {
                        Pushes::Both => u.abs() < rounding,
                        Pushes::Positive => u * way > -rounding,
                        Pushes::Negative => u * way < rounding,
                    })
                };
                let free = [1.0, -1.0].into_iter().any(|way| drive * way > -least && goes(way));
                prop_assert!(free, "{motion:?} is resisted, or not driven: {drive}");
            }
        }
        Answer::Free(motions) => prop_assert!(!motions.is_empty()),
        Answer::Unsettled => prop_assert!(false, "unsettled"),
    }
    Ok(())
}

/// Bodies on short levers and on springs of very unlike stiffness, found by chance: a one-sided mount pulled, the body was
/// said to go where mounts held it, or nothing was found.
#[test]
fn one_sided_mounts_on_short_levers() {
    use Pushes::{Both, Negative, Positive};
    let m = |at, stiffness, pushes| Mount { at, stiffness, pushes };
    let cases = [
        // The stiff one carries 22 kN less than nothing, beside 10 MN on the short lever.
        (
            vec![
                m([3.022164751176222, 0.6461369695689322, 0.2662387274811351], [1e5; 3], [Negative, Both, Both]),
                m([0.0; 3], [0.0, 850842203.1959009, 0.0], [Both, Negative, Both]),
                m([0.0, 0.0, 0.26606181998249523], [1e5, 1e5, 0.0], [Both; 3]),
            ],
            Load { force: [17161.117400366707, 0.0, 35852.62817174924], at: [2.3813939419891628, 0.3731621922579392, 0.0] },
        ),
        // The second mount holds roll by half a millimetre.
        (
            vec![
                m([7.497807163875222, -0.22198127284948896, -0.13135868624770056], [1e5; 3], [Both; 3]),
                m([0.0, 0.0, -0.13088439184457204], [1e5, 1e5, 0.0], [Negative, Positive, Both]),
                m([0.0; 3], [1e5, 0.0, 122456985.40721042], [Both, Both, Positive]),
            ],
            Load { force: [0.0, -12421.87473158999, -27237.74861915988], at: [0.0, 0.0, 1.6799803686250492] },
        ),
        // Three points nearly in line hold up; one mount holds sideways, and not that way.
        (
            vec![
                m([5.660836744423981, -0.7049444339426163, -0.22522600702815798], [0.0, 0.0, 1e5], [Both; 3]),
                m([5.924087874684136, -0.38062429560264743, 0.08426919374844835], [1e5, 0.0, 1e5], [Both; 3]),
                m([2.0695469192425717, 0.5449791893476448, 0.23372661435613556], [1e5, 1e5, 0.0], [Negative, Negative, Both]),
                m([6.664198905392116, 0.5152252781902452, -0.26199356283252256], [1e5, 0.0, 1e5], [Positive, Both, Both]),
            ],
            Load { force: [0.0, -42566.721595093986, 0.0], at: [0.0; 3] },
        ),
        // Two motions are nearly free; the load takes the other.
        (
            vec![
                m([0.0, 0.3581246444727054, -0.18179448774091062], [1e5, 1e5, 0.0], [Negative, Negative, Both]),
                m([-0.9811793514297038, 0.1113844615376528, 0.0], [1e5, 0.0, 1e5], [Positive, Both, Negative]),
                m([7.217526428352085, 0.2213682905234904, -0.07381473069627625], [1e5; 3], [Positive, Negative, Positive]),
            ],
            Load {
                force: [15914.819823810083, 6206.511610721451, 15255.786788181429],
                at: [2.4164081102863872, 0.0, 1.8931064595507263],
            },
        ),
        // Held with eight times the load, by the one of two that is nearer to the load's line.
        (
            vec![
                m([5.66417403865884, 0.0, -0.19077113497018333], [0.0, 1e5, 0.0], [Both; 3]),
                m([0.0; 3], [1e5, 0.0, 0.0], [Both; 3]),
                m([0.0, 0.0, -0.213943967516323], [1e5, 1e5, 0.0], [Both, Positive, Both]),
                m([0.0, 0.06594014636752611, 0.0], [1e5; 3], [Both, Positive, Both]),
            ],
            Load { force: [0.0, 46707.70794514804, 0.0], at: [0.0; 3] },
        ),
    ];
    let answers = cases.map(|(mounts, load)| {
        one_sided(&mounts, &load).unwrap();
        reactions(&mounts, &load)
    });
    let [Answer::Free(_), Answer::Held(by_roll), Answer::LetsGo { .. }, Answer::LetsGo { .. }, Answer::Held(by_far)] = answers
    else {
        panic!("{answers:#?}")
    };
    assert_eq!((by_roll.let_go, &by_far.let_go), (vec![2], &vec![3]));
    // By hand: no moment about the load's line fore and aft, so 0.19077 (F + R) = 0.21394 R.
    let (f, lever, further) = (46707.70794514804, 0.19077113497018333, 0.213943967516323);
    assert!((by_far.on_body[2][1] / (f * lever / (further - lever)) - 1.0).abs() < 1e-9, "{by_far:?}");
}
