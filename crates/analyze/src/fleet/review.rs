//! All tests of one machine on one day, as one review.

use crate::features::Part;
use crate::judge::Judged;
use crate::ratios::Unbalances;
use crate::resistance;
use crate::series::History;
use jiff::civil::Date;
use windrow_criteria::correction::{Correction, INSULATION_REFERENCE_C};
use windrow_criteria::stress::Form;
use windrow_model::{Bound, Quantity, TestKind};

/// Temperature at which a resistance is taken to be read where none is told, °C (common practice, no source); only for comparison with
/// others, and with room for its error.
const USUAL_C: f64 = 25.0;
/// Standard deviation of the winding temperature about that, K (reference worlds).
const USUAL_SPREAD_K: f64 = 10.0;
/// Least distance from the dew point that is no doubt, K (common practice, no source), and the error allowed for below it, decades.
const LEAST_MARGIN_K: f64 = 3.0;
const NEAR_DEW: f64 = 0.2;
/// Beyond this a polarization index says nothing (IEEE 43-2013 clause 12.2.2, from memory), Ohm.
const LARGEST_FOR_INDEX_OHM: f64 = 5e9;
/// Smaller unbalances are not told from zero by usual instruments (common practice, no source).
const LEAST_UNBALANCE: f64 = 5e-4;

/// The tests of one machine on one day, before or after it was treated.
#[derive(Debug)]
pub(crate) struct Review<'a> {
    pub(crate) tests: Vec<&'a Judged<'a>>,
    pub(crate) stage: Stage,
    /// The part of the stator winding whose history is looked at.
    part: Option<Part>,
    /// Where the unbalances of this machine come from.
    pub(crate) unbalances: Unbalances,
}

/// The insulation resistance of a review.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Resistance<'a> {
    /// The test that read it.
    pub(crate) judged: &'a Judged<'a>,
    /// log10 MΩ at 40 °C.
    pub(crate) decades: f64,
    pub(crate) bound: Bound,
    /// Error beyond the usual, decades.
    pub(crate) error: f64,
}

/// When in the life of the winding, on one day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Stage {
    /// As it was found, or not told.
    Found,
    /// After cleaning or drying.
    Treated,
    /// After a rewind.
    Rewound,
}

impl Stage {
    fn of(judged: &Judged<'_>) -> Self {
        match judged.test.stage.as_deref() {
            Some("after_cleaning" | "after_drying") => Self::Treated,
            Some("after_rewind") => Self::Rewound,
            _ => Self::Found,
        }
    }
}

