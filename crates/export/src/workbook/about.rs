//! The first sheet, which carries the mark and says what the others are, and the last, which carries the cautions.

use super::Rows;
use super::page::Formats;
use crate::error::Result;
use crate::tables::Tables;
use rust_xlsxwriter::{Workbook, Worksheet};
use windrow_criteria::cautions;
use windrow_model::consolidated::{ABOUT, MARK, VERSION};
use windrow_model::settings::TesterNames;

pub(super) fn write(workbook: &mut Workbook, formats: &Formats, tables: &Tables, rows: &Rows) -> Result<()> {
    let sheet = workbook.add_worksheet();
    sheet.set_name(ABOUT)?.set_column_width(0, 110)?;
    sheet.write_string_with_format(0, 0, MARK, &formats.title)?;
    // As text: it is a name, not a number.
    sheet.write_string(0, 1, VERSION)?;
    let open = rows.holds.iter().filter(|hold| hold.resolved_by.is_none()).count();
    let names = match tables.people().mode() {
        TesterNames::Keep => "Names of people stand as the records tell them.",
        TesterNames::Pseudonym => {
            "Names of people are replaced by pseudonyms; names inside of remarks only where they are a tester's."
        }
        TesterNames::Drop => "Names of people are left out; names inside of remarks only where they are a tester's.",
    };
    let lines = [
        format!(
            "Fleet {}: {} machines, {} tests, {} readings, {} findings, {open} open questions.",
            tables.name(),
            rows.assets.len(),
            rows.tests.len(),
            rows.readings.len(),
            rows.findings.len()
        ),
        "Insulation tests can kill people and break machines: see the sheet Cautions. Nothing here is an order to test or a verdict.".to_owned(),
        String::new(),
        "Machines: one row a machine, nameplate in SI units. Test summary: one row a test. Readings: one row a measured number, with the text, \
         file, sheet and cell that it was read from (the source is a link as long as the file stands where it was imported from).".to_owned(),
        "A number shown with ≥ or ≤ is a bound: the instrument's ceiling or floor. The cell holds the number alone; the column Bound says which. \
         Never average bounds as if they were readings.".to_owned(),
        "Dates known to the month or year only are the first day of that period, shown without the day; the column Date known to says so.".to_owned(),
        names.to_owned(),
        "This workbook can be imported again: machines and readings are read back as they stand, and the other sheets are computed anew. Figures \
         that sources computed themselves, recorded signals and the account of all cells stand in the other forms of export only.".to_owned(),
    ];
    below(sheet, formats, 2, &lines)
}

pub(super) fn cautions(workbook: &mut Workbook, formats: &Formats) -> Result<()> {
    let sheet = workbook.add_worksheet();
    sheet.set_name("Cautions")?.set_column_width(0, 110)?;
    sheet.write_string_with_format(0, 0, "Cautions", &formats.title)?;
    let more = [cautions::GROUND_WALL, cautions::CONDUCTOR, cautions::HIGH_VOLTAGE];
    let lines: Vec<String> = cautions::GENERAL.iter().chain(&more).map(|text| (*text).to_owned()).collect();
    below(sheet, formats, 1, &lines)
}

fn below(sheet: &mut Worksheet, formats: &Formats, first: u32, lines: &[String]) -> Result<()> {
    for (row, line) in (first..).zip(lines).filter(|(_, line)| !line.is_empty()) {
        sheet.write_string_with_format(row, 0, line, &formats.wrapped)?;
    }
    Ok(())
}
