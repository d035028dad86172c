//! Print-outs with fixed columns.

use super::Place;
use crate::layouts::page::{At, Cell, Page, Stored};

/// Where the columns of a print-out stand.
#[derive(Debug)]
pub(super) struct Ruler {
    starts: Vec<usize>,
    widths: Vec<usize>,
}

const GAP: usize = 3;

impl Ruler {
    fn of(page: &Page) -> Self {
        let columns = page.size().1 as usize;
        let mut widths = vec![0; columns];
        for ((_, column), cell) in page.cells.iter().filter(|(_, cell)| !cell.runs_over) {
            let width = &mut widths[*column as usize];
            *width = cell.shown.chars().count().max(*width);
        }
        let starts = widths
            .iter()
            .scan(0, |next, width| {
                let start = *next;
                *next += if *width > 0 { width + GAP } else { 0 };
                Some(start)
            })
            .collect();
        Self { starts, widths }
    }

    /// Where the first character of a cell stands; numbers stand at the right of their column.
    fn start(&self, column: usize, cell: &Cell) -> Option<usize> {
        let (start, width) = (self.starts.get(column)?, self.widths.get(column)?);
        let left = matches!(cell.stored, Stored::Text);
        Some(if left { *start } else { start + width.saturating_sub(cell.shown.chars().count()) })
    }

    /// Line and column of a cell.
    pub(super) fn place(&self, page: &Page, at: At) -> Option<Place> {
        let start = self.start(at.1 as usize, page.cells.get(&at)?)?;
        Some(Place::Line(at.0 + 1, u32::try_from(start + 1).ok()?))
    }
}

/// The page as print.
pub(super) fn write(page: &Page) -> (String, Ruler) {
    let ruler = Ruler::of(page);
    let mut text = String::new();
    for row in 0..page.size().0 {
        let mut line = String::new();
        for ((_, column), cell) in page.cells.range((row, 0)..(row + 1, 0)) {
            let start = ruler.start(*column as usize, cell).unwrap_or(0);
            let missing = start.saturating_sub(line.chars().count());
            line.push_str(&" ".repeat(missing));
            line.push_str(&cell.shown);
        }
        text.push_str(line.trim_end());
        text.push_str("\r\n");
    }
    (text, ruler)
}
