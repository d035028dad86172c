//! The product-limit estimate, with delayed entry, conservative quantiles and a band.
//!
//! # References
//! Kaplan & Meier 1958, *J. Am. Stat. Assoc.* 53:457; Greenwood 1926; log(−log) band: Kalbfleisch & Prentice 1980. Delayed entry:
//! who came under observation at `entry` could not have been seen to fail before.

use crate::count::as_f64;
use crate::special::normal;
use windrow_model::Bound;

/// One unit or one reading, any unit of age or value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Observation {
    /// Under observation beyond this; −∞ where there is no delayed entry.
    pub entry: f64,
    /// Value, or age at failure or at the end of the record.
    pub exit: f64,
    /// Whether `exit` is the value itself; else the value is that or more.
    pub failed: bool,
}

impl Observation {
    /// A reading that is exact or known to be at least its value. `None` for `at_most` (flip the sign of all readings first) and for
    /// what is not a finite number.
    #[must_use]
    pub fn of_reading(value: f64, bound: Bound) -> Option<Self> {
        if !value.is_finite() || bound == Bound::AtMost {
            return None;
        }
        Some(Self { entry: f64::NEG_INFINITY, exit: value, failed: bound == Bound::Exact })
    }
}

/// The curve behind one value at which something failed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// That value.
    pub at: f64,
    /// At risk just before it: entry < at ≤ exit.
    pub at_risk: usize,
    /// Failed at it.
    pub failed: usize,
    /// P(X > at).
    pub survival: f64,
    /// Greenwood's sum Σ d/(n(n−d)) up to here; infinite once nobody is left.
    pub greenwood: f64,
}

/// P(X > x) as a falling staircase.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Curve {
    /// Its steps, by rising value.
    pub steps: Vec<Step>,
}

/// Product-limit estimate over `observations`, in any order; entries with a number that is not finite (−∞ as entry is) are left out.
///
/// Where failures and ceilings meet at one value, the ceilings count as still at risk there. O(n log n).
#[must_use]
pub fn kaplan_meier(observations: &[Observation]) -> Curve {
    kaplan_meier_from(observations, 1)
}

/// The same of readings. One that is at most its value counts as that value, so that a quantile there is at most that.
#[must_use]
pub fn kaplan_meier_of(readings: &[(f64, Bound)]) -> Curve {
    let observed = |(value, bound): &(f64, Bound)| Observation {
        entry: f64::NEG_INFINITY,
        exit: *value,
        failed: *bound != Bound::AtLeast,
    };
    kaplan_meier(&readings.iter().map(observed).collect::<Vec<_>>())
}

/// The same, begun at the first failure with `least_at_risk` or more at risk: with delayed entry, small risk sets at low ages make the
/// early curve jump. The curve is then P(X > x | X > where it begins).
#[must_use]
pub fn kaplan_meier_from(observations: &[Observation], least_at_risk: usize) -> Curve {
    let usable = |one: &&Observation| one.exit.is_finite() && one.entry < one.exit;
    let mut entries: Vec<f64> = observations.iter().filter(usable).map(|one| one.entry).collect();
    let mut exits: Vec<(f64, bool)> = observations.iter().filter(usable).map(|one| (one.exit, one.failed)).collect();
    entries.sort_by(f64::total_cmp);
    exits.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut steps = Vec::new();
    let (mut entered, mut left) = (0, 0);
    let (mut survival, mut greenwood) = (1.0, 0.0);
    while let Some((at, _)) = exits.get(left).copied() {
        while entries.get(entered).is_some_and(|entry| *entry < at) {
            entered += 1;
        }
        let at_risk = entered - left;
        let here = exits[left..].iter().take_while(|(exit, _)| exit.total_cmp(&at).is_eq());
        let (gone, failed) = here.fold((0, 0), |(gone, failed), (_, fails)| (gone + 1, failed + usize::from(*fails)));
        left += gone;
        if failed == 0 || at_risk < least_at_risk && steps.is_empty() {
            continue;
        }
        let (risk, deaths) = (as_f64(at_risk), as_f64(failed));
        survival *= (risk - deaths) / risk;
        greenwood += deaths / (risk * (risk - deaths));
        steps.push(Step { at, at_risk, failed, survival, greenwood });
    }
    Curve { steps }
}

impl Curve {
    /// P(X > x).
    #[must_use]
    pub fn survival(&self, x: f64) -> f64 {
        self.last_step(x).map_or(1.0, |step| step.survival)
    }

    /// Smallest value with P(X > value) ≤ 1 − p; `None` if it lies above the ceilings.
    #[must_use]
    pub fn quantile(&self, p: f64) -> Option<f64> {
        // Products of ratios end a rounding error beside the fraction that they are.
        self.steps.iter().find(|step| step.survival <= 1.0 - p + 1e-12).map(|step| step.at)
    }

    /// Limits of P(X > x) at `level` (0.95, say) by Greenwood's variance of ln(−ln S); both ends are S where it is 0 or 1.
    #[must_use]
    pub fn band(&self, x: f64, level: f64) -> (f64, f64) {
        let Some(step) = self.last_step(x) else { return (1.0, 1.0) };
        if step.survival <= 0.0 || step.survival >= 1.0 {
            return (step.survival, step.survival);
        }
        let reach = normal::quantile(f64::midpoint(1.0, level)) * step.greenwood.sqrt() / step.survival.ln();
        (step.survival.powf((-reach).exp()), step.survival.powf(reach.exp()))
    }

    fn last_step(&self, x: f64) -> Option<&Step> {
        self.steps[..self.steps.partition_point(|step| step.at <= x)].last()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reading(value: f64, bound: Bound) -> Observation {
        Observation::of_reading(value, bound).expect("finite")
    }

    #[test]
    fn only_ceilings_have_no_quantile() {
        let curve = kaplan_meier(&[reading(1000.0, Bound::AtLeast), reading(2000.0, Bound::AtLeast)]);
        assert_eq!(curve.quantile(0.1), None);
        assert!(curve.survival(5000.0) >= 1.0 && curve.band(5000.0, 0.95) == (1.0, 1.0));
        assert_eq!(kaplan_meier(&[]).quantile(0.5), None);
    }

    #[test]
    fn what_is_no_number_is_left_out() {
        assert_eq!(Observation::of_reading(f64::NAN, Bound::Exact), None);
        assert_eq!(Observation::of_reading(f64::INFINITY, Bound::AtLeast), None);
        assert_eq!(Observation::of_reading(3.0, Bound::AtMost), None);
        let broken = Observation { entry: f64::NAN, exit: 3.0, failed: true };
        assert_eq!(kaplan_meier(&[broken]).steps, []);
    }

    /// By hand: three enter at age 0, 8 and 9; the failure at 5 has one at risk, that at 10 two.
    #[test]
    fn a_curve_may_begin_later() {
        let ages = [(0.0, 5.0, true), (8.0, 10.0, true), (9.0, 12.0, false)];
        let units = ages.map(|(entry, exit, failed)| Observation { entry, exit, failed });
        assert!(kaplan_meier(&units).survival(10.0) == 0.0, "one at risk, one failed");
        let later = kaplan_meier_from(&units, 2);
        assert_eq!((later.steps.len(), later.survival(10.0)), (1, 0.5));
    }
}
