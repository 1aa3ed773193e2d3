//! What holds for every kernel of the table.

// The lint that frees tests of this sees only functions marked #[test], not the helpers they share.
#![allow(clippy::expect_used, clippy::indexing_slicing, clippy::panic)]

mod common;

use common::Example;
use kernels::{Kernel, KernelError, all, find};
use serde_json::{Value, json};

fn example(kernel: &Kernel) -> Value {
    serde_json::from_str(kernel.example).expect("examples are JSON")
}

/// Names do not change meaning: a change is a new name.
#[test]
fn the_names() {
    let names: Vec<&str> = all().iter().map(|kernel| kernel.name).collect();
    let want = [
        "centre-of-gravity",
        "axle-loads",
        "wheel-loads",
        "cg-height-axle-lift",
        "cg-height-lift-plan",
        "static-stability",
        "roll-threshold",
        "axle-roll-transfer",
        "cornering-speed",
        "tyre-capacity",
        "tyre-pressure",
        "load-index",
        "grade-loads",
        "bridge-formula",
        "free-surface",
        "tangent-angle",
        "breakover-angle",
        "scale-tolerance",
        "coupling-loads",
        "reconcile",
        "bolt",
        "torque",
        "bolt-group",
        "bracket-bolts",
        "weld-group",
        "weld-strength",
        "section",
        "notched-rail",
        "frame-twist",
        "mount-reactions",
        "gap-impact",
        "level",
        "packer",
        "screw-withdrawal",
        "strap-over",
        "strap-direct",
        "uplift",
        "lift-truck",
        "sun-position",
        "clear-sky",
        "decompose",
        "plane-irradiance",
        "incidence-modifier",
        "cell-temperature",
        "pv-dc",
        "single-diode",
        "partial-shade",
        "panel-cold-voltage",
        "horizon",
        "roof-shadow",
        "pack-roof",
        "snow",
        "solar-year",
        "battery-run",
        "peukert",
        "usable-energy",
        "sag",
        "hydrogen",
        "inverter",
        "dc-dc",
        "refill-hours",
        "daily-energy",
        "heat-balance",
        "fridge-duty",
        "locker-heat",
    ];
    assert_eq!(names, want);
    assert!(find("wheel-loads").is_some() && find("wheel_loads").is_none());
}

#[test]
fn every_example_is_answered_and_both_schemas_describe_their_fields() {
    for kernel in all() {
        let output = kernel.call(example(kernel), &Example).unwrap_or_else(|why| panic!("{}: {why}", kernel.name));
        for (schema, value) in [((kernel.input_schema)(), example(kernel)), ((kernel.output_schema)(), output)] {
            let properties = schema.as_value()["properties"].as_object().expect("a struct").clone();
            assert_eq!(schema.as_value()["additionalProperties"], json!(false), "{}", kernel.name);
            for name in value.as_object().expect("an object").keys() {
                assert!(properties.contains_key(name), "{}: {name} is not in its schema", kernel.name);
            }
            for (name, field) in &properties {
                assert!(field["description"].is_string(), "{}: {name} has no description", kernel.name);
            }
        }
        assert!(!kernel.summary.ends_with('.') && !kernel.summary.is_empty());
    }
}

#[test]
fn an_unknown_field_lists_the_known_ones_at_any_depth() {
    for kernel in all() {
        let mut input = example(kernel);
        input["spare"] = json!(1);
        let why = kernel.call(input, &Example).expect_err("there is no such field").to_string();
        assert!(why.starts_with("`spare` is no field here; the fields are `"), "{}: {why}", kernel.name);
    }
    let loads = find("axle-loads").expect("is there");
    let input = json!({"axles": [{"x_m": 0}, {"x_m": 4, "Group": "a"}], "masses": [{"mass_kg": 1, "x_m": 1}]});
    let why = loads.call(input, &Example).expect_err("no such field").to_string();
    assert_eq!(why, "`axles[1].Group` is no field here; the fields are `fixed_load_kg`, `group`, `stiffness_n_m`, `x_m`");
}

#[test]
fn every_field_that_is_needed_is_asked_for_by_name() {
    for kernel in all() {
        let schema = (kernel.input_schema)();
        for name in schema.as_value()["required"].as_array().expect("something is needed").iter().filter_map(Value::as_str) {
            let mut input = example(kernel);
            input.as_object_mut().expect("an object").remove(name);
            let why = kernel.call(input, &Example).expect_err("it is needed").to_string();
            assert!(why.starts_with(&format!("`{name}` is not there; wanted: ")), "{}: {why}", kernel.name);
        }
    }
}

