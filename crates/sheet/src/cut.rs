//! Cutting a view into tables and loose cells: header bands, the bodies under them, where bodies end.

mod across;
mod body;
mod by_body;
mod conditions;
mod form_line;
mod header;
mod keys_below;
mod page;
mod pairs_over;
mod profile;
mod records;
mod repeats;
mod segment;

use crate::fit::fits;
use crate::view::{Item, Orientation, View};
use header::Cutter;
pub(crate) use records::lowest_names;
use segment::{groups_as_below, segments, without_pairs_beside};

/// A table: header lines over a body.
#[derive(Debug, Clone)]
pub struct Table {
    /// Header cells from the top line to the lowest.
    pub header: Vec<Vec<Item>>,
    /// First and last column.
    pub columns: (u32, u32),
    /// Lines of the body.
    pub body: Vec<BodyLine>,
    /// Header cells repeated inside the body, and page titles between.
    pub repeats: Vec<Item>,
    /// Whether the header stands over an earlier part of the same table.
    pub continues: bool,
}

/// A line of a body.
#[derive(Debug, Clone)]
pub struct BodyLine {
    /// Row of the view.
    pub row: u32,
    /// Its cells.
    pub items: Vec<Item>,
    /// Whether the line says that it is computed: average, total, limit.
    pub is_statistic: bool,
    /// Whether it tells a circumstance of each date or machine that heads a column: "Remarks" below dates.
    pub is_across: bool,
}

impl Table {
    /// Whether the line tells a circumstance of the readings in other lines, column by column.
    #[must_use]
    pub fn tells_across(&self, line: &BodyLine) -> bool {
        line.is_across && self.body.iter().any(|other| !other.is_across && !other.is_statistic)
    }

    /// First row: of the header, or of the body where the header stands elsewhere.
    #[must_use]
    pub fn top(&self) -> u32 {
        let header = self.header.first().and_then(|line| line.first()).map(|item| item.row);
        let body = self.body.first().map(|line| line.row);
        match (self.continues, header, body) {
            (false, Some(row), _) | (_, _, Some(row)) | (true, Some(row), None) => row,
            _ => 0,
        }
    }

    /// Last row.
    #[must_use]
    pub fn bottom(&self) -> u32 {
        let body = self.body.last().map(|line| line.row);
        let header = self.header.last().and_then(|line| line.first()).map(|item| item.row);
        body.or(header).unwrap_or(0)
    }
}

/// A view cut into tables and what is left.
#[derive(Debug)]
pub struct Cut {
    /// Tables in the order of their first rows.
    pub tables: Vec<Table>,
    /// Cells that belong to no table, in order.
    pub loose: Vec<Item>,
}

/// Cuts the view.
#[must_use]
pub fn cut(view: &View<'_>) -> Cut {
    let mut cutter = Cutter { view, claimed: vec![false; view.grid.cells.len()], tables: Vec::new() };
    if view.orientation == Orientation::Upright {
        cutter.take_records();
    }
    for at in 0..view.line_count() {
        let free = cutter.free(at, 0, u32::MAX);
        if free.is_empty() {
            continue;
        }
        if cutter.try_keys_below(at, &free) {
            continue;
        }
        let below = if view.row(at + 1) == view.row(at) + 1 { cutter.free(at + 1, 0, u32::MAX) } else { Vec::new() };
        let segments: Vec<(u32, Vec<Item>)> = segments(view, &free)
            .iter()
            .flat_map(|segment| without_pairs_beside(view, segment))
            .flat_map(|segment| groups_as_below(view, segment, &below))
            .flat_map(|(start, segment)| {
                let parts = keys_below::parted(view, segment).into_iter().enumerate();
                parts.map(move |(at, part)| {
                    (if at == 0 { start } else { part.first().map_or(start, |item| item.column) }, part)
                })
            })
            .collect();
        for (index, (start, segment)) in segments.iter().enumerate() {
            let limit = segments.get(index + 1).map_or(u32::MAX, |(next, _)| next.saturating_sub(1));
            let floor = if index == 0 { 0 } else { *start };
            if !cutter.try_table(at, segment, floor, limit) {
                cutter.try_continuation(at, segment);
            }
        }
    }
    let loose = view.items().iter().filter(|item| !cutter.claimed[item.cell as usize]).copied().collect();
    Cut { tables: cutter.tables, loose }
}

/// How well the body cells of a column fit what a header promises, 0 to 1; `None` without body cells.
#[must_use]
pub fn column_fit(view: &View<'_>, cells: &[Item], promise: crate::fit::Wants) -> Option<f32> {
    let sample: Vec<f32> =
        cells.iter().take(200).map(|item| fits(promise, view.cell(item), view.sense(item))).collect();
    #[expect(clippy::cast_precision_loss, reason = "at most 200")]
    let count = sample.len() as f32;
    (!sample.is_empty()).then(|| sample.iter().sum::<f32>() / count)
}
