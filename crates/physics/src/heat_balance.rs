//! Heat that a body takes in on a hot day or loses on a cold one, and what an air conditioner draws against it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged};
use crate::store_facts as facts;

fn whole() -> f64 {
    1.0
}

fn usual_film() -> f64 {
    facts::heat().roof_film
}

fn usual_capacity_fall() -> f64 {
    facts::heat().cooling_capacity_fall
}

fn usual_cop_fall() -> f64 {
    facts::heat().cooling_cop_fall
}

/// Input of [`heat_balance`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<HeatBalanceIn>)]
pub struct HeatBalanceIn {
    /// Length of the body outside.
    pub length_m: f64,
    /// Width of the body outside.
    pub width_m: f64,
    /// Height of the body outside.
    pub height_m: f64,
    /// Heat that its walls, roof and floor let through, frames included.
    pub u_w_m2k: f64,
    /// Area of windows; their walls are taken off.
    #[serde(default)]
    pub window_m2: f64,
    /// Heat that the windows let through.
    #[serde(default)]
    pub window_u_w_m2k: f64,
    /// Share of the sun on a window that comes in.
    #[serde(default)]
    pub window_gain: f64,
    /// Share of that which blinds leave; 1 without.
    #[serde(default = "whole")]
    pub window_shade: f64,
    /// Sun on the windows.
    #[serde(default)]
    pub window_sun_w_m2: f64,
    /// Share of the sun on the roof that its paint turns into heat.
    #[serde(default)]
    pub absorptance: f64,
    /// Sun on the roof; less where panels shade it.
    #[serde(default)]
    pub roof_sun_w_m2: f64,
    /// Heat transfer from the roof to the air.
    #[serde(default = "usual_film")]
    pub roof_film_w_m2k: f64,
    /// Times an hour that the air of the body is changed.
    #[serde(default)]
    pub air_changes_per_h: f64,
    /// People inside.
    #[serde(default)]
    pub people: f64,
    /// Heat of appliances inside.
    #[serde(default)]
    pub appliances_w: f64,
    /// Air outside.
    pub outside_c: f64,
    /// Air inside as wanted.
    pub inside_c: f64,
    /// Heat that the air conditioner moves at 35 deg C outside; left out: no air conditioner.
    #[serde(default)]
    pub cooling_w: Option<f64>,
    /// Heat it moves for each W it takes, at 35 deg C outside.
    #[serde(default)]
    pub cop: Option<f64>,
    /// Share of that heat it loses for each K above.
    #[serde(default = "usual_capacity_fall")]
    pub capacity_fall_per_k: f64,
    /// Share of that performance it loses for each K above.
    #[serde(default = "usual_cop_fall")]
    pub cop_fall_per_k: f64,
}

ranged!(HeatBalanceIn {
    length_m ["m"] Range::over(0.0, 30.0),
    width_m ["m"] Range::over(0.0, 10.0),
    height_m ["m"] Range::over(0.0, 10.0),
    u_w_m2k ["W/(m2 K)"] Range::of(0.0, 20.0),
    window_m2 ["m2"] Range::of(0.0, 100.0),
    window_u_w_m2k ["W/(m2 K)"] Range::of(0.0, 20.0),
    window_gain [""] Range::of(0.0, 1.0),
    window_shade [""] Range::of(0.0, 1.0),
    window_sun_w_m2 ["W/m2"] Range::of(0.0, 1500.0),
    absorptance [""] Range::of(0.0, 1.0),
    roof_sun_w_m2 ["W/m2"] Range::of(0.0, 1500.0),
    roof_film_w_m2k ["W/(m2 K)"] Range::of(1.0, 100.0),
    air_changes_per_h ["1/h"] Range::of(0.0, 100.0),
    people [""] Range::of(0.0, 100.0),
    appliances_w ["W"] Range::of(0.0, 1e5),
    outside_c ["deg C"] Range::of(-60.0, 65.0),
    inside_c ["deg C"] Range::of(-30.0, 50.0),
    cooling_w ["W"] Range::over(0.0, 1e5),
    cop [""] Range::over(0.0, 20.0),
    capacity_fall_per_k ["1/K"] Range::of(0.0, 0.03),
    cop_fall_per_k ["1/K"] Range::of(0.0, 0.03),
});

/// Output of [`heat_balance`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HeatBalanceOut {
    /// Heat through the whole body for each K.
    pub ua_w_k: f64,
    /// Heat through walls, roof, floor and windows; positive comes in.
    pub conduction_w: f64,
    /// Heat of the sun through the roof.
    pub roof_w: f64,
    /// Sun through the windows.
    pub window_w: f64,
    /// Heat with air; positive comes in.
    pub air_w: f64,
    /// Heat of people and appliances.
    pub inside_w: f64,
    /// All together; negative must be heated.
    pub total_w: f64,
    /// Heat that the air conditioner moves in this air.
    pub capacity_w: Option<f64>,
    /// Heat it moves for each W it takes in this air.
    pub cop: Option<f64>,
    /// Share of the time it runs; 1 where it does not keep up.
    pub duty: Option<f64>,
    /// Power it takes in the mean.
    pub electric_w: Option<f64>,
}

