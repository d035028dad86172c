//! # What it finds
//! A newest absorption ratio (sixty seconds over thirty) well below 1: the resistance fell while the voltage stood, so that the current rose.
//! # How it is judged
//! By tests that tell no polarization index: ten minutes say more than one. `watch` below 0.95, `plan` if the test before showed it too. Not where the
//! one-minute resistance is so large that the currents are noise (the 5000 MΩ of the polarization index). No standard known here gives a minimum
//! above 1, so none is claimed.
//! # References
//! Absorption makes the current fall and the resistance rise (IEEE 43-2013 clause 5, from memory).

use crate::finding::{self, Found};
use crate::judge::Judged;
use crate::series::History;
use windrow_criteria::cautions;
use windrow_model::{Bound, Finding, Quantity, Step};

/// Larger one-minute resistances say nothing by their ratios (IEEE 43-2013 clause 12.2.2, from memory), Ohm.
const LARGEST_OHM: f64 = 5e9;
/// Two readings of one instrument differ by less than this for no reason (common practice, no source).
const FALLING: f64 = 0.95;

pub(crate) fn find(history: &History<'_>) -> Option<Finding> {
    let mut told = history.of_this_winding().iter().rev().filter_map(|judged| Some((judged, ratio(judged)?)));
    let (newest, value) = told.next().filter(|(_, value)| *value < FALLING)?;
    let again = told.next().is_some_and(|(_, before)| before < FALLING);
    let repeat = if again { "the test before showed it as well" } else { "one test: repeat the test" };
    let found = Found {
        rule: "absorption_ratio",
        level: if again { "plan" } else { "watch" },
        statement: format!(
            "{}: absorption ratio {value:.2}: the current rose during the first minute: wet, dirty or failing, or the two readings are swapped; \
             {repeat}.",
            history.tag
        ),
        value: Some(value),
        limit: Some(FALLING),
        unit: "1",
        basis: "absorption makes the current fall and the resistance rise (IEEE 43-2013 clause 5, from memory); no minimum above 1 is claimed; 5 % for \
                reading: common practice, no source"
            .to_owned(),
        cautions: cautions::GROUND_WALL,
        next_test: "insulation resistance and polarization index, clean, dry and at a known temperature",
    };
    let figures = newest.all_figures().filter(|figure| {
        figure.is(Quantity::AbsorptionRatio)
            || figure.is_insulation_resistance() && (figure.is_at(30.0) || figure.is_at(60.0))
    });
    let mut working: Vec<Step> = figures
        .map(|figure| {
            let circuit = figure.circuit().unwrap_or("a circuit that is not told");
            Step::new(
                "data",
                format!(
                    "{} of {circuit}: {:?} at {}",
                    figure.quantity().replace('_', " "),
                    figure.raw_text(),
                    figure.place()
                ),
            )
        })
        .collect();
    working.push(Step::new(
        "arithmetic",
        format!("sixty seconds over thirty, the lowest of the circuits: {value:.3}, less than {FALLING}"),
    ));
    Some(Finding { working, ..finding::row(history, newest, found) })
}

/// The ratio, where it says something.
fn ratio(judged: &Judged<'_>) -> Option<f64> {
    let (value, bound) = judged.absorption_ratio.filter(|(_, bound)| *bound != Bound::AtLeast)?;
    let ohm = judged.test.lowest.as_ref().map(|lowest| lowest.value_ohm);
    // A ratio that is at most so much is low for certain, or says nothing.
    let says = judged.polarization_index.is_none()
        && ohm.is_none_or(|ohm| ohm <= LARGEST_OHM)
        && (bound == Bound::Exact || value < FALLING);
    says.then_some(value)
}
