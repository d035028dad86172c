//! Ratios of one test: recomputed from its readings, or as the source computed them where the readings do not tell.
//!
//! Many records give a polarization index and not the minutes that it was made of, or an unbalance and not the three resistances. Such a figure
//! is evidence like any other; where both stand in a record the readings decide, and a rule on records tells that they differ.

use crate::features::{Bounded, CircuitTimes};
use crate::judge::{Judged, Ratio};
use crate::loaded::Reading;
use windrow_criteria::ratio;
use windrow_model::{Bound, Quantity};

/// Ten-minute over one-minute resistance, the lowest over the circuits; `told` are the indices that the source computed.
pub(crate) fn polarization_index<'a>(
    circuits: &[CircuitTimes],
    told: impl Iterator<Item = Reading<'a>>,
) -> Option<Ratio> {
    let pairs = circuits.iter().map(|times| (times.at_600_s, times.at_60_s));
    of_pairs(pairs, recorded(told))
}

/// Sixty-second over thirty-second resistance, the lowest over the circuits; `told` are the ratios that the source computed.
pub(crate) fn absorption_ratio<'a>(
    circuits: &[CircuitTimes],
    told: impl Iterator<Item = Reading<'a>>,
) -> Option<Ratio> {
    let pairs = circuits.iter().map(|times| (times.at_60_s, times.at_30_s));
    of_pairs(pairs, recorded(told))
}

/// A value that is read late, and one that is read early.
type Pair = (Option<Bounded>, Option<Bounded>);

/// From the readings where some circuit tells both. Where one of a pair is a ceiling, a figure that was made of it is none.
fn of_pairs(pairs: impl Iterator<Item = Pair> + Clone, recorded: impl Iterator<Item = Ratio>) -> Option<Ratio> {
    let own = lowest(pairs.clone().filter_map(|(late, early)| ratio::of(late?, early?)));
    let is_bounded = |value: Option<Bounded>| value.is_some_and(|(_, bound)| bound != Bound::Exact);
    let decides = |(late, early): Pair| late.is_some() && early.is_some() || is_bounded(late) || is_bounded(early);
    if pairs.clone().any(decides) { own } else { lowest(recorded) }
}

/// Figures of a kind that a source computed.
pub(crate) fn recorded<'a>(told: impl Iterator<Item = Reading<'a>>) -> impl Iterator<Item = Ratio> {
    let above_zero = told.filter(|figure| figure.value() > 0.0);
    above_zero.filter_map(|figure| Some((figure.value(), figure.bound()?)))
}

fn lowest(ratios: impl Iterator<Item = Ratio>) -> Option<Ratio> {
    ratios.min_by(|a, b| a.0.total_cmp(&b.0))
}

/// Where the unbalances of a machine's winding resistances come from. A source seldom says which of three definitions it means, and
/// they differ by up to two, so that a history keeps to one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Unbalances {
    /// From three resistances of each test: largest deviation from the mean, over the mean.
    Recomputed,
    /// As the source computed them, where no test of the machine tells three resistances.
    Recorded,
}

impl Unbalances {
    /// Those of a machine with these tests.
    pub(crate) fn of(tests: &[&Judged<'_>]) -> Self {
        if tests.iter().any(|judged| judged.unbalance.is_some()) { Self::Recomputed } else { Self::Recorded }
    }

    /// The unbalance of one test.
    pub(crate) fn value(self, judged: &Judged<'_>) -> Option<f64> {
        match self {
            Self::Recomputed => judged.unbalance,
            Self::Recorded => recorded(judged.all_figures_of(Quantity::Unbalance))
                .filter(|(_, bound)| *bound == Bound::Exact)
                .map(|(value, _)| value)
                .reduce(f64::max),
        }
    }
}

/// Least deviation from the mean, over the mean, of three resistances with an unbalance of `value` by any of the three definitions: the spread
/// of three values is at most twice their largest deviation from the mean, and the least of them at least the mean less that deviation.
pub(crate) fn least_deviation(value: f64) -> f64 {
    value / (2.0 + value)
}

#[cfg(test)]
mod tests {
    use super::least_deviation;
    use proptest::prelude::*;
    use windrow_criteria::unbalance::Definition;

    proptest! {
        /// By the definitions themselves, over three resistances of any size.
        #[test]
        fn no_definition_gives_more_than_the_deviation_allows(ohms in [0.1_f64..10.0, 0.1_f64..10.0, 0.1_f64..10.0]) {
            let deviation = Definition::DeviationOverMean.of(&ohms).unwrap();
            for definition in Definition::ALL {
                prop_assert!(least_deviation(definition.of(&ohms).unwrap()) <= deviation * (1.0 + 1e-12));
            }
        }
    }
}
