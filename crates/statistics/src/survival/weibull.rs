//! Weibull lives by maximum likelihood, with delayed entry.
//!
//! # References
//! Likelihood: Lawless 2003, *Statistical Models and Methods for Lifetime Data*, section 5.2 (from memory); checked against
//! lifelines 0.30.3.

use super::Observation;

/// Below this many failures the shape is hardly told by the data, and a rate says more.
pub const LEAST_FAILURES: usize = 10;

/// P(X > x) = exp(−(x/scale)^shape).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weibull {
    /// Age at which 63 % have failed.
    pub scale: f64,
    /// Below 1 failures come early, above 1 they come with age.
    pub shape: f64,
    /// ln of the likelihood at the maximum.
    pub log_likelihood: f64,
}

/// Shapes between which the maximum is sought.
const SHAPES: (f64, f64) = (0.02, 200.0);

/// Maximum-likelihood fit to positive ages. `None` with fewer than two failures, or if the likelihood has no maximum (all failures at
/// one age).
#[must_use]
pub fn weibull(observations: &[Observation]) -> Option<Weibull> {
    let usable = |one: &&Observation| one.exit.is_finite() && one.exit > 0.0 && one.entry < one.exit;
    let lives: Vec<Observation> = observations.iter().filter(usable).copied().collect();
    let failures: Vec<f64> = lives.iter().filter(|one| one.failed).map(|one| one.exit).collect();
    if failures.len() < 2 {
        return None;
    }
    let profile = Profile { lives, failures };
    // The slope of the profile falls through zero once where a maximum exists; shapes are searched on a logarithmic scale.
    let (mut low, mut high) = (SHAPES.0.ln(), SHAPES.1.ln());
    if !(profile.slope(low.exp()) > 0.0 && profile.slope(high.exp()) < 0.0) {
        return None;
    }
    while high - low > 1e-13 {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            break;
        }
        if profile.slope(middle.exp()) > 0.0 { low = middle } else { high = middle }
    }
    Some(profile.at(f64::midpoint(low, high).exp()))
}

/// The likelihood with the scale at its best for each shape.
struct Profile {
    lives: Vec<Observation>,
    failures: Vec<f64>,
}

impl Profile {
    /// Σ (x^k − e^k), and Σ of its derivative, in units of the oldest age so that nothing overflows.
    fn exposure(&self, shape: f64) -> (f64, f64) {
        let unit = self.unit();
        let power = |age: f64| {
            let age = age / unit;
            if age > 0.0 { (age.powf(shape), age.powf(shape) * age.ln()) } else { (0.0, 0.0) }
        };
        self.lives.iter().fold((0.0, 0.0), |(sum, slope), one| {
            let (end, begin) = (power(one.exit), power(one.entry));
            (sum + end.0 - begin.0, slope + end.1 - begin.1)
        })
    }

    fn unit(&self) -> f64 {
        self.lives.iter().map(|one| one.exit).fold(f64::MIN_POSITIVE, f64::max)
    }

    fn count(&self) -> f64 {
        self.failures.iter().map(|_| 1.0).sum()
    }

    /// Sum of ln of the ages at failure, in the same unit.
    fn logarithms(&self) -> f64 {
        let unit = self.unit();
        self.failures.iter().map(|age| (age / unit).ln()).sum()
    }

    fn slope(&self, shape: f64) -> f64 {
        let (exposure, slope) = self.exposure(shape);
        self.count() / shape - self.count() * slope / exposure + self.logarithms()
    }

    fn at(&self, shape: f64) -> Weibull {
        let (count, (exposure, _), unit) = (self.count(), self.exposure(shape), self.unit());
        let log_likelihood =
            count * (shape.ln() - (exposure / count).ln() - unit.ln()) + (shape - 1.0) * self.logarithms() - count;
        Weibull { scale: unit * (exposure / count).powf(1.0 / shape), shape, log_likelihood }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn failed(exit: f64) -> Observation {
        Observation { entry: 0.0, exit, failed: true }
    }

    #[test]
    fn no_fit_where_there_is_no_maximum() {
        assert_eq!(weibull(&[failed(3.0)]), None);
        assert_eq!(weibull(&[failed(3.0), failed(3.0)]), None);
        assert_eq!(weibull(&[failed(f64::NAN), failed(2.0)]), None);
    }

    #[test]
    fn another_unit_of_age_changes_the_scale_only() {
        let years: Vec<Observation> = [3.0, 5.0, 9.0, 14.0].map(failed).to_vec();
        let days: Vec<Observation> = years.iter().map(|one| Observation { exit: one.exit * 365.25, ..*one }).collect();
        let (a, b) = (weibull(&years).unwrap(), weibull(&days).unwrap());
        assert!((a.shape / b.shape - 1.0).abs() < 1e-9 && (a.scale * 365.25 / b.scale - 1.0).abs() < 1e-9);
    }
}
