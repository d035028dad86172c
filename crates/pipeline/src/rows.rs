//! All sources together: which tests are of one machine, and every value on one basis.

use std::collections::BTreeMap;
use windrow_identity::{MentionIn, resolve};
use windrow_model::id::row_id;
use windrow_model::raw::Understood;
use windrow_model::settings::Settings;
use windrow_model::{Asset, CellRow, Hold, Reading, SourceRow, Test};
use windrow_normalize::{correct, normalize};

/// Rows of a whole import.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Rows {
    /// `UUIDv5` of everything that went in.
    pub import_id: String,
    /// Machines.
    pub assets: Vec<Asset>,
    /// Tests.
    pub tests: Vec<Test>,
    /// Readings.
    pub readings: Vec<Reading>,
    /// Dispositions.
    pub cells: Vec<CellRow>,
    /// Questions.
    pub holds: Vec<Hold>,
    /// Files met.
    pub sources: Vec<SourceRow>,
}

/// Turns understood sources, each with its origin, into rows. `basis` names what else decides the result: program version and
/// settings hash.
#[must_use]
pub fn rows_of(sources: &[(String, Understood)], settings: &Settings, basis: &[&str]) -> Rows {
    let mut rows = Rows { import_id: import_id(sources, basis), ..Rows::default() };
    let mut mentions = Vec::new();
    for (origin, understood) in sources {
        let normalized = normalize(understood, origin, &rows.import_id);
        rows.tests.extend(normalized.tests);
        rows.readings.extend(normalized.readings);
        rows.cells.extend(normalized.cells);
        rows.holds.extend(normalized.holds);
        rows.sources.extend(normalized.source);
        let of_tests = understood.tests.iter().map(|test| &test.machine);
        mentions.extend(of_tests.map(|mention| MentionIn { source_file: &understood.source_file, mention }));
    }
    let tests = mentions.len();
    for (_, understood) in sources {
        let registered = understood.machines.iter();
        mentions.extend(registered.map(|mention| MentionIn { source_file: &understood.source_file, mention }));
    }
    let resolved = resolve(&mentions);
    for (test, asset) in rows.tests.iter_mut().zip(resolved.asset_of.iter().take(tests)) {
        test.asset_id.clone_from(asset);
    }
    rows.assets = resolved.assets;
    correct_all(&mut rows, settings);
    rows
}

fn correct_all(rows: &mut Rows, settings: &Settings) {
    let assets: BTreeMap<&str, &Asset> = rows.assets.iter().map(|asset| (asset.asset_id.as_str(), asset)).collect();
    let tests: BTreeMap<&str, &Test> = rows.tests.iter().map(|test| (test.test_id.as_str(), test)).collect();
    for reading in &mut rows.readings {
        if let Some(test) = tests.get(reading.test_id.as_str()) {
            let asset = test.asset_id.as_deref().and_then(|id| assets.get(id)).copied();
            correct(reading, test, asset, &settings.judging);
        }
    }
}

/// Id of the import: the same files under the same settings give the same id, in any order.
fn import_id(sources: &[(String, Understood)], basis: &[&str]) -> String {
    let mut parts: Vec<String> =
        sources.iter().map(|(_, understood)| format!("{} {}", understood.source_file, understood.blake3)).collect();
    parts.sort();
    let mut key: Vec<&str> = basis.to_vec();
    key.extend(parts.iter().map(String::as_str));
    row_id("imports", &key)
}
