//! The ledger against worked examples and against plain arithmetic.
//!
//! Values marked "computed" come from an independent calculation (array arithmetic in another language, g = 9.80665);
//! the rigs are invented.
#![allow(clippy::panic, reason = "a test")]

use std::sync::Arc;

use rig_facts::{Facts, SideRule};
use rig_model::{Syntax, read_rig};

fn facts(text: &str) -> Facts {
    let text = format!("format = \"rigproof-rig/1\"\nrig = \"invented\"\n{text}");
    let (_, rig) = read_rig(&text, Syntax::Toml).unwrap_or_else(|problems| panic!("{problems:#?}"));
    Facts::derive(Arc::new(rig))
}

#[track_caller]
fn close(got: f64, want: f64, relative: f64) {
    assert!((got - want).abs() <= relative * want.abs().max(1e-12), "got {got}, want {want}");
}

const TRUCK: &str = r#"
chassis = { centre_height = "0.95 m" }
[[axle]]
name = "front"
x = "0 m"
track = "1.94 m"
bare_load = "3910 kg weighed"
tyre = { radius = "0.52 m" }
[[axle]]
name = "rear"
x = "4.2 m"
track = "1.94 m"
bare_load = "3290 kg weighed"
tyre = { radius = "0.52 m" }
"#;

fn mass(name: &str, kg: &str, x: &str, y: &str, z: &str) -> String {
    format!("[[mass]]\nname = \"{name}\"\nmass = \"{kg}\"\nat = [\"{x} m\", \"{y} m\", \"{z} m\"]\n")
}

/// A ledger of eight entries: computed.
#[test]
fn a_whole_ledger_gives_total_centre_and_axle_loads() {
    let pieces = [
        ("body", "1480 kg", "2.9", "2.05"),
        ("water", "399.28 kg", "3.6", "1.35"),
        ("battery", "160 kg", "2.2", "1.10"),
        ("people", "150 kg", "0.35", "1.75"),
        ("stores", "300 kg", "3.1", "1.9"),
        ("spare wheel", "135 kg", "5.55", "1.6"),
    ];
    let text = TRUCK.to_owned() + &pieces.map(|(name, kg, x, z)| mass(name, kg, x, "0", z)).concat();
    let facts = facts(&text);
    let state = facts.state("travel-full").expect("made");
    close(state.mass().expect("known").value(), 9824.28, 1e-12);
    close(state.loads.sums.x().expect("known").value(), 2.201805933869963, 1e-12);
    close(state.loads.sums.z().expect("known").value(), 1.1845680294128424, 1e-12);
    let loads = state.loads.axles.as_ref().expect("known");
    close(loads[0].value(), 4674.004285714287, 1e-12);
    close(loads[1].value(), 5150.275714285714, 1e-12);
    // What both axles share cancels in the sum: the spread of the whole is that of the whole.
    let sum = &loads[0] + &loads[1];
    close(sum.sd(), state.mass().expect("known").sd(), 1e-9);
}

/// A mass behind the rear axle lightens the front: 135 (1 - 5.55 / 4.2). Computed.
#[test]
fn a_mass_behind_the_rear_axle_lightens_the_front() {
    let with = facts(&(TRUCK.to_owned() + &mass("spare wheel", "135 kg", "5.55", "0", "1.6")));
    let loads = with.states()[0].loads.axles.clone().expect("known");
    close(loads[0].value() - 3910.0, -43.39285714285714, 1e-9);
    close(loads[1].value() - 3290.0, 178.39285714285714, 1e-9);
}

