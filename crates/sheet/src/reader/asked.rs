//! Columns of which only a person can tell what they are: their cells wait for an answer, and are read by it.

use super::Reader;
use super::line::{Above, Line};
use crate::column::{Column, Role};
use crate::context::ReadTable;
use crate::cut::BodyLine;
use crate::hold::Hold;
use crate::ruling::Ruling;
use crate::sense::Kind;
use crate::value::Marks;
use crate::view::Item;
use windrow_model::{Disposition, Question};
use windrow_text::vocabulary::Concept;

impl Reader<'_, '_, '_> {
    /// The voltage that a person ruled for a line whose column may as well tell the machine's rating. A title's is none of it.
    pub(super) fn apply_asked(&self, read: &ReadTable, body: &BodyLine, line: &mut Line) {
        let asked = read.columns.iter().filter(|column| column.role == Role::Asked(Question::Voltage));
        for column in asked {
            let Some(item) = body.items.iter().find(|item| item.column == column.column) else { continue };
            line.fields.push((Concept::TestVoltage, *item));
            let pick = |ruling: &Ruling| if let Ruling::VoltageV(volts) = ruling { Some(*volts) } else { None };
            line.voltage = self.ruled(item, Question::Voltage, pick).or(line.voltage.take());
        }
    }

    /// Reads a cell of such a column by what a person ruled of it, or asks.
    pub(super) fn read_asked(
        &mut self,
        (item, question): (&Item, Question),
        column: &Column,
        line: &Line,
        marks: Marks,
        dittos: &mut Above,
    ) {
        if self.is_ruled_out(item) {
            return;
        }
        if self.view.sense(item).kind == Kind::Void {
            self.mark(item, Disposition::Label, Some("says that nothing was measured"));
            return;
        }
        let is_voltage = question == Question::Voltage;
        let is_answer = |ruling: &Ruling| {
            let answers = match question {
                Question::Voltage => matches!(ruling, Ruling::VoltageV(_)),
                Question::Quantity => matches!(ruling, Ruling::Quantity(_)),
                Question::Circuit => matches!(ruling, Ruling::Circuit(_)),
                _ => false,
            };
            answers.then_some(())
        };
        if self.ruled(item, question, is_answer).is_some() {
            if is_voltage {
                self.mark(item, Disposition::Value, None);
            } else {
                self.read_cell(item, column, line, marks, dittos);
            }
            return;
        }
        let header = column.heading.text(self.view);
        let context = match question {
            Question::Voltage => format!("\"{header}\" may head the voltages of the tests or those of the machines"),
            Question::Quantity => format!("\"{header}\" may head differences of waves or of resistances"),
            Question::Layout => {
                "headings above it stand in one cell, so which heads which column is not told: set them apart"
                    .to_owned()
            }
            _ => format!("\"{header}\" may head what was measured to earth, or figures of another kind"),
        };
        self.mark(item, Disposition::Held, Some(&context));
        self.holds.ask(format!("meaning of column {} (\"{header}\")", item.column), item.cell, || Hold {
            question,
            choices: Vec::new(),
            context,
            cells: Vec::new(),
        });
    }
}
