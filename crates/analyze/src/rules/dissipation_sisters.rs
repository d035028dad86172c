//! # What it finds
//! A winding whose dissipation factor grows faster with the voltage than that of its sister machines.
//! # How it is judged
//! Sisters have the same rated voltage and construction and were measured between the same voltages (to a twentieth of the rated one); each
//! counts by its newest test. Beside three of them or more: twice their median and half a percentage point above it is `watch`. Nothing
//! corrects other temperatures and other makers, so that it is never more, and no limit is claimed. Only the same circuit is compared: what is
//! measured of one phase is not what is measured of all three together.
//! # References
//! As for growth over the years (`dissipation`): no standard gives a limit; half a percentage point is what IEC 60034-27-3:2015 allows new
//! coils from step to step (from memory); the factor of two: common practice, no source.

use super::curves::{Recorded, by_circuit};
use super::tip::{self, LEAST_RISE, QUANTITY, Tip};
use crate::finding::{self, About, Found};
use crate::series::History;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use windrow_criteria::cautions;
use windrow_model::{Finding, Step};
use windrow_statistics::robust::median;

const TIMES: f64 = 2.0;
const FEWEST_SISTERS: usize = 3;
/// Parts of the rated voltage that tell voltages apart.
const PARTS: f64 = 20.0;

/// Rated voltage in V, construction, circuit, lower and higher voltage in parts of the rated one.
type Kin = (u64, String, Option<String>, u64, u64);

/// What the newest dissipation factors of a circuit tell the sisters of its machine.
#[derive(Debug, Serialize, Deserialize)]
pub(crate) struct Shown {
    kin: Kin,
    asset_id: String,
    tag: String,
    test_id: String,
    on: Option<Date>,
    tip: Tip,
}

/// What the circuits of a machine show; nothing without a growth with voltage, a rated voltage or a construction.
pub(crate) fn show(history: &History<'_>) -> Vec<Shown> {
    let circuits = by_circuit(history.of_this_winding(), QUANTITY);
    circuits.iter().filter_map(|tests| of_circuit(history, tests)).collect()
}

fn of_circuit(history: &History<'_>, tests: &[Recorded<'_>]) -> Option<Shown> {
    let circuit = tests.last()?.1.circuit;
    let mut tips = tests.iter().rev().filter_map(|(judged, curve)| Some((*judged, Tip::of_whole(curve)?)));
    let (judged, tip) = tips.find(|(_, tip)| tip.is_raised())?;
    let rated = judged.machine.rated_voltage().ok()?;
    let [low, high] = tip.volts.map(|volts| whole(PARTS * volts / rated));
    let kin = (whole(rated), judged.machine.winding_kind.clone()?, circuit.map(str::to_owned), low, high);
    let (asset_id, tag) = (history.asset_id.to_owned(), history.tag.to_owned());
    let (test_id, on) = (judged.test.test_id.to_string(), judged.test.performed_on);
    Some(Shown { kin, asset_id, tag, test_id, on, tip })
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "volts and parts of them, positive and small"
)]
fn whole(value: f64) -> u64 {
    value.round() as u64
}

/// Machines that stand out among those shown.
pub(crate) fn find(shown: impl Iterator<Item = Shown>) -> Vec<Finding> {
    let mut families: BTreeMap<Kin, Vec<Shown>> = BTreeMap::new();
    for one in shown {
        families.entry(one.kin.clone()).or_default().push(one);
    }
    families.values().flat_map(|family| family.iter().filter_map(|one| beside(one, family))).collect()
}

fn beside(one: &Shown, family: &[Shown]) -> Option<Finding> {
    let others: Vec<&Shown> = family.iter().filter(|other| other.asset_id != one.asset_id).collect();
    if others.len() < FEWEST_SISTERS {
        return None;
    }
    let usual = median(&others.iter().map(|other| other.tip.growth()).collect::<Vec<f64>>())?;
    let allowed = tip::allowed(usual, TIMES);
    let value = one.tip.growth();
    if value < allowed {
        return None;
    }
    let [low_v, high_v] = one.tip.volts;
    let circuit = one.kin.2.as_deref();
    let shown = circuit.map(|circuit| format!(" ({circuit})")).unwrap_or_default();
    let found = Found {
        rule: "dissipation_sisters",
        level: "watch",
        statement: format!(
            "{}: the dissipation factor{shown} grows by {:.2} percentage points from {:.2} to {:.2} kV, by {:.2} in {} sister machines; other temperatures and makers \
             may explain it: repeat the test. No limit is claimed for a winding in service.",
            one.tag,
            100.0 * value,
            low_v / 1e3,
            high_v / 1e3,
            100.0 * usual,
            others.len()
        ),
        value: Some(value),
        limit: Some(allowed),
        unit: "1",
        basis: tip::basis(
            "median of machines of the same rated voltage and construction, the same circuit measured between the same voltages",
        ),
        cautions: cautions::GROUND_WALL,
        next_test: "the same test at the same voltages, clean, dry and at a similar temperature; insulation resistance and polarization index first",
    };
    let about = About {
        key: [one.asset_id.as_str(), found.rule].into_iter().chain(circuit).map(str::to_owned).collect(),
        asset_id: Some(one.asset_id.clone()),
        test_id: Some(one.test_id.clone()),
        evidence: one.tip.reading_ids.clone(),
        seen: one.on,
    };
    let told: Vec<String> =
        others.iter().map(|other| format!("{} {:.3}", other.tag, 100.0 * other.tip.growth())).collect();
    let working = vec![
        Step::new("data", format!("{}: {:.3} percentage points", one.tag, 100.0 * value)),
        Step::new("group", format!("sisters, percentage points: {}", told.join(", "))),
        Step::new(
            "arithmetic",
            format!(
                "median of the sisters {usual:.4}; {value:.4} ≥ {TIMES} times that and ≥ {LEAST_RISE} above it: {allowed:.4}"
            ),
        ),
    ];
    Some(Finding { working, ..finding::stated(about, found) })
}
