//! A sheet with headings in its first row, by heading.

use jiff::civil::Date;
use std::collections::BTreeMap;
use windrow_model::raw::{CellMark, RawHold, Target, Told, Understood, Via};
use windrow_model::{Disposition, Place, Question, Text};
use windrow_source::grid::Content;
use windrow_source::{Cell, Grid};

/// A sheet and the columns of the headings that the export writes.
pub(super) struct Sheet<'a> {
    pub(super) grid: &'a Grid,
    columns: BTreeMap<&'static str, u32>,
    /// What is wrong with its headings, so that a column would be lost.
    pub(super) problem: Option<String>,
}

/// One line below the headings.
#[derive(Clone, Copy)]
pub(super) struct Line<'a> {
    sheet: &'a Sheet<'a>,
    pub(super) cells: &'a [Cell],
}

impl<'a> Sheet<'a> {
    /// `grid`, under whose `headings` the export wrote.
    pub(super) fn of(grid: &'a Grid, headings: impl Iterator<Item = &'static str>) -> Self {
        let mut columns = BTreeMap::new();
        let (mut missing, mut twice) = (Vec::new(), Vec::new());
        for heading in headings {
            let mut found = head(grid).filter(|cell| cell.text.trim() == heading);
            match (found.next(), found.next()) {
                (Some(cell), None) => {
                    columns.insert(heading, cell.column);
                }
                (None, _) => missing.push(heading),
                (Some(_), Some(_)) => twice.push(heading),
            }
        }
        Self { grid, columns, problem: problem(&missing, &twice) }
    }

    /// Whether the export wrote the column of `cell`.
    pub(super) fn is_known(&self, cell: &Cell) -> bool {
        self.columns.values().any(|column| *column == cell.column)
    }

    /// The lines below the headings that hold anything.
    pub(super) fn lines(&'a self) -> impl Iterator<Item = Line<'a>> {
        let below =
            self.grid.cells.chunk_by(|a, b| a.row == b.row).filter(|cells| cells.first().is_some_and(|c| c.row > 0));
        below.map(move |cells| Line { sheet: self, cells })
    }

    /// Marks of the headings.
    pub(super) fn labels(&'a self) -> impl Iterator<Item = CellMark> {
        head(self.grid).map(|cell| {
            if self.is_known(cell) { self.mark(cell, Disposition::Label, None, None) } else { self.unread(cell) }
        })
    }

    /// The mark of a cell in a column that somebody added.
    pub(super) fn unread(&self, cell: &Cell) -> CellMark {
        self.mark(cell, Disposition::Unread, None, Some("the export wrote no column there"))
    }

    /// Holds all cells of `line` with one question, which stands at `cell`.
    pub(super) fn hold_line(&self, line: &Line<'_>, cell: Option<&Cell>, doubt: Doubt, into: &mut Understood) {
        into.holds.extend(cell.or(line.cells.first()).map(|cell| self.hold(cell, doubt)));
        let held = |cell: &Cell| {
            if self.problem.is_some() || self.is_known(cell) {
                self.mark(cell, Disposition::Held, None, Some("the line is not as the export wrote it"))
            } else {
                self.unread(cell)
            }
        };
        into.cells.extend(line.cells.iter().map(held));
    }

    /// The question about `cell`.
    pub(super) fn hold(&self, cell: &Cell, Doubt { question, context, cause }: Doubt) -> RawHold {
        let cause = cause.unwrap_or_else(|| format!("line {} of an exported sheet", cell.row + 1));
        RawHold { place: self.place(cell), raw_text: cell.text.clone(), question, choices: Vec::new(), cause, context }
    }

    /// The question about every line where headings are wrong.
    pub(super) fn doubt(&self) -> Option<Doubt> {
        let problem = self.problem.as_ref()?;
        let cause = Some("headings of an exported sheet".to_owned());
        Some(Doubt { question: Question::Layout, context: problem.clone(), cause })
    }

    pub(super) fn place(&self, cell: &Cell) -> Place {
        Place::new(self.grid.name.as_deref(), cell.place())
    }

    pub(super) fn mark(
        &self,
        cell: &Cell,
        disposition: Disposition,
        target: Option<Target>,
        reason: Option<&'static str>,
    ) -> CellMark {
        CellMark {
            place: self.place(cell),
            raw_text: cell.text.clone(),
            disposition,
            target,
            reason: reason.map(Text::new_static),
        }
    }
}

impl<'a> Line<'a> {
    /// The cell under `heading`.
    pub(super) fn cell(&self, heading: &str) -> Option<&'a Cell> {
        let column = *self.sheet.columns.get(heading)?;
        let at = self.cells.binary_search_by_key(&column, |cell| cell.column).ok()?;
        self.cells.get(at)
    }

    pub(super) fn text(&self, heading: &str) -> Option<Told<Text>> {
        self.told(heading, |cell| Some(cell.text.clone()))
    }

    pub(super) fn number(&self, heading: &str) -> Option<Told<f64>> {
        self.told(heading, number)
    }

    /// The cell under `heading`, as `read` reads it.
    pub(super) fn told<T>(&self, heading: &str, read: impl Fn(&Cell) -> Option<T>) -> Option<Told<T>> {
        let cell = self.cell(heading)?;
        Some(Told::at(read(cell)?, Via::Row, cell.text.clone(), self.sheet.place(cell)))
    }
}

/// Why a cell or a line is not as the export writes it: the question, what was seen, and what else is asked with it.
pub(super) struct Doubt {
    pub(super) question: Question,
    pub(super) context: String,
    /// Doubts of one cause are one question; `None` where it is the line's own.
    pub(super) cause: Option<String>,
}

impl Doubt {
    /// A doubt about one line.
    pub(super) const fn of(question: Question, context: String) -> Self {
        Self { question, context, cause: None }
    }
}

fn head(grid: &Grid) -> impl Iterator<Item = &Cell> {
    grid.cells.iter().take_while(|cell| cell.row == 0)
}

fn problem(missing: &[&str], twice: &[&str]) -> Option<String> {
    let listed = |what: &str, headings: &[&str]| {
        (!headings.is_empty()).then(|| format!("the heading {} {what}", quoted(headings)))
    };
    let parts: Vec<String> = listed("is missing", missing).into_iter().chain(listed("stands twice", twice)).collect();
    let advice = "give each column of the export its heading back, or import the workbook as it was exported";
    (!parts.is_empty()).then(|| format!("{}: {advice}", parts.join(", ")))
}

fn quoted(headings: &[&str]) -> String {
    headings.iter().map(|heading| format!("\"{heading}\"")).collect::<Vec<_>>().join(", ")
}

/// A number, or the text of one.
pub(super) fn number(cell: &Cell) -> Option<f64> {
    match cell.content {
        Content::Number(value) => Some(value),
        Content::Text => cell.text.trim().parse().ok().filter(|value: &f64| value.is_finite()),
        _ => None,
    }
}

/// A day: a date of the workbook, or ISO 8601 where its calendar does not reach back so far.
pub(super) fn day(cell: &Cell) -> Option<Date> {
    cell.text.get(..10)?.parse().ok()
}
