//! Distribution of values known to intervals only.
//!
//! # References
//! Turnbull 1976, *J. R. Stat. Soc. B* 38:290; self-consistency: Efron 1967.

/// Probability on one innermost interval; where in it is not told by the data.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mass {
    /// Lower end, not included unless it is the upper one.
    pub low: f64,
    /// Upper end, `low` itself for an exact value, ∞ where open.
    pub high: f64,
    /// Probability.
    pub share: f64,
}

/// Steps of the iteration, and the change of shares below which it stops.
const MOST_STEPS: usize = 5_000;
const STILL: f64 = 1e-10;

/// Maximum-likelihood distribution of values known to lie above `low` and up to `high`; an exact value has equal ends, an open end is
/// infinite. Pairs with a missing or reversed end are left out. Rising masses; empty without data. O(n²) a step.
#[must_use]
pub fn turnbull(intervals: &[(f64, f64)]) -> Vec<Mass> {
    let intervals: Vec<(f64, f64)> = intervals.iter().copied().filter(|(low, high)| low <= high).collect();
    let mut masses = innermost(&intervals);
    if masses.is_empty() {
        return masses;
    }
    let holds = |(low, high): &(f64, f64), mass: &Mass| {
        let begins = *low < mass.low
            || low.total_cmp(&mass.low).is_eq() && is_exact(*low, *high) == is_exact(mass.low, mass.high);
        begins && mass.high <= *high
    };
    let members: Vec<Vec<usize>> = intervals
        .iter()
        .map(|interval| (0..masses.len()).filter(|index| holds(interval, &masses[*index])).collect())
        .collect();
    for mass in &mut masses {
        mass.share = 1.0;
    }
    normalize(&mut masses);
    for _ in 0..MOST_STEPS {
        let mut next = vec![0.0; masses.len()];
        for inside in &members {
            let total: f64 = inside.iter().map(|index| masses[*index].share).sum();
            for index in inside.iter().filter(|_| total > 0.0) {
                next[*index] += masses[*index].share / total;
            }
        }
        let all: f64 = next.iter().sum();
        let mut change = 0.0_f64;
        for (mass, next) in masses.iter_mut().zip(&next) {
            change = change.max((next / all - mass.share).abs());
            mass.share = next / all;
        }
        if change < STILL {
            break;
        }
    }
    masses
}

fn normalize(masses: &mut [Mass]) {
    let all: f64 = masses.iter().map(|mass| mass.share).sum();
    for mass in masses {
        mass.share /= all;
    }
}

fn is_exact(low: f64, high: f64) -> bool {
    low.total_cmp(&high).is_eq()
}

/// Stretches from a lower end to the next upper end with no other end between: only they can carry probability. At one value an exact
/// one begins before upper ends, and others begin behind them.
fn innermost(intervals: &[(f64, f64)]) -> Vec<Mass> {
    const UPPER: u8 = 1;
    let lows = intervals.iter().map(|(low, high)| (*low, if is_exact(*low, *high) { 0 } else { 2 }));
    let mut ends: Vec<(f64, u8)> = lows.chain(intervals.iter().map(|(_, high)| (*high, UPPER))).collect();
    ends.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let pairs = ends.windows(2).filter(|pair| pair[0].1 != UPPER && pair[1].1 == UPPER);
    pairs.map(|pair| Mass { low: pair[0].0, high: pair[1].0, share: 0.0 }).collect()
}

#[cfg(test)]
mod tests {
    use super::turnbull;
    use crate::survival::{Observation, kaplan_meier};
    use windrow_model::Bound;

    /// For exact and right-censored values the estimate is Kaplan and Meier's (Turnbull 1976, section 3).
    #[test]
    fn is_kaplan_meier_for_ceilings() {
        let readings = [(120.0, true), (450.0, true), (450.0, false), (800.0, true), (1000.0, false), (1500.0, true)];
        let intervals: Vec<(f64, f64)> =
            readings.iter().map(|(x, exact)| (*x, if *exact { *x } else { f64::INFINITY })).collect();
        let observations: Vec<Observation> = readings
            .iter()
            .filter_map(|(x, exact)| Observation::of_reading(*x, if *exact { Bound::Exact } else { Bound::AtLeast }))
            .collect();
        let curve = kaplan_meier(&observations);
        for mass in turnbull(&intervals).iter().filter(|mass| mass.high.is_finite()) {
            let step = curve.survival(mass.low - 1.0) - curve.survival(mass.low);
            assert!((step - mass.share).abs() < 1e-8, "{mass:?} {step}");
        }
    }

    /// Two failures between visits, by hand: (0, 2) and (1, 3) share (1, 2), which takes all.
    #[test]
    fn overlapping_intervals_share_their_middle() {
        let masses = turnbull(&[(0.0, 2.0), (1.0, 3.0)]);
        assert_eq!((masses.len(), masses[0].low, masses[0].high, masses[0].share), (1, 1.0, 2.0, 1.0));
        assert!(turnbull(&[(f64::NAN, 1.0), (3.0, 2.0)]).is_empty());
    }
}