/// Heat of a body and what an air conditioner draws against it, in the long run.
///
/// A box of one heat transmission. Sun on the roof warms it above the air by what the film does not carry off; the cold
/// sky at night, heat stored in walls, and what starting costs the air conditioner are left out.
///
/// | input                 | unit     | range        | note                                          |
/// |-----------------------|----------|--------------|-----------------------------------------------|
/// | `length_m`            | m        | over 0 to 30 |                                               |
/// | `width_m`             | m        | over 0 to 10 |                                               |
/// | `height_m`            | m        | over 0 to 10 |                                               |
/// | `u_w_m2k`             | W/(m2 K) | 0 to 20      | 40 mm foam with frames 0.8 to 1.2             |
/// | `window_m2`           | m2       | 0 to 100     | default 0                                     |
/// | `window_u_w_m2k`      | W/(m2 K) | 0 to 20      | default 0; double acrylic 2.5 to 3            |
/// | `window_gain`         | 1        | 0 to 1       | default 0                                     |
/// | `window_shade`        | 1        | 0 to 1       | default 1                                     |
/// | `window_sun_w_m2`     | W/m2     | 0 to 1500    | default 0                                     |
/// | `absorptance`         | 1        | 0 to 1       | default 0; white 0.3, olive 0.85              |
/// | `roof_sun_w_m2`       | W/m2     | 0 to 1500    | default 0                                     |
/// | `roof_film_w_m2k`     | W/(m2 K) | 1 to 100     | default 20                                    |
/// | `air_changes_per_h`   | 1/h      | 0 to 100     | default 0                                     |
/// | `people`              | 1        | 0 to 100     | default 0; 130 W each                         |
/// | `appliances_w`        | W        | 0 to 100000     | default 0                                     |
/// | `outside_c`           | deg C    | -60 to 65    |                                               |
/// | `inside_c`            | deg C    | -30 to 50    |                                               |
/// | `cooling_w`           | W        | over 0 to 100000 | heat, not what it takes; 1000 BTU/h is 293 W |
/// | `cop`                 | 1        | over 0 to 20 | wanted with `cooling_w`                       |
/// | `capacity_fall_per_k` | 1/K      | 0 to 0.03    | default 0.01                                  |
/// | `cop_fall_per_k`      | 1/K      | 0 to 0.03    | default 0.02                                  |
///
/// Gives `ua_w_k` (W/K), the parts and `total_w` (W), and with an air conditioner `capacity_w`, `electric_w` (W), `cop`
/// and `duty` (1).
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above, or windows larger than the body; `Missing` one of
/// `cooling_w` and `cop` without the other.
///
/// # Source
/// Sol-air temperature and steady heat balance (physics); usual values from `data/store.toml`, common practice.
///
/// # Checked against
/// `tests/outside/heat.rs`: a table computed with Python.
pub fn heat_balance(input: &HeatBalanceIn) -> Result<HeatBalanceOut, KernelError> {
    input.check()?;
    let body = Body { length: input.length_m, width: input.width_m, height: input.height_m };
    if input.window_m2 > body.surface() {
        let why = "windows are part of the walls";
        return Err(KernelError::outside("window_m2", input.window_m2, Range::of(0.0, body.surface()), "m2", why));
    }
    let facts = facts::heat();
    let ua = transmission(input.u_w_m2k, body.surface(), input.window_u_w_m2k, input.window_m2);
    let warmer = input.outside_c - input.inside_c;
    let conduction = ua * warmer;
    let roof_area = body.length * body.width;
    let roof = sun_through_roof(input.u_w_m2k, roof_area, input.absorptance, input.roof_sun_w_m2, input.roof_film_w_m2k);
    let window = input.window_gain * input.window_shade * input.window_m2 * input.window_sun_w_m2;
    let air = facts.air_heat * input.air_changes_per_h * body.volume() * warmer;
    let inside = facts.person_heat * input.people + input.appliances_w;
    let total = finite("total_w", conduction + roof + window + air + inside)?;
    let cooler = match (input.cooling_w, input.cop) {
        (None, None) => None,
        (Some(capacity), Some(cop)) => {
            let falls = Falls { capacity: input.capacity_fall_per_k, cop: input.cop_fall_per_k };
            Some(cooled(total, capacity, cop, input.outside_c, falls))
        }
        (Some(_), None) => return Err(KernelError::Missing { field: "cop".into(), why: "an air conditioner has both" }),
        (None, Some(_)) => return Err(KernelError::Missing { field: "cooling_w".into(), why: "an air conditioner has both" }),
    };
    let of = |name, f: fn(Cooled) -> f64| cooler.map(|c| finite(name, f(c))).transpose();
    Ok(HeatBalanceOut {
        ua_w_k: finite("ua_w_k", ua)?,
        conduction_w: finite("conduction_w", conduction)?,
        roof_w: finite("roof_w", roof)?,
        window_w: finite("window_w", window)?,
        air_w: finite("air_w", air)?,
        inside_w: finite("inside_w", inside)?,
        total_w: total,
        capacity_w: of("capacity_w", |c| c.capacity_w)?,
        cop: of("cop", |c| c.cop)?,
        duty: of("duty", |c| c.duty)?,
        electric_w: of("electric_w", |c| c.electric_w)?,
    })
}

