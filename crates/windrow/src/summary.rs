//! What a person needs to know at the end of a run.

use crate::Ending;
use std::path::Path;
use windrow_model::{Disposition, Finding, SourceRow};
use windrow_pipeline::Rows;

/// Number of sources with this status.
fn with_status(sources: &[SourceRow], status: &str) -> usize {
    sources.iter().filter(|source| source.status == status).count()
}

fn cells(rows: &Rows, disposition: Disposition) -> usize {
    rows.cells.iter().filter(|cell| cell.disposition == disposition.code()).count()
}

/// Whether something waits for a person.
pub(crate) fn ending(rows: &Rows) -> Ending {
    let is_open = |status: &str| !matches!(status, "read" | "skipped");
    let open = !rows.holds.is_empty() || rows.sources.iter().any(|source| is_open(&source.status));
    if open { Ending::Open } else { Ending::Clean }
}

/// Files, machines, tests, cells by disposition, questions.
pub(crate) fn of_import(rows: &Rows) -> String {
    let sources = &rows.sources;
    let mut lines = vec![
        format!(
            "files      {} read, {} partly read, {} not read, {} passed over",
            with_status(sources, "read"),
            with_status(sources, "partly read"),
            with_status(sources, "refused"),
            with_status(sources, "skipped")
        ),
        format!(
            "stored     {} machines, {} tests, {} readings",
            rows.assets.len(),
            rows.tests.len(),
            rows.readings.len()
        ),
    ];
    let parts: Vec<String> =
        Disposition::ALL.iter().map(|disposition| format!("{} {disposition}", cells(rows, *disposition))).collect();
    lines.push(format!("cells      {} not empty = {}", rows.cells.len(), parts.join(" + ")));
    lines.push(format!("questions  {} waiting", rows.holds.len()));
    for source in sources.iter().filter(|source| source.status == "refused") {
        lines.push(format!("not read   {}: {}", source.source_file, source.reason.as_deref().unwrap_or("")));
    }
    for source in sources.iter().filter(|source| source.status == "skipped") {
        lines.push(format!("passed     {}: {}", source.source_file, source.reason.as_deref().unwrap_or("")));
    }
    lines.join("\n")
}

/// Findings by level.
pub(crate) fn of_findings(findings: &[Finding]) -> String {
    let count =
        |level: &str| findings.iter().filter(|finding| finding.level == level && finding.state == "open").count();
    format!("findings   {} act, {} plan, {} watch, {} note", count("act"), count("plan"), count("watch"), count("note"))
}

/// What to do next.
pub(crate) fn next(rows: &Rows, fleet: &Path) -> String {
    let fleet = fleet.display();
    let unread = cells(rows, Disposition::Unread);
    let mut lines = vec![format!("next       open {fleet}/report.html in a browser")];
    if !rows.holds.is_empty() {
        lines.push(format!(
            "           windrow query \"SELECT question, source_file, source_cell, context FROM holds\" --fleet {fleet}"
        ));
    }
    if unread > 0 {
        lines.push(format!("           windrow query \"SELECT source_file, count(*) AS n FROM cells WHERE disposition = 'unread' GROUP BY source_file\" --fleet {fleet}"));
    }
    lines.join("\n")
}
