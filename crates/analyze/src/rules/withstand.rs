//! # What it finds
//! A newest withstand or surge test that the source says broke down.
//! # How it is judged
//! `act`; a surge comparison `plan`, since a rotor's position or unequal coils make phases differ without a fault (common practice, no
//! source).
//! # References
//! The source's own words.

use crate::finding::{self, Found};
use crate::judge::Judged;
use crate::series::History;
use windrow_criteria::cautions;
use windrow_model::{Finding, Step};

pub(crate) fn find(history: &History<'_>) -> Option<Finding> {
    let (newest, withstood) = history.newest(|judged| judged.test.withstood)?;
    if withstood {
        return None;
    }
    let kind = newest.test.kind.replace('_', " ");
    let found = Found {
        rule: "broke_down",
        level: if newest.test.kind == "surge" { "plan" } else { "act" },
        statement: if newest.test.kind == "surge" {
            format!(
                "{}: the record says that the winding failed its surge test: its phases do not match, or it broke down.",
                history.tag
            )
        } else {
            format!("{}: the record says that the winding broke down in its {kind} test.", history.tag)
        },
        value: newest.test.max_voltage_v,
        limit: None,
        unit: "V",
        basis: "the outcome as the source states it".to_owned(),
        cautions: cautions::HIGH_VOLTAGE,
        next_test: if newest.test.kind == "surge" {
            "surge comparison of all pairs with the rotor turned and at rest, winding resistance, insulation resistance"
        } else {
            "none before repair; locate the fault first"
        },
    };
    Some(Finding { working: working(newest), ..finding::row(history, newest, found) })
}

/// What the record says of each circuit, or of the whole test.
fn working(newest: &Judged<'_>) -> Vec<Step> {
    let told: Vec<Step> = newest
        .readings()
        .filter_map(|reading| {
            let outcome = reading.outcome()?.replace('_', " ");
            let circuit = reading.circuit().unwrap_or("a circuit that is not told");
            let volts = reading.applied_voltage_v().map(|volts| format!(" at {volts:.0} V")).unwrap_or_default();
            Some(Step::new("data", format!("{circuit}{volts}: {outcome} ({})", reading.place())))
        })
        .collect();
    let whole = Step::new("data", "the source's own verdict on the test; no circuit has an outcome of its own");
    let rule = Step::new("rule", "a circuit that broke down or was stopped outweighs all that withstood");
    if told.is_empty() { vec![whole] } else { told.into_iter().chain([rule]).collect() }
}
