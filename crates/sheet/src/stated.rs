//! Units that a sheet of notes states for the whole workbook: "Insulation in MΩ at 500 V, one minute".

use crate::fit;
use crate::loose;
use crate::view::Item;
use windrow_model::{Place, Quantity, Text};
use windrow_source::{Content, Grid, Workbook};
use windrow_text::vocabulary::Concept;

/// Most cells of a sheet of notes.
const MOST_CELLS: usize = 60;

/// A unit that is stated for a quantity.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stated {
    /// The quantity.
    pub quantity: Quantity,
    /// The unit, by its code of the Unified Code for Units of Measure.
    pub unit: &'static str,
    /// The sentence.
    pub text: Text,
    /// Where it stands.
    pub place: Place,
}

/// What sheets that hold nothing but sentences in one column state.
pub(crate) fn of_book(book: &Workbook) -> Vec<Stated> {
    let is_of_notes = |grid: &&Grid| {
        let first = grid.cells.first().map(|cell| cell.column);
        let is_sentence = |cell: &windrow_source::Cell| cell.content == Content::Text && Some(cell.column) == first;
        grid.cells.len() <= MOST_CELLS && grid.cells.iter().all(is_sentence)
    };
    if book.sheets.len() < 2 {
        return Vec::new();
    }
    book.sheets.iter().filter(is_of_notes).flat_map(of_sheet).collect()
}

fn of_sheet(grid: &Grid) -> Vec<Stated> {
    let told = grid.cells.iter().filter_map(|cell| {
        let nowhere = Item { row: 0, column: 0, cell: u32::MAX, sense: 0, right: 0, bottom: 0 };
        let caption = loose::caption(cell.text.trim(), &nowhere);
        let is_limit = caption.concepts.contains(&Concept::Limit) || caption.footnote.is_some();
        let mut named: Vec<Quantity> = caption.concepts.iter().filter_map(|concept| fit::quantity(*concept)).collect();
        named.dedup();
        let ([quantity], [(units, _)], false) = (named.as_slice(), caption.units.as_slice(), is_limit) else {
            return None;
        };
        let best = units.first().filter(|best| best.weight >= 0.9 && !best.colloquial)?;
        let place = Place::new(grid.name.as_deref(), cell.place());
        (best.unit.dimension == quantity.dimension()).then(|| Stated {
            quantity: *quantity,
            unit: best.unit.ucum,
            text: cell.text.clone(),
            place,
        })
    });
    told.collect()
}

/// The one unit that is stated for a quantity.
pub(crate) fn unit(stated: &[Stated], quantity: Quantity) -> Option<&Stated> {
    let mut told = stated.iter().filter(|told| told.quantity == quantity);
    let first = told.next()?;
    told.all(|other| other.unit == first.unit).then_some(first)
}
