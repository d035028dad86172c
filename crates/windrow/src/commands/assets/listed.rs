//! How the machines of the records and the owners' equipment list meet.

use super::SHORT;
use crate::args::ListFormat;
use crate::{Ending, output};
use std::collections::BTreeSet;
use windrow_model::{Asset, Test};

/// How an entry of the list and the records meet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum State {
    Conflict,
    OnlyListed,
    OnlyRecorded,
    Matched,
}

impl State {
    const fn written(self) -> &'static str {
        match self {
            Self::Conflict => "conflict",
            Self::OnlyListed => "only in the list",
            Self::OnlyRecorded => "only in the records",
            Self::Matched => "matched",
        }
    }
}

/// Lists every machine with how it meets the equipment list: what needs a person first.
pub(super) fn compare(assets: &[Asset], tests: &[Test], format: ListFormat) -> anyhow::Result<Ending> {
    if assets.iter().all(|asset| asset.listed_at.is_none()) {
        output::note(
            "no equipment list was imported; import one: a table of tags with columns such as functional location, parent or list key",
        );
        return Ok(Ending::Clean);
    }
    let tested: BTreeSet<&str> = tests.iter().filter_map(|test| test.asset_id.as_deref()).collect();
    let mut rows: Vec<(State, &Asset)> = assets.iter().map(|asset| (state(asset, &tested), asset)).collect();
    rows.sort_by_key(|(state, _)| *state);
    let written: Vec<Vec<String>> = rows.iter().map(|(state, asset)| row(*state, asset)).collect();
    let header = [
        "state",
        "list_key",
        "tag",
        "site",
        "area",
        "functional_location",
        "parent",
        "class",
        "id",
        "listed_at",
        "differs",
    ];
    output::list(&header, &written, format)?;
    let count = |wanted: State| rows.iter().filter(|(state, _)| *state == wanted).count();
    output::note(&format!(
        "{} matched, {} in conflict, {} only in the list, {} only in the records",
        count(State::Matched),
        count(State::Conflict),
        count(State::OnlyListed),
        count(State::OnlyRecorded)
    ));
    Ok(if count(State::Conflict) == 0 { Ending::Clean } else { Ending::Open })
}

fn state(asset: &Asset, tested: &BTreeSet<&str>) -> State {
    match (asset.listed_at.is_some(), tested.contains(asset.asset_id.as_str())) {
        (false, _) => State::OnlyRecorded,
        (true, _) if !asset.nameplate_conflicts.is_empty() => State::Conflict,
        (true, false) => State::OnlyListed,
        (true, true) => State::Matched,
    }
}

fn row(state: State, asset: &Asset) -> Vec<String> {
    let text = |text: &Option<String>| text.clone().unwrap_or_default();
    let differs: Vec<String> =
        asset.nameplate_conflicts.iter().map(|conflict| format!("{}: {}", conflict.step, conflict.detail)).collect();
    vec![
        state.written().to_owned(),
        text(&asset.list_key),
        asset.tag.clone(),
        text(&asset.site),
        text(&asset.area),
        text(&asset.functional_location),
        text(&asset.parent),
        asset.equipment_class.clone(),
        asset.asset_id.chars().take(SHORT).collect(),
        text(&asset.listed_at),
        if state == State::Conflict { differs.join(" | ") } else { String::new() },
    ]
}
