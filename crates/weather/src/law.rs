//! How clear the days of a month are, given its mean: the law that days are drawn from.

use quantity::real;

use crate::facts;

/// The law of the days of one month: their density over clearness is exponential between two ends.
///
/// # Source
/// Bendt, Collares-Pereira & Rabl 1981 with the upper end of Hollands & Huget 1983; the lower end is ours
/// (`data/generator.toml`). A mean outside 0.10 to 0.75 is taken as that end.
///
/// # Checked against
/// `tests/outside.rs`: ends, steepness, spread and quantiles worked out elsewhere for six means.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Law {
    /// Mean clearness.
    pub mean: f64,
    /// Darkest day.
    pub least: f64,
    /// Clearest day.
    pub most: f64,
    /// Steepness of the exponential: positive where clear days are the more frequent.
    pub steepness: f64,
    /// e to the power -|steepness| (most - least).
    tail: f64,
}

impl Law {
    /// The law of a month of this mean clearness.
    #[must_use]
    pub fn of_mean(mean: f64) -> Self {
        let facts = facts::draw();
        let mean = mean.max(facts.law_mean_least).min(facts.law_mean_most);
        let off = mean - facts.law_top_centre;
        let fourth = off * off * off * off;
        let most = facts.law_top + facts.law_top_slope * mean - facts.law_top_curve * fourth * fourth;
        let least = facts.law_bottom.max(facts.law_bottom_share * mean);
        let steepness = steepness(mean, least, most);
        Self { mean, least, most, steepness, tail: real::exp(-steepness.abs() * (most - least)) }
    }

    /// Clearness that the share `u` (0 to 1) of days stays below.
    #[inline]
    #[must_use]
    pub fn quantile(&self, u: f64) -> f64 {
        let g = self.steepness;
        if g.abs() * (self.most - self.least) < STRAIGHT {
            return self.least + u * (self.most - self.least);
        }
        // Both forms keep e to a negative power alone, so that nothing overflows.
        if g > 0.0 {
            self.most + real::ln(u + (1.0 - u) * self.tail) / g
        } else {
            self.least + real::ln(1.0 - u * (1.0 - self.tail)) / g
        }
    }

    /// Standard deviation of the days.
    #[must_use]
    pub fn spread(&self) -> f64 {
        let length = self.most - self.least;
        let x = self.steepness.abs() * length;
        if x < NEARLY {
            return length * ((1.0 - x * x / EVEN_KINK) / UNIFORM).sqrt();
        }
        // Variance of a truncated exponential: 1/g² - L² e^-x / (1 - e^-x)².
        let rest = 1.0 - self.tail;
        (1.0 / (self.steepness * self.steepness) - length * length * self.tail / (rest * rest)).max(0.0).sqrt()
    }
}

/// Below this the exponential is a straight line: 1e-6 of it.
const STRAIGHT: f64 = 1e-6;
/// Below this the closed forms lose digits (1e-10 of the mean at the worst), and the first terms of their series are as
/// exact.
const NEARLY: f64 = 1e-3;
/// Variance of an even spread is its length squared over 12.
const UNIFORM: f64 = 12.0;
/// The series go on: variance L²/12 (1 - x²/20), mean L (1/2 + x/12 - x³/720).
const EVEN_KINK: f64 = 20.0;
const CUBIC: f64 = 720.0;
/// Steepness is looked for between plus and minus this: a law as steep is a single value.
const STEEPEST: f64 = 300.0;
/// A step so small is the last.
const LAST_STEP: f64 = 1e-8;
/// Halvings that leave nothing of the bracket.
const HALVINGS: usize = 64;

/// Mean of the law over [least, most] for a steepness.
fn mean_of(g: f64, least: f64, most: f64) -> f64 {
    let length = most - least;
    let x = g * length;
    if x.abs() < NEARLY {
        return least + length * (1.0 / 2.0 + x / UNIFORM - x * x * x / CUBIC);
    }
    // eq. of the source: least + L / (1 - e^-x) - 1/g; for negative x written with e^x so that it stays finite.
    if x > 0.0 {
        least + length / (1.0 - real::exp(-x)) - 1.0 / g
    } else {
        let e = real::exp(x);
        least - length * e / (1.0 - e) - 1.0 / g
    }
}

/// The steepness that gives the mean, by Newton's steps inside a bracket that closes.
fn steepness(mean: f64, least: f64, most: f64) -> f64 {
    let (mut low, mut high) = (-STEEPEST, STEEPEST);
    let length = most - least;
    // Near the middle the mean goes with the steepness as L²/12.
    let mut g = (mean - (least + most) / 2.0) * UNIFORM / (length * length);
    for _ in 0..HALVINGS {
        if !(g > low && g < high) {
            g = (low + high) / 2.0;
        }
        let miss = mean_of(g, least, most) - mean;
        if miss > 0.0 {
            high = g;
        } else {
            low = g;
        }
        let law = Law { mean, least, most, steepness: g, tail: real::exp(-g.abs() * length) };
        let slope = law.spread() * law.spread();
        let step = miss / slope;
        g -= step;
        // Each step squares the miss: after this one it is rounding.
        if step.abs() < LAST_STEP {
            break;
        }
    }
    g
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_law_keeps_its_mean() {
        for hundredths in 0..=100 {
            let law = Law::of_mean(f64::from(hundredths) / 100.0);
            assert!((mean_of(law.steepness, law.least, law.most) - law.mean).abs() < 1e-9, "{law:?}");
            // Mean of the quantiles, by the midpoint rule: another way to the same number.
            let n = 20_000;
            let sum: f64 = (0..n).map(|i| law.quantile((f64::from(i) + 0.5) / f64::from(n))).sum();
            assert!((sum / f64::from(n) - law.mean).abs() < 1e-5, "{law:?}");
            assert!((law.quantile(0.0) - law.least).abs() < 1e-9 && (law.quantile(1.0) - law.most).abs() < 1e-9, "{law:?}");
        }
    }
}
