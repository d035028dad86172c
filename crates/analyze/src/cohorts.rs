//! Statistics of the fleet by cohort: what windings of one rating class, kind and insulation usually read.
//!
//! Each machine counts once, by its newest dated test that tells the figure; repeats from other sources are left out. Quantiles are the
//! product-limit ones, so that a reading that ended at the instrument's ceiling counts as at least that; a reading that is at most a value
//! counts as that value, so a quantile there is at most that. The same numbers stand as SQL in `schema/sql/fleet_*.sql`.
//!
//! # References
//! Kaplan & Meier 1958; quantile p = the smallest value with P(X > value) ≤ 1 − p.

use jiff::civil::Date;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::{Asset, Bound, TestSummary};
use windrow_statistics::survival::kaplan_meier_of;

/// Upper ends of rating classes, V, with their names (rated voltages of IEC 60034-1 and NEMA MG 1 lie between them, from memory).
const RATINGS: [(f64, &str); 5] =
    [(1000.0, "to 1 kV"), (2500.0, "to 2.5 kV"), (5000.0, "to 5 kV"), (9000.0, "to 9 kV"), (12_500.0, "to 12.5 kV")];
const HIGHEST: &str = "above 12.5 kV";
/// Below this a figure is kilovolts typed as volts, above the other no machine's: no class (see `windrow-criteria`, module `rated`).
const POSSIBLE_V: std::ops::RangeInclusive<f64> = 24.0..=40_000.0;
/// Where the records do not tell.
const UNTOLD: &str = "unknown";

/// Figures of one cohort; `None` where no test tells, or where the quantile lies above the ceilings.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Cohort {
    /// Class of rated voltage.
    pub rating_class: String,
    /// `random`, `form`, `unknown`.
    pub winding_kind: String,
    /// `thermoplastic`, `thermosetting`, `unknown`.
    pub insulation_era: String,
    /// Machines.
    pub machines: usize,
    /// Their tests, without repeats from other sources.
    pub tests: usize,
    /// Machines with a one-minute insulation resistance at 40 °C.
    pub resistance_machines: usize,
    /// Of these, known as at least their value.
    pub resistance_at_least: usize,
    /// Insulation resistance at 40 °C that a tenth does not exceed, Ohm.
    pub resistance_q10_ohm: Option<f64>,
    /// That half does not exceed, Ohm.
    pub resistance_q50_ohm: Option<f64>,
    /// That nine tenths do not exceed, Ohm.
    pub resistance_q90_ohm: Option<f64>,
    /// Machines of which it can be told whether they are below their minimum.
    pub minimum_machines: usize,
    /// Of these, below.
    pub minimum_below: usize,
    /// Machines with a polarization index.
    pub index_machines: usize,
    /// Its median.
    pub index_q50: Option<f64>,
    /// Machines whose index is below the minimum that applies.
    pub index_below: usize,
    /// Machines with an unbalance of winding resistance.
    pub unbalance_machines: usize,
    /// Its median.
    pub unbalance_q50: Option<f64>,
    /// Its ninth decile.
    pub unbalance_q90: Option<f64>,
    /// Machines whose newest test with a known outcome withstood a voltage in per unit of the rated phase-to-earth voltage.
    pub withstood_machines: usize,
    /// Median of that voltage, per unit.
    pub withstood_q50_pu: Option<f64>,
    /// Machines whose newest test with a known outcome failed.
    pub failed_machines: usize,
}

/// Rating class, winding kind, insulation era.
type Key = (usize, String, String);

/// Statistics of all cohorts that hold a machine, by rating class, winding kind and era.
#[must_use]
pub fn cohorts(assets: &[Asset], summaries: &[TestSummary]) -> Vec<Cohort> {
    let mut members: BTreeMap<Key, BTreeSet<&str>> = BTreeMap::new();
    for asset in assets {
        members.entry(key(asset)).or_default().insert(&asset.asset_id);
    }
    let mut of_machine: BTreeMap<&str, Vec<&TestSummary>> = BTreeMap::new();
    for summary in summaries.iter().filter(|summary| summary.duplicate_of.is_none()) {
        if let Some(asset) = summary.asset_id.as_deref() {
            of_machine.entry(asset).or_default().push(summary);
        }
    }
    for tests in of_machine.values_mut() {
        tests.sort_by(|a, b| (b.performed_on, &b.test_id).cmp(&(a.performed_on, &a.test_id)));
    }
    let figures = |(key, machines): (Key, BTreeSet<&str>)| {
        let histories: Vec<&[&TestSummary]> =
            machines.iter().map(|asset| of_machine.get(asset).map_or(&[][..], Vec::as_slice)).collect();
        cohort(key, &histories)
    };
    members.into_iter().map(figures).collect()
}

