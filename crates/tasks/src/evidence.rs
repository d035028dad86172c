//! The rows that a finding rests on, as it names them, whoever shows them.

use std::collections::BTreeSet;
use windrow_model::{Finding, Reading, Test, Waveform};
use windrow_store::Snapshot;

/// What is in the tables of the rows that a finding names.
#[derive(Debug, Default)]
pub struct Evidence {
    /// Its readings with their tests, in the order of time.
    pub readings: Vec<(Reading, Option<Test>)>,
    /// Tests that it names beside them, in the order of time.
    pub tests: Vec<Test>,
    /// Rows that it names and that are gone.
    pub gone: usize,
}

impl Evidence {
    /// How much is gone, in words; nothing where all is there.
    #[must_use]
    pub fn gone_in_words(&self) -> Option<String> {
        match self.gone {
            0 => None,
            1 => {
                Some("1 row that it named is no longer in the tables: records or rulings have changed since".to_owned())
            }
            rows => Some(format!(
                "{rows} rows that it named are no longer in the tables: records or rulings have changed since"
            )),
        }
    }
}

/// The rows that `finding` names; a finding that names none rests on the readings of its test. What is named and gone is never
/// replaced by other rows.
///
/// # Errors
/// When the tables cannot be read.
pub fn of(snapshot: &Snapshot, finding: &Finding) -> anyhow::Result<Evidence> {
    let named: BTreeSet<&str> = finding.evidence.iter().map(String::as_str).collect();
    let ids: Vec<&str> = named.iter().copied().collect();
    let readings: Vec<Reading> = match (ids.as_slice(), finding.test_id.as_deref()) {
        ([], None) => Vec::new(),
        ([], Some(test)) => snapshot.rows_where("test_id", &[test])?,
        (ids, _) => named_readings(snapshot, finding, ids)?,
    };
    let of_readings = readings.iter().map(|reading| reading.test_id.as_str());
    let wanted: Vec<&str> = of_readings.chain(ids.iter().copied()).collect::<BTreeSet<&str>>().into_iter().collect();
    let waveforms: Vec<Waveform> =
        if ids.is_empty() { Vec::new() } else { snapshot.rows_where("waveform_id", &ids)? };
    let mut tests: Vec<Test> = if wanted.is_empty() { Vec::new() } else { snapshot.rows_where("test_id", &wanted)? };
    tests.sort_by(|a, b| (a.performed_on, &a.test_id).cmp(&(b.performed_on, &b.test_id)));
    let test_of = |reading: &Reading| tests.iter().find(|test| test.test_id == reading.test_id).cloned();
    let mut readings: Vec<(Reading, Option<Test>)> = readings
        .into_iter()
        .map(|reading| {
            let test = test_of(&reading);
            (reading, test)
        })
        .collect();
    readings.sort_by_key(|(reading, test)| {
        (test.as_ref().and_then(|test| test.performed_on), reading.test_id.clone(), reading.seq)
    });
    tests.retain(|test| named.contains(test.test_id.as_str()));
    let there = if named.is_empty() { 0 } else { readings.len() + tests.len() + waveforms.len() };
    Ok(Evidence { gone: named.len().saturating_sub(there), readings, tests })
}

/// Readings that a finding names by `ids`, among which are ids of other rows: first in the sources of its machine, which are few, and what
/// is not there in all.
fn named_readings(snapshot: &Snapshot, finding: &Finding, ids: &[&str]) -> anyhow::Result<Vec<Reading>> {
    let Some(asset) = finding.asset_id.as_deref() else { return Ok(snapshot.rows_where("reading_id", ids)?) };
    let tests: Vec<Test> = snapshot.rows_where("asset_id", &[asset])?;
    let files: BTreeSet<&str> = tests.iter().map(|test| test.source_file.as_str()).collect();
    let files: Vec<&str> = files.into_iter().collect();
    let mut readings: Vec<Reading> = snapshot.rows_where_in("reading_id", ids, &files)?;
    let mut rest: BTreeSet<&str> = ids.iter().copied().collect();
    for found in
        readings.iter().map(|reading| reading.reading_id.as_str()).chain(tests.iter().map(|test| test.test_id.as_str()))
    {
        rest.remove(found);
    }
    if !rest.is_empty() {
        readings.extend(snapshot.rows_where::<Reading>("reading_id", &rest.into_iter().collect::<Vec<_>>())?);
    }
    Ok(readings)
}
