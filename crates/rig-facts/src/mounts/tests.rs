use std::sync::Arc;

use physics::facts::gravity;
use physics::support::Direction as Motion;
use quantity::Estimate;
use rig_model::{Edit, EditOp, Free, Syntax, read_rig};

use super::*;

/// 2.5 t with its centre at (1.9, 0.05, 0.95) above mounts at z = 0 ahead of a rig that stands high enough: the worked
/// example of six mounts, stiffnesses 50, 20 and 100 kN/mm. Invented; not a real truck.
const SIX: [(&str, f64, f64); 6] =
    [("FL", 0.4, -0.4), ("FR", 0.4, 0.4), ("ML", 2.0, -0.4), ("MR", 2.0, 0.4), ("RL", 3.6, -0.4), ("RR", 3.6, 0.4)];

fn rig(mounts: &str) -> String {
    format!(
        "format = \"rigproof-rig/1\"\nrig = \"invented\"\n\
         [[axle]]\nname = \"front\"\nx = \"0 m\"\ntrack = \"1.9 m\"\nbare_load = \"2000 kg\"\n\
         [[axle]]\nname = \"rear\"\nx = \"3.6 m\"\ntrack = \"1.9 m\"\nbare_load = \"1500 kg\"\n\
         [chassis]\ncentre_height = \"0.9 m\"\n\
         [body]\nfront = {{ value = \"0 m\", tolerance = \"0 m\" }}\nfloor = {{ value = \"1 m\", tolerance = \"0 m\" }}\n\
         length = \"4 m\"\nwidth = \"2 m\"\nheight = \"2 m\"\n\
         [[mass]]\nname = \"body and all\"\nin = \"body\"\nmass = \"2500 kg +- 100 kg\"\n\
         at = [\"1.9 m +- 0.1 m\", {{ value = \"0.05 m\", tolerance = \"0.02 m\" }}, \"0.95 m +- 0.1 m\"]\n\
         [[mass]]\nname = \"winch\"\nmass = \"80 kg\"\nat = [\"-0.8 m\", \"0 m\", \"0.8 m\"]\n\
         [[state]]\nname = \"road\"\nkind = \"travel\"\n{mounts}"
    )
}

fn mount(name: &str, x: f64, y: f64, more: &str) -> String {
    format!(
        "[[mount]]\nname = \"{name}\"\nat = [\"{x} m +- 0 m\", \"{y} m +- 0 m\", \"1 m +- 0 m\"]\n\
         stiffness = {{ x = \"50 kN/mm\", y = \"20 kN/mm\", z = \"100 kN/mm\" }}\n{more}\n"
    )
}

fn six(more: &str) -> String {
    rig(&SIX.map(|(name, x, y)| mount(name, x, y, more)).concat())
}

fn facts(text: &str) -> Facts {
    let (_, rig) = read_rig(text, Syntax::Toml).unwrap_or_else(|problems| panic!("{problems:?}"));
    // The shell of which nothing is told would stop every sum.
    let mut rig = rig;
    if let Some(body) = &mut rig.body {
        body.mass = Some(quantity::Stated::from_text("0 kg").expect("it reads"));
    }
    Facts::derive(Arc::new(rig))
}

fn case(facts: &Facts, table: &str, name: &str) -> &'static Case {
    let id = format!("mounts/acceleration-{table}");
    facts.mounts().cases().iter().find(|case| case.table == id && case.name == name).expect("it is in force")
}

fn carried<'f>(facts: &'f Facts, case: &Case) -> &'f Carried {
    match facts.mount_outcome(&facts.states()[0], case) {
        Ok(Outcome::Held(carried)) => carried,
        other => panic!("{other:?}"),
    }
}

fn names(facts: &Facts) -> Vec<&str> {
    facts.states()[0].items.iter().filter(|item| item.rides).map(|item| item.name.as_str()).collect()
}

fn near(a: f64, b: f64, within: f64) -> bool {
    (a - b).abs() <= within
}

