//! Warmth in a closed locker: an inverter or a charger in a cupboard.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged};
use crate::store_facts as facts;

/// Input of [`locker_heat`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<LockerHeatIn>)]
pub struct LockerHeatIn {
    /// Heat that is set free in it.
    pub loss_w: f64,
    /// Area of its walls.
    pub wall_m2: f64,
    /// Heat that they let through.
    pub u_w_m2k: f64,
    /// Free area of each of two openings, one low and one high.
    #[serde(default)]
    pub opening_m2: f64,
    /// Height between the middles of the openings.
    #[serde(default)]
    pub height_m: f64,
    /// Air of the room.
    pub room_c: f64,
}

ranged!(LockerHeatIn {
    loss_w ["W"] Range::of(0.0, 1e5),
    wall_m2 ["m2"] Range::of(0.0, 100.0),
    u_w_m2k ["W/(m2 K)"] Range::of(0.0, 20.0),
    opening_m2 ["m2"] Range::of(0.0, 10.0),
    height_m ["m"] Range::of(0.0, 10.0),
    room_c ["deg C"] Range::of(-60.0, 80.0),
});

/// Output of [`locker_heat`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LockerHeatOut {
    /// How much warmer than the room it is inside.
    pub rise_k: f64,
    /// Air inside.
    pub inside_c: f64,
    /// Air that passes the openings by itself.
    pub air_m3_h: f64,
}

/// How warm it gets in a locker with a source of heat, in the long run.
///
/// Air passes two openings by its own lift; heat leaves with it and through the walls.
///
/// | input        | unit     | range     | note                                        |
/// |--------------|----------|-----------|---------------------------------------------|
/// | `loss_w`     | W        | 0 to 100000  | what an inverter takes and does not give    |
/// | `wall_m2`    | m2       | 0 to 100  |                                             |
/// | `u_w_m2k`    | W/(m2 K) | 0 to 20   | thin plywood about 3                        |
/// | `opening_m2` | m2       | 0 to 10   | default 0; each of two, free area           |
/// | `height_m`   | m        | 0 to 10   | default 0; between the openings             |
/// | `room_c`     | deg C    | -60 to 80 |                                             |
///
/// Gives `rise_k` (K), `inside_c` (deg C), `air_m3_h` (m3/h).
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above; `Unsolvable` where heat has no way out.
///
/// # Source
/// Heat balance and lift of warm air (physics); flow through an opening and heat of air from `data/store.toml`.
///
/// # Checked against
/// `tests/outside/heat.rs`: the balance put back, and own figures computed with numpy.
pub fn locker_heat(input: &LockerHeatIn) -> Result<LockerHeatOut, KernelError> {
    input.check()?;
    let walls = input.wall_m2 * input.u_w_m2k;
    let lift = lift(input.opening_m2, input.height_m, input.room_c);
    if walls + lift <= 0.0 {
        return Err(KernelError::Unsolvable { field: "wall_m2".into(), why: "heat has no way out: no wall, no opening" });
    }
    let rise = rise(input.loss_w, walls, lift);
    Ok(LockerHeatOut {
        rise_k: finite("rise_k", rise)?,
        inside_c: finite("inside_c", input.room_c + rise)?,
        air_m3_h: finite("air_m3_h", lift * rise.sqrt())?,
    })
}

/// Air, m3/h, that passes two equal openings (m2 each) at a height apart (m) when it is 1 K warmer inside than in a room
/// (deg C); with the square root of the rise.
#[must_use]
pub fn lift(opening_m2: f64, height_m: f64, room_c: f64) -> f64 {
    /// Seconds of an hour.
    const HOUR: f64 = 3600.0;
    let facts = facts::heat();
    let speed = (2.0 * crate::facts::gravity() * height_m / (room_c + facts.kelvin)).sqrt();
    HOUR * facts.opening_discharge * opening_m2 / 2.0_f64.sqrt() * speed
}

/// How much warmer than the room it gets, K: `walls` in W/K, `lift` as [`lift()`] gives it. No range is checked.
#[must_use]
pub fn rise(loss_w: f64, walls: f64, lift: f64) -> f64 {
    /// Newton's steps: from above, on a curve that bends up, each gains; the count is beyond any need.
    const STEPS: usize = 100;
    let air = facts::heat().air_heat * lift;
    if loss_w <= 0.0 {
        return 0.0;
    }
    // In the root s of the rise: air s³ + walls s² = loss. Both bounds are the root with the other way out shut.
    let (by_walls, by_air) = ((loss_w / walls).sqrt(), quantity::real::cbrt(loss_w / air));
    let mut root = if by_walls < by_air { by_walls } else { by_air };
    for _ in 0..STEPS {
        let slope = root * (air * root + 2.0 * (air * root + walls));
        let step = (root * root * (air * root + walls) - loss_w) / slope;
        // At or below the root, or no slope: done.
        if step <= 0.0 || root - step == root {
            break;
        }
        root -= step;
    }
    root * root
}
