//! The one home of the words of caution that stand wherever a test voltage, a verdict or a plan is shown.

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
