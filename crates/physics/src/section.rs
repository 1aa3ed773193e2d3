//! What a cross section is worth: area, centroid, second moments, moduli, torsion.
//!
//! Corners are sharp. Rolled channels and angles have fillets and tapered flanges: against their tables area and
//! strong second moment are within 3 %, the weak second moment of a tapered channel is 12 to 15 % high, torsion 7 to
//! 17 % low. Where a designation names a rolled section the table's values are taken ([`crate::profile`]).

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::range::{Range, Ranged, finite, in_schema, ranged, usual};

/// Form of a cross section.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Shape {
    /// A C: web upright, both flanges to the same side.
    Channel,
    /// An L: one leg upright, one lying at the bottom.
    Angle,
    /// A rectangular tube.
    Tube,
    /// A round tube, or a round bar where the wall is half the diameter.
    RoundTube,
    /// A solid rectangle.
    Flat,
    /// A T with its flange on top.
    Tee,
}

/// Sizes of a section, m. Fields that a shape has no use for are 0.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Sizes {
    /// Height; outer diameter of a round tube; upright leg of an angle.
    pub height: f64,
    /// Width; lying leg of an angle.
    pub width: f64,
    /// Thickness of web or upright leg; wall of a tube.
    pub web: f64,
    /// Thickness of flange or lying leg.
    pub flange: f64,
}

/// What a section is worth. Axes parallel to its sides through the centroid; `x` lies, `y` stands.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Properties {
    /// Area, m2.
    pub area: f64,
    /// Centroid from the left: the back of the web, m.
    pub centroid_x: f64,
    /// Centroid from the bottom, m.
    pub centroid_y: f64,
    /// Second moment about the lying axis: bending under a vertical load, m4.
    pub i_x: f64,
    /// Second moment about the standing axis, m4.
    pub i_y: f64,
    /// Section modulus about the lying axis, to the farther fibre, m3.
    pub w_x: f64,
    /// Section modulus about the standing axis, to the farther fibre, m3.
    pub w_y: f64,
    /// St Venant torsion constant, m4.
    pub torsion: f64,
}

/// A rectangle of a section: its lower left corner and size, m; a hole has sign -1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Part {
    pub(crate) left: f64,
    pub(crate) bottom: f64,
    pub(crate) wide: f64,
    pub(crate) high: f64,
    pub(crate) sign: f64,
}

impl Part {
    pub(crate) fn solid(left: f64, bottom: f64, wide: f64, high: f64) -> Self {
        Self { left, bottom, wide, high, sign: 1.0 }
    }

    pub(crate) fn hole(left: f64, bottom: f64, wide: f64, high: f64) -> Self {
        Self { sign: -1.0, ..Self::solid(left, bottom, wide, high) }
    }

    fn area(&self) -> f64 {
        self.sign * self.wide * self.high
    }
}

/// Of the second moment of a rectangle, b h³ / 12.
const TWELVE: f64 = 12.0;
/// Of the torsion of a thin strip, b t³ / 3.
const THREE: f64 = 3.0;

fn cube(x: f64) -> f64 {
    x * x * x
}

/// Properties of rectangles that together are a section, but for torsion.
pub(crate) fn of_parts(parts: &[Part]) -> Properties {
    let sum = |f: &dyn Fn(&Part) -> f64| parts.iter().map(f).sum::<f64>();
    let area = sum(&Part::area);
    let centroid_x = sum(&|p| p.area() * (p.left + p.wide / 2.0)) / area;
    let centroid_y = sum(&|p| p.area() * (p.bottom + p.high / 2.0)) / area;
    let about = |side: f64, other: f64, middle: f64, centre: f64, sign: f64| {
        sign * (other * cube(side) / TWELVE + other * side * (middle - centre) * (middle - centre))
    };
    let i_x = sum(&|p| about(p.high, p.wide, p.bottom + p.high / 2.0, centroid_y, p.sign));
    let i_y = sum(&|p| about(p.wide, p.high, p.left + p.wide / 2.0, centroid_x, p.sign));
    let solid = || parts.iter().filter(|p| p.sign > 0.0);
    let far_y = solid().map(|p| (p.bottom + p.high - centroid_y).max(centroid_y - p.bottom)).fold(0.0, f64::max);
    let far_x = solid().map(|p| (p.left + p.wide - centroid_x).max(centroid_x - p.left)).fold(0.0, f64::max);
    Properties { area, centroid_x, centroid_y, i_x, i_y, w_x: i_x / far_y, w_y: i_y / far_x, torsion: 0.0 }
}