/// Three axles on springs: 15000 kg at 2.9 m, k 250, 400, 400 N/mm at 0, 3.6, 4.95 m. Computed. The bare chassis weighs
/// nothing here, so that the whole load is shared by the springs.
#[test]
fn three_axles_share_by_their_springs_and_without_them_nothing_is_guessed() {
    let axle = |name: &str, x: &str, rate: &str| {
        format!("[[axle]]\nname = \"{name}\"\nx = \"{x} m\"\nbare_load = \"1e-9 kg +- 0 kg\"\ntrack = \"2 m\"\n{rate}")
    };
    let rate = |k: &str| format!("spring_rate = \"{k} N/mm\"\n");
    let load = mass("load", "15000 kg", "2.9", "0", "1");
    let sprung = axle("a", "0", &rate("250")) + &axle("b", "3.6", &rate("400")) + &axle("c", "4.95", &rate("400")) + &load;
    let loads = facts(&sprung).states()[0].loads.axles.clone().expect("known");
    for (got, want) in loads.iter().zip([4705.7840187228, 5523.236375794, 4770.9796054831]) {
        close(got.value(), want, 1e-12);
    }
    let bare = axle("a", "0", "") + &axle("b", "3.6", "") + &axle("c", "4.95", "") + &load;
    let gap = facts(&bare).states()[0].loads.axles.clone().expect_err("not determined");
    assert_eq!(gap.path, "axle[a].spring_rate");
    let grouped =
        axle("a", "0", "") + &axle("b", "3.6", "group = \"bogie\"\n") + &axle("c", "4.95", "group = \"bogie\"\n") + &load;
    let loads = facts(&grouped).states()[0].loads.axles.clone().expect("known");
    close(loads[0].value(), 4824.561403508773, 1e-12);
    close(loads[1].value(), 5087.719298245614, 1e-12);
    close(loads[2].value(), 5087.719298245614, 1e-12);
}

/// 5200 kg standing 0.06 m to the right on a track of 1.94 m: 2439.18 and 2760.82 kg. Computed.
#[test]
fn an_offset_is_shared_by_lever_arm_or_by_roll_stiffness() {
    let rig = TRUCK.replace("3910 kg", "1e-9 kg +- 0 kg").replace("3290 kg", "1e-9 kg +- 0 kg")
        + &mass("load", "5200 kg", "0", "0.06", "1");
    let sides = facts(&rig).states()[0].loads.sides[0].clone().expect("known");
    assert_eq!(sides.rule, SideRule::LeverArm);
    close(sides.left.value(), 2439.175257731959, 1e-12);
    close(sides.right.value(), 2760.824742268041, 1e-12);
    let stiff = rig.replace("track = \"1.94 m\"", "track = \"1.94 m\"\nroll_stiffness = \"500 kNm/rad\"");
    let facts = facts(&stiff);
    let [front, rear] = [0, 1].map(|i| facts.states()[0].loads.sides[i].clone().expect("known"));
    assert_eq!(front.rule, SideRule::RollStiffness);
    // The moment of 312 kg m falls half on each axle, whatever stands where.
    for sides in [front, rear] {
        close(sides.right.value() - sides.left.value(), 312.0 / 1.94, 1e-12);
    }
}

/// Half a tank hangs in its lower half: 200 L of 400 in a box 0.4 m high centred at 1.2 m is centred at 1.1 m.
#[test]
fn a_part_filled_tank_has_its_liquid_low() {
    let tank = r#"
[[tank]]
name = "fresh"
holds = "water"
volume = "400 L"
at = ["3.6 m", "0 m", "1.2 m"]
size = ["0.5 m", "1.6 m", "0.4 m"]
[[state]]
name = "half"
kind = "travel"
fill = { fresh = "200 L" }
"#;
    let facts = facts(&(TRUCK.to_owned() + tank));
    let state = facts.state("half").expect("stated");
    let water = state.items.iter().find(|item| item.name == "water in fresh").expect("listed");
    close(water.mass.as_ref().expect("known").value(), 0.2 * 998.0, 1e-12);
    close(water.at[2].as_ref().expect("known").value(), 1.1, 1e-9);
}

