//! Office Open XML (ECMA-376 part 1): the workbook part, what it relates to, and the sheets.

mod address;
mod cell;
mod formula;
mod notes;
mod relations;
mod rich;
mod sheet;
mod strings;
mod styles;
mod workbook;

use windrow_source::{Limits, ReadError, Refusal, Workbook};

use crate::budget::Budget;
use crate::package::{Package, REPAIR};
use crate::remarks::Remarks;
use relations::Relation;
use sheet::Context;
use strings::Strings;

/// Reads all worksheets of the package, hidden ones included.
pub(crate) fn read(package: &mut Package<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    let main = relations::main_part(package)?;
    let related = relations::of(package, &main)?;
    let book = workbook::read(package, &main, limits)?;
    let strings = match part_of_kind(&related, "sharedStrings").filter(|part| package.has(part)) {
        Some(part) => strings::read(package, part, limits)?,
        None => Strings::default(),
    };
    let styles = match part_of_kind(&related, "styles").filter(|part| package.has(part)) {
        Some(part) => styles::read(package, part, limits)?,
        None => Vec::new(),
    };
    let (mut remarks, mut sheets) = (Remarks::default(), Vec::new());
    let mut budget = Budget::new(limits);
    for entry in &book.sheets {
        let Some(relation) = related.iter().find(|relation| relation.id == entry.relation) else {
            return Err(unrelated(&entry.name));
        };
        if relation.kind != "worksheet" {
            remarks.plain(format!("the sheet \"{}\" is a {} and has no cells", entry.name, relation.kind));
            continue;
        }
        let mut context = Context {
            name: &entry.name,
            book: &book,
            strings: &strings,
            styles: &styles,
            limits,
            remarks: &mut remarks,
            budget: &mut budget,
        };
        let mut grid = sheet::read(package, &relation.part, &mut context)?;
        notes::attach(package, &relation.part, &mut grid, &mut context)?;
        grid.hidden = entry.hidden;
        sheets.push(grid);
    }
    Ok(Workbook { sheets, notes: remarks.into_lines() })
}

fn part_of_kind<'r>(related: &'r [Relation], kind: &str) -> Option<&'r str> {
    related.iter().find(|relation| relation.kind == kind).map(|relation| relation.part.as_str())
}

fn unrelated(sheet: &str) -> ReadError {
    let found = format!("the package does not say which part holds the sheet \"{sheet}\"");
    ReadError::new(Refusal::Damaged, found, REPAIR)
}
