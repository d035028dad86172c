//! The tree to one sheet.

use windrow_source::{Area, Cell, Grid, Input, Limits, ReadError, Refusal, Workbook, xml};

use crate::columns::{self, Columns, Slot};
use crate::pattern::{self, Role};
use crate::tree::{self, Tree};

/// Reads XML as one sheet without a name.
///
/// Cells have their XPath as address, prefixes dropped. Headers and labels made from names are synthetic cells. Every attribute and every
/// text that is not blank is exactly one cell: what an enclosing element says stands in the first of its rows, merged down to the last.
pub(crate) fn read(input: &Input<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    let decoded = xml::decode(input.bytes);
    let tree = tree::parse(&decoded.text, limits)?;
    let mut writer =
        Writer { roles: pattern::roles(&tree), tree: &tree, columns: Columns::default(), grid: Grid::default() };
    let top = writer.write_document();
    if writer.grid.cells.iter().all(|cell| cell.synthetic) {
        return Err(ReadError::new(Refusal::Empty, "XML without any text or attribute", "check what was exported"));
    }
    let width = writer.grid.cells.iter().map(|cell| cell.column + 1).max().unwrap_or(0);
    if width > limits.columns {
        let found = format!("records with {width} different names");
        return Err(ReadError::new(Refusal::TooLarge, found, "split it"));
    }
    if let Some(header) = top {
        writer.columns.write_headers(&mut writer.grid, header, &tree, &writer.roles);
    }
    writer.grid.finish();
    let mut notes: Vec<String> = decoded.note().into_iter().collect();
    notes.push("names of elements and attributes stand as headers".to_owned());
    Ok(Workbook { sheets: vec![writer.grid], notes, ..Workbook::default() })
}

struct Writer<'a> {
    tree: &'a Tree,
    roles: Vec<Role>,
    columns: Columns,
    grid: Grid,
}

/// A value and where it comes from.
struct Leaf {
    slot: Slot,
    text: String,
    address: String,
}

impl Writer<'_> {
    /// Writes what is said once, and below it the rows; the row of the headers, if there are rows.
    fn write_document(&mut self) -> Option<u32> {
        let (mut leaves, mut rows) = (Vec::new(), Vec::new());
        self.gather(0, &mut leaves, &mut rows);
        for (row, leaf) in (0_u32..).zip(&leaves) {
            self.grid.cells.push(Cell::name(row, 0, columns::label(&leaf.slot, self.tree)));
            self.grid.cells.push(Cell::text(row, 1, leaf.text.clone()).at(leaf.address.clone()));
        }
        let above = u32::try_from(leaves.len()).unwrap_or(u32::MAX);
        let header = if above > 0 { above + 1 } else { 0 };
        let mut row = header + columns::header_rows(self.tree, &self.roles);
        for element in &rows {
            row = self.write_record(*element, row);
        }
        (!rows.is_empty()).then_some(header)
    }

    /// Writes the rows of the record `element` from `row` on; the row after the last. Recursion ends with the depth of the document,
    /// which is bounded.
    fn write_record(&mut self, element: usize, row: u32) -> u32 {
        let (mut leaves, mut rows) = (Vec::new(), Vec::new());
        self.gather(element, &mut leaves, &mut rows);
        let places: Vec<u32> = leaves.iter().map(|leaf| self.columns.of(leaf.slot.clone())).collect();
        let mut end = row;
        for element in rows {
            end = self.write_record(element, end);
        }
        if end == row && !leaves.is_empty() {
            end = row + 1;
        }
        for (leaf, column) in leaves.into_iter().zip(places) {
            self.grid.cells.push(Cell::text(row, column, leaf.text).at(leaf.address));
            if end > row + 1 {
                self.grid.merges.push(Area { top: row, left: column, bottom: end - 1, right: column });
            }
        }
        end
    }

    /// The values of `element` and of the single elements in it, and the elements in it that are rows of their own.
    fn gather(&self, element: usize, leaves: &mut Vec<Leaf>, rows: &mut Vec<usize>) {
        let Some(found) = self.tree.elements.get(element) else { return };
        let role = |path: usize| self.roles.get(path).copied().unwrap_or_default();
        let address = self.tree.xpath(element, &|path| role(path) != Role::Single);
        let number = if role(found.path) == Role::Cell { found.number } else { 0 };
        let slot = |attribute| Slot { path: found.path, attribute, number };
        for attribute in &found.attributes {
            leaves.push(Leaf {
                slot: slot(Some(attribute.name.clone())),
                text: attribute.value.trim().to_owned(),
                address: format!("{address}/@{}", attribute.name),
            });
        }
        if !found.text.is_empty() {
            leaves.push(Leaf { slot: slot(None), text: found.text.clone(), address });
        }
        for child in &found.children {
            let path = self.tree.elements.get(*child).map_or(0, |child| child.path);
            match role(path) {
                Role::Row => rows.push(*child),
                Role::Single | Role::Cell => self.gather(*child, leaves, rows),
            }
        }
    }
}
