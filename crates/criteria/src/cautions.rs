//! The one home of the words of caution that stand wherever a test voltage, a verdict or a plan is shown.

use crate::rule::Subject;

/// Cautions for anyone who is about to act on a record, most important first.
///
/// Earthing for four times the charging time: IEEE 43 clause 5 and IEEE 95, from memory; the rest: common practice, no source.
pub const GENERAL: &[&str] = &[
    "Insulation tests can kill people and break machines. Only qualified people test, under local codes and the rules of the site; those decide, not this page.",
    "Before connecting anything: isolate, lock, prove dead, earth; disconnect surge capacitors, arresters, instrument transformers and electronic drives; keep everybody away from the remote ends.",
    "After a direct-voltage test keep the winding earthed for at least four times as long as it was charged, and longer on large machines: the charge comes back after a short touch.",
    "Measure the insulation resistance first; never put a high voltage on a winding that is wet, dirty or low.",
    "A record can be wrong. Repeat the test before deciding on a single bad reading. A winding without a finding is not a winding proven good.",
];

/// One line of caution for findings about the ground-wall insulation.
pub const GROUND_WALL: &str = "repeat the measurement clean, dry and at a known temperature first; do not high-potential test a low or wet winding; discharge and earth afterwards";

/// One line of caution for levels of high-voltage and surge tests.
pub const HIGH_VOLTAGE: &str = "a level is not an order to test: qualified people decide under local codes; isolate, lock, prove dead; measure the insulation resistance first and never test a wet or low winding; barriers and a watch at remote ends; frequent repeats weaken insulation; earth afterwards for at least four times as long as charged";

/// One line of caution for findings about the conductor.
pub const CONDUCTOR: &str = "isolate, lock, prove dead and discharge before connecting; limits are for the machine alone, cables and joints in the circuit raise the unbalance; repeat at the terminals before deciding";

/// A winding stays earthed this many times as long as it was charged (IEEE 43 clause 5 and IEEE 95, from memory).
const EARTHING_FACTOR: f64 = 4.0;

/// The caution that goes with figures on `subject`.
#[must_use]
pub const fn of(subject: Subject) -> &'static str {
    match subject {
        Subject::AcWithstand
        | Subject::DcWithstand
        | Subject::RateOfRise
        | Subject::StepOfVoltage
        | Subject::Surge
        | Subject::DissipationVoltage
        | Subject::DischargeVoltage => HIGH_VOLTAGE,
        Subject::LargestUnbalance | Subject::LargestResistanceChange => CONDUCTOR,
        _ => GROUND_WALL,
    }
}

/// Least time in s to keep a winding earthed after `charged_s` seconds of direct voltage.
///
/// ```
/// // worked example DC-09: charged for 10 min, earthed for 40 min
/// assert_eq!(windrow_criteria::cautions::least_earthing_s(600.0), 2400.0);
/// ```
#[must_use]
pub fn least_earthing_s(charged_s: f64) -> f64 {
    EARTHING_FACTOR * charged_s
}
