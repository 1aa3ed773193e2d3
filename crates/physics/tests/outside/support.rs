//! A rigid body on mounts.

// The lint that frees tests of this sees only functions marked #[test], not the helpers they share.
#![allow(clippy::panic)]

use crate::F64;
use physics::support::{
    Answer, Direction, FreeMotion, Held, Load, Mount, MountAt, MountReactionsIn, Pushes, Standing, free_motions, mount_reactions,
    reactions,
};

const G: f64 = 9.80665;
const MASS: f64 = 2500.0;
/// Centre of gravity above the plane of the mounts.
const CG: [f64; 3] = [1.9, 0.05, 0.95];

fn mount(x: f64, y: f64, k: [f64; 3]) -> Mount {
    Mount { at: [x, y, 0.0], stiffness: k, ..Mount::default() }
}

/// Front left, front right, middle, rear.
fn six() -> Vec<Mount> {
    let k = [50e6, 20e6, 100e6];
    [0.4, 2.0, 3.6].into_iter().flat_map(|x| [mount(x, -0.4, k), mount(x, 0.4, k)]).collect()
}

fn inertia(x: f64, y: f64, z: f64) -> Load {
    Load { force: [MASS * G * x, MASS * G * y, MASS * G * z], at: CG }
}

pub(crate) fn held(mounts: &[Mount], load: &Load) -> Held {
    match reactions(mounts, load) {
        Answer::Held(held) => held,
        other => panic!("{other:?}"),
    }
}

fn up(held: &Held) -> Vec<f64> {
    held.on_body.iter().map(|f| f[2]).collect()
}

/// Computed elsewhere with numpy, printed to whole newtons, so 1 N in each.
#[test]
fn six_mounts_share_four_cases() {
    for (load, want) in [
        (inertia(0.0, 0.0, -1.0), [3958.0, 4980.0, 3575.0, 4597.0, 3192.0, 4214.0]),
        (inertia(-0.8, 0.0, -1.0), [6870.0, 7891.0, 3575.0, 4597.0, 281.0, 1302.0]),
        (inertia(0.0, 0.5, -1.0), [-894.0, 9832.0, -1277.0, 9449.0, -1660.0, 9066.0]),
        (inertia(0.0, 0.0, -2.5), [9896.0, 12450.0, 8938.0, 11492.0, 7981.0, 10534.0]),
    ] {
        for (got, want) in up(&held(&six(), &load)).iter().zip(want) {
            assert!((got - want).abs() < 1.0, "got {got}, want {want}");
        }
    }
    let braking = held(&six(), &inertia(-0.8, 0.0, -1.0));
    let flat = braking.on_body.iter().map(|[x, y, _]| (x * x + y * y).sqrt()).fold(0.0, f64::max);
    assert!((flat - 3349.0).abs() < 1.0, "{flat}");
    // By hand: 0.5 g moves 0.5 m g h / b from the left to the right; the left side keeps 10726 N of weight.
    let aside = up(&held(&six(), &inertia(0.0, 0.5, -1.0)));
    let moved = 0.5 * MASS * G * 0.95 / 0.8;
    let left = up(&held(&six(), &inertia(0.0, 0.0, -1.0)));
    assert_close!(aside[0] + aside[2] + aside[4], left[0] + left[2] + left[4] - moved, F64, "hand sum of the left side");
}

/// Three mounts are statics alone: sums of moments by hand, and the figures of numpy.
fn three() -> Vec<Mount> {
    vec![mount(0.4, 0.0, [50e6, 20e6, 100e6]), mount(3.6, -0.4, [0.0, 20e6, 100e6]), mount(3.6, 0.4, [0.0, 0.0, 100e6])]
}

#[test]
fn three_mounts_need_no_stiffness() {
    let rest = up(&held(&three(), &inertia(0.0, 0.0, -1.0)));
    for (got, want) in rest.iter().zip([13_024.5, 4_213.8, 7_278.4]) {
        assert!((got - want).abs() < 0.1, "got {got}, want {want}");
    }
    let front = MASS * G * (3.6 - 1.9) / 3.2;
    assert_close!(rest[0], front, F64, "moments about the rear mounts");
    let aside = up(&held(&three(), &inertia(0.0, 0.5, -1.0)));
    for (got, want) in aside.iter().zip([13_024.5, -10_343.0, 21_835.1]) {
        assert!((got - want).abs() < 0.1, "got {got}, want {want}");
    }
    let softer: Vec<Mount> = three().iter().map(|m| Mount { stiffness: m.stiffness.map(|k| k / 7.0), ..*m }).collect();
    for (a, b) in up(&held(&softer, &inertia(0.0, 0.5, -1.0))).iter().zip(&aside) {
        assert_close!(*a, *b, F64, "stiffness does not matter");
    }
}

