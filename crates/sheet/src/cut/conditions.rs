//! Lines of print-outs that stand over a header and head nothing: how a test was made, and the first line of the form above it.

use super::header::Cutter;
use crate::line;
use crate::told;
use crate::view::Item;
use windrow_text::circuit::Named;
use windrow_text::prose;
use windrow_text::vocabulary::Concept;

/// Lines below the first one of a form that are searched for its keys.
const FORM_LINES: u32 = 3;

/// Lines above a header that are searched for the first line of its form.
const ABOVE: u32 = 12;

/// What a cell may tell of how a test was made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Condition {
    Warmth(prose::Place),
    Humidity,
    Voltage,
    Circuit,
}

impl Cutter<'_, '_> {
    /// "500 V | U V W / earth | T.amb 24 C" right over "s | MΩ": each cell tells another circumstance with its value, one of them of the air
    /// or the winding's warmth, and the line below is a header by itself.
    pub(super) fn is_line_of_conditions(&self, at: usize, segment: &[Item]) -> bool {
        let next = at + 1;
        if segment.len() < 2 || self.view.row(next) > self.view.row(at) + 1 {
            return false;
        }
        let told: Option<Vec<Condition>> = segment.iter().map(|item| self.condition(item)).collect();
        let Some(told) = told else { return false };
        let is_of_air = |told: &Condition| matches!(told, Condition::Warmth(_) | Condition::Humidity);
        let are_apart = told.iter().enumerate().all(|(at, own)| !told.iter().skip(at + 1).any(|other| other == own));
        told.iter().any(is_of_air) && are_apart && line::is_header(self.view, &self.free(next, 0, u32::MAX))
    }

    /// Whether such a line stands right below: what is above it is of the form as well.
    pub(super) fn stands_over_conditions(&self, at: usize) -> bool {
        let next = at + 1;
        let is_near = next < self.view.line_count() && self.view.row(next) == self.view.row(at) + 1;
        is_near && self.is_line_of_conditions(next, &self.free(next, 0, u32::MAX))
    }

    /// The one circumstance that a narrow cell tells with its value.
    fn condition(&self, item: &Item) -> Option<Condition> {
        let (text, sense) = (self.view.cell(item).text.trim(), self.view.sense(item));
        if item.right > item.column {
            return None;
        }
        if let [(place, _)] = prose::temperatures(text).as_slice() {
            return Some(Condition::Warmth(*place));
        }
        if prose::humidity(text).is_some() {
            return Some(Condition::Humidity);
        }
        let label = &sense.label;
        let names_measured = label.concepts.iter().any(|(concept, _)| crate::fit::quantity(*concept).is_some());
        if names_measured || !label.unexplained.is_empty() || label.elapsed_s.is_some() {
            return None;
        }
        let circuits = if sense.circuits.is_empty() { &label.circuits } else { &sense.circuits };
        match label.voltage_v {
            Some(_) if circuits.is_empty() => Some(Condition::Voltage),
            Some(_) => None,
            None => {
                let names_all = |named: Named| matches!(named, Named::All | Named::ToEarth | Named::PhaseToEarth(_));
                let is_told = circuits.iter().any(|meaning| meaning.weight >= 0.5 && names_all(meaning.named));
                is_told.then_some(Condition::Circuit)
            }
        }
    }

    /// "Test 43 | insulation over time" or "Machine | hoist motor, left" over "Date | 23 May 1994" and "Tag | HM-2": the first line of a form.
    pub(super) fn begins_form(&self, at: usize, segment: &[Item]) -> bool {
        let [label, value] = segment else { return false };
        let (sense, text) = (self.view.sense(label), self.view.cell(label).text.as_str());
        let is_numbered = sense.concept() == Some(Concept::TestKind) && text.contains(|c: char| c.is_ascii_digit());
        let told = &self.view.sense(value).label;
        let names_machine = matches!(sense.concept(), Some(Concept::Tag | Concept::Description));
        let is_named = names_machine && self.view.sense(value).words >= 2 && !told.unexplained.is_empty();
        let is_key = |below: u32| {
            let line = self.view.line_at(label.row + below);
            let items = self.free(line, label.column, u32::MAX);
            let own = items.first().filter(|own| own.row == label.row + below && own.column == label.column);
            own.is_some_and(|own| {
                let is_pair = items.len() == 2 && line::is_pair_row(self.view, &items);
                line::is_key_label(self.view, own) && is_pair
                    || told::code_behind_label(&self.view.cell(own).text).is_some()
            })
        };
        self.view.row(at) == label.row && (is_numbered || is_named) && (1..=FORM_LINES).any(is_key)
    }

    /// "Motor | P-2" behind a blank line, where the form above began with "Motor | P-1": the same label of machines in the same column, above the
    /// header as well, begins the next form.
    pub(super) fn begins_next_form(&self, items: &[Item], header: &[Vec<Item>]) -> bool {
        let [label, value, ..] = items else { return false };
        let Some(top) = header.first().and_then(|line| line.first()).map(|item| item.row) else { return false };
        let text = |item: &Item| self.view.cell(item).text.trim();
        let is_above = |row: u32| {
            let line = self.view.line(self.view.line_at(row));
            let own = line.iter().find(|own| own.row == row && own.column == label.column);
            own.is_some_and(|own| text(own) == text(label) && line.iter().any(|next| next.column == value.column))
        };
        line::is_key_label(self.view, label)
            && value.column == label.right + 1
            && text(value) != text(label)
            && (top.saturating_sub(ABOVE)..top).any(is_above)
    }

    /// Cells of a line that may go on with a table: units and limits beside its values say nothing for or against it.
    pub(super) fn goes_beside_values(&self, item: &Item) -> bool {
        let sense = self.view.sense(item);
        line::names_unit(sense) || sense.statistic().is_some() || sense.concept() == Some(Concept::Limit)
    }
}
