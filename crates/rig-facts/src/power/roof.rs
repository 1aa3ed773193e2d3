//! The roof from above: where panels and what else stands on it lie. Places as they are written; a tape's error is not in
//! them, since who lays panels lays them by the plan.

use physics::roof_shadow;
pub use physics::roof_shadow::Rect;
use physics::sun::{self, clock, spa};
use physics::sun_facts;
use rig_model::model::{HatchKind, Panel, Rig};
use rig_model::{Thing, path};

use super::Power;
use super::loads::HOURS;
use crate::gap::Gap;
use crate::inputs::Inputs;
use crate::ledger::sizes;
use crate::place::{BodyFrame, Spot, place};

/// A panel entry on the roof.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    /// Its number.
    pub index: usize,
    /// What it covers, from the roof's front left corner; a gap where that cannot be told; none where it is not on the roof.
    pub rect: Result<Option<Rect>, Gap>,
}

/// Something else on the roof.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Its name.
    pub name: String,
    /// Its path.
    pub path: String,
    /// What it is, where that is told.
    pub kind: Option<HatchKind>,
    /// What it covers.
    pub rect: Result<Rect, Gap>,
    /// How high it stands over the roof, m.
    pub height: Result<f64, Gap>,
}

/// The roof from above; lengths in m from its front left corner, x rearward and y to the right.
#[derive(Clone, Debug, PartialEq)]
pub struct Roof {
    /// Along the truck.
    pub length: f64,
    /// Across it.
    pub width: f64,
    /// x of its front edge in the rig's frame; a gap where the body's place is not told.
    pub front: Result<f64, Gap>,
    /// Panels, in file order.
    pub panels: Vec<Laid>,
    /// What else stands on it.
    pub pieces: Vec<Piece>,
}

/// A panel whose middle is this far below the roof's upper face, m, is not on it. A choice of this project.
const BELOW: f64 = 0.3;

impl Roof {
    /// Reads it.
    ///
    /// # Errors
    /// The gap of its length or width.
    pub fn of(rig: &Rig, power: &Power, body: &BodyFrame) -> Result<Self, Gap> {
        let told = |path: &str| power.told(path).map(quantity::Estimate::value);
        let across = |direction: usize| body.outer(direction).map(|(from, to)| to.value() - from.value());
        let length = told("roof.length").or_else(|_| across(0))?;
        let width = told("roof.width").or_else(|_| across(1))?;
        let front = body.front.as_ref().map(|front| front.value() - body.walls.value()).map_err(Clone::clone);
        let top = body.outer(2).ok().map(|(_, top)| top.value());
        let mut roof = Self { length, width, front, panels: Vec::new(), pieces: Vec::new() };
        let laid = |(index, panel)| Laid { index, rect: roof.laid(panel, body, top) };
        let panels: Vec<Laid> = rig.panel.iter().enumerate().map(laid).collect();
        let hatches = rig.roof.iter().flat_map(|roof| &roof.hatch).enumerate();
        let pieces: Vec<Piece> = hatches
            .map(|(index, hatch)| {
                let path = path::of("roof.hatch", &hatch.name, index);
                let pair = |key: &str| Ok::<_, Gap>((told(&format!("{path}.{key}[1]"))?, told(&format!("{path}.{key}[2]"))?));
                let pair = |key: &str| pair(key).map_err(|_| Gap::at(format!("{path}.{key}")));
                let rect = pair("at").and_then(|(x, y)| {
                    let (long, wide) = pair("size")?;
                    Ok(around(x, y + width / 2.0, long, wide))
                });
                let height = told(&format!("{path}.height"));
                Piece { name: hatch.name.clone(), kind: hatch.kind, rect, height, path }
            })
            .collect();
        (roof.panels, roof.pieces) = (panels, pieces);
        Ok(roof)
    }

    fn laid(&self, panel: &Panel, body: &BodyFrame, top: Option<f64>) -> Result<Option<Rect>, Gap> {
        let path = panel.path();
        // A folding panel of a portable unit stands anywhere.
        let Some(at) = panel.at.as_ref() else { return Err(Gap::at(format!("{path}.at"))) };
        let size = sizes(panel.size.as_ref()).ok_or_else(|| Gap::at(format!("{path}.size")))?;
        let spot = Spot { path: &path, key: "at", at: Some(at), in_body: panel.in_body(), size: Some(size), corner: false };
        let [x, y, z] = place(&spot, body, &mut Inputs::default());
        if let (Ok(z), Some(top)) = (&z, top)
            && z.value() < top - BELOW
        {
            return Ok(None);
        }
        if panel.count.unwrap_or(1) > 1 {
            let why = "several panels share one place: an entry for each says where it lies";
            return Err(Gap::because(format!("{path}.at"), why));
        }
        let [long, wide, _] = size;
        let front = self.front.clone()?;
        Ok(Some(around(x?.value() - front, y?.value() + self.width / 2.0, long, wide)))
    }

    /// What lies on it and where, of panels whose place is known.
    pub fn rects(&self) -> impl Iterator<Item = (usize, Rect)> + '_ {
        self.panels.iter().filter_map(|laid| Some((laid.index, laid.rect.clone().ok()??)))
    }
}

