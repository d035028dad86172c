//! Megohms as gigohms.

use super::book::{Base, Changed};
use std::collections::BTreeSet;
use windrow_model::raw::{RawReading, Via};
use windrow_model::{Quantity, ToText};
use windrow_source::{Cell, Content, Grid};

/// Spellings of the megohm that can be told from anything else, longest first.
const MEGOHM: [&str; 12] = [
    "MEGOHMS",
    "Megohms",
    "megohms",
    "Mégohms",
    "mégohms",
    "Megohm",
    "megohm",
    "Mohms",
    "Mohm",
    "MOhm",
    "M\u{2126}",
    "M\u{3a9}",
];

/// Insulation resistance in gigohms, the numbers a thousandth. Only sheets that say megohms of all such readings in so many words.
pub(super) fn gigohms(base: &Base) -> Option<Changed> {
    let mut book = base.book.clone();
    let mut any = false;
    for grid in &mut book.sheets {
        if let Some(changed) = sheet(base, grid) {
            *grid = changed;
            any = true;
        }
    }
    any.then(|| Changed::book(book))
}

fn sheet(base: &Base, grid: &Grid) -> Option<Grid> {
    let of_sheet = |reading: &&RawReading| reading.place.sheet.as_deref() == grid.name.as_deref();
    let readings: Vec<&RawReading> =
        base.understood.tests.iter().flat_map(|test| &test.readings).filter(of_sheet).collect();
    let resistance = |reading: &&&RawReading| reading.quantity.value == Quantity::InsulationResistance;
    let places: BTreeSet<&str> =
        readings.iter().filter(resistance).map(|reading| reading.place.cell.as_str()).collect();
    let told = |reading: &&RawReading| {
        (reading.unit.value.factor - 1e6).abs() < 1.0
            && renamed(&reading.unit.text) != reading.unit.text
            && !matches!(reading.unit.via, Via::Assumed | Via::Settings | Via::SheetName | Via::File | Via::Folder)
    };
    if places.is_empty() || !readings.iter().filter(resistance).all(told) {
        return None;
    }
    let mut changed = grid.clone();
    for cell in &mut changed.cells {
        cell.text = renamed(&cell.text).into();
        cell.format = cell.format.as_deref().map(|format| renamed(format).into());
        if places.contains(cell.place().as_str()) {
            *cell = smaller(cell)?;
        }
    }
    (changed != *grid).then_some(changed)
}

fn renamed(text: &str) -> String {
    let mut text = text.to_owned();
    for word in MEGOHM {
        text = text.replace(word, "GΩ");
    }
    text
}

/// The cell with a thousandth of its only number; `None` where that is not sure.
fn smaller(cell: &Cell) -> Option<Cell> {
    if let Content::Number(number) = cell.content {
        let number = number / 1000.0;
        return Some(Cell { content: Content::Number(number), text: number.to_smolstr(), ..cell.clone() });
    }
    let Some(start) = cell.text.find(|letter: char| letter.is_ascii_digit()) else { return Some(cell.clone()) };
    let (before, rest) = cell.text.split_at_checked(start)?;
    let end = rest.find(|letter: char| !letter.is_ascii_digit() && !".,".contains(letter)).unwrap_or(rest.len());
    let (number, after) = rest.split_at_checked(end)?;
    if after.contains(|letter: char| letter.is_ascii_digit()) {
        return None;
    }
    let comma = number.contains(',');
    let digits = number.rsplit(['.', ',']).next().map_or(0, str::len);
    // Three digits behind the only mark may be thousands.
    if comma && digits == 3 {
        return None;
    }
    let value: f64 = number.replace(',', ".").parse().ok()?;
    let text = (value / 1000.0).to_string();
    let text = if comma { text.replace('.', ",") } else { text };
    Some(Cell { text: format!("{before}{text}{after}").into(), ..cell.clone() })
}
