//! Questions collected by cause: one question, however many cells it concerns.

use std::collections::BTreeMap;
use windrow_model::raw::RawHold;
use windrow_model::{Place, Question};
use windrow_source::Grid;

/// A question with the cells that it concerns.
#[derive(Debug, Clone)]
pub struct Hold {
    /// What is asked.
    pub question: Question,
    /// Answers to choose from.
    pub choices: Vec<String>,
    /// What was seen.
    pub context: String,
    /// Cells concerned: indices into the grid.
    pub cells: Vec<u32>,
}

/// Questions of one sheet by cause.
#[derive(Debug, Clone, Default)]
pub struct Holds {
    by_cause: BTreeMap<String, Hold>,
}

impl Holds {
    /// Asks about `cell` for `cause`; the first asker of a cause words the question.
    pub fn ask(&mut self, cause: String, cell: u32, hold: impl FnOnce() -> Hold) {
        self.by_cause.entry(cause).or_insert_with(hold).cells.push(cell);
    }

    /// Adds the questions of another part of the sheet.
    pub fn extend(&mut self, other: Self) {
        for (cause, hold) in other.by_cause {
            match self.by_cause.get_mut(&cause) {
                Some(known) => known.cells.extend(hold.cells),
                None => {
                    self.by_cause.insert(cause, hold);
                }
            }
        }
    }

    /// The questions by cause.
    #[must_use]
    pub fn into_causes(self) -> BTreeMap<String, Hold> {
        self.by_cause
    }

    /// Cells that wait for an answer.
    pub fn cells(&self) -> impl Iterator<Item = u32> {
        self.by_cause.values().flat_map(|hold| hold.cells.iter().copied())
    }

    /// The questions as they are handed over: one for each run of neighbouring cells.
    #[must_use]
    pub fn finish(self, grid: &Grid) -> Vec<RawHold> {
        let mut holds = Vec::new();
        for (cause, mut hold) in self.by_cause {
            hold.cells.sort_unstable_by_key(|cell| grid.cells.get(*cell as usize).map(|cell| (cell.column, cell.row)));
            hold.cells.dedup();
            for run in runs(grid, &hold.cells) {
                let (Some(first), Some(last)) = (run.first(), run.last()) else { continue };
                let (Some(first), Some(last)) = (grid.cells.get(*first as usize), grid.cells.get(*last as usize))
                else {
                    continue;
                };
                let cell =
                    if run.len() == 1 { first.place() } else { format!("{}:{}", first.place(), last.place()).into() };
                holds.push(RawHold {
                    place: Place::new(grid.name.as_deref(), cell),
                    raw_text: first.text.clone(),
                    question: hold.question,
                    choices: hold.choices.clone(),
                    context: hold.context.clone(),
                    cause: cause.clone(),
                });
            }
        }
        holds
    }
}

/// Runs of cells below each other; cells with addresses of their own stand alone.
fn runs<'c>(grid: &Grid, cells: &'c [u32]) -> Vec<&'c [u32]> {
    cells
        .chunk_by(|a, b| match (grid.cells.get(*a as usize), grid.cells.get(*b as usize)) {
            (Some(a), Some(b)) => {
                a.address.is_none() && b.address.is_none() && a.column == b.column && b.row <= a.row + 3
            }
            _ => false,
        })
        .collect()
}
