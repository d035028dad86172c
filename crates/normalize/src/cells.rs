//! What became of every cell, and the questions.

use windrow_model::id::row_id;
use windrow_model::raw::{Target, Understood};
use windrow_model::{CellRow, Hold, Test};

/// One row a mark; targets name the row that a cell became.
pub(crate) fn rows(understood: &Understood, import_id: &str, tests: &[Test]) -> Vec<CellRow> {
    understood
        .cells
        .iter()
        .map(|mark| CellRow {
            import_id: import_id.to_owned(),
            source_file: understood.source_file.clone(),
            source_sheet: mark.place.sheet.clone(),
            source_cell: mark.place.cell.clone(),
            raw_text: mark.raw_text.clone(),
            disposition: mark.disposition.code().to_owned(),
            target: mark.target.as_ref().map(|target| name(target, tests)),
            reason: mark.reason.clone(),
        })
        .collect()
}

/// `tests/ID/column`, `tests/ID/readings/SEQ/column`, `assets/column`.
fn name(target: &Target, tests: &[Test]) -> String {
    let id = |test: u32| {
        usize::try_from(test)
            .ok()
            .and_then(|index| tests.get(index))
            .map_or_else(|| "?".to_owned(), |test| test.test_id.clone())
    };
    match target {
        Target::Reading { test, reading, column } => format!("tests/{}/readings/{reading}/{column}", id(*test)),
        Target::Test { test, column } => format!("tests/{}/{column}", id(*test)),
        Target::Asset { column, .. } => format!("assets/{column}"),
    }
}

/// One row a question.
pub(crate) fn holds(understood: &Understood, import_id: &str) -> Vec<Hold> {
    understood
        .holds
        .iter()
        .map(|hold| {
            let sheet = hold.place.sheet.as_deref().unwrap_or("");
            let key = [understood.source_file.as_str(), sheet, &hold.place.cell, hold.question.code(), &hold.raw_text];
            Hold {
                hold_id: row_id("holds", &key),
                import_id: import_id.to_owned(),
                source_file: understood.source_file.clone(),
                source_sheet: hold.place.sheet.clone(),
                source_cell: (!hold.place.cell.is_empty()).then(|| hold.place.cell.clone()),
                raw_text: hold.raw_text.clone(),
                question: hold.question.code().to_owned(),
                choices: hold.choices.clone(),
                context: hold.context.clone(),
                cause: hold.cause.clone(),
                resolved_by: None,
            }
        })
        .collect()
}