/// Worked example: six mounts, reference page of the trade, computed there with numpy; forces on the frame, N.
#[test]
fn six_bolted_mounts_carry_as_worked_by_hand() {
    let facts = facts(&six("kind = \"fixed\""));
    let riding = facts.riding(&facts.states()[0]).expect("it rides");
    assert_eq!(names(&facts), ["body shell", "body and all"], "the winch stands on the chassis");
    assert_eq!(riding.mass.as_ref().map(Estimate::value), Ok(2500.0));
    assert_eq!(facts.mounts().free_motions(), Ok(&[][..]));
    for (table, name, wanted) in [
        ("static", "static", [3958.0, 4980.0, 3575.0, 4597.0, 3192.0, 4214.0]),
        ("en-12195-1", "forward", [6870.0, 7891.0, 3575.0, 4597.0, 281.0, 1302.0]),
        ("en-12195-1", "right", [-894.0, 9832.0, -1277.0, 9449.0, -1660.0, 9066.0]),
    ] {
        let carried = carried(&facts, case(&facts, table, name));
        for (index, wanted) in wanted.into_iter().enumerate() {
            let [_, _, z] = carried.nominal(index);
            assert!(near(z, wanted, 0.6), "{name} {index}: {z} {wanted}");
        }
        // Sums close: what the mounts put up is the weight.
        let up: f64 = (0..6).map(|index| carried.nominal(index)[2]).sum();
        assert!(near(up, 2500.0 * gravity(), 1e-6));
    }
    // The largest of braking along and across together: a sixth of 0.8 x 2500 g and what the turn about z adds.
    let braking = carried(&facts, case(&facts, "en-12195-1", "forward"));
    let level = |index: usize| {
        let [x, y, _] = braking.nominal(index);
        (x * x + y * y).sqrt()
    };
    let largest = (0..6).map(level).fold(0.0, f64::max);
    assert!(near(largest, 3349.0, 1.0), "{largest}");
}

/// The doubt is that of a plain difference: 95 % half widths of mass and place, one at a time.
#[test]
fn the_doubt_of_a_share_follows_mass_place_and_stiffness() {
    let facts = facts(&six("kind = \"fixed\""));
    let state = &facts.states()[0];
    let carried = carried(&facts, case(&facts, "static", "static"));
    let force = facts.mount_force(state, carried, 0, Axis::Z).expect("it is known");
    assert!(near(force.value(), carried.nominal(0)[2], 1e-9));
    // From the worked example: static N = W/6 (1 + ...); by x: W (x - xm) / sum, here -W 1.6 / (4 x 1.6^2) a metre.
    let weight = 2500.0 * gravity();
    let (by_mass, by_x) = (3958.0 / 2500.0, -weight / 1.6 / 4.0);
    let by_y = -weight / 0.4 / 6.0;
    // Its own stiffness, measured to 20 %: leverage of a corner is 1/6 + 1/4 + 1/6.
    let own = 3958.0 * (1.0 - (1.0 / 6.0 + 1.0 / 4.0 + 1.0 / 6.0)) * 0.2;
    let rail = 3958.0 * 0.3;
    let parts: [f64; 5] = [by_mass * 100.0, by_x * 0.1, by_y * 0.02, own, rail];
    let by_hand = parts.iter().map(|part| part * part).sum::<f64>().sqrt() / quantity::Z95;
    assert!(near(force.sd() / by_hand, 1.0, 0.002), "{} {by_hand}", force.sd());
    // Shifted by the doubt of x, the answer itself shifts so.
    let moved = self::facts(&six("kind = \"fixed\"").replace("1.9 m +- 0.1 m", "2 m +- 0.1 m"));
    let there = self::carried(&moved, case(&moved, "static", "static")).nominal(0)[2];
    assert!(near(there - carried.nominal(0)[2], by_x * 0.1, 1.0));
}

#[test]
fn what_holds_one_way_lets_go_and_the_body_tips_over_its_right_hand_mounts() {
    // Packers that also hold sideways and along: up is not held. 0.5 g is more than 0.4 / 0.95 = 0.42 g.
    let packers = "kind = \"fixed\"\nholds = [\"down\", \"forward\", \"rearward\", \"left\", \"right\"]";
    let facts = facts(&six(packers));
    let right = case(&facts, "en-12195-1", "right");
    match facts.mount_outcome(&facts.states()[0], right) {
        Ok(Outcome::LetsGo { motions, surely, .. }) => {
            assert_eq!(motions.iter().map(|motion| motion.direction()).collect::<Vec<_>>(), [Motion::Roll]);
            let axis = motions[0].axis_point.expect("a turn has an axis");
            assert!(near(axis[1], 0.4, 1e-6), "{axis:?}");
            assert!(surely);
        }
        other => panic!("{other:?}"),
    }
    let forward = carried(&facts, case(&facts, "en-12195-1", "forward"));
    assert!(forward.surely && forward.nominal(4)[2] > 0.0);
    // 1 g net up: nothing holds it down.
    let up = facts.mount_outcome(&facts.states()[0], case(&facts, "good-practice", "up"));
    assert!(matches!(up, Ok(Outcome::LetsGo { .. })), "{up:?}");
    // Weaker braking than tips it, with a centre of gravity so doubtful that it may tip.
    let doubtful = self::facts(&six(packers).replace("0.95 m +- 0.1 m", "2.4 m +- 1.2 m"));
    match doubtful.mount_outcome(&doubtful.states()[0], case(&doubtful, "en-12195-1", "rearward")) {
        Ok(Outcome::Held(carried)) => assert!(!carried.surely),
        Ok(Outcome::LetsGo { surely, .. }) => assert!(!surely),
        other => panic!("{other:?}"),
    }
}