fn key(asset: &Asset) -> Key {
    let volts = asset.rated_voltage_v.filter(|volts| POSSIBLE_V.contains(volts));
    let rating = volts.map_or(RATINGS.len() + 1, |volts| RATINGS.iter().filter(|(end, _)| volts > *end).count());
    let told = |text: &Option<String>| text.clone().unwrap_or_else(|| UNTOLD.to_owned());
    (rating, told(&asset.winding_kind), told(&asset.insulation_era))
}

fn rating_name(rating: usize) -> &'static str {
    match RATINGS.get(rating) {
        Some((_, name)) => name,
        None if rating == RATINGS.len() => HIGHEST,
        None => UNTOLD,
    }
}

/// A figure of a test, if the test tells it.
type Told<T> = fn(&TestSummary) -> Option<T>;

/// The newest dated figure of each machine.
fn newest<T>(histories: &[&[&TestSummary]], told: Told<T>) -> Vec<(T, Option<Date>)> {
    let of_machine = |tests: &&[&TestSummary]| {
        tests.iter().filter(|test| test.performed_on.is_some()).find_map(|test| Some((told(test)?, test.performed_on)))
    };
    histories.iter().filter_map(of_machine).collect()
}

fn cohort((rating, winding_kind, insulation_era): Key, histories: &[&[&TestSummary]]) -> Cohort {
    let resistances = newest(histories, resistance);
    let minima = newest(histories, minimum);
    let indices = newest(histories, index);
    let unbalances = newest(histories, |test| positive(test.unbalance.map(|value| (value, Bound::Exact))));
    let trials = newest(histories, |test| Some((test.withstood?, test.max_voltage_pu)));
    let levels: Vec<(f64, Bound)> = trials
        .iter()
        .filter_map(|((withstood, level), _)| {
            Some((level.filter(|level| *withstood && level.is_finite())?, Bound::Exact))
        })
        .collect();
    let values =
        |figures: &[((f64, Bound), Option<Date>)]| figures.iter().map(|(figure, _)| *figure).collect::<Vec<_>>();
    let index_values: Vec<(f64, Bound)> = indices.iter().map(|((value, bound, _), _)| (*value, *bound)).collect();
    Cohort {
        rating_class: rating_name(rating).to_owned(),
        winding_kind,
        insulation_era,
        machines: histories.len(),
        tests: histories.iter().map(|tests| tests.len()).sum(),
        resistance_machines: resistances.len(),
        resistance_at_least: resistances.iter().filter(|((_, bound), _)| *bound == Bound::AtLeast).count(),
        resistance_q10_ohm: quantile(&values(&resistances), 0.1),
        resistance_q50_ohm: quantile(&values(&resistances), 0.5),
        resistance_q90_ohm: quantile(&values(&resistances), 0.9),
        minimum_machines: minima.len(),
        minimum_below: minima.iter().filter(|(below, _)| *below).count(),
        index_machines: indices.len(),
        index_q50: quantile(&index_values, 0.5),
        index_below: indices
            .iter()
            .filter(|((value, bound, limit), _)| is_below(*value, *bound, *limit) == Some(true))
            .count(),
        unbalance_machines: unbalances.len(),
        unbalance_q50: quantile(&values(&unbalances), 0.5),
        unbalance_q90: quantile(&values(&unbalances), 0.9),
        withstood_machines: levels.len(),
        withstood_q50_pu: quantile(&levels, 0.5),
        failed_machines: trials.iter().filter(|((withstood, _), _)| !withstood).count(),
    }
}

fn positive(figure: Option<(f64, Bound)>) -> Option<(f64, Bound)> {
    figure.filter(|(value, _)| value.is_finite() && *value >= 0.0)
}

fn bound(code: Option<&str>) -> Bound {
    code.and_then(Bound::from_code).unwrap_or(Bound::Exact)
}

fn resistance(test: &TestSummary) -> Option<(f64, Bound)> {
    positive(Some((test.ir_1min_40c_ohm?, bound(test.ir_bound.as_deref()))))
}

/// Whether a test shows its winding below the minimum that applied; `None` where it cannot tell.
fn minimum(test: &TestSummary) -> Option<bool> {
    let (value, bound) = resistance(test)?;
    is_below(value, bound, test.ir_minimum_ohm)
}

fn index(test: &TestSummary) -> Option<(f64, Bound, Option<f64>)> {
    let (value, bound) = positive(Some((test.polarization_index?, bound(test.polarization_index_bound.as_deref()))))?;
    Some((value, bound, test.polarization_index_minimum))
}

/// A value that is at least something below the limit proves nothing, and one that is at most something above it neither.
fn is_below(value: f64, bound: Bound, limit: Option<f64>) -> Option<bool> {
    let limit = limit?;
    match bound {
        Bound::AtLeast if value < limit => None,
        Bound::AtMost if value >= limit => None,
        _ => Some(value < limit),
    }
}