/// Axle lift: 9800 kg, L 4.2, front 4600 level and 4898 with the rear hubs 0.70 m up, r 0.52: height 1.27557 m. Computed.
#[test]
fn an_axle_lift_finds_the_height() {
    let rig = TRUCK
        .replace("chassis = { centre_height = \"0.95 m\" }\n", "")
        .replace("3910 kg weighed", "4600 kg +- 0.01 kg")
        .replace("3290 kg weighed", "5200 kg +- 0.01 kg")
        .replace("x = \"4.2 m\"", "x = \"4.2 m +- 0.01 mm\"")
        .replace("\"0.52 m\"", "\"0.52 m +- 0.01 mm\"")
        + "[[weighing]]\nname = \"lift\"\nstate = \"travel-full\"\naxle = \"front\"\nreading = \"4898 kg\"\nerror = \"0.01 kg\"\nlift = \"0.70 m +- 0.01 mm\"\nsprings_blocked = true\n";
    let facts = facts(&rig);
    assert!(facts.tickets().adopted, "{:?}", facts.tickets());
    let height = facts.states()[0].loads.sums.z().expect("found");
    // The springs' own doubt (6 % of what the lift pushes over) is all the error that is left.
    close(height.value(), 1.275567903727294, 0.02);
    assert!(height.sd() < 0.05, "{}", height.sd());
}

/// One side on planks 0.2 m high: 8000 kg, height 1.3 m, track 1.94 m moves 556 kg to the low side (by hand: 8000 x 1.3 x
/// 0.2 / root(1.94^2 - 0.2^2) / 1.94 = 555.6).
#[test]
fn planks_under_one_side_find_the_height() {
    let rig = TRUCK
        .replace("chassis = { centre_height = \"0.95 m\" }\n", "")
        .replace("3910 kg weighed", "4000 kg +- 1 kg")
        .replace("3290 kg weighed", "4000 kg +- 1 kg")
        + "[[weighing]]\nname = \"low side\"\nstate = \"travel-full\"\nside = \"right\"\nreading = \"4555.6 kg\"\nerror = \"20 kg\"\nplank = \"0.2 m\"\n";
    let facts = facts(&rig);
    let height = facts.states()[0].loads.sums.z().expect("found");
    close(height.value(), 1.3, 0.002);
    assert!((0.01..0.06).contains(&height.sd()), "{}", height.sd());
}

/// Five masses, two readings: the whole reconciliation. Computed; the rig is invented.
#[test]
fn tickets_that_disagree_are_not_taken_in_and_name_their_suspects() {
    let sd = |kg: f64| kg * quantity::Z95;
    let row = |name: &str, kg: f64, spread: f64, x: &str| mass(name, &format!("{kg} kg +- {} kg", sd(spread)), x, "0", "1");
    let exact = TRUCK
        .replace("3910 kg weighed", "1e-9 kg +- 0 kg")
        .replace("3290 kg weighed", "1e-9 kg +- 0 kg")
        .replace("x = \"4.2 m\"", "x = \"4.2 m +- 0 mm\"")
        .replace("x = \"0 m\"", "x = \"0 m +- 0 mm\"");
    let list = row("chassis", 7200.0, 40.0, "1.92")
        + &row("body", 1480.0, 111.0, "2.90")
        + &row("water", 400.0, 8.0, "3.60")
        + &row("battery", 160.0, 3.2, "2.20")
        + &row("stores", 450.0, 67.5, "3.10");
    let list = list.replace(" m\", \"0 m\"", " m +- 0 mm\", \"0 m\"");
    let ticket = |axle: &str, kg: f64| {
        format!(
            "[[weighing]]\nname = \"{axle}\"\nstate = \"travel-full\"\naxle = \"{axle}\"\nreading = \"{kg} kg\"\nerror = \"{} kg\"\n",
            sd(15.0)
        )
    };
    let facts = facts(&(exact + &list + &ticket("front", 4690.0) + &ticket("rear", 5340.0)));
    let tickets = facts.tickets();
    close(tickets.chi_square, 12.243268443409091, 1e-9);
    close(tickets.p, 0.0021948661326795277, 1e-9);
    close(tickets.list[0].difference.value(), 72.142857142856, 1e-9);
    close(tickets.list[1].z(), 2.828889493544, 1e-9);
    assert!(!tickets.adopted);
    let names: Vec<&str> = tickets.suspects.iter().map(|suspect| suspect.name.as_str()).collect();
    assert_eq!(names, ["stores", "body", "water", "battery", "chassis"]);
    for (suspect, (needed, share, left)) in tickets.suspects.iter().zip([
        (405.516018, 0.780, 0.973265),
        (373.789785, 0.128, 4.796950),
        (243.888050, 0.052, 0.666315),
        (-48.157550, 0.016, 11.876017),
        (-69.216307, 0.008, 10.952737),
    ]) {
        close(suspect.needed_kg, needed, 1e-7);
        assert!((suspect.share - share).abs() < 6e-4, "{suspect:?}");
        assert!((suspect.chi_square_left - left).abs() < 1e-6, "{suspect:?}");
    }
    let (kg, x) = tickets.unlisted.expect("found");
    close(kg, 340.0, 1e-9);
    close(x, 4.2 * 267.857142857143 / 340.0, 1e-9);
    // Not taken in: the loads stay those of the list.
    close(facts.states()[0].mass().expect("known").value(), 9690.0, 1e-12);
    assert!(facts.states()[0].loads.axles.as_ref().expect("known")[0].value() < 4650.0);
}