#[test]
fn nothing_along_is_a_slide_whatever_the_load() {
    let facts = facts(&six("kind = \"slide\""));
    let motions = facts.mounts().free_motions().expect("they stand somewhere");
    assert_eq!(motions.iter().map(|motion| motion.direction()).collect::<Vec<_>>(), [Motion::ForeAndAft]);
    let still = facts.mount_outcome(&facts.states()[0], case(&facts, "static", "static"));
    assert!(matches!(still, Ok(Outcome::Free(_))), "{still:?}");
    let clamps = self::facts(&six("kind = \"clamp\""));
    assert_eq!(clamps.mounts().free_motions().map(<[_]>::len), Ok(3), "along, across and yaw");
}

#[test]
fn what_is_not_told_is_a_gap_at_its_path() {
    let facts = facts(&six(""));
    assert_eq!(facts.mounts().free_motions().map_err(|gap| gap.path), Err("mount[FL].kind".to_owned()));
    assert_eq!(self::facts(&rig("")).mounts().free_motions().map_err(|gap| gap.path), Err("mount".to_owned()));
    assert!(self::facts(&rig("")).mounts().cases().is_empty());
    let no_place = self::facts(&rig("[[mount]]\nname = \"a\"\nkind = \"fixed\"\n"));
    assert_eq!(no_place.mounts().free_motions().map_err(|gap| gap.path), Err("mount[a].at".to_owned()));
}

#[test]
fn codes_bring_their_cases_and_equal_ones_share_an_answer() {
    let text = six("kind = \"fixed\"").replace("rig = \"invented\"\n", "rig = \"invented\"\ncodes = [\"us-federal\"]\n");
    let facts = facts(&text);
    let names: Vec<&str> = facts.mounts().cases().iter().map(|case| case.table).collect();
    assert!(names.contains(&"mounts/acceleration-us-federal-wll") && !names.contains(&"mounts/acceleration-off-road"));
    let (ours, theirs) = (case(&facts, "en-12195-1", "forward"), case(&facts, "us-federal", "forward"));
    assert!(std::ptr::eq(carried(&facts, ours), carried(&facts, theirs)));
}

/// What `on` says wins over where a thing is counted from; a panel on the roof rides.
#[test]
fn what_rides_is_what_the_rule_says() {
    let more = "[[mass]]\nname = \"battery box\"\nmass = \"60 kg\"\nat = [\"2 m\", \"0.9 m\", \"0.8 m\"]\non = \"body\"\n\
                [[mass]]\nname = \"tool box\"\nmass = \"40 kg\"\nin = \"body\"\nat = [\"1 m\", \"0 m\", \"-0.4 m\"]\non = \"chassis\"\n\
                [[tank]]\nname = \"fresh\"\nvolume = \"100 L\"\nholds = \"water\"\nfill = \"full\"\nat = [\"2 m\", \"0 m\", \"0.8 m\"]\non = \"body\"\n\
                [[roof_item]]\nname = \"panel\"\nmass = \"20 kg\"\ncount = 2\nat = [\"1 m\", \"0 m\", \"3.2 m\"]\n\
                [[roof_item]]\nname = \"feet\"\nof = \"panel\"\n\
                [[panel]]\nname = \"glass\"\nmass = \"11 kg\"\nat = [\"2 m\", \"0 m\", \"3.2 m\"]\n\
                [[battery]]\nname = \"starter\"\nmass = \"30 kg\"\nin_series = 2\nat = [\"1 m\", \"0.6 m\", \"0.8 m\"]\n\
                [[battery]]\nname = \"house\"\nmass = \"24 kg\"\nin = \"body\"\nat = [\"1 m\", \"0 m\", \"0.2 m\"]\n\
                [[inverter]]\nname = \"untold\"\n\
                [[seat]]\nname = \"driver\"\nat = [\"-0.3 m\", \"-0.5 m\", \"1.5 m\"]\n";
    let facts = facts(&format!("{}{more}", six("kind = \"fixed\"")));
    let riding = facts.riding(&facts.states()[0]).expect("it rides");
    assert_eq!(
        names(&facts),
        ["body shell", "body and all", "battery box", "fresh", "panel", "glass", "house", "water in fresh"]
    );
    let mass = riding.mass.as_ref().map(Estimate::value).expect("it is told");
    assert!(near(mass, 2500.0 + 60.0 + 40.0 + 11.0 + 24.0 + 99.8, 0.5), "{mass}");
}