/// The rectangles of a shape that is made of some; a round tube is not.
pub(crate) fn parts(shape: Shape, s: &Sizes) -> Vec<Part> {
    let Sizes { height: h, width: b, web: tw, flange: tf } = *s;
    match shape {
        Shape::Channel => {
            vec![Part::solid(0.0, 0.0, tw, h), Part::solid(tw, 0.0, b - tw, tf), Part::solid(tw, h - tf, b - tw, tf)]
        }
        Shape::Angle => vec![Part::solid(0.0, 0.0, tw, h), Part::solid(tw, 0.0, b - tw, tf)],
        Shape::Tube => vec![Part::solid(0.0, 0.0, b, h), Part::hole(tw, tw, b - 2.0 * tw, h - 2.0 * tw)],
        Shape::Flat => vec![Part::solid(0.0, 0.0, b, h)],
        Shape::Tee => vec![Part::solid((b - tw) / 2.0, 0.0, tw, h - tf), Part::solid(0.0, h - tf, b, tf)],
        Shape::RoundTube => Vec::new(),
    }
}

/// Properties of a section with sharp corners. No range is checked; a wall thicker than half the height gives nonsense.
#[must_use]
pub fn properties(shape: Shape, s: &Sizes) -> Properties {
    if shape == Shape::RoundTube {
        return round_tube(s.height, s.web);
    }
    Properties { torsion: torsion(shape, s), ..of_parts(&parts(shape, s)) }
}

/// Of the area of a disc over its diameter squared, and of its second moment over the fourth power.
const FOUR: f64 = 4.0;
const SIXTY_FOUR: f64 = 64.0;

fn round_tube(outer: f64, wall: f64) -> Properties {
    let inner = outer - 2.0 * wall;
    let (o2, i2) = (outer * outer, inner * inner);
    let i = std::f64::consts::PI * (o2 * o2 - i2 * i2) / SIXTY_FOUR;
    let (middle, w) = (outer / 2.0, i / (outer / 2.0));
    let area = std::f64::consts::PI * (o2 - i2) / FOUR;
    Properties { area, centroid_x: middle, centroid_y: middle, i_x: i, i_y: i, w_x: w, w_y: w, torsion: 2.0 * i }
}

/// St Venant torsion constant, m4: strips of b t³/3 between centre lines for open shapes, Bredt's formula on the
/// centre line for a tube, the fitted series for a solid rectangle (within 0.5 %). For a round tube it is exact.
#[must_use]
pub fn torsion(shape: Shape, s: &Sizes) -> f64 {
    let Sizes { height: h, width: b, web: tw, flange: tf } = *s;
    let strip = |length: f64, thick: f64| length * cube(thick) / THREE;
    match shape {
        Shape::Channel => strip(h - tf, tw) + 2.0 * strip(b - tw / 2.0, tf),
        Shape::Angle => strip(h - tf / 2.0, tw) + strip(b - tw / 2.0, tf),
        Shape::Tee => strip(h - tf / 2.0, tw) + strip(b, tf),
        Shape::Tube => {
            let (high, wide) = (h - tw, b - tw);
            2.0 * tw * high * high * wide * wide / (high + wide)
        }
        Shape::Flat => {
            let (long, thick) = (h.max(b), h.min(b));
            let slim = thick / long;
            strip(long, thick) * (1.0 - END * slim * (1.0 - slim * slim * slim * slim / TWELVE))
        }
        Shape::RoundTube => round_tube(h, tw).torsion,
    }
}

/// What both ends of a strip take off its torsion, in thicknesses: of the series' first term, 192/pi⁵ (physics).
const END: f64 = 0.630;

/// How far the shear centre of a channel lies outside its web's centre line, m; a load through the web twists it.
///
/// `3 b² tf / (6 b tf + h tw)` with b and h to centre lines (thin walls, physics).
#[must_use]
pub fn shear_centre(s: &Sizes) -> f64 {
    let (b, h) = (s.width - s.web / 2.0, s.height - s.flange);
    THREE * b * b * s.flange / (THREE * 2.0 * b * s.flange + h * s.web)
}

