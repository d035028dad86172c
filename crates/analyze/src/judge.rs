//! Puts each test beside the limits that apply to it; the rules then only compare.

use crate::features::{Applied, Lowest, Part, Quantities, TestFeatures, applied, circuit_times, test_features};
use crate::loaded::{Loaded, MachineRow, Reading};
use crate::ratios;
use std::ops::Range;
use std::sync::Arc;
use windrow_criteria::correction::INSULATION_REFERENCE_C;
use windrow_criteria::stress::Form;
use windrow_criteria::{IndexLimits, Limit, Machine, Preference, Unjudged, dew_point, unbalance};
use windrow_model::settings::Settings;
use windrow_model::{Bound, Quantity, TestKind};

/// A ratio with its bound.
pub(crate) type Ratio = (f64, Bound);

/// A test with its ratios and limits.
#[derive(Debug, Clone)]
pub(crate) struct Judged<'a> {
    pub(crate) test: &'a TestFeatures<'a>,
    /// The machine as it was at the time of the test.
    pub(crate) machine: Arc<Machine>,
    /// Lowest polarization index over the circuits; as the source computed it where no circuit tells its minutes.
    pub(crate) polarization_index: Option<Ratio>,
    /// Lowest absorption ratio over the circuits; as the source computed it where no circuit tells its readings.
    pub(crate) absorption_ratio: Option<Ratio>,
    /// Largest deviation from the mean over the mean, of winding resistances.
    pub(crate) unbalance: Option<f64>,
    /// How much warmer than the dew point the winding was, K.
    pub(crate) dew_point_margin_k: Option<f64>,
    /// Highest voltage in per unit of the rated phase-to-earth voltage.
    pub(crate) max_voltage_pu: Option<f64>,
    /// Minimum one-minute insulation resistance at 40 °C of stator and armature, Ohm: see [`Judged::minimum_of`].
    minimum: Option<Limit>,
    /// Where the records leave the insulation system open: value at 40 °C (Ohm) and minimum for each system.
    pub(crate) by_system: Option<[Hypothesis; 2]>,
    /// Minimum polarization index, or why none applies.
    pub(crate) index_minimum: Result<Limit, Unjudged>,
    /// Largest unbalance.
    pub(crate) unbalance_limit: Option<Limit>,
    /// Applied voltages, one entry a circuit.
    pub(crate) applied: Vec<Applied<'a>>,
    loaded: &'a Loaded,
    /// Place of the test.
    place: usize,
}

impl<'a> Judged<'a> {
    /// Minimum one-minute insulation resistance at 40 °C of a part of the machine, Ohm: it goes by the rated voltage, which is that of
    /// stator or armature only.
    pub(crate) fn minimum_of(&self, part: Option<Part>) -> Option<&Limit> {
        self.minimum.as_ref().filter(|_| part.is_some_and(Part::has_rated_voltage))
    }

    /// The minimum that holds for the lowest resistance of the test, or would for a test that tells none.
    pub(crate) fn minimum(&self) -> Option<&Limit> {
        self.minimum.as_ref().filter(|_| self.test.lowest.as_ref().is_none_or(Lowest::has_rated_voltage))
    }

    /// All readings.
    pub(crate) fn readings(&self) -> impl ExactSizeIterator<Item = Reading<'a>> + Clone + use<'a> {
        self.loaded.readings_of(self.place)
    }

    /// Uncorrected readings as they were printed.
    pub(crate) fn figures(&self) -> impl Iterator<Item = Reading<'a>> + Clone + use<'a> {
        self.readings().filter(Reading::is_as_read)
    }

    /// Uncorrected figures that the source computed.
    pub(crate) fn reported(&self) -> impl Iterator<Item = Reading<'a>> + Clone + use<'a> {
        self.loaded.reported_of(self.place).filter(Reading::is_as_read)
    }

    /// Both, the readings first.
    pub(crate) fn all_figures(&self) -> impl Iterator<Item = Reading<'a>> + Clone + use<'a> {
        all_figures(self.loaded, self.place)
    }

    /// Whether some reading or computed figure is of a quantity.
    pub(crate) fn tells(&self, quantity: Quantity) -> bool {
        self.test.quantities.has(quantity)
    }

    /// Those of [`Judged::figures`] that are of a quantity.
    pub(crate) fn figures_of(&self, quantity: Quantity) -> impl Iterator<Item = Reading<'a>> + Clone + use<'a> {
        let told = self.tells(quantity).then(|| self.figures());
        told.into_iter().flatten().filter(move |figure| figure.is(quantity))
    }

    /// Those of [`Judged::all_figures`] that are of a quantity.
    pub(crate) fn all_figures_of(&self, quantity: Quantity) -> impl Iterator<Item = Reading<'a>> + Clone + use<'a> {
        all_figures_of((self.loaded, self.place), self.test.quantities, quantity)
    }

    /// Ids of all readings.
    pub(crate) fn evidence(&self) -> impl Iterator<Item = String> + use<'a> {
        self.readings().filter_map(|reading| reading.reading_id())
    }
}

/// What would hold if the insulation were of one system.
#[derive(Debug, Clone)]
pub(crate) struct Hypothesis {
    /// `thermoplastic` or `thermosetting`.
    pub(crate) system: &'static str,
    /// Value at 40 °C, Ohm.
    pub(crate) value_ohm: f64,
    /// Minimum, if one applies then.
    pub(crate) minimum: Option<Limit>,
}

/// Features of the tests at some places.
pub(crate) fn features(loaded: &Loaded, places: Range<usize>) -> Vec<TestFeatures<'_>> {
    let one = |place| test_features(loaded.test(place), loaded.readings_of(place), loaded.quantities_of(place));
    places.map(one).collect()
}