/// By hand, two axles 3.6 m apart: under 2500 kg at 1.9 m, winch of 80 kg at -0.8 m.
#[test]
fn the_frame_bends_as_a_beam_on_two_axles() {
    let bare = facts(&rig(""));
    let state = &bare.states()[0];
    let at = |x: f64| bare.rail_moment(state, x).expect("it is known").value() / gravity();
    let rear = (2500.0 * 1.9 - 80.0 * 0.8) / 3.6;
    let front = 2580.0 - rear;
    assert!(near(at(-0.9), 0.0, 1e-9));
    assert!(near(at(0.0), -80.0 * 0.8, 1e-6), "the winch hangs over");
    assert!(near(at(1.9), front * 1.9 - 80.0 * 2.7, 1e-6));
    assert!(near(at(4.5), 0.0, 1e-6), "nothing is behind");
    // On six mounts the same body presses in three places; behind all of them the sums close again.
    let six = self::facts(&six("kind = \"fixed\""));
    let state = &six.states()[0];
    let at = |x: f64| six.rail_moment(state, x).expect("it is known").value() / gravity();
    assert!(near(at(4.5), 0.0, 1e-6) && near(at(0.0), -64.0, 1e-6));
    let fronts = (3958.0 + 4980.0) / gravity();
    assert!(near(at(1.9), front * 1.9 - 80.0 * 2.7 - fronts * 1.5, 0.2));
}

/// An edit of a joint keeps every load and every answer that does not rest on it.
#[test]
fn an_edited_copy_shares_what_it_can() {
    let text = six("kind = \"fixed\"\nbolts = { size = \"M12\", torque = \"80 Nm\" }");
    let (document, rig) = read_rig(&text, Syntax::Toml).expect("it reads");
    let before = Facts::derive(Arc::new(rig.clone()));
    for (path, to, shared) in [
        ("mount[FL].bolts.torque", "90 Nm", true),
        ("mount[FL].bolts.size", "M14", true),
        ("mount[FL].at[1]", "0.5 m +- 0 m", false),
    ] {
        let edit = Edit { path: path.to_owned(), op: EditOp::Set, from: None, to: Some(Free::Text(to.to_owned())) };
        let (edited, problems) = document.with(&[edit]).expect("it applies").read();
        assert_eq!(problems, [], "{path}");
        let copy = before.shared_with(&edited, &rig).expect("the ledger is the same");
        let anew =
            Facts::build(&edited, Arc::clone(&before.beside), Some(crate::facts::Before { facts: &before, same_power: false }));
        assert_eq!(format!("{:?}", copy.mounts.told), format!("{:?}", anew.mounts.told), "{path}");
        assert_eq!(format!("{:?}", copy.mounts.layout), format!("{:?}", anew.mounts.layout), "{path}");
        assert_eq!(Arc::ptr_eq(&copy.mounts.solved, &before.mounts.solved), shared, "{path}");
    }
}

#[test]
#[ignore = "prints times; run by hand with --release"]
fn times() {
    let text = include_str!("../../../../examples/herbarium-truck/rig.toml");
    let (_, with) =
        read_rig(&format!("{text}\n{}", SIX.map(|(name, x, y)| mount(name, x, y, "kind = \"fixed\"")).concat()), Syntax::Toml)
            .unwrap_or_else(|problems| panic!("{problems:?}"));
    let (_, without) = read_rig(text, Syntax::Toml).expect("it reads");
    let (with, without) = (Arc::new(with), Arc::new(without));
    for _ in 0..2 {
        let start = std::time::Instant::now();
        let plain = Facts::derive(Arc::clone(&without));
        let first = start.elapsed();
        let facts = Facts::derive(Arc::clone(&with));
        let second = start.elapsed();
        let _ = facts.mounts().free_motions();
        let third = start.elapsed();
        let mut held = 0;
        for state in facts.states() {
            for case in facts.mounts().cases() {
                if let Ok(Outcome::Held(carried)) = facts.mount_outcome(state, case) {
                    held += carried.count();
                }
            }
        }
        let fourth = start.elapsed();
        for state in facts.states() {
            for case in facts.mounts().cases() {
                if let Ok(Outcome::Held(carried)) = facts.mount_outcome(state, case) {
                    for mount in 0..carried.count() {
                        for axis in [Axis::X, Axis::Y, Axis::Z] {
                            assert!(facts.mount_force(state, carried, mount, axis).is_ok());
                        }
                    }
                }
            }
        }
        let fifth = start.elapsed();
        println!(
            "derive {first:?}, with mounts {:?}, layout {:?}, {} states' outcomes {:?} ({held}), all forces {:?}; {}",
            second - first,
            third - second,
            facts.states().len(),
            fourth - third,
            fifth - fourth,
            plain.inputs().len()
        );
    }
}
