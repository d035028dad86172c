//! Rulings of people on what the records leave open.

use crate::Question;
use crate::place::read_a1;
use serde::{Deserialize, Serialize};

/// One ruling: the answer to a question about the cells of a place. What is not said (file, sheet, cells) is not limited: a
/// ruling without a file holds for the whole fleet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Decision {
    /// What was asked.
    pub question: Question,
    /// The answer, in the form that the question wants.
    pub answer: String,
    /// Path below the imported folder, with `/`.
    #[serde(default)]
    pub file: Option<String>,
    /// Name of the sheet.
    #[serde(default)]
    pub sheet: Option<String>,
    /// A cell or a range of cells: `C14`, `B4:B20`, or another address as the `holds` table shows it.
    #[serde(default)]
    pub cells: Option<String>,
    /// Text of the cell when it was ruled upon, for questions that go by what stands there: where it reads otherwise now, rows have moved, and
    /// the ruling is about something else.
    #[serde(default)]
    pub text: Option<String>,
    /// Who ruled.
    #[serde(default)]
    pub by: Option<String>,
    /// When, as a date.
    #[serde(default)]
    pub on: Option<String>,
    /// Why.
    #[serde(default)]
    pub why: Option<String>,
}

impl Decision {
    /// Whether it may concern cells of this sheet of this file.
    #[must_use]
    pub fn concerns(&self, file: &str, sheet: Option<&str>) -> bool {
        self.file.as_deref().is_none_or(|told| told == file)
            && self.sheet.as_deref().is_none_or(|told| Some(told) == sheet)
    }

    /// Whether it is about `cell`, where its file and sheet are meant; one that names no cells is about all of them.
    #[must_use]
    pub fn covers(&self, cell: &str) -> bool {
        self.cells.as_deref().is_none_or(|cells| within(cells, cell))
    }

    /// Whether a cell that reads `text` still reads as it did when it was ruled upon, as far as that is told.
    #[must_use]
    pub fn fits(&self, text: &str) -> bool {
        self.text.as_deref().is_none_or(|ruled| ruled.trim() == text.trim())
    }

    /// As [`Decision::covers`]; a ruling on a part of one column is also about what is written below it later.
    #[must_use]
    pub fn covers_below(&self, cell: &str) -> bool {
        let below = |cells: &str| {
            let (first, last) = cells.split_once(':')?;
            let (first, last, at) = (read_a1(first)?, read_a1(last)?, read_a1(cell)?);
            Some(first.1 == last.1 && at.1 == last.1 && at.0 >= last.0)
        };
        self.covers(cell) || self.cells.as_deref().and_then(below).unwrap_or(false)
    }

    /// Who ruled when and why, for a derivation.
    #[must_use]
    pub fn credit(&self) -> String {
        let mut credit = "ruled".to_owned();
        for (word, part) in [(" by ", &self.by), (" on ", &self.on), (": ", &self.why)] {
            if let Some(part) = part {
                credit.push_str(word);
                credit.push_str(part);
            }
        }
        credit
    }
}

/// Whether a cell is one of `cells`, a range of a grid or one address of any kind.
#[must_use]
pub fn within(cells: &str, cell: &str) -> bool {
    let (first, last) = cells.split_once(':').unwrap_or((cells, cells));
    match (read_a1(first), read_a1(last), read_a1(cell)) {
        (Some(a), Some(b), Some(at)) => {
            (a.0.min(b.0)..=a.0.max(b.0)).contains(&at.0) && (a.1.min(b.1)..=a.1.max(b.1)).contains(&at.1)
        }
        _ => cells == cell,
    }
}

/// How many cells a range of a grid holds; one for one address of any kind.
#[must_use]
pub fn extent(cells: &str) -> u64 {
    let (first, last) = cells.split_once(':').unwrap_or((cells, cells));
    match (read_a1(first), read_a1(last)) {
        (Some(a), Some(b)) => (u64::from(a.0.abs_diff(b.0)) + 1).saturating_mul(u64::from(a.1.abs_diff(b.1)) + 1),
        _ => 1,
    }
}

/// The answer that fits every question: what stands there is no reading.
pub const NO_READING: &str = "no reading";

#[cfg(test)]
mod tests {
    use super::Decision;
    use crate::Question;

    fn about(cells: Option<&str>) -> Decision {
        Decision {
            question: Question::Corrected,
            answer: String::new(),
            file: None,
            sheet: None,
            cells: cells.map(str::to_owned),
            text: None,
            by: None,
            on: None,
            why: None,
        }
    }

    #[test]
    fn a_ruling_is_about_its_cells_alone_and_a_column_goes_on_below() {
        let column = about(Some("C3:C9"));
        assert!(column.covers("C3") && column.covers("C9") && !column.covers("C10") && !column.covers("D5"));
        assert!(column.covers_below("C10") && !column.covers_below("C2") && !column.covers_below("D10"));
        let block = about(Some("C3:D9"));
        assert!(block.covers("D4") && !block.covers_below("D10"));
        assert!(about(None).covers("AB7") && about(Some("14:2")).covers("14:2") && !about(Some("14:2")).covers("C14"));
    }
}
