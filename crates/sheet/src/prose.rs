//! Readings that stand in sentences: letters, shift books, telexes, remarks.
//!
//! A grid's texts are put together to running text (`lines`), cut into pieces (`piece`) and sentences (`sentence`). A reading is
//! taken only when its value and unit stand together in a clause of which every word is understood, the unit is one of insulation, one
//! machine (`name`) and one date are in force, and the sentence speaks of no limit, plan, comparison, or other thing. What is left is
//! read as any other text, and so stays unread where nobody else understands it.

mod cut;
mod days;
mod force;
mod known;
mod lines;
mod name;
mod number;
mod piece;
mod sentence;
mod terminals;
#[cfg(test)]
mod tests;
mod values;

use crate::cut::{Cut, Table};
use crate::view::{Item, Orientation, View};
use std::collections::BTreeSet;
use windrow_model::Circuit;
use windrow_text::date::DateMeaning;
use windrow_text::measure::Part;

/// Something told, with the cell that told it.
pub(crate) type By<T> = (T, Item);

/// A reading as a sentence tells it.
#[derive(Debug, Clone)]
pub struct Spoken {
    /// Cell of the value.
    pub item: Item,
    /// Number, bound and unit.
    pub part: Part,
    /// Name of the machine as written.
    pub machine: By<String>,
    /// Ways to read the date.
    pub dates: By<Vec<DateMeaning>>,
    /// Between which terminals.
    pub circuit: Option<By<Circuit>>,
    /// Time since voltage was applied, s.
    pub elapsed: Option<By<f64>>,
    /// Voltage, V.
    pub volts: Option<By<f64>>,
    /// Temperature of the winding, °C.
    pub winding: Option<By<f64>>,
    /// A temperature of which it is not told whose it is, °C.
    pub some_celsius: Option<By<f64>>,
    /// Temperature of the air, °C.
    pub ambient: Option<By<f64>>,
    /// Whether whoever wrote it was not sure of the figure.
    pub is_doubtful: bool,
    /// Cells of the sentence.
    pub cells: Vec<Item>,
}

/// The readings of one entry, which are a block of the sheet.
#[derive(Debug, Clone, Default)]
pub struct Passage {
    /// The readings, in order.
    pub readings: Vec<Spoken>,
}

impl Passage {
    /// First and last row of its values.
    #[must_use]
    pub fn rows(&self) -> (u32, u32) {
        let rows = self.readings.iter().map(|reading| reading.item.row);
        (rows.clone().min().unwrap_or(0), rows.max().unwrap_or(0))
    }

    /// First and last column of its values.
    #[must_use]
    pub fn columns(&self) -> (u32, u32) {
        let columns = self.readings.iter().map(|reading| reading.item.column);
        (columns.clone().min().unwrap_or(0), columns.max().unwrap_or(0))
    }
}

/// Most lines of a sheet that are read as running text.
const MOST_LINES: usize = 2_000;

/// Takes the lines that tell readings in sentences out of a cut: out of what is loose, and out of tables of which every line is one
/// (then the supposed header is a sentence, too).
#[must_use]
pub fn take(view: &View<'_>, mut cut: Cut) -> (Cut, Vec<Passage>) {
    if view.orientation != Orientation::Upright || view.line_count() > MOST_LINES {
        return (cut, Vec::new());
    }
    let Some(text) = lines::text(view, &cut) else { return (cut, Vec::new()) };
    let mut passages = force::passages(&text);
    let told: BTreeSet<u32> =
        passages.iter().flat_map(|passage| &passage.readings).map(|reading| reading.item.row).collect();
    let (dissolved, kept): (Vec<Table>, Vec<Table>) = cut.tables.into_iter().partition(|table| is_told(table, &told));
    cut.tables = kept;
    for table in dissolved {
        cut.loose.extend(items_of(&table));
    }
    cut.loose.sort_unstable_by_key(|item| (item.row, item.column));
    cut.loose.dedup_by_key(|item| item.cell);
    let free: BTreeSet<u32> = cut.loose.iter().map(|item| item.cell).collect();
    for passage in &mut passages {
        passage.readings.retain(|reading| {
            reading.cells.iter().all(|item| free.contains(&item.cell) && !lines::is_measured_pair(view, item))
        });
    }
    passages.retain(|passage| !passage.readings.is_empty());
    let spoken: BTreeSet<u32> = passages
        .iter()
        .flat_map(|passage| &passage.readings)
        .flat_map(|reading| &reading.cells)
        .map(|item| item.cell)
        .collect();
    cut.loose.retain(|item| !spoken.contains(&item.cell));
    (cut, passages)
}

/// Whether the supposed header tells readings: then it is a line as the others are.
fn is_told(table: &Table, told: &BTreeSet<u32>) -> bool {
    let mut header = table.header.iter().flatten().map(|item| item.row).peekable();
    header.peek().is_some() && header.all(|row| told.contains(&row))
}

fn items_of(table: &Table) -> Vec<Item> {
    let body = table.body.iter().flat_map(|line| line.items.iter().copied());
    table.header.iter().flatten().copied().chain(table.repeats.iter().copied()).chain(body).collect()
}
