//! How far a scale may be out.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::KernelError;
use crate::facts;
use crate::range::{Range, Ranged, finite, in_schema, ranged, usual};

/// Input of [`scale_tolerance`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<ScaleToleranceIn>)]
pub struct ScaleToleranceIn {
    /// What the scale shows.
    pub reading_kg: f64,
    /// Its division: the step in which it is verified, "e" on its plate.
    pub division_kg: f64,
}

ranged!(ScaleToleranceIn {
    reading_kg ["kg"] usual::MASS,
    division_kg ["kg"] usual::SOME_MASS,
});

/// Output of [`scale_tolerance`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ScaleToleranceOut {
    /// The reading in divisions.
    pub divisions: f64,
    /// Largest error allowed when the scale is verified, either way.
    pub verification_kg: f64,
    /// Largest error allowed while it is in use, either way.
    pub in_service_kg: f64,
    /// One standard deviation of an error that lies anywhere within the in-service tolerance.
    pub sd_kg: f64,
}

/// Error that a verified road-vehicle scale (class III, weighing at rest) may have at a reading.
///
/// A scale in motion, a pad, a bathroom scale have other tolerances. Axle by axle on a short platform adds what the
/// approach's slope does.
///
/// | input         | unit | range         | note                            |
/// |---------------|------|---------------|---------------------------------|
/// | `reading_kg`  | kg   | 0 to 1e9      | up to 10000 divisions           |
/// | `division_kg` | kg   | over 0 to 1e9 | verification division e         |
///
/// Gives `divisions`, `verification_kg`, `in_service_kg` and `sd_kg` (kg).
///
/// # Errors
/// `OutOfRange` names the field; a class III scale has at most 10000 divisions.
///
/// # Source
/// OIML R 76-1 table 6, class III: read; `data/scales.toml`. The spread of a rectangle is half its width over √3.
///
/// # Checked against
/// `tests/outside/scale.rs`: points on both sides of the table's steps.
pub fn scale_tolerance(input: &ScaleToleranceIn) -> Result<ScaleToleranceOut, KernelError> {
    input.check()?;
    let divisions = finite("divisions", input.reading_kg / input.division_kg)?;
    let row = facts::class_iii().find(|(up_to, _, _)| divisions <= *up_to);
    let Some((_, new, used)) = row else {
        let most = facts::class_iii().map(|(up_to, _, _)| up_to).fold(0.0, f64::max);
        let range = Range::of(0.0, most * input.division_kg);
        return Err(KernelError::outside("reading_kg", input.reading_kg, range, "kg", "a class III scale has no more divisions"));
    };
    let in_service_kg = used * input.division_kg;
    Ok(ScaleToleranceOut {
        divisions,
        verification_kg: new * input.division_kg,
        in_service_kg,
        sd_kg: in_service_kg / (2.0_f64 + 1.0).sqrt(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_belong_to_the_lower_band_and_the_table_ends() {
        let at = |reading_kg| scale_tolerance(&ScaleToleranceIn { reading_kg, division_kg: 20.0 });
        let allowed = |kg| at(kg).map(|out| out.in_service_kg);
        assert_eq!((allowed(10_000.0), allowed(10_000.1)), (Ok(20.0), Ok(40.0)));
        assert_eq!((allowed(40_000.0), allowed(40_000.1)), (Ok(40.0), Ok(60.0)));
        assert!(at(200_000.0).is_ok() && at(200_000.1).is_err());
    }
}
