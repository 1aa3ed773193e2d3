//! Axle loads on a slope and under brakes.

use crate::F64;
use physics::facts::gravity;
use physics::grade::{AxlePlace, GradeLoadsIn, OnAxles, grade_loads};

fn rig(cg_x_m: f64, cg_height_m: f64, grade_percent: f64, deceleration_m_s2: f64) -> (f64, f64, bool) {
    let axles = vec![AxlePlace { x_m: 0.0 }, AxlePlace { x_m: 4.2 }];
    let input = GradeLoadsIn { axles, mass_kg: 9800.0, cg_x_m, cg_height_m, grade_percent, deceleration_m_s2 };
    let out = grade_loads(&input).expect("answers");
    (out.loads_kg[0], out.loads_kg[1], out.tips)
}

/// Computed elsewhere: (grade %, deceleration m/s², front kg, rear kg) of 9800 kg at 2.2 m and 1.45 m high.
#[test]
fn slopes_and_brakes() {
    let rows = [
        (0.0, 0.0, 4666.666666666666, 5133.333333333334),
        (30.0, 0.0, 3497.6623181992377, 5889.035276968047),
        (0.0, 6.0, 6736.690579011862, 3063.309420988139),
        (-20.0, 5.0, 6964.589337396145, 2645.1012843748726),
        (-10.0, 4.0, 6360.1770785644585, 3391.1873854934356),
    ];
    for (grade, deceleration, front, rear) in rows {
        let got = rig(2.2, 1.45, grade, deceleration);
        assert_close!(got.0, front, F64, format!("front at {grade} % and {deceleration}"));
        assert_close!(got.1, rear, F64, format!("rear at {grade} % and {deceleration}"));
        assert!(!got.2);
    }
    let high = rig(3.6, 1.6, 30.0, 0.0);
    assert_close!(high.0, 268.1913598619226, F64, "light front");
    assert_close!(high.1, 9118.506235305362, F64, "light front");
}

/// Computed elsewhere: it tips over its rear axle at 137.931 %; at 138 % the front would have to pull. The load is a
/// difference of two 3000 kg, so 1e-12 of those is left of it.
#[test]
fn it_tips_backward_past_138_percent() {
    let (front, _, tips) = rig(2.2, 1.45, 138.0, 0.0);
    assert!((front - -1.3691422462407352).abs() < 1e-8, "{front}");
    assert!(tips);
    assert!(!rig(2.2, 1.45, 137.93, 0.0).2);
    let at = OnAxles { mass_kg: 9800.0, wheelbase_m: 4.2, cg_x_m: 2.2, cg_height_m: 1.45 }.tips_backward_at();
    assert_close!(quantity::real::atan(at).to_degrees(), 54.05788812861766, F64, "angle");
}

/// Published, inputs read: a set mechanics exercise. 1500 kg, wheelbase 1.5 m, 0.8 m behind the front axle, 0.5 m high,
/// friction 0.3 on all wheels: 850 and 650 kg (8338.5 and 6376.5 N with their g of 9.81). Exact in these numbers.
#[test]
fn a_small_car_brakes_on_all_wheels() {
    let axles = vec![AxlePlace { x_m: 0.0 }, AxlePlace { x_m: 1.5 }];
    let input = GradeLoadsIn {
        axles,
        mass_kg: 1500.0,
        cg_x_m: 0.8,
        cg_height_m: 0.5,
        grade_percent: 0.0,
        deceleration_m_s2: 0.3 * gravity(),
    };
    let loads = grade_loads(&input).expect("answers").loads_kg;
    assert_close!(loads[0], 850.0, F64, "front");
    assert_close!(loads[1], 650.0, F64, "rear");
    assert_close!(loads[0] * 9.81, 8338.5, F64, "front, N");
}
