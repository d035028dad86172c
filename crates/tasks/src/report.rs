//! The rows that a report shows.

use crate::ladder;
use crate::positions;
use crate::questions::groups;
use std::collections::BTreeSet;
use windrow_model::{Asset, Hold, ImportRow, Test};
use windrow_report::ReportData;
use windrow_store::{Fleet, Snapshot};

/// All rows of a snapshot, with the levels that stand beside each machine's tests.
pub fn data(fleet: &Fleet, snapshot: &Snapshot) -> anyhow::Result<ReportData> {
    let assets: Vec<Asset> = snapshot.rows()?;
    let judging = fleet.settings()?.judging;
    let tests: Vec<Test> = snapshot.rows()?;
    Ok(ReportData {
        title: title(fleet),
        stays: positions::of_all(snapshot, &assets, &tests)?,
        cautions: cautions(),
        levels: assets.iter().flat_map(|asset| ladder::levels_beside(asset, &judging)).collect(),
        assets,
        tests,
        readings: snapshot.rows()?,
        summaries: snapshot.rows()?,
        findings: snapshot.rows()?,
        coverage: snapshot.rows()?,
        questions: questions(snapshot.rows()?),
        sources: snapshot.rows()?,
        import: newest_import(snapshot)?,
    })
}

/// The rows of one machine, with the sources that tell of it and the questions that they leave open.
///
/// `beside` are the machines that share a name with it ([`positions::Names::beside`]).
///
/// # Errors
/// When the tables or the settings cannot be read.
pub fn of_machine(fleet: &Fleet, snapshot: &Snapshot, asset: &Asset, beside: &[&Asset]) -> anyhow::Result<ReportData> {
    let id = [asset.asset_id.as_str()];
    let tests: Vec<Test> = snapshot.rows_where("asset_id", &id)?;
    let ids: Vec<&str> = tests.iter().map(|test| test.test_id.as_str()).collect();
    let files: BTreeSet<&str> = tests.iter().map(|test| test.source_file.as_str()).collect();
    let files: Vec<&str> = files.into_iter().collect();
    let data = ReportData {
        title: format!("{}, {}", asset.tag, title(fleet)),
        cautions: cautions(),
        levels: ladder::levels_beside(asset, &fleet.settings()?.judging),
        stays: positions::of(snapshot, (asset, &tests), beside)?,
        assets: vec![asset.clone()],
        readings: snapshot.rows_where_in("test_id", &ids, &files)?,
        summaries: snapshot.rows_where("asset_id", &id)?,
        findings: snapshot.rows_where("asset_id", &id)?,
        coverage: snapshot.rows_where("asset_id", &id)?,
        questions: questions(snapshot.rows_where("source_file", &files)?),
        sources: snapshot.rows_where("source_file", &files)?,
        import: newest_import(snapshot)?,
        tests: Vec::new(),
    };
    Ok(ReportData { tests, ..data })
}

/// Open questions as all who count or list them do.
fn questions(holds: Vec<Hold>) -> Vec<Vec<Hold>> {
    groups(holds).into_iter().map(|group| group.holds).collect()
}

/// The cautions that stand wherever a level or a verdict does.
#[must_use]
pub fn cautions() -> Vec<String> {
    windrow_criteria::cautions::GENERAL.iter().map(|text| (*text).to_owned()).collect()
}

/// The import that began last.
pub fn newest_import(snapshot: &Snapshot) -> anyhow::Result<Option<ImportRow>> {
    let imports: Vec<ImportRow> = snapshot.rows()?;
    Ok(imports.into_iter().max_by(|a, b| a.started_at.cmp(&b.started_at)))
}

/// The name of a fleet: that of its folder.
#[must_use]
pub fn title(fleet: &Fleet) -> String {
    let name = fleet.dir().file_name().map_or_else(|| "fleet".to_owned(), |name| name.to_string_lossy().into_owned());
    format!("Fleet {name}")
}
