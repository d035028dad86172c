//! Test summaries, findings and coverage over what is committed.

use jiff::civil::Date;
use std::path::Path;
use windrow_analyze::lifecycle::{Known, Tested, Tests, follow};
use windrow_analyze::{Frames, analyze_into};
use windrow_model::{Finding, ImportRow};
use windrow_store::{AnalysisTables, Fleet, Gathered, Snapshot};

/// Analyzes the newest snapshot of the fleet folder and commits the result; gives its findings.
pub fn judge(fleet: &Path) -> anyhow::Result<Vec<Finding>> {
    let _entered = tracing::info_span!("analyzing").entered();
    let fleet = Fleet::open(fleet)?;
    let settings = fleet.settings()?;
    let words = fleet.acknowledgements()?;
    let mut writer = fleet.writer()?;
    let snapshot = writer.snapshot();
    let judged_on = imported_on(snapshot)?;
    let earlier = snapshot.rows::<Finding>()?;
    let (mut summaries, mut coverage) = (Gathered::default(), Gathered::default());
    let mut tests = Tests::of(&earlier);
    // Of a large fleet not all rows at once: what is done is put into columns.
    let analysis = analyze_into(&frames(snapshot)?, &settings, judged_on, &mut |rows| {
        rows.summaries.iter().for_each(|summary| tests.add(Tested::from(summary)));
        summaries.push(rows.summaries);
        coverage.push(rows.coverage);
    })?;
    let known = Known { earlier: &earlier, words: &words, tests: &tests, judged_on };
    let findings = follow(analysis.findings, known);
    writer.commit_analysis(AnalysisTables { summaries, findings: findings.clone(), coverage })?;
    Ok(findings)
}

/// The tables that are judged.
pub fn frames(snapshot: &Snapshot) -> anyhow::Result<Frames> {
    Ok(Frames {
        assets: snapshot.scan("assets")?,
        tests: snapshot.scan("tests")?,
        readings: snapshot.scan("readings")?,
        reported_figures: snapshot.scan("reported_figures")?,
        waveforms: snapshot.scan("waveforms")?,
    })
}

/// Day of the import whose rows the tables hold.
fn imported_on(snapshot: &Snapshot) -> anyhow::Result<Option<Date>> {
    let imports: Vec<ImportRow> = snapshot.rows()?;
    let newest = imports.iter().map(|import| import.started_at.as_str()).max();
    Ok(newest.and_then(|told| told.get(..10)).and_then(|day| day.parse().ok()))
}
