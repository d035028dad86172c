//! Concepts and their words per language, as data (`data/<language>.csv`).

use crate::data;
use std::collections::{HashMap, HashSet};
use std::sync::LazyLock;

windrow_model::coded_enum! {
    /// What a label can announce.
    pub enum Concept {
        /// Plant tag.
        Tag = "tag",
        /// A reading of an earlier test, told beside those of this one.
        EarlierReading = "earlier_reading",
        /// Description of the machine.
        Description = "description",
        /// Site, plant, station.
        Site = "site",
        /// Area, building.
        Area = "area",
        /// Serial number.
        Serial = "serial",
        /// Tag before the machines were renumbered.
        OldTag = "old_tag",
        /// Tag since then.
        NewTag = "new_tag",
        /// Key in a list of equipment.
        ListKey = "list_key",
        /// Functional location.
        FunctionalLocation = "functional_location",
        /// What the machine belongs to.
        Parent = "parent",
        /// Class of equipment, ISO 14224.
        EquipmentClass = "equipment_class",
        /// Maker.
        Manufacturer = "manufacturer",
        /// Model or type.
        Model = "model",
        /// Rated power.
        RatedPower = "rated_power",
        /// Rated voltage.
        RatedVoltage = "rated_voltage",
        /// Rated current.
        RatedCurrent = "rated_current",
        /// Rated speed.
        RatedSpeed = "rated_speed",
        /// Rated frequency.
        RatedFrequency = "rated_frequency",
        /// Thermal class.
        InsulationClass = "insulation_class",
        /// Winding construction.
        WindingKind = "winding_kind",
        /// Year of manufacture.
        MadeYear = "made_year",
        /// Year or date of a rewind.
        Rewound = "rewound",
        /// Other nameplate data that is kept as decor: frame, poles, duty, enclosure, power factor, connection.
        OtherPlate = "other_plate",
        /// Test date.
        Date = "date",
        /// Date of something else: last test, next due, calibration, printing.
        OtherDate = "other_date",
        /// Time of day.
        ClockTime = "clock_time",
        /// Tester.
        Tester = "tester",
        /// Witness, reviewer.
        Witness = "witness",
        /// Instrument.
        Instrument = "instrument",
        /// Work order.
        WorkOrder = "work_order",
        /// Reason or stage of the test.
        Stage = "stage",
        /// Kind of the test.
        TestKind = "test_kind",
        /// Applied test voltage.
        TestVoltage = "test_voltage",
        /// How fast a voltage is raised.
        RateOfRise = "rate_of_rise",
        /// Time since voltage was applied.
        Elapsed = "elapsed",
        /// Circuit or connection under test.
        Circuit = "circuit",
        /// Unit of the readings of the row.
        UnitColumn = "unit_column",
        /// Winding temperature.
        WindingTemperature = "winding_temperature",
        /// Ambient temperature.
        AmbientTemperature = "ambient_temperature",
        /// Temperature, which one is not told.
        Temperature = "temperature",
        /// Relative humidity.
        Humidity = "humidity",
        /// Dew point.
        DewPoint = "dew_point",
        /// Insulation resistance.
        InsulationResistance = "insulation_resistance",
        /// Insulation resistance corrected to a reference temperature.
        CorrectedResistance = "corrected_resistance",
        /// Resistance, which one is not told.
        Resistance = "resistance",
        /// Winding resistance.
        WindingResistance = "winding_resistance",
        /// Leakage current.
        LeakageCurrent = "leakage_current",
        /// Polarization index.
        PolarizationIndex = "polarization_index",
        /// Absorption ratio.
        AbsorptionRatio = "absorption_ratio",
        /// Unbalance.
        Unbalance = "unbalance",
        /// Capacitance.
        Capacitance = "capacitance",
        /// Dissipation factor.
        DissipationFactor = "dissipation_factor",
        /// Partial-discharge magnitude.
        PdMagnitude = "pd_magnitude",
        /// Partial-discharge inception voltage.
        PdInception = "pd_inception",
        /// Partial-discharge extinction voltage.
        PdExtinction = "pd_extinction",
        /// Surge peak voltage.
        SurgeVoltage = "surge_voltage",
        /// Difference of surge responses.
        SurgeDifference = "surge_difference",
        /// Surge inception voltage.
        SurgeInception = "surge_inception",
        /// Inductance.
        Inductance = "inductance",
        /// Withstand test.
        Withstand = "withstand",
        /// Step number.
        StepNumber = "step_number",
        /// Row or sequence number.
        RowNumber = "row_number",
        /// Power of ten that a dial was read at.
        Multiplier = "multiplier",
        /// Power that ten is raised to, beside a mantissa.
        Exponent = "exponent",
        /// Whether a reading went beyond the instrument's range.
        OverRange = "over_range",
        /// Correction factor.
        CorrectionFactor = "correction_factor",
        /// Limit that the source states.
        Limit = "limit",
        /// Verdict.
        Result = "result",
        /// Remarks.
        Remarks = "remarks",
        /// Running hours, next due interval and other figures that are no part of the schema.
        OtherFigure = "other_figure",
        /// Page, form and revision numbers.
        Page = "page",
    }
}

