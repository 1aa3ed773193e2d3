//! Weighbridge readings folded into a list of masses, and who is suspect when they disagree.

use quantity::real::{exp, ln};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::chance::chi_square_tail;
use crate::error::KernelError;
use crate::facts;
use crate::linear::{Spd, dot};
use crate::range::{Range, Ranged, check_count, check_list, finite, in_schema, ranged, usual};

/// Most masses and most readings in one call.
const MOST_MASSES: usize = 1000;
const MOST_READINGS: usize = 200;

/// Covariances, kg².
const COVARIANCE: Range = Range::of(-1e18, 1e18);

/// One reading of a scale, as a weighted sum of the masses.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<ScaleReading>)]
pub struct ScaleReading {
    /// Share of each mass that this reading feels, in the order of `prior_kg`: x / wheelbase for a rear axle.
    pub weights: Vec<f64>,
    /// What the scale showed.
    pub value_kg: f64,
    /// One standard deviation of the scale's own error.
    pub sd_kg: f64,
}

ranged!(ScaleReading {
    weights [""] Range::of(-1e6, 1e6),
    value_kg ["kg"] Range::of(-1e9, 1e9),
    sd_kg ["kg"] usual::MASS,
});

/// Input of [`reconcile`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(transform = in_schema::<ReconcileIn>)]
pub struct ReconcileIn {
    /// Masses as the list has them.
    pub prior_kg: Vec<f64>,
    /// Their covariance: squared standard deviations on the diagonal, what two share beside it.
    pub covariance_kg2: Vec<Vec<f64>>,
    /// What scales said, all of the same loading.
    pub readings: Vec<ScaleReading>,
    /// Covariance that readings share beyond their own error, such as one scale's calibration; added to the squares
    /// of `sd_kg`.
    #[serde(default)]
    pub shared_covariance_kg2: Option<Vec<Vec<f64>>>,
}

ranged!(ReconcileIn {
    prior_kg ["kg"] Range::of(-1e9, 1e9),
    covariance_kg2 ["kg2"] COVARIANCE,
    shared_covariance_kg2 ["kg2"] COVARIANCE,
});

/// A mass that alone could explain the disagreement.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Suspect {
    /// Which mass, counted from 0.
    pub index: usize,
    /// What would have to be added to it.
    pub needed_kg: f64,
    /// Chi-square that would be left.
    pub chi_square_left: f64,
    /// Its likelihood-ratio statistic. The largest is the wrong accuser: it does not weigh how well the mass is known.
    pub z: f64,
    /// ln of how much better the readings are explained if this mass alone had its spread stated five times too
    /// small. The list is sorted by it.
    pub evidence_ln: f64,
    /// Its share among all suspects and "nothing is wrong".
    pub share: f64,
}

/// Output of [`reconcile`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReconcileOut {
    /// Masses after the readings. Take them only if `adopt` says so.
    pub posterior_kg: Vec<f64>,
    /// Their covariance.
    pub covariance_kg2: Vec<Vec<f64>>,
    /// Disagreement of list and readings, in what both claim.
    pub chi_square: f64,
    /// Number of readings.
    pub dof: usize,
    /// How often chance alone gives a chi-square this large.
    pub p: f64,
    /// Each reading less what the list says, over the standard deviation of that difference.
    pub residual_z: Vec<f64>,
    /// Whether list and readings agree (p at least 0.05), so that the posterior may be used.
    pub adopt: bool,
    /// Masses that some reading feels, most likely culprit first.
    pub suspects: Vec<Suspect>,
}

