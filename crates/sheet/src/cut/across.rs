//! Lines that tell a circumstance of each date or machine across the columns: "Test voltage", "Tester" or "Remarks" below a line of
//! dates.

use super::BodyLine;
use super::header::Cutter;
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

/// Most lines across between two lines of a header.
const MOST: usize = 4;

/// Lines across that stand between the lines of a header, the last of these, and the line behind it.
pub(super) struct Within {
    pub(super) lines: Vec<BodyLine>,
    pub(super) header: Vec<Item>,
    pub(super) next: usize,
}

impl Cutter<'_, '_> {
    /// "Date | 2008 | 2011" and "Winding °C | 23 | 29" over "Minutes | MΩ | MΩ": the circumstances of each column stand between its date and
    /// its unit.
    pub(super) fn across_within(&self, from: usize, header: &[Vec<Item>], (left, limit): (u32, u32)) -> Option<Within> {
        let view = self.view;
        let (mut lines, mut at) = (Vec::new(), from);
        while at < view.line_count() && lines.len() <= MOST && view.row(at) == view.row(at.checked_sub(1)?) + 1 {
            let items = self.free(at, left, limit);
            if !is_across(view, &items, header) {
                break;
            }
            lines.push(BodyLine { row: view.row(at), items, is_statistic: false, is_across: true });
            at += 1;
        }
        let first = lines.first()?.items.first()?.column;
        let items = self.free(at, left, limit);
        let (label, units) = items.split_first()?;
        let is_time = view.sense(label).is_pure_label() && tells_time(view, label);
        let keys: Vec<&Item> = header.iter().flatten().filter(|head| line::is_key(view, head)).collect();
        let is_unit = |item: &Item| view.sense(item).is_unit_only() && keys.iter().any(|key| key.column == item.column);
        let heads = label.column == first && is_time && units.len() >= 2 && units.iter().all(is_unit);
        let is_next = at < view.line_count() && view.row(at) == view.row(at.checked_sub(1)?) + 1;
        (heads && is_next).then_some(Within { lines, header: items, next: at + 1 })
    }

    /// Puts lines across that stand within the header before the body of the table that was just read.
    pub(super) fn put_across(&mut self, lines: Vec<BodyLine>) {
        for line in &lines {
            self.claim(&line.items);
        }
        if let Some(table) = self.tables.last_mut() {
            table.body.splice(0..0, lines);
        }
    }
}

/// Whether a label heads times: by its name or by its unit.
fn tells_time(view: &View<'_>, label: &Item) -> bool {
    let sense = view.sense(label);
    let mut units = sense.label.units.iter();
    sense.concept() == Some(Concept::Elapsed)
        || sense.label.unexplained.is_empty()
            && units.any(|meaning| meaning.weight >= 0.5 && meaning.unit.dimension == windrow_model::Dimension::Time)
}
