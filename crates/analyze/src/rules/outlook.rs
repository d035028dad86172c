//! # What it finds
//! When the insulation resistance at 40 °C of a machine that is watched already may meet its minimum.
//! # How it is judged
//! Only for machines with a finding at `watch` or above on the ground wall, and still above the minimum of its winding (stator or armature): without one, few tests cannot tell. `plan` if the
//! chance of meeting it before the next planned test is 0.20 or more, `watch` if it is likelier met than not within ten years.
//! # References
//! `windrow_statistics::forecast`; minimum by `windrow-criteria`.

use super::strength::{LOOK_AHEAD, dated, foreseen, outlook};
use crate::context::Context;
use crate::finding::{self, Found, megohms};
use crate::foresight::{Foresight, Outlook};
use crate::resistance::{self, Scatter};
use crate::series::History;
use windrow_criteria::cautions;
use windrow_model::Finding;
use windrow_statistics::forecast::Reading;
use windrow_statistics::trend::Point;

/// Chance before the next planned test from which it is to be planned for.
const PLANNED: f64 = 0.2;
/// Rules whose findings on the ground wall ask for an outlook.
const ASKING: &[&str] =
    &["falling_trend", "step_change", "polarization_index", "step_voltage_knee", "leakage_growth", "phase_divergence"];

/// Whether a finding asks for an outlook.
pub(crate) fn asks(finding: &Finding) -> bool {
    ASKING.contains(&finding.rule.as_str()) && matches!(finding.level.as_str(), "act" | "plan" | "watch")
}

/// Whether a finding is an outlook.
pub(crate) fn is_one(finding: &Finding) -> bool {
    finding.rule == "minimum_ahead"
}

/// The outlook of a machine of which some finding asks for one.
pub(crate) fn find(
    history: &History<'_>,
    (context, foresight): (&Context<'_>, &Foresight),
    scatter: Scatter,
) -> Option<Finding> {
    let series = history.resistance.as_ref()?;
    let newest = series.dated.last()?;
    let limit = series.minimum_passed()?;
    let last = newest.judged.test.performed_on?;
    let reading = |point: Point| Reading { t: point.t, y: point.y, bound: point.bound };
    let readings: Vec<Reading> = series.points().into_iter().map(reading).collect();
    let next = context.next_test(&newest.judged.test.kind, last);
    let years = resistance::year_of(next) - resistance::year_of(last);
    let asked = Outlook { readings: &readings, limit: limit.value.log10(), scatter: scatter.decades, years };
    let found = foresight.forecast(asked, || context.forecast(asked.readings, asked.limit, asked.scatter))?;
    let chance = found.chance_within(years);
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
            "{}; accelerating fall of log10 resistance with Student-t errors, {} weighed in",
            limit.basis,
            scatter.words()
        ),
        cautions: cautions::GROUND_WALL,
        next_test: "the same test at a similar temperature and humidity",
    };
    let row = finding::of_series(history, &series.tests(), ("", &["insulation_resistance"]), row);
    let mut working = series.told();
    working.extend(foreseen(&found, (&format!("log10 Ω of the minimum {:.2}", limit.value.log10()), chance)));
    Some(Finding { working, ..dated(row, last, Some(&found)) })
}
