//! # What it finds
//! A part of the insulation whose withstand or inception voltage falls toward what service asks of it: the crest of the operating
//! voltage, or what a start puts on the turns.
//! # How it is judged
//! A voltage that was withstood says "at least", one at which it broke down "at most", an inception voltage is exact. `act` if the two
//! newest inception levels lie below the stress; `plan` if the newest does, or if the chance of meeting it before the next planned test
//! is 0.20 or more; `watch` if it is likelier met than not within ten years. Where all was withstood there is nothing to say: coverage
//! tells what was proven. Where the newest test broke down another rule speaks; a surge comparison that only failed may have broken
//! nothing.
//! # References
//! `windrow_statistics::forecast`; stress by `windrow-criteria`.

use crate::context::{self, Context};
use crate::coverage::{Fate, trials_of};
use crate::features::Applied;
use crate::finding::{self, Found};
use crate::judge::Judged;
use crate::resistance;
use crate::series::History;
use jiff::civil::Date;
use windrow_criteria::stress::in_service;
use windrow_criteria::{Insulation, cautions};
use windrow_model::{Bound, Finding, Quantity, Step, Text};
use windrow_statistics::forecast::{FALLS, Forecast, Reading};
use windrow_statistics::robust::median;
use windrow_statistics::trend::{Point, score};

/// Scatter of such a voltage between tests, as a share of it (common practice, no source); each series' own is weighed against it.
const USUAL_SCATTER: f64 = 0.08;
/// Chance of meeting the stress before the next planned test from which it is to be planned for.
const PLANNED: f64 = 0.2;
/// Fall from the highest level to the newest, in scatters, below which nothing falls.
const FALLEN: f64 = 1.5;
/// Years beyond which a likely date is no reason to watch.
pub(crate) const LOOK_AHEAD: f64 = 10.0;
/// A level withstood that is no higher than this share of the stress says nothing of it.
const TELLING: f64 = 0.5;

/// A level of one test.
#[derive(Clone, Copy)]
struct Level<'a> {
    judged: &'a Judged<'a>,
    crest_v: f64,
    bound: Bound,
}

pub(crate) fn find(history: &History<'_>, context: &Context<'_>) -> Vec<Finding> {
    let machine = match history.tests.last() {
        Some(newest) => &newest.machine,
        None => return Vec::new(),
    };
    Insulation::INSULATING
        .iter()
        .filter_map(|part| {
            let (stress, basis) = in_service(*part, machine).ok()??;
            of_part(history, context, (*part, stress, basis))
        })
        .collect()
}

