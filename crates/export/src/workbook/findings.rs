//! The sheet of findings: open ones first, the gravest first.

use super::Rows;
use super::machines::order;
use super::page::{Cell, Formats, Page};
use crate::error::Result;
use rust_xlsxwriter::Workbook;
use std::collections::BTreeMap;
use windrow_model::{Asset, Finding};

const HEADINGS: &[&str] = &[
    "Level",
    "Machine",
    "Site",
    "State",
    "Finding",
    "Value (SI)",
    "Limit (SI)",
    "Unit",
    "q-value",
    "Basis",
    "Test that would settle it",
    "Cautions",
    "Limit expected on",
    "First seen",
    "Last seen",
    "What became of it",
    "What may be decided",
    "Rule",
    "Test id",
    "Finding id",
];

pub(super) fn write(workbook: &mut Workbook, formats: &Formats, rows: &Rows) -> Result<()> {
    let assets: BTreeMap<&str, &Asset> = rows.assets.iter().map(|asset| (asset.asset_id.as_str(), asset)).collect();
    let mut findings: Vec<&Finding> = rows.findings.iter().collect();
    findings.sort_by_key(|finding| order(finding));
    let mut page = Page::new(workbook, formats, "Findings", HEADINGS)?;
    for finding in findings {
        let asset = finding.asset_id.as_deref().and_then(|id| assets.get(id)).copied();
        page.push(cells(finding, asset))?;
    }
    page.finish()
}

fn cells(finding: &Finding, asset: Option<&Asset>) -> Vec<Cell> {
    let changes: Vec<String> = finding.changes.iter().map(|step| format!("{} {}", step.step, step.detail)).collect();
    vec![
        Cell::text(&finding.level),
        Cell::maybe(asset.map(|asset| &asset.tag)),
        Cell::maybe(asset.and_then(|asset| asset.site.as_ref())),
        Cell::text(&finding.state),
        Cell::text(&finding.statement),
        Cell::number(finding.value),
        Cell::number(finding.limit),
        Cell::maybe(finding.unit.as_ref()),
        Cell::number(finding.q_value),
        Cell::text(&finding.basis),
        Cell::maybe(finding.next_test.as_ref()),
        Cell::text(&finding.cautions),
        Cell::day(finding.forecast_date, "day"),
        Cell::day(finding.first_seen, "day"),
        Cell::day(finding.last_seen, "day"),
        Cell::text(changes.join("; ")),
        Cell::maybe(finding.proposal.as_ref()),
        Cell::text(&finding.rule),
        Cell::maybe(finding.test_id.as_ref()),
        Cell::text(&finding.finding_id),
    ]
}
