//! # What it finds
//! When the insulation resistance at 40 °C of a machine that is watched already may meet its minimum.
//! # How it is judged
//! Only for machines with a finding at `watch` or above on the ground wall, and still above the minimum: without one, few tests cannot tell. `plan` if the
//! chance of meeting it before the next planned test is 0.20 or more, `watch` if it is likelier met than not within ten years.
//! # References
//! `windrow_statistics::forecast`; minimum by `windrow-criteria`.

use super::strength::{LOOK_AHEAD, dated, outlook};
use crate::context::Context;
use crate::finding::{self, Found, megohms};
use crate::resistance::{self, USUAL_SCATTER};
use crate::series::History;
use windrow_criteria::cautions;
use windrow_model::Finding;
use windrow_statistics::forecast::{Reading, forecast};

/// Chance before the next planned test from which it is to be planned for.
const PLANNED: f64 = 0.2;
/// Rules whose findings on the ground wall ask for an outlook.
const ASKING: &[&str] =
    &["falling_trend", "step_change", "polarization_index", "step_voltage_knee", "leakage_growth", "phase_divergence"];

pub(crate) fn find(history: &History<'_>, context: &Context<'_>, findings: &[&Finding]) -> Option<Finding> {
    let asks = |finding: &&Finding| {
        ASKING.contains(&finding.rule.as_str()) && matches!(finding.level.as_str(), "act" | "plan" | "watch")
    };
    if !findings.iter().any(asks) {
        return None;
    }
    let series = resistance::series(history);
    let newest = series.last()?;
    let limit = newest.judged.minimum.as_ref().filter(|limit| newest.point.y > limit.value.log10())?;
    let last = newest.judged.test.performed_on?;
    let readings: Vec<Reading> =
        series.iter().map(|dated| Reading { t: dated.point.t, y: dated.point.y, bound: dated.point.bound }).collect();
    let found = forecast(&readings, limit.value.log10(), USUAL_SCATTER)?;
    let next = context.next_test(&newest.judged.test.kind, last);
    let chance = found.chance_within(resistance::year_of(next) - resistance::year_of(last));
    let level = match found.middle() {
        _ if chance >= PLANNED => "plan",
        Some(years) if years <= LOOK_AHEAD => "watch",
        _ => return None,
    };
    let row = Found {
        rule: "minimum_ahead",
        level,
        statement: format!(
            "{}: insulation resistance at 40 °C passes its minimum of {}, but may meet it: {}.",
            history.tag,
            megohms(limit.value),
            outlook(&found, chance, next)
        ),
        value: Some(10_f64.powf(newest.point.y)),
        limit: Some(limit.value),
        unit: "Ohm",
        basis: format!(
            "{}; accelerating fall of log10 resistance with Student-t errors, scatter of {USUAL_SCATTER} decade weighed in",
            limit.basis
        ),
        cautions: cautions::GROUND_WALL,
        next_test: "the same test at a similar temperature and humidity",
    };
    let row = finding::of_series(history, &resistance::tests(&series), ("", &["insulation_resistance"]), row);
    Some(dated(row, last, Some(&found)))
}
