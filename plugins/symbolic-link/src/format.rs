//! Number formats: of cells, columns, rows, and the sheet.

use std::collections::BTreeMap;

use crate::record::Record;

/// Formats told so far, as format codes of spreadsheets.
#[derive(Debug, Default)]
pub(crate) struct Formats {
    /// Codes that records name by number.
    codes: Vec<String>,
    cells: BTreeMap<(u32, u32), Option<String>>,
    columns: BTreeMap<u32, Option<String>>,
    rows: BTreeMap<u32, Option<String>>,
    sheet: Option<String>,
}

impl Formats {
    /// Adds the code that the next number stands for.
    pub(crate) fn define(&mut self, code: &str) {
        self.codes.push(code.to_owned());
    }

    /// Takes in what a format record tells, for the cell at `place` unless it tells of a column, a row or the sheet.
    pub(crate) fn tell(&mut self, record: &Record, place: (u32, u32)) {
        let Some(code) = self.code(record) else { return };
        let zero_based = |letter| record.number(letter).and_then(|number: u32| number.checked_sub(1));
        if let Some(column) = zero_based('C') {
            self.columns.insert(column, code);
        } else if let Some(row) = zero_based('R') {
            self.rows.insert(row, code);
        } else if record.field('D').is_some() {
            self.sheet = code;
        } else {
            self.cells.insert(place, code);
        }
    }

    /// The format of a cell: its own, else that of its row, of its column, of the sheet.
    pub(crate) fn of(&self, place: (u32, u32)) -> Option<&str> {
        let own = self.cells.get(&place).or_else(|| self.rows.get(&place.0)).or_else(|| self.columns.get(&place.1));
        own.unwrap_or(&self.sheet).as_deref()
    }

    /// The format that a record tells: by number, else by a letter and digits. `Some(None)` for the general one.
    fn code(&self, record: &Record) -> Option<Option<String>> {
        if let Some(number) = record.number('P') {
            return Some(usize::try_from(number).ok().and_then(|number| self.codes.get(number)).cloned());
        }
        by_letter(record.field('F').or_else(|| record.field('D'))?)
    }
}

/// The code of a format told as a letter, the count of decimals and the letter of the alignment, as `F2R` for two decimals, set to the right.
fn by_letter(told: &str) -> Option<Option<String>> {
    let letter = told.chars().next()?;
    let digits: String = told.chars().skip(1).take_while(char::is_ascii_digit).collect();
    let count = digits.parse::<usize>().unwrap_or(0).min(30);
    let decimals = if count > 0 { format!(".{}", "0".repeat(count)) } else { String::new() };
    match letter {
        'F' | 'C' | '$' => Some(Some(format!("0{decimals}"))),
        'E' => Some(Some(format!("0{decimals}E+00"))),
        '%' => Some(Some(format!("0{decimals}%"))),
        'G' | 'D' | '*' => Some(None),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_format_counts() {
        let mut formats = Formats::default();
        formats.define("General");
        formats.define("dd/mm/yy");
        formats.tell(&Record::of("F;P1;C2"), (0, 0));
        formats.tell(&Record::of("F;FF2R"), (4, 1));
        formats.tell(&Record::of("F;DG0G8"), (0, 0));
        assert_eq!(formats.of((3, 1)), Some("dd/mm/yy"));
        assert_eq!(formats.of((4, 1)), Some("0.00"));
        assert_eq!(formats.of((3, 3)), None);
        formats.tell(&Record::of("F;F%1R;R4"), (0, 0));
        assert_eq!(formats.of((3, 1)), Some("0.0%"));
    }
}