fn only(motions: &[FreeMotion]) -> FreeMotion {
    assert_eq!(motions.len(), 1, "{motions:?}");
    motions[0]
}

/// By hand, and as numpy's singular vectors say: each direction left free is named, alone.
#[test]
fn each_of_the_six_directions_is_named_when_it_is_free() {
    let without = |axis: usize| -> Vec<Mount> {
        let mut mounts = six();
        mounts.iter_mut().for_each(|m| m.stiffness[axis] = 0.0);
        mounts
    };
    let along = only(&free_motions(&without(0)));
    assert_eq!((along.direction(), along.translation, along.rotation), (Direction::ForeAndAft, [1.0, 0.0, 0.0], [0.0; 3]));
    assert_eq!(only(&free_motions(&without(1))).direction(), Direction::Sideways);
    // Without any vertical hold the body may rise, roll and pitch.
    let names: Vec<_> = free_motions(&without(2)).iter().map(FreeMotion::direction).collect();
    assert_eq!(names, [Direction::UpAndDown, Direction::Roll, Direction::Pitch]);
    // One more holder at another place takes one away again: what is left turns about it.
    let mut pinned = without(2);
    pinned[2].stiffness[2] = 1e8;
    pinned[3].stiffness[2] = 1e8;
    let pitch = only(&free_motions(&pinned));
    assert_eq!(pitch.direction(), Direction::Pitch);
    let point = pitch.axis_point.expect("turns");
    assert!((point[0] - 2.0).abs() < 1e-9 && point[2].abs() < 1e-9, "{point:?}");
    let mut row = six();
    row.iter_mut().for_each(|m| m.at[1] = 0.4);
    let roll = only(&free_motions(&row));
    assert_eq!(roll.direction(), Direction::Roll);
    assert!((roll.axis_point.expect("turns")[1] - 0.4).abs() < 1e-12);
    // Front pivot alone holds sideways: yaw about it; the vector is (0, -0.4, 0, 0, 0, 1).
    let mut loose = three();
    loose[1].stiffness[1] = 0.0;
    let yaw = only(&free_motions(&loose));
    assert_eq!(yaw.direction(), Direction::Yaw);
    let point = yaw.axis_point.expect("turns");
    assert!((point[0] - 0.4).abs() < 1e-9 && point[1].abs() < 1e-9, "{point:?}");
    assert!((yaw.translation[1] + 0.4).abs() < 1e-9 && yaw.translation[0].abs() < 1e-9, "{:?}", yaw.translation);
    // No mount at all, and one mount: all six, and the three turns about it.
    let all =
        [Direction::ForeAndAft, Direction::Sideways, Direction::UpAndDown, Direction::Roll, Direction::Pitch, Direction::Yaw];
    let named = |mounts: &[Mount]| free_motions(mounts).iter().map(FreeMotion::direction).collect::<Vec<_>>();
    assert_eq!(named(&[mount(1.0, 0.0, [0.0; 3])]), all);
    let ball = free_motions(&[mount(1.0, 0.2, [1e6; 3])]);
    assert_eq!(ball.iter().map(FreeMotion::direction).collect::<Vec<_>>(), all[3..]);
    assert!(ball.iter().all(|m| m.axis_point.is_some_and(|p| (p[0] - 1.0).abs() < 1e-9 && (p[1] - 0.2).abs() < 1e-9)));
}

/// The middle of the mounts is where a free yaw is told from, so that a tape finds it.
#[test]
fn a_body_that_only_stands_slides_and_yaws_about_the_middle() {
    let mut mounts = six();
    mounts.iter_mut().for_each(|m| m.stiffness = [0.0, 0.0, 1e8]);
    let free = free_motions(&mounts);
    assert_eq!(
        free.iter().map(FreeMotion::direction).collect::<Vec<_>>(),
        [Direction::ForeAndAft, Direction::Sideways, Direction::Yaw]
    );
    let point = free[2].axis_point.expect("turns");
    assert!((point[0] - 2.0).abs() < 1e-9 && point[1].abs() < 1e-9, "{point:?}");
}

fn packers() -> Vec<Mount> {
    six().into_iter().map(|m| Mount { pushes: [Pushes::Both, Pushes::Both, Pushes::Positive], ..m }).collect()
}