fn of_part(
    history: &History<'_>,
    context: &Context<'_>,
    (part, stress, basis): (Insulation, f64, Text),
) -> Option<Finding> {
    let levels = levels(history, part, stress);
    let known = levels.iter().rfind(|level| level.bound != Bound::AtLeast)?;
    let newest = levels.last()?;
    let last = newest.judged.test.performed_on?;
    if newest.bound == Bound::AtMost {
        return None;
    }
    let readings: Vec<Reading> = levels.iter().filter_map(reading).collect();
    let scatter = USUAL_SCATTER * median(&levels.iter().map(|level| level.crest_v).collect::<Vec<f64>>())?;
    let forecast = if has_fallen(&readings, scatter) { context.forecast(&readings, stress, scatter) } else { None };
    let next = context.next_test(&newest.judged.test.kind, last);
    let chance =
        forecast.as_ref().map(|found| found.chance_within(resistance::year_of(next) - resistance::year_of(last)));
    let is_below = newest.bound == Bound::Exact && newest.crest_v < stress;
    let middle = forecast.as_ref().and_then(Forecast::middle);
    let before = levels.iter().rev().nth(1);
    let again = is_below && before.is_some_and(|level| level.bound == Bound::Exact && level.crest_v < stress);
    let level = match (is_below, chance) {
        (true, _) if again => "act",
        (true, _) => "plan",
        (false, Some(chance)) if chance >= PLANNED => "plan",
        (false, Some(_)) if middle.is_some_and(|years| years <= LOOK_AHEAD) => "watch",
        _ => return None,
    };
    let statement = statement(&levels, stress, part, is_below)?;
    let outlook = match (&forecast, chance) {
        _ if again => "the test before was below it as well".to_owned(),
        _ if is_below => "one test: repeat it as qualified people decide".to_owned(),
        (Some(found), Some(chance)) => outlook(found, chance, next),
        _ => "too few tests for a forecast".to_owned(),
    };
    let row = Found {
        rule: "falling_strength",
        level,
        statement: format!("{}: {statement}; {outlook}.", history.tag),
        value: Some(known.crest_v),
        limit: Some(stress),
        unit: "V",
        basis: format!(
            "stress in service: {basis}; accelerating fall with Student-t errors, scatter {:.0} % weighed in",
            100.0 * USUAL_SCATTER
        ),
        cautions: cautions::HIGH_VOLTAGE,
        next_test: "insulation resistance and polarization index first; then, only if they allow it, the same test under the same conditions",
    };
    let mut tests: Vec<&Judged<'_>> = levels.iter().map(|level| level.judged).collect();
    tests.dedup_by(|a, b| std::ptr::eq(*a, *b));
    let quantities = ["surge_inception_voltage", "surge_peak_voltage", "voltage", "leakage_current"];
    let row = finding::of_series(history, &tests, (part.code(), &quantities), row);
    let mut working: Vec<Step> = levels.iter().map(told).collect();
    working.push(Step::new("rule", format!("stress in service {stress:.0} V crest: {basis}")));
    if let (Some(found), Some(chance)) = (&forecast, chance) {
        working.extend(foreseen(found, (&format!("{stress:.0} V"), chance)));
    }
    Some(Finding { working, ..dated(row, last, forecast.as_ref()) })
}

/// A level, as the record has it.
fn told(level: &Level<'_>) -> Step {
    let what = match level.bound {
        Bound::Exact => "gave way at",
        Bound::AtLeast => "carried",
        Bound::AtMost => "did not carry",
    };
    let test = level.judged.test;
    let on = test.performed_on.map(|on| on.to_string()).unwrap_or_default();
    Step::new("data", format!("{on}, {}: {what} {:.0} V crest", test.kind.replace('_', " "), level.crest_v))
}

/// The model behind an outlook, and what it says.
pub(crate) fn foreseen(found: &Forecast, (limit, chance): (&str, f64)) -> Vec<Step> {
    let years = |years: Option<f64>| years.map_or("no date".to_owned(), |years| format!("{years:.1} years"));
    vec![
        Step::new(
            "model",
            "V(x) = a − (b/k)(e^(kx) − 1), x years after the last test; all a, b, k and scatters weighed by how well they fit, Student-t errors",
        ),
        Step::new(
            "arithmetic",
            format!(
                "chance that it falls at all {:.2} (a date is told from {FALLS} on); if so, {limit} is met not before {} (chance that it is earlier \
                 {}), as likely as not after {}; chance before the next planned test {chance:.2}",
                found.falls,
                years(Some(found.not_before())),
                found.early,
                years(found.middle())
            ),
        ),
    ]
}

/// Whether the levels fall at all, more pairs than rise, and the newest lies below the highest by more than scatter: what does not fall
/// needs no forecast.
fn has_fallen(readings: &[Reading], scatter: f64) -> bool {
    let point = |reading: &Reading| Point { t: reading.t, blur: 0.0, y: reading.y, bound: reading.bound };
    let points: Vec<Point> = readings.iter().map(point).collect();
    let highest = readings.iter().map(|reading| reading.y).fold(f64::NEG_INFINITY, f64::max);
    let newest = readings.last().map_or(highest, |reading| reading.y);
    highest - newest > FALLEN * scatter && score(&points) < 0
}

