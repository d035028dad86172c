//! What became of every cell, and the questions.

use crate::ids::Ids;
use windrow_model::id::row_id;
use windrow_model::raw::{Target, Understood};
use windrow_model::{CellRow, Hold, Text};

/// A cell that told a field of a machine; its target is named once identity knows the machine.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AssetCell {
    /// Index into [`crate::Normalized::cells`].
    pub cell: usize,
    /// Index into [`Understood::machines`].
    pub mention: usize,
    /// Column of `assets`.
    pub column: Text,
}

/// One row a mark; targets name the row that a cell became.
pub(crate) fn rows(understood: &Understood, import_id: &Text, ids: &Ids) -> Vec<CellRow> {
    let file = Text::new(&understood.source_file);
    understood
        .cells
        .iter()
        .map(|mark| CellRow {
            import_id: import_id.clone(),
            source_file: file.clone(),
            source_sheet: mark.place.sheet.clone(),
            source_cell: mark.place.cell.clone(),
            raw_text: mark.raw_text.clone(),
            disposition: mark.disposition.code().into(),
            target: mark.target.as_ref().and_then(|target| name(target, ids)),
            reason: mark.reason.clone(),
        })
        .collect()
}

/// `tests/ID/column`, `readings/ID/column`, `reported_figures/TEST/value`; none for a field of a machine and for a row that the source does not have.
fn name(target: &Target, ids: &Ids) -> Option<Text> {
    match target {
        Target::Reading { test, reading, column } => {
            ids.reading(*test, *reading).map(|id| format!("readings/{id}/{column}").into())
        }
        Target::Test { test, column } => ids.test(*test).map(|id| format!("tests/{id}/{column}").into()),
        Target::Waveform { waveform } => ids.waveform(*waveform).map(|id| format!("waveforms/{id}/samples").into()),
        // Such a figure is known by its test and its place.
        Target::Figure { test } => ids.test(*test).map(|id| format!("reported_figures/{id}/value").into()),
        Target::Asset { .. } => None,
    }
}

/// The cells that told fields of machines.
pub(crate) fn of_assets(understood: &Understood) -> Vec<AssetCell> {
    let asset = |(cell, target): (usize, Option<&Target>)| match target {
        Some(Target::Asset { mention, column }) => {
            Some(AssetCell { cell, mention: usize::try_from(*mention).ok()?, column: column.clone() })
        }
        _ => None,
    };
    understood.cells.iter().map(|mark| mark.target.as_ref()).enumerate().filter_map(asset).collect()
}

/// One row a question.
pub(crate) fn holds(understood: &Understood, import_id: &Text) -> Vec<Hold> {
    understood
        .holds
        .iter()
        .map(|hold| {
            let sheet = hold.place.sheet.as_deref().unwrap_or("");
            let key = [understood.source_file.as_str(), sheet, &hold.place.cell, hold.question.code(), &hold.raw_text];
            Hold {
                hold_id: row_id("holds", &key),
                import_id: import_id.clone(),
                source_file: understood.source_file.as_str().into(),
                source_sheet: hold.place.sheet.clone(),
                source_cell: (!hold.place.cell.is_empty()).then(|| hold.place.cell.clone()),
                raw_text: hold.raw_text.clone(),
                question: hold.question.code().into(),
                choices: hold.choices.clone(),
                context: hold.context.as_str().into(),
                cause: hold.cause.as_str().into(),
                resolved_by: None,
            }
        })
        .collect()
}
