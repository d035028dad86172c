//! One consolidated workbook: machines, test summary, readings with the way to their source, findings, open questions, cautions.
//!
//! Numbers are numbers and dates are dates; a bound is shown by the number's format, so that the cell still holds the number. The layout
//! of machines and readings is told in [`windrow_model::consolidated`], so that the workbook can be imported again.

mod about;
mod findings;
mod machines;
mod page;
mod questions;
mod readings;
mod summary;

use crate::error::Result;
use crate::tables::Tables;
use page::Formats;
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Workbook};
use windrow_model::{Asset, Finding, Hold, Reading, SourceRow, Test, TestSummary};

/// What the sheets are made of.
struct Rows {
    assets: Vec<Asset>,
    tests: Vec<Test>,
    readings: Vec<Reading>,
    summaries: Vec<TestSummary>,
    findings: Vec<Finding>,
    holds: Vec<Hold>,
    sources: Vec<SourceRow>,
}

/// The bytes of the workbook; the same tables give the same bytes.
pub(crate) fn write(tables: &Tables) -> Result<Vec<u8>> {
    let rows = Rows {
        assets: tables.rows()?,
        tests: tables.rows()?,
        readings: tables.rows()?,
        summaries: tables.rows()?,
        findings: tables.rows()?,
        holds: tables.rows()?,
        sources: tables.rows()?,
    };
    let mut workbook = Workbook::new();
    // A fixed day: the bytes depend on the records alone.
    workbook.set_properties(&DocProperties::new().set_creation_datetime(&ExcelDateTime::from_ymd(2000, 1, 1)?));
    let formats = Formats::new();
    about::write(&mut workbook, &formats, tables, &rows)?;
    machines::write(&mut workbook, &formats, &rows)?;
    summary::write(&mut workbook, &formats, &rows)?;
    readings::write(&mut workbook, &formats, &rows)?;
    findings::write(&mut workbook, &formats, &rows)?;
    questions::write(&mut workbook, &formats, &rows)?;
    about::cautions(&mut workbook, &formats)?;
    Ok(workbook.save_to_buffer()?)
}
