//! Horizons, shadows on a roof, snow, and panels on a roof.

use physics::roof_pack::{Fault, Kind, PackRoofIn, PanelKind, Roof, faults, pack, pack_roof};
use physics::roof_shadow::{Rect, RoofShadowIn, Wiring, groups_left, reach, roof_shadow};
use physics::shade::{HorizonIn, HorizonPoint, Profile, horizon};
use physics::snow::{SnowIn, snow};
use quantity::real::cos;

use crate::power_tables::power_table;

/// Computed elsewhere: midpoint sums with numpy, 2880 x 1440, five decimals; the table asks for 0.002.
#[test]
fn sky_over_four_horizons() {
    for row in power_table!("sky_view") {
        let points: Vec<[f64; 2]> = row.json("profile");
        let out = horizon(&HorizonIn {
            profile: points
                .iter()
                .map(|[bearing_deg, height_deg]| HorizonPoint { bearing_deg: *bearing_deg, height_deg: *height_deg })
                .collect(),
            tilt_deg: row.number("tilt_deg"),
            azimuth_deg: row.number("panel_azimuth_deg"),
            sun_azimuth_deg: None,
            sun_elevation_deg: None,
        })
        .expect("answers");
        let (got, want) = (out.sky_view, row.number("svf"));
        assert!((got - want).abs() < 2e-4, "{} {}: got {got}, want {want}", row.text("horizon"), row.text("tilt_deg"));
    }
}

/// Physics: a flat plane under a level horizon h sees cos2 h of the sky; 20 degrees leave 0.88302.
#[test]
fn a_level_horizon() {
    for degrees in [0.0, 5.0, 20.0, 45.0, 80.0, 90.0_f64] {
        let h = degrees.to_radians();
        let view = Profile::level(h).expect("holds").sky_view(0.0, 0.0);
        assert!((view - cos(h) * cos(h)).abs() < 1e-12, "{degrees}: {view}");
    }
    assert_close!(Profile::level(20_f64.to_radians()).expect("holds").sky_view(0.0, 1.0), 0.883_02, 1e-5, "20 degrees");
}

#[test]
fn the_sun_behind_trees() {
    let ask = |sun_azimuth_deg, sun_elevation_deg| {
        let profile = [(90.0, 10.0), (270.0, 30.0)].map(|(bearing_deg, height_deg)| HorizonPoint { bearing_deg, height_deg });
        horizon(&HorizonIn {
            profile: profile.to_vec(),
            tilt_deg: 0.0,
            azimuth_deg: 0.0,
            sun_azimuth_deg: Some(sun_azimuth_deg),
            sun_elevation_deg: Some(sun_elevation_deg),
        })
        .expect("answers")
    };
    assert_close!(ask(180.0, 25.0).height_deg.expect("a height"), 20.0, 1e-9, "half way round");
    assert_eq!((ask(180.0, 25.0).hidden, ask(180.0, 15.0).hidden, ask(0.0, 19.9).hidden), (Some(false), Some(true), Some(true)));
}

/// Computed elsewhere: polygons of shapely, five decimals.
#[test]
fn shadows_of_roof_units() {
    for row in power_table!("roof_shadow") {
        let out = roof_shadow(&RoofShadowIn {
            panel_m: row.json("panel"),
            unit_m: row.json("unit"),
            height_m: row.number("height_m"),
            heading_deg: row.number("heading_deg"),
            sun_elevation_deg: row.number("sun_elevation_deg"),
            sun_azimuth_deg: row.number("sun_azimuth_deg"),
        })
        .expect("answers");
        let (got, want) = (out.shaded_fraction, row.number("shaded_fraction"));
        assert!((got - want).abs() < 6e-6, "{}: got {got}, want {want}", row.text("id"));
    }
}

/// Geometry by hand: nose north, sun in the south, so the shadow falls forward, onto a panel ahead of the unit.
#[test]
fn groups_that_a_shadow_touches() {
    let panel = Rect::new(0.0, -0.5, 1.7, 0.5);
    let unit = Rect::new(1.8, -0.5, 2.4, -0.2);
    let shift = reach(0.5, 45_f64.to_radians(), std::f64::consts::PI, 0.0).expect("the sun is up");
    assert!((shift.0 + 0.5).abs() < 1e-12 && shift.1.abs() < 1e-12, "{shift:?}");
    let wiring = Wiring { groups: 3, cells: 36, half_cut: false };
    // 0.3 m of the left third: one group of three; half-cut only its rear half.
    assert_close!(groups_left(&panel, wiring, &[(unit, shift)]), 2.0 / 3.0, 1e-12, "one group");
    assert_close!(groups_left(&panel, Wiring { half_cut: true, ..wiring }, &[(unit, shift)]), 5.0 / 6.0, 1e-12, "half of one");
    assert_eq!(groups_left(&panel, wiring, &[]), 1.0);
    // A sliver under a tenth of a cell does not count.
    assert_eq!(groups_left(&panel, wiring, &[(unit, (-0.103, 0.0))]), 1.0);
    assert_eq!(reach(0.5, 0.0, 0.0, 0.0), None);
}

