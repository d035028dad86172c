//! What is asked where the page does not bear a reading out.

use super::names::Rival;
use crate::hold::Hold;
use crate::reader::Reader;
use crate::view::Item;
use windrow_model::{Circuit, Disposition, Quantity, Question, Unit};

/// What speaks against a reading as a whole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Doubt {
    /// Only one or two pairs of phases are named on the sheet; it was read as this one.
    LonePair(Circuit),
    /// This cell tells another day, and nothing says whose it is.
    OtherDay(u32),
    /// This cell in its line asks which of two it is.
    Questioned(u32),
    /// The comment on this cell tells another number as the right one.
    Rectified(u32),
    /// Another unit stands nearer than the first.
    OtherUnit(Unit, Unit),
    /// The line names other terminals than the title that was followed.
    OtherCircuit(Circuit),
    /// An unbalance without resistances of conductors beside it.
    NoConductor,
    /// A cell that begins the line of the reading looks like the name of another machine than the title's.
    OtherMachine(u32),
    /// A label or title that stands nearer names another quantity than this.
    OtherQuantity(Rival, Quantity),
}

impl Reader<'_, '_, '_> {
    pub(super) fn ask_about(&mut self, item: &Item, doubt: Doubt) {
        let (question, cause, choices, context) = match doubt {
            Doubt::LonePair(pair) => (
                Question::Circuit,
                format!("lone pair {}, column {}", pair.code(), item.column),
                [pair, Circuit::UToEarth, Circuit::VToEarth, Circuit::WToEarth].map(|one| one.code().to_owned()).into(),
                "a pair of phases seems to be named, but the sheet names no others: they come in threes".to_owned(),
            ),
            Doubt::OtherDay(cell) => {
                let text = self.view.grid.cells.get(cell as usize).map(|cell| cell.text.clone()).unwrap_or_default();
                (
                    Question::Date,
                    format!("other day {cell}"),
                    Vec::new(),
                    format!("a title tells one day, and {text:?} another one: which is that of the test is not told"),
                )
            }
            Doubt::OtherMachine(cell) => {
                let text = self.view.grid.cells.get(cell as usize).map(|cell| cell.text.clone()).unwrap_or_default();
                (
                    Question::Machine,
                    format!("other machine {cell}"),
                    vec![text.trim().to_owned()],
                    format!("a title names the machine, but {text:?} begins the line of the value: whose it is, is not told"),
                )
            }
            Doubt::Questioned(cell) => {
                let text = self.view.grid.cells.get(cell as usize).map(|cell| cell.text.clone()).unwrap_or_default();
                (
                    Question::IllegibleValue,
                    format!("asked in cell {cell}"),
                    Vec::new(),
                    format!("{:?} beside it asks which of two it is", text.trim()),
                )
            }
            Doubt::Rectified(cell) => {
                let cells = &self.view.grid.cells;
                let note = cells.get(cell as usize).and_then(|cell| cell.note.clone()).unwrap_or_default();
                (
                    Question::IllegibleValue,
                    format!("comment on cell {cell}"),
                    Vec::new(),
                    format!("its comment says that it is not right: {:?}", note.trim()),
                )
            }
            Doubt::OtherCircuit(circuit) => (
                Question::Circuit,
                format!("circuit of the line or of the title, column {}", item.column),
                vec![circuit.code().to_owned()],
                "a title names terminals, and the line of the value seems to name others".to_owned(),
            ),
            Doubt::NoConductor => (
                Question::Quantity,
                format!("deviation beside surges, column {}", item.column),
                vec![Quantity::SurgeDifference.code().to_owned(), Quantity::Unbalance.code().to_owned()],
                "a deviation that no resistance of the windings stands beside: of the waves of a surge test, or of the resistances?".to_owned(),
            ),
            Doubt::OtherQuantity(rival, told) => (
                Question::Quantity,
                format!("{} or {}, column {}", rival.quantity.code(), told.code(), item.column),
                vec![rival.quantity.code().to_owned(), told.code().to_owned()],
                format!(
                    "it would be a {}, but {:?} stands nearer and names another quantity",
                    told.code(),
                    self.view.cell(&rival.item).text.trim()
                ),
            ),
            Doubt::OtherUnit(nearer, told) => (
                Question::UnitConflict,
                format!("unit {} or {}, column {}", nearer.symbol, told.symbol, item.column),
                vec![nearer.symbol.to_owned(), told.symbol.to_owned()],
                format!("it would be in {}, but a text that stands nearer names {}", told.symbol, nearer.symbol),
            ),
        };
        self.mark(item, Disposition::Held, Some(&context));
        self.holds.ask(cause, item.cell, || Hold { question, choices, context, cells: Vec::new() });
    }
}
