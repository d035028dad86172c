//! Features of whole tests, joined with what the machine's nameplate says.

use super::applied::level;
use super::lowest::{Lowest, lowest};
use super::{Part, Quantities};
use crate::loaded::{MachineRow, Reading, Test, UNKNOWN_MACHINE};
use jiff::civil::Date;
use windrow_model::kind::Outcome;
use windrow_model::{Quantity, Text};
use windrow_text::marks::{Verdict, verdict};

/// One test with its machine and the figures of its readings.
#[derive(Debug, Clone, Default)]
pub(crate) struct TestFeatures<'a> {
    pub(crate) test_id: Text,
    /// The machine, where one is told.
    pub(crate) machine: Option<&'a MachineRow>,
    pub(crate) instrument: Option<&'a Text>,
    pub(crate) tester: Option<&'a Text>,
    pub(crate) kind: Text,
    pub(crate) performed_on: Option<Date>,
    pub(crate) performed_precision: Text,
    pub(crate) duplicate_of: Option<Text>,
    pub(crate) stage: Option<Text>,
    pub(crate) winding_temperature_c: Option<f64>,
    pub(crate) winding_temperature_basis: Text,
    pub(crate) ambient_temperature_c: Option<f64>,
    pub(crate) relative_humidity_pct: Option<f64>,
    pub(crate) dew_point_c: Option<f64>,
    pub(crate) test_voltage_v: Option<f64>,
    pub(crate) test_voltage_basis: Text,
    /// What its readings and computed figures tell.
    pub(crate) quantities: Quantities,
    /// Lowest one-minute resistance over the circuits of stator and armature, where none of these was measured over the others.
    pub(crate) lowest: Option<Lowest>,
    /// The lowest of each part of the winding that was measured; a history keeps to one.
    pub(crate) lowest_of: Vec<(Part, Lowest)>,
    pub(crate) max_voltage_v: Option<f64>,
    pub(crate) leakage_at_max_v_a: Option<f64>,
    /// Outcomes told: all withstood, one broke down, or nothing.
    pub(crate) withstood: Option<bool>,
    /// Winding resistances with their readings, at 25 °C where known, Ohm.
    pub(crate) winding_resistances: Vec<f64>,
}

impl<'a> TestFeatures<'a> {
    /// The lowest one-minute resistance of one part of the winding.
    pub(crate) fn lowest_of(&self, part: Part) -> Option<&Lowest> {
        self.lowest_of.iter().find(|(known, _)| *known == part).map(|(_, lowest)| lowest)
    }

    /// What is known of the machine; of a test without one, nothing.
    pub(crate) fn nameplate(&self) -> &'a MachineRow {
        self.machine.unwrap_or(&UNKNOWN_MACHINE)
    }

    /// Id of the machine.
    pub(crate) fn asset_id(&self) -> Option<&'a Text> {
        self.machine.map(|machine| &machine.asset_id)
    }
}

/// Features of a test with all its readings, and with what these and the computed figures beside them tell.
pub(crate) fn test_features<'a>(
    test: Test<'a>,
    readings: impl Iterator<Item = Reading<'a>> + Clone,
    quantities: Quantities,
) -> TestFeatures<'a> {
    let told = Trial::of(readings.clone());
    let of = |quantity| quantities.has(quantity).then(|| readings.clone()).into_iter().flatten();
    let lowest = lowest(of(Quantity::InsulationResistance));
    TestFeatures {
        test_id: test.test_id(),
        machine: test.machine(),
        instrument: test.instrument(),
        tester: test.tester(),
        kind: Text::new(test.kind()),
        performed_on: test.performed_on(),
        performed_precision: Text::new(test.performed_precision()),
        duplicate_of: test.duplicate_of().cloned(),
        stage: test.stage().cloned(),
        winding_temperature_c: test.winding_temperature_c(),
        winding_temperature_basis: Text::new(test.winding_temperature_basis()),
        ambient_temperature_c: test.ambient_temperature_c(),
        relative_humidity_pct: test.relative_humidity_pct(),
        dew_point_c: test.dew_point_c(),
        test_voltage_v: test.test_voltage_v(),
        test_voltage_basis: Text::new(test.test_voltage_basis()),
        quantities,
        lowest: lowest.test,
        lowest_of: lowest.parts,
        max_voltage_v: told.reached_v.or(test.test_voltage_v()),
        leakage_at_max_v_a: leakage(of(Quantity::LeakageCurrent)),
        withstood: told.withstood().or_else(|| by_words(test, &told)),
        winding_resistances: of(Quantity::WindingResistance)
            .filter(Reading::is_winding_resistance)
            .map(|reading| reading.value_ref().unwrap_or(reading.value()))
            .collect(),
    }
}

/// Voltages and outcomes of a test.
struct Trial {
    reached_v: Option<f64>,
    held: bool,
    broken: bool,
    told: bool,
}

impl Trial {
    fn of<'a>(readings: impl Iterator<Item = Reading<'a>> + Clone) -> Self {
        let reached_v = readings.clone().filter_map(level).reduce(f64::max);
        let told = readings.clone().any(|reading| reading.outcome().is_some());
        if !told {
            return Self { reached_v, held: false, broken: false, told };
        }
        // Lower steps that were withstood say nothing of the highest.
        let at_the_top = |reading: &Reading<'_>| level(*reading).is_none_or(|level| Some(level) == reached_v);
        let held = readings.clone().any(|reading| reading.fate() == Some(Outcome::Withstood) && at_the_top(&reading));
        let broken = readings.clone().any(|reading| reading.broke_down());
        Self { reached_v, held, broken, told }
    }

    fn withstood(&self) -> Option<bool> {
        match (self.held, self.broken) {
            (_, true) => Some(false),
            (true, false) => Some(true),
            (false, false) => None,
        }
    }
}

/// What the source's own verdict says. Where circuits or steps have outcomes of their own, the words beside one of them are no verdict on
/// all.
fn by_words(test: Test<'_>, told: &Trial) -> Option<bool> {
    let words = test.reported_outcome().filter(|_| is_a_trial(test.kind()) && !told.told)?;
    match verdict(words)? {
        Verdict::Pass => Some(true),
        Verdict::Fail | Verdict::Stopped => Some(false),
        Verdict::Marginal => None,
    }
}

/// Leakage current at the highest voltage; of several the last.
fn leakage<'a>(readings: impl Iterator<Item = Reading<'a>>) -> Option<f64> {
    let currents = readings.filter(|reading| reading.is(Quantity::LeakageCurrent));
    let at = currents.filter_map(|reading| Some((reading.applied_voltage_v()?, reading.value())));
    at.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, current)| current)
}

/// Whether the source's verdict on a test of this kind says whether a voltage was withstood; on other tests it judges a figure.
fn is_a_trial(kind: &str) -> bool {
    matches!(kind, "dc_withstand" | "ac_withstand" | "dc_step" | "dc_ramp" | "surge")
}