/// Two masses, one reading of both: 7000 (50) and 2000 (200), 9300 (20). By hand: S = 42900, total 9297.2028.
#[test]
fn a_ticket_that_agrees_corrects_the_ledger() {
    let sd = |kg: f64| kg * quantity::Z95;
    let exact = TRUCK.replace("3910 kg weighed", "1e-9 kg +- 0 kg").replace("3290 kg weighed", "1e-9 kg +- 0 kg");
    let list = mass("a", &format!("7000 kg +- {} kg", sd(50.0)), "2", "0", "1")
        + &mass("b", &format!("2000 kg +- {} kg", sd(200.0)), "3", "0", "1");
    let ticket = format!(
        "[[weighing]]\nname = \"whole\"\nstate = \"travel-full\"\nwhole = true\nreading = \"9300 kg\"\nerror = \"{} kg\"\n",
        sd(20.0)
    );
    let facts = facts(&(exact + &list + &ticket));
    close(facts.tickets().chi_square, 2.097902097902098, 1e-9);
    assert!(facts.tickets().adopted);
    for state in facts.states().iter().filter(|state| !state.made || state.name == "travel-full") {
        let mass = state.mass().expect("known");
        close(mass.value(), 7017.482517482517 + 2279.72027972028, 1e-12);
        close(mass.variance(), 2354.312354312354 + 2703.962703962708 - 2.0 * 2331.002331002331, 1e-6);
    }
}

#[test]
fn what_is_not_known_is_a_gap_that_names_it() {
    let piece = "[[mass]]\nname = \"stove\"\nmass = \"?\"\nat = [\"1 m\", \"0 m\", \"1 m\"]\n";
    let blocked = facts(&(TRUCK.to_owned() + piece));
    assert_eq!(blocked.states()[0].mass().expect_err("unknown").path, "mass[stove].mass");
    let nowhere = facts(&(TRUCK.to_owned() + "[[mass]]\nname = \"stove\"\nmass = \"40 kg\"\n"));
    assert!(nowhere.states()[0].mass().is_ok());
    assert_eq!(nowhere.states()[0].loads.axles.clone().expect_err("no place").path, "mass[stove].at");
    let no_height = facts(&TRUCK.replace("chassis = { centre_height = \"0.95 m\" }", ""));
    assert_eq!(no_height.states()[0].loads.sums.z().expect_err("no height").path, "chassis.centre_height");
    assert!(no_height.states()[0].loads.sums.x().is_ok());
}

