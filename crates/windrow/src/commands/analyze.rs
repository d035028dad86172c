//! `windrow analyze`: test summaries and findings over what is committed.

use crate::args::FleetArgs;
use crate::{Ending, output, summary};
use std::path::Path;
use windrow_analyze::{Analysis, Frames, analyze};
use windrow_store::{AnalysisTables, Fleet};

pub(crate) fn run(args: &FleetArgs) -> anyhow::Result<Ending> {
    let analysis = judge(&args.fleet)?;
    output::line(&summary::of_findings(&analysis.findings));
    Ok(Ending::Clean)
}

/// Analyzes the newest snapshot and commits the result.
pub(crate) fn judge(fleet: &Path) -> anyhow::Result<Analysis> {
    let _entered = tracing::info_span!("analyzing").entered();
    let fleet = Fleet::open(fleet)?;
    let settings = fleet.settings()?;
    let mut writer = fleet.writer()?;
    let snapshot = writer.snapshot();
    let frames = Frames {
        assets: snapshot.scan("assets")?,
        tests: snapshot.scan("tests")?,
        readings: snapshot.scan("readings")?,
        reported_figures: snapshot.scan("reported_figures")?,
    };
    let analysis = analyze(&frames, &settings)?;
    writer.commit_analysis(AnalysisTables {
        summaries: analysis.summaries.clone(),
        findings: analysis.findings.clone(),
        coverage: analysis.coverage.clone(),
    })?;
    Ok(analysis)
}