/// Levels of the part in the present winding that tell something of the stress, oldest first.
fn levels<'a>(history: &History<'a>, part: Insulation, stress: f64) -> Vec<Level<'a>> {
    let mut found = Vec::new();
    for judged in history.of_this_winding() {
        if part == Insulation::TurnToTurn {
            let inception = judged.figures_of(Quantity::SurgeInceptionVoltage);
            let lowest = inception.min_by(|a, b| a.value().total_cmp(&b.value()));
            if let Some(bound) = lowest.and_then(|figure| figure.bound()) {
                found.extend(lowest.map(|figure| Level { judged, crest_v: figure.value(), bound }));
                continue;
            }
        }
        let is_sure = |applied: &&Applied<'_>| {
            judged.test.kind != "surge" || applied.broke_down || judged.test.withstood != Some(false)
        };
        let trials = judged.applied.iter().filter(is_sure).flat_map(|applied| trials_of(judged, applied));
        let of_part: Vec<(f64, Fate)> =
            trials.filter(|(other, _)| *other == part).map(|(_, trial)| (trial.crest_v(), trial.fate)).collect();
        let lowest = |fate: Fate| {
            let of_fate = of_part.iter().filter(|(_, other)| *other == fate).map(|(volts, _)| *volts);
            of_fate.min_by(f64::total_cmp)
        };
        // A failure says more than what other circuits of the same test carried; of those the lowest speaks for the winding.
        match (lowest(Fate::Failed), lowest(Fate::Carried)) {
            (Some(crest_v), _) => found.push(Level { judged, crest_v, bound: Bound::AtMost }),
            (None, Some(crest_v)) if crest_v >= TELLING * stress => {
                found.push(Level { judged, crest_v, bound: Bound::AtLeast });
            }
            _ => {}
        }
    }
    found
}

fn reading(level: &Level<'_>) -> Option<Reading> {
    let (t, _) = resistance::time(level.judged)?;
    Some(Reading { t, y: level.crest_v, bound: level.bound })
}

fn statement(levels: &[Level<'_>], stress: f64, part: Insulation, is_below: bool) -> Option<String> {
    let told = |level: &Level<'_>| {
        let year =
            level.judged.test.performed_on.map_or_else(|| "an unknown year".to_owned(), |on| on.year().to_string());
        let sign = match level.bound {
            Bound::Exact => "",
            Bound::AtLeast => "more than ",
            Bound::AtMost => "less than ",
        };
        format!("{sign}{:.1} kV in {year}", level.crest_v / 1e3)
    };
    let (first, last) = (levels.first()?, levels.last()?);
    let name = part.code().replace('_', "-");
    let history = if levels.len() > 1 { format!("{}, {}", told(first), told(last)) } else { told(last) };
    let held = format!("what service puts on it is {:.1} kV crest", stress / 1e3);
    Some(if is_below {
        format!("the {name} insulation no longer carries its stress in service: {history}; {held}")
    } else {
        format!("the {name} insulation still carries more than service asks, but its strength falls: {history}; {held}")
    })
}

/// The three things that a forecast may say.
pub(crate) fn outlook(found: &Forecast, chance: f64, next: Date) -> String {
    let middle = match found.middle() {
        Some(years) => format!("as likely as not it is met within {years:.1} years"),
        None if !found.is_fall() => "the tests cannot tell a fall from scatter, so that there is no date".to_owned(),
        None => format!("the tests tell no date within {:.0} years", found.horizon),
    };
    let early = match found.not_before() {
        years if years < 0.1 => "may have been met already".to_owned(),
        years => format!("with a chance of {:.0} % not before {years:.1} years", 100.0 * (1.0 - found.early)),
    };
    format!("{middle}, {early}, and with a chance of {:.0} % before the next planned test ({next})", 100.0 * chance)
}

/// A finding with the dates of a forecast; an end beyond the horizon stays open.
pub(crate) fn dated(row: Finding, last: Date, forecast: Option<&Forecast>) -> Finding {
    let Some(found) = forecast else { return row };
    let on = |years: Option<f64>| years.and_then(|years| context::after(last, years));
    Finding {
        forecast_date: on(found.middle()),
        forecast_from: on(Some(found.not_before())),
        forecast_to: on(found.not_after()),
        ..row
    }
}