/// Folds scale readings into a list of masses by weighted least squares, and says whether they agree.
///
/// Errors are taken as normal. While `adopt` is false the posterior hides the disagreement in whatever is least well
/// known: keep the list, and look at the suspects. Suspects with nearly the same weights cannot be told apart.
///
/// | input                   | unit | range         | note                                                  |
/// |-------------------------|------|---------------|-------------------------------------------------------|
/// | `prior_kg`              | kg   | -1e9 to 1e9   | 1 to 1000 masses                                      |
/// | `covariance_kg2`        | kg2  | -1e18 to 1e18 | symmetric, diagonal not negative                      |
/// | `weights`               | 1    | -1e6 to 1e6   | one for each mass                                     |
/// | `value_kg`              | kg   | -1e9 to 1e9   | 1 to 200 readings                                     |
/// | `sd_kg`                 | kg   | 0 to 1e9      | of the scale alone                                    |
/// | `shared_covariance_kg2` | kg2  | -1e18 to 1e18 | optional, symmetric                                   |
///
/// Gives `posterior_kg` (kg), `covariance_kg2` (kg2), `chi_square`, `dof`, `p`, `residual_z`, `adopt`, `suspects`.
///
/// # Errors
/// `OutOfRange` and `Count` name the field; `Unsolvable` for a covariance that is not symmetric or has a negative
/// variance, and for readings that contradict or repeat each other without any error.
///
/// # Source
/// Linear update of a normal prior; likelihood ratio of one mass alone (statistics). Ranking by evidence with a
/// factor of 5, and p 0.05: `data/weight.toml` (common practice).
///
/// # Checked against
/// `tests/outside/reconcile.rs`: two examples computed with numpy, one of them by hand too.
pub fn reconcile(input: &ReconcileIn) -> Result<ReconcileOut, KernelError> {
    input.check()?;
    check_count("prior_kg", input.prior_kg.len(), 1, MOST_MASSES)?;
    check_list("readings", &input.readings, 1, MOST_READINGS)?;
    square("covariance_kg2", &input.covariance_kg2, input.prior_kg.len())?;
    for (j, reading) in input.readings.iter().enumerate() {
        check_count(&format!("readings[{j}].weights"), reading.weights.len(), input.prior_kg.len(), input.prior_kg.len())?;
    }
    if let Some(shared) = &input.shared_covariance_kg2 {
        square("shared_covariance_kg2", shared, input.readings.len())?;
    }
    let update = Update::new(input)?;
    let chi_square = finite("chi_square", update.chi_square)?;
    let dof = input.readings.len();
    let p = chi_square_tail(chi_square, dof);
    let (posterior_kg, covariance_kg2) = update.posterior(input)?;
    Ok(ReconcileOut {
        posterior_kg,
        covariance_kg2,
        chi_square,
        dof,
        p,
        residual_z: update.residual_z()?,
        adopt: p >= facts::weight().significance,
        suspects: update.suspects(input)?,
    })
}

/// Refuses a matrix that is not n by n, symmetric, with no negative variance.
fn square(name: &str, rows: &[Vec<f64>], n: usize) -> Result<(), KernelError> {
    check_count(name, rows.len(), n, n)?;
    for (i, row) in rows.iter().enumerate() {
        check_count(&format!("{name}[{i}]"), row.len(), n, n)?;
        let own = row.get(i).copied().unwrap_or_default();
        if own < 0.0 {
            let range = Range::of(0.0, COVARIANCE.high);
            return Err(KernelError::outside(
                &format!("{name}[{i}][{i}]"),
                own,
                range,
                "kg2",
                "the square of a standard deviation",
            ));
        }
        for (j, value) in row.iter().enumerate().skip(i + 1) {
            let mirror = rows.get(j).and_then(|other| other.get(i)).copied().unwrap_or_default();
            // Rounding in whatever wrote the matrix is forgiven; a swapped entry is not.
            if (value - mirror).abs() > f64::EPSILON.sqrt() * value.abs().max(mirror.abs()) {
                return Err(KernelError::Unsolvable {
                    field: format!("{name}[{i}][{j}]"),
                    why: "differs from its mirror; a covariance is symmetric",
                });
            }
        }
    }
    Ok(())
}

/// What the readings say beyond the list.
struct Update {
    /// P h_j for each reading: covariance of each mass with it.
    gains: Vec<Vec<f64>>,
    /// S, covariance of the differences.
    spread: Vec<Vec<f64>>,
    solver: Spd,
    /// Reading less list.
    innovation: Vec<f64>,
    /// S⁻¹ times the innovation.
    weighted: Vec<f64>,
    chi_square: f64,
}