/// Judges the tests whose features stand from place `first` on.
pub(crate) fn all<'a>(
    loaded: &'a Loaded,
    first: usize,
    features: &'a [TestFeatures<'a>],
    settings: &Settings,
) -> Vec<Judged<'a>> {
    let mut known: Option<Plated<'_>> = None;
    let mut all = Vec::with_capacity(features.len());
    for (place, test) in (first..).zip(features) {
        let system = test.nameplate().plate().system(test.performed_on, &settings.judging);
        let plated = known.take().filter(|known| known.holds(test, system));
        let plated = plated.unwrap_or_else(|| Plated::of(test, system, settings));
        all.push(one((loaded, place), test, &plated, Preference::of(&settings.judging)));
        known = Some(plated);
    }
    all
}

/// A machine while its winding was of one insulation system, with the limits that rest on that alone: mostly the same from test to test.
struct Plated<'a> {
    plate: &'a MachineRow,
    system: Option<&'static str>,
    machine: Arc<Machine>,
    minimum: Option<Limit>,
    index_limits: IndexLimits,
    unbalance_limit: Option<Limit>,
}

impl<'a> Plated<'a> {
    fn of(test: &TestFeatures<'a>, system: Option<&'static str>, settings: &Settings) -> Self {
        let (plate, prefer) = (test.nameplate(), Preference::of(&settings.judging));
        let machine = plate.plate().machine_of(system, &settings.judging);
        Self {
            plate,
            system,
            minimum: machine.minimum_insulation_resistance(prefer),
            index_limits: machine.index_limits(prefer),
            unbalance_limit: machine.largest_unbalance(prefer),
            machine: Arc::new(machine),
        }
    }

    /// Whether it is that of a test at the time of which the winding was of such a system.
    fn holds(&self, test: &TestFeatures<'_>, system: Option<&str>) -> bool {
        std::ptr::eq(self.plate, test.nameplate()) && self.system == system
    }
}

fn one<'a>(
    (loaded, place): (&'a Loaded, usize),
    test: &'a TestFeatures<'a>,
    plated: &Plated<'_>,
    prefer: Preference,
) -> Judged<'a> {
    let circuits = if test.quantities.has(Quantity::InsulationResistance) {
        circuit_times(loaded.readings_of(place))
    } else {
        Vec::new()
    };
    let told = |quantity| all_figures_of((loaded, place), test.quantities, quantity);
    let machine = &plated.machine;
    let one_minute = test.lowest.as_ref().and_then(|lowest| lowest.at_40c_ohm);
    Judged {
        test,
        polarization_index: ratios::polarization_index(&circuits, told(Quantity::PolarizationIndex)),
        absorption_ratio: ratios::absorption_ratio(&circuits, told(Quantity::AbsorptionRatio)),
        // Three values are the three pairs or phases of one test; other counts mix what cannot be compared.
        unbalance: Some(&test.winding_resistances)
            .filter(|values| values.len() == 3)
            .and_then(|values| unbalance::from_mean(values)),
        dew_point_margin_k: dew_point_margin_k(test),
        max_voltage_pu: max_voltage_pu(test, machine),
        minimum: plated.minimum.clone(),
        by_system: by_system(test, machine, prefer),
        index_minimum: plated.index_limits.minimum(one_minute),
        unbalance_limit: plated.unbalance_limit.clone(),
        applied: applied(loaded.readings_of(place)),
        machine: Arc::clone(machine),
        loaded,
        place,
    }
}

/// Uncorrected figures of a test as they were printed, behind the readings those that the source computed.
fn all_figures(loaded: &Loaded, place: usize) -> impl Iterator<Item = Reading<'_>> + Clone {
    loaded.readings_of(place).chain(loaded.reported_of(place)).filter(Reading::is_as_read)
}

/// Those of a quantity, which the test may tell.
fn all_figures_of(
    (loaded, place): (&Loaded, usize),
    quantities: Quantities,
    quantity: Quantity,
) -> impl Iterator<Item = Reading<'_>> + Clone {
    let told = quantities.has(quantity).then(|| all_figures(loaded, place));
    told.into_iter().flatten().filter(move |figure| figure.is(quantity))
}

/// Only a temperature that was measured on the winding says how it stood to the dew point.
fn dew_point_margin_k(test: &TestFeatures<'_>) -> Option<f64> {
    let winding = test.winding_temperature_c.filter(|_| test.winding_temperature_basis == "measured")?;
    match test.dew_point_c {
        Some(dew) => Some(winding - dew),
        None => dew_point::margin_k(winding, test.ambient_temperature_c?, test.relative_humidity_pct?),
    }
}

fn max_voltage_pu(test: &TestFeatures<'_>, machine: &Machine) -> Option<f64> {
    let form = Form::of(TestKind::from_code(&test.kind)?)?;
    form.per_unit(test.max_voltage_v?, machine).ok()
}

/// Both insulation systems, each with its law and its minimum. Below 40 °C the halving law gives the lower value, above it the
/// higher one: it is the steeper.
fn by_system(test: &TestFeatures<'_>, machine: &Machine, prefer: Preference) -> Option<[Hypothesis; 2]> {
    let lowest = test.lowest.as_ref().filter(|lowest| lowest.has_rated_voltage())?;
    let [low, high] = lowest.bracket_ohm?;
    let below = test.winding_temperature_c? < INSULATION_REFERENCE_C;
    let (thermoplastic, thermosetting) = if below { (low, high) } else { (high, low) };
    Some([("thermoplastic", thermoplastic), ("thermosetting", thermosetting)].map(|(system, value_ohm)| {
        let machine = Machine { insulation_era: Some(system.to_owned()), ..machine.clone() };
        Hypothesis { system, value_ohm, minimum: machine.minimum_insulation_resistance(prefer) }
    }))
}