#[test]
fn a_lifted_axle_carries_nothing_and_the_rest_carries_all() {
    let axle = |name: &str, x: &str, bare: &str| {
        format!(
            "[[axle]]\nname = \"{name}\"\nx = \"{x} m\"\nbare_load = \"{bare} kg\"\ntrack = \"2 m\"\n{}",
            if name == "a" { "" } else { "group = \"bogie\"\n" }
        )
    };
    let state = "[[state]]\nname = \"up\"\nkind = \"travel\"\nlifted = [\"c\"]\n";
    let facts = facts(&(axle("a", "0", "4000") + &axle("b", "4", "2000") + &axle("c", "5", "2000") + state));
    let loads = facts.states()[0].loads.axles.clone().expect("known");
    // Moment of the bare readings about the front: 2000 x 4 + 2000 x 5 = 18000 kg m, over 4 m.
    close(loads[1].value(), 4500.0, 1e-12);
    close(loads[0].value(), 3500.0, 1e-12);
    assert_eq!(loads[2].value(), 0.0);
}

#[test]
fn things_from_one_brochure_are_wrong_together() {
    let pair = |from: &str| {
        let one = |name: &str| {
            format!(
                "[[mass]]\nname = \"{name}\"\nmass = {{ value = \"100 kg\", how = \"brochure\"{from} }}\nat = [\"1 m\", \"0 m\", \"1 m\"]\n"
            )
        };
        let exact = TRUCK.replace("3910 kg weighed", "1e-9 kg +- 0 kg").replace("3290 kg weighed", "1e-9 kg +- 0 kg");
        facts(&(exact + &one("a") + &one("b"))).states()[0].mass().expect("known").sd()
    };
    close(pair(", from = \"one brochure\""), pair("") * f64::sqrt(2.0), 1e-9);
}

/// Tickets were read with the body where it was: moving it moves its corrected mass, and the tickets are not broken by it.
#[test]
fn what_tickets_taught_stays_when_a_piece_is_moved() {
    let read = |text: &str| {
        let text = format!("format = \"rigproof-rig/1\"\nrig = \"invented\"\n{text}");
        Arc::new(read_rig(&text, Syntax::Toml).unwrap_or_else(|problems| panic!("{problems:#?}")).1)
    };
    let ticket = |axle: &str, kg: f64| {
        format!(
            "[[weighing]]\nname = \"{axle}\"\nstate = \"travel-full\"\naxle = \"{axle}\"\nreading = \"{kg} kg\"\nerror = \"2 kg\"\n"
        )
    };
    // The list says 1000 kg at 2.1 m, half on each axle; the scale finds 60 kg more on each.
    let rig = |x: &str| {
        TRUCK.to_owned() + &mass("crate", "1000 kg +- 150 kg", x, "0", "1") + &ticket("front", 4470.0) + &ticket("rear", 3850.0)
    };
    let (before, after) = (read(&rig("2.1")), read(&rig("3.15")));
    let facts = Facts::derive(Arc::clone(&before));
    assert!(facts.tickets().adopted);
    let moved = Facts::derive_after(Arc::clone(&after), &before, &facts);
    let rear = |facts: &Facts| facts.states()[0].loads.axles.as_ref().expect("known")[1].value();
    // About 1120 kg moved a quarter of the wheelbase: 280 kg, not the 250 of the list.
    let by = rear(&moved) - rear(&facts);
    assert!((265.0..285.0).contains(&by), "{by}");
    assert_eq!(moved.tickets().chi_square, facts.tickets().chi_square);
    // Derived as if the tickets had been read after the move, they would have to disagree with the list.
    assert!(!Facts::derive(after).tickets().adopted);
}