impl Update {
    fn new(input: &ReconcileIn) -> Result<Self, KernelError> {
        let gains: Vec<Vec<f64>> = input
            .readings
            .iter()
            .map(|reading| input.covariance_kg2.iter().map(|row| dot(row, &reading.weights)).collect())
            .collect();
        let shared = |i: usize, j: usize| {
            let rows = input.shared_covariance_kg2.as_ref();
            rows.and_then(|rows| rows.get(i)?.get(j).copied()).unwrap_or_default()
        };
        let spread: Vec<Vec<f64>> = input
            .readings
            .iter()
            .enumerate()
            .map(|(i, reading)| {
                gains
                    .iter()
                    .enumerate()
                    .map(|(j, gain)| {
                        let own = if i == j { reading.sd_kg * reading.sd_kg } else { 0.0 };
                        dot(&reading.weights, gain) + own + shared(i, j)
                    })
                    .collect()
            })
            .collect();
        let innovation: Vec<f64> =
            input.readings.iter().map(|reading| reading.value_kg - dot(&reading.weights, &input.prior_kg)).collect();
        let unsolvable = || KernelError::Unsolvable {
            field: "readings".into(),
            why: "two of them say the same without any error of their own; give them an `sd_kg`, or leave one out",
        };
        let solver = Spd::new(&spread).ok_or_else(unsolvable)?;
        let weighted = solver.solve(&innovation).ok_or_else(unsolvable)?;
        let chi_square = dot(&innovation, &weighted).max(0.0);
        Ok(Self { gains, spread, solver, innovation, weighted, chi_square })
    }

    fn residual_z(&self) -> Result<Vec<f64>, KernelError> {
        let sd = |j: usize| self.spread.get(j).and_then(|row| row.get(j)).map_or(f64::NAN, |v| v.sqrt());
        self.innovation.iter().enumerate().map(|(j, v)| finite("residual_z", v / sd(j))).collect()
    }

    fn posterior(&self, input: &ReconcileIn) -> Result<(Vec<f64>, Vec<Vec<f64>>), KernelError> {
        // Column i of the gains: how mass i goes with each reading.
        let column = |i: usize| self.gains.iter().map(|gain| gain.get(i).copied().unwrap_or_default()).collect::<Vec<f64>>();
        let mut masses = Vec::with_capacity(input.prior_kg.len());
        let mut covariance = Vec::with_capacity(input.prior_kg.len());
        for (i, (prior, row)) in input.prior_kg.iter().zip(&input.covariance_kg2).enumerate() {
            let mine = column(i);
            masses.push(finite("posterior_kg", prior + dot(&mine, &self.weighted))?);
            let solved = self.solver.solve(&mine).unwrap_or_default();
            let left = row.iter().enumerate().map(|(j, own)| {
                let taken =
                    self.gains.iter().zip(&solved).map(|(gain, s)| gain.get(j).copied().unwrap_or_default() * s).sum::<f64>();
                // Rounding must not leave a negative variance.
                finite("covariance_kg2", if i == j { (own - taken).max(0.0) } else { own - taken })
            });
            covariance.push(left.collect::<Result<Vec<_>, _>>()?);
        }
        Ok((masses, covariance))
    }

    fn suspects(&self, input: &ReconcileIn) -> Result<Vec<Suspect>, KernelError> {
        let mut found = Vec::new();
        for (index, row) in input.covariance_kg2.iter().enumerate() {
            let felt: Vec<f64> = input.readings.iter().map(|r| r.weights.get(index).copied().unwrap_or_default()).collect();
            let variance = row.get(index).copied().unwrap_or_default();
            let q = self.solver.solve(&felt).map_or(0.0, |solved| dot(&felt, &solved));
            if q <= 0.0 {
                continue;
            }
            let w = dot(&felt, &self.weighted);
            found.push(Suspect {
                index,
                needed_kg: finite("needed_kg", w / q)?,
                chi_square_left: (self.chi_square - w * w / q).max(0.0),
                z: finite("z", w / q.sqrt())?,
                evidence_ln: finite("evidence_ln", evidence(variance, q, w))?,
                share: 0.0,
            });
        }
        share_out(&mut found);
        // Equal evidence keeps the order of the list.
        found.sort_by(|a, b| b.evidence_ln.total_cmp(&a.evidence_ln));
        Ok(found)
    }
}

/// ln of the evidence that one mass's spread was stated k times too small, against "nothing wrong".
///
/// `variance` of the mass, kg²; `q` = h' S⁻¹ h and `w` = h' S⁻¹ v for its column h of the readings' weights, the
/// readings' differences v and their covariance S.
#[must_use]
pub fn evidence(variance: f64, q: f64, w: f64) -> f64 {
    let k = facts::weight().suspect_spread;
    let c = (k * k - 1.0) * variance;
    (c * w * w / (1.0 + c * q) - ln(1.0 + c * q)) / 2.0
}

/// Shares among the suspects and "nothing wrong", whose evidence is 0.
fn share_out(suspects: &mut [Suspect]) {
    let most = suspects.iter().map(|s| s.evidence_ln).fold(0.0, f64::max);
    let sum = exp(-most) + suspects.iter().map(|s| exp(s.evidence_ln - most)).sum::<f64>();
    for suspect in suspects {
        suspect.share = exp(suspect.evidence_ln - most) / sum;
    }
}

