//! Features of whole tests, joined with what the machine's nameplate says.

use super::applied::level;
use crate::loaded::{MachineRow, Reading, Test};
use crate::nameplate::Plate;
use jiff::civil::Date;
use windrow_criteria::winding::Years;
use windrow_model::{Bound, Text};
use windrow_text::marks::{Verdict, verdict};

/// One test with its machine and the figures of its readings.
#[derive(Debug, Clone, Default)]
pub(crate) struct TestFeatures {
    pub(crate) test_id: Text,
    pub(crate) asset_id: Option<Text>,
    pub(crate) tag: Option<Text>,
    pub(crate) site: Option<Text>,
    pub(crate) manufacturer: Option<Text>,
    pub(crate) instrument: Option<Text>,
    pub(crate) tester: Option<Text>,
    pub(crate) rated_voltage_v: Option<f64>,
    pub(crate) rated_voltage_basis: Option<Text>,
    pub(crate) rated_power_w: Option<f64>,
    pub(crate) winding_kind: Option<Text>,
    pub(crate) insulation_class: Option<Text>,
    pub(crate) insulation_era: Option<Text>,
    pub(crate) made_year: Option<i32>,
    pub(crate) rewound_years: Vec<i32>,
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
    /// Lowest one-minute resistance over the circuits: value Ohm, bound, at 40 °C Ohm, reading and circuit.
    pub(crate) lowest: Option<Lowest>,
    /// The same of each part of the winding that was measured; a history keeps to one.
    pub(crate) lowest_of: Vec<(Part, Lowest)>,
    pub(crate) max_voltage_v: Option<f64>,
    pub(crate) leakage_at_max_v_a: Option<f64>,
    /// Outcomes told: all withstood, one broke down, or nothing.
    pub(crate) withstood: Option<bool>,
    /// Winding resistances with their readings, at 25 °C where known, Ohm.
    pub(crate) winding_resistances: Vec<f64>,
}

impl TestFeatures {
    /// The lowest one-minute resistance of one part of the winding.
    pub(crate) fn lowest_of(&self, part: Part) -> Option<&Lowest> {
        self.lowest_of.iter().find(|(known, _)| *known == part).map(|(_, lowest)| lowest)
    }

    /// What the nameplate tells of the machine.
    pub(crate) fn plate(&self) -> Plate<'_> {
        Plate {
            rated_voltage_v: self.rated_voltage_v,
            rated_voltage_basis: self.rated_voltage_basis.as_deref(),
            rated_power_w: self.rated_power_w,
            winding_kind: self.winding_kind.as_deref(),
            insulation_class: self.insulation_class.as_deref(),
            insulation_era: self.insulation_era.as_deref(),
            years: Years { made: self.made_year, rewound: &self.rewound_years },
        }
    }
}

/// What a reading was measured on: three phases together read about a third of one, so that a history must not mix them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Part {
    /// All phases together to earth, or not told.
    Whole,
    /// A single phase.
    Phase,
    /// One phase to another.
    Pair,
    /// Armature of a direct-current machine.
    Armature,
    /// Field winding.
    Field,
    /// Rotor winding.
    Rotor,
}

impl Part {
    /// The parts in the order in which they are preferred.
    pub(crate) const ALL: [Self; 6] = [Self::Whole, Self::Phase, Self::Pair, Self::Armature, Self::Field, Self::Rotor];

    fn of(circuit: Option<&str>) -> Self {
        match circuit {
            Some("U-E" | "V-E" | "W-E" | "U" | "V" | "W") => Self::Phase,
            Some("U-V" | "V-W" | "W-U") => Self::Pair,
            Some(circuit) if circuit.starts_with('A') => Self::Armature,
            Some(circuit) if circuit.starts_with('F') => Self::Field,
            Some(circuit) if circuit.starts_with('R') => Self::Rotor,
            _ => Self::Whole,
        }
    }

    /// Whether it belongs to the stator.
    pub(crate) fn is_of_stator(self) -> bool {
        matches!(self, Self::Whole | Self::Phase | Self::Pair)
    }
}

/// The lowest one-minute insulation resistance of a test.
#[derive(Debug, Clone)]
pub(crate) struct Lowest {
    pub(crate) value_ohm: f64,
    pub(crate) bound: Text,
    pub(crate) at_40c_ohm: Option<f64>,
    /// Where the law is open: lower and higher value at 40 °C.
    pub(crate) bracket_ohm: Option<[f64; 2]>,
    pub(crate) circuit: Option<Text>,
    /// Whether the source told the minute; else it is taken as the usual one-minute reading.
    pub(crate) time_told: bool,
}

