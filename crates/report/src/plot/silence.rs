//! What stands where nothing can be drawn: what is missing, and what would bring it.

use super::HISTORIES;
use crate::format::Units;
use crate::{Fleet, Machine, format};
use std::collections::BTreeSet;
use windrow_model::{Bound, Test, TestSummary};
use windrow_statistics::forecast::FEWEST;

/// Why no history is drawn.
pub(super) fn of_histories(machine: &Machine<'_>, fleet: &Fleet<'_>) -> String {
    let kept = machine.tests.iter().filter(|test| test.duplicate_of.is_none());
    let tests: Vec<&Test> = kept.copied().collect();
    if tests.is_empty() {
        return "No test of this machine is in these records: they tell its name or nameplate only. Its histories stand here once records of \
                its tests are imported."
            .to_owned();
    }
    let of_tests =
        if tests.len() == 1 { "its one test tells".to_owned() } else { format!("its {} tests tell", tests.len()) };
    let quantities: BTreeSet<&str> =
        tests.iter().flat_map(|test| fleet.readings(&test.test_id)).map(|reading| reading.quantity.as_str()).collect();
    let is_drawn = |quantity: &str| HISTORIES.iter().any(|history| history.quantity == quantity);
    if quantities.iter().any(|quantity| is_drawn(quantity)) {
        return format!(
            "Nothing can stand over the years: {of_tests} no date that can be read for sure. Answers to the questions about dates, under \
             Intake, bring the histories."
        );
    }
    let named = |codes: Vec<&str>| codes.into_iter().map(format::words).collect::<Vec<_>>().join(", ");
    let told = if quantities.is_empty() {
        "no readings".to_owned()
    } else {
        format!("only {}", named(quantities.into_iter().collect()))
    };
    let drawn = named(HISTORIES.iter().map(|history| history.quantity).collect());
    format!("Histories are drawn of {drawn}; {of_tests} {told}. Records of the others bring them.")
}

/// Why no day is foretold at which insulation resistance meets its minimum.
pub(super) fn of_outlook(machine: &Machine<'_>, units: Units) -> String {
    let kept =
        machine.summaries.iter().filter(|summary| summary.duplicate_of.is_none() && summary.performed_on.is_some());
    let told: Vec<_> = kept.filter_map(|summary| Some((summary, summary.ir_1min_40c_ohm?))).collect();
    let why = match told.last() {
        _ if told.len() < FEWEST => {
            let open = machine.summaries.iter().filter(|summary| is_open(summary)).count();
            let open = if open == 0 {
                String::new()
            } else {
                format!("; {open} more cannot be corrected for sure, for the insulation system is not told")
            };
            let at = format::temperature(40.0, units);
            format!("it takes {FEWEST} dated values at {at}, and the records tell {}{open}", told.len())
        }
        Some((newest, value)) => match newest.ir_minimum_ohm {
            None => "without a rated voltage no minimum is known that could be met".to_owned(),
            Some(minimum) if *value < minimum && newest.ir_bound.as_deref() != Some(Bound::AtLeast.code()) => {
                "the newest value is below its minimum already".to_owned()
            }
            Some(_) => "none is made unless a finding asks for one, and told only where the minimum may be met before the next planned test or \
                        within ten years"
                .to_owned(),
        },
        None => return String::new(),
    };
    format!("No forecast: {why}.")
}

/// Whether a test has two corrected values, for the records leave open which law corrects it.
fn is_open(summary: &TestSummary) -> bool {
    let is_kept = summary.duplicate_of.is_none() && summary.performed_on.is_some();
    is_kept && summary.ir_1min_40c_ohm.is_none() && summary.ir_1min_40c_low_ohm.is_some()
}
