//! A grid seen in one of two orientations. Everything downstream speaks of lines and positions of the view; captions
//! "above" a turned block stand at its left.

use crate::legend::Legend;
use crate::pool::Pools;
use crate::sense::{Sense, SenseId, Senses};
use std::collections::{BTreeMap, BTreeSet};
use windrow_source::{Area, Cell, Grid};

/// Way of looking at a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Orientation {
    /// As it stands.
    Upright,
    /// Rows as columns.
    Turned,
}

/// A cell in the coordinates of the view.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Item {
    /// Line (row of an upright view).
    pub row: u32,
    /// Position in the line (column of an upright view).
    pub column: u32,
    /// Index into the grid's cells.
    pub cell: u32,
    /// Meanings of the cell.
    pub sense: SenseId,
    /// Last position that a merged area gives it.
    pub right: u32,
    /// Last line that a merged area gives it.
    pub bottom: u32,
}

/// What the legends of a workbook explain of a sheet.
#[derive(Debug, Clone, Copy)]
pub struct Explained<'a> {
    /// Meanings of cells that are codes, by index into the grid's cells.
    pub meanings: &'a BTreeMap<usize, &'a str>,
    /// Cells that explain codes of the sheet, by index.
    pub explaining: &'a BTreeSet<usize>,
    /// All codes.
    pub legend: &'a Legend,
}

/// A sheet in one orientation.
#[derive(Debug)]
pub struct View<'a> {
    /// The sheet.
    pub grid: &'a Grid,
    /// Meanings of its texts.
    pub senses: &'a Senses,
    /// How it is seen.
    pub orientation: Orientation,
    /// What the texts of the sheet prove together.
    pub pools: Pools,
    /// What the workbook's legends explain, where it has any.
    explained: Option<Explained<'a>>,
    /// Cells by line and position.
    items: Vec<Item>,
    /// Start of each non-empty line in `items`.
    lines: Vec<(u32, usize)>,
}

impl<'a> View<'a> {
    /// The last column in which something stands.
    #[must_use]
    pub fn last_column(&self) -> u32 {
        self.items.iter().map(|item| item.right).max().unwrap_or(0)
    }

    /// Looks at `grid`; `ids` are the meanings of its cells.
    #[must_use]
    pub fn new(grid: &'a Grid, senses: &'a Senses, ids: &[SenseId], orientation: Orientation) -> Self {
        let merges: BTreeMap<(u32, u32), &Area> =
            grid.merges.iter().map(|area| ((area.top, area.left), area)).collect();
        let mut items: Vec<Item> = (0u32..)
            .zip(&grid.cells)
            .zip(ids)
            .map(|((index, cell), sense)| {
                let area = merges.get(&(cell.row, cell.column));
                let (bottom, right) = area.map_or((cell.row, cell.column), |area| (area.bottom, area.right));
                let item = Item { row: cell.row, column: cell.column, cell: index, sense: *sense, right, bottom };
                match orientation {
                    Orientation::Upright => item,
                    Orientation::Turned => {
                        Item { row: item.column, column: item.row, right: item.bottom, bottom: item.right, ..item }
                    }
                }
            })
            .collect();
        items.sort_unstable_by_key(|item| (item.row, item.column));
        let mut lines: Vec<(u32, usize)> = Vec::new();
        for (index, item) in items.iter().enumerate() {
            if lines.last().is_none_or(|(row, _)| *row != item.row) {
                lines.push((item.row, index));
            }
        }
        let mut pools = Pools::default();
        for item in &items {
            pools.add(senses.get(item.sense));
        }
        Self { grid, senses, orientation, pools, explained: None, items, lines }
    }

    /// The same view with what legends explain.
    #[must_use]
    pub fn explained(self, explained: Explained<'a>) -> Self {
        Self { explained: Some(explained), ..self }
    }

    /// What a cell that is a code stands for.
    #[must_use]
    pub fn meaning(&self, item: &Item) -> Option<&'a str> {
        self.explained?.meanings.get(&(item.cell as usize)).copied()
    }

    /// Whether a cell explains a code that the sheet uses, or is that code beside its explanation.
    #[must_use]
    pub fn explains(&self, item: &Item) -> bool {
        self.explained.is_some_and(|explained| explained.explaining.contains(&(item.cell as usize)))
    }

    /// What a number stands for that a legend explains as a sign of its own.
    #[must_use]
    pub fn sign(&self, item: &Item) -> Option<&'a str> {
        self.explained?.legend.sign(&self.cell(item).text)
    }

    /// Number of non-empty lines.
    #[must_use]
    pub fn line_count(&self) -> usize {
        self.lines.len()
    }

    /// Row number of the non-empty line number `line`.
    #[must_use]
    pub fn row(&self, line: usize) -> u32 {
        self.lines.get(line).map_or(u32::MAX, |(row, _)| *row)
    }

    /// Cells of the non-empty line number `line`.
    #[must_use]
    pub fn line(&self, line: usize) -> &[Item] {
        let Some((_, start)) = self.lines.get(line) else { return &[] };
        let end = self.lines.get(line + 1).map_or(self.items.len(), |(_, end)| *end);
        &self.items[*start..end]
    }

    /// All cells in order.
    #[must_use]
    pub fn items(&self) -> &[Item] {
        &self.items
    }

    /// Number of the non-empty line that is row `row`, or of the next one.
    #[must_use]
    pub fn line_at(&self, row: u32) -> usize {
        self.lines.partition_point(|(at, _)| *at < row)
    }

    /// The cell at a position of the view.
    #[must_use]
    pub fn at(&self, row: u32, column: u32) -> Option<&Item> {
        let index = self.items.binary_search_by_key(&(row, column), |item| (item.row, item.column)).ok()?;
        self.items.get(index)
    }

    /// The sheet's cell behind an item.
    #[must_use]
    pub fn cell(&self, item: &Item) -> &'a Cell {
        &self.grid.cells[item.cell as usize]
    }

    /// The meanings of an item.
    #[must_use]
    pub fn sense(&self, item: &Item) -> &'a Sense {
        self.senses.get(item.sense)
    }

    /// The area of the sheet that a rectangle of the view covers.
    #[must_use]
    pub fn area(&self, top: u32, left: u32, bottom: u32, right: u32) -> Area {
        match self.orientation {
            Orientation::Upright => Area { top, left, bottom, right },
            Orientation::Turned => Area { top: left, left: top, bottom: right, right: bottom },
        }
    }
}