/// By hand: on packers, 0.8 m apart, a centre of gravity 0.95 m up and 0.05 m right of the middle tips over the right
/// hand ones from (0.4 - 0.05) / 0.95 = 0.368 g on.
#[test]
fn packers_let_the_body_tip_where_the_hand_sum_says() {
    let edge = (0.4 - 0.05) / 0.95;
    let under = held(&packers(), &inertia(0.0, edge - 0.001, -1.0));
    let z = up(&under);
    assert!(z.iter().all(|z| *z >= 0.0) && z[0] > 0.0, "{z:?}");
    assert_close!(z[0] + z[2] + z[4], MASS * G * 0.001 * 0.95 / 0.8, 1e-6, "what is left on the left side");
    for over in [edge + 0.001, 0.5, 2.0] {
        let Answer::LetsGo { motions, let_go } = reactions(&packers(), &inertia(0.0, over, -1.0)) else { panic!("{over}") };
        assert_eq!(let_go, [0, 2, 4]);
        let roll = only(&motions);
        assert_eq!(roll.direction(), Direction::Roll);
        let point = roll.axis_point.expect("turns");
        assert!((point[1] - 0.4).abs() < 1e-9 && point[2].abs() < 1e-9, "{point:?}");
    }
    // Thrown up, nothing but a bolt holds it.
    let Answer::LetsGo { motions, .. } = reactions(&packers(), &inertia(0.0, 0.0, 1.0)) else { panic!("thrown up") };
    assert!(motions.iter().any(|m| m.direction() == Direction::UpAndDown), "{motions:?}");
}

/// Braking lifts the rear packers of a tall body on three rows: the middle row becomes the rear one, by hand from there.
#[test]
fn what_lets_go_hands_its_load_to_the_rest() {
    let load = Load { force: [-MASS * G, 0.0, -MASS * G], at: [1.9, 0.0, 1.2] };
    let out = held(&packers(), &load);
    assert_eq!(out.let_go, [4, 5]);
    let z = up(&out);
    let middle = MASS * G * (1.9 - 0.4 - 1.2) / 1.6;
    assert_close!(z[2] + z[3], middle, F64, "moments about the front row");
    assert_close!(z[0] + z[1], MASS * G - middle, F64, "sum");
    assert_eq!((z[4], z[5]), (0.0, 0.0));
}

/// A guide with a stop on each side works as one that holds both ways, whichever way the load goes.
#[test]
fn a_stop_on_each_side_is_a_hold() {
    let mut guided = six();
    for (i, m) in guided.iter_mut().enumerate() {
        m.pushes[1] = if i % 2 == 0 { Pushes::Positive } else { Pushes::Negative };
    }
    for aside in [0.3, -0.3, 0.0] {
        let out = held(&guided, &inertia(0.0, aside, -1.0));
        let sum: f64 = out.on_body.iter().map(|f| f[1]).sum();
        assert!((sum + aside * MASS * G).abs() < 1e-6 * MASS * G, "{sum}");
        assert!(out.on_body.iter().enumerate().all(|(i, f)| if i % 2 == 0 { f[1] >= 0.0 } else { f[1] <= 0.0 }));
    }
}

#[test]
fn the_kernel_says_the_same() {
    let at = |m: &Mount| MountAt {
        x_m: m.at[0],
        y_m: m.at[1],
        z_m: m.at[2],
        kx_n_m: m.stiffness[0],
        ky_n_m: m.stiffness[1],
        kz_n_m: m.stiffness[2],
        pushes_x: m.pushes[0],
        pushes_y: m.pushes[1],
        pushes_z: m.pushes[2],
    };
    let ask = |mounts: &[Mount], load: Load| {
        let mounts = mounts.iter().map(at).collect();
        mount_reactions(&MountReactionsIn { mounts, force: load.force, at: load.at }).expect("in range")
    };
    let load = inertia(0.0, 0.5, -1.0);
    let out = ask(&six(), load);
    assert_eq!(out.standing, Standing::Held);
    assert_eq!(out.reactions.iter().map(|r| r.z_n).collect::<Vec<_>>(), up(&held(&six(), &load)));
    let tips = ask(&packers(), load);
    assert_eq!((tips.standing, tips.reactions.len(), tips.let_go.len(), tips.free.len()), (Standing::LetsGo, 0, 3, 1));
    let mut loose = three();
    loose[1].stiffness[1] = 0.0;
    let yaws = ask(&loose, load);
    assert_eq!((yaws.standing, yaws.free[0].direction), (Standing::Free, Direction::Yaw));
}

/// How long one answer takes; run with `cargo test -p physics --release --test outside -- --ignored --nocapture`.
#[test]
#[ignore = "a measurement, not a check"]
fn time_of_an_answer() {
    for (name, mounts, load) in [
        ("6 mounts", six(), inertia(-0.8, 0.0, -1.0)),
        ("6 packers that let go", packers(), Load { force: [-MASS * G, 0.0, -MASS * G], at: [1.9, 0.0, 1.2] }),
        ("6 packers that tip", packers(), inertia(0.0, 0.5, -1.0)),
        ("60 mounts", (0..10).flat_map(|_| six()).collect(), inertia(-0.8, 0.0, -1.0)),
    ] {
        let start = std::time::Instant::now();
        for _ in 0..1000 {
            std::hint::black_box(reactions(std::hint::black_box(&mounts), &load));
        }
        println!("{name}: {:?} for a thousand", start.elapsed());
    }
}
