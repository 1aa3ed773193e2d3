//! What a compressor refrigerator takes in warm air.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged};
use crate::store_facts as facts;

fn usual_inside() -> f64 {
    facts::heat().fridge_inside
}

fn usual_door() -> f64 {
    facts::heat().fridge_door
}

fn usual_carnot() -> f64 {
    facts::heat().fridge_carnot
}

/// Input of [`fridge_duty`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<FridgeDutyIn>)]
pub struct FridgeDutyIn {
    /// Heat that its walls let through for each K.
    pub ua_w_k: f64,
    /// Air around it.
    pub air_c: f64,
    /// Inside: 4 of a fridge, -18 of a freezer.
    #[serde(default = "usual_inside")]
    pub inside_c: f64,
    /// Heat through the door and with goods, as a share of that through the walls.
    #[serde(default = "usual_door")]
    pub door_share: f64,
    /// Performance of the compressor as a share of the ideal.
    #[serde(default = "usual_carnot")]
    pub carnot_share: f64,
    /// How much warmer than the room its niche is.
    #[serde(default)]
    pub niche_k: f64,
    /// Power while it runs, from the label.
    #[serde(default)]
    pub running_w: Option<f64>,
}

ranged!(FridgeDutyIn {
    ua_w_k ["W/K"] Range::of(0.0, 100.0),
    air_c ["deg C"] Range::of(-50.0, 70.0),
    inside_c ["deg C"] Range::of(-40.0, 20.0),
    door_share [""] Range::of(0.0, 5.0),
    carnot_share [""] Range::of(0.05, 1.0),
    niche_k ["K"] Range::of(0.0, 40.0),
    running_w ["W"] Range::over(0.0, 1e4),
});

/// Output of [`fridge_duty`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FridgeDutyOut {
    /// Heat to be pumped out.
    pub heat_w: f64,
    /// Heat pumped for each W taken.
    pub cop: f64,
    /// Power it takes in the mean.
    pub mean_w: f64,
    /// Energy a day.
    pub daily_wh: f64,
    /// Share of the time it runs; over 1 it does not keep the temperature; null without `running_w`.
    pub duty: Option<f64>,
}

/// What a compressor refrigerator takes in the mean, running steadily.
///
/// | input          | unit  | range         | note                                              |
/// |----------------|-------|---------------|---------------------------------------------------|
/// | `ua_w_k`       | W/K   | 0 to 100      |                                                   |
/// | `air_c`        | deg C | -50 to 70     | at least 3 K warmer than the inside               |
/// | `inside_c`     | deg C | -40 to 20     | default 4                                         |
/// | `door_share`   | 1     | 0 to 5        | default 0.15                                      |
/// | `carnot_share` | 1     | 0.05 to 1     | default 0.35                                      |
/// | `niche_k`      | K     | 0 to 40       | default 0; 10 in a niche without air              |
/// | `running_w`    | W     | over 0 to 10000 | left out: no duty                                 |
///
/// Gives `heat_w`, `mean_w` (W), `cop` (1), `daily_wh` (Wh), `duty` (1).
///
/// # Errors
/// `OutOfRange` names the field, its value and the range above, or the air where it is hardly warmer than the inside.
///
/// # Source
/// Heat through walls and a share of the ideal refrigerator (physics); its shares are common practice, `data/store.toml`.
///
/// # Checked against
/// `tests/outside/heat.rs`: own figures computed with numpy.
pub fn fridge_duty(input: &FridgeDutyIn) -> Result<FridgeDutyOut, KernelError> {
    input.check()?;
    let least = input.inside_c + facts::heat().fridge_least;
    if input.air_c < least {
        let why = "the formula is for air that is warmer than the inside";
        return Err(KernelError::outside("air_c", input.air_c, Range::of(least, f64::INFINITY), "deg C", why));
    }
    let heat = heat(input.ua_w_k, input.air_c, input.inside_c, input.door_share);
    let cop = performance(input.air_c, input.inside_c, input.carnot_share, input.niche_k);
    let mean = finite("mean_w", heat / cop)?;
    Ok(FridgeDutyOut {
        heat_w: finite("heat_w", heat)?,
        cop: finite("cop", cop)?,
        mean_w: mean,
        daily_wh: finite("daily_wh", mean * HOURS)?,
        duty: input.running_w.map(|running| finite("duty", mean / running)).transpose()?,
    })
}

/// Hours of a day.
const HOURS: f64 = 24.0;

/// Heat, W, through walls and door.
#[must_use]
pub fn heat(ua_w_k: f64, air_c: f64, inside_c: f64, door_share: f64) -> f64 {
    ua_w_k * (air_c - inside_c) * (1.0 + door_share)
}

/// Heat pumped for each W taken. No range is checked.
#[must_use]
pub fn performance(air_c: f64, inside_c: f64, carnot_share: f64, niche_k: f64) -> f64 {
    let facts = facts::heat();
    let evaporates = inside_c - facts.fridge_evaporator;
    let condenses = air_c + facts.fridge_condenser + niche_k;
    carnot_share * (evaporates + facts.kelvin) / (condenses - evaporates)
}

/// Power in the mean, W, in other air than that of a known power: wall and compressor drop out. Never negative.
#[must_use]
pub fn scaled(known_w: f64, known_air_c: f64, air_c: f64, inside_c: f64) -> f64 {
    let shape = |air: f64| (air - inside_c) / performance(air, inside_c, 1.0, 0.0);
    let power = known_w * shape(air_c) / shape(known_air_c);
    if power > 0.0 { power } else { 0.0 }
}