/// Features of a test with all its readings.
pub(crate) fn test_features<'a>(test: Test<'a>, readings: impl Iterator<Item = Reading<'a>> + Clone) -> TestFeatures {
    let machine = test.machine();
    let text = |of: fn(&MachineRow) -> &Option<Text>| machine.and_then(|machine| of(machine).clone());
    let told = Told::of(readings.clone());
    TestFeatures {
        test_id: test.test_id(),
        asset_id: machine.map(|machine| machine.asset_id.clone()),
        tag: text(|machine| &machine.tag),
        site: text(|machine| &machine.site),
        manufacturer: text(|machine| &machine.manufacturer),
        instrument: test.instrument().cloned(),
        tester: test.tester().cloned(),
        rated_voltage_v: machine.and_then(|machine| machine.rated_voltage_v),
        rated_voltage_basis: text(|machine| &machine.rated_voltage_basis),
        rated_power_w: machine.and_then(|machine| machine.rated_power_w),
        winding_kind: text(|machine| &machine.winding_kind),
        insulation_class: text(|machine| &machine.insulation_class),
        insulation_era: text(|machine| &machine.insulation_era),
        made_year: test.made_year(),
        rewound_years: machine.map(|machine| machine.rewound_years.clone()).unwrap_or_default(),
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
        lowest: lowest(readings.clone()),
        lowest_of: Part::ALL
            .into_iter()
            .filter_map(|part| {
                let own = readings.clone().filter(move |reading| Part::of(reading.circuit()) == part);
                Some((part, lowest(own)?))
            })
            .collect(),
        max_voltage_v: told.reached_v.or(test.test_voltage_v()),
        leakage_at_max_v_a: leakage(readings.clone()),
        withstood: told.withstood().or_else(|| by_words(test, &told)),
        winding_resistances: readings
            .filter(|reading| reading.is("winding_resistance"))
            .map(|reading| reading.value_ref().unwrap_or(reading.value()))
            .collect(),
    }
}

/// Voltages and outcomes of a test.
struct Told {
    reached_v: Option<f64>,
    held: bool,
    broken: bool,
    told: bool,
}

impl Told {
    fn of<'a>(readings: impl Iterator<Item = Reading<'a>> + Clone) -> Self {
        let reached_v = readings.clone().filter_map(level).reduce(f64::max);
        // Lower steps that were withstood say nothing of the highest.
        let at_the_top = |reading: &Reading<'_>| level(*reading).is_none_or(|level| Some(level) == reached_v);
        let held = readings.clone().any(|reading| reading.outcome() == Some("withstood") && at_the_top(&reading));
        let broken = readings.clone().any(|reading| reading.broke_down());
        let told = readings.clone().any(|reading| reading.outcome().is_some());
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
fn by_words(test: Test<'_>, told: &Told) -> Option<bool> {
    let words = test.reported_outcome().filter(|_| is_a_trial(test.kind()) && !told.told)?;
    match verdict(words)? {
        Verdict::Pass => Some(true),
        Verdict::Fail | Verdict::Stopped => Some(false),
        Verdict::Marginal => None,
    }
}

/// Leakage current at the highest voltage; of several the last.
fn leakage<'a>(readings: impl Iterator<Item = Reading<'a>>) -> Option<f64> {
    let currents = readings.filter(|reading| reading.is("leakage_current"));
    let at = currents.filter_map(|reading| Some((reading.applied_voltage_v()?, reading.value())));
    at.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, current)| current)
}

/// Lowest one-minute insulation resistance. Among equal numbers an exact one wins: the lowest is then known.
fn lowest<'a>(readings: impl Iterator<Item = Reading<'a>>) -> Option<Lowest> {
    let of_a_minute = |reading: &Reading<'_>| {
        reading.is("insulation_resistance") && (reading.elapsed_s().is_none() || reading.is_at(60.0))
    };
    let rank = |reading: &Reading<'_>| match reading.bound() {
        Some(Bound::AtMost) => 0,
        Some(Bound::Exact) => 1,
        Some(Bound::AtLeast) | None => 2,
    };
    let lowest =
        readings.filter(of_a_minute).min_by(|a, b| a.value().total_cmp(&b.value()).then(rank(a).cmp(&rank(b))))?;
    Some(Lowest {
        value_ohm: lowest.value(),
        bound: Text::new(lowest.bound_code()),
        at_40c_ohm: lowest.value_ref(),
        bracket_ohm: lowest.bracket(),
        circuit: lowest.circuit().map(Text::new),
        time_told: lowest.elapsed_s().is_some(),
    })
}

/// Whether the source's verdict on a test of this kind says whether a voltage was withstood; on other tests it judges a figure.
fn is_a_trial(kind: &str) -> bool {
    matches!(kind, "dc_withstand" | "ac_withstand" | "dc_step" | "dc_ramp" | "surge")
}
