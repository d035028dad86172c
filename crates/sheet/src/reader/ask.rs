//! Questions about cells that stand where a reading is expected.

use super::Reader;
use crate::column::Column;
use crate::hold::Hold;
use crate::value::Amount;
use crate::view::Item;
use windrow_model::{Disposition, Question};

impl Reader<'_, '_, '_> {
    pub(super) fn hold_formula(&mut self, item: &Item) {
        self.mark(item, Disposition::Held, Some("a formula without a stored result"));
        self.holds.ask(format!("formula results, column {}", item.column), item.cell, || Hold {
            question: Question::FormulaResult,
            choices: Vec::new(),
            context: "the file holds the formula but not what it gave".to_owned(),
            cells: Vec::new(),
        });
    }

    pub(super) fn hold_value(&mut self, item: &Item, context: &str, choices: Vec<String>) {
        self.mark(item, Disposition::Held, Some(context));
        let context = context.to_owned();
        self.holds.ask(format!("value {}:{}", item.row, item.column), item.cell, || Hold {
            question: Question::IllegibleValue,
            choices,
            context,
            cells: Vec::new(),
        });
    }

    pub(super) fn hold_decimal(&mut self, item: &Item, amount: &Amount) {
        self.mark(item, Disposition::Held, Some("is the mark between the digits a decimal or a thousands mark?"));
        let choices = amount.numbers.iter().map(|number| number.value.to_string()).collect();
        self.holds.ask(format!("decimal mark, column {}", item.column), item.cell, || Hold {
            question: Question::DecimalMark,
            choices,
            context: "no number of the column, sheet, file or folder settles it".to_owned(),
            cells: Vec::new(),
        });
    }

    pub(super) fn ask(&mut self, item: &Item, question: Question, what: &str, column: &Column, choices: Vec<String>) {
        self.mark(item, Disposition::Held, Some(&format!("{what} not told")));
        let header = column.heading.text(self.view);
        let context =
            format!("neither the cell, its line, its column (\"{header}\"), a title nor the file tells one {what}");
        self.holds.ask(format!("{what}, column {} (\"{header}\")", item.column), item.cell, || Hold {
            question,
            choices,
            context,
            cells: Vec::new(),
        });
    }
}