/// A box, m.
struct Body {
    length: f64,
    width: f64,
    height: f64,
}

impl Body {
    fn surface(&self) -> f64 {
        2.0 * (self.length * self.width + self.length * self.height + self.width * self.height)
    }

    fn volume(&self) -> f64 {
        self.length * self.width * self.height
    }
}

/// Heat transmission, W/(m2 K), of insulation of a thickness (m) and conductivity (W/(m K)) between two films of air;
/// `frames` multiplies it, 1 without metal through it.
#[must_use]
pub fn sandwich(thickness_m: f64, conductivity: f64, frames: f64) -> f64 {
    let facts = facts::heat();
    frames / (facts.film_outside + thickness_m / conductivity + facts.film_inside)
}

/// Heat through a body for each K, W/K: heat transmission of its walls and of windows in them (W/(m2 K)), areas in m2.
#[must_use]
pub fn transmission(u: f64, surface: f64, window_u: f64, window: f64) -> f64 {
    u * (surface - window) + window_u * window
}

/// Heat of the sun (W/m2) through a roof, W: areas in m2, heat transmission and film in W/(m2 K).
#[must_use]
pub fn sun_through_roof(u: f64, area: f64, absorptance: f64, sun: f64, film: f64) -> f64 {
    u * area * absorptance * sun / film
}

/// What an air conditioner loses for each K outside above the temperature it is rated at, as shares.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Falls {
    /// Of the heat it moves.
    pub capacity: f64,
    /// Of the heat it moves for each W taken.
    pub cop: f64,
}

impl Falls {
    /// As is usual.
    #[must_use]
    pub fn usual() -> Self {
        let facts = facts::heat();
        Self { capacity: facts.cooling_capacity_fall, cop: facts.cooling_cop_fall }
    }
}

/// An air conditioner at work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cooled {
    /// Heat it moves in this air, W.
    pub capacity_w: f64,
    /// Heat it moves for each W it takes in this air.
    pub cop: f64,
    /// Share of the time it runs; 1 where it does not keep up.
    pub duty: f64,
    /// Power it takes in the mean, W.
    pub electric_w: f64,
}

/// What an air conditioner of a capacity (W of heat) and performance, both as rated, does against a heat (W) with air of
/// a temperature (deg C) outside. Nothing against none. Better in cooler air than it is rated for. No range is checked;
/// falls of 0.03 hold to 65 deg C.
#[must_use]
pub fn cooled(heat_w: f64, capacity_w: f64, cop: f64, outside_c: f64, falls: Falls) -> Cooled {
    let above = outside_c - facts::heat().cooling_at;
    let (capacity_w, cop) = (capacity_w * (1.0 - falls.capacity * above), cop * (1.0 - falls.cop * above));
    let heat = if heat_w > 0.0 { heat_w } else { 0.0 };
    let moved = if heat < capacity_w { heat } else { capacity_w };
    Cooled { capacity_w, cop, duty: moved / capacity_w, electric_w: moved / cop }
}

/// Heat transmission, W/(m2 K), that a heater of a known power (W) shows after hours: power over warmth, for the whole
/// body, W/K.
#[must_use]
pub fn measured_transmission(heater_w: f64, inside_c: f64, outside_c: f64) -> f64 {
    heater_w / (inside_c - outside_c)
}

/// Share of the sun that a paint turns into heat, and heat conductivity of insulation (W/(m K)), heat transmission of a
/// window (W/(m2 K)): what is usual, by the word of the tables in `data/heat.toml`.
#[must_use]
pub fn usual(what: Material, word: &str) -> Option<facts::Usual> {
    match what {
        Material::Paint => facts::usual(&["heat/absorptance"], "colour", word),
        Material::Insulation => facts::usual(&["heat/conductivity"], "material", word),
        Material::Window => facts::usual(&["heat/u-window"], "window", word),
        Material::Body => facts::usual(&["heat/u-body"], "body", word),
    }
}

/// What [`usual()`] is asked about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Material {
    /// A colour: "white", "sand", "olive", "black".
    Paint,
    /// "pu", "xps", "eps".
    Insulation,
    /// "single", "double".
    Window,
    /// A whole body by how it is built.
    Body,
}