/// Two square metres of a part that weighs 8 to 12 kg a square metre: 20 kg, and the spread of an even range.
#[test]
fn a_piece_given_by_kind_weighs_what_its_kind_does() {
    let own = "[[part]]\nname = \"test wall\"\ngroup = \"walls\"\nby = \"square-metre\"\nmass = \"8 to 12 kg\"\n";
    let parts = rig_facts::parts::PartsBook::with_own(own).unwrap_or_else(|why| panic!("{why}"));
    let text = format!(
        "format = \"rigproof-rig/1\"\nrig = \"invented\"\n{TRUCK}{}",
        "[[mass]]\nname = \"wall\"\nlike = \"test wall\"\narea = \"2 m2\"\ncount = 3\nat = [\"2 m\", \"0 m\", \"1 m\"]\n"
    );
    let (_, rig) = read_rig(&text, Syntax::Toml).unwrap_or_else(|problems| panic!("{problems:#?}"));
    let facts = Facts::derive_with(Arc::new(rig), Arc::new(parts));
    let item = facts.states()[0].items.iter().find(|item| item.name == "wall").expect("listed");
    let mass = item.mass.as_ref().expect("known");
    close(mass.value(), 3.0 * 2.0 * 10.0, 1e-12);
    close(mass.sd(), 3.0 * 2.0 * 2.0 / f64::sqrt(3.0), 1e-12);
}

/// What power is made of weighs where its tables say so: by mass, or by kind and label; batteries as many as are wired.
#[test]
fn things_of_the_power_tables_weigh() {
    let body = "[body]\nfront = \"0.7 m\"\nfloor = \"1.2 m\"\nlength = \"4.2 m\"\nwidth = \"2.2 m\"\nheight = \"2 m\"\nmass = \"0 kg\"\n";
    let power = "[[panel]]\nname = \"roof\"\nmass = \"11 kg\"\nat = [\"2 m\", \"0 m\", \"3.2 m\"]\ncount = 2\n\
        [[panel]]\nname = \"flexible\"\nlike = \"flexible solar panel\"\nrated = \"100 W\"\n\
        [[battery]]\nname = \"house\"\nlike = \"lithium battery\"\nvoltage = \"12.8 V\"\ncapacity = \"100 Ah\"\nin_series = 2\n\
        in_parallel = 2\nin = \"body\"\nat = [\"1 m\", \"left\", \"floor\"]\n\
        [[load]]\nname = \"lamp\"\npower = \"10 W\"\n";
    let body = body.replace("mass = \"0 kg\"\n", "mass = \"1000 kg\"\n");
    let facts = facts(&format!("{TRUCK}{body}{power}"));
    let state = facts.state("travel-full").expect("made");
    let item = |name: &str| state.items.iter().find(|item| item.name == name);
    let kg = |name: &str| item(name).and_then(|item| item.mass.as_ref().ok()).map(|mass| mass.value()).expect(name);
    close(kg("roof"), 22.0, 1e-12);
    // By hand: 100 W at 0.016 to 0.038 kg/W; 4 x 1.28 kWh at 7 to 11 kg/kWh.
    close(kg("flexible"), 100.0 * 0.027, 1e-9);
    close(kg("house"), 4.0 * 1.28 * 9.0, 1e-9);
    assert!(item("lamp").is_none(), "its table tells no mass");
    // Its place is usual for its kind: a hand over the roof.
    let z = item("flexible").and_then(|item| item.at[2].as_ref().ok()).map(|z| z.value()).expect("a height");
    close(z, 3.21, 0.01);
    let absent = self::facts(&format!("{TRUCK}[[battery]]\nname = \"house\"\nmass = \"?\"\n"));
    assert_eq!(absent.states()[0].mass().map_err(|gap| gap.path.as_str()).err(), Some("battery[house].mass"));
    let kind =
        self::facts(&format!("{TRUCK}[[panel]]\nname = \"a\"\nlike = \"solar panel\"\nat = [\"1 m\", \"0 m\", \"2 m\"]\n"));
    assert_eq!(kind.states()[0].mass().map_err(|gap| gap.path.as_str()).err(), Some("panel[a].rated"));
}
