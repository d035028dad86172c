//! `windrow analyze`: test summaries and findings over what is committed.

use crate::args::{AnalyzeArgs, ListFormat};
use crate::{Ending, output, summary};
use jiff::civil::Date;
use std::collections::BTreeMap;
use std::path::Path;
use windrow_analyze::analyze_as_known;
use windrow_model::{Asset, Finding};
use windrow_store::Fleet;
use windrow_tasks::findings;
use windrow_tasks::judge::{frames, judge};

pub(crate) fn run(args: &AnalyzeArgs) -> anyhow::Result<Ending> {
    if let Some(day) = args.as_of {
        return as_of(&args.fleet.fleet, day, args.format);
    }
    let judgement = judge(&args.fleet.fleet)?;
    output::line(&summary::of_judgement(&judgement));
    Ok(Ending::Clean)
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
