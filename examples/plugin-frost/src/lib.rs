//! frost/water-tank: does a water tank outside the body freeze in one night?
//!
//! demand      heat that the full tank loses through its sides in the night, at the mean of its temperatures, J
//! capacity    heat in the water above freezing, J, at most
//! leaves out  a tank that is not full, wind, the pipes, which freeze first

use plugin_api::{Card, Check, Consequence, Context, Dimension, Effort, Finding, Gap, Limit, Number, Scope, Seen};
use plugin_api::{edit_set, entry, export_plugin};

/// Heat that a cubic metre of water gives off for each kelvin, J/m3 K: 1000 kg/m3 x 4186 J/kg K. From memory.
const WATER: f64 = 4.186e6;

struct WaterTank;

impl Check for WaterTank {
    fn card(&self) -> Card {
        Card::new("frost/water-tank", "Does a water tank outside the body freeze in one night?", Consequence::Damage, Scope::Once)
            .words("loses", "may lose")
            .needs(&["tank.volume", "tank.size", "custom.frost"])
            .uses(&["tank.holds", "tank.in"])
            .formula(&["loses: u x area x (water / 2 - night) x hours", "may lose: 4186 kJ/m3 K x volume x water above 0 degC"])
    }

    fn answer(&self, cx: &Context<'_>) -> Vec<Finding> {
        let tanks = cx.rig().get("tank").entries().filter(|(_, tank)| tank.get("holds").text() == Some("water"));
        let answers: Vec<Finding> = tanks.map(|(name, tank)| of_tank(cx, name, tank)).collect();
        if answers.is_empty() { vec![cx.about("water").at("tank").not_applicable("no tank holds water")] } else { answers }
    }
}

fn of_tank(cx: &Context<'_>, name: &str, tank: Seen<'_>) -> Finding {
    let path = entry("tank", name);
    let draft = cx.about(format!("{name} tank")).at(&path);
    if tank.get("in").text() == Some("body") {
        return draft.not_applicable("it stands inside the body");
    }
    let frost = |key: &str| cx.custom("frost").need(key, "custom.frost");
    let heats = || -> Result<(Number, Number, f64), Gap> {
        let side = |at: usize| tank.get("size").item(at).number().ok_or(Gap::at(format!("{path}.size")));
        let (length, width, height) = (side(0)?, side(1)?, side(2)?);
        let area = (&length * &width + &length * &height + &width * &height) * 2.0;
        let (water, u) = (frost("water_c")?, frost("u_w_m2k")?);
        let loses = &u * &area * (&water * 0.5 - frost("night_c")?) * (frost("hours")? * 3600.0);
        Ok((loses, tank.need("volume", &path)? * WATER * water, u.value()))
    };
    let (loses, holds, u) = match heats() {
        Ok(heats) => heats,
        Err(gap) => return draft.missing(gap),
    };
    let line = format!("{:.2} MJ lost in the night, {:.2} MJ above freezing", loses.value() / 1e6, holds.value() / 1e6);
    let wrapped = (u * 10.0 * 0.9 * holds.value() / loses.value()).floor() / 10.0;
    let limit = Limit::at_most("heat above freezing", holds).computed("from the volume of water");
    let draft = draft.compare(&loses, Dimension::Energy, vec![limit]).working([line]);
    if wrapped <= 0.0 || wrapped >= u {
        return draft.done();
    }
    let edits = vec![edit_set("custom.frost.u_w_m2k", wrapped)];
    draft.remedy(format!("wrap it to {wrapped} W/m2K"), Effort::PartsToBuy, edits).done()
}

export_plugin!(WaterTank);
