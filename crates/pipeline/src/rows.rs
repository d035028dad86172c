//! All sources together: which tests are of one machine, and every value on one basis.

use crate::intake::Source;
use crate::{corrected, rated};
use std::collections::BTreeMap;
use windrow_identity::duplicates::{self, Beside};
use windrow_identity::{MentionIn, resolve};
use windrow_model::id::row_id;
use windrow_model::settings::Settings;
use windrow_model::{Asset, CellRow, Hold, Reading, ReportedFigure, SourceRow, Test, Text, Waveform};
use windrow_normalize::{Location, correct, name_asset_cells, normalize};

/// Rows of a whole import.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Rows {
    /// `UUIDv5` of everything that went in.
    pub import_id: Text,
    /// Machines.
    pub assets: Vec<Asset>,
    /// Tests.
    pub tests: Vec<Test>,
    /// Readings.
    pub readings: Vec<Reading>,
    /// Sampled signals.
    pub waveforms: Vec<Waveform>,
    /// Figures that sources computed.
    pub reported_figures: Vec<ReportedFigure>,
    /// Dispositions.
    pub cells: Vec<CellRow>,
    /// Questions.
    pub holds: Vec<Hold>,
    /// Files met.
    pub sources: Vec<SourceRow>,
}

/// Turns understood sources into rows, and lets go of them. `basis` names what else decides the result: program version and settings hash.
#[must_use]
pub fn rows_of(sources: Vec<Source>, settings: &Settings, basis: &[&str]) -> Rows {
    let mut rows = Rows { import_id: import_id(&sources, basis), ..Rows::default() };
    let resolved = resolve(&mentions(&sources), &settings.decisions);
    let files = same_bytes(&sources);
    let mut of_mentions = resolved.asset_of.iter().map(Option::as_deref);
    let of_tests: Vec<Option<&str>> =
        sources.iter().flat_map(|source| &source.understood.tests).map(|_| of_mentions.next().flatten()).collect();
    let mut exported = BTreeMap::new();
    // One by one: what is understood and its rows are never all there together.
    for Source { origin, path, understood } in sources {
        let location = Location { origin: &origin, path: &path };
        let mut normalized = normalize(&understood, location, &rows.import_id);
        let machines: Vec<Option<&str>> = understood.machines.iter().map(|_| of_mentions.next().flatten()).collect();
        name_asset_cells(&mut normalized, |mention| machines.get(mention).copied().flatten());
        let ids = understood.tests.iter().zip(&normalized.tests);
        exported.extend(ids.filter_map(|(told, row)| Some((row.test_id.clone(), told.exported.clone()?))));
        rows.tests.extend(normalized.tests);
        rows.readings.extend(normalized.readings);
        rows.waveforms.extend(normalized.waveforms);
        rows.reported_figures.extend(normalized.reported_figures);
        rows.cells.extend(normalized.cells);
        rows.holds.extend(normalized.holds);
        rows.sources.extend(normalized.source);
    }
    for (test, asset) in rows.tests.iter_mut().zip(of_tests) {
        test.asset_id = asset.map(Text::from);
    }
    rows.assets = resolved.assets;
    rows.holds.extend(resolved.holds.into_iter().map(|hold| Hold { import_id: rows.import_id.clone(), ..hold }));
    let files = files.iter().map(|(copy, first)| (copy.as_str(), first.as_str())).collect();
    let beside = Beside { same_bytes: Some(&files), exported: Some(&exported), decisions: &settings.decisions };
    rows.holds.extend(duplicates::mark(&mut rows.tests, &mut rows.readings, beside));
    corrected::apply(&mut rows.readings, &settings.decisions);
    correct_all(&mut rows, settings);
    rows.holds.extend(corrected::ask(&rows, &settings.decisions));
    rows.holds.extend(rated::ask(&rows, &resolved.rated, &settings.judging));
    rows
}

/// Files with the bytes of another, and the first of those in the order of names.
fn same_bytes(sources: &[Source]) -> BTreeMap<String, String> {
    // Samples are the same only if what tells their meaning is.
    let mut by_content: BTreeMap<(&str, Option<&str>), Vec<&str>> = BTreeMap::new();
    for Source { understood, .. } in sources {
        let content = (understood.blake3.as_str(), understood.companion_blake3.as_deref());
        by_content.entry(content).or_default().push(&understood.source_file);
    }
    let mut copies = BTreeMap::new();
    for mut files in by_content.into_values() {
        files.sort_unstable();
        let Some((first, others)) = files.split_first() else { continue };
        copies.extend(
            others.iter().filter(|other| *other != first).map(|other| ((*other).to_owned(), (*first).to_owned())),
        );
    }
    copies
}

/// The machines of all tests, then those of all registers, each in the order of the sources.
fn mentions(sources: &[Source]) -> Vec<MentionIn<'_>> {
    let tests = sources.iter().flat_map(|source| {
        let Source { understood, .. } = source;
        understood.tests.iter().map(|test| MentionIn {
            origin: source.folder(),
            record: Some(test),
            source_file: &understood.source_file,
            mention: &test.machine,
            on: test.performed.as_ref().map(|told| told.value.first),
            test: Some(&test.place),
        })
    });
    let registered = sources.iter().flat_map(|source| {
        let Source { understood, .. } = source;
        let file = &understood.source_file;
        understood.machines.iter().map(|mention| MentionIn {
            origin: source.folder(),
            record: None,
            source_file: file,
            mention,
            // A list of renumbered machines speaks of its tags from a day on.
            on: mention.renumbered.as_ref().and_then(|line| line.on.as_ref()).map(|told| told.value.first),
            test: None,
        })
    });
    tests.chain(registered).collect()
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

/// Id of the import: the same files under the same settings give the same id, in any order and wherever they lie.
fn import_id(sources: &[Source], basis: &[&str]) -> Text {
    let part = |Source { understood, .. }: &Source| {
        // A file that could not be opened for a while is another input when it can.
        format!("{} {} {}", understood.source_file, understood.blake3, understood.status)
    };
    let mut parts: Vec<String> = sources.iter().map(part).collect();
    parts.sort();
    let mut key: Vec<&str> = basis.to_vec();
    key.extend(parts.iter().map(String::as_str));
    row_id("imports", &key)
}
