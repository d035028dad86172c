//! "BP-1 | 2014-04-09 | Tw 23 °C" over "kV | s | µA | MΩ": the top line of a header tells of which machine and day all columns are, and
//! heads none of them.

use super::Column;
use crate::cut::Table;
use crate::heading::By;
use crate::sense::Kind;
use crate::view::{Item, View};
use windrow_model::Dimension;
use windrow_text::header;
use windrow_text::measure;
use windrow_text::vocabulary::Concept;

/// What a line over a header tells of all its columns.
#[derive(Debug, Clone)]
pub(super) struct Told {
    machine: By<String>,
    date: Item,
    winding_c: Option<By<f64>>,
}

/// Reads the top line of a header, if it names one machine and one day, at most a temperature with them, and other headings stand below.
pub(super) fn read(view: &View<'_>, table: &Table) -> Option<Told> {
    let [top, .., lowest] = table.header.as_slice() else { return None };
    let (mut machine, mut date, mut winding_c) = (None, None, None);
    for item in top {
        let (cell, sense) = (view.cell(item), view.sense(item));
        let is_again = if sense.kind == Kind::Date {
            date.replace(*item).is_some()
        } else if let Some(value) = winding_temperature(&cell.text) {
            winding_c.replace(By { value, item: *item }).is_some()
        } else if sense.tag >= 0.5 && !sense.is_pure_label() {
            machine.replace(By { value: cell.text.trim().to_owned(), item: *item }).is_some()
        } else {
            return None;
        };
        let stands_alone = item.right == item.column && lowest.iter().any(|below| below.column == item.column);
        if is_again || !stands_alone {
            return None;
        }
    }
    let is_headed_below = lowest.len() > top.len() || lowest.len() == top.len() && lowest.len() >= 3;
    Some(Told { machine: machine?, date: date?, winding_c }).filter(|_| is_headed_below)
}

/// "Tw 23 °C": a word for the winding's temperature and nothing but its value behind it.
fn winding_temperature(text: &str) -> Option<f64> {
    let at = text.find(|c: char| c.is_ascii_digit())?;
    let (label, value) = text.split_at(at);
    let is_winding =
        header::read(label.trim_end_matches([' ', ':', '='])).concept() == Some(Concept::WindingTemperature);
    let (part, length) = measure::begin(value).filter(|_| is_winding)?;
    let in_celsius = part.units.first().filter(|best| best.unit.dimension == Dimension::Temperature)?;
    let is_alone = value.get(length..)?.trim().is_empty();
    is_alone.then(|| part.numbers.first().map(|number| in_celsius.unit.to_stored(number.value)))?
}

/// Gives all columns what the line tells.
pub(super) fn settle(told: &Told, columns: &mut [Column]) {
    for column in columns {
        column.heading.tag = Some(told.machine.clone());
        column.heading.date = Some(told.date);
        column.heading.winding_c.clone_from(&told.winding_c);
    }
}