/// Computed elsewhere: pvlib 0.16.1, six decimals. A flat panel never clears.
#[test]
fn snow_that_slides_and_snow_that_stays() {
    let rows = power_table!("snow");
    let mut cases: Vec<&str> = rows.iter().map(|row| row.text("case")).collect();
    cases.dedup();
    assert_eq!(cases.len(), 3);
    for case in cases {
        let hours: Vec<_> = rows.iter().filter(|row| row.text("case") == case).collect();
        let column = |name| hours.iter().map(|row| row.number(name)).collect::<Vec<f64>>();
        let out = snow(&SnowIn {
            snowfall_cm: column("snowfall_cm"),
            irradiance_w_m2: column("poa"),
            air_c: column("t_air"),
            tilt_deg: hours[0].number("tilt_deg"),
            rows: hours[0].number("strings"),
            start: 0.0,
        })
        .expect("answers");
        for (k, row) in hours.iter().enumerate() {
            let near = |got: f64, name| assert!((got - row.number(name)).abs() < 1e-6, "{case} hour {k} {name}: got {got}");
            near(out.covered[k], "coverage");
            near(out.loss[k], "dc_loss");
        }
    }
}

/// Computed elsewhere: a solver's proved optimum on a grid; we are not bound to the grid and must reach it. Every layout is
/// looked at by a function that the search does not use.
#[test]
fn roofs_are_filled_as_well_as_a_solver_fills_them() {
    for row in power_table!("packing") {
        let [length, width]: [f64; 2] = row.json("roof_m");
        let keep_out: Vec<[f64; 4]> = row.json("keepout");
        let panels: Vec<[f64; 3]> = row.json("panels");
        let most: Option<Vec<u32>> = row.json("max_each");
        let input = PackRoofIn {
            length_m: length,
            width_m: width,
            keep_out_m: keep_out.clone(),
            panels: panels
                .iter()
                .enumerate()
                .map(|(k, [length_m, width_m, rated_w])| PanelKind {
                    length_m: *length_m,
                    width_m: *width_m,
                    rated_w: *rated_w,
                    most_n: most.as_ref().map(|most| most[k]),
                })
                .collect(),
            gap_m: row.number("gap_m"),
            edge_m: 0.0,
            turn: row.text("rotate") == "True",
        };
        let out = pack_roof(&input).expect("answers");
        let id = row.text("id");
        assert!(out.rated_w >= row.number("watts_best"), "{id}: {out:?}");
        let roof = Roof {
            length,
            width,
            keep_out: keep_out.iter().map(|[x0, y0, x1, y1]| Rect::new(*x0, *y0, *x1, *y1)).collect(),
            gap: input.gap_m,
            edge: 0.0,
            turn: input.turn,
        };
        let places: Vec<Rect> = out.places.iter().map(|p| Rect::new(p.at_m[0], p.at_m[1], p.at_m[2], p.at_m[3])).collect();
        assert_eq!(faults(&roof, &places), [], "{id}");
        for (place, rect) in out.places.iter().zip(&places) {
            let [long, wide, _] = panels[place.panel as usize];
            let (x, y) = (rect.x1 - rect.x0, rect.y1 - rect.y0);
            let straight = (x - long).abs() + (y - wide).abs() < 1e-9;
            let turned = (x - wide).abs() + (y - long).abs() < 1e-9;
            assert!(straight || (turned && input.turn), "{id}: {place:?}");
        }
        for (k, count) in out.count_n.iter().enumerate() {
            assert!(most.as_ref().is_none_or(|most| *count <= most[k]), "{id}");
        }
        assert_eq!(pack_roof(&input).expect("answers"), out, "{id}: the same again");
    }
}

#[test]
fn faults_of_a_layout_are_seen() {
    let roof = Roof { length: 3.0, width: 2.0, keep_out: vec![Rect::new(0.0, 0.0, 0.5, 0.5)], gap: 0.02, edge: 0.05, turn: true };
    let panels = [Rect::new(0.4, 0.1, 1.4, 0.9), Rect::new(1.41, 0.1, 2.41, 0.9), Rect::new(2.0, 1.0, 3.0, 1.9)];
    assert_eq!(faults(&roof, &panels), [Fault::KeepOut(0, 0), Fault::Panels(0, 1), Fault::Edge(2)]);
    let one = Kind { length: 1.0, width: 0.8, rated_w: 100.0, most: None };
    let placed = pack(&roof, &[one], 200);
    assert!(placed.len() >= 4 && faults(&roof, &placed.iter().map(|p| p.at).collect::<Vec<_>>()).is_empty());
    assert!(pack(&Roof { edge: 1.2, ..roof }, &[one], 50).is_empty());
}