/// Reviews of one machine, oldest first; undated tests come last.
pub(crate) fn of_machine<'a>(history: &History<'a>) -> Vec<Review<'a>> {
    let mut tests: Vec<(Option<Date>, Stage, &Judged<'_>)> =
        history.tests.iter().map(|judged| (dated(judged), Stage::of(judged), *judged)).collect();
    tests.sort_by_key(|(date, stage, _)| (date.is_none(), *date, *stage));
    let tells = |judged: &Judged<'_>, part: Part| resistance_of(judged, part).is_some();
    let part_of = |tests: &[&Judged<'_>]| resistance::part(tests, Part::is_of_stator, tells);
    // What stands in the machine now is what is asked about; a winding that was not measured yet leaves the one before.
    let part = part_of(history.of_this_winding()).or_else(|| part_of(&history.tests));
    let unbalances = Unbalances::of(&history.tests);
    let same = |a: &(Option<Date>, Stage, &Judged<'_>), b: &(Option<Date>, Stage, &Judged<'_>)| {
        a.0.is_some() && (a.0, a.1) == (b.0, b.1)
    };
    tests
        .chunk_by(same)
        .filter_map(|tests| {
            let (_, stage, _) = tests.first()?;
            let tests = tests.iter().map(|(_, _, judged)| *judged).collect();
            Some(Review { part, unbalances, stage: *stage, tests })
        })
        .collect()
}

/// The date, where the record tells one.
fn dated(judged: &Judged<'_>) -> Option<Date> {
    judged.test.performed_on.filter(|_| judged.test.performed_precision != "unknown")
}

impl<'a> Review<'a> {
    pub(crate) fn performed_on(&self) -> Option<Date> {
        self.tests.first().and_then(|judged| dated(judged))
    }

    /// Calendar time in years; the middle of the period where the record tells no day.
    pub(crate) fn time_a(&self) -> f64 {
        let Some((judged, date)) = self.tests.first().and_then(|judged| Some((judged, dated(judged)?))) else {
            return f64::NAN;
        };
        let half_days = match judged.test.performed_precision.as_str() {
            "month" => 15,
            "quarter" => 45,
            "year" => 182,
            _ => 0,
        };
        1970.0 + f64::from(days_since_1970(date) + half_days) / 365.25
    }

    /// The first thing that a test of the review tells.
    pub(crate) fn told<T>(&self, of: impl Fn(&'a Judged<'a>) -> Option<T>) -> Option<T> {
        self.tests.iter().find_map(|judged| of(judged))
    }

    /// The insulation resistance: the lowest of the day.
    pub(crate) fn resistance(&self) -> Option<Resistance<'a>> {
        let all = self.tests.iter().filter_map(|judged| resistance_of(judged, self.part?));
        all.min_by(|a, b| a.decades.total_cmp(&b.decades))
    }

    /// Whether the resistance is at or above the minimum that applies to it.
    pub(crate) fn passes_minimum(&self) -> bool {
        let passes = |judged: &&Judged<'_>| {
            let lowest = judged.test.lowest.as_ref()?;
            lowest.at_40c_ohm.zip(judged.minimum_of(lowest.part)).map(|(ohm, minimum)| ohm >= minimum.value)
        };
        let known: Vec<bool> = self.tests.iter().filter_map(passes).collect();
        !known.is_empty() && known.iter().all(|passes| *passes)
    }

    /// ln of the polarization index.
    pub(crate) fn polarization(&self) -> Option<(f64, Bound)> {
        let known = |judged: &&&Judged<'_>| {
            let ohm = judged.test.lowest.as_ref().and_then(|lowest| lowest.at_40c_ohm);
            ohm.is_none_or(|ohm| ohm <= LARGEST_FOR_INDEX_OHM)
        };
        let all = self.tests.iter().filter(known).filter_map(|judged| judged.polarization_index);
        let all = all.filter(|(index, _)| *index > 0.0).map(|(index, bound)| (index.ln(), bound));
        all.min_by(|a, b| a.0.total_cmp(&b.0))
    }

    /// ln of the last slope of a step-voltage curve over its first.
    pub(crate) fn knee(&self) -> Option<(f64, Bound)> {
        let steps = self.tests.iter().filter(|judged| judged.test.kind == "dc_step");
        let all = steps.filter_map(|judged| slope_ratio(judged)).map(|ratio| (ratio.ln(), Bound::Exact));
        all.max_by(|a, b| a.0.total_cmp(&b.0))
    }

    /// ln of the unbalance of winding resistances.
    pub(crate) fn unbalance(&self) -> Option<(f64, Bound)> {
        let all = self.tests.iter().filter_map(|judged| self.unbalances.value(judged));
        let largest = all.filter(|unbalance| unbalance.is_finite()).reduce(f64::max)?;
        Some((largest.max(LEAST_UNBALANCE).ln(), Bound::Exact))
    }

    /// Level of the turn insulation in per unit: inception, or the level withstood or not withstood.
    pub(crate) fn surge(&self) -> Option<(f64, Bound)> {
        let all = self.tests.iter().filter(|judged| judged.test.kind == "surge").filter_map(|judged| surge(judged));
        // A level that was not withstood says more than one that was.
        all.min_by(|a, b| (a.1 == Bound::AtLeast).cmp(&(b.1 == Bound::AtLeast)).then(a.0.total_cmp(&b.0)))
    }
}

