//! Puts each test beside the limits that apply to it; the rules then only compare.

use crate::features::{CircuitTimes, TestFeatures};
use std::collections::BTreeMap;
use windrow_criteria::{Limit, Preference, ratio, unbalance};
use windrow_model::Bound;
use windrow_model::settings::Settings;

/// A ratio with its bound.
pub(crate) type Ratio = (f64, Bound);

/// A test with its ratios and limits.
#[derive(Debug, Clone)]
pub(crate) struct Judged<'a> {
    pub(crate) test: &'a TestFeatures,
    /// Lowest polarization index over the circuits.
    pub(crate) polarization_index: Option<Ratio>,
    /// Lowest absorption ratio over the circuits.
    pub(crate) absorption_ratio: Option<Ratio>,
    /// Largest deviation from the mean over the mean, of winding resistances.
    pub(crate) unbalance: Option<f64>,
    /// Minimum one-minute insulation resistance at 40 °C, Ohm.
    pub(crate) minimum: Option<Limit>,
    /// Minimum polarization index, or why none applies.
    pub(crate) index_minimum: Result<Limit, String>,
    /// Largest unbalance.
    pub(crate) unbalance_limit: Option<Limit>,
}

/// Judges all tests.
pub(crate) fn all<'a>(
    features: &'a [TestFeatures],
    times: &BTreeMap<String, Vec<CircuitTimes>>,
    settings: &Settings,
) -> Vec<Judged<'a>> {
    features.iter().map(|test| one(test, times.get(&test.test_id).map_or(&[], Vec::as_slice), settings)).collect()
}

fn one<'a>(test: &'a TestFeatures, circuits: &[CircuitTimes], settings: &Settings) -> Judged<'a> {
    let machine = test.plate().machine(test.performed_on, &settings.judging);
    let prefer = Preference::of(&settings.judging);
    let one_minute = test.lowest.as_ref().and_then(|lowest| lowest.at_40c_ohm);
    Judged {
        test,
        polarization_index: lowest(circuits.iter().filter_map(|times| ratio::of(times.at_600_s?, times.at_60_s?))),
        absorption_ratio: lowest(circuits.iter().filter_map(|times| ratio::of(times.at_60_s?, times.at_30_s?))),
        // Three values are the three pairs or phases of one test; other counts mix what cannot be compared.
        unbalance: Some(&test.winding_resistances)
            .filter(|values| values.len() == 3)
            .and_then(|values| unbalance::from_mean(values)),
        minimum: machine.minimum_insulation_resistance(prefer),
        index_minimum: machine.minimum_polarization_index(one_minute, prefer),
        unbalance_limit: machine.largest_unbalance(prefer),
    }
}

fn lowest(ratios: impl Iterator<Item = Ratio>) -> Option<Ratio> {
    ratios.min_by(|a, b| a.0.total_cmp(&b.0))
}
