//! Test summaries, findings and coverage over what is committed.

use jiff::civil::Date;
use std::path::Path;
use windrow_analyze::lifecycle::{Known, Tested, follow};
use windrow_analyze::{Analysis, Frames, analyze_as_known};
use windrow_model::{Finding, ImportRow};
use windrow_store::{AnalysisTables, Fleet, Snapshot};

/// Analyzes the newest snapshot of the fleet folder and commits the result.
pub fn judge(fleet: &Path) -> anyhow::Result<Analysis> {
    let _entered = tracing::info_span!("analyzing").entered();
    let fleet = Fleet::open(fleet)?;
    let settings = fleet.settings()?;
    let words = fleet.acknowledgements()?;
    let mut writer = fleet.writer()?;
    let snapshot = writer.snapshot();
    let judged_on = imported_on(snapshot)?;
    let earlier = snapshot.rows::<Finding>()?;
    let mut analysis = analyze_as_known(&frames(snapshot)?, &settings, judged_on)?;
    let tests: Vec<Tested<'_>> = analysis.summaries.iter().map(Tested::from).collect();
    let known = Known { earlier: &earlier, words: &words, tests: &tests, judged_on };
    analysis.findings = follow(std::mem::take(&mut analysis.findings), known);
    writer.commit_analysis(AnalysisTables {
        summaries: analysis.summaries.clone(),
        findings: analysis.findings.clone(),
        coverage: analysis.coverage.clone(),
    })?;
    Ok(analysis)
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
