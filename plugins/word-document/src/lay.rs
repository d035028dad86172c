//! Blocks to rows and columns of the sheet.

use std::collections::BTreeMap;

use windrow_model::place::a1;
use windrow_source::spreadsheet::budget::{Budget, check_column};
use windrow_source::spreadsheet::draft::Draft;
use windrow_source::spreadsheet::remarks::{Remark, Remarks};
use windrow_source::{Area, Cell, Limits, ReadError};

use crate::block::{Anchor, Block, Down, Row, Words};

/// Texts of comments and notes, by kind and number.
pub(crate) type Notes = BTreeMap<(Anchor, String), String>;

/// The sheet being laid out.
pub(crate) struct Layout<'a> {
    pub(crate) draft: Draft,
    pub(crate) budget: Budget,
    pub(crate) remarks: Remarks,
    pub(crate) notes: &'a Notes,
    pub(crate) limits: &'a Limits,
    /// The row below the last.
    next_row: u32,
    /// Whether a table stands there, which a blank row follows.
    is_below_table: bool,
    /// Cells laid out.
    pub(crate) count: usize,
}

impl<'a> Layout<'a> {
    pub(crate) fn new(notes: &'a Notes, limits: &'a Limits) -> Self {
        let (draft, remarks) = (Draft::default(), Remarks::default());
        Self {
            draft,
            budget: Budget::new(limits),
            remarks,
            notes,
            limits,
            next_row: 0,
            is_below_table: false,
            count: 0,
        }
    }

    /// Lays out the blocks of a part, whose name begins the addresses of what stands in it (the document itself has none).
    pub(crate) fn part(&mut self, name: &str, blocks: &[Block]) -> Result<(), ReadError> {
        let tables = blocks.iter().filter(|block| matches!(block, Block::Table(..))).count();
        for block in blocks {
            match block {
                // Where there is one table, its cells need no name but their own.
                Block::Table(_, rows) if tables == 1 && name.is_empty() => self.table("", rows)?,
                Block::Paragraph(number, words) => self.paragraph(&format!("{name}paragraph{number}"), words)?,
                Block::Table(number, rows) => self.table(&format!("{name}table{number}:"), rows)?,
            }
        }
        Ok(())
    }

    /// A paragraph is a row; what tabulators set apart stands in columns.
    fn paragraph(&mut self, address: &str, words: &Words) -> Result<(), ReadError> {
        let pieces: Vec<&str> = words.text.split('\t').filter(|piece| !piece.trim().is_empty()).collect();
        let row = self.next_row + u32::from(self.is_below_table);
        (self.next_row, self.is_below_table) = (row + 1, false);
        if pieces.len() < 2 {
            return self.put((row, 0), address.to_owned(), words);
        }
        for (column, piece) in (0_u32..).zip(pieces) {
            let is_first = column == 0;
            let anchors = if is_first { words.anchors.clone() } else { Vec::new() };
            let struck = if is_first { words.struck.clone() } else { String::new() };
            let part = Words { text: piece.to_owned(), struck, anchors };
            self.put((row, column), format!("{address}:{}", column + 1), &part)?;
        }
        Ok(())
    }

    /// A table stands between blank rows. Its cells have the addresses that they have in the table alone.
    fn table(&mut self, address: &str, rows: &[Row]) -> Result<(), ReadError> {
        let top = if self.next_row == 0 { 0 } else { self.next_row + 1 };
        // By first column: cells that go on downwards, with the last row reached.
        let mut open: BTreeMap<u32, Area> = BTreeMap::new();
        for (index, row) in (0_u32..).zip(rows) {
            let mut column = row.before;
            for cell in &row.cells {
                let place = (top + index, column);
                let right = column.saturating_add(cell.columns - 1);
                check_column("", (place.0, right), self.limits)?;
                match (cell.down, open.get_mut(&column)) {
                    (Down::Goes, Some(area)) if area.bottom + 1 == place.0 => {
                        area.bottom = place.0;
                        if !cell.words.is_blank() {
                            self.remarks.cell(Remark::Covered, "the table", (index, column));
                        }
                    }
                    _ => {
                        let area = Area { top: place.0, left: column, bottom: place.0, right };
                        let ended = open.remove(&column).into_iter().chain((cell.down == Down::Single).then_some(area));
                        for ended in ended {
                            self.draft.merge(ended, &mut self.budget)?;
                        }
                        if cell.down != Down::Single {
                            open.insert(column, area);
                        }
                        self.put(place, format!("{address}{}", a1(index, column)), &cell.words)?;
                    }
                }
                column = right + 1;
            }
            (self.next_row, self.is_below_table) = (top + index + 1, true);
        }
        for area in open.into_values() {
            self.draft.merge(area, &mut self.budget)?;
        }
        Ok(())
    }

    fn put(&mut self, (row, column): (u32, u32), address: String, words: &Words) -> Result<(), ReadError> {
        let text = tidy(&words.text);
        let struck = Some(tidy(&words.struck)).filter(|struck| !struck.is_empty());
        let told: Vec<&str> = words.anchors.iter().filter_map(|id| self.notes.get(id)).map(String::as_str).collect();
        let note = (!told.is_empty()).then(|| told.join("\n"));
        // Where all was struck through there is nothing else in the cell.
        let Some(text) = Some(text).filter(|text| !text.is_empty()).or_else(|| struck.clone()) else {
            if let Some(note) = note {
                self.remarks.stray_note("the document", (row, column), &note);
            }
            return Ok(());
        };
        let cell = Cell { struck, note, ..Cell::text(row, column, text) }.at(address);
        self.budget.take(&cell)?;
        self.draft.put(cell);
        self.count += 1;
        Ok(())
    }
}

/// Without blanks around its lines, and without blank lines.
fn tidy(text: &str) -> String {
    let lines: Vec<&str> = text.split('\n').map(str::trim).filter(|line| !line.is_empty()).collect();
    lines.join("\n")
}
