//! # What it finds
//! An unbalance of winding resistance that grows although it is still below its limit.
//! # How it is judged
//! `watch` if the newest unbalance is half of the limit or more (1 % where none applies), twice the usual one of two earlier tests or
//! more, and more than their largest: joints do not mend themselves. Above the limit another rule speaks.
//! # References
//! Limit by `windrow-criteria`; its half, 1 % and the factor of two: common practice, no source.

use crate::finding::{self, Found};
use crate::judge::Judged;
use crate::ratios::Unbalances;
use crate::series::History;
use windrow_criteria::cautions;
use windrow_model::{Finding, Step};
use windrow_statistics::robust::median;

/// Smallest unbalance that is worth a word where no limit applies, and as a share of the limit: instruments differ by less.
const WORTH_A_WORD: f64 = 0.01;
const WORTH_OF_LIMIT: f64 = 0.5;
/// Growth over what was usual.
const GROWTH: f64 = 2.0;
/// Earlier tests that make a usual unbalance.
const FEWEST_EARLIER: usize = 2;

pub(crate) fn find(history: &History<'_>) -> Option<Finding> {
    let tests = history.of_this_winding();
    let source = Unbalances::of(tests);
    let told: Vec<(&Judged<'_>, f64)> =
        tests.iter().filter_map(|judged| Some((*judged, source.value(judged)?))).collect();
    let ((newest, value), earlier) = told.split_last()?;
    if earlier.len() < FEWEST_EARLIER {
        return None;
    }
    let before: Vec<f64> = earlier.iter().map(|(_, value)| *value).collect();
    let (usual, largest) = (median(&before)?, before.iter().copied().fold(0.0, f64::max));
    let limit = newest.unbalance_limit.as_ref();
    let worth = limit.map_or(WORTH_A_WORD, |limit| WORTH_OF_LIMIT * limit.value);
    let grew = *value >= worth && *value >= GROWTH * usual && *value > largest;
    if !grew || limit.is_some_and(|limit| *value > limit.value) {
        return None;
    }
    let passes =
        limit.map(|limit| format!("passes its limit of {:.0} %, but ", 100.0 * limit.value)).unwrap_or_default();
    let row = Found {
        rule: "unbalance_growth",
        level: "watch",
        statement: format!(
            "{}: {passes}the unbalance of winding resistance grew to {:.1} % from a usual {:.1} % over {} earlier tests; one test: repeat it.",
            history.tag,
            100.0 * value,
            100.0 * usual,
            earlier.len()
        ),
        value: Some(*value),
        limit: Some(GROWTH * usual),
        unit: "1",
        basis: match source {
            Unbalances::Recomputed => {
                "largest deviation from the mean over the mean, against the median of the machine's own earlier tests; common practice, no source"
            }
            Unbalances::Recorded => {
                "unbalance as the source computed it, against the median of the machine's own earlier tests; common practice, no source"
            }
        }
        .to_owned(),
        cautions: cautions::CONDUCTOR,
        next_test: "winding resistance at the motor's own terminals, all joints measured",
    };
    let tests: Vec<&Judged<'_>> = told.iter().map(|(judged, _)| *judged).collect();
    let one = |(judged, value): &(&Judged<'_>, f64)| {
        let on = judged.test.performed_on.map(|on| on.to_string()).unwrap_or_default();
        Step::new("data", format!("{on}: {:.2} % of the mean", 100.0 * value))
    };
    let mut working: Vec<Step> = told.iter().map(one).collect();
    working.push(Step::new(
        "arithmetic",
        format!(
            "{:.2} % ≥ {GROWTH} times the usual {:.2} % (median of the earlier tests), above the largest before ({:.2} %) and above {:.2} %",
            100.0 * value,
            100.0 * usual,
            100.0 * largest,
            100.0 * worth
        ),
    ));
    let row = finding::of_series(history, &tests, ("", &["winding_resistance"]), row);
    Some(Finding { working, ..row })
}
