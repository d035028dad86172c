//! Lines that tell a circumstance of each date or machine across the columns: "Test voltage", "Tester" or "Remarks" below a line of
//! dates.

use crate::fit::{fits, wants};
use crate::line;
use crate::view::{Item, View};
use windrow_text::vocabulary::Concept;

/// Circumstances that a column headed by a date or machine may tell of itself.
const fn is_told_across(concept: Concept) -> bool {
    matches!(
        concept,
        Concept::Date
            | Concept::TestVoltage
            | Concept::RateOfRise
            | Concept::WindingTemperature
            | Concept::Temperature
            | Concept::AmbientTemperature
            | Concept::Humidity
            | Concept::DewPoint
            | Concept::Stage
            | Concept::Result
            | Concept::Remarks
            | Concept::Tester
            | Concept::Instrument
            | Concept::WorkOrder
    )
}

/// Whether the line is the label of a circumstance and what it was under each of some dates or machines.
pub(super) fn is_across(view: &View<'_>, items: &[Item], header: &[Vec<Item>]) -> bool {
    let [label, values @ ..] = items else { return false };
    let keys: Vec<&Item> = header.iter().flatten().filter(|head| line::is_key(view, head)).collect();
    let sense = view.sense(label);
    let Some(concept) = sense.concept().filter(|concept| is_told_across(*concept)) else { return false };
    let is_label = sense.is_pure_label() && sense.label.statistic.is_none() && sense.label.circuits.is_empty();
    let is_under = |value: &Item| keys.iter().any(|key| key.column <= value.column && value.column <= key.right);
    // Below dates another date is that of something else.
    let is_dated = keys.iter().any(|key| view.sense(key).tag < 0.5);
    keys.len() >= 2
        && !(concept == Concept::Date && is_dated)
        && is_label
        && !values.is_empty()
        && keys.iter().all(|key| label.column < key.column)
        && values
            .iter()
            .all(|value| is_under(value) && fits(wants(concept), view.cell(value), view.sense(value)) >= 0.5)
}
