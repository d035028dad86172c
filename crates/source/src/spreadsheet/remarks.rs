//! What a person should know about a workbook: one line a kind, with a count and the first places.

use std::collections::BTreeMap;

use windrow_model::place::a1;

/// Kinds of remarks on cells.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Remark {
    /// A date format on a number that is too small to be a date of a test.
    SmallDate,
    /// A date that is too early to be one of a test.
    EarlyDate,
    /// A stored number that is none.
    NotANumber,
    /// A value under a merged area.
    Covered,
    /// A zero beside a formula in a workbook that asks to be computed when opened.
    Uncomputed,
}

impl Remark {
    const fn words(self) -> &'static str {
        match self {
            Self::SmallDate => "a date format on a number too small for a date was passed over",
            Self::EarlyDate => "a date before March 1900, likely a number that was shown as a date, was read as text",
            Self::NotANumber => "a cell marked as a number holds none and was read as text",
            Self::Covered => "a value under a merged area, where nobody sees it, was left out",
            Self::Uncomputed => {
                "a formula with the result 0 was read as not computed, for the workbook asks to be computed when opened"
            }
        }
    }
}

/// Places told for one kind.
const PLACES: usize = 3;
/// Notes on empty cells that are told one by one.
const STRAY_NOTES: usize = 50;

/// Remarks gathered while reading.
#[derive(Debug, Default)]
pub struct Remarks {
    cells: BTreeMap<Remark, (usize, Vec<String>)>,
    plain: Vec<String>,
    stray_notes: usize,
}

impl Remarks {
    /// Remarks on a cell.
    pub fn cell(&mut self, remark: Remark, sheet: &str, (row, column): (u32, u32)) {
        let (count, places) = self.cells.entry(remark).or_default();
        *count += 1;
        if places.len() < PLACES {
            places.push(format!("{sheet}!{}", a1(row, column)));
        }
    }

    /// Remarks on the workbook or a sheet.
    pub fn plain(&mut self, text: String) {
        self.plain.push(text);
    }

    /// A note on a cell without content: it has no cell to hang on.
    pub fn stray_note(&mut self, sheet: &str, (row, column): (u32, u32), note: &str) {
        self.stray_notes += 1;
        if self.stray_notes <= STRAY_NOTES {
            self.plain.push(format!("the empty cell {sheet}!{} has the note \"{note}\"", a1(row, column)));
        }
    }

    /// The lines.
    #[must_use]
    pub fn into_lines(mut self) -> Vec<String> {
        for (remark, (count, places)) in self.cells {
            let more = match count - places.len() {
                0 => String::new(),
                more => format!(" and {more} more"),
            };
            self.plain.push(format!("{}: {}{more}", remark.words(), places.join(", ")));
        }
        if self.stray_notes > STRAY_NOTES {
            self.plain.push(format!("{} more notes on empty cells", self.stray_notes - STRAY_NOTES));
        }
        self.plain
    }
}