#[test]
fn a_wrong_kind_says_what_is_found_and_wanted() {
    let wheel = find("wheel-loads").expect("is there");
    let why = |input: Value| wheel.call(input, &Example).expect_err("wrong kind").to_string();
    let with = |track: Value| json!({"axle_load_kg": 1, "track_m": track, "offset_y_m": 0});
    assert_eq!(why(with(json!("1.9 m"))), "`track_m` is the text \"1.9 m\"; wanted: a number, in m");
    assert_eq!(why(with(json!(null))), "`track_m` is null; wanted: a number, in m");
    assert_eq!(why(with(json!([1]))), "`track_m` is a list; wanted: a number, in m");
    assert_eq!(why(json!([1, 2, 3])), "the input is a list; wanted: an object in { }");
    assert_eq!(why(json!(null)), "the input is null; wanted: an object in { }");
    let cg = find("centre-of-gravity").expect("is there");
    let listed = cg.call(json!({"masses": [[1, 0, 0, 0]]}), &Example).expect_err("a list is no mass").to_string();
    assert_eq!(listed, "`masses[0]` is a list; wanted: an object in { }");
    let tank = find("free-surface").expect("is there");
    let mut input = example(tank);
    input["shape"] = json!("sphere");
    let shape = tank.call(input, &Example).expect_err("no such shape").to_string();
    assert_eq!(shape, "`shape` is the text \"sphere\"; wanted: \"box\" or \"cylinder-along\"");
    let index = find("load-index").expect("is there");
    let half = index.call(json!({"load_index": 152.5}), &Example).expect_err("half an index").to_string();
    assert_eq!(half, "`load_index` is 152.5; wanted: a whole number");
}

#[test]
fn a_force_has_three_components() {
    let weld = find("weld-group").expect("is there");
    let mut input = example(weld);
    input["force"] = json!([0, -12000]);
    let why = weld.call(input.clone(), &Example).expect_err("two components").to_string();
    assert_eq!(why, "`force` has 2 entries; wanted: 3");
    input["force"] = json!([0, -12000, "x"]);
    let why = weld.call(input, &Example).expect_err("a text").to_string();
    assert_eq!(why, "`force[2]` is the text \"x\"; wanted: a number, in N");
}

#[test]
fn a_whole_number_may_be_written_with_a_point_and_an_option_as_null() {
    let index = find("load-index").expect("is there");
    assert_eq!(index.call(json!({"load_index": 152.0}), &Example), index.call(json!({"load_index": 152}), &Example));
    for wrong in [json!(-1), json!(4_294_967_296_u64), json!(1e18)] {
        let why = index.call(json!({ "load_index": wrong }), &Example);
        let why = why.expect_err("no index").to_string();
        assert!(why.ends_with("; wanted: 70 to 200") && why.starts_with("`load_index` is "), "{wrong}: {why}");
    }
    let tyre = find("tyre-capacity").expect("is there");
    let mut input = example(tyre);
    let without = tyre.call(input.clone(), &Example);
    input["load_index_dual"] = json!(null);
    assert_eq!(tyre.call(input, &Example), without);
}

#[test]
fn a_group_may_be_a_word_or_a_number() {
    let loads = find("axle-loads").expect("is there");
    let with = |group: Value| {
        let axles = json!([{"x_m": 0}, {"x_m": 3.6, "group": group.clone()}, {"x_m": 4.95, "group": group}]);
        loads.call(json!({"axles": axles, "masses": [{"mass_kg": 15000, "x_m": 2.9}]}), &Example)
    };
    assert_eq!(with(json!("rear")), with(json!(1)));
    assert!(with(json!("rear")).is_ok());
    assert!(matches!(with(json!(null)), Err(KernelError::Physics(physics::KernelError::Missing { .. }))));
    assert!(matches!(with(json!(true)), Err(KernelError::WrongKind { .. })));
}

/// Against an open library over the same year (pvlib 0.16.1: SPA, Hay-Davies, Faiman, PVWatts): 400 W, half flat and half at 30
/// degrees to the south, 14 % lost, give 554769.942 Wh.
#[test]
fn a_solar_year_is_that_of_an_open_library() {
    let panel = |tilt: f64| json!({"rated_w": 200, "tilt_deg": tilt, "azimuth_deg": 180, "gamma_per_c": -0.0035});
    let input = json!({"weather": "greensboro.csv", "panels": [panel(0.0), panel(30.0)]});
    let output = find("solar-year").expect("is there").call(input, &Example).expect("it answers");
    let annual = output["annual_dc_wh"].as_f64().expect("a number");
    assert!((annual / 554_769.942 - 1.0).abs() < 2e-5, "{annual}");
    let months: f64 = output["monthly_dc_wh"].as_array().expect("a list").iter().filter_map(Value::as_f64).sum();
    assert!((months - annual).abs() < 1e-6);
    // kWh/m2 on the horizontal of that file: 1566.2, given back by a flat plane within 0.05 %.
    let flat: f64 = output["monthly_poa_wh_m2"][0].as_array().expect("a list").iter().filter_map(Value::as_f64).sum();
    assert!((flat / 1_566_200.0 - 1.0).abs() < 1e-3, "{flat}");
}