/// Input of [`section`], and a section where other kernels ask for one.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<SectionIn>)]
pub struct SectionIn {
    /// Form of the section.
    pub shape: Shape,
    /// Height as it stands; outer diameter of a round tube; upright leg of an angle.
    pub height_m: f64,
    /// Width; lying leg of an angle. All but a round tube.
    #[serde(default)]
    pub width_m: Option<f64>,
    /// Thickness of the web or of the upright leg. Channel, angle, tee.
    #[serde(default)]
    pub web_m: Option<f64>,
    /// Thickness of the flanges or of the lying leg. Channel, angle, tee.
    #[serde(default)]
    pub flange_m: Option<f64>,
    /// Wall thickness. Tube, round tube.
    #[serde(default)]
    pub wall_m: Option<f64>,
}

ranged!(SectionIn {
    height_m ["m"] usual::SOME_LENGTH,
    width_m ["m"] usual::SOME_LENGTH,
    web_m ["m"] usual::SOME_LENGTH,
    flange_m ["m"] usual::SOME_LENGTH,
    wall_m ["m"] usual::SOME_LENGTH,
});

impl SectionIn {
    /// The sizes, once every number is in range, the shape has all it needs and its walls fit.
    ///
    /// # Errors
    /// `OutOfRange`, `Missing`, or `Unsolvable` for a size that the shape has no use for.
    pub fn sizes(&self) -> Result<Sizes, KernelError> {
        self.check()?;
        let (shape, height) = (self.shape, self.height_m);
        let walled = matches!(shape, Shape::Tube | Shape::RoundTube);
        let plated = matches!(shape, Shape::Channel | Shape::Angle | Shape::Tee);
        let width = field("width_m", self.width_m, shape != Shape::RoundTube)?;
        let wall = field("wall_m", self.wall_m, walled)?;
        let web = field("web_m", self.web_m, plated)?;
        let flange = field("flange_m", self.flange_m, plated)?;
        let sizes = Sizes { height, width, web: if walled { wall } else { web }, flange };
        let fits = |name: &str, value: f64, most: f64, why| {
            let range = Range::over(0.0, most);
            if range.holds(value) { Ok(()) } else { Err(KernelError::outside(name, value, range, "m", why)) }
        };
        match shape {
            Shape::Channel => fits("flange_m", flange, height / 2.0, "two flanges stand one above the other")?,
            Shape::Angle | Shape::Tee => fits("flange_m", flange, height, "it is part of the height")?,
            Shape::Tube => fits("wall_m", wall, height.min(width) / 2.0, "two walls stand side by side")?,
            Shape::RoundTube => fits("wall_m", wall, height / 2.0, "two walls stand side by side")?,
            Shape::Flat => {}
        }
        if plated {
            fits("web_m", web, width, "it is part of the width")?;
        }
        Ok(sizes)
    }
}

/// A size that the shape needs, or 0 for one it has no use for.
fn field(name: &str, value: Option<f64>, needed: bool) -> Result<f64, KernelError> {
    match (value, needed) {
        (Some(value), true) => Ok(value),
        (None, false) => Ok(0.0),
        (None, true) => Err(KernelError::Missing { field: name.into(), why: "this shape has one" }),
        (Some(_), false) => Err(KernelError::Unsolvable { field: name.into(), why: "this shape has none; leave it out" }),
    }
}

/// Output of [`section`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SectionOut {
    /// Area.
    pub area_m2: f64,
    /// Centroid from the back of the web; of a tube, flat or tee from its left side.
    pub centroid_x_m: f64,
    /// Centroid from the bottom.
    pub centroid_y_m: f64,
    /// The larger second moment of the two about axes parallel to the sides.
    pub i_strong_m4: f64,
    /// The smaller one.
    pub i_weak_m4: f64,
    /// Section modulus that goes with `i_strong_m4`, to the farther fibre.
    pub w_strong_m3: f64,
    /// Section modulus that goes with `i_weak_m4`, to the farther fibre.
    pub w_weak_m3: f64,
    /// St Venant torsion constant.
    pub torsion_m4: f64,
}

