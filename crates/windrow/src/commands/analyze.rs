//! `windrow analyze`: test summaries and findings over what is committed.

use crate::args::{AnalyzeArgs, ListFormat};
use crate::{Ending, findings, output, summary};
use jiff::civil::Date;
use std::collections::BTreeMap;
use std::path::Path;
use windrow_analyze::lifecycle::{Known, Tested, follow};
use windrow_analyze::{Analysis, Frames, analyze_as_known};
use windrow_model::{Asset, Finding, ImportRow};
use windrow_store::{AnalysisTables, Fleet, Snapshot};

pub(crate) fn run(args: &AnalyzeArgs) -> anyhow::Result<Ending> {
    if let Some(day) = args.as_of {
        return as_of(&args.fleet.fleet, day, args.format);
    }
    let analysis = judge(&args.fleet.fleet)?;
    output::line(&summary::of_findings(&analysis.findings));
    Ok(Ending::Clean)
}

/// Analyzes the newest snapshot and commits the result.
pub(crate) fn judge(fleet: &Path) -> anyhow::Result<Analysis> {
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

fn frames(snapshot: &Snapshot) -> anyhow::Result<Frames> {
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

/// Judges with what was known on a day, and prints what would have been found.
fn as_of(fleet: &Path, day: Date, format: ListFormat) -> anyhow::Result<Ending> {
    let fleet = Fleet::open(fleet)?;
    let snapshot = fleet.snapshot()?;
    let all = frames(&snapshot)?;
    let analysis = analyze_as_known(&all.as_of(day)?, &fleet.settings()?, Some(day))?;
    let assets: Vec<Asset> = snapshot.rows()?;
    let tags: BTreeMap<&str, &str> = assets.iter().map(|asset| (asset.asset_id.as_str(), asset.tag.as_str())).collect();
    let rows: Vec<Vec<String>> = analysis.findings.iter().map(|finding| row(finding, &tags, format)).collect();
    let header = ["finding_id", "level", "machine", "rule", "seen", "value", "limit", "unit", "q", "statement"];
    output::list(&header, &rows, format)?;
    output::note(&format!(
        "{} findings by {} tests known on {day}; nothing was stored. Machines are as known now; tests without a date are left out",
        rows.len(),
        analysis.summaries.len()
    ));
    Ok(Ending::Clean)
}

fn row(finding: &Finding, tags: &BTreeMap<&str, &str>, format: ListFormat) -> Vec<String> {
    let number = |value: Option<f64>| value.map(|value| format!("{value:.4e}")).unwrap_or_default();
    let tag = finding.asset_id.as_deref().and_then(|id| tags.get(id)).copied().unwrap_or_default();
    vec![
        if format == ListFormat::Table { findings::short(finding) } else { finding.finding_id.clone() },
        finding.level.clone(),
        tag.to_owned(),
        finding.rule.clone(),
        finding.last_seen.map(|day| day.to_string()).unwrap_or_default(),
        number(finding.value),
        number(finding.limit),
        finding.unit.clone().unwrap_or_default(),
        finding.q_value.map(|q| format!("{q:.4}")).unwrap_or_default(),
        finding.statement.clone(),
    ]
}