pub(crate) fn days_since_1970(date: Date) -> i32 {
    (date - Date::constant(1970, 1, 1)).get_days()
}

fn resistance_of<'a>(judged: &'a Judged<'a>, part: Part) -> Option<Resistance<'a>> {
    let test = judged.test;
    let lowest = test.lowest_of(part)?;
    let bound = Bound::from_code(&lowest.bound)?;
    let near_dew = judged.dew_point_margin_k.is_some_and(|margin| margin < LEAST_MARGIN_K);
    let doubt = if near_dew { NEAR_DEW } else { 0.0 };
    let megohms = |ohm: f64| Some((ohm / 1e6).log10()).filter(|decades| decades.is_finite());
    let (decades, error) = match (lowest.at_40c_ohm, lowest.bracket_ohm) {
        (Some(ohm), _) => (megohms(ohm)?, doubt),
        (None, Some([low, high])) => (f64::midpoint(megohms(low)?, megohms(high)?), doubt),
        (None, None) => {
            let era = test.nameplate().insulation_era.as_deref().or(judged.machine.insulation_era.as_deref());
            let (factor, error) = usual_correction(era);
            (megohms(lowest.value_ohm)? + factor, error.hypot(doubt))
        }
    };
    Some(Resistance { judged, decades, bound, error })
}

/// Decades from a resistance at an untold temperature to 40 °C, and their error.
fn usual_correction(era: Option<&str>) -> (f64, f64) {
    let decades = |law: Correction, celsius: f64| law.factor(celsius, INSULATION_REFERENCE_C).map_or(0.0, f64::log10);
    let of = |law: Correction| {
        let error = decades(law, USUAL_C + USUAL_SPREAD_K) - decades(law, USUAL_C);
        (decades(law, USUAL_C), error.abs())
    };
    let (thermoplastic, thermosetting) =
        (of(Correction::ThermoplasticHalving), of(Correction::ThermosettingExponential));
    match era {
        Some("thermoplastic") => thermoplastic,
        Some("thermosetting") => thermosetting,
        _ => (f64::midpoint(thermoplastic.0, thermosetting.0), thermoplastic.1),
    }
}

/// Last ΔI/ΔV over the first, of the currents after each step.
fn slope_ratio(judged: &Judged<'_>) -> Option<f64> {
    let currents = judged.figures_of(Quantity::LeakageCurrent);
    let mut points: Vec<(f64, f64)> =
        currents.filter_map(|figure| Some((figure.applied_voltage_v()?, figure.value()))).collect();
    points.sort_by(|a, b| a.0.total_cmp(&b.0));
    points.dedup_by(|a, b| a.0 <= b.0);
    let slope = |pair: &[(f64, f64)]| match pair {
        [(v0, i0), (v1, i1)] => Some((i1 - i0) / (v1 - v0)).filter(|slope| *slope > 0.0 && slope.is_finite()),
        _ => None,
    };
    if points.len() < 4 {
        return None;
    }
    Some(slope(points.get(points.len() - 2..)?)? / slope(points.get(..2)?)?)
}

fn surge(judged: &Judged<'_>) -> Option<(f64, Bound)> {
    let form = Form::of(TestKind::from_code(&judged.test.kind)?)?;
    let inceptions = judged.figures_of(Quantity::SurgeInceptionVoltage);
    let inception = inceptions.map(|figure| figure.value()).filter(|volts| *volts > 0.0).reduce(f64::min);
    if let Some(level) = inception.and_then(|volts| form.per_unit(volts, &judged.machine).ok()) {
        return Some((level, Bound::Exact));
    }
    let bound = if judged.test.withstood? { Bound::AtLeast } else { Bound::AtMost };
    Some((judged.max_voltage_pu.filter(|level| *level > 0.0)?, bound))
}
