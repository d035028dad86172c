//! The rows that a report shows.

use crate::cohorts;
use crate::ladder;
use crate::next_tests;
use crate::positions;
use crate::questions::groups;
use std::collections::BTreeSet;
use windrow_model::settings::Settings;
use windrow_model::{Asset, Coverage, Finding, Hold, ImportRow, SourceRow, Test, TestSummary};
use windrow_report::ReportData;
use windrow_report::next_tests::Plan;
use windrow_store::{Fleet, Snapshot};

/// All rows of a snapshot, with the levels that stand beside each machine's tests.
pub fn data(fleet: &Fleet, snapshot: &Snapshot) -> anyhow::Result<ReportData> {
    let assets: Vec<Asset> = snapshot.rows()?;
    let settings = fleet.settings()?;
    let tests: Vec<Test> = snapshot.rows()?;
    let summaries: Vec<TestSummary> = snapshot.rows()?;
    let import = newest_import(snapshot)?;
    Ok(ReportData {
        title: title(fleet),
        stays: positions::of_all(snapshot, &assets, &tests)?,
        cautions: cautions(),
        levels: assets.iter().flat_map(|asset| ladder::levels_beside(asset, &settings.judging)).collect(),
        plan: plan(&assets, &summaries, &settings, import.as_ref())?,
        kinds: cohorts::kin(&assets, &summaries).0.into_iter().map(|kin| kin.kind).collect(),
        assets,
        tests,
        readings: snapshot.rows()?,
        summaries,
        findings: snapshot.rows()?,
        coverage: snapshot.rows()?,
        questions: questions(snapshot.rows()?),
        sources: snapshot.rows()?,
        import,
    })
}

/// The rows of one machine, and what is told of its sources.
#[derive(Debug, Default)]
pub struct Own {
    /// Its tests.
    pub tests: Vec<Test>,
    /// Tests of the machines that share a name with it.
    pub of_others: Vec<Test>,
    /// A row a test, in the order of their days.
    pub summaries: Vec<TestSummary>,
    /// Its findings.
    pub findings: Vec<Finding>,
    /// What its tests proved.
    pub coverage: Vec<Coverage>,
    /// Questions that its sources leave open.
    pub questions: Vec<Vec<Hold>>,
    /// Its sources.
    pub sources: Vec<SourceRow>,
    /// The newest import.
    pub import: Option<ImportRow>,
}

impl Own {
    /// Looks the rows up in the tables. `beside` are the machines that share a name with it ([`positions::Names::beside`]).
    ///
    /// # Errors
    /// When the tables cannot be read.
    pub fn read(snapshot: &Snapshot, asset: &Asset, beside: &[&Asset]) -> anyhow::Result<Self> {
        let id = [asset.asset_id.as_str()];
        let tests: Vec<Test> = snapshot.rows_where("asset_id", &id)?;
        let others: Vec<&str> = beside.iter().map(|other| other.asset_id.as_str()).collect();
        let files = files(&tests);
        Ok(Self {
            of_others: if others.is_empty() { Vec::new() } else { snapshot.rows_where("asset_id", &others)? },
            summaries: snapshot.rows_where("asset_id", &id)?,
            findings: snapshot.rows_where("asset_id", &id)?,
            coverage: snapshot.rows_where("asset_id", &id)?,
            questions: questions(snapshot.rows_where("source_file", &files)?),
            sources: snapshot.rows_where("source_file", &files)?,
            import: newest_import(snapshot)?,
            tests,
        })
    }
}

/// Sources of tests, each once.
#[must_use]
pub fn files(tests: &[Test]) -> Vec<&str> {
    tests.iter().map(|test| test.source_file.as_str()).collect::<BTreeSet<&str>>().into_iter().collect()
}

/// The rows that the report of one machine shows, from its `own`, its readings, and where it stood.
///
/// # Errors
/// When the tables or the settings cannot be read.
pub fn of_machine(
    fleet: &Fleet,
    snapshot: &Snapshot,
    (asset, own): (&Asset, Own),
    beside: &[&Asset],
) -> anyhow::Result<ReportData> {
    let ids: Vec<&str> = own.tests.iter().map(|test| test.test_id.as_str()).collect();
    let settings = fleet.settings()?;
    Ok(ReportData {
        title: format!("{}, {}", asset.tag, title(fleet)),
        cautions: cautions(),
        levels: ladder::levels_beside(asset, &settings.judging),
        stays: positions::of(snapshot, (asset, &own.tests), (beside, &own.of_others))?,
        plan: plan(std::slice::from_ref(asset), &own.summaries, &settings, own.import.as_ref())?,
        kinds: Vec::new(),
        assets: vec![asset.clone()],
        readings: snapshot.rows_where_in("test_id", &ids, &files(&own.tests))?,
        tests: own.tests,
        summaries: own.summaries,
        findings: own.findings,
        coverage: own.coverage,
        questions: own.questions,
        sources: own.sources,
        import: own.import,
    })
}

/// What comes next as of the newest import: the same tables give the same report on every day.
fn plan(
    assets: &[Asset],
    summaries: &[TestSummary],
    settings: &Settings,
    import: Option<&ImportRow>,
) -> anyhow::Result<Plan> {
    let on = import.and_then(|import| import.started_at.get(..10)?.parse().ok());
    on.map_or_else(|| Ok(Plan::default()), |on| next_tests::plan(assets, summaries, settings, on))
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
