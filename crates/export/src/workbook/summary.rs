//! The sheet with one row a test.

use super::Rows;
use super::page::{Cell, Formats, Page};
use crate::error::Result;
use rust_xlsxwriter::Workbook;
use windrow_model::{TestSummary, Unit};

const HEADINGS: &[&str] = &[
    "Machine",
    "Site",
    "Date",
    "Date known to",
    "Test",
    "Insulation resistance after 1 min, lowest (MΩ)",
    "The same at 40 °C (MΩ)",
    "Minimum at 40 °C (MΩ)",
    "Basis of that minimum",
    "Polarization index (10 min / 1 min)",
    "Its minimum",
    "Basis of its minimum",
    "Absorption ratio (60 s / 30 s)",
    "Leakage current at the highest voltage (µA)",
    "Highest voltage (V)",
    "Highest voltage (p.u. of phase to earth)",
    "Withstood",
    "Unbalance (%)",
    "Above the dew point (K)",
    "Rated voltage (V)",
    "Winding",
    "Insulation",
    "Copy of test",
    "Test id",
];

pub(super) fn write(workbook: &mut Workbook, formats: &Formats, rows: &Rows) -> Result<()> {
    let mut page = Page::new(workbook, formats, "Test summary", HEADINGS)?;
    for summary in &rows.summaries {
        page.push(cells(summary))?;
    }
    page.finish()
}

fn cells(summary: &TestSummary) -> Vec<Cell> {
    let scaled = |unit: Unit, value: Option<f64>| value.map(|value| unit.from_stored(value));
    let resistance = |ohm: Option<f64>| Cell::bounded(scaled(Unit::MEGOHM, ohm), summary.ir_bound.as_deref());
    vec![
        Cell::maybe(summary.tag.as_ref()),
        Cell::maybe(summary.site.as_ref()),
        Cell::day(summary.performed_on, &summary.performed_precision),
        Cell::text(summary.performed_precision.as_str()),
        Cell::text(summary.kind.as_str()),
        resistance(summary.ir_1min_ohm),
        resistance(summary.ir_1min_40c_ohm),
        Cell::number(scaled(Unit::MEGOHM, summary.ir_minimum_ohm)),
        Cell::maybe(summary.ir_minimum_basis.as_ref()),
        Cell::bounded(summary.polarization_index, summary.polarization_index_bound.as_deref()),
        Cell::number(summary.polarization_index_minimum),
        Cell::maybe(summary.polarization_index_basis.as_ref()),
        Cell::bounded(summary.absorption_ratio, summary.absorption_ratio_bound.as_deref()),
        Cell::number(scaled(Unit::MICROAMPERE, summary.leakage_at_max_v_a)),
        Cell::number(summary.max_voltage_v),
        Cell::number(summary.max_voltage_pu),
        Cell::maybe(summary.withstood.map(|withstood| if withstood { "yes" } else { "no" })),
        Cell::number(scaled(Unit::PERCENT, summary.unbalance)),
        Cell::number(summary.dew_point_margin_k),
        Cell::number(summary.rated_voltage_v),
        Cell::maybe(summary.winding_kind.as_ref()),
        Cell::maybe(summary.insulation_era.as_ref()),
        Cell::maybe(summary.duplicate_of.as_ref()),
        Cell::text(summary.test_id.as_str()),
    ]
}