/// An unlisted mass that would explain two axle readings: its kg and its place x, from what each reading shows beyond
/// the list. `None` when both differences cancel.
#[must_use]
pub fn unlisted_mass(front_more_kg: f64, rear_more_kg: f64, wheelbase_m: f64) -> Option<(f64, f64)> {
    let mass = front_more_kg + rear_more_kg;
    let x = wheelbase_m * rear_more_kg / mass;
    x.is_finite().then_some((mass, x))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample() -> ReconcileIn {
        let reading = |weights: [f64; 2], value_kg| ScaleReading { weights: weights.to_vec(), value_kg, sd_kg: 15.0 };
        ReconcileIn {
            prior_kg: vec![7000.0, 2000.0],
            covariance_kg2: vec![vec![1600.0, 0.0], vec![0.0, 10_000.0]],
            readings: vec![reading([0.6, 0.2], 4650.0), reading([0.4, 0.8], 4520.0)],
            shared_covariance_kg2: None,
        }
    }

    fn field_of(input: &ReconcileIn) -> String {
        match reconcile(input) {
            Err(
                KernelError::OutOfRange { field, .. } | KernelError::Count { field, .. } | KernelError::Unsolvable { field, .. },
            ) => field,
            other => format!("{other:?}"),
        }
    }

    #[test]
    fn a_shared_error_is_one_more_unknown_that_every_reading_feels() {
        let shared = ReconcileIn { shared_covariance_kg2: Some(vec![vec![900.0, 900.0], vec![900.0, 900.0]]), ..sample() };
        let mut unknown = sample();
        unknown.prior_kg.push(0.0);
        unknown.covariance_kg2 = vec![vec![1600.0, 0.0, 0.0], vec![0.0, 10_000.0, 0.0], vec![0.0, 0.0, 900.0]];
        unknown.readings.iter_mut().for_each(|reading| reading.weights.push(1.0));
        let (a, b) = (reconcile(&shared).expect("solvable"), reconcile(&unknown).expect("solvable"));
        assert!((a.chi_square - b.chi_square).abs() < 1e-12);
        for i in 0..2 {
            assert!((a.posterior_kg[i] - b.posterior_kg[i]).abs() < 1e-9);
            assert!((a.covariance_kg2[i][i] - b.covariance_kg2[i][i]).abs() < 1e-9);
        }
        let alone = reconcile(&sample()).expect("solvable");
        assert!((a.chi_square - alone.chi_square).abs() > 1e-3, "it must matter");
    }

    #[test]
    fn matrices_and_lists_that_do_not_fit_are_named() {
        let asymmetric = ReconcileIn { covariance_kg2: vec![vec![1600.0, 5.0], vec![0.0, 10_000.0]], ..sample() };
        assert_eq!(field_of(&asymmetric), "covariance_kg2[0][1]");
        let negative = ReconcileIn { covariance_kg2: vec![vec![1600.0, 0.0], vec![0.0, -1.0]], ..sample() };
        assert_eq!(field_of(&negative), "covariance_kg2[1][1]");
        assert_eq!(field_of(&ReconcileIn { covariance_kg2: vec![vec![1600.0]], ..sample() }), "covariance_kg2");
        let mut short = sample();
        short.readings[1].weights.pop();
        assert_eq!(field_of(&short), "readings[1].weights");
        assert_eq!(field_of(&ReconcileIn { shared_covariance_kg2: Some(vec![vec![1.0]]), ..sample() }), "shared_covariance_kg2");
        assert_eq!(field_of(&ReconcileIn { readings: Vec::new(), ..sample() }), "readings");
        let mut twice = sample();
        twice.readings[1] = twice.readings[0].clone();
        twice.readings.iter_mut().for_each(|reading| reading.sd_kg = 0.0);
        assert_eq!(field_of(&twice), "readings");
    }

    #[test]
    fn a_mass_no_reading_feels_is_no_suspect_and_does_not_move() {
        let mut input = sample();
        input.readings.iter_mut().for_each(|reading| reading.weights[1] = 0.0);
        let out = reconcile(&input).expect("solvable");
        assert_eq!(out.suspects.iter().map(|s| s.index).collect::<Vec<_>>(), [0]);
        assert_eq!((out.posterior_kg[1], out.covariance_kg2[1][1]), (2000.0, 10_000.0));
    }
}
