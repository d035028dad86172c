//! Questions about rated voltages that cannot be what they seem, and about those that are missing where the insulation was tested: limits,
//! levels and what a test covers go by the rated voltage. Until a person rules, none of them stands beside the machine's tests.

use crate::rows::Rows;
use std::collections::BTreeSet;
use windrow_criteria::rated::{Doubt, doubt};
use windrow_criteria::stress::Form;
use windrow_identity::nameplate::{NOT_KNOWN, Rated};
use windrow_model::id::row_id;
use windrow_model::settings::JudgingSettings;
use windrow_model::{Asset, Hold, Question, TestKind, Text};

/// Questions about the machines of `rows`; `rated` tells for each of them where its voltage is told.
pub(crate) fn ask(rows: &Rows, rated: &[Rated], judging: &JudgingSettings) -> Vec<Hold> {
    let tested: BTreeSet<&str> = rows
        .tests
        .iter()
        .filter(|test| TestKind::from_code(&test.kind).is_some_and(|kind| Form::of(kind).is_some()))
        .filter_map(|test| test.asset_id.as_deref())
        .collect();
    let open = rows.assets.iter().zip(rated).filter(|(_, rated)| !rated.is_settled);
    open.filter_map(|(asset, rated)| match asset.rated_voltage_v {
        None => tested.contains(asset.asset_id.as_str()).then(|| missing(asset, rated, &rows.import_id)).flatten(),
        Some(volts) => {
            let is_confirmed = windrow_criteria::rated::is_confirmed(volts, &judging.line_voltages);
            doubt(volts)
                .filter(|_| !is_confirmed)
                .and_then(|doubt| doubtful(asset, volts, &doubt, rated, &rows.import_id))
        }
    })
    .collect()
}

fn doubtful(asset: &Asset, volts: f64, doubt: &Doubt, rated: &Rated, import_id: &Text) -> Option<Hold> {
    let as_told = doubt.can_be_confirmed.then_some(volts);
    let choices = doubt.meant.into_iter().chain(as_told).map(|volts| format!("{volts} V"));
    let context = format!("{}: {doubt}. Until it is ruled no limit and no level stands beside its tests.", name(asset));
    hold(rated, choices.collect(), context, &format!("{volts} V"), (&asset.asset_id, import_id))
}

fn missing(asset: &Asset, rated: &Rated, import_id: &Text) -> Option<Hold> {
    let context = format!(
        "{}: the records tell no rated voltage; until it is told no limit by rated voltage and no level stands beside its tests, and what they \
         cover stays open. The answer is the line-to-line voltage of the nameplate, or \"{NOT_KNOWN}\".",
        name(asset)
    );
    hold(rated, Vec::new(), context, "missing", (&asset.asset_id, import_id))
}

fn name(asset: &Asset) -> String {
    asset.site.as_ref().map_or_else(|| asset.tag.clone(), |site| format!("{}, {site}", asset.tag))
}

fn hold(
    rated: &Rated,
    mut choices: Vec<String>,
    context: String,
    cause: &str,
    (asset_id, import_id): (&str, &Text),
) -> Option<Hold> {
    let (file, place, text) = rated.at.as_ref()?;
    choices.push(NOT_KNOWN.to_owned());
    let code = Question::Nameplate.code();
    let sheet = place.sheet.as_deref().unwrap_or_default();
    Some(Hold {
        hold_id: row_id("holds", &[file, sheet, &place.cell, code, asset_id]),
        import_id: import_id.clone(),
        source_file: file.into(),
        source_sheet: place.sheet.clone(),
        source_cell: (!place.cell.is_empty()).then(|| place.cell.clone()),
        raw_text: text.clone(),
        question: code.into(),
        choices,
        context: context.into(),
        cause: format!("rated voltage {cause}").into(),
        resolved_by: None,
    })
}
