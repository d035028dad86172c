//! Office Open XML (ECMA-376 part 1): the workbook part, what it relates to, and the sheets.

mod address;
mod binary;
mod cell;
mod formula;
mod notes;
mod relations;
mod rich;
mod sheet;
mod strings;
mod styles;
mod workbook;

use windrow_source::spreadsheet::REPAIR;
use windrow_source::spreadsheet::budget::Budget;
use windrow_source::spreadsheet::remarks::Remarks;
use windrow_source::{Grid, Limits, ReadError, Refusal, Workbook};

use crate::package::Package;
use binary::is_binary;
use relations::Relation;
use sheet::Context;
use strings::Strings;
use styles::Styles;

/// Reads all worksheets of the package, hidden ones included.
pub(crate) fn read(package: &mut Package<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    let main = relations::main_part(package)?;
    let related = relations::of(package, &main)?;
    let book = if is_binary(&main) {
        binary::workbook::read(package, &main, limits)?
    } else {
        workbook::read(package, &main, limits)?
    };
    let styles = styles_of(package, &related, limits)?;
    let strings = strings_of(package, &related, &styles, limits)?;
    let (mut remarks, mut sheets) = (Remarks::default(), Vec::new());
    let mut budget = Budget::new(limits);
    for entry in &book.sheets {
        let part = related.iter().find(|relation| relation.id == entry.relation);
        let Some(relation) = part else { return Err(unrelated(&entry.name)) };
        if relation.kind != "worksheet" {
            remarks.plain(format!("the sheet \"{}\" is a {} and was passed over", entry.name, relation.kind));
            continue;
        }
        let mut context = Context {
            name: &entry.name,
            book: &book,
            strings: &strings,
            styles: &styles.cells,
            struck_fonts: &styles.struck_fonts,
            limits,
            remarks: &mut remarks,
            budget: &mut budget,
        };
        let grid = sheet_of(package, &relation.part, &mut context)?;
        sheets.push(Grid { hidden: entry.hidden, ..grid });
    }
    Ok(Workbook { sheets, notes: remarks.into_lines(), ..Workbook::default() })
}

fn sheet_of(package: &mut Package<'_>, part: &str, context: &mut Context<'_>) -> Result<Grid, ReadError> {
    let mut grid = if is_binary(part) {
        binary::sheet::read(package, part, context)?
    } else {
        sheet::read(package, part, context)?
    };
    notes::attach(package, part, &mut grid, context)?;
    Ok(grid)
}

fn styles_of(package: &mut Package<'_>, related: &[Relation], limits: &Limits) -> Result<Styles, ReadError> {
    match part_of_kind(related, "styles").filter(|part| package.has(part)) {
        Some(part) if is_binary(part) => binary::styles::read(package, part, limits),
        Some(part) => styles::read(package, part, limits),
        None => Ok(Styles::default()),
    }
}

fn strings_of(
    package: &mut Package<'_>,
    related: &[Relation],
    styles: &Styles,
    limits: &Limits,
) -> Result<Strings, ReadError> {
    match part_of_kind(related, "sharedStrings").filter(|part| package.has(part)) {
        Some(part) if is_binary(part) => binary::strings::read(package, part, (&styles.struck_fonts, limits)),
        Some(part) => strings::read(package, part, limits),
        None => Ok(Strings::default()),
    }
}

fn part_of_kind<'r>(related: &'r [Relation], kind: &str) -> Option<&'r str> {
    related.iter().find(|relation| relation.kind == kind).map(|relation| relation.part.as_str())
}

fn unrelated(sheet: &str) -> ReadError {
    let found = format!("the package does not say which part holds the sheet \"{sheet}\"");
    ReadError::new(Refusal::Damaged, found, REPAIR)
}
