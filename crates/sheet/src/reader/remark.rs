//! What remarks and notes tell of the readings beside them: the winding's temperature, another test voltage.

use super::Reader;
use super::elapsed::Time;
use super::line::Line;
use crate::view::Item;
use windrow_model::Quantity;
use windrow_model::raw::{Told, Via};
use windrow_text::measure::Condition;
use windrow_text::remark;

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