/// What the sun leaves of the roof at one instant.
#[derive(Clone, Debug, PartialEq)]
pub struct Shadows {
    /// The instant, in words.
    pub at: String,
    /// Name of each piece and the corners of its shadow, from the roof's front left corner.
    pub of: Vec<(String, Vec<(f64, f64)>)>,
}

/// The day of a month that its sun is shown for. A choice of this project: the solstices fall on it or beside it.
const SHOWN_DAY: u32 = 21;
/// Hours of solar time at noon.
const NOON: f64 = 12.0;
/// A year without a 29 February whose sun stands for every year.
const SHOWN_YEAR: i64 = 2019;
impl Roof {
    /// Shadows of what stands on the roof at solar noon of the 21st of the month of use in which the sun is lowest. None where
    /// the place or the parked heading is not told, or nothing of known height stands there.
    #[must_use]
    pub fn shadows(&self, power: &Power) -> Option<Shadows> {
        let site = power.site().ok()?;
        let heading = power.told("site.heading").ok()?.value();
        let place = sun::Site {
            latitude_rad: site.place.latitude_deg.to_radians(),
            longitude_rad: site.place.longitude_deg.to_radians(),
            altitude_m: site.place.altitude_m,
        };
        let noon = |month: usize| {
            let day = clock::days_from_civil(SHOWN_YEAR, u32::try_from(month + 1).ok()?, SHOWN_DAY) as f64;
            let hours = NOON - site.place.longitude_deg * HOURS as f64 / std::f64::consts::TAU.to_degrees();
            let sun = spa::geocentric((day * HOURS as f64 + hours) * super::HOUR_S, sun_facts::sun().delta_t);
            let seen = sun.seen_from(&place, &sun::Air::at(place.altitude_m));
            Some((month, std::f64::consts::FRAC_PI_2 - seen.apparent_zenith(), seen.azimuth))
        };
        let (month, elevation, azimuth) = power.months().iter().filter_map(noon).min_by(|a, b| a.1.total_cmp(&b.1))?;
        let of = self.pieces.iter().filter_map(|piece| {
            let shift = roof_shadow::reach(*piece.height.as_ref().ok()?, elevation, azimuth, heading)?;
            Some((piece.name.clone(), roof_shadow::outline(piece.rect.as_ref().ok()?, shift)))
        });
        let of: Vec<_> = of.collect();
        let at = format!("{SHOWN_DAY} {}, solar noon", super::month_name(month));
        (!of.is_empty()).then_some(Shadows { at, of })
    }
}

fn around(x: f64, y: f64, long: f64, wide: f64) -> Rect {
    Rect::new(x - long / 2.0, y - wide / 2.0, x + long / 2.0, y + wide / 2.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::facts::Facts;
    use rig_model::{Syntax, read_rig};
    use std::sync::Arc;

    #[test]
    fn places_from_inside_and_from_the_axle_come_to_the_same_corner() {
        let text = "format = \"rigproof-rig/1\"\nrig = \"x\"\n[body]\nfront = \"1 m\"\nfloor = \"1 m\"\nlength = \"4 m\"\nwidth = \"2 m\"\nheight = \"2 m\"\nwalls = \"50 mm\"\n\
            [[panel]]\nname = \"a\"\nin = \"body\"\nat = [\"1 m\", \"0.2 m\", \"2.05 m\"]\nsize = [\"1.6 m\", \"0.8 m\", \"30 mm\"]\n\
            [[panel]]\nname = \"b\"\nat = [\"2 m\", \"0.2 m\", \"3.05 m\"]\nsize = [\"1.6 m\", \"0.8 m\", \"30 mm\"]\n\
            [[panel]]\nname = \"stowed\"\nat = [\"2 m\", \"0.2 m\", \"1.5 m\"]\nsize = [\"1.6 m\", \"0.8 m\", \"30 mm\"]\n\
            [[panel]]\nname = \"two\"\ncount = 2\nat = [\"2 m\", \"0.2 m\", \"3.05 m\"]\nsize = [\"1.6 m\", \"0.8 m\", \"30 mm\"]\n\
            [[roof.hatch]]\nname = \"fan\"\nat = [\"3 m\", \"0 m\"]\nsize = [\"0.4 m\", \"0.4 m\"]\n";
        let (_, rig) = read_rig(text, Syntax::Toml).expect("it reads");
        let facts = Facts::derive(Arc::new(rig.clone()));
        let roof = Roof::of(&rig, facts.power(), facts.body()).expect("a roof");
        assert!((roof.length - 4.1).abs() < 1e-12 && (roof.width - 2.1).abs() < 1e-12);
        // The roof begins 50 mm before the front wall's inner face: 1 + 0.05 - 0.8 m; 0.2 + 1.05 - 0.4 m.
        for (at, rect) in roof.rects() {
            assert!((rect.x0 - 0.25).abs() < 1e-12 && (rect.y0 - 0.85).abs() < 1e-12, "{at}");
        }
        assert_eq!(roof.rects().count(), 2);
        assert_eq!(roof.panels[2].rect, Ok(None));
        assert!(roof.panels[3].rect.is_err());
        assert_eq!(roof.pieces[0].rect.as_ref().map(|rect| (rect.x0, rect.x1)), Ok((2.8, 3.2)));
    }
}
