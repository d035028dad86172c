//! Figures that a source computed from its readings: kept beside them, never among them.

use windrow_model::raw::RawReading;
use windrow_model::{ReportedFigure, Text};

/// The row of `figure`, which stands in the test `test_id`.
pub(crate) fn row(figure: &RawReading, test_id: &Text, source_file: &Text) -> ReportedFigure {
    let quantity = figure.quantity.value;
    ReportedFigure {
        test_id: test_id.clone(),
        quantity: quantity.code().into(),
        circuit: figure.circuit.as_ref().map(|told| told.value.code().into()),
        elapsed_s: figure.elapsed_s.as_ref().map(|told| told.value),
        applied_voltage_v: figure.applied_voltage_v.as_ref().map(|told| told.value),
        value: figure.unit.value.to_stored(figure.number),
        unit: quantity.stored_unit().ucum.into(),
        as_reported: figure.as_reported.code().into(),
        bound: figure.bound.code().into(),
        raw_text: figure.raw_text.clone(),
        source_file: source_file.clone(),
        source_sheet: figure.place.sheet.clone(),
        source_cell: figure.place.cell.clone(),
    }
}
