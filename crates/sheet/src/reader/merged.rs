//! A value in a cell over several lines: what only the first of them tells is not its own.

use super::Reader;
use super::line::Line;
use crate::view::Item;
use windrow_text::vocabulary::Concept;

impl Reader<'_, '_, '_> {
    /// The line's circumstances for a value whose cell reaches over further lines: without terminals, time, voltage and temperatures of
    /// cells that end before it does. `None` where the line holds for all of it.
    pub(super) fn of_merged(&self, item: &Item, line: &Line) -> Option<Line> {
        if item.bottom <= item.row {
            return None;
        }
        let ends_before = |other: &Item| other.cell != item.cell && other.bottom < item.bottom;
        let mut own = line.clone();
        own.circuits.retain(|by| !ends_before(&by.item));
        let mut is_partial = own.circuits.len() < line.circuits.len();
        for (concept, _) in line.fields.iter().filter(|(_, field)| ends_before(field)) {
            match concept {
                Concept::Elapsed => own.elapsed = None,
                Concept::TestVoltage => own.voltage = None,
                Concept::RateOfRise => own.rate = None,
                Concept::WindingTemperature | Concept::Temperature => {
                    (own.winding, own.some_temperature) = (None, None);
                }
                Concept::AmbientTemperature => own.ambient = None,
                Concept::Humidity => own.humidity = None,
                Concept::DewPoint => own.dew_point = None,
                _ => continue,
            }
            is_partial = true;
        }
        is_partial.then_some(own)
    }
}