/// What a section with sharp corners is worth.
///
/// | input      | unit | range         | note                                             |
/// |------------|------|---------------|--------------------------------------------------|
/// | `height_m` | m    | over 0 to 1e6 | outer diameter of a round tube                   |
/// | `width_m`  | m    | over 0 to 1e6 | all but a round tube                             |
/// | `web_m`    | m    | over 0 to 1e6 | channel, tee; of an angle its upright leg        |
/// | `flange_m` | m    | over 0 to 1e6 | channel, tee; of an angle its lying leg          |
/// | `wall_m`   | m    | over 0 to 1e6 | tube, round tube                                 |
///
/// Gives `area_m2` (m2), the centroid (m), second moments (m4), moduli (m3) and `torsion_m4` (m4). The axes are
/// parallel to the sides, not an angle's principal axes: an angle bends about a third axis unless it is held.
///
/// # Errors
/// `OutOfRange` names the field, also for a wall that does not fit; `Missing` and `Unsolvable` for a size that the
/// shape needs or does not have.
///
/// # Source
/// Rectangles summed (physics); torsion: see [`torsion`].
///
/// # Checked against
/// `tests/outside/section.rs`: rolled-section tables, rail sections computed with numpy.
pub fn section(input: &SectionIn) -> Result<SectionOut, KernelError> {
    let p = properties(input.shape, &input.sizes()?);
    let (strong, weak) = if p.i_x >= p.i_y { ((p.i_x, p.w_x), (p.i_y, p.w_y)) } else { ((p.i_y, p.w_y), (p.i_x, p.w_x)) };
    Ok(SectionOut {
        area_m2: finite("area_m2", p.area)?,
        centroid_x_m: finite("centroid_x_m", p.centroid_x)?,
        centroid_y_m: finite("centroid_y_m", p.centroid_y)?,
        i_strong_m4: finite("i_strong_m4", strong.0)?,
        i_weak_m4: finite("i_weak_m4", weak.0)?,
        w_strong_m3: finite("w_strong_m3", strong.1)?,
        w_weak_m3: finite("w_weak_m3", weak.1)?,
        torsion_m4: finite("torsion_m4", p.torsion)?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn channel() -> SectionIn {
        SectionIn {
            shape: Shape::Channel,
            height_m: 0.25,
            width_m: Some(0.08),
            web_m: Some(0.008),
            flange_m: Some(0.008),
            wall_m: None,
        }
    }

    #[test]
    fn walls_that_do_not_fit_and_sizes_of_another_shape_are_refused() {
        let why = |input: SectionIn| section(&input).expect_err("refused").to_string();
        assert!(
            why(SectionIn { flange_m: Some(0.13), ..channel() }).starts_with("`flange_m` is 0.13 m; wanted: over 0 to 0.125 m")
        );
        assert!(why(SectionIn { wall_m: Some(0.01), ..channel() }).starts_with("`wall_m`: this shape has none"));
        assert!(why(SectionIn { web_m: None, ..channel() }).starts_with("`web_m` is not there"));
    }

    #[test]
    fn strong_is_the_larger_whichever_way_a_flat_lies() {
        let flat = |height_m, width_m| {
            section(&SectionIn {
                shape: Shape::Flat,
                height_m,
                width_m: Some(width_m),
                web_m: None,
                flange_m: None,
                wall_m: None,
            })
            .expect("answers")
        };
        assert_eq!(flat(0.06, 0.008).i_strong_m4, flat(0.008, 0.06).i_strong_m4);
        assert!((flat(0.06, 0.008).i_strong_m4 - 144e-9).abs() < 1e-15);
    }

    /// A square has 0.1406 a⁴ (the series of St Venant, physics), a long strip b t³/3.
    #[test]
    fn a_solid_bar_twists_as_the_series_says() {
        let of = |height, width| torsion(Shape::Flat, &Sizes { height, width, ..Sizes::default() });
        assert!((of(1.0, 1.0) / 0.140_577 - 1.0).abs() < 5e-3);
        assert!((of(1000.0, 1.0) * 3.0 / 1000.0 - 1.0).abs() < 1e-3);
    }

    #[test]
    fn a_thin_tube_agrees_with_its_exact_form() {
        let round = properties(Shape::RoundTube, &Sizes { height: 0.1, web: 0.05, ..Sizes::default() });
        assert!((round.area - std::f64::consts::PI * 0.0025).abs() < 1e-12);
        assert!((round.torsion - 2.0 * round.i_x).abs() < 1e-18);
    }
}