fn quantile(values: &[(f64, Bound)], p: f64) -> Option<f64> {
    kaplan_meier_of(values).quantile(p)
}

#[cfg(test)]
mod tests {
    use super::{is_below, key, quantile, rating_name};
    use windrow_model::Bound;

    fn exact(values: &[f64]) -> Vec<(f64, Bound)> {
        values.iter().map(|value| (*value, Bound::Exact)).collect()
    }

    /// By hand: of 1, 2, ≥ 2, 3, 4 the product-limit is 4/5 behind 1, 4/5 · 3/4 = 3/5 behind 2, 3/5 · 1/2 = 3/10 behind 3 and 0 behind 4.
    #[test]
    fn quantiles_take_a_ceiling_as_at_least_that() {
        let mut values = exact(&[3.0, 1.0, 4.0, 2.0]);
        values.push((2.0, Bound::AtLeast));
        assert_eq!(quantile(&values, 0.1), Some(1.0));
        assert_eq!(quantile(&values, 0.4), Some(2.0));
        assert_eq!(quantile(&values, 0.5), Some(3.0));
        let ceilings = [(2000.0, Bound::AtLeast), (850.0, Bound::Exact), (2000.0, Bound::AtLeast)];
        assert_eq!(quantile(&ceilings, 0.5), None, "above the ceilings");
        assert_eq!(quantile(&[], 0.5), None);
    }

    #[test]
    fn a_bound_on_the_wrong_side_of_a_limit_proves_nothing() {
        assert_eq!(is_below(2.0, Bound::AtLeast, Some(5.0)), None);
        assert_eq!(is_below(9.0, Bound::AtLeast, Some(5.0)), Some(false));
        assert_eq!(is_below(0.1, Bound::AtMost, Some(5.0)), Some(true));
        assert_eq!(is_below(9.0, Bound::AtMost, Some(5.0)), None);
        assert_eq!(is_below(9.0, Bound::Exact, None), None);
    }

    #[test]
    fn rating_classes_hold_the_voltages_of_the_trade() {
        let class = |volts: f64| {
            let asset = crate::cohorts::tests::asset(Some(volts));
            rating_name(key(&asset).0)
        };
        assert_eq!(
            [400.0, 2300.0, 4160.0, 6600.0, 11_000.0, 13_800.0].map(class),
            ["to 1 kV", "to 2.5 kV", "to 5 kV", "to 9 kV", "to 12.5 kV", "above 12.5 kV"]
        );
        assert_eq!(class(4.16), "unknown", "kilovolts typed as volts");
        assert_eq!(class(f64::NAN), "unknown");
    }

    /// Not a number, infinity, no date, a repeat: none is evidence, and none is a crash.
    #[test]
    fn what_is_no_number_counts_nowhere() {
        let summary = |id: &str, value: f64| {
            let text = serde_json::json!({
                "test_id": id, "asset_id": "a", "kind": "insulation_resistance", "performed_precision": "day",
                "performed_on": "2001-05-06", "ir_bound": "exact",
            });
            let mut summary: windrow_model::TestSummary = serde_json::from_value(text).unwrap();
            (summary.ir_1min_40c_ohm, summary.polarization_index, summary.unbalance) =
                (Some(value), Some(value), Some(value));
            summary
        };
        let mut undated = summary("4", 5e8);
        undated.performed_on = None;
        let mut repeat = summary("5", 7e8);
        repeat.duplicate_of = Some("6".into());
        let poor = [summary("1", f64::NAN), summary("2", f64::INFINITY), summary("3", -1.0), undated, repeat];
        let found = super::cohorts(&[asset(None)], &poor);
        assert_eq!((found.len(), found[0].machines, found[0].tests, found[0].resistance_machines), (1, 1, 4, 0));
        assert_eq!((found[0].resistance_q50_ohm, found[0].index_q50, found[0].unbalance_q90), (None, None, None));
        let all = [&poor[..], &[summary("0", 9e8)]].concat();
        assert_eq!(super::cohorts(&[asset(None)], &all)[0].resistance_q50_ohm, Some(9e8));
        assert!(super::cohorts(&[], &all).is_empty());
    }

    fn asset(rated_voltage_v: Option<f64>) -> windrow_model::Asset {
        let text = serde_json::json!({
            "asset_id": "a", "tag": "M1", "aliases": [], "equipment_class": "EM", "rewound_years": [], "location_levels": [],
            "nameplate_conflicts": [],
        });
        let mut asset: windrow_model::Asset = serde_json::from_value(text).unwrap();
        asset.rated_voltage_v = rated_voltage_v;
        asset
    }
}