/// A concept that a run of words names.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Hit {
    pub(crate) concept: Concept,
    pub(crate) weight: f32,
    /// First word of the run.
    pub(crate) from: usize,
    /// One past its last word.
    pub(crate) to: usize,
}

/// Longest phrase of the vocabulary, in words.
const LONGEST_PHRASE: usize = 5;

const LANGUAGES: [&str; 4] = [
    include_str!("../data/en.csv"),
    include_str!("../data/de.csv"),
    include_str!("../data/fr.csv"),
    include_str!("../data/es.csv"),
];

static PHRASES: LazyLock<HashMap<String, Vec<(Concept, f32)>>> = LazyLock::new(|| {
    let mut phrases: HashMap<String, Vec<(Concept, f32)>> = HashMap::new();
    for [concept, phrase, weight] in LANGUAGES.into_iter().flat_map(data::rows::<3>) {
        let (Some(concept), Ok(weight)) = (Concept::from_code(concept), weight.parse()) else { continue };
        let entry = phrases.entry(key(phrase)).or_default();
        if entry.iter().all(|(known, _)| *known != concept) {
            entry.push((concept, weight));
        }
    }
    phrases
});

/// The words that phrases are made of.
static PARTS: LazyLock<HashSet<&'static str>> =
    LazyLock::new(|| PHRASES.keys().flat_map(|phrase| phrase.split(' ')).collect());

/// Whether phrases of the vocabulary have `word`.
pub(crate) fn is_part(word: &str) -> bool {
    PARTS.contains(word)
}

/// German umlauts are written as letters of their own (`Pruefspannung`) or lose their dots: both meet here.
fn key(phrase: &str) -> String {
    let word = |word: &str| match word.len() {
        // "du" is not "due".
        0..=3 => word.to_owned(),
        _ => word.replace("ae", "a").replace("oe", "o").replace("ue", "u"),
    };
    phrase.split(' ').map(word).collect::<Vec<_>>().join(" ")
}

/// All non-overlapping phrases in `words`, longest first; a run may name several concepts.
pub(crate) fn hits(words: &[&str]) -> Vec<Hit> {
    let mut taken = vec![false; words.len()];
    let mut hits = Vec::new();
    for length in (1..=LONGEST_PHRASE.min(words.len())).rev() {
        for from in 0..=words.len() - length {
            let to = from + length;
            if taken[from..to].iter().any(|taken| *taken) {
                continue;
            }
            if let Some(found) = PHRASES.get(&key(&words[from..to].join(" "))) {
                taken[from..to].fill(true);
                hits.extend(found.iter().map(|(concept, weight)| Hit { concept: *concept, weight: *weight, from, to }));
            }
        }
    }
    hits
}
