//! Invented workbooks for the benchmark: row logs as plants keep them, at a size no plant has.

use anyhow::Context;
use rust_xlsxwriter::{Format, Workbook, Worksheet};
use std::path::Path;

const HEADER: [&str; 10] =
    ["Motor", "Date", "Test V", "U-E MΩ", "V-E MΩ", "W-E MΩ", "10 min U-E MΩ", "Winding °C", "RH %", "Remarks"];

/// `books` workbooks below `folder` with `tests` tests each.
pub(super) fn many_workbooks(folder: &Path, books: u32, tests: u32) -> anyhow::Result<()> {
    std::fs::create_dir_all(folder).with_context(|| format!("{} cannot be created", folder.display()))?;
    for book in 0..books {
        write(&folder.join(format!("area_{book:03}.xlsx")), book, tests)?;
    }
    Ok(())
}

/// One workbook below `folder` with ten cells in each of `tests` rows.
pub(super) fn large_workbook(folder: &Path, tests: u32) -> anyhow::Result<()> {
    std::fs::create_dir_all(folder).with_context(|| format!("{} cannot be created", folder.display()))?;
    write(&folder.join("all.xlsx"), 0, tests)
}

fn write(path: &Path, book: u32, tests: u32) -> anyhow::Result<()> {
    let mut workbook = Workbook::new();
    let sheet = workbook.add_worksheet().set_name("Log")?;
    for (column, name) in (0_u16..).zip(HEADER) {
        sheet.write(0, column, name)?;
    }
    let date = Format::new().set_num_format("dd/mm/yyyy");
    for row in 0..tests {
        test_row(sheet, book, row, &date)?;
    }
    workbook.save(path)?;
    Ok(())
}

/// A row of plausible figures from a small mixing function: no random source, the same bytes each time.
fn test_row(sheet: &mut Worksheet, book: u32, row: u32, date: &Format) -> anyhow::Result<()> {
    let at = row + 1;
    let mixed = (row.wrapping_mul(2_654_435_761) ^ book.wrapping_mul(40_503)) >> 8;
    let base = 200.0 + f64::from(mixed % 1800);
    sheet.write(at, 0, format!("A{book:03}-M-{:04}", 100 + row % 5000))?;
    sheet.write_with_format(at, 1, 31_000 + row % 14_000, date)?;
    sheet.write(at, 2, 1000)?;
    for phase in 0..3_u8 {
        sheet.write(at, u16::from(phase) + 3, base + f64::from(phase) * 10.0)?;
    }
    sheet.write(at, 6, base * 2.5)?;
    sheet.write(at, 7, 15 + mixed % 20)?;
    sheet.write(at, 8, 40 + mixed % 35)?;
    sheet.write(at, 9, if mixed.is_multiple_of(7) { "heaters on" } else { "routine" })?;
    Ok(())
}
