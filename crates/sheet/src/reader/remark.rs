//! What remarks and notes tell of the readings beside them: the winding's temperature, another test voltage.

use super::Reader;
use super::elapsed::Time;
use super::line::Line;
use crate::column::Role;
use crate::context::ReadTable;
use crate::cut::BodyLine;
use crate::heading::By;
use crate::view::Item;
use windrow_model::Quantity;
use windrow_model::raw::{Told, Via};
use windrow_text::measure::Condition;
use windrow_text::remark;
use windrow_text::vocabulary::Concept;

/// Fewest lines whose remarks name terminals.
const FEWEST_NAMED: usize = 3;

impl Reader<'_, '_, '_> {
    /// Takes over what the remarks of a line tell, and the notes on the cells that tell its circumstances. What a column of its own
    /// tells of the line stays.
    pub(super) fn apply_remarks(&self, told_here: &[Item], line: &mut Line) {
        let place = |item: &Item| self.place(item);
        let mut texts: Vec<(String, Via, windrow_model::Place)> = Vec::new();
        for (concept, item) in &line.fields {
            if *concept == windrow_text::vocabulary::Concept::Remarks && told_here.contains(item) {
                texts.push((self.view.cell(item).text.to_string(), Via::Row, place(item)));
            }
        }
        for item in told_here {
            texts.extend(self.view.cell(item).note.clone().map(|note| (note, Via::Row, place(item))));
        }
        for (text, via, place) in texts.into_iter().filter(|(text, ..)| !remark::tells_resistance(text)) {
            for condition in remark::conditions(&text) {
                let told = |value: f64| Told::at(value, via, text.trim(), place.clone());
                match condition {
                    Condition::TemperatureC(celsius)
                        if line.winding.as_ref().is_none_or(|told| told.via != Via::Row) =>
                    {
                        line.winding = Some(told(celsius));
                    }
                    Condition::VoltageV(volts) if line.voltage.is_none() => line.voltage = Some(told(volts)),
                    Condition::ElapsedS(seconds) if line.elapsed.is_none() => {
                        line.elapsed = Some(Time::Known(told(seconds)));
                    }
                    _ => {}
                }
            }
        }
    }

    /// "Between U and V, winding 23 °C": the column of remarks, where those of three lines in four name terminals, and nothing else of the
    /// table does: they are those of the readings. A single "U à la masse" is what was found.
    pub(super) fn column_of_terminals(&self, read: &ReadTable) -> Option<u32> {
        let columns = |role: Role| read.columns.iter().filter(move |column| column.role == role);
        let readings = read.columns.iter().filter(|column| matches!(column.role, Role::Reading(_)));
        let is_named = read.columns.iter().any(|column| !column.heading.circuits.is_empty())
            || columns(Role::Field(Concept::Circuit)).next().is_some();
        let remarks = columns(Role::Field(Concept::Remarks)).next().filter(|_| readings.count() == 1 && !is_named)?;
        let names_terminals = |line: &&BodyLine| {
            let mut own = line.items.iter().filter(|item| item.column == remarks.column);
            own.any(|item| remark::terminals(&self.view.cell(item).text).is_some())
        };
        let lines = || read.table.body.iter().filter(|line| !line.is_statistic);
        let named = lines().filter(names_terminals).count();
        (named >= FEWEST_NAMED && named * 4 >= lines().count() * 3).then_some(remarks.column)
    }

    /// Takes over the terminals that the remark of a line names.
    pub(super) fn take_terminals(&self, told_here: &[Item], line: &mut Line) {
        let column = self.together.terminals.filter(|_| line.circuits.is_empty());
        let Some(item) = told_here.iter().find(|item| Some(item.column) == column) else { return };
        if let Some(value) = remark::terminals(&self.view.cell(item).text) {
            line.circuits.push(By { value, item: *item });
        }
    }

    /// Takes over what the remarks of a form tell.
    pub(super) fn apply_block_remarks(&self, line: &mut Line) {
        for remark in line.remarks.clone().into_iter().filter(|told| !remark::tells_resistance(&told.value)) {
            for condition in remark::conditions(&remark.value) {
                let told = |value: f64| Told {
                    value,
                    via: remark.via,
                    text: remark.text.clone(),
                    place: remark.place.clone(),
                };
                match condition {
                    Condition::TemperatureC(celsius) if line.winding.is_none() => line.winding = Some(told(celsius)),
                    Condition::VoltageV(volts) if self.block_voltage(Quantity::InsulationResistance).is_none() => {
                        line.voltage = Some(told(volts));
                    }
                    _ => {}
                }
            }
        }
    }
}
